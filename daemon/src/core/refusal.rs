//! Why something that was asked is not done. Nothing was written when one of these comes back.

use pullmark_schema::plan::Finding;
use pullmark_schema::quantity::Kind;

/// A refusal, in words for a mechanic.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// No build of that name.
    #[error("there is no build {0:?}: `pullmark build list` shows those there are")]
    BuildNotKnown(String),
    /// The name is taken.
    #[error("there is a build {0:?} already: give this one another name with --build")]
    BuildTaken(String),
    /// The build was handed over.
    #[error(
        "the build {0:?} is finished: take it up again with `pullmark build reopen`, or start a new build for this bike"
    )]
    BuildFinished(String),
    /// The build was not handed over yet.
    #[error("the build {0:?} is not finished: finish it before its record is sealed")]
    BuildOpen(String),
    /// No such fastener in the plan.
    #[error(
        "the plan of this build has no fastener or check {0:?}: `pullmark build show` lists them"
    )]
    FastenerNotKnown(String),
    /// The stage has no such pass.
    #[error("{fastener:?} has {passes} pass(es), counted from 0: there is no pass {pass}")]
    PassNotKnown {
        /// Which fastener.
        fastener: String,
        /// Which pass was asked for.
        pass: u8,
        /// How many there are.
        passes: usize,
    },
    /// No such tool.
    #[error("there is no tool {0:?}: make it known with `pullmark tool add`")]
    ToolNotKnown(String),
    /// The tool's data cannot be right.
    #[error(transparent)]
    BadTool(#[from] pullmark_schema::tool::ToolError),
    /// The certificate cannot be right, or is another tool's.
    #[error(transparent)]
    BadCertificate(#[from] pullmark_schema::certificate::CertificateError),
    /// A newer certificate is on file.
    #[error(
        "the certificate {present} of {date} is on file, and this one is older: to look back, use `pullmark recall`"
    )]
    OlderCertificate {
        /// The number of the one on file.
        present: String,
        /// Its date.
        date: chrono::NaiveDate,
    },
    /// The adapter cannot be reckoned with.
    #[error("{0}")]
    BadAdapter(String),
    /// A check is under way.
    #[error("{0} is being checked already: enter what the reference showed, or give the check up")]
    CheckUnderWay(String),
    /// No check was begun.
    #[error("no check of {0} was begun: begin one, or say what the tool showed at each pull")]
    NoCheck(String),
    /// What was shown and what the reference showed do not go together.
    #[error(
        "{tool} showed {shown} value(s) and the reference {reference}: a check has 1 to {most} pulls, one value of each for \
         every pull"
    )]
    PullsDoNotMatch {
        /// Which tool.
        tool: String,
        /// How many values it showed.
        shown: usize,
        /// How many the reference showed.
        reference: usize,
        /// The most pulls of a check.
        most: usize,
    },
    /// No tool has that serial number.
    #[error("no tool has the serial number {0:?}: `pullmark tool list` shows those there are")]
    SerialNotKnown(String),
    /// The recall could not be made.
    #[error("the recall cannot be made: {0}")]
    Recall(String),
    /// No such reading.
    #[error(
        "entry {0} is no reading of a build: a tool that served none when it came has to be pulled again"
    )]
    ReadingNotKnown(u64),
    /// No such alarm.
    #[error("entry {0} raised no over alarm")]
    AlarmNotKnown(u64),
    /// Somebody did so already.
    #[error("the alarm of entry {0} was acknowledged before")]
    AlarmAcknowledged(u64),
    /// The plan has errors.
    #[error("the plan has {} error(s): {}", .0.len(), first(.0))]
    BadPlan(Vec<Finding>),
    /// A text is empty or too long.
    #[error("{what} has to have 1 to {most} characters")]
    BadText {
        /// Which text.
        what: &'static str,
        /// How long it may be.
        most: usize,
    },
    /// The value that was entered is no torque.
    #[error("{0}")]
    BadValue(String),
    /// A fastener is meant, and the value is no torque.
    #[error("{0:?} is a fastener, and the value is no torque: name a check of the plan")]
    NoCheckThere(String),
    /// Nothing measures it.
    #[error("{0:?} is computed from other checks: measure those")]
    CheckComputed(String),
    /// The check is of another quantity.
    #[error("{check:?} is a {wanted}, and the value is a {found}")]
    OtherQuantity {
        /// Which check.
        check: String,
        /// What it measures.
        wanted: Kind,
        /// What the value is.
        found: Kind,
    },
    /// A check is not tightened, and a fastener is not set right.
    #[error(
        "{0:?}: that is not done to it. A check is measured, set right and measured again; a fastener is tightened, undone and \
         tightened again"
    )]
    NotOfACheck(String),
    /// Only a torque wrench has that.
    #[error(
        "{0:?} measures no torque: what is known of it stands in its tool file, which `pullmark tool add` reads anew"
    )]
    NotATorqueWrench(String),
    /// There is no over reading to decide about.
    #[error("{0:?} has nothing that waits for a decision")]
    NothingToDecide(String),
    /// It is not deferred.
    #[error("{0:?} is not deferred")]
    NotDeferred(String),
    /// It is tight already.
    #[error("{0:?} is done; loosen it first if it has to wait")]
    DoneAlready(String),
    /// The same person cannot be the other person.
    #[error("a second look needs another person than {0}, who tightened it or does the build")]
    SamePerson(String),
    /// Fasteners, a stage and all of them together, or none of these.
    #[error("say what is undone: fasteners by their ids, or one stage, or all of it")]
    BadScope,
    /// No such stage in the plan.
    #[error("the plan of this build has no stage {0:?}: `pullmark build show --json` lists them")]
    StageNotKnown(String),
    /// Nothing counts there.
    #[error("nothing counts at any fastener of {0}: there is nothing to loosen")]
    NothingToLoosen(String),
    /// No such entry of the build.
    #[error(
        "the build {build:?} has no entry {entry}: `pullmark build history` shows those it has"
    )]
    EntryNotKnown {
        /// Which build.
        build: String,
        /// Which entry.
        entry: u64,
    },
    /// It stays.
    #[error("entry {entry} cannot be taken back; {instead}")]
    NotWithdrawable {
        /// Which entry.
        entry: u64,
        /// What to do instead.
        instead: &'static str,
    },
    /// Somebody did so already.
    #[error("entry {0} was taken back before; do the act again if it was right")]
    WithdrawnAlready(u64),
    /// The readings that would count again were judged by an edition that no longer holds.
    #[error(
        "entry {entry} cannot be taken back: entry {changed} has changed the plan since, and what it undid was judged by the \
         edition before. Tighten it again"
    )]
    PlanChangedSince {
        /// Which entry.
        entry: u64,
        /// The one that changed the plan.
        changed: u64,
    },
    /// A decision is all that still says that a reading was over.
    #[error(
        "entry {entry} cannot be taken back: a reading that it decides about went over before entry {changed} changed the plan, and \
         was placed anew since. Decide anew, with `pullmark fastener dispose`"
    )]
    PlacedSince {
        /// Which entry.
        entry: u64,
        /// The one that changed the plan.
        changed: u64,
    },
    /// It went over under an edition that no longer holds, and nobody has decided.
    #[error(
        "the reading of entry {reading} cannot be placed anew: it went over before entry {changed} changed the plan. Decide what \
         follows first, with `pullmark fastener dispose`, or go back to that edition for it"
    )]
    OverBeforeEdition {
        /// Which reading.
        reading: u64,
        /// The entry that changed the plan.
        changed: u64,
    },
    /// Another edition would allow less than what was pulled, and other passes beside it.
    #[error(
        "the new edition has other passes and a lower limit where more was pulled already: {0}. Go over to the lower limit first, \
         in an edition with the passes as they are; decide what follows; then change the passes"
    )]
    OverInOtherPasses(String),
    /// No such part in the plan.
    #[error(
        "the plan of this build has no part {part:?}; it has: {}. A new edition can add it: `pullmark build plan`",
        list(.known)
    )]
    PartNotKnown {
        /// Which part.
        part: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// One is on already.
    #[error(
        "{part:?} is fitted already, serial {serial}: swap it for another with `pullmark part swap`"
    )]
    PartFitted {
        /// Which part.
        part: String,
        /// The one that is on.
        serial: String,
    },
    /// Another one is on.
    #[error("{part:?} has the serial {fitted}, not {out}: is it the right part?")]
    OtherSerial {
        /// Which part.
        part: String,
        /// The one that is on.
        fitted: String,
        /// The one that was said to go out.
        out: String,
    },
    /// The same one.
    #[error("{part:?} with the serial {serial} is the one that is on")]
    SameSerial {
        /// Which part.
        part: String,
        /// The serial.
        serial: String,
    },
    /// It waits already.
    #[error("the build {0:?} is laid aside already")]
    LaidAside(String),
    /// It does not wait.
    #[error("the build {0:?} is not laid aside")]
    NotLaidAside(String),
    /// Somebody else has it.
    #[error("the build {build:?} is in the hands of {holder}, who has to hand it over")]
    OtherHands {
        /// Which build.
        build: String,
        /// Who has it.
        holder: String,
    },
    /// To oneself.
    #[error("{0} has it already")]
    SameHands(String),
    /// The plan is the one that holds.
    #[error("the build {0:?} is held to this very file already")]
    SameEdition(String),
    /// The new edition drops what waits for a decision.
    #[error(
        "the new edition no longer has what waits for a decision: {0}. Decide first, with `pullmark fastener dispose`"
    )]
    DropsUndecided(String),
    /// The file is too large.
    #[error("the photograph has {0} bytes, and 8 MiB are kept at most: make it smaller")]
    PhotoTooLarge(usize),
    /// The file is no picture that is known.
    #[error("the file is no JPEG, PNG or WebP picture")]
    NotAPicture,
    /// Something is still open.
    #[error("the build cannot be finished yet: {0}")]
    StillOpen(String),
    /// Something may have been missed.
    #[error(
        "these are shown done, and one of them may have been missed: {0}. Point at each and pull it once more, or say why \
         you are sure"
    )]
    MayBeMissed(String),
    /// It is open already.
    #[error("the build {0:?} is not finished: it needs not be taken up again")]
    NotFinished(String),
    /// It is not finished, so nothing is due yet.
    #[error("the build {0:?} is not handed over yet: finish it first")]
    NotHandedOver(String),
    /// Its plan says nothing of it.
    #[error("the plan of {build:?} has nothing due under {due:?}: see `pullmark due list`")]
    DueNotKnown {
        /// Which build.
        build: String,
        /// What.
        due: String,
    },
    /// It was said before.
    #[error("{due:?} is {} already", if *is_done { "done" } else { "open" })]
    DueToldBefore {
        /// What.
        due: String,
        /// Whether it is done.
        is_done: bool,
    },
    /// It is another bike.
    #[error(
        "the build {build:?} is of the frame {frame:?}: a service goes on from a build of the same frame"
    )]
    OtherFrame {
        /// Which build.
        build: String,
        /// Its frame.
        frame: String,
    },
    /// It has a record.
    #[error("the build {0:?} has a record already: amend it, with the reason")]
    SealedBefore(String),
    /// It has no record.
    #[error("the build {0:?} has no record that could be amended: seal its first one")]
    NothingToAmend(String),
    /// An authority's time stamp does not hold, or is of nothing here.
    #[error("the time stamp is not kept: {0}")]
    Timestamp(String),
    /// The record could not be made.
    #[error("the record cannot be sealed: {0}")]
    Seal(String),
    /// Nobody of that name works here.
    #[error(
        "nobody here is called {name:?}: it is one of {}. `pullmark people add` enters a person", list(.known)
    )]
    PersonNotKnown {
        /// Which name.
        name: String,
        /// Those who work here.
        known: Vec<String>,
    },
    /// The name is, or was, another person's.
    #[error(
        "{0:?} is or was somebody's name here: give another one, so that the records stay clear"
    )]
    PersonTaken(String),
    /// Somebody who had left comes back, and not by the word of the bench's own user.
    #[error(
        "{0:?} has worked here before: the user that the daemon runs as takes them up again, at a prompt on the bench's own machine, \
         with `pullmark people add`"
    )]
    ReturnsAtPrompt(String),
    /// Their work has to go to somebody first.
    #[error(
        "{name} has builds in hand: {}. Hand each over first, so that what is pulled on it is somebody's who is here: on its page, or \
         `pullmark build hand-over BUILD --from {name:?} --to NAME --by NAME`",
        list(.builds)
    )]
    HasBuilds {
        /// Who would leave.
        name: String,
        /// The builds.
        builds: Vec<String>,
    },
    /// The name looks like another person's.
    #[error(
        "{name:?} looks like {other:?}, who is or was here, and is written with other letters: give a name that can be told from it"
    )]
    LooksLike {
        /// The new name.
        name: String,
        /// Whose name it looks like.
        other: String,
    },
    /// It needs the PIN.
    #[error("this needs the PIN of {0}")]
    NeedsPin(String),
    /// Somebody has to say who does it.
    #[error("say who of the people here does it: --by NAME")]
    ByMissing,
    /// No such device, or several.
    #[error("no device, or more than one, is called {device:?}: it is one of {}", list(.known))]
    DeviceNotKnown {
        /// Which device.
        device: String,
        /// Those that are let in.
        known: Vec<String>,
    },
}

