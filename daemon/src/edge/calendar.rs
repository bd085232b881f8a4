//! What is due as a calendar file (iCalendar, RFC 5545): whole days, so that no clock change and no time zone moves them.

use chrono::{DateTime, NaiveDate, Utc};
use icalendar::{Calendar, Component as _, Event, EventLike as _, Property};
use pullmark_schema::api::DueView;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::due::DueStanding;

/// The calendar of everything that has a day and is not done.
pub(super) fn calendar(list: &[DueView], bench: &str, now: DateTime<Utc>) -> String {
    let mut calendar = Calendar::empty();
    calendar
        .append_property(Property::new("VERSION", "2.0"))
        .append_property(Property::new("PRODID", "-//Pullmark//due//EN"))
        .append_property(Property::new("CALSCALE", "GREGORIAN"))
        .append_property(Property::new("METHOD", "PUBLISH"));
    calendar.name(&format!("Due at {bench}"));
    for view in list
        .iter()
        .filter(|view| view.standing != DueStanding::Done)
    {
        if let Some(on) = view.on.as_ref().and_then(|on| on.parse().ok()) {
            calendar.push(event(view, on, bench, now));
        }
    }
    calendar.to_string()
}

fn event(view: &DueView, on: NaiveDate, bench: &str, now: DateTime<Utc>) -> Event {
    let bike = view.bike.label.as_ref().unwrap_or(&view.bike.frame);
    let mut event = Event::new();
    event
        .uid(&uid(view, bench))
        .timestamp(now)
        .summary(&format!("{}: {bike}", view.title))
        .description(&description(view))
        .add_property("TRANSP", "TRANSPARENT")
        .all_day(on);
    event.done()
}

/// The same each time that the file is made, so that a calendar does not hold it twice.
fn uid(view: &DueView, bench: &str) -> String {
    let named = format!("{bench}\n{}\n{}", view.build, view.id);
    let hash = Digest32::of(named.as_bytes()).to_string();
    format!("{}@pullmark", hash.get(..32).unwrap_or(&hash))
}

fn description(view: &DueView) -> String {
    let mut lines = vec![format!(
        "Build {}, frame {}, handed over on {}.",
        view.build, view.bike.frame, view.handed_over
    )];
    if let Some(far) = view.kilometres {
        lines.push(format!("After {far} km, if that comes first."));
    }
    if view.fasteners.is_empty() {
        lines.push("The whole bike.".to_owned());
    }
    lines.extend(view.fasteners.iter().map(|one| format!("- {}", one.title)));
    if let Some(source) = &view.source {
        lines.push(format!("Source: {source}."));
    }
    lines.push("The part makers' instructions come first.".to_owned());
    lines.join("\n")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use pullmark_schema::api::DueFastenerView;
    use pullmark_schema::entry::Bike;

    fn view(title: &str, on: Option<&str>, standing: DueStanding) -> DueView {
        DueView {
            build: "ferry-2".to_owned(),
            bike: Bike {
                frame: "FC54-0193".to_owned(),
                label: Some("Ferry; blue, 56".to_owned()),
            },
            id: title.to_lowercase(),
            title: title.to_owned(),
            standing,
            handed_over: "2026-08-31".to_owned(),
            on: on.map(str::to_owned),
            days_left: None,
            kilometres: Some(150),
            ridden: None,
            fasteners: vec![DueFastenerView {
                id: "stem.1".to_owned(),
                title: "Upper \\ bolt".to_owned(),
            }],
            source: Some("common practice, no source".to_owned()),
            done_by: None,
            done_reason: None,
            in_build: None,
        }
    }

    #[test]
    fn what_has_a_day_and_is_not_done_is_in_the_file() {
        let now = "2026-09-01T10:00:00Z".parse().unwrap();
        let list = [
            view("Stem", Some("2027-02-28"), DueStanding::Waiting),
            view("Late", Some("2026-08-31"), DueStanding::Due),
            view("Far", None, DueStanding::Waiting),
            view("Done", Some("2026-09-30"), DueStanding::Done),
        ];
        let text = calendar(&list, "north", now);
        assert_eq!(text, calendar(&list, "north", now));
        assert_eq!(text.matches("BEGIN:VEVENT").count(), 2, "{text}");
        for wanted in [
            "DTSTART;VALUE=DATE:20270228\r\n",
            "DTSTAMP:20260901T100000Z\r\n",
            "SUMMARY:Stem: Ferry\\; blue\\, 56\r\n",
        ] {
            assert!(text.contains(wanted), "{wanted}: {text}");
        }
        // RFC 5545, 3.1: no line is longer than 75 octets.
        assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
    }
}
