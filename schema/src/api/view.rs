//! What a page or a terminal shows: the state of the bench, made ready for the eye.

use super::{
    AsideView, CheckAlarmView, HeldCheckView, LastCheckView, NoteView, PartView, PlannedCheckView,
};
use crate::adapter::Adapter;
use crate::build::{CheckSummary, Standing, Summary};
use crate::entry::Bike;
use crate::map::FrameKind;
use crate::placement::{HeldBecause, PullKind};
use crate::plan::{JointFile, Limits};
use crate::tool::Tool;
use crate::verdict::{Answer, Caution, Outside, Rule};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The whole bench.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BenchView {
    /// The bench's name.
    pub bench: String,
    /// The last entry that went into this.
    pub sequence: u64,
    /// Builds that are not finished first, then by the time they were begun.
    pub builds: Vec<BuildView>,
    /// Every tool.
    pub tools: Vec<ToolView>,
    /// Readings of tools that serve no build.
    pub unclaimed: Vec<UnclaimedView>,
    /// The cautions for the page's foot.
    pub cautions: Vec<String>,
    /// Those who work here; empty where every name is taken as it is given.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub people: Vec<super::PersonView>,
}

/// One build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BuildView {
    /// Its name.
    pub id: String,
    /// The bike.
    pub bike: Bike,
    /// The kind of frame that the plan is for.
    pub frame: FrameKind,
    /// The plan's title.
    pub plan: String,
    /// The plan's edition.
    pub edition: String,
    /// Who began it.
    pub by: String,
    /// In whose hands it is.
    #[serde(default)]
    pub in_hands: String,
    /// Who laid it aside, if it waits as a whole.
    #[serde(default)]
    pub laid_aside: Option<AsideView>,
    /// The parts of the plan, and what is fitted.
    #[serde(default)]
    pub parts: Vec<PartView>,
    /// What people noted, the oldest first.
    #[serde(default)]
    pub notes: Vec<NoteView>,
    /// How often the plan was changed since the build was begun.
    #[serde(default)]
    pub plan_changes: u32,
    /// The build of the same bike that it goes on from.
    #[serde(default)]
    pub follows: Option<String>,
    /// When it was begun.
    pub started: String,
    /// When it was handed over.
    pub finished: Option<String>,
    /// Whether its record is signed.
    pub sealed: bool,
    /// The tools that serve it.
    pub tools: Vec<String>,
    /// How many fasteners stand how.
    pub summary: Summary,
    /// What comes next.
    pub next: Option<NextView>,
    /// The last reading.
    pub last: Option<LastView>,
    /// Readings that wait for a person, the oldest first.
    pub held: Vec<HeldView>,
    /// Over alarms that nobody has acknowledged, the oldest first.
    pub alarms: Vec<AlarmView>,
    /// How many checks stand how.
    #[serde(default)]
    pub check_summary: CheckSummary,
    /// The last reading of a check.
    #[serde(default)]
    pub last_check: Option<LastCheckView>,
    /// Readings of checks that wait for a person, the oldest first.
    #[serde(default)]
    pub held_checks: Vec<HeldCheckView>,
    /// Over alarms of checks that nobody has acknowledged, the oldest first.
    #[serde(default)]
    pub check_alarms: Vec<CheckAlarmView>,
    /// Fasteners that are shown done and may have been missed; one more pull on each is asked for before the bike leaves.
    pub doubts: Vec<DoubtView>,
    /// What recalls found and the record does not say yet: it has to be amended.
    pub recalled: Vec<RecalledView>,
    /// Everything, in the plan's order.
    pub stages: Vec<StageView>,
}

/// What a recall found on one bike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecalledView {
    /// Its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// Which tool.
    pub tool: String,
    /// How many readings are out of their limits now.
    pub out: u32,
    /// How many are no longer surely within.
    pub doubtful: u32,
    /// The fasteners, the highest risk first.
    pub fasteners: Vec<RecalledFastenerView>,
}

/// A fastener that a recall speaks of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RecalledFastenerView {
    /// Its id.
    pub fastener: String,
    /// Its title.
    pub title: String,
    /// The answer now.
    pub answer: Answer,
    /// The torque as it has to be judged now, in mN·m.
    pub now_millinewton_metre: i64,
    /// Its expanded uncertainty, in mN·m.
    pub expanded_millinewton_metre: i64,
    /// Whether the reading still counts.
    pub counts: bool,
}

/// A fastener that is shown done and may have been missed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DoubtView {
    /// The fastener's id.
    pub fastener: String,
    /// Its title.
    pub title: String,
    /// Its stage's title.
    pub stage: String,
    /// How probable it is that it was missed, in millionths.
    pub missed_millionths: u32,
}

