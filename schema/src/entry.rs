//! A ledger entry: the closed list of everything that can happen, and the envelope it is kept in.
//!
//! An entry's canonical JSON (RFC 8785) is what is stored, hashed as a leaf of the bench's tree, and never changed.
//! A reading's entry holds its placement and its verdict: there is no state in which a reading is on disk and what
//! was decided about it is not.

mod kind;
mod lasting;
mod life;
mod measuring;
mod people;

pub use lasting::{HeadSigned, HeadTimestamped, Reopened};
pub use life::{
    Deferral, HandedOver, JudgedAnew, LARGEST_PHOTO, MediaType, Noted, OnBuild, PartFitted,
    PartSwapped, Photo, PlanChanged, Withdrawn,
};
pub use measuring::{Affected, AffectedReading, CheckPull, DriftModel, Recalled, ToolCheck};
pub use people::{
    Confirmed, DevicePaired, DeviceRevoked, PersonLeft, PersonNamed, PinChanged, PinLocked,
};

use crate::adapter::Adapter;
use crate::canonical::Digest32;
use crate::certificate::Certificate;
use crate::check::{CheckMeasured, CheckPlaced};
use crate::due::{DueTold, Follows, Ridden};
use crate::keys::KeyLink;
use crate::placement::{Place, Placement};
use crate::quantity::Torque;
use crate::reading::{Displayed, Reading};
use crate::record::names::Disclosure;
use crate::tool::Tool;
use crate::verdict::Verdict;
use chrono::{DateTime, FixedOffset, SecondsFormat};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The version of the entry format that this program writes.
pub const ENTRY_VERSION: u32 = 1;

/// A moment as both clocks tell it. The edge reads it once an event; nothing else reads a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// Wall clock with its offset.
    pub wall: DateTime<FixedOffset>,
    /// Milliseconds since the machine was started; goes on while it sleeps.
    pub since_boot_ms: u64,
}

/// RFC 3339 with offset and milliseconds: the one way in which times are written.
pub fn to_text(time: DateTime<FixedOffset>) -> String {
    time.to_rfc3339_opts(SecondsFormat::Millis, false)
}

/// One entry of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Entry {
    /// The version of this format.
    pub version: u32,
    /// Counted from 0, without a gap. It is the order of things; the clock is not.
    pub sequence: u64,
    /// Wall clock, RFC 3339 with offset and milliseconds.
    pub time: String,
    /// Milliseconds since the machine was started.
    pub since_boot_ms: u64,
    /// Which bench.
    pub bench: String,
    /// The leaf hash of the entry before; 64 zeros in the first.
    pub previous: Digest32,
    /// How many entries of its build came before it, where it is one of a build: none can be left out of a record unseen.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub in_build: Option<u64>,
    /// The clock runs faster than time: this is practice, and speaks of no bike.
    #[serde(skip_serializing_if = "std::ops::Not::not", default)]
    pub practice: bool,
    /// What happened.
    #[serde(flatten)]
    pub event: Event,
}

impl Entry {
    /// What both clocks said; nothing where the time is not written as it has to be.
    pub fn now(&self) -> Option<Now> {
        let wall = DateTime::parse_from_rfc3339(&self.time).ok()?;
        Some(Now {
            wall,
            since_boot_ms: self.since_boot_ms,
        })
    }
}

/// A bike: one frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bike {
    /// The serial number on the frame.
    pub frame: String,
    /// What the shop calls it. No customer's name.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub label: Option<String>,
}

/// The plan that a build is held to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanPin {
    /// Its title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// SHA-256 of the plan file's bytes; the file is kept in the ledger.
    pub sha256: Digest32,
}

/// An over alarm: the reading is above the upper limit of what was expected, or of where it was placed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Alarm {
    /// What it is measured against.
    pub place: Place,
    /// The upper limit that was passed.
    #[serde(rename = "upper_millinewton_metre")]
    pub upper: Torque,
}

