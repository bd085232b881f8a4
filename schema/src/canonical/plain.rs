//! The short way to the canonical form, for what our own types write: no floats, member names in ASCII.
//!
//! For these the JSON writer already gives what RFC 8785 asks for, but for the order of members: whole numbers have one
//! spelling, strings are escaped alike, and names in ASCII sort by bytes as they sort by UTF-16 code units. So members
//! are put in order while they are written. Whatever is not so plain goes the long way, which also says what is wrong
//! with it.

use std::io;
use std::ops::Range;

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};

use super::{MAX_BYTES, MAX_DEPTH, MAX_WHOLE};

/// Writes a value with its members in order; nothing where it is not plain.
pub(super) fn sorted<T: Serialize + ?Sized>(
    value: &T,
) -> Result<Option<Vec<u8>>, serde_json::Error> {
    let mut sorting = Sorting::new();
    value.serialize(&mut Serializer::with_formatter(io::sink(), &mut sorting))?;
    let is_plain = !sorting.is_odd && sorting.text.len() <= MAX_BYTES;
    Ok(is_plain.then_some(sorting.text))
}

/// Where a member of an object that is still open stands in the text.
#[derive(Debug, Clone)]
struct Member {
    /// From the name's first quote to the value's end.
    whole: Range<usize>,
    /// The name between its quotes.
    name: Range<usize>,
}

/// An object that is still open.
#[derive(Debug)]
struct Open {
    /// Where it begins in the text.
    start: usize,
    /// Where its members begin among all open ones.
    members: usize,
}

/// Keeps the text itself: what is written has to be moved once all members are there.
#[derive(Debug)]
struct Sorting {
    text: Vec<u8>,
    members: Vec<Member>,
    open: Vec<Open>,
    /// How deep objects and lists lie in one another here.
    depth: usize,
    /// Something was met that the short way does not know.
    is_odd: bool,
    /// For putting an object together anew.
    spare: Vec<u8>,
}

impl Sorting {
    /// With room for what a reading's entry takes, so that nothing has to be moved because it grows.
    fn new() -> Self {
        Self {
            text: Vec::with_capacity(2_048),
            members: Vec::with_capacity(64),
            open: Vec::with_capacity(16),
            depth: 0,
            is_odd: false,
            spare: Vec::with_capacity(2_048),
        }
    }

    fn put(&mut self, bytes: &[u8]) {
        self.text.extend_from_slice(bytes);
    }

    fn number(&mut self, size: u64, negative: bool) {
        self.is_odd |= size > MAX_WHOLE;
        if negative {
            self.text.push(b'-');
        }
        let mut digits = [0_u8; 20];
        let mut from = digits.len();
        let mut left = size;
        loop {
            from -= 1;
            // a digit fits into a byte
            digits[from] = b'0' + u8::try_from(left % 10).unwrap_or_default();
            left /= 10;
            if left == 0 {
                break;
            }
        }
        self.put(&digits[from..]);
    }

    fn enter(&mut self) {
        self.depth += 1;
        self.is_odd |= self.depth > MAX_DEPTH;
    }

    /// Ends the innermost object; its members are put in order if they did not come so.
    fn close(&mut self) {
        let Some(open) = self.open.pop() else { return };
        let text = &self.text;
        let members = &mut self.members[open.members..];
        let name = |member: &Member| &text[member.name.clone()];
        if !members.is_sorted_by(|a, b| name(a) < name(b)) {
            members.sort_unstable_by(|a, b| name(a).cmp(name(b)));
            // A name that stands twice is found out on the long way.
            self.is_odd |= members
                .windows(2)
                .any(|pair| name(&pair[0]) == name(&pair[1]));
            self.spare.clear();
            for (number, member) in members.iter().enumerate() {
                self.spare.push(if number == 0 { b'{' } else { b',' });
                self.spare.extend_from_slice(&text[member.whole.clone()]);
            }
            self.text.truncate(open.start);
            self.text.extend_from_slice(&self.spare);
        }
        self.text.push(b'}');
        self.members.truncate(open.members);
        self.depth -= 1;
    }
}

