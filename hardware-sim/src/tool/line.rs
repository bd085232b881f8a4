//! The lines of the simulated wrench: writing and reading one.
//!
//! ```text
//! $PULL,<counter>,<value>,<unit>[,<flags>]*<hh>\r\n     one pull
//! #READY <serial>\r\n                                    after power-on
//! ```
//!
//! | field | |
//! |---|---|
//! | counter | decimal, no sign; 1 for the first pull of the tool's life, one more for each pull, also over an unplug |
//! | value | sign, digits, at most one point, with the decimals of the display; `OL` when the torque was over the range |
//! | unit | as the display is set: `N.m`, `lbf.in`, `lbf.ft`, `kgf.cm`, `cN.m` |
//! | flags | `LB` battery low, `RP` sent again with the same counter; two are joined by `+`, `LB` first; left out with its comma if none |
//! | hh | XOR of all bytes between `$` and `*`, two hex digits in upper case |
//!
//! It is this project's own format, made for the simulator. The shape `$`…`*hh` with an XOR is common practice on serial
//! lines. A logging program knows it from a profile of its own and does not use this module; the reader here is for
//! tests and for a second opinion. The whole text is in `LINE-FORMAT.md`.

use std::fmt::Write;
use std::str::FromStr;

use thiserror::Error;

use super::display::{DisplayError, DisplayText};
use super::unit::{Unit, UnknownUnit};

/// What ends a line.
pub const TERMINATOR: &str = "\r\n";

/// One line of the wrench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Line {
    /// The tool was powered on.
    Ready {
        /// Its serial number.
        serial: String,
    },
    /// A pull.
    Pull(Pull),
}

/// The content of a pull line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pull {
    /// The number of the pull in the tool's memory.
    pub counter: u64,
    /// What the display showed.
    pub value: Shown,
    /// The unit on the display.
    pub unit: Unit,
    /// What else the tool says.
    pub flags: Flags,
}

/// The value field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shown {
    /// A number.
    Value(DisplayText),
    /// `OL`: over the range of the tool, so there is no number.
    OverRange,
}

/// The flags of a pull line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Flags {
    /// `LB`: the battery is low.
    pub battery_low: bool,
    /// `RP`: this pull was sent before, with the same counter.
    pub sent_again: bool,
}

