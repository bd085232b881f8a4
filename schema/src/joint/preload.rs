//! From torque to preload and back.
//!
//! A torque is used up in three places: it lifts the thread's slope (about a seventh), rubs in the thread (about a
//! third) and rubs under the head (about a half). Only the first stretches the bolt.

use super::{MetricThread, PropertyClass};
use std::f64::consts::PI;

/// What bears on the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Head {
    /// A cylinder head with hexagon socket (ISO 4762).
    Socket,
    /// A hexagon head (ISO 4014, ISO 4017).
    Hexagon,
}

impl Head {
    /// Outer diameter of the bearing face `d_w`, least value, mm. From memory: ISO 4762:2004 and ISO 4014:2011, grade A.
    fn outer_diameter(self, thread: MetricThread) -> f64 {
        let (socket, hexagon) = match thread.diameter() {
            d if d < 3.5 => (5.07, 4.57),
            d if d < 4.5 => (6.53, 5.88),
            d if d < 5.5 => (8.03, 6.88),
            d if d < 7.0 => (9.38, 8.88),
            d if d < 9.0 => (12.33, 11.63),
            d if d < 11.0 => (15.33, 14.63),
            _ => (17.23, 16.63),
        };
        match self {
            Self::Socket => socket,
            Self::Hexagon => hexagon,
        }
    }

    /// Mean diameter of the bearing face, `D_Km = (d_w + d_h) / 2`, mm (VDI 2230-1).
    pub fn bearing_diameter(self, thread: MetricThread) -> f64 {
        f64::midpoint(self.outer_diameter(thread), clearance_hole(thread))
    }
}

/// Clearance hole of the medium series `d_h`, mm. From memory: ISO 273:1979.
fn clearance_hole(thread: MetricThread) -> f64 {
    match thread.diameter() {
        d if d < 3.5 => 3.4,
        d if d < 4.5 => 4.5,
        d if d < 5.5 => 5.5,
        d if d < 7.0 => 6.6,
        d if d < 9.0 => 9.0,
        d if d < 11.0 => 11.0,
        _ => 13.5,
    }
}

/// Thread, bearing face and friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightening {
    /// The thread.
    pub thread: MetricThread,
    /// Mean diameter of the bearing face, mm.
    pub bearing_diameter: f64,
    /// Coefficient of friction in the thread, `µ_G`.
    pub thread_friction: f64,
    /// Coefficient of friction under the head, `µ_K`.
    pub head_friction: f64,
}

impl Tightening {
    /// A bolt with the same friction in the thread and under its head.
    pub fn new(thread: MetricThread, head: Head, friction: f64) -> Self {
        Self {
            thread,
            bearing_diameter: head.bearing_diameter(thread),
            thread_friction: friction,
            head_friction: friction,
        }
    }

    /// Torque over preload, mm, exactly: `d2/2 · tan(φ + ρ′) + µ_K · D_Km/2`, with `tan φ = P/(π·d2)` and `tan ρ′ = µ_G / cos 30°`.
    pub fn lever(&self) -> f64 {
        let d2 = self.thread.pitch_diameter();
        let slope = (self.thread.pitch() / (PI * d2)).atan();
        let rubbing = (self.thread_friction / (PI / 6.0).cos()).atan();
        d2 / 2.0 * (slope + rubbing).tan() + self.head_part()
    }

    /// Torque over preload, mm, in the usual short constants: `0.16·P + 0.58·d2·µ_G + µ_K·D_Km/2` (VDI 2230-1, R13/1; ISO
    /// 16047:2005 has the same with 1/2π and 0.577).
    pub fn lever_by_constants(&self) -> f64 {
        let thread = 0.58 * self.thread.pitch_diameter() * self.thread_friction;
        0.16 * self.thread.pitch() + thread + self.head_part()
    }

    fn head_part(&self) -> f64 {
        self.head_friction * self.bearing_diameter / 2.0
    }

    /// How the torque is shared between the thread's slope, friction in the thread and friction under the head. The
    /// three are 1 together.
    pub fn shares(&self) -> [f64; 3] {
        let parts = [
            self.thread.pitch() / (2.0 * PI),
            0.58 * self.thread.pitch_diameter() * self.thread_friction,
            self.head_part(),
        ];
        let whole: f64 = parts.iter().sum();
        parts.map(|part| part / whole)
    }

    /// The lump K of the short form that this tightening amounts to.
    pub fn nut_factor(&self) -> f64 {
        self.lever_by_constants() / self.thread.diameter()
    }

    /// The preload that a torque makes, N.
    pub fn preload(&self, torque: f64) -> f64 {
        torque * 1000.0 / self.lever()
    }

    /// The torque that makes a preload, N·m.
    pub fn torque(&self, preload: f64) -> f64 {
        preload * self.lever() / 1000.0
    }
}

/// The short form T = K F d, N·m. K lumps geometry and friction together and is no coefficient of friction; here it only
/// checks the long form.
pub fn short_form(nut_factor: f64, preload: f64, diameter: f64) -> f64 {
    nut_factor * preload * diameter / 1000.0
}

/// The coefficient of friction that a torque and a preload, both measured, amount to (ISO 16047:2005, `µ_tot`; from
/// memory).
pub fn total_friction(
    thread: MetricThread,
    bearing_diameter: f64,
    torque: f64,
    preload: f64,
) -> f64 {
    let slope = thread.pitch() / (2.0 * PI);
    (torque * 1000.0 / preload - slope) / (0.577 * thread.pitch_diameter() + 0.5 * bearing_diameter)
}

/// The part of the yield stress that a bolt may see while it is tightened (VDI 2230-1).
pub const YIELD_UTILISATION: f64 = 0.9;

/// The preload at which tension and torsion together use up 90 % of the yield stress, N (VDI 2230-1; from memory).
pub fn preload_at_yield(thread: MetricThread, class: PropertyClass, thread_friction: f64) -> f64 {
    let (d2, d0) = (thread.pitch_diameter(), thread.stress_diameter());
    let torsion = 1.5 * (d2 / d0) * (thread.pitch() / (PI * d2) + 1.155 * thread_friction);
    YIELD_UTILISATION * class.yield_stress() * thread.stress_area()
        / torsion.mul_add(3.0 * torsion, 1.0).sqrt()
}