/// Whole numbers, as the writer hands them over.
macro_rules! whole {
    ($($method:ident($kind:ty)),* $(,)?) => {
        $(fn $method<W: io::Write + ?Sized>(&mut self, _: &mut W, value: $kind) -> io::Result<()> {
            self.number(u64::from(value), false);
            Ok(())
        })*
    };
}

macro_rules! signed {
    ($($method:ident($kind:ty)),* $(,)?) => {
        $(fn $method<W: io::Write + ?Sized>(&mut self, _: &mut W, value: $kind) -> io::Result<()> {
            self.number(u64::from(value.unsigned_abs()), value < 0);
            Ok(())
        })*
    };
}

/// What the short way does not know.
macro_rules! odd {
    ($($method:ident($kind:ty)),* $(,)?) => {
        $(fn $method<W: io::Write + ?Sized>(&mut self, _: &mut W, _: $kind) -> io::Result<()> {
            self.is_odd = true;
            Ok(())
        })*
    };
}

/// What is written as it is.
macro_rules! put {
    ($($method:ident($text:literal)),* $(,)?) => {
        $(fn $method<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
            self.put($text);
            Ok(())
        })*
    };
}

impl Formatter for &mut Sorting {
    whole!(write_u8(u8), write_u16(u16), write_u32(u32), write_u64(u64));
    signed!(write_i8(i8), write_i16(i16), write_i32(i32), write_i64(i64));
    odd!(
        write_u128(u128),
        write_i128(i128),
        write_f32(f32),
        write_f64(f64),
        write_number_str(&str),
        write_raw_fragment(&str),
    );
    put!(write_null(b"null"), begin_string(b"\""), end_string(b"\""),);

    fn write_bool<W: io::Write + ?Sized>(&mut self, _: &mut W, value: bool) -> io::Result<()> {
        self.put(if value { b"true" } else { b"false" });
        Ok(())
    }

    fn write_string_fragment<W: io::Write + ?Sized>(
        &mut self,
        _: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        self.put(fragment.as_bytes());
        Ok(())
    }

    fn write_char_escape<W: io::Write + ?Sized>(
        &mut self,
        _: &mut W,
        escape: serde_json::ser::CharEscape,
    ) -> io::Result<()> {
        serde_json::ser::CompactFormatter.write_char_escape(&mut self.text, escape)
    }

    fn begin_array<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.enter();
        self.put(b"[");
        Ok(())
    }

    fn end_array<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.depth -= 1;
        self.put(b"]");
        Ok(())
    }

    fn begin_array_value<W: io::Write + ?Sized>(
        &mut self,
        _: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.put(if first { b"" } else { b"," });
        Ok(())
    }

    fn begin_object<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.enter();
        self.open.push(Open {
            start: self.text.len(),
            members: self.members.len(),
        });
        self.text.push(b'{');
        Ok(())
    }

    fn end_object<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.close();
        Ok(())
    }

    fn begin_object_key<W: io::Write + ?Sized>(
        &mut self,
        _: &mut W,
        first: bool,
    ) -> io::Result<()> {
        if !first {
            self.text.push(b',');
        }
        let start = self.text.len();
        self.members.push(Member {
            whole: start..start,
            name: start + 1..start + 1,
        });
        Ok(())
    }

    fn end_object_key<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.text.len() - 1;
        if let Some(member) = self.members.last_mut() {
            member.name.end = end;
            let name = &self.text[member.name.clone()];
            // An escape or a letter outside ASCII may sort in another way.
            self.is_odd |= !name.is_ascii() || name.contains(&b'\\');
        }
        Ok(())
    }

    fn begin_object_value<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.put(b":");
        Ok(())
    }

    fn end_object_value<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.text.len();
        if let Some(member) = self.members.last_mut() {
            member.whole.end = end;
        }
        Ok(())
    }
}
