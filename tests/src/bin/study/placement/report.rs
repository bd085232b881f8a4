//! The study's figures, each beside the limit it is near.

use super::Arguments;
use super::clock::Times;
use super::picture::{Limits, Point};
use super::plans::{self, Planned};
use super::tally::{Counts, Tally, What};
use crate::figures::{Figures, wilson};
use pullmark_sim::mechanic::Cause;

/// A reading is placed within so many microseconds.
const PLACE_LIMIT_US: u32 = 50;
/// Readings that nobody notices to be wrong, of all readings: with people as assumed, and with people who err more.
const SILENT_LIMIT: f64 = 0.0001;
const SILENT_LIMIT_SCALED: f64 = 0.001;
/// Questions, of all readings.
const QUESTIONS_LIMIT: f64 = 0.02;
/// Alarms where nothing was too tight, of all readings.
const FALSE_ALARMS_LIMIT: f64 = 0.005;
/// Over readings without an alarm at once, where another fastener was expected, of all readings.
const MISSED_LIMIT: f64 = 0.00001;

pub(super) fn limits(error_scale: f64) -> Limits {
    let silent = if error_scale <= 1.0 {
        SILENT_LIMIT
    } else {
        SILENT_LIMIT_SCALED
    };
    Limits {
        silent,
        questions: QUESTIONS_LIMIT,
    }
}

/// What was asked for.
pub(super) fn heading(arguments: &Arguments) -> Figures {
    let mut figures = Figures::default();
    figures
        .add("seed", arguments.seed)
        .add("error_scale", arguments.error_scale)
        .add("shape", arguments.shape.name());
    if let Some(clear) = arguments.clear {
        figures.add("clear", clear);
    }
    figures
}

pub(super) fn figures(arguments: &Arguments, plans: &[Planned], tally: &Tally) -> Figures {
    let mut figures = heading(arguments);
    add_counts(&mut figures, &tally.total);
    add_times(&mut figures, plans, tally);
    add_rates(&mut figures, arguments, &tally.total);
    add_best(&mut figures, arguments, tally);
    let mut because = Figures::default();
    for (word, count) in &tally.held_because {
        because.add(word, *count);
    }
    figures.nest("held_because", because);
    let mut by_plan = Figures::default();
    for (plan, found) in &tally.by_plan {
        let name = plans.get(*plan).map_or("", |planned| planned.name);
        by_plan.nest(name, counts(found));
    }
    figures.nest("by_plan", by_plan);
    let mut by_cause = Figures::default();
    for (cause, found) in &tally.by_cause {
        by_cause.nest(cause.map_or("none", Cause::word), counts(found));
    }
    figures.nest("by_cause", by_cause);
    figures
}

/// The counts with their rates.
pub(super) fn rates(arguments: &Arguments, total: &Counts) -> Figures {
    let mut figures = counts(total);
    add_rates(&mut figures, arguments, total);
    figures
}

fn counts(found: &Counts) -> Figures {
    let mut figures = Figures::default();
    add_counts(&mut figures, found);
    figures
}

fn add_counts(figures: &mut Figures, found: &Counts) {
    for what in What::ALL {
        figures.add(what.name(), found.of(what));
    }
    figures.add("silent_wrong", found.silent_wrong());
}

fn add_rates(figures: &mut Figures, arguments: &Arguments, total: &Counts) {
    let readings = total.of(What::Readings);
    let limits = limits(arguments.error_scale);
    let missed = total.of(What::OverMissedElsewhere);
    figures
        .rate(
            "silent_wrong",
            total.silent_wrong(),
            readings,
            limits.silent,
        )
        .rate(
            "questions",
            total.of(What::Questions),
            readings,
            limits.questions,
        )
        .rate(
            "false_alarms",
            total.of(What::FalseAlarms),
            readings,
            FALSE_ALARMS_LIMIT,
        )
        .rate("over_missed_elsewhere", missed, readings, MISSED_LIMIT);
}

/// What an observer could reach who decides at once, sees nothing but what the program sees, believes what it believes and
/// asks about the most doubtful readings only: how many would go wrong if as many were asked as may be, and how many have
/// to be asked so that as few go wrong as may.
#[expect(clippy::cast_precision_loss, reason = "counts, for a rate")]
fn add_best(figures: &mut Figures, arguments: &Arguments, tally: &Tally) {
    let limits = limits(arguments.error_scale);
    let mut doubts = tally.doubts.clone();
    doubts.sort_unstable();
    let readings = doubts.len() as f64;
    let (mut wrong, mut at_questions, mut asked) = (0.0, 0.0, 0.0);
    for (number, doubt) in doubts.into_iter().enumerate() {
        wrong += f64::from(doubt) / 1e6 / readings;
        let left = 1.0 - (number + 1) as f64 / readings;
        if left >= limits.questions {
            at_questions = wrong;
        }
        if wrong <= limits.silent {
            asked = left;
        } else if asked == 0.0 {
            asked = left + 1.0 / readings;
        }
    }
    let rounded = |rate: f64| (rate * 1e6).round() / 1e6;
    figures
        .add("observer_wrong_at_question_limit", rounded(at_questions))
        .add("observer_questions_at_silent_limit", rounded(asked));
}

fn add_times(figures: &mut Figures, plans: &[Planned], tally: &Tally) {
    let largest = plans
        .iter()
        .position(|planned| planned.name == plans::LARGEST);
    for (word, by_plan) in [("place", &tally.wall), ("place_own", &tally.own)] {
        let mut all = Times::default();
        for times in by_plan.values() {
            all.add(times);
        }
        figures
            .add(&format!("{word}_p50_us"), all.quantile(0.5))
            .add(&format!("{word}_p99_us"), all.quantile(0.99));
        if let Some(times) = largest.and_then(|plan| by_plan.get(&plan)) {
            figures.add(&format!("{word}_p99_us_200"), times.quantile(0.99));
        }
    }
    figures.add("place_limit_us", PLACE_LIMIT_US);
}

/// A point of the trade-off.
pub(super) fn point(clear: f64, total: &Counts) -> Point {
    let readings = total.of(What::Readings);
    Point {
        clear,
        questions: wilson(total.of(What::Questions), readings),
        silent: wilson(total.silent_wrong(), readings),
    }
}
