//! What crosses HTTP and the socket. The daemon answers with these types and the command line reads them, so that
//! neither can drift.

mod checks;
mod due;
mod life;
mod people;
mod plans;
mod view;

pub use checks::{
    CheckAlarmView, CheckCandidateView, HeldCheckView, LastCheckView, PlannedCheckView,
};
pub use due::{DueFastenerView, DueView};
pub use life::{
    AsideView, DifferenceView, HistoryRow, JudgedView, NoteView, PartView, PlanDifferenceView,
    WithdrawnView,
};
pub use people::{
    ByWhom, ConfirmedAct, DeviceView, DevicesView, NewDevice, NewName, NewPerson, NewPin,
    PairingCode, PairingView, PersonPinView, PersonView, Secret,
};
pub use plans::{
    KindView, LibraryView, NotUsedView, PlacedFindingView, PlanCheckView, PlanFileView,
    PlanQuestion, PlanRowView, PlanShelfView, PlanSumView, PlanTable, PlanToKeep, PlanWish,
};
pub use view::{
    AdapterView, AlarmView, BenchView, BuildView, CandidateView, CheckState, CheckView,
    CheckingView, DoubtView, FastenerView, HeldView, LastView, LiveValue, NextView,
    RecalledFastenerView, RecalledView, SettingView, StageView, ToolView, UnclaimedView,
};

