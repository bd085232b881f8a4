//! A decimal number exactly as a display shows it: `5.10` is not `5.1`, because the zero says what the tool resolves.

use std::fmt;

/// The most digits that are read: what an `i64` holds for certain.
const MOST_DIGITS: usize = 15;

/// A decimal number: `mantissa / 10^scale`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Decimal {
    mantissa: i64,
    scale: u8,
}

/// Why a text is not a decimal number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DecimalError {
    /// No digit, two points, a comma, or something else between the digits.
    #[error("{text:?} is not a number: write it like 5 or 4.75, with a point")]
    NotANumber {
        /// The text as written.
        text: String,
    },
    /// More digits than any display has.
    #[error("{text:?} has too many digits: at most 15 are read")]
    TooManyDigits {
        /// The text as written.
        text: String,
    },
}

impl Decimal {
    /// Reads digits with an optional sign and one optional point; `.5` and `5.` are read as people write them.
    pub fn parse(text: &str) -> Result<Self, DecimalError> {
        let wrong = || DecimalError::NotANumber {
            text: text.to_owned(),
        };
        let (negative, body) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, part) = body.split_once('.').unwrap_or((body, ""));
        let digits: String = [whole, part].concat();
        if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(wrong());
        }
        if digits.len() > MOST_DIGITS {
            return Err(DecimalError::TooManyDigits {
                text: text.to_owned(),
            });
        }
        let mantissa: i64 = digits.parse().map_err(|_| wrong())?;
        let scale = u8::try_from(part.len()).map_err(|_| wrong())?;
        Ok(Self {
            mantissa: if negative { -mantissa } else { mantissa },
            scale,
        })
    }

    /// From its digits and how many of them stand behind the point; nothing where that is more than is read.
    #[inline]
    pub fn new(mantissa: i64, scale: u8) -> Option<Self> {
        let is_known =
            mantissa.unsigned_abs() < 1_000_000_000_000_000 && usize::from(scale) <= MOST_DIGITS;
        is_known.then_some(Self { mantissa, scale })
    }

    /// The digits as one whole number.
    pub const fn mantissa(self) -> i64 {
        self.mantissa
    }

    /// How many of the digits stand behind the point; at most 15.
    pub const fn scale(self) -> u8 {
        self.scale
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.mantissa < 0 { "-" } else { "" };
        let scale = usize::from(self.scale);
        let digits = format!(
            "{:0width$}",
            self.mantissa.unsigned_abs(),
            width = scale + 1
        );
        let (whole, part) = digits.split_at(digits.len() - scale);
        if part.is_empty() {
            write!(f, "{sign}{whole}")
        } else {
            write!(f, "{sign}{whole}.{part}")
        }
    }
}
