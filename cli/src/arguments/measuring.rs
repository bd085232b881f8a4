//! The arguments of everything about a tool's error: certificates, adapters, checks, recalls, process figures.

use super::{By, RecordArguments, TeachArguments};
use chrono::NaiveDate;
use clap::{Args, Subcommand, ValueEnum};
use pullmark_schema::certificate::{CertificateHead, Format};
use pullmark_schema::entry::DriftModel;
use std::path::{Path, PathBuf};

/// How a certificate file is written.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum FormatArgument {
    /// Our own file, written by a person
    Toml,
    /// A table of points with its units in the header
    Csv,
    /// A digital calibration certificate (DCC XML)
    Dcc,
}

/// A certificate file, and what it does not say itself.
#[derive(Debug, Clone, Args)]
pub(crate) struct CertificateArguments {
    /// How the file is written; by its ending (.toml, .csv, .xml) if left out
    #[arg(long)]
    format: Option<FormatArgument>,
    /// The certificate's number, where the file has none
    #[arg(long)]
    number: Option<String>,
    /// Who calibrated, where the file does not say
    #[arg(long)]
    laboratory: Option<String>,
    /// The day of calibration, where the file does not say
    #[arg(long)]
    date: Option<NaiveDate>,
    /// The day after which the tool is past its calibration, where the file does not say
    #[arg(long)]
    due: Option<NaiveDate>,
    /// Which table of a digital certificate, counted from 1, where it has several for the tool
    #[arg(long)]
    table: Option<u8>,
}

impl CertificateArguments {
    /// How the file is written; nothing where neither the person nor its ending says.
    pub(crate) fn format_of(&self, file: &Path) -> Option<Format> {
        let ending = file.extension().and_then(|ending| ending.to_str());
        match (self.format, ending.map(str::to_ascii_lowercase).as_deref()) {
            (Some(FormatArgument::Toml), _) | (None, Some("toml")) => Some(Format::Toml),
            (Some(FormatArgument::Csv), _) | (None, Some("csv")) => Some(Format::Csv),
            (Some(FormatArgument::Dcc), _) | (None, Some("xml" | "dcc")) => Some(Format::Dcc),
            _ => None,
        }
    }

    pub(crate) fn head(&self) -> CertificateHead {
        CertificateHead {
            number: self.number.clone(),
            laboratory: self.laboratory.clone(),
            date: self.date,
            due: self.due,
            table: self.table,
        }
    }
}

/// How a tool's error is taken to have grown.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(crate) enum DriftArgument {
    /// Evenly with time since the last good calibration
    #[default]
    Linear,
    /// All of it on the day of the last good calibration: the worst case, after a knock or an overload
    AtOnce,
}

impl From<DriftArgument> for DriftModel {
    fn from(argument: DriftArgument) -> Self {
        match argument {
            DriftArgument::Linear => Self::Linear,
            DriftArgument::AtOnce => Self::AtOnce,
        }
    }
}

#[derive(Debug, Clone, Args)]
pub(crate) struct RecallArguments {
    /// The tool's serial number
    #[arg(long, value_name = "SERIAL")]
    pub(crate) tool: String,
    /// The new calibration as found, before any adjustment
    #[arg(long, value_name = "FILE")]
    pub(crate) found: PathBuf,
    /// How the error is taken to have grown since the last good calibration
    #[arg(long, default_value = "linear")]
    pub(crate) drift: DriftArgument,
    /// Write the list to this file as well, as a table (RFC 4180)
    #[arg(long, value_name = "FILE")]
    pub(crate) csv: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) certificate: CertificateArguments,
    #[command(flatten)]
    pub(crate) by: By,
}

#[derive(Debug, Clone, Args)]
pub(crate) struct CheckArguments {
    /// The tool's short name
    pub(crate) tool: String,
    /// From now on the tool's pulls belong to a check, and to no fastener
    #[arg(long, conflicts_with_all = ["give_up", "against", "reference", "shown"])]
    pub(crate) begin: bool,
    /// Give a check up that was begun
    #[arg(long, conflicts_with_all = ["against", "reference", "shown"])]
    pub(crate) give_up: bool,
    /// The reference device and its own certificate
    #[arg(long, required_unless_present_any = ["begin", "give_up"])]
    pub(crate) against: Option<String>,
    /// What the reference showed at each pull, for example "5.02 N·m"; once for every pull
    #[arg(long, value_name = "TORQUE", required_unless_present_any = ["begin", "give_up"])]
    pub(crate) reference: Vec<String>,
    /// What the tool showed or was set to at each pull; left out where the pulls came from the tool since --begin
    #[arg(long, value_name = "TORQUE")]
    pub(crate) shown: Vec<String>,
    #[command(flatten)]
    pub(crate) by: By,
}

#[derive(Debug, Clone, Args)]
pub(crate) struct FitArguments {
    /// The tool's short name
    pub(crate) tool: String,
    /// What the adapter is called, for example "crow-foot, 10 mm"
    #[arg(required_unless_present = "bare")]
    pub(crate) adapter: Option<String>,
    /// From the centre of the wrench's drive to the centre of the fastener, for example "30 mm"; left out for a straight
    /// extension, which changes nothing
    #[arg(long)]
    pub(crate) length: Option<String>,
    /// Between the adapter and the line of the handle, in degrees: 0 is straight out, 90 is square to it
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u16).range(0..=180))]
    pub(crate) angle: u16,
    /// Nothing is on the tool any more
    #[arg(long, conflicts_with_all = ["adapter", "length"])]
    pub(crate) bare: bool,
    #[command(flatten)]
    pub(crate) by: By,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ToolVerb {
    /// Make a tool known from a file, or change its data
    Add {
        /// The tool file (TOML)
        file: PathBuf,
        /// Who; needed where the shop keeps people
        #[arg(long, value_name = "NAME", env = "PULLMARK_BY")]
        by: Option<String>,
    },
    /// List all tools
    List,
    /// Show one tool: its certificate, its checks, what is on it
    Show {
        /// The tool's short name
        tool: String,
    },
    /// Enter a calibration certificate (TOML, CSV points or DCC XML)
    Certify {
        /// The tool's short name
        tool: String,
        /// The certificate's file
        file: PathBuf,
        #[command(flatten)]
        certificate: CertificateArguments,
        #[command(flatten)]
        by: By,
    },
    /// Enter a check against a reference: a few pulls, and what the reference showed
    Check(CheckArguments),
    /// Say which adapter is on a tool
    Fit(FitArguments),
    /// Show what this machine offers to connect tools by
    Ports,
    /// Listen for Bluetooth tools in reach
    Scan {
        /// For how long
        #[arg(long, value_name = "SECONDS", default_value_t = 5)]
        seconds: u64,
    },
    /// Make a line profile from two or three readings: pull, and type what the display showed
    Teach(TeachArguments),
    /// Write down what comes from a port, byte for byte with its times
    Record(RecordArguments),
    /// Read a recorded file the way a port is read: exit status 1 if anything in it is no reading
    Replay {
        /// The recorded file
        file: PathBuf,
        /// The profile, if it is not the one that the file names: a name, or a file
        #[arg(long)]
        profile: Option<String>,
    },
}

/// What process figures are grouped by.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(crate) enum GroupArgument {
    /// The kind of fastener
    #[default]
    Kind,
    /// The tool
    Tool,
    /// The mechanic who began the build
    Mechanic,
}

#[derive(Debug, Clone, Args)]
pub(crate) struct StatsArguments {
    /// What to group by
    #[arg(long, default_value = "kind")]
    pub(crate) group: GroupArgument,
}
