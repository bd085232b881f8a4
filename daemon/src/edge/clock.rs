//! Reads both clocks, once an event.

use chrono::{DateTime, FixedOffset, Local, TimeDelta};
use pullmark_schema::entry::Now;
use std::fmt::Write as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// Where time comes from.
#[derive(Debug, Clone)]
pub struct Clock {
    boot: String,
    practice: Option<Practice>,
}

/// A clock that runs faster than time, for trying the program out.
#[derive(Debug, Clone)]
struct Practice {
    speed: u32,
    wall: DateTime<FixedOffset>,
    since_boot_ms: u64,
    skipped_ms: Arc<AtomicU64>,
}

/// Lets a practice clock skip ahead instead of waiting.
#[derive(Debug, Clone, Default)]
pub struct Skip(Arc<AtomicU64>);

impl Skip {
    /// Skips so many milliseconds.
    pub fn ahead(&self, milliseconds: u64) {
        self.0.fetch_add(milliseconds, Ordering::SeqCst);
    }
}

impl Clock {
    /// The machine's clocks.
    pub fn system() -> Self {
        Self {
            boot: boot_id(),
            practice: None,
        }
    }

    /// A clock that starts now and runs `speed` times as fast. Everything recorded with it is marked as practice.
    pub fn practice(speed: u32) -> Self {
        Self::practice_with_skip(speed, &Skip::default())
    }

    /// The same, and it skips ahead when it is told to.
    pub fn practice_with_skip(speed: u32, skip: &Skip) -> Self {
        let start = read();
        let practice = Practice {
            speed: speed.max(1),
            wall: start.wall,
            since_boot_ms: start.since_boot_ms,
            skipped_ms: Arc::clone(&skip.0),
        };
        Self {
            boot: boot_id(),
            practice: Some(practice),
        }
    }

    /// Which start of the machine this is. A practice clock is its own: its times compare with no other.
    pub fn boot(&self) -> &str {
        &self.boot
    }

    /// How many times as fast as time it runs; none for the machine's clock.
    pub fn practice_speed(&self) -> Option<u32> {
        self.practice.as_ref().map(|practice| practice.speed)
    }

    /// This moment.
    pub fn now(&self) -> Now {
        let now = read();
        let Some(practice) = &self.practice else {
            return now;
        };
        let passed = now
            .since_boot_ms
            .saturating_sub(practice.since_boot_ms)
            .saturating_mul(u64::from(practice.speed));
        let passed = passed.saturating_add(practice.skipped_ms.load(Ordering::SeqCst));
        let delta = TimeDelta::milliseconds(i64::try_from(passed).unwrap_or(i64::MAX / 2));
        Now {
            wall: practice
                .wall
                .checked_add_signed(delta)
                .unwrap_or(practice.wall),
            since_boot_ms: practice.since_boot_ms.saturating_add(passed),
        }
    }
}

fn read() -> Now {
    let boot = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    let seconds = u64::try_from(boot.tv_sec).unwrap_or(0);
    let milliseconds = u64::try_from(boot.tv_nsec).unwrap_or(0) / 1_000_000;
    Now {
        wall: Local::now().fixed_offset(),
        since_boot_ms: seconds.saturating_mul(1000).saturating_add(milliseconds),
    }
}

/// The kernel's own name for this start of the machine, or a random one where it gives none.
fn boot_id() -> String {
    if let Ok(id) = std::fs::read_to_string("/proc/sys/kernel/random/boot_id") {
        return id.trim().to_owned();
    }
    let mut text = String::from("unknown-");
    for byte in super::keys::random::<8>().unwrap_or_default() {
        // writing to a string cannot fail
        let _ = write!(text, "{byte:02x}");
    }
    text
}
