//! What a streamed pull was, beside its peak: kept with the reading, and judged with it. The samples themselves are the
//! reading's raw bytes.
//!
//! The peak is what the bolt got, and is compared with the upper limit. What is compared with the lower limit is less where
//! a click tool gave way before the peak, or where the peak is filtered: see [`Trace::reached`].

use crate::gauge::{self, Worth};
use crate::plan::{Hand, Limits};
use crate::quantity::Torque;
use crate::reading::Reading;
use crate::verdict::{Answer, Rule, decide};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the samples of a pull show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trace {
    /// How many samples it had.
    pub samples: u64,
    /// How many came a second.
    pub rate_hertz: u64,
    /// How long it took.
    pub duration_ms: u64,
    /// What the lower limit is compared with: where a click tool gave way, else the peak without what a filter takes away.
    #[serde(rename = "reached_millinewton_metre")]
    pub reached: Torque,
    /// The torque dropped and rose again, as at the click of a setting tool.
    #[serde(skip_serializing_if = "is_false", default)]
    pub clicked: bool,
    /// The highest torque that was held, rounded to the nearest mN·m.
    #[serde(
        rename = "held_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub held: Option<Torque>,
    /// It began so soon after the tool's last pull that it is a repeat click.
    #[serde(skip_serializing_if = "is_false", default)]
    pub repeat: bool,
    /// Samples are missing: the peak is a lower bound.
    #[serde(skip_serializing_if = "is_false", default)]
    pub samples_lost: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
const fn is_false(value: &bool) -> bool {
    !*value
}

/// Decides a reading after a rule: its peak against the upper limit, and what was reached against the lower one. Both are
/// corrected and carried to the fastener in the same way.
pub fn answer(reading: &Reading, hand: Hand, limits: &Limits, rule: Rule) -> Answer {
    let worth = reading.worth.as_ref();
    let expanded = worth.map(Worth::guard);
    let by_peak = decide(hand.tightening(reading.applied), limits, rule, expanded);
    let Some(trace) = reading.trace.as_ref().filter(|_| by_peak != Answer::Over) else {
        return by_peak;
    };
    let deviation = worth.map_or(0, |worth| worth.deviation_ppm);
    let reached = gauge::apply(trace.reached, deviation, reading.adapter.as_ref());
    match decide(hand.tightening(Some(reached)), limits, rule, expanded) {
        Answer::Within => by_peak,
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::tests::log::reading;

    #[test]
    fn the_peak_meets_the_upper_limit_and_the_click_the_lower() {
        let limits = Limits {
            lower: Some(Torque::from_small_units(4_500)),
            target: None,
            upper: Torque::from_small_units(5_500),
        };
        let judge = |peak: i64, reached: i64| {
            let mut reading = reading(Some(peak));
            reading.trace = Some(Trace {
                samples: 300,
                rate_hertz: 200,
                duration_ms: 835,
                reached: Torque::from_small_units(reached),
                clicked: true,
                held: None,
                repeat: false,
                samples_lost: false,
            });
            answer(&reading, Hand::Right, &limits, Rule::Simple)
        };
        assert_eq!(
            judge(5_600, 5_000),
            Answer::Over,
            "although the click was within"
        );
        assert_eq!(judge(5_500, 4_500), Answer::Within);
        assert_eq!(
            judge(5_000, 4_499),
            Answer::Under,
            "although the peak was within"
        );
        assert_eq!(judge(4_400, 4_300), Answer::Under);
    }
}
