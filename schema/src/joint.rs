//! The mechanics of a bolted joint.

mod friction;

pub use friction::Friction;