/// The next pull.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NextView {
    /// The fastener's id.
    pub fastener: String,
    /// Its title.
    pub title: String,
    /// Its stage's title.
    pub stage: String,
    /// The pass, counted from 0.
    pub pass: u8,
    /// How many passes the stage has.
    pub passes: u8,
    /// What part of the target this pass is, in percent.
    pub percent: u8,
    /// What to aim at in this pass, in mN·m.
    pub aim_millinewton_metre: i64,
    /// The limits of this pass.
    pub limits: Limits,
    /// What goes on first.
    pub prep: Vec<String>,
    /// Whether the prep was confirmed.
    pub prepared: bool,
    /// What the tool has to fit.
    pub drive: Option<String>,
    /// What the joint is made of, where it matters.
    pub joint: Option<JointFile>,
    /// Tightened anticlockwise.
    pub left_hand: bool,
    /// How limits and uncertainty make a verdict here.
    pub rule: Rule,
    /// A sentence for the mechanic.
    pub note: Option<String>,
    /// What stands between wrench and fastener, as the plan has it.
    pub adapter: Option<AdapterView>,
    /// What each tool that serves the build has to show, or to be set to.
    pub settings: Vec<SettingView>,
}

/// An adapter as a page shows and sends it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AdapterView {
    /// The adapter.
    pub adapter: Adapter,
    /// In words.
    pub text: String,
    /// Whether it changes the torque.
    pub is_offset: bool,
}

/// What a tool has to show, or to be set to, for the torque at the fastener.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SettingView {
    /// Which tool.
    pub tool: String,
    /// Its title.
    pub title: String,
    /// In mN·m; corrected by its certificate, and with the adapter that is fitted.
    pub set_millinewton_metre: i64,
    /// The lowest and the highest value on the tool that are within, where the rule leaves any; in mN·m.
    pub from_millinewton_metre: Option<i64>,
    /// See there.
    pub to_millinewton_metre: Option<i64>,
    /// What is on the tool now, in words.
    pub fitted: Option<String>,
    /// Whether that is what the plan asks for.
    pub is_as_planned: bool,
    /// Whether it is to be set (a click tool) and not read.
    pub is_set: bool,
    /// What speaks against using it here.
    pub cautions: Vec<Caution>,
}

/// The last reading of a build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LastView {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// As displayed, with its unit; none where the tool was past its range.
    pub displayed: Option<String>,
    /// As judged, in mN·m.
    pub applied_millinewton_metre: Option<i64>,
    /// The fastener's id, where it is placed.
    pub fastener: Option<String>,
    /// The fastener's title, where it is placed.
    pub title: Option<String>,
    /// The pass, counted from 0.
    pub pass: Option<u8>,
    /// What it was compared with.
    pub limits: Option<Limits>,
    /// The verdict's answer; none while it is held.
    pub answer: Option<Answer>,
    /// How the answer was made.
    pub rule: Option<Rule>,
    /// The expanded uncertainty that went into the answer, in mN·m.
    pub expanded_millinewton_metre: Option<i64>,
    /// How likely the truth lies outside the limits.
    pub outside: Option<Outside>,
    /// Whether it is undecided at the upper limit: one more pull cannot settle it.
    pub may_be_over: bool,
    /// What it was taken for.
    pub kind: Option<PullKind>,
    /// What a person should know beside it.
    pub cautions: Vec<Caution>,
    /// Its samples are kept and can be drawn.
    pub traced: bool,
    /// Which tool.
    pub tool: String,
}

/// What a tool shows during a pull, as it is told while the pull lasts. It is in no ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LiveValue {
    /// Counts what was told, over all tools; a jump means that something newer took its place.
    pub number: u64,
    /// Which tool.
    pub tool: String,
    /// The build that it serves, unless it is being checked.
    pub build: Option<String>,
    /// Whether the pull still lasts; once it does not, the reading follows as an entry.
    pub pulling: bool,
    /// The torque at the fastener, in mN·m; none past the tool's range.
    pub applied_millinewton_metre: Option<i64>,
    /// More than the tool can show.
    pub past_range: bool,
    /// Whether that is more than the upper limit of what is expected.
    pub over: bool,
    /// The fastener that is expected.
    pub fastener: Option<String>,
    /// Its title.
    pub title: Option<String>,
    /// The limits of the pass that is expected.
    pub limits: Option<Limits>,
}

/// A reading that waits for a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HeldView {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// As displayed, with its unit.
    pub displayed: Option<String>,
    /// Why it waits.
    pub because: HeldBecause,
    /// What it may be, the likeliest first.
    pub candidates: Vec<CandidateView>,
}

/// A reading of a tool that serves no build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct UnclaimedView {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When it came.
    pub time: String,
    /// Which tool.
    pub tool: String,
    /// As displayed, with its unit.
    pub displayed: Option<String>,
}

