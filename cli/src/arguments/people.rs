//! The arguments of people, PINs and devices.

use super::By;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Where a PIN comes from.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct PinArgument {
    /// A file with the PIN, where the shop keeps people; - reads standard input. Asked for on a terminal if left out
    #[arg(long, value_name = "FILE")]
    pub(crate) pin_file: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PeopleVerb {
    /// Enter a person, with a PIN; from the first one on, every act carries one of the people
    Add {
        /// The name as it is to be shown
        name: String,
        /// Who of the people here enters it; the first person enters themselves
        #[arg(long, value_name = "NAME", env = "PULLMARK_BY")]
        by: Option<String>,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// List those who work here
    List,
    /// Show a person by another name; records that are sealed keep the one before
    Rename {
        /// The person
        person: String,
        /// The new name
        #[arg(required_unless_present = "new_name")]
        name: Option<String>,
        /// The new name, said as an option
        #[arg(long = "name", value_name = "NAME", conflicts_with = "name")]
        new_name: Option<String>,
        #[command(flatten)]
        by: By,
    },
    /// Change a PIN, with the one before; the file holds both, a line each
    Pin {
        /// The person
        person: String,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// Set a PIN that was forgotten anew, as the user that the daemon runs as
    ResetPin {
        /// The person
        person: String,
        /// Who sets it; the person themselves if left out
        #[arg(long, value_name = "NAME", env = "PULLMARK_BY")]
        by: Option<String>,
        #[command(flatten)]
        pin: PinArgument,
    },
    /// Say that a person works here no longer
    Leave {
        /// The person
        person: String,
        #[command(flatten)]
        by: By,
    },
}

/// Devices, and what is done about them; the list if nothing is said.
#[derive(Debug, Args)]
pub(crate) struct DeviceArguments {
    #[command(subcommand)]
    pub(crate) verb: Option<DeviceVerb>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum DeviceVerb {
    /// List the devices that were let in, where the bench is on the network, and its certificate's fingerprint
    List,
    /// Show a code that lets one device in
    Pair {
        /// What the shop calls the device
        name: String,
        #[command(flatten)]
        by: By,
    },
    /// Shut a device out, at once
    Revoke {
        /// The device's id, or its name
        device: String,
        /// Why
        #[arg(long)]
        reason: Option<String>,
        #[command(flatten)]
        by: By,
    },
}
