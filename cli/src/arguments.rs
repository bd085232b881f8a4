//! The arguments: nouns first, verbs second. Help, and later man pages and completions, come from here.

mod due;
mod life;
mod measuring;
mod people;
mod records;
mod wrenches;

pub(crate) use due::{DueVerb, ServiceArguments};
pub(crate) use life::{LoosenArguments, NoteArguments, PartVerb, PlanArguments};
pub(crate) use measuring::{
    CertificateArguments, CheckArguments, FitArguments, GroupArgument, RecallArguments,
    StatsArguments, ToolVerb,
};

pub(crate) use people::{DeviceArguments, DeviceVerb, PeopleVerb, PinArgument};
pub(crate) use records::{KeyVerb, LedgerVerb, RecordVerb, VerifyArguments};
pub(crate) use wrenches::{RecordArguments, TeachArguments};

use clap::{Args, Parser, Subcommand, ValueEnum};
use pullmark_schema::entry::Decision;
use std::path::PathBuf;

/// Proof of correct torque per build: plans, readings, verdicts, signed records.
#[derive(Debug, Parser)]
#[command(version, about, propagate_version = true, infer_subcommands = false)]
pub(crate) struct Arguments {
    #[command(flatten)]
    pub(crate) common: Common,
    #[command(subcommand)]
    pub(crate) noun: Noun,
}

