//! From samples to pulls: arm and disarm, peak, first peak, plateau, repeat clicks, knocks, drop-outs.
//!
//! The rules and thresholds are our own choice and taken from no standard; ISO 5393 and ISO 6789 are about other things.
//! All of them can be set in a profile. What is found in a pull once it is over is in [`super::pull`].
//!
//! A filter makes peaks smaller. So a pull also begins and lasts while the unfiltered torque says so, and what the over
//! alarm hears of is never filtered.

use super::dialect::ProfileError;
use super::pull::{Pull, Sample, find};
use super::seen::Seen;
use pullmark_schema::profile::{Profile, StreamSettings};
use pullmark_schema::quantity::{Kind, Rounding, Stated};
use std::collections::VecDeque;

/// A pull of more samples is given out in parts, so that a tool that never comes back to zero cannot fill the memory.
pub const MOST_SAMPLES: usize = 100_000;
/// A pause between samples that is shorter than this is how adapters bring bytes, and no drop-out.
const BATCH_US: u64 = 40_000;
/// A pull whose samples stop coming is over after so long.
const SILENT_US: u64 = 1_000_000;
/// A tool's own count of time may lag the time of arrival by so much.
const LAG_US: u64 = 250_000;
/// So many pauses are remembered.
const PAUSES: usize = 31;

/// A profile's settings in the units that are reckoned with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// µN·m.
    pub arm: i64,
    /// µN·m.
    pub release: i64,
    /// µs.
    pub gap: u64,
    /// µs.
    pub shortest: u64,
    /// Hz.
    pub filter: Option<f64>,
    /// µN·m.
    pub plateau_within: i64,
    /// µs.
    pub plateau: u64,
    /// µs.
    pub repeat: u64,
    /// µs between two samples.
    pub sample: Option<u64>,
    /// µs.
    pub time_unit: u64,
}

impl Settings {
    pub(super) fn new(profile: &Profile, stream: &StreamSettings) -> Result<Self, ProfileError> {
        let torque = |what, text: &str| {
            let stated = Stated::parse(text)
                .ok()
                .filter(|stated| stated.unit.kind == Kind::Torque);
            let micro =
                stated.and_then(|stated| stated.unit.to_thousandths(stated.value, Rounding::Up));
            micro
                .filter(|micro| *micro > 0)
                .ok_or_else(|| ProfileError::Setting {
                    profile: profile.name.clone(),
                    what,
                    why: format!("{text:?} is no torque above zero, such as \"0.5 N·m\""),
                })
        };
        let settings = Self {
            arm: torque("stream.arm", &stream.arm)?,
            release: torque("stream.release", &stream.release)?,
            gap: u64::from(stream.gap_ms) * 1000,
            shortest: u64::from(stream.shortest_ms) * 1000,
            filter: stream.filter_hz.filter(|hertz| *hertz > 0).map(f64::from),
            plateau_within: torque("stream.plateau_within", &stream.plateau_within)?,
            plateau: u64::from(stream.plateau_ms) * 1000,
            repeat: u64::from(stream.repeat_ms) * 1000,
            sample: stream.sample_us.filter(|us| *us > 0).map(u64::from),
            time_unit: u64::from(stream.time_unit_us.max(1)),
        };
        if settings.release > settings.arm {
            return Err(ProfileError::Setting {
                profile: profile.name.clone(),
                what: "stream.release",
                why: "it has to be at most what arms".to_owned(),
            });
        }
        Ok(settings)
    }
}

/// What comes out of samples.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// During a pull: the highest so far, unfiltered.
    Rising(Seen),
    /// A pull is over.
    Pull(Box<Pull>),
    /// It was too short to be one.
    Knock(Box<Pull>),
}

/// Finds pulls in one tool's samples.
#[derive(Debug)]
pub struct Puller {
    settings: Settings,
    filtered: f64,
    clock: Clock,
    last_counter: Option<u64>,
    under_way: Option<UnderWay>,
    last_off: Option<u64>,
    last_arrival: Option<u64>,
}

