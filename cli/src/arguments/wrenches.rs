//! The arguments of teaching and recording wrenches.

use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Clone, Args)]
pub(crate) struct TeachArguments {
    /// The port
    pub(crate) port: String,
    /// The new profile's name
    #[arg(long, default_value = "taught")]
    pub(crate) name: String,
    /// Where to write it; NAME.toml here if left out
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Bits a second
    #[arg(long, default_value_t = 9600)]
    pub(crate) baud: u32,
}

#[derive(Debug, Clone, Args)]
pub(crate) struct RecordArguments {
    /// The file to write
    pub(crate) file: PathBuf,
    /// The port
    #[arg(long)]
    pub(crate) port: String,
    /// The profile whose speed and commands are used: a name, or a file
    #[arg(long, default_value = "plain-line")]
    pub(crate) profile: String,
    /// End after so many seconds; else at ctrl-C, or when the port goes
    #[arg(long, value_name = "SECONDS")]
    pub(crate) seconds: Option<u64>,
}
