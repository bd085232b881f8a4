//! The arguments of what happens to a build beside its pulls.

use super::By;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Clone, Args)]
pub(crate) struct LoosenArguments {
    /// The build's name
    pub(crate) build: String,
    /// The fasteners' ids
    #[arg(required_unless_present_any = ["stage", "all"])]
    pub(crate) fasteners: Vec<String>,
    /// Every fastener of this stage at which something counts
    #[arg(long, value_name = "ID", conflicts_with_all = ["fasteners", "all"])]
    pub(crate) stage: Option<String>,
    /// Every fastener at which something counts: all of it was a dry fit
    #[arg(long, conflicts_with = "fasteners")]
    pub(crate) all: bool,
    /// Why
    #[arg(long)]
    pub(crate) reason: String,
    #[command(flatten)]
    pub(crate) by: By,
}

/// A note in words, with a photograph, or both.
#[derive(Debug, Clone, Args)]
pub(crate) struct NoteArguments {
    /// What
    #[arg(long, required_unless_present = "photo")]
    pub(crate) text: Option<String>,
    /// A JPEG, PNG or WebP picture, at most 8 MiB
    #[arg(long, value_name = "FILE")]
    pub(crate) photo: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) by: By,
}

#[derive(Debug, Clone, Args)]
pub(crate) struct PlanArguments {
    /// The build's name
    pub(crate) build: String,
    /// The file of the new edition
    pub(crate) file: PathBuf,
    /// Say what it would mean, and change nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// Why
    #[arg(long, required_unless_present = "dry_run")]
    pub(crate) reason: Option<String>,
    /// Your name as it will stand in the record
    #[arg(
        long,
        value_name = "NAME",
        env = "PULLMARK_BY",
        required_unless_present = "dry_run"
    )]
    pub(crate) by: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PartVerb {
    /// Put a part of the plan on
    Fit {
        /// The build's name
        build: String,
        /// The part's id in the plan
        part: String,
        /// Its serial number, or what else it can be known by
        serial: String,
        /// What it is, where that is another than the plan says
        #[arg(long)]
        kind: Option<String>,
        #[command(flatten)]
        by: By,
    },
    /// Put a spare in a part's place: the fasteners that hold it are loose after that
    Swap {
        /// The build's name
        build: String,
        /// The part's id in the plan
        part: String,
        /// The spare's serial number, or what else it can be known by
        serial: String,
        /// The serial number of the one that goes out, where it was not entered before
        #[arg(long, value_name = "SERIAL")]
        out: Option<String>,
        /// What it is, where that is another than the plan says
        #[arg(long)]
        kind: Option<String>,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        by: By,
    },
    /// List the parts of the plan and what is fitted
    List {
        /// The build's name
        build: String,
    },
}
