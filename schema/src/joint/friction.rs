//! Coefficients of friction in a thread and under a head, as a range that follows from what goes on the thread.
//!
//! The ranges are the friction classes of VDI 2230-1 (table A5, read in an excerpt): A 0.04 to 0.10 solid lubricants and
//! their pastes, B 0.08 to 0.16 grease, oil and wax, C 0.14 to 0.24 bare or as delivered and adhesive, D 0.20 to 0.35 plated
//! without lubricant, E from 0.30 aluminium or stainless without. Which prep belongs to which class is our own reading.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A range of coefficients of friction, in whole thousandths: 100 to 160 stands for 0.10 to 0.16.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Friction {
    /// The slipperiest.
    pub low_thousandths: u16,
    /// The roughest.
    pub high_thousandths: u16,
}

/// Where a range of friction comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FrictionFrom {
    /// The plan states it.
    Stated,
    /// Grease, oil or wax: class B.
    Greased,
    /// Anti-seize: classes A and B.
    AntiSeize,
    /// Threadlock, still wet: class C.
    Threadlock,
    /// Nothing on the thread: classes C and D. Class E has no upper end.
    Dry,
    /// More than one of these: their ranges together.
    Several,
    /// Nobody says what is on the thread: classes B to D.
    Unknown,
}

impl Friction {
    /// The lowest coefficient that is read.
    pub const LEAST: u16 = 10;
    /// The highest coefficient that is read.
    pub const MOST: u16 = 1_000;

    /// A range, if it is one: 0.01 to 1, not upside down.
    pub fn new(low_thousandths: u16, high_thousandths: u16) -> Option<Self> {
        let is_range = Self::LEAST <= low_thousandths
            && low_thousandths <= high_thousandths
            && high_thousandths <= Self::MOST;
        is_range.then_some(Self {
            low_thousandths,
            high_thousandths,
        })
    }

    /// From two coefficients as a person writes them, in whole thousandths.
    pub fn from_coefficients(coefficients: &[f64]) -> Option<Self> {
        let [low, high] = coefficients else {
            return None;
        };
        Self::new(thousandths(*low)?, thousandths(*high)?)
    }

    const fn class(low_thousandths: u16, high_thousandths: u16) -> Self {
        Self {
            low_thousandths,
            high_thousandths,
        }
    }

    /// The slipperiest.
    pub fn low(self) -> f64 {
        f64::from(self.low_thousandths) / 1000.0
    }

    /// The middle of the range.
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low(), self.high())
    }

    /// The roughest.
    pub fn high(self) -> f64 {
        f64::from(self.high_thousandths) / 1000.0
    }
}

/// "0.08 to 0.16".
impl fmt::Display for Friction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.low_thousandths == self.high_thousandths {
            return write!(f, "{}", self.low());
        }
        write!(f, "{} to {}", self.low(), self.high())
    }
}

impl FrictionFrom {
    /// The range.
    const fn range(self) -> Friction {
        match self {
            Self::Greased => Friction::class(80, 160),
            Self::AntiSeize => Friction::class(40, 160),
            Self::Threadlock => Friction::class(140, 240),
            Self::Dry => Friction::class(140, 350),
            Self::Stated | Self::Several | Self::Unknown => Friction::class(80, 350),
        }
    }
}

impl fmt::Display for FrictionFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Stated => "as the plan states",
            Self::Greased => "greased",
            Self::AntiSeize => "with anti-seize",
            Self::Threadlock => "with threadlock",
            Self::Dry => "dry",
            Self::Several => "after its prep",
            Self::Unknown => "whatever is on the thread",
        })
    }
}

/// The range of friction that a prep makes plausible. Carbon paste on a tube raises the grip of the clamp and leaves
/// the thread as it is.
pub fn friction_of(prep: &[String]) -> (Friction, FrictionFrom) {
    let mut found: Vec<FrictionFrom> = Vec::new();
    for entry in prep {
        if let Some(from) = on_the_thread(&entry.to_lowercase())
            && !found.contains(&from)
        {
            found.push(from);
        }
    }
    match found.as_slice() {
        [] => (FrictionFrom::Unknown.range(), FrictionFrom::Unknown),
        [only] => (only.range(), *only),
        several => {
            let ranges = || several.iter().map(|from| from.range());
            let low = ranges().map(|range| range.low_thousandths).min();
            let high = ranges().map(|range| range.high_thousandths).max();
            let unknown = FrictionFrom::Unknown.range();
            let together = Friction::class(
                low.unwrap_or(unknown.low_thousandths),
                high.unwrap_or(unknown.high_thousandths),
            );
            (together, FrictionFrom::Several)
        }
    }
}

