//! How well readings are placed when people err: simulated builds by a mechanic who makes mistakes, through the real
//! engine, in memory. What the engine does is compared with what really happened.
//!
//! What the mechanic does is in `pullmark_sim::mechanic`, with every assumption. What it is not: a study of people.

mod answer;
mod clock;
mod close;
mod day;
mod picture;
mod plans;
mod report;
mod score;
mod stand;
mod story;
mod tally;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use crate::figures::Figures;
use day::{Day, OnBench};
use miette::{IntoDiagnostic as _, WrapErr as _};
use plans::Planned;
use pullmark_sim::mechanic::{Habits, Mechanic, Shape};
use pullmark_sim::random::Random;
use stand::Stand;
use std::ops::Range;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, Ordering};
use story::Story;
use tally::Tally;

/// Of so many builds, the last two share a bench.
const BUILDS_A_ROUND: u64 = 8;
/// Which makes so many days.
const DAYS_A_ROUND: u64 = BUILDS_A_ROUND - 1;
/// Where the trade-off between questions and silent errors is looked at.
const CLEARS: [f64; 7] = [0.80, 0.90, 0.95, 0.98, 0.99, 0.995, 0.999];

#[derive(Debug, Clone, clap::Args)]
pub(crate) struct Arguments {
    /// How many builds
    #[arg(long, default_value_t = 1_000)]
    builds: u64,
    /// What all chance comes from
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Every rate of error times this, from 0 to 20
    #[arg(long, default_value_t = 1.0, value_parser = error_scale)]
    error_scale: f64,
    /// How the mechanic works: usual, fast, slow or heavy
    #[arg(long, default_value = "usual", value_parser = shape)]
    shape: Shape,
    /// From which probability on a reading is placed by itself; as the program has it if left out
    #[arg(long, value_parser = probability)]
    clear: Option<f64>,
    /// One plan only
    #[arg(long)]
    plan: Option<String>,
    /// Tell the program after every reading what it was: what is left is what no memory of earlier pulls could avoid
    #[arg(long)]
    perfect_memory: bool,
    /// Tell so many silent errors as stories, on standard error
    #[arg(long, default_value_t = 0)]
    show: usize,
    /// Try several values of --clear, and draw questions against silent errors into this SVG file
    #[arg(long, value_name = "FILE", conflicts_with_all = ["clear", "show"])]
    trade_off: Option<PathBuf>,
}

fn shape(name: &str) -> Result<Shape, String> {
    Shape::named(name).ok_or_else(|| "one of usual, fast, slow, heavy".to_owned())
}

fn number_within(text: &str, range: std::ops::RangeInclusive<f64>) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|number| range.contains(number))
        .ok_or_else(|| format!("a number from {} to {}", range.start(), range.end()))
}

fn error_scale(text: &str) -> Result<f64, String> {
    number_within(text, 0.0..=20.0)
}

fn probability(text: &str) -> Result<f64, String> {
    number_within(text, 0.0..=1.0)
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let plans = plans::read(arguments.plan.as_deref())?;
    if let Some(file) = &arguments.trade_off {
        return trade_off(arguments, &plans, file);
    }
    let mut tally = study(arguments, &plans);
    tell(arguments, &mut tally);
    Ok(report::figures(arguments, &plans, &tally))
}

/// The study at several values of clear.
fn trade_off(
    arguments: &Arguments,
    plans: &[Planned],
    file: &std::path::Path,
) -> miette::Result<Figures> {
    let tallies = CLEARS.map(|clear| {
        let arguments = Arguments {
            clear: Some(clear),
            ..arguments.clone()
        };
        (clear, study(&arguments, plans))
    });
    let points: Vec<picture::Point> = tallies
        .iter()
        .map(|(clear, tally)| report::point(*clear, &tally.total))
        .collect();
    let limits = report::limits(arguments.error_scale);
    let said = format!(
        "{} builds each, seed {}, every rate of error times {}, shape {}",
        arguments.builds,
        arguments.seed,
        arguments.error_scale,
        arguments.shape.name()
    );
    std::fs::write(file, picture::svg(&points, &limits, &said))
        .into_diagnostic()
        .wrap_err_with(|| format!("{} cannot be written", file.display()))?;
    let mut figures = report::heading(arguments);
    for (clear, tally) in &tallies {
        figures.nest(
            &format!("clear_{clear}"),
            report::rates(arguments, &tally.total),
        );
    }
    Ok(figures)
}

/// Days on all cores. Each has a seed of its own, so what it comes to does not depend on who works it.
fn study(arguments: &Arguments, plans: &[Planned]) -> Tally {
    study_on(arguments, plans, cores())
}

fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

fn study_on(arguments: &Arguments, plans: &[Planned], threads: usize) -> Tally {
    let next = AtomicU64::new(0);
    let work = || {
        let mut tally = Tally::default();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(builds) = builds_of(number, arguments.builds) else {
                return tally;
            };
            tally.add(day(arguments, plans, number, builds));
        }
    };
    let mut total = Tally::default();
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        for worker in workers {
            match worker.join() {
                Ok(tally) => total.add(tally),
                // A study that lost a part of its days has no figures.
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    total.stories.sort();
    total
}

/// The numbers of the builds of a day: one, or two on one bench. Nothing after the last.
fn builds_of(day: u64, most: u64) -> Option<Range<u64>> {
    let (round, at) = (day / DAYS_A_ROUND, day % DAYS_A_ROUND);
    let first = round * BUILDS_A_ROUND + at;
    let count = if at + 1 == DAYS_A_ROUND { 2 } else { 1 };
    (first < most).then(|| first..(first + count).min(most))
}

fn day(arguments: &Arguments, plans: &[Planned], number: u64, builds: Range<u64>) -> Tally {
    let own = number.wrapping_mul(0xD6E8_FEB8_6659_FD93);
    let seed = Random::from_seed(arguments.seed ^ own).bits();
    let mut habits: Habits = arguments.shape.habits();
    habits.rates = habits.rates.scaled(arguments.error_scale);
    let mut stand = Stand::begun();
    if let Some(clear) = arguments.clear {
        stand.bench.habits.clear = clear;
    }
    let (mut on_bench, mut bikes) = (Vec::new(), Vec::new());
    for (place, build) in builds.enumerate() {
        let at = usize::try_from(build).unwrap_or_default() % plans.len();
        let Some(planned) = plans.get(at) else {
            continue;
        };
        let (id, tool) = (format!("b{place}"), format!("w{place}"));
        stand.begin(&id, &tool, &planned.plan);
        bikes.push(planned.bike.clone());
        on_bench.push(OnBench {
            id,
            tool,
            number: at,
            plan: &planned.plan,
        });
    }
    let names = on_bench.iter().filter_map(|on| plans.get(on.number));
    let names: Vec<&str> = names.map(|planned| planned.name).collect();
    let heading = format!("day {number}, {}", names.join(" and "));
    let mechanic = Mechanic::new(bikes, &habits, seed);
    let mut day = Day::new(stand, mechanic, on_bench, Story::new(arguments.show > 0));
    day.tells_all = arguments.perfect_memory;
    day.work();
    let told = day.story.tell(&heading);
    let mut tally = day.tally;
    tally.stories = told.into_iter().map(|text| (number, text)).collect();
    tally
}

fn tell(arguments: &Arguments, tally: &mut Tally) {
    for (_, story) in tally.stories.iter().take(arguments.show) {
        eprintln!("{story}");
    }
}
