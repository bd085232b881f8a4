//! What a tool's checks against a reference say about it: a control chart that warns before the limit is reached.
//!
//! A point of the chart is the mean deviation of one check, less what the certificate states at that torque: zero is a tool
//! that is as it was calibrated. The limit is the permissible deviation of the tool's class.

use super::bench::{Bench, KnownCheck};
use pullmark_schema::api::{CheckState, CheckView};
use pullmark_schema::gauge::{Gauge, to_ppm};
use pullmark_schema::measure::chart::{EwmaSettings, EwmaState, Watch, Watched};
use pullmark_schema::measure::statistics::{mean, pooled_standard_deviation};

/// The weight of the newest check, as in the NIST/SEMATECH e-Handbook, 6.3.2.4.
const WEIGHT: f64 = 0.3;
/// The control limits in standard deviations of the average; the same source.
const WIDTH: f64 = 3.0;
/// What a check is taken to scatter by where its pulls do not tell, or tell less: a part of the class limit. An assumption,
/// no source.
const LEAST_SCATTER_OF_LIMIT: f64 = 0.1;
/// No more than this part of the class limit: else there could be no warning before it.
const MOST_SCATTER_OF_LIMIT: f64 = 0.5;
/// How many checks are shown.
const SHOWN: usize = 50;

/// What a tool's checks say about it.
pub(super) fn state(bench: &Bench, tool: &str) -> CheckState {
    views(bench, tool)
        .last()
        .map_or(CheckState::Quiet, |view| view.state)
}

/// Its checks as points of the chart, the oldest first.
pub(super) fn views(bench: &Bench, tool: &str) -> Vec<CheckView> {
    let (Some(gauge), Some(state)) = (bench.gauges.get(tool), bench.tool_states.get(tool)) else {
        return Vec::new();
    };
    let limit = gauge.class_percent() / 100.0;
    let settings = EwmaSettings {
        target: 0.0,
        standard_deviation: scatter(&state.checks, limit),
        weight: WEIGHT,
        width: WIDTH,
    };
    let Ok(mut watch) = Watch::new(settings, limit) else {
        return Vec::new();
    };
    let points = state.checks.iter().filter_map(|known| {
        let deviation = beyond_certificate(gauge, known)?;
        let (said, chart) = watch.feed(deviation)?;
        Some(view(known, deviation, said, chart))
    });
    let mut points: Vec<CheckView> = points.collect();
    points.drain(..points.len().saturating_sub(SHOWN));
    points
}

/// The standard deviation of one check's mean.
fn scatter(checks: &[KnownCheck], limit: f64) -> f64 {
    let groups: Vec<Vec<f64>> = checks
        .iter()
        .map(|known| known.check.deviations())
        .collect();
    let slices: Vec<&[f64]> = groups.iter().map(Vec::as_slice).collect();
    let pooled = pooled_standard_deviation(&slices).map(|pooled| pooled.standard_deviation);
    let pulls = groups.iter().map(Vec::len).min().unwrap_or(1).max(1);
    let of_mean = pooled.map_or(0.0, |pooled| {
        pooled / f64::from(u32::try_from(pulls).unwrap_or(1)).sqrt()
    });
    of_mean.clamp(
        LEAST_SCATTER_OF_LIMIT * limit,
        MOST_SCATTER_OF_LIMIT * limit,
    )
}

fn beyond_certificate(gauge: &Gauge, known: &KnownCheck) -> Option<f64> {
    let found = mean(&known.check.deviations())?;
    let stated = gauge
        .deviation(known.check.mean_indicated()?)
        .unwrap_or(0.0);
    Some(found - stated)
}

fn view(known: &KnownCheck, deviation: f64, said: Watched, chart: EwmaState) -> CheckView {
    CheckView {
        sequence: known.sequence,
        time: known.time.clone(),
        against: known.check.against.clone(),
        pulls: u32::try_from(known.check.pulls.len()).unwrap_or(u32::MAX),
        deviation_ppm: to_ppm(deviation),
        average_ppm: to_ppm(chart.value),
        warning_ppm: to_ppm(chart.upper).unsigned_abs(),
        state: match said {
            Watched::Quiet => CheckState::Quiet,
            Watched::Warning => CheckState::Warns,
            Watched::Beyond => CheckState::Beyond,
        },
    }
}
