//! Answers as IEEE 488.2 has them (from memory): items with commas between them and a line feed at the end. An item may be a
//! text in quotes or a block of bytes, and a block may hold line feeds: `#18` and eight bytes, or `#0` and bytes up to the line
//! feed that ends the answer.

use memchr::memchr;

/// A longer answer is none.
const LONGEST: usize = 4096;

/// What came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Message<'a> {
    /// An answer without its line feed.
    Whole(&'a [u8]),
    /// The beginning of one that is too long.
    TooLong(&'a [u8]),
}

/// Cuts a stream into answers.
#[derive(Debug, Default)]
pub(super) struct Blocks {
    held: Vec<u8>,
    place: Place,
    is_too_long: bool,
    /// The last byte was a carriage return, and no part of a block.
    is_return: bool,
}

/// Where in an answer the stream is.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// Where an item begins.
    #[default]
    Begin,
    /// Within a number or a word.
    Word,
    /// Within a text in quotes.
    Text,
    /// After the `#` of a block.
    Hash,
    /// In the digits that say a block's length: so many are to come, and what they say so far.
    Length(u8, u64),
    /// So many bytes of a block are to come.
    Bytes(u64),
    /// In a block of no stated length.
    Endless,
}

impl Place {
    /// After one more byte; nothing where the answer ends with it.
    #[expect(
        clippy::match_same_arms,
        reason = "their order is what matters: each line is one rule"
    )]
    fn after(self, byte: u8) -> Option<Self> {
        Some(match (self, byte) {
            (Self::Bytes(left), _) if left > 1 => Self::Bytes(left - 1),
            (Self::Bytes(_), _) => Self::Word,
            // A text that is never closed must not swallow what follows.
            (_, b'\n') => return None,
            (Self::Endless, _) => Self::Endless,
            (Self::Text, b'"') => Self::Word,
            (Self::Text, _) => Self::Text,
            (Self::Hash, b'0') => Self::Endless,
            (Self::Hash, b'1'..=b'9') => Self::Length(byte - b'0', 0),
            (Self::Length(left, length), b'0'..=b'9') => {
                let length = length * 10 + u64::from(byte - b'0');
                match (left, length) {
                    (1, 0) => Self::Word,
                    (1, length) => Self::Bytes(length),
                    (left, length) => Self::Length(left - 1, length),
                }
            }
            (_, b',' | b';') => Self::Begin,
            (Self::Begin, b' ' | b'\t' | b'\r') => Self::Begin,
            (Self::Begin, b'#') => Self::Hash,
            (Self::Begin | Self::Word, b'"') => Self::Text,
            _ => Self::Word,
        })
    }
}

impl Blocks {
    pub(super) fn feed(&mut self, bytes: &[u8], mut out: impl FnMut(Message<'_>)) {
        let mut rest = bytes;
        while let Some((&byte, after)) = rest.split_first() {
            if let Some(place) = self.place.after(byte) {
                self.is_return = byte == b'\r' && matches!(self.place, Place::Begin | Place::Word);
                self.place = place;
                self.keep(byte);
            } else {
                self.place = Place::Begin;
                let held = std::mem::take(&mut self.held);
                if std::mem::take(&mut self.is_too_long) {
                    out(Message::TooLong(&held));
                } else {
                    let end = held.len() - usize::from(std::mem::take(&mut self.is_return));
                    out(Message::Whole(held.get(..end).unwrap_or_default()));
                }
            }
            rest = after;
        }
    }

    fn keep(&mut self, byte: u8) {
        if self.held.len() < LONGEST {
            self.held.push(byte);
        } else {
            self.is_too_long = true;
        }
    }

    /// What is under way when waiting is given up. It begins anew then: a length that was garbled must not swallow what
    /// follows.
    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        let held = std::mem::take(self).held;
        (!held.is_empty()).then_some(held)
    }
}

/// An item of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Item<'a> {
    /// As text, without the blanks around it.
    Text(&'a str),
    /// The bytes of a block.
    Block(&'a [u8]),
}

impl<'a> Item<'a> {
    pub(super) const fn text(&self) -> Option<&'a str> {
        match self {
            Self::Text(text) => Some(text),
            Self::Block(_) => None,
        }
    }
}

/// The items of an answer; nothing where it is none.
pub(super) fn items(raw: &[u8]) -> Option<Vec<Item<'_>>> {
    let mut rest = raw;
    let mut all = Vec::new();
    loop {
        let (item, after) = match rest.trim_ascii_start() {
            [b'#', block @ ..] => block_of(block)?,
            _ => text_of(rest)?,
        };
        all.push(item);
        match after.trim_ascii_start() {
            [] => return Some(all),
            [b',' | b';', more @ ..] => rest = more,
            _ => return None,
        }
    }
}

