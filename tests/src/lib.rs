//! The harness for looking at Pullmark from outside: its programs as processes, in fresh folders, on real ports.
//!
//! [`Shop`] is a fresh folder with a running `pullmarkd`, [`Stand`] is a shop with a simulated wrench and a build under
//! way, [`Http`] speaks to the daemon, [`Command`] runs a program and keeps what it said, [`ledger`] reads the ledger's
//! file without the daemon's code.
//!
//! It is test code: it panics where something is not as it should be, and a shop whose test fails prints its daemon's
//! log. Nothing sleeps; whatever is waited for has a bound ([`PATIENCE`]).
#![forbid(unsafe_code)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_panics_doc,
    reason = "a harness fails loudly"
)]

pub mod authority;
pub mod command;
pub mod house;
pub mod http;
pub mod instruments;
pub mod ledger;
pub mod mosquitto;
pub mod network;
pub mod plans;
pub mod programs;
pub mod python;
pub mod shop;
pub mod stand;

pub use authority::Authority;
pub use command::{Command, Running, Said};
pub use http::{Answer, Events, Heard, Http};
pub use network::Network;
pub use shop::{Refused, Shop};
pub use stand::Stand;

use std::time::Duration;

/// Nothing that is waited for takes longer. Generous, because several tests run at once on few cores.
pub const PATIENCE: Duration = Duration::from_secs(20);

/// Who works at the stands of these tests; invented.
pub const MECHANIC: &str = "Mara Lind";
/// The other pair of eyes; invented.
pub const SECOND: &str = "Ole Brandt";
