//! Process figures: how the torques of a shop lie between their limits, by kind of fastener, tool or mechanic.
//!
//! Fasteners have different limits, so each torque is taken as its place between its own: 0 at the lower limit, 1 at the
//! upper one. Groups within which the spread is taken are the bikes; what comes from one pull a bike only is reckoned over
//! all, and the index is then named Pp and Ppk, not Cp and Cpk.

use pullmark_schema::api::{IndexView, StatsGroup, StatsView};
use pullmark_schema::measure::capability::{Index, NoIndex, Sample, capability};
use pullmark_schema::measure::statistics::{mean, sample_standard_deviation};
use std::collections::BTreeMap;

/// The confidence of the intervals.
const CONFIDENCE: f64 = 0.95;
/// The least number of readings within groups for which the spread within them is taken.
const LEAST_WITHIN: f64 = 5.0;
const COUNTS: usize = 20;

/// The highest pull that counts of one fastener.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// The name of the group.
    pub group: String,
    /// Which bike.
    pub build: String,
    /// Its place between the limits: 0 at the lower one, 1 at the upper one.
    pub place: f64,
}

/// The figures of every group.
pub fn stats(by: &str, pulls: &[Pull]) -> StatsView {
    let mut groups: BTreeMap<&str, BTreeMap<&str, Vec<f64>>> = BTreeMap::new();
    for pull in pulls {
        let bikes = groups.entry(&pull.group).or_default();
        bikes.entry(&pull.build).or_default().push(pull.place);
    }
    StatsView {
        group: by.to_owned(),
        groups: groups
            .into_iter()
            .map(|(name, bikes)| group(name, &bikes.into_values().collect::<Vec<_>>()))
            .collect(),
    }
}

fn group(name: &str, bikes: &[Vec<f64>]) -> StatsGroup {
    let all: Vec<f64> = bikes.iter().flatten().copied().collect();
    let found =
        sample(bikes, &all).and_then(|sample| capability(&sample, Some(0.0), 1.0, CONFIDENCE));
    StatsGroup {
        name: name.to_owned(),
        readings: u32::try_from(all.len()).unwrap_or(u32::MAX),
        mean_thousandths: thousandths(mean(&all).unwrap_or(0.0)),
        deviation_thousandths: thousandths(sample_standard_deviation(&all).unwrap_or(0.0)),
        cp: found
            .as_ref()
            .ok()
            .and_then(|found| found.potential.as_ref().map(index)),
        cpk: found.as_ref().ok().map(|found| index(&found.actual)),
        too_few: found.err().map(|reason| reason.to_string()),
        counts: counts(&all),
    }
}

fn sample(bikes: &[Vec<f64>], all: &[f64]) -> Result<Sample, NoIndex> {
    let slices: Vec<&[f64]> = bikes.iter().map(Vec::as_slice).collect();
    match Sample::within_groups(&slices) {
        Ok(within) if within.freedom >= LEAST_WITHIN => Ok(within),
        _ => Sample::overall(all),
    }
}

fn index(index: &Index) -> IndexView {
    IndexView {
        name: index.name.to_string(),
        value_thousandths: thousandths(index.estimate),
        from_thousandths: thousandths(index.from),
        to_thousandths: thousandths(index.to),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float keeps to the range"
)]
fn thousandths(value: f64) -> i32 {
    (value * 1000.0).round() as i32
}

/// Tenths of the tolerance from half below to half above; what lies farther out is in the first or the last.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the twenty places there are"
)]
fn counts(places: &[f64]) -> Vec<u32> {
    let mut counts = vec![0; COUNTS];
    for place in places {
        let number = ((place + 0.5) * 10.0).floor().clamp(0.0, 19.0) as usize;
        if let Some(count) = counts.get_mut(number) {
            *count += 1;
        }
    }
    counts
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn pulls(group: &str, places: &[(&str, f64)]) -> Vec<Pull> {
        let pull = |&(build, place): &(&str, f64)| Pull {
            group: group.to_owned(),
            build: build.to_owned(),
            place,
        };
        places.iter().map(pull).collect()
    }

    /// NIST/SEMATECH e-Handbook, 6.1.6 (from memory): limits 8 and 20, mean 16, s 2: Cp 1.0, Cpk 0.6667. As places: mean 2/3,
    /// s 1/6. Ten values with exactly that mean and spread.
    #[test]
    fn a_textbook_process_comes_out_as_printed() {
        let spread = (1.0_f64 / 36.0 * 9.0 / 10.0).sqrt();
        let places: Vec<(&str, f64)> = (0..10)
            .map(|n| {
                (
                    "bike",
                    2.0 / 3.0 + if n % 2 == 0 { spread } else { -spread },
                )
            })
            .collect();
        let view = stats("kind", &pulls("seat-clamp", &places));
        let group = &view.groups[0];
        assert_eq!((group.readings, group.mean_thousandths), (10, 667));
        assert_eq!(group.deviation_thousandths, 167);
        let (cp, cpk) = (group.cp.clone().unwrap(), group.cpk.clone().unwrap());
        assert_eq!((cp.value_thousandths, cpk.value_thousandths), (1_000, 667));
        assert_eq!((cp.name.as_str(), cpk.name.as_str()), ("Cp", "Cpk"));
        assert!(cp.from_thousandths < 1_000 && cp.to_thousandths > 1_000);
        assert_eq!(group.counts.iter().sum::<u32>(), 10);
    }

    #[test]
    fn one_pull_a_bike_gives_no_spread_within_bikes() {
        let names: Vec<String> = (0..8).map(|n| format!("bike-{n}")).collect();
        let places: Vec<(&str, f64)> = names
            .iter()
            .zip([0.3, 0.5, 0.7, 0.4, 0.6, 0.5, 0.45, 0.55])
            .map(|(name, place)| (name.as_str(), place))
            .collect();
        let view = stats("tool", &pulls("w1", &places));
        assert_eq!(view.groups[0].cp.clone().unwrap().name, "Pp");
    }

    #[test]
    fn too_few_is_said_and_nothing_is_made_up() {
        let view = stats("mechanic", &pulls("Runa", &[("a", 0.4), ("a", 9.0)]));
        let group = &view.groups[0];
        assert_eq!((group.cp.clone(), group.cpk.clone()), (None, None));
        assert!(group.too_few.as_ref().unwrap().contains('2'));
        assert_eq!(
            (group.counts[9], group.counts[19]),
            (1, 1),
            "what lies far out is in the last"
        );
    }
}
