//! The arguments of records, keys and the ledger.

use super::{By, PinArgument};
use clap::{Args, Subcommand, ValueEnum};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::keys::KeyReason;
use std::path::PathBuf;

#[derive(Debug, Subcommand)]
pub(crate) enum RecordVerb {
    /// Sign the first record of a finished build
    Seal {
        /// The build's name
        build: String,
        #[command(flatten)]
        by: By,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// Sign a record that takes the place of the last one: after service, a recall or a mistake
    Amend {
        /// The build's name
        build: String,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        by: By,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// Write a sealed record and its views to a folder: record.json, .pdf, .html, readings.csv, and all in record.zip
    Export {
        /// The build's name
        build: String,
        /// The folder
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// Write over files of these names that are there already
        #[arg(long)]
        replace: bool,
        /// Leave the names of people out; the signature still holds
        #[arg(long)]
        redact: bool,
        /// Words for the customer; they go beside the record and are not signed
        #[arg(long, value_name = "TEXT")]
        for_customer: Option<String>,
        /// The shop's name, lines and logo for the paper: a TOML file
        #[arg(long, value_name = "FILE")]
        letterhead: Option<PathBuf>,
    },
    /// Make the views of a record file anew, offline: from the record, and from nothing else
    Views {
        /// The record file
        file: PathBuf,
        /// The folder
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// Write over files of these names that are there already
        #[arg(long)]
        replace: bool,
        /// The shop's name, lines and logo for the paper: a TOML file
        #[arg(long, value_name = "FILE")]
        letterhead: Option<PathBuf>,
    },
    /// Print a page that checks record files in a browser, offline
    Checker,
    /// Check record files offline: exit status 1 if anything does not hold
    Verify(VerifyArguments),
}

#[derive(Debug, Clone, Args)]
pub(crate) struct VerifyArguments {
    /// The record files; of several, it is said which takes the place of which
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// The identity of the bench, from another channel
    #[arg(long, alias = "fingerprint", value_name = "HASH")]
    pub(crate) pin: Option<Digest32>,
    /// A key history of the bench; a newer one shows keys that were revoked since
    #[arg(long, value_name = "FILE")]
    pub(crate) keys: Option<PathBuf>,
    /// A later signed head of the bench's ledger
    #[arg(long, value_name = "FILE")]
    pub(crate) checkpoint: Option<PathBuf>,
    /// The proof that it continues the record's, from `pullmark ledger consistency`
    #[arg(long, value_name = "FILE", requires = "checkpoint")]
    pub(crate) consistency: Option<PathBuf>,
    /// Take that proof from the ledger in the data folder
    #[arg(long, conflicts_with = "consistency", requires = "checkpoint")]
    pub(crate) ledger: bool,
    /// Certificates in PEM of time authorities that you trust: the record's time stamp has to lead to one of them
    #[arg(long, value_name = "FILE")]
    pub(crate) authority: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LedgerVerb {
    /// Check every hash, link, attachment and tree head: exit status 1 if anything does not hold
    Check,
    /// Make the tables for queries anew from the ledger; the daemon has to be stopped
    Rebuild,
    /// Copy the ledger while it is in use
    Backup {
        /// The new file
        file: PathBuf,
    },
    /// Write the last signed head: whoever keeps it can see later that nothing before it was rewritten
    Checkpoint {
        /// The file; standard output if left out
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Have the last signed head stamped with the time of an outside authority (RFC 3161), with a program that can ask it
    Timestamp {
        /// Write the question to this file (application/timestamp-query)
        #[arg(
            long,
            value_name = "FILE",
            required_unless_present = "response",
            conflicts_with = "response"
        )]
        request: Option<PathBuf>,
        /// Keep the answer in this file (application/timestamp-reply)
        #[arg(long, value_name = "FILE")]
        response: Option<PathBuf>,
    },
    /// Write the proof that the last signed head continues an earlier one
    Consistency {
        /// How many entries the earlier head covers: the second line of its file
        #[arg(long, value_name = "SIZE")]
        from: u64,
        /// The file; standard output if left out
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
}

#[derive(Debug, Subcommand)]
pub(crate) enum KeyVerb {
    /// Show the bench's identity and the key that signs now
    Show,
    /// Show every key that has signed, or write the history to a file for others
    History {
        /// The file
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Change to the key that was promised; the daemon has to be stopped
    Rotate,
    /// Change to the key that was promised, and take back what the key before signs from a moment on
    Revoke {
        /// Why
        #[arg(long)]
        reason: ReasonArgument,
        /// The moment, RFC 3339 with offset; now if left out
        #[arg(long, value_name = "TIME")]
        from: Option<String>,
    },
    /// Bring a fresh key with the recovery key from its sheet; the daemon has to be stopped
    Recover {
        /// A text file with the recovery key; - reads it from standard input
        #[arg(long, value_name = "FILE")]
        sheet: PathBuf,
        /// Why
        #[arg(long)]
        reason: ReasonArgument,
        /// From when on the key before no longer counts, RFC 3339 with offset; now if left out
        #[arg(long, value_name = "TIME")]
        from: Option<String>,
    },
    /// Write the sheets to print: the identity for the wall, and the recovery key for the safe
    Sheet {
        /// The folder
        #[arg(long, value_name = "DIR", required_unless_present = "printed")]
        out: Option<PathBuf>,
        /// Write over files of these names that are there already
        #[arg(long, requires = "out")]
        replace: bool,
        /// The recovery sheet is on paper: forget the recovery key
        #[arg(long)]
        printed: bool,
    },
}

/// Why a key no longer counts.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum ReasonArgument {
    /// Without a cause
    Rotation,
    /// Somebody else has it, or may have it
    Theft,
    /// It is lost
    Loss,
}

impl From<ReasonArgument> for KeyReason {
    fn from(argument: ReasonArgument) -> Self {
        match argument {
            ReasonArgument::Rotation => Self::Rotation,
            ReasonArgument::Theft => Self::Theft,
            ReasonArgument::Loss => Self::Loss,
        }
    }
}