/// What every verb takes.
#[derive(Debug, Clone, Args)]
pub(crate) struct Common {
    /// The data folder of the daemon
    #[arg(long, value_name = "DIR", env = "PULLMARK_DATA", global = true)]
    pub(crate) data: Option<PathBuf>,
    /// The daemon's socket, if it is not in the data folder
    #[arg(long, value_name = "FILE", env = "PULLMARK_SOCKET", global = true)]
    pub(crate) socket: Option<PathBuf>,
    /// Print JSON instead of words
    #[arg(long, global = true)]
    pub(crate) json: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Noun {
    /// Work through a whole build with a simulated wrench, and check its record
    Demo(DemoArguments),
    /// Plans of builds
    #[command(subcommand)]
    Plan(PlanVerb),
    /// Builds
    #[command(subcommand)]
    Build(BuildVerb),
    /// Follow the bench live
    Watch(WatchArguments),
    /// Readings
    #[command(subcommand)]
    Reading(ReadingVerb),
    /// Fasteners of a build
    #[command(subcommand)]
    Fastener(FastenerVerb),
    /// Parts of a bike and their serial numbers
    #[command(subcommand)]
    Part(PartVerb),
    /// What is looked at again after handing over
    #[command(subcommand)]
    Due(DueVerb),
    /// Over alarms
    #[command(subcommand)]
    Alarm(AlarmVerb),
    /// Those who work here, and their PINs
    #[command(subcommand)]
    People(PeopleVerb),
    /// Tablets and phones that may reach the bench from the network
    #[command(alias = "devices")]
    Device(DeviceArguments),
    /// Wrenches and sensors
    #[command(subcommand)]
    Tool(ToolVerb),
    /// Judge every reading of a tool again that a new calibration found changed
    Recall(RecallArguments),
    /// Process figures: Cp and Cpk by kind of fastener, tool or mechanic
    Stats(StatsArguments),
    /// Signed records
    #[command(subcommand)]
    Record(RecordVerb),
    /// The keys that sign for the bench
    #[command(subcommand)]
    Key(KeyVerb),
    /// The append-only list of everything that happened
    #[command(subcommand)]
    Ledger(LedgerVerb),
}

#[derive(Debug, Clone, Args)]
pub(crate) struct DemoArguments {
    /// Do not wait between pulls
    #[arg(long)]
    pub(crate) fast: bool,
    /// Keep everything in this folder; a temporary one if left out
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Keep the bench page up when the build is done
    #[arg(long)]
    pub(crate) stay: bool,
    /// The port of the bench page; 0 takes a free one
    #[arg(long, value_name = "PORT", default_value_t = 0)]
    pub(crate) port: u16,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PlanVerb {
    /// Find what is wrong with a plan file: exit status 1 if anything has to be mended
    Check {
        /// The plan file
        file: PathBuf,
        /// The file of a tool at hand: can it do what the plan wants? May be given several times
        #[arg(long = "tool", value_name = "FILE")]
        tools: Vec<PathBuf>,
    },
    /// Show the stages, limits and order of pulls of a plan file
    Show {
        /// The plan file
        file: PathBuf,
    },
    /// List the joint templates and starter sets that a plan can be made of
    Templates {
        /// A folder with templates of your own, as in the daemon's settings
        #[arg(long = "own", value_name = "DIR")]
        own: Option<PathBuf>,
    },
    /// Make a plan of templates; every figure in it is common practice until you write down what the part says
    New(NewPlanArguments),
    /// Make a plan of a table (CSV) of fasteners and checks
    Import {
        /// The table
        file: PathBuf,
        #[command(flatten)]
        made: MadePlan,
    },
    /// Write the fasteners and checks of a plan as a table (CSV)
    Export {
        /// The plan file
        file: PathBuf,
        /// Where to write it, instead of the output; a file that is there stays
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
}

/// What a new plan is made of.
#[derive(Debug, Clone, Args)]
#[command(group = clap::ArgGroup::new("from").required(true).multiple(true))]
pub(crate) struct NewPlanArguments {
    /// A starter set to begin with
    #[arg(long, value_name = "NAME", group = "from")]
    pub(crate) starter: Option<String>,
    /// A joint template to add; may be given several times
    #[arg(long = "template", value_name = "NAME", group = "from")]
    pub(crate) templates: Vec<String>,
    /// A folder with templates of your own, as in the daemon's settings
    #[arg(long = "own", value_name = "DIR")]
    pub(crate) own: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) made: MadePlan,
}

/// What becomes of a plan that is made.
#[derive(Debug, Clone, Args)]
pub(crate) struct MadePlan {
    /// What the plan is for
    #[arg(long)]
    pub(crate) title: Option<String>,
    /// Which edition of the plan this is
    #[arg(long)]
    pub(crate) edition: Option<String>,
    /// Where to write it, instead of the output; a file that is there stays
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// Who does it.
#[derive(Debug, Clone, Args)]
pub(crate) struct By {
    /// Your name as it will stand in the record
    #[arg(long, value_name = "NAME", env = "PULLMARK_BY")]
    pub(crate) by: String,
}

#[derive(Debug, Subcommand)]
pub(crate) enum BuildVerb {
    /// Begin a build after a plan
    Start {
        /// The plan file
        plan: PathBuf,
        /// The serial number on the frame
        #[arg(long, value_name = "SERIAL")]
        frame: String,
        /// What the shop calls the bike
        #[arg(long)]
        label: Option<String>,
        /// The build's name; made from the label or the frame's serial number if left out
        #[arg(long, value_name = "BUILD")]
        build: Option<String>,
        /// A tool that serves it; may be given several times. If left out, all that serve no open build and measure what the plan asks for
        #[arg(long = "tool", value_name = "TOOL")]
        tools: Vec<String>,
        #[command(flatten)]
        by: By,
    },
    /// Begin a service of a bike that comes back, on top of an earlier build
    Service(ServiceArguments),
    /// List all builds
    List {
        /// Of one bike, by the serial number on the frame
        #[arg(long, value_name = "SERIAL")]
        frame: Option<String>,
    },
    /// Show one build: what is done, what is open, what comes next
    Show {
        /// The build's name
        build: String,
    },
    /// Let a tool serve a build from now on
    Serve {
        /// The build's name
        build: String,
        /// The tool's short name
        tool: String,
        /// Who; needed where the shop keeps people
        #[arg(long, value_name = "NAME", env = "PULLMARK_BY")]
        by: Option<String>,
    },
    /// Hold a build to another edition of its plan
    Plan(PlanArguments),
    /// Take a build up again that was handed over
    Reopen {
        /// The build's name
        build: String,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        by: By,
    },
    /// Lay a build aside for another day
    LayAside {
        /// The build's name
        build: String,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        by: By,
    },
    /// Go on with a build that was laid aside
    Resume {
        /// The build's name
        build: String,
        #[command(flatten)]
        by: By,
    },
    /// Hand a build to another mechanic
    HandOver {
        /// The build's name
        build: String,
        /// Who has it, where that is not who hands it over
        #[arg(long, value_name = "NAME")]
        from: Option<String>,
        /// Who gets it
        #[arg(long, value_name = "NAME")]
        to: String,
        /// What the other has to know
        #[arg(long)]
        note: Option<String>,
        #[command(flatten)]
        by: By,
    },
    /// Note something about a whole build, in words or with a photograph
    Note {
        /// The build's name
        build: String,
        #[command(flatten)]
        note: NoteArguments,
    },
    /// Take an earlier act back: the build is as if it had not been
    Withdraw {
        /// The build's name
        build: String,
        /// The sequence number of the act's entry; the history shows it
        entry: u64,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        by: By,
    },
    /// Everything that happened to a build, entry after entry
    History {
        /// The build's name
        build: String,
    },
    /// Hand a build over
    Finish {
        /// The build's name
        build: String,
        /// Why nothing was missed, where fasteners that are shown done might have been
        #[arg(long, value_name = "REASON")]
        sure: Option<String>,
        #[command(flatten)]
        by: By,
    },
}

#[derive(Debug, Clone, Args)]
pub(crate) struct WatchArguments {
    /// Start after this entry instead of now; a line an entry
    #[arg(long, value_name = "SEQUENCE")]
    pub(crate) after: Option<u64>,
    /// A line an entry on a terminal too, instead of the whole screen
    #[arg(long)]
    pub(crate) lines: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ReadingVerb {
    /// Enter what a click wrench was set to, or a display showed
    Enter {
        /// For example "5 N·m"
        value: String,
        /// The tool's short name
        #[arg(long)]
        tool: String,
        /// The fastener, if it is not the one that comes next
        #[arg(long)]
        fastener: Option<String>,
        #[command(flatten)]
        by: By,
    },
    /// Say where a reading belongs
    Place {
        /// The reading's sequence number
        reading: u64,
        /// The fastener; leave it out for a test pull
        fastener: Option<String>,
        /// The pass, counted from 1; the one that is due if left out
        #[arg(long, value_parser = clap::value_parser!(u8).range(1..))]
        pass: Option<u8>,
        /// Why it belongs to no fastener
        #[arg(long)]
        reason: Option<String>,
        #[command(flatten)]
        by: By,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// List readings
    List {
        /// Of one build
        #[arg(long)]
        build: Option<String>,
        /// Of one tool
        #[arg(long)]
        tool: Option<String>,
        /// At most so many, the newest
        #[arg(long, default_value_t = 200)]
        most: u32,
        /// Show for each why it was placed where it is
        #[arg(long)]
        why: bool,
        /// Show for each its uncertainty budget
        #[arg(long)]
        budget: bool,
    },
}

/// A fastener of a build.
#[derive(Debug, Clone, Args)]
pub(crate) struct Which {
    /// The build's name
    pub(crate) build: String,
    /// The fastener's id
    pub(crate) fastener: String,
    #[command(flatten)]
    pub(crate) by: By,
}

#[derive(Debug, Subcommand)]
pub(crate) enum FastenerVerb {
    /// Say that it comes next
    Next(Which),
    /// Say that its prep is on
    Prepare(Which),
    /// Undo fasteners: their readings stay and no longer count
    Loosen(LoosenArguments),
    /// Let it wait
    Defer {
        #[command(flatten)]
        which: Which,
        /// Why
        #[arg(long)]
        reason: String,
        /// What it waits for: a part, a tool, an answer
        #[arg(long, value_name = "WHAT")]
        waits_for: Option<String>,
    },
    /// Take it up again
    TakeUp(Which),
    /// Confirm it as another person
    Look {
        #[command(flatten)]
        which: Which,
        /// What was seen
        #[arg(long)]
        reason: Option<String>,
    },
    /// Note something about it, in words or with a photograph
    Note {
        /// The build's name
        build: String,
        /// The fastener's id
        fastener: String,
        #[command(flatten)]
        note: NoteArguments,
    },
    /// Everything that happened to it, entry after entry
    History {
        /// The build's name
        build: String,
        /// The fastener's id
        fastener: String,
    },
    /// Decide what follows from an over reading
    Dispose {
        #[command(flatten)]
        which: Which,
        /// What was decided
        #[arg(long)]
        decision: DecisionArgument,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        pin: PinArgument,
    },
}

/// What can follow from an over reading, or from a check that is not within its limits.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum DecisionArgument {
    /// The part was replaced; the fastener starts anew
    PartReplaced,
    /// A competent person inspected the part and kept it
    InspectedAndKept,
    /// The fastener was undone and is tightened again
    TightenedAgain,
    /// What a check measures was set right, and is measured again
    SetRight,
}

impl From<DecisionArgument> for Decision {
    fn from(argument: DecisionArgument) -> Self {
        match argument {
            DecisionArgument::PartReplaced => Self::PartReplaced,
            DecisionArgument::InspectedAndKept => Self::InspectedAndKept,
            DecisionArgument::TightenedAgain => Self::TightenedAgain,
            DecisionArgument::SetRight => Self::SetRight,
        }
    }
}

#[derive(Debug, Subcommand)]
pub(crate) enum AlarmVerb {
    /// Acknowledge an over alarm
    Acknowledge {
        /// The sequence number of the entry that raised it
        alarm: u64,
        #[command(flatten)]
        by: By,
    },
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory as _;

    #[test]
    fn arguments_are_sound() {
        super::Arguments::command().debug_assert();
    }
}
