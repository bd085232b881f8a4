//! The state of a bench, folded from its entries.

mod keys;
mod known;
mod tracking;

pub use keys::LastHead;
pub use known::{Checking, KnownCheck, LastMeasured, LastPull, RecallState};

use super::decide::About;
use super::measure::Last;
use super::people::People;
use super::place::Tracker;
use super::place::habits::Habits;
use pullmark_schema::adapter::Adapter;
use pullmark_schema::api::{CheckState, UnclaimedView};
use pullmark_schema::build::Build;
use pullmark_schema::certificate::Certificate;
use pullmark_schema::check::CheckMeasured;
use pullmark_schema::entry::{Entry, Event, Now, OverNow, Pulled, ToolCheck};
use pullmark_schema::gauge::{Fitted, Gauge};
use pullmark_schema::keys::KeyLink;
use pullmark_schema::plan::Plan;
use pullmark_schema::quantity::MicroTorque;
use pullmark_schema::reading::Displayed;
use pullmark_schema::reading::{Origin, Reading};
use pullmark_schema::record::KeyEntry;
use pullmark_schema::tool::Tool;
use std::collections::{BTreeMap, VecDeque};

/// How many readings of tools that serve no build are kept at hand; all of them stay in the ledger.
const UNCLAIMED_KEPT: usize = 5;
/// How many readings back a tool may send one again and be found out.
const COUNTS_KEPT: usize = 64;

/// Everything that the daemon knows, and the ledger can tell again.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Bench {
    /// The sequence number of the next entry.
    pub next_sequence: u64,
    /// What both clocks said at the last entry.
    pub last_now: Option<Now>,
    /// By id.
    pub tools: BTreeMap<String, Tool>,
    /// How each tool is doing.
    pub tool_states: BTreeMap<String, ToolState>,
    /// By name.
    pub builds: BTreeMap<String, Build>,
    /// The keys that have signed here.
    pub key_history: Vec<KeyEntry>,
    /// Its key history, each link with its entry.
    pub links: Vec<(u64, KeyLink)>,
    /// The last signed head of the tree.
    pub head: Option<LastHead>,
    /// All signed heads, the oldest first: how many entries each covers, and its text.
    pub heads: Vec<(u64, String)>,
    /// The heads that an outside authority has stamped: how many entries each covers, and the entry that keeps the stamp.
    pub stamped: BTreeMap<u64, u64>,
    /// The present start of the machine.
    pub boot: String,
    /// The last readings of tools that served no build, the oldest first.
    pub unclaimed: VecDeque<UnclaimedView>,
    /// Whether the clock ran faster than time in any part of this ledger.
    pub practice: bool,
    /// What the shop has set for the placing.
    pub habits: Habits,
    /// What each tool's numbers are worth.
    pub gauges: BTreeMap<String, Gauge>,
    /// Who works here, and the devices that were let in.
    pub people: People,
    /// Every recall, the oldest first.
    pub recalls: Vec<RecallState>,
    /// What has probably been pulled at each open build.
    trackers: BTreeMap<String, Tracker>,
}

/// How a tool is doing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ToolState {
    /// The port that is open.
    pub port: Option<String>,
    /// Why it went.
    pub gone: Option<String>,
    /// The build it serves.
    pub serves: Option<String>,
    /// Its last pull.
    pub last: Option<LastPull>,
    /// Its last reading of a check.
    pub last_measured: Option<LastMeasured>,
    /// Its own count at each of its last readings, and what it displayed; the oldest first.
    pub counted: VecDeque<(u64, Option<Displayed>)>,
    /// An alarm that sounded before its pull was over, and the entry that says so.
    pub over_now: Option<(u64, OverNow)>,
    /// What it says about itself.
    pub about: About,
    /// The port went in the middle of a reading, and no other has come since.
    pub cut_off: bool,
    /// Its certificates before the present one, the oldest first.
    pub earlier: Vec<Certificate>,
    /// Its checks against a reference, the oldest first.
    pub checks: Vec<KnownCheck>,
    /// What they say.
    pub check_state: CheckState,
    /// The adapter that is fitted.
    pub adapter: Option<Adapter>,
    /// The entries that say what the tool and its certificates are.
    pub told: Vec<u64>,
    /// The check that is under way.
    pub checking: Option<Checking>,
}