/// Why bytes are no line of this format.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LineError {
    /// No `\r\n` at the end, or one in the middle.
    #[error("the bytes are not exactly one line that ends with \\r\\n")]
    Terminator,
    /// A byte outside printable ASCII.
    #[error("the line has a byte that is no printable ASCII")]
    NotAscii,
    /// Neither `$…*hh` nor `#READY …`.
    #[error("the line is neither $PULL,…*hh nor #READY and a serial number")]
    Shape,
    /// The checksum differs.
    #[error("the checksum is {found}, the bytes give {computed:02X}")]
    Checksum {
        /// What stood in the line.
        found: String,
        /// What the bytes give.
        computed: u8,
    },
    /// The counter is no number.
    #[error("`{0}` is no counter")]
    Counter(String),
    /// The value is neither a number nor `OL`.
    #[error(transparent)]
    Value(#[from] DisplayError),
    /// The unit is unknown.
    #[error(transparent)]
    Unit(#[from] UnknownUnit),
    /// A flag is unknown, or the order is wrong.
    #[error("`{0}` are no flags: LB, RP or LB+RP")]
    Flags(String),
}

/// XOR of all bytes.
pub fn checksum(body: &[u8]) -> u8 {
    body.iter().fold(0, |sum, byte| sum ^ byte)
}

impl Line {
    /// Reads exactly one line, with its end.
    pub fn parse(bytes: &[u8]) -> Result<Self, LineError> {
        let line = bytes
            .strip_suffix(TERMINATOR.as_bytes())
            .ok_or(LineError::Terminator)?;
        if line.iter().any(|byte| matches!(byte, b'\r' | b'\n')) {
            return Err(LineError::Terminator);
        }
        let is_printable = line.iter().all(|byte| matches!(byte, b' '..=b'~'));
        let line = str::from_utf8(line)
            .ok()
            .filter(|_| is_printable)
            .ok_or(LineError::NotAscii)?;
        if let Some(serial) = line.strip_prefix("#READY ").filter(|s| !s.is_empty()) {
            let serial = serial.to_owned();
            return Ok(Self::Ready { serial });
        }
        let framed = line.strip_prefix('$').ok_or(LineError::Shape)?;
        let (body, found) = framed.split_once('*').ok_or(LineError::Shape)?;
        let computed = checksum(body.as_bytes());
        if found != format!("{computed:02X}") {
            let found = found.to_owned();
            return Err(LineError::Checksum { found, computed });
        }
        body.parse().map(Self::Pull)
    }

    /// The bytes, with the end of the line.
    pub fn to_bytes(&self) -> Vec<u8> {
        match self {
            Self::Ready { serial } => format!("#READY {serial}{TERMINATOR}").into_bytes(),
            Self::Pull(pull) => pull.to_bytes(),
        }
    }
}

impl Pull {
    /// The bytes of this pull, with the end of the line.
    pub fn to_bytes(&self) -> Vec<u8> {
        self.with_checksum(checksum(self.body().as_bytes()))
    }

    /// The same with a checksum that is wrong in every bit.
    pub fn to_spoilt_bytes(&self) -> Vec<u8> {
        self.with_checksum(!checksum(self.body().as_bytes()))
    }

    fn with_checksum(&self, sum: u8) -> Vec<u8> {
        format!("${}*{sum:02X}{TERMINATOR}", self.body()).into_bytes()
    }

    fn body(&self) -> String {
        let value = match &self.value {
            Shown::Value(text) => text.as_str(),
            Shown::OverRange => "OL",
        };
        let mut body = format!("PULL,{},{value},{}", self.counter, self.unit);
        if let Some(flags) = self.flags.code() {
            // Writing to a String cannot fail.
            let _ = write!(body, ",{flags}");
        }
        body
    }
}

impl FromStr for Pull {
    type Err = LineError;

    /// Reads what stands between `$` and `*`.
    fn from_str(body: &str) -> Result<Self, LineError> {
        let mut fields = body.split(',');
        let mut field = || fields.next().ok_or(LineError::Shape);
        if field()? != "PULL" {
            return Err(LineError::Shape);
        }
        let (counter, value, unit) = (field()?, field()?, field()?);
        let flags = Flags::parse(fields.next())?;
        if fields.next().is_some() {
            return Err(LineError::Shape);
        }
        Ok(Self {
            counter: parse_counter(counter)?,
            value: match value {
                "OL" => Shown::OverRange,
                number => Shown::Value(number.parse()?),
            },
            unit: unit.parse()?,
            flags,
        })
    }
}

fn parse_counter(text: &str) -> Result<u64, LineError> {
    let wrong = || LineError::Counter(text.to_owned());
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit());
    let counter = text.parse().map_err(|_| wrong())?;
    if is_plain { Ok(counter) } else { Err(wrong()) }
}

