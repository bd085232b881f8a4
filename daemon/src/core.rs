//! What decides. Pure: state and event in, entries out; time is an argument, and so is everything random.
//!
//! [`Bench`] is a fold over the ledger's entries. [`decide()`] and [`acts`] look at it and say which entries follow; the
//! edge writes them, and only then are they folded in and shown. Nothing here knows a file, a socket or a clock.

pub mod acts;
mod alarm;
mod bench;
mod checks;
mod decide;
pub mod due;
pub mod history;
pub mod judge;
mod live;
mod measure;
pub mod people;
pub mod place;
pub mod recall;
mod refusal;
pub mod seal;
pub mod stats;
mod view;

pub use bench::{
    Bench, Checking, KnownCheck, LastHead, LastMeasured, LastPull, RecallState, ToolState,
};
pub use decide::{About, Decided, Input, decide};
pub use live::live_value;
pub use refusal::Refusal;
pub(crate) use view::displayed;
pub use view::{build_view, view};