impl ToolState {
    /// Keeps a tool's own count of a reading, with what it displayed.
    fn count(&mut self, counter: Option<u64>, displayed: Option<&Displayed>) {
        let Some(counter) = counter else { return };
        if self.counted.len() == COUNTS_KEPT {
            self.counted.pop_front();
        }
        self.counted.push_back((counter, displayed.cloned()));
    }
}

const fn is_measured(reading: &Reading) -> bool {
    matches!(reading.origin, Origin::Measured { .. })
}

impl Bench {
    /// A bench of which nothing is known yet.
    pub fn new(habits: Habits) -> Self {
        Self {
            habits,
            ..Self::default()
        }
    }

    /// Takes in one entry. `plan` is the plan that a `build-started` or `plan-changed` entry pins; it is asked for nothing
    /// else.
    #[expect(clippy::too_many_lines, reason = "one short arm a kind of entry")]
    pub fn apply(&mut self, entry: &Entry, plan: Option<&Plan>) {
        self.next_sequence = entry.sequence + 1;
        self.last_now = entry.now();
        self.people.apply(entry);
        self.track_before(entry);
        match &entry.event {
            Event::Started {
                key,
                boot,
                practice_speed,
                ..
            } => self.started(entry, key, boot, practice_speed.is_some()),
            Event::ToolAdded { tool, .. } => {
                self.tool_added(tool);
                self.state(&tool.id).told.push(entry.sequence);
            }
            Event::ToolCertified {
                tool, certificate, ..
            } => {
                self.certified(tool, certificate);
                self.state(tool).told.push(entry.sequence);
            }
            Event::KeyLinked(_)
            | Event::HeadSigned(_)
            | Event::HeadTimestamped(_)
            | Event::RecordSealed { .. } => {
                self.signed(entry);
            }
            Event::ToolFitted { tool, adapter, .. } => {
                self.state(tool).adapter.clone_from(adapter);
            }
            Event::CheckBegun { tool, by } => {
                self.state(tool).checking = Some(Checking {
                    by: by.clone(),
                    readings: Vec::new(),
                });
            }
            Event::CheckGivenUp { tool, .. } => self.state(tool).checking = None,
            Event::ToolChecked(check) => self.checked(entry, check),
            Event::Recalled(recall) => self.recalls.push(RecallState {
                sequence: entry.sequence,
                time: entry.time.clone(),
                recall: (**recall).clone(),
                affected: Vec::new(),
            }),
            Event::Affected(affected) => {
                for recall in &mut self.recalls {
                    if recall.sequence == affected.recall {
                        recall.affected.push(entry.sequence);
                    }
                }
            }
            Event::ToolConnected { tool, port } => {
                let state = self.tool_states.entry(tool.clone()).or_default();
                state.port = Some(port.clone());
                state.gone = None;
            }
            Event::ToolGone { tool, why, partial } => {
                let state = self.tool_states.entry(tool.clone()).or_default();
                state.port = None;
                state.gone = Some(why.clone());
                state.cut_off |= partial.is_some();
            }
            Event::ToolSaid {
                tool,
                serial,
                what,
                battery_percent,
            } => {
                self.tool_states.entry(tool.clone()).or_default().about = About {
                    serial: serial.clone(),
                    what: what.clone(),
                    battery_percent: *battery_percent,
                };
            }
            Event::OverNow(over) => {
                let state = self.tool_states.entry(over.tool.clone()).or_default();
                state.over_now = Some((entry.sequence, (**over).clone()));
            }
            Event::Acknowledged { alarm, .. } => {
                for state in self.tool_states.values_mut() {
                    state.over_now.take_if(|(sequence, _)| sequence == alarm);
                }
            }
            Event::BuildStarted { build, .. } => {
                if let Some(begun) = plan.and_then(|plan| Build::begin(entry, plan.clone())) {
                    self.trackers.insert(build.clone(), Tracker::new(&begun));
                    self.builds.insert(build.clone(), begun);
                }
            }
            Event::ToolAssigned { tool, build, .. } => {
                self.tool_states.entry(tool.clone()).or_default().serves = Some(build.clone());
            }
            Event::Pulled(pulled) => self.pulled(entry, pulled),
            Event::CheckMeasured(measured) => self.measured(entry, measured),
            Event::Placed(placed) => {
                for state in self.tool_states.values_mut() {
                    if let Some(last) = state
                        .last
                        .as_mut()
                        .filter(|last| last.sequence == placed.reading)
                    {
                        last.place = placed.placement.place().cloned();
                    }
                }
            }
            _ => {}
        }
        if let Some(build) = entry.event.build().and_then(|id| self.builds.get_mut(id))
            && !matches!(entry.event, Event::BuildStarted { .. })
        {
            build.apply_with(entry, plan);
        }
        self.track_after(entry);
    }

