//! What a text in canonical form may look like, as data, and whether one does.
//!
//! Only plain texts are known: names and values without escapes. Members stand in the order of the canonical form.

/// How many values can be kept.
pub(super) const KEPT: usize = 3;
/// The values that were kept, as they stand in the text.
pub(super) type Kept<'a> = [Option<&'a str>; KEPT];

/// What stands in a place.
#[derive(Debug)]
pub(super) enum Form {
    /// A text without escapes.
    Text,
    /// A SHA-256 value: 64 lower-case digits.
    Hash,
    /// A whole number in these bounds.
    Whole(i64, i64),
    /// One of these words.
    Word(&'static [&'static str]),
    /// A mark that is written only where it is set.
    Mark,
    /// An object with these members, in this order.
    Object(&'static [Member]),
    /// An object with one of these members and no other.
    One(&'static [Member]),
    /// A list; the mark says whether it may be empty.
    List(&'static Form, bool),
    /// A value that is kept under this number.
    Keep(usize, &'static Form),
}

/// A member of an object.
#[derive(Debug)]
pub(super) struct Member {
    /// Its name with quotes and colon.
    pub(super) name: &'static str,
    /// Its value.
    pub(super) form: &'static Form,
    /// Whether it has to be there.
    pub(super) is_asked: bool,
}

/// A member that has to be there.
macro_rules! asked {
    ($name:literal, $form:expr) => {
        $crate::edge::store::form::grammar::Member {
            name: concat!('"', $name, "\":"),
            form: &$form,
            is_asked: true,
        }
    };
}

/// A member that may be missing.
macro_rules! maybe {
    ($name:literal, $form:expr) => {
        $crate::edge::store::form::grammar::Member {
            name: concat!('"', $name, "\":"),
            form: &$form,
            is_asked: false,
        }
    };
}

pub(super) use {asked, maybe};

/// Whether the whole text is of this form; gives what was to be kept.
pub(super) fn walk<'a>(form: &Form, text: &'a str) -> Option<Kept<'a>> {
    let mut walk = Walk {
        text,
        at: 0,
        kept: [None; KEPT],
    };
    walk.form(form)?;
    (walk.at == text.len()).then_some(walk.kept)
}

struct Walk<'a> {
    text: &'a str,
    at: usize,
    kept: Kept<'a>,
}

impl<'a> Walk<'a> {
    fn rest(&self) -> &'a [u8] {
        self.text.as_bytes().get(self.at..).unwrap_or_default()
    }

    fn take(&mut self, text: &[u8]) -> Option<()> {
        self.rest().starts_with(text).then(|| self.at += text.len())
    }

    fn take_byte(&mut self, byte: u8) -> Option<()> {
        (self.rest().first() == Some(&byte)).then(|| self.at += 1)
    }

    fn form(&mut self, form: &Form) -> Option<()> {
        match form {
            Form::Text => self.plain_text(),
            Form::Hash => self.hash(),
            Form::Whole(least, most) => self.whole(*least, *most),
            Form::Word(words) => words.iter().find_map(|word| self.word(word)),
            Form::Mark => self.take(b"true"),
            Form::Object(members) => self.object(members),
            Form::One(members) => self.one(members),
            Form::List(item, may_be_empty) => self.list(item, *may_be_empty),
            Form::Keep(number, form) => {
                let from = self.at;
                self.form(form)?;
                *self.kept.get_mut(*number)? = self.text.get(from..self.at);
                Some(())
            }
        }
    }

    fn plain_text(&mut self) -> Option<()> {
        self.take_byte(b'"')?;
        let end = |&byte: &u8| byte == b'"' || byte == b'\\' || byte < b' ';
        self.at += self.rest().iter().position(end)?;
        self.take_byte(b'"')
    }

    fn hash(&mut self) -> Option<()> {
        self.take_byte(b'"')?;
        let digits = self.rest().first_chunk::<64>()?;
        let all = digits.iter().fold(true, |all, byte| {
            all & (byte.is_ascii_digit() | (b'a'..=b'f').contains(byte))
        });
        all.then(|| self.at += digits.len())?;
        self.take_byte(b'"')
    }

    fn whole(&mut self, least: i64, most: i64) -> Option<()> {
        let is_negative = self.take_byte(b'-').is_some();
        let digits = self.rest();
        let length = digits
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        // No number in a ledger has more than 16 digits, so this cannot overflow.
        if length == 0
            || length > 16
            || (digits.first() == Some(&b'0') && (length > 1 || is_negative))
        {
            return None;
        }
        let size = digits
            .iter()
            .take(length)
            .fold(0_i64, |size, byte| size * 10 + i64::from(byte - b'0'));
        let number = if is_negative { -size } else { size };
        self.at += length;
        (least..=most).contains(&number).then_some(())
    }

    fn word(&mut self, word: &str) -> Option<()> {
        let rest = self.rest().strip_prefix(b"\"")?;
        let behind = rest.strip_prefix(word.as_bytes())?;
        (behind.first() == Some(&b'"')).then(|| self.at += word.len() + 2)
    }

    fn object(&mut self, members: &[Member]) -> Option<()> {
        self.take_byte(b'{')?;
        let mut is_first = true;
        for member in members {
            let before = usize::from(!is_first);
            let next = self.rest().get(before..).unwrap_or_default();
            if next.starts_with(member.name.as_bytes()) {
                if !is_first {
                    self.take_byte(b',')?;
                }
                self.at += member.name.len();
                self.form(member.form)?;
                is_first = false;
            } else if member.is_asked {
                return None;
            }
        }
        self.take_byte(b'}')
    }

    fn one(&mut self, members: &[Member]) -> Option<()> {
        self.take_byte(b'{')?;
        let is_here = |member: &&Member| self.rest().starts_with(member.name.as_bytes());
        let member = members.iter().find(is_here)?;
        self.at += member.name.len();
        self.form(member.form)?;
        self.take_byte(b'}')
    }

    fn list(&mut self, item: &Form, may_be_empty: bool) -> Option<()> {
        self.take_byte(b'[')?;
        if may_be_empty && self.take_byte(b']').is_some() {
            return Some(());
        }
        self.form(item)?;
        while self.take_byte(b',').is_some() {
            self.form(item)?;
        }
        self.take_byte(b']')
    }
}