/// A reading and what was decided about it at once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pulled {
    /// What the tool said.
    pub reading: Reading,
    /// Which build the tool serves.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub build: Option<String>,
    /// What the plan expected next.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub expected: Option<Place>,
    /// Milliseconds since the tool's last pull, as the placing took it; none where that says nothing.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub gap_ms: Option<u64>,
    /// Where it went.
    pub placement: Placement,
    /// The verdict, where it was placed.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<Verdict>,
    /// The over alarm; it comes before any question of where the reading belongs.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<Alarm>,
}

/// An over alarm that sounds before its pull is over. The reading comes when it is, with an alarm of its own that takes this
/// one's place; where the tool goes before, this one stays.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OverNow {
    /// Which tool.
    pub tool: String,
    /// Which build it serves.
    pub build: String,
    /// As displayed; none where the tool was past its range.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub displayed: Option<Displayed>,
    /// The torque so far; none where the tool was past its range.
    #[serde(
        rename = "applied_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub applied: Option<Torque>,
    /// What was passed.
    pub alarm: Alarm,
}

/// A person said where an earlier reading belongs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Placed {
    /// The sequence number of the reading's entry.
    pub reading: u64,
    /// Which build.
    pub build: String,
    /// Where: by choice, or nowhere.
    pub placement: Placement,
    /// The verdict there.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub verdict: Option<Verdict>,
    /// An over alarm that only this placement raises.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<Alarm>,
    /// How the person showed that it is them, where an over reading was taken away from where it had gone over.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub confirmed: Option<Confirmed>,
}

/// Why a line from a tool is no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Unreadable {
    /// It does not match the tool's profile.
    NoMatch,
    /// The checksum is wrong.
    Checksum,
    /// The unit is not in the profile's map.
    UnknownUnit,
    /// The number cannot be read.
    BadNumber,
    /// More torque than any hand tool means.
    NotSane,
    /// It was longer than a line of this tool can be.
    TooLong,
    /// It was the end of a line whose beginning was not seen.
    CutOff,
    /// The tool's count went on by more than one: readings are missing.
    CountGap,
    /// The tool sent a reading again that is stored already.
    AlreadyStored,
    /// It streamed a pull that was too short to be one.
    Knock,
    /// It is a value of another quantity than torque.
    NotTorque,
    /// It was there before anybody listened, or was kept for whoever comes: nobody knows how old it is.
    Stale,
    /// It is outside what the profile calls plausible.
    Implausible,
    /// The instrument answered with an error.
    Refused,
    /// It is an energy; torque has the same dimension and is something else.
    Energy,
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NoMatch => "it does not look like the tool's profile says",
            Self::Checksum => "its checksum is wrong",
            Self::UnknownUnit => "its unit is not in the tool's profile",
            Self::BadNumber => "its number cannot be read",
            Self::NotSane => "it is more torque than any hand tool means",
            Self::TooLong => "it is longer than a line of this tool can be",
            Self::CutOff => "its beginning was not seen",
            Self::CountGap => "the tool counted readings that never came",
            Self::AlreadyStored => "it is stored already, and the tool sent it again",
            Self::Knock => "it was too short for a pull",
            Self::NotTorque => "it is no torque",
            Self::Stale => "it was there before, and nobody knows how old it is",
            Self::Implausible => {
                "it is outside what its profile calls plausible: the byte order, the register or the unit may be wrong"
            }
            Self::Refused => "the instrument answered with an error",
            Self::Energy => "it is in joule, which is energy and no torque",
        })
    }
}

/// What a person decided after an over reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// The part was replaced; the fastener starts anew.
    PartReplaced,
    /// A competent person inspected the part and kept it.
    InspectedAndKept,
    /// The fastener was undone and is tightened again.
    TightenedAgain,
    /// What a check measures was set right, and is measured again. Said of checks only.
    SetRight,
}

impl Decision {
    /// Whether the fastener is loose after it, or the check is open again.
    pub const fn loosens(self) -> bool {
        matches!(
            self,
            Self::PartReplaced | Self::TightenedAgain | Self::SetRight
        )
    }
}