    /// Alarms of a build that sounded before their pull was over, whose reading has not come; each with its entry.
    pub fn over_now(&self, build: &str) -> impl Iterator<Item = &(u64, OverNow)> {
        self.tool_states
            .values()
            .filter_map(|state| state.over_now.as_ref())
            .filter(move |(_, over)| over.build == build)
    }

    fn state(&mut self, tool: &str) -> &mut ToolState {
        self.tool_states.entry(tool.to_owned()).or_default()
    }

    fn tool_added(&mut self, tool: &Tool) {
        let mut tool = tool.clone();
        let before = self
            .tools
            .get(&tool.id)
            .filter(|before| before.serial == tool.serial);
        let before = before.and_then(|before| before.certificate.clone());
        match (&tool.certificate, before) {
            // A file without a certificate changes nothing about the one that is known.
            (None, before) => tool.certificate = before,
            (Some(new), Some(before)) if before != *new => {
                self.state(&tool.id).earlier.push(before);
            }
            _ => {}
        }
        let id = tool.id.clone();
        self.state(&id);
        self.tools.insert(id.clone(), tool);
        self.weigh_anew(&id);
    }

    fn certified(&mut self, tool: &str, certificate: &Certificate) {
        let Some(known) = self.tools.get_mut(tool) else {
            return;
        };
        if let Some(before) = known.certificate.replace(certificate.clone()) {
            self.state(tool).earlier.push(before);
        }
        self.weigh_anew(tool);
    }

    fn checked(&mut self, entry: &Entry, check: &ToolCheck) {
        let state = self.state(&check.tool);
        state.checking = None;
        state.checks.push(KnownCheck {
            sequence: entry.sequence,
            time: entry.time.clone(),
            check: check.clone(),
        });
        self.weigh_anew(&check.tool);
    }

    /// What is known about a tool's error has changed.
    fn weigh_anew(&mut self, tool: &str) {
        let (Some(known), Some(state)) = (self.tools.get(tool), self.tool_states.get(tool)) else {
            return;
        };
        let checks: Vec<ToolCheck> = state
            .checks
            .iter()
            .map(|known| known.check.clone())
            .collect();
        let gauge = Gauge::new(known, &state.earlier, &checks);
        self.gauges.insert(tool.to_owned(), gauge);
        // Asked for with every reading, and changed only here.
        let check_state = super::checks::state(self, tool);
        self.state(tool).check_state = check_state;
    }

    /// Keeps a pull that belongs to a check under way.
    fn note_check(&mut self, sequence: u64, reading: &Reading) -> bool {
        let Some(checking) = self
            .tool_states
            .get_mut(&reading.tool)
            .and_then(|state| state.checking.as_mut())
        else {
            return false;
        };
        if let Some(shown) = reading.shown() {
            checking.readings.push((sequence, MicroTorque::from(shown)));
        }
        true
    }

    /// Who is checking a tool against a reference.
    pub fn checked_by(&self, tool: &str) -> Option<&str> {
        let checking = self.tool_states.get(tool)?.checking.as_ref()?;
        Some(&checking.by)
    }

    /// The adapter on a tool, with the lever it is reckoned from.
    pub fn fitted(&self, tool: &str) -> Option<Fitted> {
        let adapter = self.tool_states.get(tool)?.adapter.clone()?;
        Some(Fitted {
            adapter,
            lever: self.tools.get(tool)?.lever,
        })
    }