impl Flags {
    /// The field, or `None` if no flag is set.
    fn code(self) -> Option<&'static str> {
        match (self.battery_low, self.sent_again) {
            (false, false) => None,
            (true, false) => Some("LB"),
            (false, true) => Some("RP"),
            (true, true) => Some("LB+RP"),
        }
    }

    fn parse(field: Option<&str>) -> Result<Self, LineError> {
        let (battery_low, sent_again) = match field {
            None => (false, false),
            Some("LB") => (true, false),
            Some("RP") => (false, true),
            Some("LB+RP") => (true, true),
            Some(other) => return Err(LineError::Flags(other.to_owned())),
        };
        Ok(Self {
            battery_low,
            sent_again,
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_checksum_is_the_one_worked_out_by_others() {
        // A widely printed NMEA 0183 example sentence, and the check value of this format.
        assert_eq!(checksum(b"GPGLL,5057.970,N,00146.110,E,142451,A"), 0x27);
        assert_eq!(checksum(b"PULL,12,5.08,Nm"), 0x1A);
        assert_eq!(checksum(b""), 0);
    }

    #[test]
    fn wrong_lines_are_refused_each_for_its_reason() {
        let reason = |line: &str| Line::parse(line.as_bytes()).unwrap_err().to_string();
        let summed = |body: &str| format!("${body}*{:02X}\r\n", checksum(body.as_bytes()));
        assert!(reason("$PULL,1,5.08,N.m*06").contains("ends with"));
        assert!(reason("$PULL,1\r\n,5.08,N.m*06\r\n").contains("exactly one"));
        assert!(reason("$PULL,1,5.08,N·m*00\r\n").contains("ASCII"));
        assert!(reason("hello\r\n").contains("neither"));
        assert!(reason("#READY \r\n").contains("neither"));
        assert!(reason("$PULL,1,5.08,N.m*00\r\n").contains("checksum is 00"));
        assert!(reason("$PULL,2,44.96,lbf.in*7b\r\n").contains("checksum is 7b"));
        assert!(reason(&summed("PULL,+1,5.08,N.m")).contains("no counter"));
        assert!(reason(&summed("PULL,,5.08,N.m")).contains("no counter"));
        assert!(reason(&summed("PULL,1,5,08,N.m")).contains("no flags"));
        assert!(reason(&summed("PULL,1,abc,N.m")).contains("display"));
        assert!(reason(&summed("PULL,1,5.08,Nm")).contains("no unit"));
        assert!(reason(&summed("PULL,1,5.08,N.m,RP+LB")).contains("no flags"));
        assert!(reason(&summed("PULL,1,5.08")).contains("neither"));
        assert!(reason(&summed("PULL,1,5.08,N.m,LB,RP")).contains("neither"));
    }

    /// The page that describes the format must show lines that this code takes, one of each kind.
    #[test]
    fn every_example_on_the_page_is_a_line_of_this_format() {
        let page = include_str!("../../LINE-FORMAT.md");
        let examples: Vec<&str> = page
            .lines()
            .filter(|line| line.starts_with("$PULL,1") || line.starts_with("#READY W"))
            .collect();
        assert_eq!(examples.len(), 6, "{examples:?}");
        for example in examples {
            let (line, _) = example.split_once("  ").unwrap_or((example, ""));
            let bytes = format!("{line}\r\n").into_bytes();
            assert_eq!(Line::parse(&bytes).unwrap().to_bytes(), bytes);
        }
    }

    fn any_pull() -> impl Strategy<Value = Pull> {
        let value = prop_oneof![
            1 => Just(Shown::OverRange),
            4 => "[+-]?[0-9]{1,6}(\\.[0-9]{1,6})?".prop_map(|t| Shown::Value(t.parse().unwrap())),
        ];
        let unit = (0_usize..5).prop_map(|at| Unit::ALL[at]);
        (any::<u64>(), value, unit, any::<bool>(), any::<bool>()).prop_map(
            |(counter, value, unit, battery_low, sent_again)| Pull {
                counter,
                value,
                unit,
                flags: Flags {
                    battery_low,
                    sent_again,
                },
            },
        )
    }

    proptest! {
        #[test]
        fn a_line_reads_back_as_it_was(pull in any_pull()) {
            let line = Line::Pull(pull);
            prop_assert_eq!(Line::parse(&line.to_bytes()).unwrap(), line);
        }

        #[test]
        fn a_spoilt_line_is_never_taken(pull in any_pull()) {
            let refused = Line::parse(&pull.to_spoilt_bytes());
            let is_checksum = matches!(refused, Err(LineError::Checksum { .. }));
            prop_assert!(is_checksum);
        }

        #[test]
        fn one_changed_byte_is_never_the_same_line(pull in any_pull(), at: usize, change in 1_u8..=255) {
            let mut bytes = pull.to_bytes();
            let at = at % bytes.len();
            bytes[at] ^= change;
            prop_assert!(Line::parse(&bytes).is_err());
        }

        #[test]
        fn any_bytes_are_read_or_refused(bytes: Vec<u8>) {
            if let Ok(line) = Line::parse(&bytes) {
                prop_assert_eq!(line.to_bytes(), bytes);
            }
        }
    }
}
