//! One line for one ledger entry.

use super::life::life_line;
use super::people;
use super::{Ink, band, limits, padded, torque};
use crate::client::{Client, ClientError};
use pullmark_schema::api::BenchView;
use pullmark_schema::check::CheckReading;
use pullmark_schema::entry::{Entry, Event, OnFastener, OverNow, Placed, Pulled};
use pullmark_schema::placement::{Place, Placement, PullKind};
use pullmark_schema::plan::Limits;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::Reading;
use pullmark_schema::verdict::{Answer, Verdict};
use std::collections::BTreeMap;

/// The titles of fasteners and checks, as the builds' plans give them.
#[derive(Debug, Default)]
pub(crate) struct Titles {
    fasteners: BTreeMap<(String, String), (String, usize)>,
    readings: BTreeMap<u64, Reading>,
    checks: BTreeMap<u64, CheckReading>,
}

impl Titles {
    /// Asks the daemon for them.
    pub(crate) async fn ask(client: &Client) -> Result<Self, ClientError> {
        let bench: BenchView = client.get("/v1/bench").await?;
        let mut titles = Self::default();
        for build in &bench.builds {
            for stage in &build.stages {
                for fastener in &stage.fasteners {
                    let value = (fastener.title.clone(), stage.passes_percent.len());
                    titles
                        .fasteners
                        .insert((build.id.clone(), fastener.id.clone()), value);
                }
                for check in &stage.checks {
                    let value = (check.title.clone(), usize::from(check.readings));
                    titles
                        .fasteners
                        .insert((build.id.clone(), check.id.clone()), value);
                }
            }
        }
        Ok(titles)
    }

    /// Whether an entry speaks of a build that is not known yet.
    pub(crate) fn lacks(&self, entry: &Entry) -> bool {
        entry
            .event
            .build()
            .is_some_and(|build| !self.fasteners.keys().any(|(known, _)| known == build))
    }

    /// Remembers a reading, for a later entry that says where it belongs.
    pub(crate) fn remember(&mut self, entry: &Entry) {
        if let Event::Pulled(pulled) = &entry.event {
            self.readings.insert(entry.sequence, pulled.reading.clone());
        }
        if let Event::CheckMeasured(measured) = &entry.event {
            self.checks.insert(entry.sequence, measured.reading.clone());
        }
    }

    pub(super) fn check_reading(&self, sequence: u64) -> Option<&CheckReading> {
        self.checks.get(&sequence)
    }

    /// How many readings a check wants.
    pub(super) fn readings_of(&self, build: &str, check: &str) -> usize {
        let key = (build.to_owned(), check.to_owned());
        self.fasteners
            .get(&key)
            .map_or(1, |(_, readings)| *readings)
    }

    pub(super) fn title(&self, build: &str, fastener: &str) -> String {
        let key = (build.to_owned(), fastener.to_owned());
        self.fasteners
            .get(&key)
            .map_or_else(|| fastener.to_owned(), |(title, _)| title.clone())
    }

    /// The title, and which pass it is where there are several.
    fn place(&self, build: &str, place: &Place) -> String {
        let key = (build.to_owned(), place.fastener.clone());
        match self.fasteners.get(&key) {
            Some((title, passes)) if *passes > 1 => {
                format!("{title}, pass {}", u16::from(place.pass) + 1)
            }
            Some((title, _)) => title.clone(),
            None => place.fastener.clone(),
        }
    }
}

fn said_line(tool: &str, serial: Option<&str>, battery: Option<u8>) -> String {
    let serial = serial.map(|serial| format!(" serial number {serial}"));
    let battery = battery.map(|percent| format!(" battery at {percent} %"));
    let all: Vec<String> = serial.into_iter().chain(battery).collect();
    format!("{tool} says:{}", all.join(","))
}

