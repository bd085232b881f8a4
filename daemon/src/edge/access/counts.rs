//! Counts what would come too often for a line of the log each time.

use super::locked;
use std::collections::BTreeMap;
use std::sync::Mutex;

/// So long after a line the next one comes, with how many there were in between.
const INTERVAL_MS: u64 = 60_000;

/// What happened since the last line.
#[derive(Debug, Default)]
struct Since {
    last_ms: u64,
    count: u64,
}

/// By person and device: both are known here, so that nobody can make it grow.
#[derive(Debug, Default)]
pub struct Counts(Mutex<BTreeMap<(String, String), Since>>);

impl Counts {
    /// Counts one more. How many the log has to tell of now: the first, and then those of an interval.
    pub fn one_more(&self, person: &str, device: &str, now_ms: u64) -> Option<u64> {
        let mut counts = locked(&self.0);
        let key = (person.to_owned(), device.to_owned());
        let Some(since) = counts.get_mut(&key) else {
            let (last_ms, count) = (now_ms, 0);
            counts.insert(key, Since { last_ms, count });
            return Some(1);
        };
        since.count += 1;
        if now_ms.saturating_sub(since.last_ms) < INTERVAL_MS {
            return None;
        }
        since.last_ms = now_ms;
        Some(std::mem::take(&mut since.count))
    }

    /// It is over: how many the log has not told of.
    pub fn left(&self, person: &str, device: &str) -> Option<u64> {
        let key = (person.to_owned(), device.to_owned());
        let since = locked(&self.0).remove(&key)?;
        (since.count > 0).then_some(since.count)
    }
}

#[cfg(test)]
mod tests {
    use super::{Counts, INTERVAL_MS};

    #[test]
    fn every_one_is_told_of_once_and_few_lines_do_it() {
        let counts = Counts::default();
        let told: Vec<u64> = (0..10_000)
            .filter_map(|number| counts.one_more("pia", "tablet", number * 20))
            .collect();
        // 200 s in all
        assert_eq!(told, [1, 3_000, 3_000, 3_000]);
        assert_eq!(counts.left("pia", "tablet"), Some(999));
        assert_eq!(counts.left("pia", "tablet"), None);
        assert_eq!(counts.one_more("pia", "tablet", 0), Some(1));
        assert_eq!(counts.one_more("pia", "bench", 1), Some(1));
        assert_eq!(counts.one_more("pia", "tablet", INTERVAL_MS - 1), None);
        assert_eq!(counts.one_more("pia", "tablet", INTERVAL_MS), Some(2));
    }
}
