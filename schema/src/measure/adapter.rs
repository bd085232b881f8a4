//! An offset adapter (crow's foot) between drive and fastener changes the effective length of a torque wrench.
//!
//! With the hand at distance L from the drive, an adapter of length E from drive centre to fastener centre and the angle θ
//! between it and the handle's line (0° straight out, 180° folded back under the handle):
//! applied = shown · (L + E cos θ) / L. Lever arithmetic; FAA AC 43.13-1B, 7-40(h) demands the correction. A straight
//! extension (coaxial) and an adapter at 90° change nothing.
//!
//! It holds for a hand at the marked point, a force square to the handle and a stiff adapter. The certificate is for the
//! tool without it.

use thiserror::Error;

/// Why an adapter cannot be worked with.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AdapterError {
    /// The wrench's length.
    #[error("the length from drive to hand is {0}: measure it, it must be above zero")]
    WrenchLength(f64),
    /// The adapter's length.
    #[error(
        "the length of the adapter is {0}: measure it from centre to centre, it must be above zero"
    )]
    AdapterLength(f64),
    /// The angle.
    #[error("the angle of the adapter is {0} degrees: state it between -360 and 360")]
    Angle(f64),
    /// Folded back beyond the hand.
    #[error(
        "the adapter reaches back to the hand or beyond it (effective length {0}): no torque arrives as shown. Use a shorter adapter or another angle"
    )]
    NoEffectiveLength(f64),
}

/// An adapter on a wrench. Lengths in any one unit; only their ratio counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adapter {
    wrench: f64,
    offset: f64,
    angle: f64,
    cosine: f64,
}

/// How well an adapter's geometry is known: standard uncertainties, lengths in the unit of the lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Of the length from drive to hand. A hand moves: several millimetres are usual.
    pub wrench: f64,
    /// Of the adapter's length.
    pub adapter: f64,
    /// Of the angle, degrees.
    pub angle: f64,
}

impl Adapter {
    /// Length from drive to hand, length from drive to fastener, angle in degrees.
    pub fn new(wrench: f64, offset: f64, angle: f64) -> Result<Self, AdapterError> {
        let is_length = |length: f64| length > 0.0 && length.is_finite();
        if !is_length(wrench) {
            return Err(AdapterError::WrenchLength(wrench));
        }
        if !is_length(offset) {
            return Err(AdapterError::AdapterLength(offset));
        }
        if !(-360.0..=360.0).contains(&angle) {
            return Err(AdapterError::Angle(angle));
        }
        let cosine = cosine(angle);
        let effective = wrench + offset * cosine;
        if !is_length(effective) {
            return Err(AdapterError::NoEffectiveLength(effective));
        }
        Ok(Self {
            wrench,
            offset,
            angle,
            cosine,
        })
    }

    /// Applied torque for each N·m shown.
    pub fn factor(&self) -> f64 {
        (self.wrench + self.offset * self.cosine) / self.wrench
    }

    /// The torque at the fastener when the wrench shows `shown`.
    pub fn applied(&self, shown: f64) -> f64 {
        shown * self.factor()
    }

    /// What the wrench has to show, or be set to, for `wanted` at the fastener.
    pub fn setting(&self, wanted: f64) -> f64 {
        wanted / self.factor()
    }

    /// The standard uncertainty, N·m, that the geometry adds to the applied torque of a wrench that shows `shown`
    /// (JCGM 100:2008, 5.1.2; for the angle also the second-order term of its note, since at 0° and 180° the first
    /// order vanishes).
    pub fn standard_uncertainty(&self, shown: f64, known: Geometry) -> f64 {
        let lever = self.offset / self.wrench;
        let angle = known.angle.to_radians();
        let from_wrench = lever * self.cosine * known.wrench / self.wrench;
        let from_adapter = self.cosine * known.adapter / self.wrench;
        let from_angle = lever * sine(self.angle) * angle;
        let from_curve = lever * self.cosine * angle * angle / 2.0_f64.sqrt();
        let squares = [from_wrench, from_adapter, from_angle, from_curve].map(|part| part * part);
        shown.abs() * squares.iter().sum::<f64>().sqrt()
    }
}

/// The cosine of an angle in degrees, exactly 0 at a right angle.
fn cosine(degrees: f64) -> f64 {
    let degrees = degrees.abs();
    let folded = if degrees > 180.0 {
        360.0 - degrees
    } else {
        degrees
    };
    if folded > 90.0 {
        -(180.0 - folded).to_radians().cos()
    } else if folded < 90.0 {
        folded.to_radians().cos()
    } else {
        0.0
    }
}

/// The sine, up to its sign.
fn sine(degrees: f64) -> f64 {
    cosine(degrees.abs() - 90.0)
}

#[cfg(test)]
mod tests;
