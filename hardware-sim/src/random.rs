//! A small generator of random numbers, the same on every machine for the same seed.
//!
//! It is not for secrets. Sources: `SplitMix64` by G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom
//! number generators", OOPSLA 2014, with the constants of S. Vigna's public-domain `splitmix64.c`; the normal
//! distribution by G. E. P. Box and M. E. Muller, "A note on the generation of random normal deviates", Ann. Math.
//! Statist. 29 (1958).
//!
//! Whole numbers and the uniform draws are exact everywhere. The normal draw uses `ln` and `cos` of the platform, which
//! may differ in the last bit; a torque rounded to the resolution of a display does not show that.

use std::f64::consts::TAU;

/// The generator. Its whole state is one number, so the seed is all that has to be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Random {
    state: u64,
}

impl Random {
    /// A generator that starts at `seed`. Every seed is good, zero too.
    pub fn from_seed(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 (included) to 1 (not included), in steps of 2^-53.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit an f64 exactly")]
    pub fn uniform(&mut self) -> f64 {
        const STEP: f64 = 1.0 / 9_007_199_254_740_992.0; // 2^-53
        (self.bits() >> 11) as f64 * STEP
    }

    /// True with the given probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.uniform() < probability
    }

    /// A draw from the normal distribution with mean 0 and standard deviation 1. It takes two uniform draws.
    pub fn normal(&mut self) -> f64 {
        // 1 - u lies in (0, 1], so the logarithm is finite.
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        radius * (TAU * self.uniform()).cos()
    }

    /// `count` random bytes, of all values.
    pub fn bytes(&mut self, count: usize) -> Vec<u8> {
        let words = std::iter::from_fn(|| Some(self.bits().to_le_bytes()));
        words.flatten().take(count).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_numbers_are_the_published_ones() {
        // Seed 1234567: the check values that circulate with the public-domain C code (quoted from memory, and found
        // again by this implementation).
        let mut random = Random::from_seed(1_234_567);
        let drawn: Vec<u64> = (0..5).map(|_| random.bits()).collect();
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(drawn, expected);
    }

    #[test]
    fn the_normal_draw_has_mean_zero_and_deviation_one() {
        let mut random = Random::from_seed(7);
        let count = 100_000;
        let draws: Vec<f64> = (0..count).map(|_| random.normal()).collect();
        let mean = draws.iter().sum::<f64>() / f64::from(count);
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / f64::from(count);
        let inside = draws.iter().filter(|x| x.abs() < 1.0).count();
        // Five standard errors: 5/sqrt(n) for the mean, 5·sqrt(2/n) for the variance.
        assert!(mean.abs() < 0.016, "mean {mean}");
        assert!((variance - 1.0).abs() < 0.023, "variance {variance}");
        // 68.27 % lie within one deviation; five standard errors are 740 draws.
        assert!((67_500..=69_050).contains(&inside), "inside {inside}");
    }

    #[test]
    fn uniform_stays_below_one_and_the_number_of_bytes_is_as_asked() {
        let mut random = Random::from_seed(0);
        for _ in 0..10_000 {
            let drawn = random.uniform();
            assert!((0.0..1.0).contains(&drawn));
        }
        for count in [0, 1, 7, 8, 9, 40] {
            assert_eq!(random.bytes(count).len(), count);
        }
        assert_eq!(
            Random::from_seed(3).bytes(20),
            Random::from_seed(3).bytes(20)
        );
    }
}
