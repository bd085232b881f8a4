//! The only place with files, ports, sockets and clocks.

pub mod bluetooth;
pub mod clock;
pub mod crier;
pub mod http;
pub mod keys;
pub mod listening;
pub mod notify;
pub mod serial;
pub mod stamping;
pub mod store;
