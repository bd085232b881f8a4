//! The plan file as it is written. These types are what the plan's JSON Schema is generated from.

use crate::map::FrameKind;
use crate::quantity::Torque;
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use toml::Spanned;

/// A plan: what is tightened on one kind of bike, in which order, to which torque, and who says so.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    /// What the plan is for, for example "Harbour tourer 56".
    #[schemars(with = "String")]
    pub title: Spanned<String>,
    /// Which edition of the plan this is, for example a date.
    pub edition: String,
    /// Which kind of frame the bike has; the bike map is drawn by it. "road" if left out.
    pub frame: Option<FrameKind>,
    /// Stands in where a fastener states a target and no limits: "10 %" means 10 % either way. 10 % if left out.
    #[schemars(with = "Option<String>")]
    pub tolerance: Option<Spanned<String>>,
    /// How readings are decided, unless a fastener says otherwise. If left out: guarded-upper on carbon, else simple.
    pub rule: Option<Rule>,
    /// The stages in the order in which they are worked.
    #[serde(default)]
    #[schemars(with = "Vec<StageFile>")]
    pub stage: Vec<Spanned<StageFile>>,
    /// Parts whose serial numbers are kept, and that may be replaced by a spare during the build.
    #[serde(default)]
    #[schemars(with = "Vec<PartFile>")]
    pub part: Vec<Spanned<PartFile>>,
    /// What is looked at again after the bike was handed over.
    #[serde(default)]
    #[schemars(with = "Vec<DueFile>")]
    pub due: Vec<Spanned<DueFile>>,
}

/// Something that is looked at again after the bike was handed over: after a time, after a distance, or whichever comes first.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueFile {
    /// A short name, unique among what is due: small letters, digits, dots and dashes.
    #[schemars(with = "String")]
    pub id: Spanned<String>,
    /// For people.
    pub title: String,
    /// So many days after handing over.
    #[schemars(range(min = 1, max = 3660))]
    pub days: Option<u16>,
    /// So many months after it; not together with days.
    #[schemars(range(min = 1, max = 120))]
    pub months: Option<u16>,
    /// After so many kilometres.
    #[schemars(range(min = 1, max = 100_000))]
    pub kilometres: Option<u32>,
    /// The fasteners and checks that are looked at; the whole bike if left out.
    #[serde(default)]
    #[schemars(with = "Vec<String>")]
    pub fasteners: Vec<Spanned<String>>,
    /// Where that is written.
    pub source: Option<String>,
}

/// A part of the bike.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartFile {
    /// A short name, unique among the parts: small letters, digits, dots and dashes.
    #[schemars(with = "String")]
    pub id: Spanned<String>,
    /// For people.
    pub title: String,
    /// What kind of part it is, in small letters and dashes: "handlebar", "seat-post".
    #[schemars(with = "Option<String>")]
    pub kind: Option<Spanned<String>>,
    /// The fasteners that hold it: who replaces the part undoes them. And the checks that are measured again then.
    #[serde(default)]
    #[schemars(with = "Vec<String>")]
    pub fasteners: Vec<Spanned<String>>,
}

/// Fasteners that are tightened together.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StageFile {
    /// A short name, unique in the plan: small letters, digits, dots and dashes.
    #[schemars(with = "String")]
    pub id: Spanned<String>,
    /// For people.
    pub title: String,
    /// The way from fastener to fastener; in order if left out.
    #[serde(default)]
    pub pattern: Pattern,
    /// Parts of the target, rising, the last 1.0: [0.6, 1.0] means once round at 60 %, then at 100 %. One full pass if left out.
    #[schemars(with = "Option<Vec<f64>>")]
    pub passes: Option<Spanned<Vec<f64>>>,
    /// The fasteners.
    #[serde(default)]
    #[schemars(with = "Vec<FastenerFile>")]
    pub fastener: Vec<Spanned<FastenerFile>>,
    /// Measurements that are no torque, taken in this stage.
    #[serde(default)]
    #[schemars(with = "Vec<CheckFile>")]
    pub check: Vec<Spanned<CheckFile>>,
}

