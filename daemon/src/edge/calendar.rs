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
        .append_property(Property::new("CALSCALE", "GREGORIAN"));
    calendar.name(&on_a_line(&format!("Due at {bench}")));
    let mut is_empty = true;
    for view in list
        .iter()
        .filter(|view| view.standing != DueStanding::Done)
    {
        if let Some(on) = view.on.as_ref().and_then(|on| on.parse().ok()) {
            calendar.push(event(view, on, bench, now));
            is_empty = false;
        }
    }
    let text = calendar.to_string();
    match text.strip_suffix(END) {
        Some(begun) if is_empty => format!("{begun}{NOTHING}{END}"),
        _ => text,
    }
}

const END: &str = "END:VCALENDAR\r\n";

/// RFC 5545, 3.6: a calendar has at least one component. Where nothing has a day it is a time zone, the one that a reader
/// has nothing to do with.
const NOTHING: &str = "BEGIN:VTIMEZONE\r\nTZID:Etc/UTC\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n\
                       TZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\nTZNAME:UTC\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n";

/// RFC 5545, 3.3.11: a text has no control characters. A plan's titles may have them.
fn on_a_line(text: &str) -> String {
    text.replace(char::is_control, " ")
}

fn event(view: &DueView, on: NaiveDate, bench: &str, now: DateTime<Utc>) -> Event {
    let bike = view.bike.label.as_ref().unwrap_or(&view.bike.frame);
    let mut event = Event::new();
    event
        .uid(&uid(view, bench))
        .timestamp(now)
        .summary(&on_a_line(&format!("{}: {bike}", view.title)))
        .description(&description(view))
        .add_property("TRANSP", "TRANSPARENT")
        // A day without an end is that day (RFC 5545, 3.6.1); an end would be the day after.
        .starts(on);
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
    let lines: Vec<String> = lines.iter().map(|line| on_a_line(line)).collect();
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
        assert!(!text.contains("DTEND"), "{text}");
        is_well_formed(&text);
    }

    /// RFC 5545, 3.1: lines end in CR LF and are no longer than 75 octets, and 3.6: there is a component.
    fn is_well_formed(text: &str) {
        assert!(text.ends_with(END));
        for line in text.split("\r\n") {
            assert!(line.len() <= 75, "{line}");
            assert!(!line.contains(char::is_control), "{line:?}");
        }
        let count = |word| text.lines().filter(|line| line.starts_with(word)).count();
        assert!(count("BEGIN:") >= 2 && count("BEGIN:") == count("END:"));
    }

    #[test]
    fn with_nothing_due_it_is_a_calendar_all_the_same() {
        let now = "2026-09-01T10:00:00Z".parse().unwrap();
        for list in [Vec::new(), vec![view("Far", None, DueStanding::Waiting)]] {
            let text = calendar(&list, "north", now);
            is_well_formed(&text);
            assert!(!text.contains("VEVENT"), "{text}");
        }
    }

    #[test]
    fn a_title_with_control_characters_stays_on_its_line() {
        let now = "2026-09-01T10:00:00Z".parse().unwrap();
        let mut view = view(
            "Stem\rATTACH:x\u{7}",
            Some("2027-02-28"),
            DueStanding::Waiting,
        );
        view.fasteners[0].title = "Upper\r\nbolt".to_owned();
        view.source = Some("sheet\t2\rEND:VEVENT".to_owned());
        let text = calendar(&[view], "no\rth", now);
        is_well_formed(&text);
        assert!(text.contains("SUMMARY:Stem ATTACH:x : Ferry"), "{text}");
        assert_eq!(text.matches("\r\nEND:VEVENT").count(), 1, "{text}");
    }
}
