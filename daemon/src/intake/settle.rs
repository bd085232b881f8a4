//! Finds the value that has settled among those of a scale or gauge that sends all the time.
//!
//! The rules stand at [`pullmark_schema::profile::SettleSettings`]; they are our own choice.

use super::dialect::ProfileError;
use super::seen::Seen;
use pullmark_schema::check::SmallUnit;
use pullmark_schema::profile::{Profile, SettleSettings};
use pullmark_schema::quantity::{Rounding, Stated};
use std::collections::VecDeque;

/// A value that jumps by more than so many times what counts as settled is another measurement.
const JUMP: i64 = 4;
/// The two halves of the time agree to this part of what counts as settled.
const HALVES: i64 = 4;
/// No more samples than this are looked at: a thousand a second for a minute.
const MOST_SAMPLES: usize = 60_000;

/// The settings, read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Settings {
    unit: SmallUnit,
    within: i64,
    least: i64,
    for_us: u64,
    give_up_us: u64,
}

impl Settings {
    pub(super) fn new(profile: &Profile, settle: &SettleSettings) -> Result<Self, ProfileError> {
        let wrong = |what, why: String| ProfileError::Setting {
            profile: profile.name.clone(),
            what,
            why,
        };
        let read = |what, text: &str| {
            let stated = Stated::parse(text).map_err(|error| wrong(what, error.to_string()))?;
            let unit = SmallUnit::of(stated.unit.kind)
                .ok_or_else(|| wrong(what, "it is a torque".to_owned()))?;
            let value = unit
                .step_of(stated, Rounding::Up)
                .map_err(|error| wrong(what, error.to_string()))?;
            Ok::<_, ProfileError>((unit, value))
        };
        let (unit, within) = read("settle.within", &settle.within)?;
        if within <= 0 {
            let why = "it has to be more than nothing".to_owned();
            return Err(wrong("settle.within", why));
        }
        let least = match &settle.least {
            None => 0,
            Some(text) => {
                let (of, least) = read("settle.least", text)?;
                if of != unit || least < 0 {
                    let why = "it is of another quantity than within, or below nothing".to_owned();
                    return Err(wrong("settle.least", why));
                }
                least
            }
        };
        let is_sane = (100..=60_000).contains(&settle.for_ms)
            && settle.give_up_ms >= settle.for_ms
            && settle.give_up_ms <= 600_000;
        if !is_sane {
            let why = "for_ms is from 100 to 60000, and give_up_ms from there to 600000".to_owned();
            return Err(wrong("settle.for_ms", why));
        }
        Ok(Self {
            unit,
            within,
            least,
            for_us: u64::from(settle.for_ms) * 1_000,
            give_up_us: u64::from(settle.give_up_ms) * 1_000,
        })
    }
}

/// What came of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Came {
    /// Nothing yet.
    Nothing,
    /// It has settled.
    Settled,
    /// It does not settle.
    Unsettled,
}

/// Watches the values of one tool.
#[derive(Debug)]
pub(super) struct Settler {
    settings: Settings,
    /// When each came, and what it was.
    window: VecDeque<(u64, i64)>,
    /// Since when a value is waited for.
    began: Option<u64>,
    /// One was taken; the next comes after a jump or a rest.
    is_taken: bool,
}

impl Settler {
    pub(super) fn new(settings: Settings) -> Self {
        Self {
            settings,
            window: VecDeque::new(),
            began: None,
            is_taken: false,
        }
    }

    /// Takes in a value. `is_unstable`: the tool itself says that it has not settled.
    pub(super) fn push(&mut self, seen: &Seen, is_unstable: bool, at_us: u64) -> Came {
        let value = seen
            .number
            .and_then(|stated| self.settings.unit.value_of(stated, Rounding::Nearest).ok());
        let Some(value) = value else {
            return Came::Nothing;
        };
        if value.saturating_abs() < self.settings.least {
            self.begin_anew();
            return Came::Nothing;
        }
        let began = *self.began.get_or_insert(at_us);
        if is_unstable {
            self.window.clear();
        } else {
            self.window.push_back((at_us, value));
        }
        let since = at_us.saturating_sub(self.settings.for_us);
        // One value from before is kept, so that the time is seen to be full.
        while self.window.get(1).is_some_and(|(at, _)| *at <= since)
            || self.window.len() > MOST_SAMPLES
        {
            self.window.pop_front();
        }
        if self.is_taken {
            if self.spread() > JUMP * self.settings.within {
                self.begin_anew();
                self.began = Some(at_us);
                self.window.push_back((at_us, value));
            }
            return Came::Nothing;
        }
        if self.is_settled(at_us) {
            self.is_taken = true;
            return Came::Settled;
        }
        if at_us.saturating_sub(began) >= self.settings.give_up_us {
            self.is_taken = true;
            return Came::Unsettled;
        }
        Came::Nothing
    }

    /// Whether the tool shows less than what is a reading.
    pub(super) fn is_at_rest(&self) -> bool {
        self.began.is_none()
    }

    fn begin_anew(&mut self) {
        self.window.clear();
        self.began = None;
        self.is_taken = false;
    }

    fn spread(&self) -> i64 {
        let values = || self.window.iter().map(|(_, value)| *value);
        match (values().min(), values().max()) {
            (Some(least), Some(most)) => most.saturating_sub(least),
            _ => 0,
        }
    }

    fn is_settled(&self, now: u64) -> bool {
        let Some((first, _)) = self.window.front() else {
            return false;
        };
        let is_full = now.saturating_sub(*first) >= self.settings.for_us;
        let since = now.saturating_sub(self.settings.for_us);
        is_full && self.spread() <= self.settings.within && self.halves_agree(since)
    }

    fn halves_agree(&self, since: u64) -> bool {
        let middle = since + self.settings.for_us / 2;
        let mean = |is_of: &dyn Fn(u64) -> bool| {
            let (mut sum, mut count) = (0_i128, 0_i128);
            for (at, value) in &self.window {
                if is_of(*at) {
                    sum += i128::from(*value);
                    count += 1;
                }
            }
            (count > 0).then_some((sum, count))
        };
        let (first, second) = (mean(&|at| at <= middle), mean(&|at| at > middle));
        let (Some((first, of_first)), Some((second, of_second))) = (first, second) else {
            return false;
        };
        let apart = (first * of_second - second * of_first).abs();
        apart * i128::from(HALVES) <= i128::from(self.settings.within) * of_first * of_second
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
