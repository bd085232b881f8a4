//! The only place with files, ports, sockets and clocks.

pub mod access;
pub mod bluetooth;
mod broker;
mod calendar;
pub mod clock;
pub mod crier;
pub mod http;
mod keyboard;
pub mod keys;
pub mod lan;
pub mod listening;
pub mod notify;
pub mod serial;
pub mod shelf;
pub mod stamping;
pub mod store;
pub mod whole;
mod wire;
