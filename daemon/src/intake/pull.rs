//! What a pull was, once it is over: its peak, where a click tool gave way, what was held.
//!
//! The rules are our own choice; see [`super::stream`].

use super::seen::Seen;
use super::stream::Settings;
use pullmark_schema::quantity::Torque;
use std::collections::VecDeque;

/// A drop below the highest of so many µs is a release or a click.
const DROP_WINDOW: u64 = 100_000;
/// It is one from here on, in µN·m, or from a twentieth of the highest so far.
const DROP_LEAST: i64 = 200_000;
/// Below so many samples a second a click cannot be told from the end of the pull.
const CLICK_RATE: u64 = 50;

/// One sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// µs.
    pub at: u64,
    /// µN·m as it came.
    pub raw: i64,
    /// µN·m through the filter; the same where there is none.
    pub filtered: i64,
}

impl Sample {
    /// The greater of both, without its sign.
    pub(super) const fn size(&self) -> i64 {
        let (raw, filtered) = (self.raw.saturating_abs(), self.filtered.saturating_abs());
        if raw > filtered { raw } else { filtered }
    }
}

/// A pull. Torques are in µN·m and positive the way it turned.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pull {
    /// From the first sample that armed to the one that showed that it was over.
    pub samples: Vec<Sample>,
    /// So many of them are the pull.
    pub length: usize,
    /// 1, or -1 for counter-clockwise.
    pub turn: i64,
    /// The highest sample as the tool gave it, unfiltered.
    pub highest: Seen,
    /// The highest, unfiltered: what the bolt got.
    pub raw_peak: i64,
    /// The highest, through the filter.
    pub peak: i64,
    /// Which sample that is.
    pub peak_index: usize,
    /// Where a click tool gave way; the peak where nothing clicked. None where the samples are too few to tell.
    pub first_peak: Option<i64>,
    /// Which sample that is.
    pub first_peak_index: Option<usize>,
    /// The torque dropped and rose again.
    pub clicked: bool,
    /// The highest torque that was held, and the sample at which that began.
    pub plateau: Option<(i64, usize)>,
    /// Samples a second.
    pub rate: u64,
    /// Samples are missing: the peak is a lower bound.
    pub samples_lost: bool,
    /// It began so soon after the one before that it is a repeat click.
    pub is_repeat: bool,
}

impl Pull {
    /// What the bolt got, rounded up to whole mN·m, with its sign.
    pub fn torque(&self) -> Torque {
        let up = self.raw_peak.saturating_add(999).div_euclid(1000);
        Torque::from_small_units(up * self.turn)
    }

    /// What the lower limit is compared with, rounded down: where a click tool gave way, else the filtered peak.
    pub fn reached(&self, is_click_tool: bool) -> Torque {
        let first = self.first_peak.filter(|_| is_click_tool);
        Torque::from_small_units(first.unwrap_or(self.peak).div_euclid(1000) * self.turn)
    }

    /// How long it took, in µs.
    pub fn duration(&self) -> u64 {
        let end = self.samples.get(self.length).or(self.samples.last());
        let first = self.samples.first().map_or(0, |first| first.at);
        end.map_or(0, |end| end.at.saturating_sub(first))
    }
}

/// Looks at a pull of which the first `length` samples are above the release.
pub(super) fn find(samples: &[Sample], length: usize, turn: i64, settings: &Settings) -> Pull {
    let inside = samples.get(..length).unwrap_or(samples);
    let torques: Vec<i64> = inside.iter().map(|sample| sample.filtered * turn).collect();
    let (mut peak, mut peak_index) = (0, 0);
    for (at, torque) in torques.iter().enumerate() {
        if *torque > peak {
            (peak, peak_index) = (*torque, at);
        }
    }
    let mut pull = Pull {
        length: inside.len(),
        turn,
        raw_peak: inside
            .iter()
            .map(|sample| sample.raw * turn)
            .max()
            .unwrap_or(0),
        peak,
        peak_index,
        plateau: plateau(inside, &torques, samples.get(length), settings),
        rate: rate(inside),
        ..Pull::default()
    };
    if pull.rate >= CLICK_RATE {
        let click = first_peak(inside, &torques, settings.release);
        pull.clicked = click.is_some();
        let at = click.unwrap_or(peak_index);
        pull.first_peak = torques.get(at).copied();
        pull.first_peak_index = Some(at);
    }
    pull
}

