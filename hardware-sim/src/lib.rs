//! Tools that are not there: a simulated torque wrench on a real pseudo-terminal.
//!
//! A program that logs torque opens a serial port and reads lines. This crate gives it such a port without a wrench:
//! [`pty::Pty`] is the port, [`tool::wrench::Wrench`] makes the bytes, [`tool::PluggedWrench`] is the two joined.
//! [`script`] plays a day at the bench from a file, [`person`] pulls at random around given targets, [`mechanic`] works at
//! whole bikes and errs.
//!
//! [`instrument`] has instruments that speak otherwise: registers, questions, lines, messages.
//!
//! [`bluez`] is a Bluetooth service on a message bus of its own, with tools in reach; [`desktop`] takes notifications on one.
//!
//! It is not a test of any wrench on the market: the line format is this project's own (see [`tool::line`] and
//! `LINE-FORMAT.md`). It proves nothing about parity, modem lines or USB, which a pseudo-terminal does not have.
//!
//! Everything blocks and nothing here is asynchronous. Randomness comes from a seed that the caller gives.
//!
//! ```no_run
//! use pullmark_sim::tool::{PluggedWrench, wrench::Wrench};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let mut wrench = PluggedWrench::plug(Wrench::new("W-0042")?, "/tmp/wrench")?;
//! wrench.pull(5.08)?; // a program that has opened /tmp/wrench reads: $PULL,1,5.08,N.m*06
//! wrench.unplug()?; // it reads the end of the file, and /tmp/wrench is gone
//! wrench.replug()?; // a new terminal under the old name; the counter goes on
//! # Ok(())
//! # }
//! ```

pub mod bluez;
pub mod console;
pub mod desktop;
pub mod instrument;
pub mod mechanic;
pub mod person;
pub mod pty;
pub mod random;
pub mod script;
pub mod tool;