#[derive(Debug)]
struct UnderWay {
    samples: Vec<Sample>,
    /// 1, or -1 for counter-clockwise.
    turn: i64,
    /// The newest sample.
    newest: Seen,
    highest: Seen,
    highest_micro: i64,
    /// Where the torque went below the release, and has stayed.
    low_since: Option<usize>,
    samples_lost: bool,
    is_repeat: bool,
}

/// When a sample was taken.
#[derive(Debug, Default)]
struct Clock {
    last: Option<u64>,
    pauses: VecDeque<u64>,
}

impl Clock {
    /// The sample's time, and whether samples are missing before it.
    fn tick(&mut self, settings: &Settings, device: Option<u64>, arrival: u64) -> (u64, bool) {
        let device = device.and_then(|time| time.checked_mul(settings.time_unit));
        let Some(last) = self.last else {
            let first = device.unwrap_or(arrival);
            self.last = Some(first);
            return (first, false);
        };
        let (now, is_late) = match (device, settings.sample) {
            (Some(device), _) => (device.max(last), false),
            (None, Some(step)) => {
                let next = last.saturating_add(step);
                let is_late = arrival.saturating_sub(next) > LAG_US;
                (if is_late { arrival } else { next }, is_late)
            }
            (None, None) => (arrival.max(last), false),
        };
        let pause = now - last;
        self.last = Some(now);
        let is_gap = is_late || pause > self.longest_usual();
        if self.pauses.len() == PAUSES {
            self.pauses.pop_front();
        }
        self.pauses.push_back(pause);
        (now, is_gap)
    }

    /// Three times the median pause.
    fn longest_usual(&self) -> u64 {
        if self.pauses.len() < 8 {
            return u64::MAX;
        }
        let mut pauses: Vec<u64> = self.pauses.iter().copied().collect();
        let middle = pauses.len() / 2;
        let (_, median, _) = pauses.select_nth_unstable(middle);
        median.saturating_mul(3).max(BATCH_US)
    }
}

impl Puller {
    /// For a tool that was just connected.
    pub fn new(settings: Settings) -> Self {
        Self {
            settings,
            filtered: 0.0,
            clock: Clock::default(),
            last_counter: None,
            under_way: None,
            last_off: None,
            last_arrival: None,
        }
    }

    /// Takes in one sample that arrived at a time.
    pub fn push(&mut self, seen: Seen, arrival_us: u64, mut out: impl FnMut(Found)) {
        self.last_arrival = Some(arrival_us);
        let missed = self.counted(seen.counter);
        let before = self.clock.last;
        let (at, is_gap) = self.clock.tick(&self.settings, seen.time, arrival_us);
        let raw = seen.micro().unwrap_or_else(|| self.past_its_range());
        let filtered = self.filter(raw, before.map_or(0, |before| at - before));
        let sample = Sample { at, raw, filtered };
        self.take(seen, sample, missed || is_gap, &mut out);
    }

    /// Past the tool's range is more torque than it can tell: it goes on from the highest so far.
    fn past_its_range(&self) -> i64 {
        let pull = self.under_way.as_ref();
        pull.map_or(self.settings.arm, |pull| {
            pull.highest_micro.max(1) * pull.turn
        })
    }

    /// No sample came for a while, up to this time. A pull that was under way is over then, and something is missing.
    pub fn idle(&mut self, arrival_us: u64, out: impl FnMut(Found)) {
        let mut out = out;
        let is_silent = self
            .last_arrival
            .is_some_and(|last| arrival_us.saturating_sub(last) >= SILENT_US);
        if let Some(pull) = self.under_way.as_mut().filter(|_| is_silent) {
            pull.samples_lost = true;
            let off = pull.low_since;
            self.disarm(off, &mut out);
        }
    }

    fn counted(&mut self, counter: Option<u64>) -> bool {
        let last = std::mem::replace(&mut self.last_counter, counter);
        match (last, counter) {
            // A counter of a few bits begins anew.
            (Some(last), Some(now)) => now != last.wrapping_add(1) && now != 0,
            _ => false,
        }
    }

