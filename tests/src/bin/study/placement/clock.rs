//! How long a piece of work takes: as a clock shows it, and as this thread worked. On a machine that does other things
//! too, the first holds their turns as well.

use rustix::time::{ClockId, Timespec, clock_gettime};
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// How long it took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Taken {
    /// By the clock.
    pub(super) wall: Duration,
    /// By this thread's own time.
    pub(super) own: Duration,
}

/// How often something took how long, in whole tenths of a microsecond: as fine as it is printed, and no larger for more
/// readings.
#[derive(Debug, Clone, Default)]
pub(super) struct Times(BTreeMap<u32, u64>);

impl Times {
    pub(super) fn one(&mut self, time: Duration) {
        let tenths = (time.as_nanos() + 50) / 100;
        let tenths = u32::try_from(tenths).unwrap_or(u32::MAX);
        *self.0.entry(tenths).or_default() += 1;
    }

    pub(super) fn add(&mut self, other: &Self) {
        for (tenths, count) in &other.0 {
            *self.0.entry(*tenths).or_default() += count;
        }
    }

    /// The quantile in microseconds, by the nearest rank; zero of none.
    #[expect(clippy::cast_precision_loss, reason = "a count, for a rank")]
    pub(super) fn quantile(&self, part: f64) -> f64 {
        let all: u64 = self.0.values().sum();
        let rank = (all as f64 * part).ceil();
        let mut before = 0;
        let found = self.0.iter().find(|(_, count)| {
            before += **count;
            before as f64 >= rank
        });
        found.map_or(0.0, |(tenths, _)| f64::from(*tenths) / 10.0)
    }
}

/// Does something and says how long it took.
pub(super) fn timed<T>(work: impl FnOnce() -> T) -> (T, Taken) {
    let own = own_time();
    let start = Instant::now();
    let done = work();
    let wall = start.elapsed();
    let own = own_time().saturating_sub(own);
    (done, Taken { wall, own })
}

fn own_time() -> Duration {
    let Timespec { tv_sec, tv_nsec } = clock_gettime(ClockId::ThreadCPUTime);
    let seconds = u64::try_from(tv_sec).unwrap_or_default();
    let nanoseconds = u64::try_from(tv_nsec).unwrap_or_default();
    Duration::from_secs(seconds) + Duration::from_nanos(nanoseconds)
}
