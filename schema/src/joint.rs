//! The mechanics of a bolted joint: what preload a torque makes, what a bolt bears, where a thread strips.
//!
//! These are estimates for one question: can a stated torque be right? They do not find a torque. Friction alone moves
//! the preload by a factor of two, and on light alloy or carbon the part sets the limit and not the bolt; the part
//! maker's figure always comes first.
//!
//! Sources: geometry ISO 68-1:1998 and ISO 724:1993; tolerances ISO 965-1:1998; strengths ISO 898-1:2013 and ISO
//! 3506-1; torque and preload ISO 16047:2005 and VDI 2230-1; shear areas FED-STD-H28/2B. What of them is from memory is
//! marked where it stands. Lengths are in mm, forces in N, torques in N·m, stresses in N/mm².

mod estimate;
mod friction;
mod preload;
mod strength;
mod strip;
mod thread;

pub use estimate::{Estimate, estimate};
pub use friction::{Friction, FrictionFrom, friction_of};
pub use preload::{
    Head, Tightening, YIELD_UTILISATION, preload_at_yield, short_form, total_friction,
};
pub use strength::PropertyClass;
pub use strip::{
    BOLT_SHEAR_RATIO, external_shear_area, internal_shear_area, shear_strength, stripping_load,
};
pub use thread::{MetricThread, ThreadError};

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
