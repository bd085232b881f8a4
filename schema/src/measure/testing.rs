//! What the tests of this folder share.

use std::f64::consts::PI;

/// `found` is off by no more than `tolerance`. Not a number never is near anything.
#[track_caller]
pub(crate) fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} is not {expected} ± {tolerance}"
    );
}

/// `SplitMix64` (Steele, Lea and Flood, 2014, from memory): the same figures on every machine.
pub(crate) struct Random(pub(crate) u64);

impl Random {
    /// Between 0 and 1, neither included.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        let high = u32::try_from((z ^ (z >> 31)) >> 32).unwrap_or_default();
        (f64::from(high) + 0.5) / 4_294_967_296.0
    }

    pub(crate) fn rectangular(&mut self, half_width: f64) -> f64 {
        half_width * (2.0 * self.share() - 1.0)
    }

    /// Box and Muller.
    pub(crate) fn normal(&mut self, standard: f64) -> f64 {
        let radius = (-2.0 * self.share().ln()).sqrt();
        standard * radius * (2.0 * PI * self.share()).cos()
    }
}
