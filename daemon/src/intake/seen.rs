//! What a line or a frame says, small and without text of its own: it is made millions of times a second where a trace
//! streams, and only what becomes an entry is written out.

use super::dialect::Line;
use pullmark_schema::check::SmallUnit;
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Meaning;
use pullmark_schema::quantity::{Kind, Rounding, Stated, Torque};
use pullmark_schema::reading::{Displayed, Flag};

/// A value as a tool gives it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Seen {
    /// As displayed; none where the tool was past its range.
    pub number: Option<Stated>,
    /// The torque it means, rounded up to whole mN·m.
    pub torque: Option<Torque>,
    /// The tool's own count of readings.
    pub counter: Option<u64>,
    /// The tool's own time, in whatever it counts.
    pub time: Option<u64>,
    /// What the tool said along with it.
    pub words: Words,
}

/// What a number with its unit is: torque, or a value of another quantity; nothing that no tool of a workshop can mean.
pub(super) fn line_of(stated: Stated, seen: Seen) -> Line {
    let number = Some(stated);
    if let Some(unit) = SmallUnit::of(stated.unit.kind) {
        return match unit.value_of(stated, Rounding::Up) {
            Ok(_) => Line::Value(Seen { number, ..seen }),
            Err(_) => Line::Unreadable(Unreadable::NotSane),
        };
    }
    let torque = Torque::of(stated, Rounding::Up).ok();
    match torque.filter(|torque| torque.is_sane()) {
        None => Line::Unreadable(Unreadable::NotSane),
        torque => Line::Value(Seen {
            number,
            torque,
            ..seen
        }),
    }
}

impl Line {
    /// What a new reading says: that it has no value is told too.
    pub(super) const fn or_unreadable(self) -> Self {
        match self {
            Self::Nothing => Self::Unreadable(Unreadable::BadNumber),
            line => line,
        }
    }
}

/// A set of status words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Words(u8);

/// In the order in which flags are listed.
const FLAGGED: [Meaning; 4] = [
    Meaning::BatteryLow,
    Meaning::SentAgain,
    Meaning::OverRange,
    Meaning::FirstPeak,
];

impl Words {
    /// With one more.
    #[must_use]
    pub const fn with(self, meaning: Meaning) -> Self {
        Self(self.0 | 1 << (meaning as u8))
    }

    /// Whether it was said.
    pub const fn has(self, meaning: Meaning) -> bool {
        self.0 & 1 << (meaning as u8) != 0
    }

    /// All of both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// As people say them.
    pub(super) fn names(self) -> impl Iterator<Item = &'static str> {
        [
            (Meaning::BatteryLow, "battery low"),
            (Meaning::SentAgain, "sent again"),
            (Meaning::Peak, "peak"),
            (Meaning::FirstPeak, "first peak"),
            (Meaning::Track, "track"),
        ]
        .into_iter()
        .filter_map(move |(meaning, name)| self.has(meaning).then_some(name))
    }

    /// What a reading is marked with.
    pub fn flags(self) -> Vec<Flag> {
        let said = FLAGGED.into_iter().filter(|meaning| self.has(*meaning));
        said.filter_map(Meaning::flag).collect()
    }
}

/// A value written out, as it is decided about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Value {
    /// As displayed; none where the tool was past its range.
    pub displayed: Option<Displayed>,
    /// The torque it means, rounded up to whole mN·m.
    pub torque: Option<Torque>,
    /// The tool's own count of readings.
    pub counter: Option<u64>,
    /// What the tool said along with it.
    pub flags: Vec<Flag>,
}

impl Seen {
    /// A value of another quantity than torque, and nothing said beside it.
    pub fn other(stated: Stated) -> Self {
        Self {
            number: Some(stated),
            ..Self::default()
        }
    }

    /// Whether it is a value of another quantity than torque.
    pub fn is_other(&self) -> bool {
        self.number
            .is_some_and(|stated| stated.unit.kind != Kind::Torque)
    }

    /// Written out.
    pub fn to_value(self) -> Value {
        Value {
            displayed: self.number.map(|stated| Displayed {
                value: stated.value.to_string(),
                unit: stated.unit.ucum.to_owned(),
            }),
            torque: self.torque,
            counter: self.counter,
            flags: self.words.flags(),
        }
    }

    /// The torque in whole µN·m, for a trace.
    pub fn micro(&self) -> Option<i64> {
        let stated = self.number?;
        stated.unit.to_thousandths(stated.value, Rounding::Up)
    }
}