fn first(findings: &[Finding]) -> String {
    findings
        .first()
        .map(ToString::to_string)
        .unwrap_or_default()
}

fn list(known: &[String]) -> String {
    if known.is_empty() {
        "none".to_owned()
    } else {
        known.join(", ")
    }
}

impl Refusal {
    /// The stable word.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::BuildNotKnown(_) => "build/not-known",
            Self::BuildTaken(_) => "build/name-taken",
            Self::BuildFinished(_) => "build/finished",
            Self::BuildOpen(_) => "build/not-finished",
            Self::FastenerNotKnown(_) => "fastener/not-known",
            Self::PassNotKnown { .. } => "fastener/pass-not-known",
            Self::ToolNotKnown(_) => "tool/not-known",
            Self::BadTool(_) => "tool/bad-data",
            Self::BadCertificate(_) => "tool/bad-certificate",
            Self::OlderCertificate { .. } => "tool/older-certificate",
            Self::BadAdapter(_) => "tool/bad-adapter",
            Self::CheckUnderWay(_) => "tool/check-under-way",
            Self::NoCheck(_) => "tool/no-check",
            Self::PullsDoNotMatch { .. } => "tool/pulls-do-not-match",
            Self::SerialNotKnown(_) => "tool/serial-not-known",
            Self::Recall(_) => "recall/not-made",
            Self::ReadingNotKnown(_) => "reading/not-known",
            Self::AlarmNotKnown(_) => "alarm/not-known",
            Self::AlarmAcknowledged(_) => "alarm/acknowledged-before",
            Self::BadPlan(_) => "plan/has-errors",
            Self::BadText { .. } => "act/bad-text",
            Self::BadValue(_) => "reading/bad-value",
            Self::NoCheckThere(_) => "check/none-there",
            Self::CheckComputed(_) => "check/computed",
            Self::OtherQuantity { .. } => "check/other-quantity",
            Self::NotOfACheck(_) => "check/other-decision",
            Self::NotATorqueWrench(_) => "tool/no-torque-wrench",
            Self::NothingToDecide(_) => "fastener/nothing-to-decide",
            Self::NotDeferred(_) => "fastener/not-deferred",
            Self::DoneAlready(_) => "fastener/done-already",
            Self::SamePerson(_) => "fastener/same-person",
            Self::BadScope => "fastener/bad-scope",
            Self::StageNotKnown(_) => "fastener/stage-not-known",
            Self::NothingToLoosen(_) => "fastener/nothing-to-loosen",
            Self::EntryNotKnown { .. } => "act/not-known",
            Self::NotWithdrawable { .. } => "act/not-withdrawable",
            Self::WithdrawnAlready(_) => "act/withdrawn-already",
            Self::PlanChangedSince { .. } => "act/plan-changed-since",
            Self::PlacedSince { .. } => "act/placed-since",
            Self::OverBeforeEdition { .. } => "reading/over-before-edition",
            Self::OverInOtherPasses(_) => "plan/over-in-other-passes",
            Self::PartNotKnown { .. } => "part/not-known",
            Self::PartFitted { .. } => "part/fitted-already",
            Self::OtherSerial { .. } => "part/other-serial",
            Self::SameSerial { .. } => "part/same-serial",
            Self::LaidAside(_) => "build/laid-aside",
            Self::NotLaidAside(_) => "build/not-laid-aside",
            Self::OtherHands { .. } => "build/other-hands",
            Self::SameHands(_) => "build/same-hands",
            Self::SameEdition(_) => "plan/same-edition",
            Self::DropsUndecided(_) => "plan/drops-undecided",
            Self::PhotoTooLarge(_) => "photo/too-large",
            Self::NotAPicture => "photo/not-a-picture",
            Self::StillOpen(_) => "build/still-open",
            Self::MayBeMissed(_) => "build/may-be-missed",
            Self::NotFinished(_) => "build/open-already",
            Self::NotHandedOver(_) => "due/not-handed-over",
            Self::DueNotKnown { .. } => "due/not-known",
            Self::DueToldBefore { .. } => "due/told-before",
            Self::OtherFrame { .. } => "build/other-frame",
            Self::SealedBefore(_) => "record/sealed-before",
            Self::NothingToAmend(_) => "record/nothing-to-amend",
            Self::Timestamp(_) => "record/bad-timestamp",
            Self::Seal(_) => "record/not-sealed",
            Self::PersonNotKnown { .. } => "person/not-known",
            Self::PersonTaken(_) => "person/name-taken",
            Self::ReturnsAtPrompt(_) => "person/returns-at-prompt",
            Self::HasBuilds { .. } => "person/has-builds",
            Self::LooksLike { .. } => "person/looks-like",
            Self::NeedsPin(_) => "person/needs-pin",
            Self::ByMissing => "person/by-missing",
            Self::DeviceNotKnown { .. } => "device/not-known",
        }
    }

    /// Whether what was named does not exist, as against what may not be done now.
    pub const fn is_not_found(&self) -> bool {
        matches!(
            self,
            Self::BuildNotKnown(_)
                | Self::FastenerNotKnown(_)
                | Self::ToolNotKnown(_)
                | Self::SerialNotKnown(_)
                | Self::ReadingNotKnown(_)
                | Self::AlarmNotKnown(_)
                | Self::StageNotKnown(_)
                | Self::EntryNotKnown { .. }
                | Self::PartNotKnown { .. }
                | Self::PersonNotKnown { .. }
                | Self::DeviceNotKnown { .. }
        )
    }
}
