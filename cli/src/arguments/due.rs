//! Arguments about what comes after handing over.

use super::By;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Subcommand)]
pub(crate) enum DueVerb {
    /// List what is due: exit status 1 if something is due now
    List {
        /// What is done, too
        #[arg(long)]
        all: bool,
    },
    /// Write a calendar file (iCalendar) of everything that has a day and is not done
    Calendar {
        /// Where to write it, instead of the output; a file that is there stays
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Say that something due is done
    Done {
        #[command(flatten)]
        which: WhichDue,
        /// What was found
        #[arg(long, value_name = "WHAT")]
        found: Option<String>,
    },
    /// Take back that something due is done
    Undo {
        #[command(flatten)]
        which: WhichDue,
        /// Why
        #[arg(long)]
        reason: String,
    },
    /// Say how far a bike has gone since it was handed over
    Ridden {
        /// The build's name
        build: String,
        /// Whole kilometres
        kilometres: u32,
        #[command(flatten)]
        by: By,
    },
}

/// Something that is due.
#[derive(Debug, Clone, Args)]
pub(crate) struct WhichDue {
    /// The build's name
    pub(crate) build: String,
    /// What is due, by its id in the plan
    pub(crate) due: String,
    #[command(flatten)]
    pub(crate) by: By,
}

/// A bike comes back.
#[derive(Debug, Clone, Args)]
pub(crate) struct ServiceArguments {
    /// The build that was handed over
    pub(crate) build: String,
    /// What of it is due, by its id in the plan; may be given several times
    #[arg(long = "due", value_name = "ID")]
    pub(crate) due: Vec<String>,
    /// A fastener or check that is done again; may be given several times. The whole plan if nothing is named
    #[arg(long = "fastener", value_name = "ID")]
    pub(crate) fasteners: Vec<String>,
    /// The new build's name; made from the label or the frame's serial number if left out
    #[arg(long, value_name = "BUILD")]
    pub(crate) name: Option<String>,
    /// A tool that serves it; may be given several times. All that serve no open build if left out
    #[arg(long = "tool", value_name = "TOOL")]
    pub(crate) tools: Vec<String>,
    /// Print the plan of the service, and begin nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
    #[command(flatten)]
    pub(crate) by: By,
}