impl std::fmt::Display for Decision {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::PartReplaced => "part replaced",
            Self::InspectedAndKept => "inspected and kept",
            Self::TightenedAgain => "undone and tightened again",
            Self::SetRight => "set right and measured again",
        })
    }
}

/// What an act on one fastener says beside its name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OnFastener {
    /// Which build.
    pub build: String,
    /// Which fastener.
    pub fastener: String,
    /// Who.
    pub by: String,
    /// Why, or what was seen.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}

/// Everything that can happen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", content = "body", rename_all = "kebab-case")]
pub enum Event {
    /// The daemon came up; the first entry of a bench is one of these.
    Started {
        /// Name and version of the program.
        program: String,
        /// The public key that signs for this bench, as multibase text.
        key: String,
        /// Which start of the machine this is; since-boot times of different boots do not compare.
        boot: String,
        /// In practice the clock runs this many times as fast as time; never in a shop.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        practice_speed: Option<u32>,
    },
    /// Wall clock and time since boot no longer agree with the entry before.
    ClockChanged {
        /// How far the wall clock was moved, in milliseconds; forward is positive.
        by_ms: i64,
    },
    /// A tool became known, or its data changed.
    ToolAdded {
        /// The tool.
        tool: Box<Tool>,
        /// Who said so, where a name was given.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        by: Option<String>,
    },
    /// A tool's port was opened.
    ToolConnected {
        /// Which tool.
        tool: String,
        /// Where.
        port: String,
    },
    /// A tool's port went away.
    ToolGone {
        /// Which tool.
        tool: String,
        /// Why, for a person.
        why: String,
        /// The beginning of a line that was being received, if any; it never counts.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        partial: Option<Digest32>,
    },
    /// A tool was calibrated.
    ToolCertified {
        /// Which tool.
        tool: String,
        /// The certificate; the file it was read from is kept in the ledger.
        certificate: Box<Certificate>,
        /// Who entered it.
        by: String,
    },
    /// An adapter was put on a tool, or taken off.
    ToolFitted {
        /// Which tool.
        tool: String,
        /// What is on it now; none for the bare tool.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        adapter: Option<Adapter>,
        /// Who.
        by: String,
    },
    /// From now on a tool's pulls are made against a reference, until the check is entered or given up.
    CheckBegun {
        /// Which tool.
        tool: String,
        /// Who.
        by: String,
    },
    /// A check was given up; its pulls stay, and belong nowhere.
    CheckGivenUp {
        /// Which tool.
        tool: String,
        /// Who.
        by: String,
    },
    /// A tool was checked against a reference.
    ToolChecked(Box<ToolCheck>),
    /// Every reading of a tool since its last good calibration was judged again.
    Recalled(Box<Recalled>),
    /// What a recall found on one bike: its record has to be amended.
    Affected(Box<Affected>),
    /// A tool said about itself what no reading says.
    ToolSaid {
        /// Which tool.
        tool: String,
        /// The serial number that it carries; it joins the tool to its certificate.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        serial: Option<String>,
        /// Its maker, model and firmware.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        what: Option<String>,
        /// What is left in its battery.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        battery_percent: Option<u8>,
    },
    /// During a pull, before it is over: a sample is above the upper limit of what is expected.
    OverNow(Box<OverNow>),
    /// A build began.
    BuildStarted {
        /// Its name.
        build: String,
        /// The bike.
        bike: Bike,
        /// The plan.
        plan: PlanPin,
        /// Who began it.
        by: String,
        /// The build of the same bike that it goes on from.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        follows: Option<Follows>,
    },
    /// A tool serves a build from now on.
    ToolAssigned {
        /// Which tool.
        tool: String,
        /// Which build.
        build: String,
        /// Who said so, where a name was given; nobody where a build began with it.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        by: Option<String>,
    },
    /// A mechanic pointed at the fastener that comes next.
    PointedAt {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// Who.
        by: String,
    },
    /// A reading, its placement and its verdict.
    Pulled(Box<Pulled>),
    /// A reading of a check: another quantity than torque, its placement and its verdict.
    CheckMeasured(Box<CheckMeasured>),
    /// A person said where a reading of a check belongs.
    CheckPlaced(Box<CheckPlaced>),
    /// Bytes came that are no reading.
    Unreadable {
        /// Which tool.
        tool: String,
        /// Why.
        why: Unreadable,
        /// SHA-256 of the bytes; they are kept in the ledger.
        raw: Digest32,
    },
    /// A person said where a reading belongs.
    Placed(Box<Placed>),
    /// An over alarm was acknowledged.
    Acknowledged {
        /// Which build.
        build: String,
        /// The sequence number of the entry that raised it.
        alarm: u64,
        /// Who.
        by: String,
    },
    /// A fastener was undone.
    Loosened(OnFastener),
    /// A fastener waits, with the reason.
    Deferred(Deferral),
    /// A deferred fastener is taken up again.
    TakenUp(OnFastener),
    /// Prep was put on.
    Prepared(OnFastener),
    /// Another person looked at a fastener.
    Looked(OnFastener),
    /// A person decided after an over reading.
    Disposed {
        /// Which build.
        build: String,
        /// Which fastener.
        fastener: String,
        /// What was decided.
        decision: Decision,
        /// Who.
        by: String,
        /// Why.
        reason: String,
        /// How they showed that it is them.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        confirmed: Option<Confirmed>,
    },
    /// An earlier act was a mistake, and is taken back.
    Withdrawn(Withdrawn),
    /// A part was put on.
    PartFitted(PartFitted),
    /// A part was replaced by another.
    PartSwapped(Box<PartSwapped>),
    /// The build waits as a whole.
    LaidAside(OnBuild),
    /// Work on it goes on.
    Resumed(OnBuild),
    /// It is held to another edition of the plan.
    PlanChanged(Box<PlanChanged>),
    /// Somebody noted something.
    Noted(Box<Noted>),
    /// It changed hands.
    HandedOver(HandedOver),
    /// The build is done.
    BuildFinished {
        /// Which build.
        build: String,
        /// Who handed it over.
        by: String,
        /// Why they were sure, where fasteners that were shown done might have been missed.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        sure: Option<String>,
    },
    /// A record was signed and kept.
    RecordSealed {
        /// Which build.
        build: String,
        /// SHA-256 of the signed record's canonical JSON; the record is kept in the ledger.
        record: Digest32,
        /// Who.
        by: String,
        /// The signed tree head (C2SP checkpoint) over all entries before this one.
        checkpoint: String,
        /// The names that the record holds as hashes.
        #[serde(skip_serializing_if = "Vec::is_empty", default)]
        names: Vec<Disclosure>,
        /// How they showed that it is them.
        #[serde(skip_serializing_if = "Option::is_none", default)]
        confirmed: Option<Confirmed>,
    },
    /// After handing over: something due is done, or is not.
    DueTold(DueTold),
    /// After handing over: how far the bike has gone.
    Ridden(Ridden),
    /// The head of the tree over all entries before this one was signed: daily, and after every seal.
    HeadSigned(HeadSigned),
    /// An outside authority has stamped a signed head with its time.
    HeadTimestamped(HeadTimestamped),
    /// The bench has another key from now on, or its first one.
    KeyLinked(Box<KeyLink>),
    /// A build that was handed over is taken up again.
    Reopened(Reopened),
    /// A person works here from now on.
    PersonAdded(PersonNamed),
    /// A person is shown by another name.
    PersonRenamed(PersonNamed),
    /// A person has another PIN.
    PinChanged(PinChanged),
    /// A person works here no longer.
    PersonLeft(PersonLeft),
    /// After wrong PINs nobody can try again for a while.
    PinLocked(PinLocked),
    /// A device on the network may reach this bench from now on.
    DevicePaired(DevicePaired),
    /// A device may reach this bench no longer.
    DeviceRevoked(DeviceRevoked),
}