    fn filter(&mut self, raw: i64, pause: u64) -> i64 {
        let Some(hertz) = self.settings.filter else {
            return raw;
        };
        let pause = self.settings.sample.unwrap_or(pause);
        let share = 1.0 - (-std::f64::consts::TAU * hertz * to_float(pause) / 1e6).exp();
        self.filtered += share * (to_float(raw) - self.filtered);
        to_whole(self.filtered)
    }

    fn take(&mut self, seen: Seen, sample: Sample, is_gap: bool, out: &mut impl FnMut(Found)) {
        let Settings {
            arm, release, gap, ..
        } = self.settings;
        let Some(pull) = &mut self.under_way else {
            if sample.size() >= arm {
                self.arm(seen, sample);
                out(Found::Rising(seen));
            }
            return;
        };
        pull.samples_lost |= is_gap;
        pull.newest = seen;
        let now = pull.samples.len();
        pull.samples.push(sample);
        let is_past = seen.torque.is_none();
        if sample.raw * pull.turn > pull.highest_micro || is_past {
            pull.highest_micro = sample.raw * pull.turn;
            if is_past || pull.highest.torque.is_some() {
                pull.highest = seen;
            }
            out(Found::Rising(seen));
        }
        let is_low = sample.raw * pull.turn < release && sample.filtered * pull.turn < release;
        let low_since = if is_low {
            Some(*pull.low_since.get_or_insert(now))
        } else {
            pull.low_since = None;
            None
        };
        let low_at = low_since.and_then(|low| pull.samples.get(low));
        let is_over = low_at.is_some_and(|low| sample.at.saturating_sub(low.at) >= gap);
        if is_over {
            self.disarm(low_since, out);
            // The other way round, without a rest between.
            if sample.size() >= arm {
                self.arm(seen, sample);
            }
        } else if now + 1 >= MOST_SAMPLES {
            self.disarm(None, out);
        }
    }

    fn arm(&mut self, seen: Seen, sample: Sample) {
        let turn = if sample.raw.abs() >= sample.filtered.abs() {
            sample.raw.signum()
        } else {
            sample.filtered.signum()
        };
        self.under_way = Some(UnderWay {
            samples: vec![sample],
            turn,
            newest: seen,
            highest: seen,
            highest_micro: sample.raw * turn,
            low_since: None,
            samples_lost: false,
            is_repeat: self
                .last_off
                .is_some_and(|off| sample.at.saturating_sub(off) < self.settings.repeat),
        });
    }

    fn disarm(&mut self, off: Option<usize>, out: &mut impl FnMut(Found)) {
        let Some(pull) = self.under_way.take() else {
            return;
        };
        let off = off.unwrap_or(pull.samples.len());
        let off_at = pull.samples.get(off).or(pull.samples.last());
        let off_at = off_at.map_or(0, |sample| sample.at);
        let mut found = find(&pull.samples, off, pull.turn, &self.settings);
        found.highest = pull.highest;
        found.samples_lost = pull.samples_lost;
        found.is_repeat = pull.is_repeat;
        let on_at = pull.samples.first().map_or(0, |sample| sample.at);
        let is_knock = off_at.saturating_sub(on_at) < self.settings.shortest;
        found.samples = pull.samples;
        if is_knock {
            out(Found::Knock(Box::new(found)));
        } else {
            self.last_off = Some(off_at);
            out(Found::Pull(Box::new(found)));
        }
    }

    /// The newest sample of the pull that is under way.
    pub fn newest(&self) -> Option<Seen> {
        self.under_way.as_ref().map(|pull| pull.newest)
    }

    /// What was pulled so far, when the tool goes in the middle. It never counts.
    pub fn partial(&mut self) -> Option<Vec<Sample>> {
        self.under_way.take().map(|pull| pull.samples)
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a torque in µN·m or a time in µs is far below 2^53"
)]
fn to_float<T: TryInto<i64>>(whole: T) -> f64 {
    whole.try_into().unwrap_or(i64::MAX) as f64
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "`as` saturates, and a filter never goes beyond its samples"
)]
fn to_whole(float: f64) -> i64 {
    float.round() as i64
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