/// A planned measurement that is no torque: a depth, a pressure, a tension, a mass, a temperature.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckFile {
    /// A short name, unique in the plan, among the fasteners too: small letters, digits, dots and dashes.
    #[schemars(with = "String")]
    pub id: Spanned<String>,
    /// For people.
    pub title: String,
    /// What it has to come to. The quantity follows from the unit; a lower or an upper limit alone is enough.
    #[schemars(with = "Option<SpecFile>")]
    pub spec: Option<Spanned<SpecFile>>,
    /// Where that is written: every place that states a figure, with the figure it states.
    #[serde(default)]
    #[schemars(with = "Vec<SourceFile>")]
    pub sources: Vec<Spanned<SourceFile>>,
    /// What a person decided where the sources cannot all be right.
    pub settled: Option<SettledFile>,
    /// How readings are decided here; the plan's rule if left out, else simple.
    pub rule: Option<Rule>,
    /// How many readings it wants, for example one a spoke. One if left out.
    #[schemars(with = "Option<u16>", range(min = 1, max = 64))]
    pub readings: Option<Spanned<u16>>,
    /// How it is computed from other checks, by their ids: "spread(wheel.left)". It is measured if this is left out.
    #[schemars(with = "Option<String>")]
    pub formula: Option<Spanned<String>>,
    /// A sentence that the mechanic is shown.
    #[schemars(with = "Option<String>")]
    pub note: Option<Spanned<String>>,
    /// Where it is taken on the bike map, as the map names its places.
    #[schemars(with = "Option<String>")]
    pub at: Option<Spanned<String>>,
}

/// The way from fastener to fastener within a pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Pattern {
    /// As listed.
    #[default]
    InOrder,
    /// From side to side: first, last, second, last but one, …
    Alternate,
    /// Across a circle in which the list goes round: each is followed by the one opposite.
    Cross,
}

/// One bolt, nut, cup or lockring.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FastenerFile {
    /// A short name, unique in the plan: small letters, digits, dots and dashes.
    #[schemars(with = "String")]
    pub id: Spanned<String>,
    /// For people.
    pub title: String,
    /// What kind of fastener it is, in small letters and dashes: "seat-clamp", "stem-faceplate". Any is allowed; the
    /// figures of a known one are looked at, and statistics go by it.
    #[schemars(with = "Option<String>")]
    pub kind: Option<Spanned<String>>,
    /// How readings are decided here.
    pub rule: Option<Rule>,
    /// A sentence that the mechanic is shown, for example "an adjustment: no play, no binding".
    #[schemars(with = "Option<String>")]
    pub note: Option<Spanned<String>>,
    /// What stands between the wrench and the fastener.
    #[schemars(with = "Option<AdapterFile>")]
    pub adapter: Option<Spanned<AdapterFile>>,
    /// The thread, where it is known.
    #[schemars(with = "Option<ThreadFile>")]
    pub thread: Option<Spanned<ThreadFile>>,
    /// What the joint is made of.
    #[schemars(with = "Option<JointFile>")]
    pub joint: Option<Spanned<JointFile>>,
    /// What it is to be tightened to.
    #[schemars(with = "Option<SpecFile>")]
    pub spec: Option<Spanned<SpecFile>>,
    /// Where that is written: every place that states a figure, with the figure it states.
    #[serde(default)]
    #[schemars(with = "Vec<SourceFile>")]
    pub sources: Vec<Spanned<SourceFile>>,
    /// What a person decided where the sources cannot all be right.
    pub settled: Option<SettledFile>,
    /// What goes on thread or interface first: "grease on the thread", "carbon paste on the post", "dry".
    #[serde(default)]
    pub prep: Vec<String>,
    /// What the tool has to fit, for example "hex 4".
    pub drive: Option<String>,
    /// Where it sits on the bike map, as the map names its places: "seat-clamp". What has no place is listed beside the map.
    #[schemars(with = "Option<String>")]
    pub at: Option<Spanned<String>>,
    /// Another person confirms it.
    #[serde(default)]
    pub second_look: bool,
}

