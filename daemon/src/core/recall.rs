//! What follows from a recall: entries that say which readings on which bikes are out of their limits now, or no longer
//! surely within. Nothing stored is changed.

use super::acts::{name, read_certificate};
use super::bench::Bench;
use super::decide::Decided;
use super::refusal::Refusal;
use pullmark_schema::certificate::{Certificate, CertificateHead, Format};
use pullmark_schema::entry::{Affected, AffectedReading, DriftModel, Event, Now, Recalled};
use pullmark_schema::recall::{Finding, Judged, Model, risk};
use pullmark_schema::tool::Tool;
use std::collections::BTreeMap;

/// What was asked for.
#[derive(Debug, Clone)]
pub struct Asked {
    /// The tool's serial number.
    pub serial: String,
    /// How the file is written.
    pub format: Format,
    /// The new calibration as found.
    pub text: String,
    /// What the file does not say.
    pub head: CertificateHead,
    /// How the error is taken to have grown.
    pub drift: DriftModel,
    /// Who asks.
    pub by: String,
}

/// The tool with a serial number.
pub fn tool_of<'b>(bench: &'b Bench, serial: &str) -> Result<&'b Tool, Refusal> {
    bench
        .tools
        .values()
        .find(|tool| tool.serial == serial.trim())
        .ok_or_else(|| Refusal::SerialNotKnown(serial.to_owned()))
}

/// Decides a recall. `readings` are all readings of the tool that are placed, in any order.
pub fn recall(
    bench: &Bench,
    asked: Asked,
    readings: &[Judged],
    now: Now,
) -> Result<Vec<Decided>, Refusal> {
    let tool = tool_of(bench, &asked.serial)?;
    let found = read_certificate(&asked.text, asked.format, &asked.head, &tool.serial, now)?;
    let good = last_good(bench, tool, &found);
    let gauge = bench
        .gauges
        .get(&tool.id)
        .cloned()
        .ok_or_else(|| Refusal::ToolNotKnown(tool.id.clone()))?;
    let model = Model::new(gauge, good, &found, asked.drift).ok_or_else(|| {
        Refusal::Recall("the certificate has no points to reckon with".to_owned())
    })?;
    let since = good.map(|good| good.date);
    let concerned = readings
        .iter()
        .filter(|reading| since.is_none_or(|since| reading.day >= since))
        .filter(|reading| reading.day <= found.date);
    let mut sums = Sums::default();
    let mut bikes: BTreeMap<&str, Vec<(u64, AffectedReading)>> = BTreeMap::new();
    for was in concerned {
        let (again, finding) = model.judge(was);
        if sums.count(finding) {
            let list = bikes.entry(&was.build).or_default();
            list.push((risk(&again), again));
        }
    }
    let by = name(asked.by)?;
    let recalled = Recalled {
        tool: tool.id.clone(),
        serial: tool.serial.clone(),
        last_good: good.map(|good| good.number.clone()),
        since,
        drift: asked.drift,
        examined: sums.examined,
        out: sums.out,
        doubtful: sums.doubtful,
        found,
        by,
    };
    let mut all = vec![Decided {
        event: Event::Recalled(Box::new(recalled)),
        attached: Some(asked.text.into_bytes()),
    }];
    all.extend(each_bike(bench, &tool.id, bikes));
    Ok(all)
}

/// The newest certificate before the found one. It is the last good one: nobody found anything wrong at it.
fn last_good<'b>(bench: &'b Bench, tool: &'b Tool, found: &Certificate) -> Option<&'b Certificate> {
    let earlier = bench.tool_states.get(&tool.id).into_iter();
    earlier
        .flat_map(|state| &state.earlier)
        .chain(&tool.certificate)
        .filter(|known| known.date < found.date)
        .max_by_key(|known| known.date)
}

#[derive(Debug, Default)]
struct Sums {
    examined: u64,
    out: u64,
    doubtful: u64,
}

impl Sums {
    /// Counts a reading; says whether something was found.
    const fn count(&mut self, finding: Option<Finding>) -> bool {
        self.examined += 1;
        match finding {
            Some(Finding::Out) => self.out += 1,
            Some(Finding::Doubtful) => self.doubtful += 1,
            None => return false,
        }
        true
    }
}

/// An entry a bike, the bike of the highest risk first.
fn each_bike(
    bench: &Bench,
    tool: &str,
    bikes: BTreeMap<&str, Vec<(u64, AffectedReading)>>,
) -> Vec<Decided> {
    let recall = bench.next_sequence;
    let mut bikes: Vec<_> = bikes
        .into_iter()
        .map(|(build, mut list)| {
            list.sort_by_key(|(risk, reading)| (std::cmp::Reverse(*risk), reading.reading));
            let worst = list.first().map_or(0, |(risk, _)| *risk);
            (worst, build, list)
        })
        .collect();
    bikes.sort_by_key(|(worst, build, _)| (std::cmp::Reverse(*worst), *build));
    let entries = bikes.into_iter().filter_map(|(_, build, list)| {
        let known = bench.builds.get(build)?;
        let titled = list.into_iter().map(|(_, mut reading)| {
            if let Some((_, fastener)) = known.planned(&reading.place.fastener) {
                reading.title.clone_from(&fastener.title);
            }
            reading
        });
        let affected = Affected {
            recall,
            build: build.to_owned(),
            bike: known.bike.clone(),
            tool: tool.to_owned(),
            readings: titled.collect(),
        };
        Some(Event::Affected(Box::new(affected)).into())
    });
    entries.collect()
}