fn over_line(over: &OverNow, titles: &Titles, ink: Ink) -> String {
    let value = over
        .displayed
        .as_ref()
        .map_or_else(|| "past its range".to_owned(), ToString::to_string);
    let fastener = titles.title(&over.build, &over.alarm.place.fastener);
    ink.alarm(&format!(
        "OVER during the pull: {} is at {value} on {fastener}, the limit is {}",
        over.tool, over.alarm.upper
    ))
}

/// One line for an entry; nothing for one that a person need not see.
pub(crate) fn entry_line(entry: &Entry, titles: &Titles, ink: Ink) -> Option<String> {
    let text = match &entry.event {
        Event::Pulled(pulled) => pulled_line(pulled, titles, ink),
        Event::Placed(placed) => placed_line(placed, titles, ink),
        Event::CheckMeasured(measured) => super::checks::measured_line(measured, titles, ink),
        Event::CheckPlaced(placed) => super::checks::placed_line(placed, titles, ink),
        Event::BuildStarted {
            build, plan, by, ..
        } => format!("{by} begins {build}: {}, {}", plan.title, plan.edition),
        Event::ToolConnected { tool, port } => format!("{tool} is connected at {port}"),
        Event::ToolGone { tool, why, .. } => ink.low(&format!("{tool} is gone: {why}")),
        Event::Unreadable { tool, why, .. } => {
            ink.low(&format!("a line from {tool} does not count: {why}"))
        }
        Event::ToolSaid {
            tool,
            serial,
            battery_percent,
            ..
        } => ink.low(&said_line(tool, serial.as_deref(), *battery_percent)),
        Event::OverNow(over) => over_line(over, titles, ink),
        Event::Acknowledged { by, .. } => format!("{by} acknowledges the over alarm"),
        Event::Loosened(on) => act(on, titles, "loosens"),
        Event::TakenUp(on) => act(on, titles, "takes up"),
        Event::Prepared(on) => act(on, titles, "has prepared"),
        Event::Looked(on) => act(on, titles, "has looked at"),
        Event::Disposed {
            build,
            fastener,
            decision,
            by,
            reason,
            confirmed,
        } => {
            format!(
                "{by} decides on {}: {decision} ({reason}){}",
                titles.title(build, fastener),
                people::how(*confirmed)
            )
        }
        Event::PointedAt {
            build,
            fastener,
            by,
        } => format!("{by} points at {}", titles.title(build, fastener)),
        Event::BuildFinished { build, by, sure } => match sure {
            Some(sure) => format!("{by} hands {build} over, sure that nothing was missed: {sure}"),
            None => format!("{by} hands {build} over"),
        },
        Event::Reopened(reopened) => format!(
            "{} takes {} up again: {}",
            reopened.by, reopened.build, reopened.reason
        ),
        Event::Recalled(recalled) => ink.alarm(&format!(
            "{} recalls {} (serial {}): {} of {} readings out of limits now, {} doubtful",
            recalled.by,
            recalled.tool,
            recalled.serial,
            recalled.out,
            recalled.examined,
            recalled.doubtful
        )),
        Event::Affected(affected) => ink.alarm(&format!(
            "{}: {} reading(s) to look at again; its record has to be amended",
            affected.build,
            affected.readings.len()
        )),
        Event::ClockChanged { by_ms } => ink.low(&format!("the clock was moved by {by_ms} ms")),
        Event::Started { .. } | Event::ToolAdded { .. } | Event::ToolAssigned { .. } => {
            return None;
        }
        event => {
            return life_line(event, titles)
                .or_else(|| people::people_line(event))
                .or_else(|| tool_line(event))
                .or_else(|| ledger_line(event));
        }
    };
    Some(text)
}

/// What is said of tools.
fn tool_line(event: &Event) -> Option<String> {
    Some(match event {
        Event::ToolCertified {
            tool,
            certificate,
            by,
        } => format!(
            "{by} enters the certificate {} of {tool}, due {}",
            certificate.number, certificate.due
        ),
        Event::ToolFitted { tool, adapter, by } => match adapter {
            Some(adapter) => format!("{by} puts {adapter} on {tool}"),
            None => format!("{by} takes the adapter off {tool}"),
        },
        Event::CheckBegun { tool, by } => format!("{by} checks {tool} against a reference"),
        Event::CheckGivenUp { tool, by } => format!("{by} gives the check of {tool} up"),
        Event::ToolChecked(check) => format!(
            "{} has checked {} against {}: {} pull(s)",
            check.by,
            check.tool,
            check.against,
            check.pulls.len()
        ),
        _ => return None,
    })
}

