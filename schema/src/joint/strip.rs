//! Where a thread strips: shear areas and the strengths of what is threaded.
//!
//! FED-STD-H28/2B (the same formulas stand in ASME B1.1, appendix B), with the least material that the tolerance
//! classes 6g and 6H allow. Widening of the nut and bending of the threads (Alexander's factors) are left out: the
//! strengths below are low values, and the question is only whether a torque can be right.

use super::{MetricThread, PropertyClass};
use crate::plan::Engaged;
use std::f64::consts::PI;

/// tan 30°, as the standard rounds it.
const TANGENT: f64 = 0.577_35;

/// Shear over tensile strength of a bolt. VDI 2230-1 states 0.60 to 0.65 for steel (from memory); the lowest is taken.
pub const BOLT_SHEAR_RATIO: f64 = 0.6;

/// The area that shears off when the nut's thread strips, mm²; `engagement` in mm.
pub fn internal_shear_area(thread: MetricThread, engagement: f64) -> f64 {
    let major = thread.least_major_diameter();
    let flank = TANGENT * (major - thread.largest_nut_pitch_diameter());
    sheared(thread, engagement, major, flank)
}

/// The area that shears off when the bolt's thread strips, mm².
pub fn external_shear_area(thread: MetricThread, engagement: f64) -> f64 {
    let minor = thread.largest_nut_minor_diameter();
    let flank = TANGENT * (thread.least_bolt_pitch_diameter() - minor);
    sheared(thread, engagement, minor, flank)
}

fn sheared(thread: MetricThread, engagement: f64, diameter: f64, flank: f64) -> f64 {
    PI * engagement / thread.pitch() * diameter * (thread.pitch() / 2.0 + flank)
}

/// Ultimate shear strength of what the thread is cut into, N/mm². Nobody knows the alloy of a part on the bench, so these
/// are low values of what is common in bicycles, all from memory. Nothing is said of inserts: they come loose before
/// their thread strips.
pub const fn shear_strength(material: Engaged) -> Option<f64> {
    match material {
        // 0.6 × 400 N/mm², mild steel
        Engaged::Steel => Some(240.0),
        // alloy 6061-T6, typical value; 7075-T6 has half as much again
        Engaged::Aluminium => Some(207.0),
        // 0.6 × 360 N/mm², free-cutting brass
        Engaged::Brass => Some(215.0),
        // 0.6 × 620 N/mm², alloy 3Al-2.5V
        Engaged::Titanium => Some(370.0),
        // alloy AZ91D, cast
        Engaged::Magnesium => Some(140.0),
        Engaged::Insert => None,
    }
}

/// The load at which the weaker of the two threads strips, N; nothing where the material is an insert. `engagement` in
/// mm.
pub fn stripping_load(
    thread: MetricThread,
    engagement: f64,
    class: Option<PropertyClass>,
    material: Engaged,
) -> Option<f64> {
    let nut = shear_strength(material)? * internal_shear_area(thread, engagement);
    let bolt = class.map_or(f64::INFINITY, |class| {
        BOLT_SHEAR_RATIO * class.tensile_strength() * external_shear_area(thread, engagement)
    });
    Some(nut.min(bolt))
}