/// One answer to "where does it belong?".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CandidateView {
    /// The fastener; none for a test pull.
    pub fastener: Option<String>,
    /// Its title, or "test pull".
    pub title: String,
    /// The pass.
    pub pass: Option<u8>,
    /// What kind of pull.
    pub kind: PullKind,
    /// How likely, in percent.
    pub percent: u8,
}

/// An over alarm that nobody has acknowledged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AlarmView {
    /// The sequence number of the entry that raised it.
    pub sequence: u64,
    /// The fastener's id.
    pub fastener: String,
    /// The fastener's title.
    pub title: String,
    /// As displayed; none where the tool was past its range.
    pub displayed: Option<String>,
    /// As judged, in mN·m: with an adapter, or a tool that is off, it is another than displayed.
    pub applied_millinewton_metre: Option<i64>,
    /// The limit that was passed, in mN·m.
    pub upper_millinewton_metre: i64,
    /// What the joint is made of.
    pub joint: Option<JointFile>,
}

/// One stage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StageView {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its passes in percent.
    pub passes_percent: Vec<u8>,
    /// Its fasteners as listed.
    pub fasteners: Vec<FastenerView>,
    /// Its checks as listed.
    #[serde(default)]
    pub checks: Vec<PlannedCheckView>,
}

/// One fastener.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is said apart on the page"
)]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FastenerView {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// How it stands.
    pub standing: Standing,
    /// Its place on the bike map.
    pub at: Option<String>,
    /// Whether only a person can say what follows: it is over, or it may be.
    pub needs_decision: bool,
    /// Passes done.
    pub passes_done: u8,
    /// What the joint is made of, where it matters.
    pub joint: Option<JointFile>,
    /// The limits of the last pass.
    pub limits: Limits,
    /// The highest torque that counts, in mN·m.
    pub highest_millinewton_metre: Option<i64>,
    /// Prep.
    pub prep: Vec<String>,
    /// Whether prep was confirmed.
    pub prepared: bool,
    /// Another person has to look.
    pub second_look: bool,
    /// Another person has looked since the last pull.
    pub looked: bool,
    /// Why it waits, if it does.
    pub deferred: Option<String>,
    /// What it waits for.
    #[serde(default)]
    pub waits_for: Option<String>,
    /// How many notes there are about it, photographs among them.
    #[serde(default)]
    pub notes: u32,
    /// How many of them are photographs.
    #[serde(default)]
    pub photos: u32,
    /// Whether something counts at it: it can be loosened.
    #[serde(default)]
    pub counts: bool,
    /// Where its figures are written.
    #[serde(default)]
    pub sources: Vec<String>,
}

/// One tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ToolView {
    /// The tool.
    pub tool: Tool,
    /// Whether its port is open.
    pub connected: bool,
    /// Why not.
    pub gone: Option<String>,
    /// The build it serves.
    pub serves: Option<String>,
    /// The serial number that it says it has, where that is another than its data say.
    pub other_serial: Option<String>,
    /// What is left in its battery, where it says so.
    pub battery_percent: Option<u8>,
    /// The port went in the middle of a reading that does not count; until the next reading of this tool.
    pub cut_off: bool,
    /// The permissible deviation of its class, in millionths; it stands in where no certificate speaks.
    pub class_ppm: u32,
    /// Whether its certificate was due before the day of the last entry.
    pub certificate_past: bool,
    /// What is on it now.
    pub fitted: Option<AdapterView>,
    /// Who is checking it against a reference, and how many pulls came since.
    pub checking: Option<CheckingView>,
    /// What its checks say about it.
    pub check_state: CheckState,
    /// Its checks against a reference, the oldest first; the last fifty.
    pub checks: Vec<CheckView>,
}

/// A check under way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CheckingView {
    /// Who began it.
    pub by: String,
    /// What the tool showed since, in µN·m.
    pub shown_micronewton_metre: Vec<i64>,
}

/// What a tool's checks against a reference say about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CheckState {
    /// Never checked, or well inside.
    #[default]
    Quiet,
    /// It comes close to its limit.
    Warns,
    /// It is beyond its limit.
    Beyond,
}

/// One check against a reference, as a point of the control chart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CheckView {
    /// Its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// The reference.
    pub against: String,
    /// How many pulls.
    pub pulls: u32,
    /// The mean deviation from the reference beyond what the certificate states, relative, in millionths.
    pub deviation_ppm: i32,
    /// The exponentially weighted mean so far (EWMA), in millionths.
    pub average_ppm: i32,
    /// From where on the average warns, in millionths, either way.
    pub warning_ppm: u32,
    /// What it says.
    pub state: CheckState,
}