/// What makes records last.
fn ledger_line(event: &Event) -> Option<String> {
    Some(match event {
        Event::RecordSealed {
            build,
            record,
            by,
            confirmed,
            ..
        } => format!(
            "{by} seals the record of {build}, SHA-256 {record}{}",
            people::how(*confirmed)
        ),
        Event::HeadSigned(_) => "the head of the ledger is signed".to_owned(),
        Event::HeadTimestamped(stamped) => format!(
            "a signed head is stamped {} by {}",
            stamped.time, stamped.authority
        ),
        Event::KeyLinked(new) => format!(
            "the bench signs with {} from now on: {}",
            new.key, new.reason
        ),
        _ => return None,
    })
}

fn act(on: &OnFastener, titles: &Titles, verb: &str) -> String {
    let reason = on
        .reason
        .as_ref()
        .map(|reason| format!(" ({reason})"))
        .unwrap_or_default();
    format!(
        "{} {verb} {}{reason}",
        on.by,
        titles.title(&on.build, &on.fastener)
    )
}

fn shown(reading: &Reading) -> String {
    match &reading.displayed {
        Some(displayed) => {
            format!("{:>6} {}", displayed.value, displayed.unit_symbol())
        }
        None => "past its range".to_owned(),
    }
}

fn pulled_line(pulled: &Pulled, titles: &Titles, ink: Ink) -> String {
    let build = pulled.build.as_deref().unwrap_or_default();
    let mut text = match (&pulled.placement, &pulled.verdict) {
        (Placement::Held { because, .. }, _) => {
            let what = shown(&pulled.reading);
            format!(
                "{}  {}  {}",
                padded("?", 15),
                what,
                ink.ask(&format!("held: {because}; where does it belong?"))
            )
        }
        (placement, Some(verdict)) => {
            let place = placement
                .place()
                .map(|place| titles.place(build, place))
                .unwrap_or_default();
            verdict_line(
                &pulled.reading,
                verdict,
                &format!("{place}{}", note(placement)),
                ink,
            )
        }
        (_, None) => format!(
            "{}  {}  belongs to no fastener",
            padded("", 15),
            shown(&pulled.reading)
        ),
    };
    if let Some(alarm) = &pulled.alarm {
        let place = titles.place(build, &alarm.place);
        text.push('\n');
        text.push_str(&alarm_line(&place, &pulled.reading, alarm.upper, ink));
    }
    text
}

fn note(placement: &Placement) -> &'static str {
    match placement {
        Placement::ByOrder {
            kind: PullKind::Repeat,
            ..
        } => " (repeat click, counted there)",
        Placement::ByOrder {
            kind: PullKind::OutOfOrder,
            ..
        } => " (out of order)",
        Placement::ByOrder {
            kind: PullKind::Again,
            ..
        } => " (pulled again)",
        _ => "",
    }
}

fn verdict_line(reading: &Reading, verdict: &Verdict, place: &str, ink: Ink) -> String {
    let word = padded(&verdict.answer.to_string(), 9);
    let word = match verdict.answer {
        Answer::Within => ink.good(&word),
        Answer::Under | Answer::Undecided => ink.low(&word),
        Answer::Over => ink.alarm(&word),
    };
    let range: &Limits = &verdict.limits;
    let picture = band(range, reading.applied);
    format!(
        "{picture} {}  {word}  {place}  {}",
        shown(reading),
        ink.faint(&limits(range))
    )
}