    /// What a tool's checks say about it.
    pub fn check_state(&self, tool: &str) -> CheckState {
        let state = self.tool_states.get(tool);
        state.map_or(CheckState::Quiet, |state| state.check_state)
    }

    fn pulled(&mut self, entry: &Entry, pulled: &Pulled) {
        let is_of_a_check =
            pulled.build.is_none() && self.note_check(entry.sequence, &pulled.reading);
        if pulled.build.is_none() && !is_of_a_check {
            self.unclaimed(
                entry,
                &pulled.reading.tool,
                super::displayed(&pulled.reading),
            );
        }
        let boot = self.boot.clone();
        let state = self
            .tool_states
            .entry(pulled.reading.tool.clone())
            .or_default();
        state.cut_off = false;
        // Its own alarm takes the place of the early one; without one that has to be acknowledged still.
        if pulled.alarm.is_some() {
            state.over_now = None;
        }
        state.last = Some(LastPull {
            sequence: entry.sequence,
            place: pulled.placement.place().cloned(),
            is_measured: is_measured(&pulled.reading),
            applied: pulled.reading.applied,
            boot,
            since_boot_ms: entry.since_boot_ms,
            time: entry.time.clone(),
        });
        state.count(pulled.reading.counter, pulled.reading.displayed.as_ref());
    }

    fn measured(&mut self, entry: &Entry, measured: &CheckMeasured) {
        let reading = &measured.reading;
        if measured.build.is_none() {
            let displayed = reading.displayed.as_ref().map(ToString::to_string);
            self.unclaimed(entry, &reading.tool, displayed);
        }
        let boot = self.boot.clone();
        let state = self.state(&reading.tool);
        state.cut_off = false;
        if matches!(reading.origin, Origin::Measured { .. }) {
            state.last_measured = Some(LastMeasured {
                sequence: entry.sequence,
                boot,
                since_boot_ms: entry.since_boot_ms,
            });
        }
        state.count(reading.counter, reading.displayed.as_ref());
    }

    fn unclaimed(&mut self, entry: &Entry, tool: &str, displayed: Option<String>) {
        if self.unclaimed.len() == UNCLAIMED_KEPT {
            self.unclaimed.pop_front();
        }
        self.unclaimed.push_back(UnclaimedView {
            sequence: entry.sequence,
            time: entry.time.clone(),
            tool: tool.to_owned(),
            displayed,
        });
    }

    /// Where a tool measured a check last, on the build that it serves, and how long ago.
    pub(super) fn last_measured(&self, tool: &str, now: Now) -> Option<Last> {
        let last = self.tool_states.get(tool)?.last_measured.as_ref()?;
        let build = self.served_by(tool)?;
        let known = build.checks.readings.get(&last.sequence)?;
        (last.boot == self.boot).then_some(())?;
        Some(Last {
            place: known.placement.place()?.clone(),
            age_ms: now.since_boot_ms.saturating_sub(last.since_boot_ms),
        })
    }

    /// The build that holds a reading of a check.
    pub fn build_of_check_reading(&self, sequence: u64) -> Option<&Build> {
        self.builds
            .values()
            .find(|build| build.checks.readings.contains_key(&sequence))
    }

    /// The build that a tool serves, unless it is finished.
    pub fn served_by(&self, tool: &str) -> Option<&Build> {
        let id = self.tool_states.get(tool)?.serves.as_ref()?;
        self.builds.get(id).filter(|build| build.finished.is_none())
    }

    /// The build that holds a reading.
    pub fn build_of_reading(&self, sequence: u64) -> Option<&Build> {
        self.builds
            .values()
            .find(|build| build.readings.contains_key(&sequence))
    }

    /// The build that raised an alarm.
    pub fn build_of_alarm(&self, sequence: u64) -> Option<&Build> {
        self.builds.values().find(|build| {
            build.alarms.iter().any(|alarm| alarm.sequence == sequence)
                || build
                    .checks
                    .alarms
                    .iter()
                    .any(|alarm| alarm.sequence == sequence)
        })
    }
}
