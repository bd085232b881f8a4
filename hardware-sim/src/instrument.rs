//! Instruments that are not there: what measures something else than a wrench does, or speaks otherwise.
//!
//! Each keeps a tally of what it has measured, so that a test can compare it with what was stored: nothing lost, nothing
//! doubled, nothing made up. Each works on a thread of its own and ends when it is dropped.
//!
//! - [`registers::Unit`] answers Modbus RTU on a pseudo-terminal, in all four orders of bytes, and can be silent, garble
//!   its answers or refuse them;
//! - [`questions::Instrument`] answers as IEEE 488.2 has it, on a pseudo-terminal or over TCP;
//! - [`speaker::Speaker`] sends lines by itself: a calliper, a gauge, a scale;
//! - [`publisher::Publisher`] publishes to a broker (MQTT 3.1.1);
//! - [`broker::Broker`] is a broker for one listener, to deliver what a real one rarely does: the same message twice.

pub mod broker;
pub mod publisher;
pub mod questions;
pub mod registers;
pub mod speaker;

mod mqtt;
mod served;

use std::sync::{Mutex, MutexGuard, PoisonError};

/// The state, also after a thread that had it panicked: a test then fails by itself.
fn locked<T>(state: &Mutex<T>) -> MutexGuard<'_, T> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}