fn alarm_line(place: &str, reading: &Reading, upper: Torque, ink: Ink) -> String {
    let value = shown(reading).trim().to_owned();
    ink.alarm(&format!(
        " OVER  {place}: {value}, at most {}. Stop and look at the part. ",
        torque(upper)
    ))
}

/// Why a reading that was held is placed and nobody has said where.
pub(crate) const LATER: &str = "made clear by a later pull or answer";

fn placed_line(placed: &Placed, titles: &Titles, ink: Ink) -> String {
    let place = placed
        .placement
        .place()
        .map(|place| titles.place(&placed.build, place));
    let number = placed.reading;
    let said = match (&place, &placed.placement) {
        (Some(place), Placement::ByOrder { .. }) => {
            format!("entry {number} belongs to {place}: {LATER}")
        }
        (Some(place), Placement::ByChoice { by, .. }) => {
            format!("{by} says that entry {number} belongs to {place}")
        }
        (_, Placement::Nowhere { by, reason }) => {
            format!("{by} says that entry {number} belongs to no fastener ({reason})")
        }
        _ => format!("entry {number} was placed"),
    } + &people::how(placed.confirmed);
    let mut text = match (&place, &placed.verdict, titles.readings.get(&number)) {
        (Some(place), Some(verdict), Some(reading)) => {
            let place = format!("{place}{}", note(&placed.placement));
            format!("{said}\n{}", verdict_line(reading, verdict, &place, ink))
        }
        _ => said,
    };
    if let (Some(alarm), Some(reading)) = (&placed.alarm, titles.readings.get(&placed.reading)) {
        text.push('\n');
        text.push_str(&alarm_line(
            &titles.place(&placed.build, &alarm.place),
            reading,
            alarm.upper,
            ink,
        ));
    }
    text
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn entry(sequence: u64, kind: &str, body: &Value) -> Entry {
        serde_json::from_value(json!({
            "version": 1,
            "sequence": sequence,
            "time": "2026-06-01T09:00:00.000+02:00",
            "since_boot_ms": 1000,
            "bench": "harrow-lane",
            "previous": "0".repeat(64),
            "kind": kind,
            "body": body,
        }))
        .unwrap()
    }

    fn said(entry: &Entry, titles: &Titles) -> String {
        entry_line(entry, titles, Ink(false)).unwrap()
    }

    #[test]
    fn what_a_later_pull_made_clear_is_said_with_its_verdict() {
        let mut titles = Titles::default();
        titles.fasteners.insert(
            ("ferry".to_owned(), "guide.upper".to_owned()),
            ("Chain guide, upper bolt".to_owned(), 1),
        );
        let held = entry(
            7,
            "pulled",
            &json!({
                "reading": {
                    "tool": "w1",
                    "origin": {"attested": {"by": "Mara"}},
                    "displayed": {"value": "5.00", "unit": "N.m"},
                    "applied_millinewton_metre": 5000,
                },
                "build": "ferry",
                "placement": {"held": {"because": "earlier-held", "candidates": []}},
            }),
        );
        assert!(
            said(&held, &titles)
                .ends_with("5.00 N·m  held: an earlier reading still waits; where does it belong?")
        );
        titles.remember(&held);
        let cleared = entry(
            9,
            "placed",
            &json!({
                "reading": 7,
                "build": "ferry",
                "placement": {"by-order": {
                    "place": {"fastener": "guide.upper", "pass": 0},
                    "kind": "repeat",
                    "probability_millionths": 991_000,
                }},
                "verdict": {
                    "answer": "within",
                    "limits": {"lower_millinewton_metre": 4500, "upper_millinewton_metre": 5500},
                    "rule": "simple",
                },
            }),
        );
        let text = said(&cleared, &titles);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(
            lines[0],
            "entry 7 belongs to Chain guide, upper bolt: made clear by a later pull or answer"
        );
        assert_eq!(
            lines[1],
            " ┠──────◆──────┨    5.00 N·m  within     Chain guide, upper bolt (repeat click, counted there)  4.5 to 5.5 N·m"
        );
    }
}
