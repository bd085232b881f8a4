//! What happens in Pullmark: bytes come in, readings are placed and judged, the ledger is written, the bench is shown.
//!
//! [`intake`] and [`core`] are pure and decide; [`edge`] does all IO; [`run`] is the loop between them: event in,
//! decision, ledger first, then everybody hears of it; [`service`] puts them together.
#![forbid(unsafe_code)]

pub mod config;
pub mod core;
pub mod edge;
pub mod export;
pub mod intake;
pub mod run;
pub mod service;
pub mod shop;

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::needless_pass_by_value)]
mod testing;