/// What an entry of the prep puts on the thread, if it speaks of the thread at all.
fn on_the_thread(entry: &str) -> Option<FrictionFrom> {
    if !speaks_of_the_thread(entry) {
        return None;
    }
    let words: Vec<&str> = entry
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let has = |stems: &[&str]| names(&words, stems);
    if has(&["antiseize", "seize", "copper", "molybdenum", "graphite"]) {
        Some(FrictionFrom::AntiSeize)
    } else if has(&["threadlock", "locking"]) || words.contains(&"lock") {
        Some(FrictionFrom::Threadlock)
    } else if has(&["paste"]) {
        // grit on a thread is of no class
        None
    } else if has(&["greas", "oil", "wax", "lubric"]) {
        Some(FrictionFrom::Greased)
    } else if has(&["dry", "degreased", "bare"]) {
        Some(FrictionFrom::Dry)
    } else {
        None
    }
}

/// Whether a word begins with one of the stems and is not denied: "no grease", "grease-free".
fn names(words: &[&str], stems: &[&str]) -> bool {
    const DENYING: [&str; 5] = ["no", "not", "without", "never", "free"];
    let denies = |word: Option<&&str>| word.is_some_and(|word| DENYING.contains(word));
    words.iter().enumerate().any(|(at, word)| {
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        let after = words.get(at + 1).filter(|word| **word == "free");
        stems.iter().any(|stem| word.starts_with(stem)) && !denies(before) && !denies(after)
    })
}

/// "grease on the post" says where it goes, and that is not the thread.
fn speaks_of_the_thread(entry: &str) -> bool {
    const THREADED: [&str; 9] = [
        "thread", "bolt", "screw", "head", "axle", "cup", "nut", "ring", "washer",
    ];
    let place = [" on ", " in ", " under ", " into ", " inside "]
        .iter()
        .find_map(|word| entry.split_once(word));
    place.is_none_or(|(_, place)| THREADED.iter().any(|word| place.contains(word)))
}

fn thousandths(coefficient: f64) -> Option<u16> {
    (Friction::LEAST..=Friction::MOST)
        .find(|&whole| (f64::from(whole) - coefficient * 1000.0).abs() < 1e-6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_read_in_whole_thousandths() {
        for (text, expected) in [
            (&[0.10, 0.16][..], Friction::new(100, 160)),
            (&[0.125, 0.125], Friction::new(125, 125)),
            (&[0.01, 1.0], Friction::new(10, 1_000)),
            (&[0.16, 0.10], None),
            (&[0.1], None),
            (&[0.1, 0.12, 0.14], None),
            (&[0.1, 0.12345], None),
            (&[0.0, 0.1], None),
            (&[0.1, 1.01], None),
            (&[f64::NAN, 0.1], None),
            (&[0.1, f64::INFINITY], None),
        ] {
            assert_eq!(Friction::from_coefficients(text), expected, "{text:?}");
        }
        let range = Friction::class(100, 160);
        assert_eq!(Friction::new(100, 160), Some(range));
        assert_eq!(range.to_string(), "0.1 to 0.16");
        assert!((range.middle() - 0.13).abs() < 1e-12);
    }

    #[test]
    fn the_prep_tells_the_friction() {
        use FrictionFrom::{AntiSeize, Dry, Greased, Several, Threadlock, Unknown};
        for (prep, expected, low, high) in [
            (&["grease on the thread"][..], Greased, 80, 160),
            (&["Oil"], Greased, 80, 160),
            (&["anti-seize on the axle"], AntiSeize, 40, 160),
            (&["copper paste on the thread"], AntiSeize, 40, 160),
            (&["threadlock, medium"], Threadlock, 140, 240),
            (&["thread-locking compound"], Threadlock, 140, 240),
            (&["thread lock"], Threadlock, 140, 240),
            (&["grease on the lockring"], Greased, 80, 160),
            (&["dry"], Dry, 140, 350),
            (&["degreased, dry"], Dry, 140, 350),
            (&["no grease on the thread"], Unknown, 80, 350),
            (&["grease-free"], Unknown, 80, 350),
            // what goes on the clamped tube does not change the thread
            (&["carbon paste on the post"], Unknown, 80, 350),
            (&["carbon paste"], Unknown, 80, 350),
            (&["grease on the post"], Unknown, 80, 350),
            (
                &["carbon paste on the post", "grease on the thread"],
                Greased,
                80,
                160,
            ),
            (
                &["carbon paste on the bar", "threadlock"],
                Threadlock,
                140,
                240,
            ),
            (
                &["grease under the head", "threadlock on the thread"],
                Several,
                80,
                240,
            ),
            (&["carbon paste on the thread"], Unknown, 80, 350),
            (&[], Unknown, 80, 350),
        ] {
            let prep: Vec<String> = prep.iter().map(|&entry| entry.to_owned()).collect();
            let (range, from) = friction_of(&prep);
            assert_eq!(from, expected, "{prep:?}");
            assert_eq!(range, Friction::class(low, high), "{prep:?}");
        }
    }
}