use crate::adapter::Adapter;
use crate::certificate::{CertificateHead, Format};
use crate::entry::{Bike, Decision, DriftModel};
use crate::tool::Tool;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Everything that a person can ask the daemon to do. Each is one or more entries in the ledger, or a refusal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "act", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Act {
    /// Makes a tool known, or changes its data.
    AddTool {
        /// Who; needed where the shop keeps people.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
        /// The tool.
        tool: Box<Tool>,
    },
    /// Enters a calibration certificate.
    CertifyTool {
        /// Which tool.
        tool: String,
        /// How the file is written.
        format: Format,
        /// The file's text; it is kept in the ledger.
        text: String,
        /// What a file of points alone does not say, or a person knows better: stands in where the file is silent.
        #[serde(default)]
        head: CertificateHead,
        /// Who.
        by: String,
    },
    /// Says which adapter is on a tool.
    FitAdapter {
        /// Which tool.
        tool: String,
        /// The adapter; none for the bare tool.
        #[serde(default)]
        adapter: Option<Adapter>,
        /// Who.
        by: String,
    },
    /// From now on the tool's pulls are made against a reference.
    BeginCheck {
        /// Which tool.
        tool: String,
        /// Who.
        by: String,
    },
    /// Gives a check up.
    GiveUpCheck {
        /// Which tool.
        tool: String,
        /// Who.
        by: String,
    },
    /// Enters a check against a reference.
    CheckTool {
        /// Which tool.
        tool: String,
        /// The reference device and its own certificate.
        against: String,
        /// What the tool showed or was set to at each pull, for example "5.02 N·m"; left out where the pulls came from the
        /// tool since the check was begun.
        #[serde(default)]
        indicated: Vec<String>,
        /// What the reference showed at each pull.
        reference: Vec<String>,
        /// Who.
        by: String,
    },
    /// Judges every reading of a tool since its last good calibration again.
    Recall {
        /// The tool's serial number.
        serial: String,
        /// How the file is written.
        format: Format,
        /// The new calibration as found, before any adjustment; it is kept in the ledger.
        text: String,
        /// What the file does not say.
        #[serde(default)]
        head: CertificateHead,
        /// How the error is taken to have grown.
        #[serde(default)]
        drift: DriftModel,
        /// Who.
        by: String,
    },
    /// Begins a build.
    StartBuild {
        /// Its name; made from the bike's label or frame number if left out.
        #[serde(default)]
        build: Option<String>,
        /// The bike.
        bike: Bike,
        /// The text of the plan file.
        plan: String,
        /// Who.
        by: String,
        /// The tools that serve it; if left out, all that serve no open build and measure what the plan asks for.
        #[serde(default)]
        tools: Vec<String>,
        /// The build of the same bike that it goes on from.
        #[serde(default)]
        follows: Option<String>,
        /// What was due there and is done here.
        #[serde(default)]
        due: Vec<String>,
    },
    /// After handing over: says that something due is done, or takes that back.
    TellDue {
        /// Which build.
        build: String,
        /// What, by its id in the plan.
        due: String,
        /// Whether it is done.
        done: bool,
        /// Who.
        by: String,
        /// What was found, or why it is taken back.
        #[serde(default)]
        reason: Option<String>,
    },
    /// After handing over: says how far the bike has gone since.
    TellRidden {
        /// Which build.
        build: String,
        /// Whole kilometres.
        kilometres: u32,
        /// Who.
        by: String,
    },
    /// Lets a tool serve a build.
    AssignTool {
        /// Which tool.
        tool: String,
        /// Which build.
        build: String,
        /// Who; needed where the shop keeps people.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
    },
    /// Says which fastener comes next, or which check the next value of its quantity belongs to.
    PointAt {
        /// Which build.
        build: String,
        /// Which fastener or check.
        fastener: String,
        /// Who.
        by: String,
    },
    /// Enters what a click wrench was set to, or a display or a ruler showed.
    EnterReading {
        /// Which tool.
        tool: String,
        /// For example "5 N·m"; of a check "71 mm" or "6.2 bar".
        value: String,
        /// Who says so.
        by: String,
        /// Where it belongs, if it is said at once: a fastener or a check.
        #[serde(default)]
        fastener: Option<String>,
    },
    /// Says where a reading belongs.
    Place {
        /// The reading's sequence number.
        reading: u64,
        /// The fastener, or the check for a reading of one; none for a test pull.
        #[serde(default)]
        fastener: Option<String>,
        /// The pass, counted from 0; the one that is due if left out. Of a check, which of its readings.
        #[serde(default)]
        pass: Option<u8>,
        /// Who says so.
        by: String,
        /// Why it belongs to no fastener.
        #[serde(default)]
        reason: Option<String>,
    },
    /// Acknowledges an over alarm.
    Acknowledge {
        /// The sequence number of the entry that raised it.
        alarm: u64,
        /// Who.
        by: String,
    },
    /// Undoes fasteners: their readings stay and no longer count.
    Loosen {
        /// Which build.
        build: String,
        /// Which fasteners; none where a stage or all of them are meant.
        #[serde(default)]
        fasteners: Vec<String>,
        /// Every fastener of this stage at which something counts.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stage: Option<String>,
        /// Every fastener at which something counts: all of it was a dry fit.
        #[serde(default)]
        all: bool,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Lets a fastener or a check wait.
    Defer {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// Who.
        by: String,
        /// Why.
        reason: String,
        /// What it waits for: a part, a tool, an answer.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        waits_for: Option<String>,
    },
    /// Takes a deferred fastener or check up again.
    TakeUp {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// Who.
        by: String,
    },
    /// Confirms that the prep is on.
    Prepare {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// Who.
        by: String,
    },
    /// Confirms a fastener as another person.
    Look {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// Who.
        by: String,
        /// What was seen.
        #[serde(default)]
        reason: Option<String>,
    },
    /// Decides what follows from an over reading, or from a check that is not within its limits.
    Dispose {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// What.
        decision: Decision,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Takes an earlier act back: the build is as if it had not been.
    Withdraw {
        /// Which build.
        build: String,
        /// The sequence number of the act's entry.
        entry: u64,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Puts a part of the plan on.
    FitPart {
        /// Which build.
        build: String,
        /// Which part.
        part: String,
        /// Its serial number, or what else it can be known by.
        serial: String,
        /// What it is, where that is another than the plan says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<String>,
        /// Who.
        by: String,
    },
    /// Puts a spare in a part's place. The fasteners that hold the part are loose after it.
    SwapPart {
        /// Which build.
        build: String,
        /// Which part.
        part: String,
        /// The serial number of the spare.
        serial: String,
        /// The serial number of the one that goes out, where it was not entered before.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        out: Option<String>,
        /// What it is, where that is another than the plan says.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        kind: Option<String>,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Lays a build aside for another day.
    LayAside {
        /// Which build.
        build: String,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Goes on with it.
    Resume {
        /// Which build.
        build: String,
        /// Who.
        by: String,
    },
    /// Holds a build to another edition of its plan.
    ChangePlan {
        /// Which build.
        build: String,
        /// The text of the plan file.
        plan: String,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Notes something about a fastener or the whole build.
    Note {
        /// Which build.
        build: String,
        /// Which fastener; none for the whole build.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fastener: Option<String>,
        /// What.
        text: String,
        /// Who.
        by: String,
    },
    /// Hands a build to another mechanic.
    HandOver {
        /// Which build.
        build: String,
        /// Who has it.
        from: String,
        /// Who gets it.
        to: String,
        /// Who does it; where somebody has it who has left, that has to be said.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<String>,
        /// What the other has to know.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// Ends a build.
    Finish {
        /// Which build.
        build: String,
        /// Who hands it over.
        by: String,
        /// Why one is sure, where fasteners that are shown done may have been missed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sure: Option<String>,
    },
    /// Signs the first record of a finished build.
    Seal {
        /// Which build.
        build: String,
        /// Who.
        by: String,
    },
    /// Signs a record that takes the place of the last one.
    Amend {
        /// Which build.
        build: String,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
    /// Keeps an outside authority's time stamp of a signed head (RFC 3161).
    Timestamp {
        /// The authority's answer, or its token, in base64.
        answer: String,
    },
    /// Takes a build up again that was handed over.
    Reopen {
        /// Which build.
        build: String,
        /// Who.
        by: String,
        /// Why.
        reason: String,
    },
}

/// What an act came to. It is given out only when its entries are on disk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Done {
    /// The sequence numbers of its entries.
    pub entries: Vec<u64>,
    /// The build that it was about.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub build: Option<String>,
    /// What follows from it, in words; nothing where that goes without saying.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub said: Vec<String>,
}

/// A refusal, as `application/problem+json` (RFC 9457).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Problem {
    /// A stable word, for example `build/not-known`.
    #[serde(rename = "type")]
    pub code: String,
    /// The HTTP status.
    pub status: u16,
    /// What happened and what to do.
    pub detail: String,
    /// Findings in a plan, where there are any.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub findings: Vec<crate::plan::Finding>,
}

/// Process figures by one kind of group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StatsView {
    /// What they are grouped by: kind, tool or mechanic.
    pub group: String,
    /// The groups, by name.
    pub groups: Vec<StatsGroup>,
}

/// Process figures of one group. Fasteners have different limits, so each torque is taken as its place between its own
/// limits: 0 at the lower one, 1 at the upper one. The highest pull of each fastener that counts is taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StatsGroup {
    /// Its name.
    pub name: String,
    /// How many fasteners were counted.
    pub readings: u32,
    /// The mean place between the limits, in thousandths.
    pub mean_thousandths: i32,
    /// The standard deviation of the places, in thousandths.
    pub deviation_thousandths: i32,
    /// The spread against the limits, whatever the mean.
    pub cp: Option<IndexView>,
    /// The spread against the nearer limit.
    pub cpk: Option<IndexView>,
    /// Why there are no figures.
    pub too_few: Option<String>,
    /// How many lie in each tenth of the tolerance, from half a tolerance below the lower limit to half above the upper one:
    /// twenty counts; what lies farther out is in the first or the last.
    pub counts: Vec<u32>,
}

/// An index and its 95 % confidence interval, in thousandths.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct IndexView {
    /// Cp, Cpk where the spread is that within bikes; Pp, Ppk where it is that of all readings.
    pub name: String,
    /// The estimate.
    pub value_thousandths: i32,
    /// The lower end of the interval.
    pub from_thousandths: i32,
    /// The upper end.
    pub to_thousandths: i32,
}

/// A reading as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ReadingRow {
    /// The sequence number of its entry.
    pub sequence: u64,
    /// When.
    pub time: String,
    /// Which tool.
    pub tool: String,
    /// Which build.
    pub build: Option<String>,
    /// Which fastener or check, where it is placed.
    pub fastener: Option<String>,
    /// Which pass, counted from 0; of a check, which of its readings.
    pub pass: Option<u8>,
    /// As displayed, with its unit; none where the tool was past its range.
    pub displayed: Option<String>,
    /// As judged.
    pub applied_millinewton_metre: Option<i64>,
    /// Of a check as judged, with its unit.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub value_text: Option<String>,
    /// The verdict's answer.
    pub answer: Option<String>,
    /// By order, by choice, nowhere or held.
    pub placed: String,
    /// Whether it raised the over alarm.
    pub alarm: bool,
}