fn rate(samples: &[Sample]) -> u64 {
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return 0;
    };
    let pauses = u64::try_from(samples.len())
        .unwrap_or(u64::MAX)
        .saturating_sub(1);
    match last.at.saturating_sub(first.at) {
        0 => 0,
        taken => (pauses * 1_000_000 + taken / 2) / taken,
    }
}

/// The sample at which a click tool gave way: the highest before the first drop after which the torque rose again.
fn first_peak(samples: &[Sample], torques: &[i64], release: i64) -> Option<usize> {
    let mut window: VecDeque<(u64, i64)> = VecDeque::new();
    let (mut highest, mut highest_index) = (i64::MIN, 0);
    for (now, (sample, &torque)) in samples.iter().zip(torques).enumerate() {
        if torque > highest {
            (highest, highest_index) = (torque, now);
        }
        while window.back().is_some_and(|(_, before)| *before <= torque) {
            window.pop_back();
        }
        window.push_back((sample.at, torque));
        while window
            .front()
            .is_some_and(|(at, _)| sample.at.saturating_sub(*at) > DROP_WINDOW)
        {
            window.pop_front();
        }
        let drop = DROP_LEAST.max(highest / 20);
        let lately = window.front().map_or(torque, |(_, torque)| *torque);
        if lately - torque >= drop {
            let after = torques.get(now..).unwrap_or_default();
            return rises_again(after, drop, release).then_some(highest_index);
        }
    }
    None
}

fn rises_again(torques: &[i64], drop: i64, release: i64) -> bool {
    let mut lowest = i64::MAX;
    for &torque in torques {
        if torque < release {
            return false;
        }
        lowest = lowest.min(torque);
        if torque - lowest >= drop / 2 {
            return true;
        }
    }
    false
}

/// The window of the least length with the highest mean in which the torque stays within the limit.
fn plateau(
    samples: &[Sample],
    torques: &[i64],
    off: Option<&Sample>,
    settings: &Settings,
) -> Option<(i64, usize)> {
    let end_of_pull = off.or(samples.last())?.at;
    let mut best: Option<(i64, usize)> = None;
    let (mut lows, mut highs) = (VecDeque::new(), VecDeque::new());
    let (mut end, mut sum) = (0_usize, 0_i128);
    for (begin, first) in samples.iter().enumerate() {
        let until = first.at.saturating_add(settings.plateau);
        if until > end_of_pull {
            break;
        }
        while let (Some(sample), Some(&torque)) = (samples.get(end), torques.get(end)) {
            if sample.at >= until {
                break;
            }
            keep(&mut lows, end, torque, |kept, new| kept >= new);
            keep(&mut highs, end, torque, |kept, new| kept <= new);
            sum += i128::from(torque);
            end += 1;
        }
        let low = front(&mut lows, begin)?;
        let high = front(&mut highs, begin)?;
        let count = i128::try_from(end - begin).ok().filter(|count| *count > 1);
        if let Some(count) = count.filter(|_| high - low <= settings.plateau_within) {
            let mean = i64::try_from((sum + count / 2).div_euclid(count)).unwrap_or(high);
            if best.is_none_or(|(highest, _)| mean > highest) {
                best = Some((mean, begin));
            }
        }
        sum -= torques.get(begin).copied().map_or(0, i128::from);
    }
    best
}

fn keep(queue: &mut VecDeque<(usize, i64)>, at: usize, torque: i64, beats: fn(i64, i64) -> bool) {
    while queue.back().is_some_and(|(_, kept)| beats(*kept, torque)) {
        queue.pop_back();
    }
    queue.push_back((at, torque));
}

fn front(queue: &mut VecDeque<(usize, i64)>, begin: usize) -> Option<i64> {
    while queue.front().is_some_and(|(at, _)| *at < begin) {
        queue.pop_front();
    }
    queue.front().map(|(_, torque)| *torque)
}
