//! Wrong PINs in a row, and how long the next try has to wait. Counted before a PIN is looked at, so that no crash gives a
//! try for nothing, and kept in a file, so that no start anew does.

use serde::{Deserialize, Serialize};

/// So many wrong PINs of one person cost nothing: fingers slip.
pub const FREE_OF_PERSON: u32 = 2;
/// So many wrong PINs from one device, whoever's they were.
pub const FREE_OF_DEVICE: u32 = 9;
/// How long the first wait is; every wrong PIN after that doubles it.
const FIRST_MS: u64 = 30_000;
/// No wait is longer. A PIN can always be set anew on the bench's own machine.
const LONGEST_MS: u64 = 24 * 60 * 60 * 1_000;

/// The tries of one person, or from one device.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tries {
    /// Wrong ones in a row.
    pub wrong: u32,
    /// Until when the next one has to wait, in milliseconds since 1970.
    pub until_ms: u64,
}

impl Tries {
    /// How long the next try has to wait. A clock that was put back makes no wait longer than the longest.
    pub fn waits_ms(&self, now_ms: u64) -> u64 {
        self.until_ms
            .saturating_sub(now_ms)
            .min(wait_ms(self.wrong, 0).max(FIRST_MS))
    }

    /// Counts one more as wrong. How long the wait after it is.
    pub fn count(&mut self, now_ms: u64, free: u32) -> u64 {
        self.wrong = self.wrong.saturating_add(1);
        let wait = wait_ms(self.wrong, free);
        self.until_ms = now_ms.saturating_add(wait);
        wait
    }
}

fn wait_ms(wrong: u32, free: u32) -> u64 {
    let Some(doublings) = wrong.checked_sub(free + 1) else {
        return 0;
    };
    let factor = 1_u64.checked_shl(doublings.min(40)).unwrap_or(u64::MAX);
    FIRST_MS.saturating_mul(factor).min(LONGEST_MS)
}

#[cfg(test)]
mod tests {
    use super::{FREE_OF_PERSON, LONGEST_MS, Tries};

    #[test]
    fn the_wait_grows_to_a_day_and_no_further() {
        let mut tries = Tries::default();
        let waits: Vec<u64> = (0..16)
            .map(|_| tries.count(0, FREE_OF_PERSON) / 1_000)
            .collect();
        assert_eq!(
            waits,
            [
                0, 0, 30, 60, 120, 240, 480, 960, 1_920, 3_840, 7_680, 15_360, 30_720, 61_440,
                86_400, 86_400
            ]
        );
    }

    #[test]
    fn ten_thousand_tries_take_decades() {
        let (mut tries, mut now) = (Tries::default(), 0);
        for _ in 0..10_000 {
            now += tries.waits_ms(now);
            tries.count(now, FREE_OF_PERSON);
        }
        let years = now / 1_000 / 60 / 60 / 24 / 365;
        assert_eq!(years, 27);
    }

    #[test]
    fn a_clock_that_was_put_back_locks_nobody_for_longer() {
        let mut tries = Tries::default();
        for _ in 0..40 {
            tries.count(1_000 * LONGEST_MS, FREE_OF_PERSON);
        }
        assert_eq!(tries.waits_ms(0), LONGEST_MS);
        let mut few = Tries::default();
        for _ in 0..3 {
            few.count(1_000 * LONGEST_MS, FREE_OF_PERSON);
        }
        assert!(few.waits_ms(0) <= 120_000, "{}", few.waits_ms(0));
    }
}
