//! What happened around a silent error, line by line, for whoever wants to know why.

use pullmark_schema::api::Act;
use pullmark_schema::entry::Pulled;
use pullmark_schema::placement::{self, Candidate, Placement};
use pullmark_sim::mechanic::{Pull, Truth};
use std::fmt::Write as _;

/// Lines before and after what is told.
const BEFORE: usize = 6;
const AFTER: usize = 4;

/// The lines of a day; none are kept where nobody wants them.
#[derive(Debug, Default)]
pub(super) struct Story {
    is_wanted: bool,
    lines: Vec<String>,
    /// What is told, and the line it is about.
    marks: Vec<(usize, String)>,
    wrong_fasteners: Vec<(String, String)>,
}

impl Story {
    pub(super) fn new(is_wanted: bool) -> Self {
        Self {
            is_wanted,
            ..Self::default()
        }
    }

    pub(super) fn reading(&mut self, sequence: u64, pull: &Pull, pulled: &Pulled, name: &str) {
        if !self.is_wanted {
            return;
        }
        let truth = pull.truth.map_or_else(
            || "no bolt".to_owned(),
            |place| format!("b{} {name}/{}", place.bike, place.pass),
        );
        let expected = pulled.expected.as_ref().map_or_else(String::new, at);
        let mut line = format!(
            "{sequence:>5} +{:.1} s, w{}: {:.2} (shown {:.2}) at {truth} [{}]; expected {expected}; {}",
            pull.gap_s,
            pull.tool,
            pull.newton_metres,
            pull.shown,
            pull.causes,
            placed(&pulled.placement)
        );
        if let Some(alarm) = &pulled.alarm {
            let _ = write!(line, "; ALARM at {}", at(&alarm.place));
        }
        self.lines.push(line);
    }

    pub(super) fn act(&mut self, act: &Act) {
        if !self.is_wanted {
            return;
        }
        let line = match act {
            Act::Place {
                reading,
                fastener,
                pass,
                reason,
                ..
            } => format!(
                "      {reading} belongs to {}/{} {}",
                fastener.as_deref().unwrap_or("nothing"),
                pass.unwrap_or_default(),
                reason.as_deref().unwrap_or_default()
            ),
            Act::PointAt { fastener, .. } => format!("      pointed at {fastener}"),
            Act::Dispose { fastener, .. } => format!("      undone: {fastener}"),
            Act::Acknowledge { alarm, .. } => format!("      acknowledged: {alarm}"),
            Act::Finish { .. } => "      finish".to_owned(),
            _ => return,
        };
        self.lines.push(line);
    }

    pub(super) fn say(&mut self, line: &str) {
        if self.is_wanted {
            self.lines.push(format!("      {line}"));
        }
    }

    /// What is told about the last line.
    pub(super) fn mark(&mut self, what: &str) {
        if self.is_wanted {
            let last = self.lines.len().saturating_sub(1);
            self.marks.push((last, what.to_owned()));
        }
    }

    pub(super) fn false_done(&mut self, fastener: &str, truth: &Truth) {
        if !self.is_wanted {
            return;
        }
        let bolt = truth.bolt();
        let lower = bolt
            .lower
            .map_or_else(|| "-".to_owned(), |l| format!("{l:.2}"));
        let what = format!(
            "{fastener} is shown done; really: highest {:?}, pass {:?}, limits {lower} to {:.2}, [{}]",
            truth.highest(),
            truth.pass(),
            bolt.upper,
            truth.causes()
        );
        self.wrong_fasteners.push((fastener.to_owned(), what));
    }

    /// One text a silent error.
    pub(super) fn tell(&self, heading: &str) -> Vec<String> {
        let marked = self.marks.iter().map(|(line, what)| {
            let lines: Vec<usize> = (line.saturating_sub(BEFORE)..=line + AFTER).collect();
            self.text(&format!("{heading}: {what}"), &lines, Some(*line))
        });
        let wrong = self.wrong_fasteners.iter().map(|(fastener, what)| {
            let name = format!(" {fastener}/");
            let mut lines: Vec<usize> = self
                .lines
                .iter()
                .enumerate()
                .filter(|(_, line)| said(line).contains(&name))
                .flat_map(|(number, _)| number.saturating_sub(2)..=number + 2)
                .collect();
            lines.sort_unstable();
            lines.dedup();
            self.text(&format!("{heading}: {what}"), &lines, None)
        });
        marked.chain(wrong).collect()
    }

    fn text(&self, heading: &str, lines: &[usize], about: Option<usize>) -> String {
        let mut text = format!("{heading}\n");
        let mut before = None;
        for &number in lines {
            let Some(line) = self.lines.get(number) else {
                continue;
            };
            if before.is_some_and(|before| before + 1 < number) {
                text.push_str("    ...\n");
            }
            before = Some(number);
            let sign = if about == Some(number) { ">>" } else { "  " };
            let _ = writeln!(text, "{sign}{line}");
        }
        text
    }
}

/// A line without what else it might have been.
fn said(line: &str) -> &str {
    let line = line.split("; else").next().unwrap_or(line);
    line.split("HELD").next().unwrap_or(line)
}

fn at(place: &placement::Place) -> String {
    format!("{}/{}", place.fastener, place.pass)
}

fn placed(placement: &Placement) -> String {
    let list = |candidates: &[Candidate]| {
        let all = candidates.iter().map(|candidate| {
            let place = candidate.place.as_ref().map_or_else(String::new, at);
            format!(
                "{:?} {place} {:.4}",
                candidate.kind,
                f64::from(candidate.probability_millionths) / 1e6
            )
        });
        all.collect::<Vec<_>>().join(", ")
    };
    match placement {
        Placement::ByOrder {
            place,
            kind,
            probability_millionths,
            others,
            ..
        } => format!(
            "placed at {} as {kind:?} {:.4}; else {}",
            at(place),
            f64::from(*probability_millionths) / 1e6,
            list(others)
        ),
        Placement::Held {
            because,
            candidates,
        } => format!("HELD ({because:?}): {}", list(candidates)),
        Placement::ByChoice { place, .. } => format!("chosen: {}", at(place)),
        Placement::Nowhere { .. } => "nowhere".to_owned(),
    }
}
