//! One line for one ledger entry.

use super::{Ink, band, limits, padded};
use crate::client::{Client, ClientError};
use pullmark_schema::api::BenchView;
use pullmark_schema::entry::{Entry, Event, OnFastener, Placed, Pulled};
use pullmark_schema::placement::{Place, Placement, PullKind};
use pullmark_schema::plan::Limits;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::Reading;
use pullmark_schema::verdict::{Answer, Verdict};
use std::collections::BTreeMap;

/// The titles of fasteners, as the builds' plans give them.
#[derive(Debug, Default)]
pub(crate) struct Titles {
    fasteners: BTreeMap<(String, String), (String, usize)>,
    readings: BTreeMap<u64, Reading>,
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
    }

    fn title(&self, build: &str, fastener: &str) -> String {
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

/// One line for an entry; nothing for one that a person need not see.
pub(crate) fn entry_line(entry: &Entry, titles: &Titles, ink: Ink) -> Option<String> {
    let text = match &entry.event {
        Event::Pulled(pulled) => pulled_line(pulled, titles, ink),
        Event::Placed(placed) => placed_line(placed, titles, ink),
        Event::BuildStarted {
            build, plan, by, ..
        } => format!("{by} begins {build}: {}, {}", plan.title, plan.edition),
        Event::ToolConnected { tool, port } => format!("{tool} is connected at {port}"),
        Event::ToolGone { tool, why, .. } => ink.low(&format!("{tool} is gone: {why}")),
        Event::Unreadable { tool, why, .. } => {
            ink.low(&format!("a line from {tool} does not count: {why}"))
        }
        Event::Acknowledged { by, .. } => format!("{by} acknowledges the over alarm"),
        Event::Loosened(on) => act(on, titles, "loosens"),
        Event::Deferred(on) => act(on, titles, "defers"),
        Event::TakenUp(on) => act(on, titles, "takes up"),
        Event::Prepared(on) => act(on, titles, "has prepared"),
        Event::Looked(on) => act(on, titles, "has looked at"),
        Event::Disposed {
            build,
            fastener,
            decision,
            by,
            reason,
        } => {
            format!(
                "{by} decides on {}: {decision} ({reason})",
                titles.title(build, fastener)
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
        Event::RecordSealed {
            build, record, by, ..
        } => format!("{by} seals the record of {build}, SHA-256 {record}"),
        Event::ClockChanged { by_ms } => ink.low(&format!("the clock was moved by {by_ms} ms")),
        Event::Started { .. } | Event::ToolAdded { .. } | Event::ToolAssigned { .. } => {
            return None;
        }
    };
    Some(text)
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
        " OVER  {place}: {value}, at most {upper}. Stop and look at the part. "
    ))
}

fn placed_line(placed: &Placed, titles: &Titles, ink: Ink) -> String {
    let place = placed
        .placement
        .place()
        .map(|place| titles.place(&placed.build, place));
    let mut text = match (place, &placed.placement) {
        (Some(place), Placement::ByChoice { by, .. }) => {
            let said = format!("{by} says that entry {} belongs to {place}", placed.reading);
            match (&placed.verdict, titles.readings.get(&placed.reading)) {
                (Some(verdict), Some(reading)) => {
                    format!("{said}\n{}", verdict_line(reading, verdict, &place, ink))
                }
                _ => said,
            }
        }
        (_, Placement::Nowhere { by, reason }) => {
            format!(
                "{by} says that entry {} belongs to no fastener ({reason})",
                placed.reading
            )
        }
        _ => format!("entry {} was placed", placed.reading),
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
