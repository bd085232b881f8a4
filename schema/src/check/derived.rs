//! What a formula comes to, from the readings that count, with the uncertainty that follows.
//!
//! First order, by finite differences (JCGM 100:2008, 5.1.2 and the note to 5.1.3): each input is moved by its standard
//! uncertainty either way, and half of what the result moves by is its contribution. Steps of displays are independent.
//! What one certificate states about one tool is the same error in all readings that rest on it (5.2.2, correlation 1), so
//! those contributions are added with their signs: a difference of two heights from one calliper is better known than
//! either. A stated accuracy may or may not be the same error each time: of the two sums the larger is taken.
//! Clause numbers from memory.

use super::formula::Compiled;
use super::gauge::{thousandths, whole};
use super::{CheckReading, CheckVerdict, Formula, decide};
use crate::check::CheckLimits;
use crate::verdict::Rule;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A reading that goes into a formula.
#[derive(Debug, Clone, Copy)]
pub struct Input<'a> {
    /// The check it counts at.
    pub check: &'a str,
    /// The sequence number of its entry.
    pub sequence: u64,
    /// The reading.
    pub reading: &'a CheckReading,
}

/// What a formula comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Derived {
    /// The result in whole small units, rounded away from zero as a reading is.
    pub value: i64,
    /// Its standard uncertainty in whole thousandths of a small unit, rounded up; none where an input's is not known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub standard_thousandths: Option<i64>,
    /// Whether readings of one tool share the error of its certificate, which was reckoned with.
    #[serde(skip_serializing_if = "std::ops::Not::not", default)]
    pub shares_a_certificate: bool,
    /// The readings that went in, rising.
    pub inputs: Vec<u64>,
    /// The verdict.
    pub verdict: CheckVerdict,
}

/// Computes a formula and compares it with limits. Nothing where an input is missing, or the result is no number: a
/// quotient by nothing, say.
pub fn derive(
    formula: &Formula,
    inputs: &[Input<'_>],
    limits: &CheckLimits,
    rule: Rule,
) -> Option<Derived> {
    let compiled = formula.compile().ok()?;
    let is_complete = formula
        .inputs
        .iter()
        .all(|id| inputs.iter().any(|input| input.check == id));
    let values: Option<Vec<f64>> = inputs.iter().map(|input| value_of(input)).collect();
    let values = values.filter(|_| is_complete)?;
    let result = result_with(&compiled, inputs, &values)?;
    let value = away_from_zero(result)?;
    let budget = uncertainty(&compiled, inputs, &values);
    let expanded = budget.map(|(standard, _)| whole(standard.saturating_mul(2)));
    let mut sequences: Vec<u64> = inputs.iter().map(|input| input.sequence).collect();
    sequences.sort_unstable();
    Some(Derived {
        value,
        standard_thousandths: budget.map(|(standard, _)| standard),
        shares_a_certificate: budget.is_some_and(|(_, shares)| shares),
        inputs: sequences,
        verdict: CheckVerdict {
            answer: decide(Some(value), limits, rule, expanded),
            limits: *limits,
            rule,
            expanded,
            outside: None,
            cautions: Vec::new(),
        },
    })
}

#[expect(clippy::cast_precision_loss, reason = "bounded when it was read")]
fn value_of(input: &Input<'_>) -> Option<f64> {
    input.reading.value.map(|value| value as f64)
}

fn result_with(compiled: &Compiled, inputs: &[Input<'_>], values: &[f64]) -> Option<f64> {
    compiled.value(|id| {
        let of = inputs.iter().zip(values);
        of.filter(|(input, _)| input.check == id)
            .map(|(_, value)| *value)
            .collect()
    })
}

/// The standard uncertainty in thousandths, and whether readings share a certificate's error.
fn uncertainty(compiled: &Compiled, inputs: &[Input<'_>], values: &[f64]) -> Option<(i64, bool)> {
    let mut squares = 0.0;
    let mut shared: BTreeMap<(&str, Option<&str>), Vec<f64>> = BTreeMap::new();
    for (number, input) in inputs.iter().enumerate() {
        let worth = input.reading.worth.as_ref()?;
        let contribution = |thousandths: i64| {
            let moved = |by: f64| {
                let mut values = values.to_vec();
                if let Some(value) = values.get_mut(number) {
                    *value += by;
                }
                result_with(compiled, inputs, &values)
            };
            let standard = small(thousandths);
            Some((moved(standard)? - moved(-standard)?) / 2.0)
        };
        let display = contribution(worth.resolution_thousandths)?;
        squares += display * display;
        let key = (input.reading.tool.as_str(), worth.basis.number());
        let of_tool = shared.entry(key).or_default();
        of_tool.push(contribution(worth.tool_thousandths)?);
    }
    let mut has_one_certificate = false;
    for ((_, certificate), contributions) in shared {
        let is_certificate = certificate.is_some();
        let together: f64 = contributions.iter().sum();
        let apart: f64 = contributions.iter().map(|one| one * one).sum();
        let together = together * together;
        has_one_certificate |= is_certificate && contributions.len() > 1;
        squares += if is_certificate {
            together
        } else {
            together.max(apart)
        };
    }
    let standard = squares.sqrt() * 1_000.0;
    standard
        .is_finite()
        .then(|| (thousandths(standard), has_one_certificate))
}

#[expect(clippy::cast_precision_loss, reason = "bounded when it was read")]
fn small(thousandths: i64) -> f64 {
    thousandths as f64 / 1_000.0
}

/// Whole small units; what is whole but for the last bits of the arithmetic is whole.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast of a float keeps to the range"
)]
fn away_from_zero(result: f64) -> Option<i64> {
    let size = (result.abs() - 1e-6).ceil().max(0.0);
    let is_sane = size <= 1e15;
    is_sane.then(|| {
        if result < 0.0 {
            -(size as i64)
        } else {
            size as i64
        }
    })
}
