//! What is looked at again after a bike was handed over: on which day, after how far, and how it stands.
//!
//! Days are those of the shop's calendar: the day of handing over is the date that the clock on the wall showed then, with the
//! offset that is written beside it. So neither a clock change nor a build finished late in the evening moves a day.

use crate::build::{Act, Build};
use crate::plan::Due;
use chrono::{DateTime, Days, Months, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A build that goes on from an earlier one of the same bike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Follows {
    /// The earlier build.
    pub build: String,
    /// SHA-256 of its last signed record's canonical JSON, where it was sealed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub record: Option<crate::canonical::Digest32>,
    /// What was due there and is done here, by the ids of that build's plan.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub due: Vec<String>,
}

/// A person says that something due was done, or was not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueTold {
    /// Which build.
    pub build: String,
    /// What, by its id in the plan.
    pub due: String,
    /// Whether it is done; `false` takes that back.
    pub done: bool,
    /// Who.
    pub by: String,
    /// What was found, or why it is taken back.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}

/// How far a bike has gone since it was handed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ridden {
    /// Which build.
    pub build: String,
    /// Whole kilometres; a later entry takes the place of an earlier one.
    pub kilometres: u32,
    /// Who says so.
    pub by: String,
}

/// What was said about a build after it was handed over. It stays when the build is taken up again: the bike has gone as
/// far as it has, and a service that was begun for it does what it does.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AfterRides {
    /// When it was handed over last, also while it is taken up again.
    pub handed_over: Option<Act>,
    /// What was said about each thing that is due, the oldest first: its id, and whether it is done.
    pub told: Vec<(String, bool, Act)>,
    /// How far it has gone.
    pub ridden: Option<(u32, Act)>,
}

/// How something that is due stands.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum DueStanding {
    /// Its day has come, or the bike has gone so far.
    Due,
    /// It is not time yet.
    Waiting,
    /// A person said that it is done, or a later build did it.
    Done,
}

/// Something due, as a record states it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueRecord {
    /// Its id.
    pub id: String,
    /// For people.
    pub title: String,
    /// The day, `2026-12-24`; none where it is due by distance alone.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub on: Option<String>,
    /// After so many kilometres, if that comes first.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kilometres: Option<u32>,
    /// The fasteners and checks, by their ids; the whole bike if there are none.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub fasteners: Vec<String>,
    /// Who says so.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub source: Option<String>,
}

/// What a finished build's record says is due.
pub(crate) fn records(build: &Build) -> Vec<DueRecord> {
    let handed_over = handed_over_on(build);
    let all = build.plan.due.iter();
    all.map(|due| DueRecord {
        id: due.id.clone(),
        title: due.title.clone(),
        on: handed_over
            .and_then(|handed_over| day(due, handed_over))
            .map(|day| day.to_string()),
        kilometres: due.kilometres,
        fasteners: due.fasteners.clone(),
        source: due.source.clone(),
    })
    .collect()
}

/// The day on which a build was handed over last.
pub fn handed_over_on(build: &Build) -> Option<NaiveDate> {
    day_of(&build.after_rides.handed_over.as_ref()?.time)
}

/// The day that the shop's clock showed at a moment; nothing where it is not written as RFC 3339 has it.
pub fn day_of(time: &str) -> Option<NaiveDate> {
    let time = DateTime::parse_from_rfc3339(time).ok()?;
    Some(time.date_naive())
}

/// The day on which something is due after a bike was handed over; none where it is due by distance alone.
///
/// A month after the 31st is the last day of a month that has none.
pub fn day(due: &Due, handed_over: NaiveDate) -> Option<NaiveDate> {
    match (due.days, due.months) {
        (Some(days), _) => handed_over.checked_add_days(Days::new(days.into())),
        (None, Some(months)) => handed_over.checked_add_months(Months::new(months.into())),
        (None, None) => None,
    }
}

/// How something stands on a day. `is_done` is what [`done`] or a later build says.
pub fn standing(
    due: &Due,
    handed_over: NaiveDate,
    ridden: Option<u32>,
    is_done: bool,
    today: NaiveDate,
) -> DueStanding {
    let is_day = day(due, handed_over).is_some_and(|day| day <= today);
    let is_far = match (due.kilometres, ridden) {
        (Some(wanted), Some(gone)) => gone >= wanted,
        _ => false,
    };
    if is_done {
        DueStanding::Done
    } else if is_day || is_far {
        DueStanding::Due
    } else {
        DueStanding::Waiting
    }
}

/// Who said that it is done, where nobody has taken that back.
pub fn done<'b>(build: &'b Build, due: &str) -> Option<&'b Act> {
    let told = &build.after_rides.told;
    let last = told.iter().rfind(|(id, ..)| id == due)?;
    last.1.then_some(&last.2)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn due(days: Option<u16>, months: Option<u16>, kilometres: Option<u32>) -> Due {
        Due {
            id: "first-rides".to_owned(),
            title: "After the first rides".to_owned(),
            days,
            months,
            kilometres,
            fasteners: Vec::new(),
            source: None,
        }
    }

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_day_is_found_over_the_ends_of_months_and_years() {
        // By the calendar (ISO 8601 dates of the Gregorian calendar); 2028 is a leap year.
        for (from, days, months, wanted) in [
            ("2026-01-31", None, Some(1), "2026-02-28"),
            ("2028-01-31", None, Some(1), "2028-02-29"),
            ("2026-08-31", None, Some(6), "2027-02-28"),
            ("2026-11-30", None, Some(3), "2027-02-28"),
            ("2028-02-29", None, Some(12), "2029-02-28"),
            ("2026-12-15", Some(30), None, "2027-01-14"),
            ("2026-02-28", Some(1), None, "2026-03-01"),
            ("2028-02-28", Some(1), None, "2028-02-29"),
            ("2026-10-24", Some(2), None, "2026-10-26"),
        ] {
            assert_eq!(
                day(&due(days, months, None), date(from)),
                Some(date(wanted)),
                "{from}"
            );
        }
        assert_eq!(day(&due(None, None, Some(100)), date("2026-01-31")), None);
    }

    #[test]
    fn whichever_comes_first_makes_it_due() {
        let first = due(Some(30), None, Some(150));
        let from = date("2026-10-01");
        let at = |ridden, is_done, day| standing(&first, from, ridden, is_done, date(day));
        assert_eq!(at(None, false, "2026-10-30"), DueStanding::Waiting);
        assert_eq!(at(None, false, "2026-10-31"), DueStanding::Due);
        assert_eq!(at(Some(149), false, "2026-10-02"), DueStanding::Waiting);
        assert_eq!(at(Some(150), false, "2026-10-02"), DueStanding::Due);
        assert_eq!(at(Some(150), true, "2026-12-02"), DueStanding::Done);
        let far = due(None, None, Some(150));
        assert_eq!(
            standing(&far, from, None, false, date("2030-01-01")),
            DueStanding::Waiting
        );
    }
}