fn block_of(bytes: &[u8]) -> Option<(Item<'_>, &[u8])> {
    let (&digit, rest) = bytes.split_first()?;
    if digit == b'0' {
        return Some((Item::Block(rest), &[]));
    }
    let count = usize::from(digit.checked_sub(b'0').filter(|count| *count <= 9)?);
    let (length, rest) = rest.split_at_checked(count)?;
    let length: usize = std::str::from_utf8(length).ok()?.parse().ok()?;
    let (block, rest) = rest.split_at_checked(length)?;
    Some((Item::Block(block), rest))
}

fn text_of(bytes: &[u8]) -> Option<(Item<'_>, &[u8])> {
    let mut end = 0;
    loop {
        match bytes.get(end) {
            None | Some(b',' | b';') => break,
            Some(b'"') => end += 2 + memchr(b'"', bytes.get(end + 1..)?)?,
            Some(_) => end += 1,
        }
    }
    let (item, rest) = bytes.split_at_checked(end)?;
    Some((Item::Text(std::str::from_utf8(item).ok()?.trim()), rest))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn messages(pieces: &[&[u8]]) -> (Vec<String>, Option<Vec<u8>>) {
        let (mut blocks, mut all) = (Blocks::default(), Vec::new());
        for piece in pieces {
            blocks.feed(piece, |message| all.push(format!("{message:?}")));
        }
        (all, blocks.partial())
    }

    fn one(bytes: &[u8]) -> Vec<u8> {
        let (mut blocks, mut all) = (Blocks::default(), Vec::new());
        blocks.feed(bytes, |message| {
            let Message::Whole(raw) = message else {
                panic!("{message:?}")
            };
            all.push(raw.to_vec());
        });
        assert_eq!(all.len(), 1, "{all:?}");
        all.remove(0)
    }

    #[test]
    fn a_block_may_hold_line_feeds() {
        // Two floats of four bytes, 5.0 and 5.5, and one whose bytes are all line feeds.
        let raw = one(b"#18\x40\xA0\x00\x00\x40\xB0\x00\x00\n");
        assert_eq!(
            items(&raw).unwrap(),
            [Item::Block(b"\x40\xA0\x00\x00\x40\xB0\x00\x00")]
        );
        let raw = one(b"#14\n\n\n\n\n");
        assert_eq!(items(&raw).unwrap(), [Item::Block(b"\n\n\n\n")]);
        let raw = one(b"3, #203a,\n , \"x,\"\"y\"\r\n");
        assert_eq!(
            items(&raw).unwrap(),
            [
                Item::Text("3"),
                Item::Block(b"a,\n"),
                Item::Text("\"x,\"\"y\"")
            ]
        );
        let raw = one(b"#0abc,;\"\n");
        assert_eq!(items(&raw).unwrap(), [Item::Block(b"abc,;\"")]);
    }

    #[test]
    fn what_is_no_block_does_not_swallow_what_follows() {
        let (all, partial) = messages(&[b"#Q\n1\n\"open\n2\n#13ab\n"]);
        assert_eq!(all.len(), 4, "{all:?}");
        assert_eq!(
            partial.unwrap(),
            b"#13ab\n",
            "two of three bytes, and the line feed is the third"
        );
        let long = [b"#540000".as_slice(), &vec![b'x'; 40_000], b"\n7\n"].concat();
        let (all, partial) = messages(&[&long]);
        assert!(all[0].starts_with("TooLong"), "{}", &all[0][..20]);
        assert_eq!((all.len(), partial), (2, None));
        for none in [
            b"#".as_slice(),
            b"#9",
            b"#19a",
            b"#a",
            b"#13abcd",
            b"\"",
            b"\xFF",
        ] {
            assert_eq!(items(none), None, "{}", none.escape_ascii());
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

        #[test]
        fn where_it_is_cut_does_not_matter(
            bytes in proptest::collection::vec(prop_oneof![any::<u8>(), Just(b'#'), b'0'..=b'3', Just(b'\n'), Just(b',')], 0..300),
            cut in any::<prop::sample::Index>(),
        ) {
            let (head, tail) = bytes.split_at(cut.index(bytes.len() + 1));
            prop_assert_eq!(messages(&[head, tail]), messages(&[&bytes]));
        }

        #[test]
        fn a_block_comes_back_as_it_was_sent(block in proptest::collection::vec(any::<u8>(), 1..200)) {
            let length = block.len().to_string();
            let sent = [format!("#{}{length}", length.len()).as_bytes(), &block, b"\n"].concat();
            let raw = one(&sent);
            prop_assert_eq!(items(&raw).unwrap(), [Item::Block(&block)]);
        }
    }
}