/// An adapter or extension.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdapterFile {
    /// For people: "crow-foot, 15 mm".
    pub title: String,
    /// From the centre of the wrench's drive to the centre of the fastener, for example "30 mm". Left out for an
    /// extension in line with the drive, which changes nothing.
    pub length: Option<String>,
    /// Between the adapter and the line of the handle, in whole degrees: 0 is straight out, 180 is folded back.
    #[serde(default)]
    #[schemars(range(max = 180))]
    pub angle: u16,
}

/// A thread.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreadFile {
    /// For example "M5" or "M5x0.8".
    pub size: String,
    /// For example "8.8" or "A2-70".
    pub property_class: Option<String>,
    /// What the thread is cut into.
    pub engages: Option<Engaged>,
    /// The length over which bolt and thread engage, for example "8 mm". One diameter if left out.
    pub engagement: Option<String>,
    /// The least and the greatest coefficient of friction in the thread and under the head, for example [0.10, 0.16].
    /// If left out it is taken from the prep.
    pub friction: Option<Vec<f64>>,
    /// Right unless it says left.
    #[serde(default)]
    pub hand: Hand,
}

/// The material that a thread engages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Engaged {
    /// Steel.
    Steel,
    /// Aluminium alloy.
    Aluminium,
    /// Brass.
    Brass,
    /// Titanium alloy.
    Titanium,
    /// Magnesium alloy.
    Magnesium,
    /// An insert, bonded into carbon or riveted into a tube.
    Insert,
}

/// Which way the thread turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Tightened clockwise.
    #[default]
    Right,
    /// Tightened anticlockwise.
    Left,
}

impl Hand {
    /// The torque in the direction in which the thread is tightened. On a left-hand thread a signed tool shows it
    /// negative, and an unsigned one as it shows every other.
    pub fn tightening(self, applied: Option<Torque>) -> Option<Torque> {
        match self {
            Self::Right => applied,
            Self::Left => applied.map(Torque::magnitude),
        }
    }
}

/// What the joint is made of, where it matters for an over reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum JointFile {
    /// Carbon fibre laminate: crushed before anybody sees it.
    Carbon,
    /// Metal on metal.
    Metal,
}

impl std::fmt::Display for JointFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Carbon => "carbon",
            Self::Metal => "metal",
        })
    }
}

/// A torque to tighten to, or what a check has to come to. Each is a text with its unit, for example "5 N·m", "44 lbf·in"
/// or "6.5 bar".
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpecFile {
    /// What to aim at.
    pub target: Option<String>,
    /// The least that holds.
    pub lower: Option<String>,
    /// The most that the joint may see.
    pub upper: Option<String>,
}

/// A place where a figure is written.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SourceFile {
    /// "marking on the clamp", "seat post leaflet, page 4".
    #[serde(rename = "where")]
    pub place: String,
    /// What it says to aim at.
    pub target: Option<String>,
    /// The least it allows.
    pub lower: Option<String>,
    /// The most it allows; a mark "max 6 N·m" is an upper limit and no more.
    pub upper: Option<String>,
}

/// What a person decided where the sources cannot all be right, or where a figure looks wrong and is not. Figures here
/// stand alone; without any, those that are stated are confirmed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettledFile {
    /// Who decided.
    pub by: String,
    /// Why.
    pub reason: String,
    /// What to aim at.
    pub target: Option<String>,
    /// The least that holds.
    pub lower: Option<String>,
    /// The most that the joint may see.
    pub upper: Option<String>,
}
