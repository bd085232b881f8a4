//! How the readings of one kind of fastener lie in their limits, and how little a few readings say about that.
//!
//! Names: **Cp, Cpk** where the standard deviation is that *within* groups (one tool, one day, one person), **Pp, Ppk** where
//! it is that of *all* readings together (ISO 22514-2 and common practice, from memory). A name never goes with the
//! other's number. With only an upper limit there is no Cp, and the index is Cpu or Ppu.
//!
//! Every index comes with its confidence interval or not at all: chi-squared for Cp (exact for normal readings), Bissell's
//! approximation Ĉpk ± z √(1/9n + Ĉpk²/2ν) for Cpk, the non-central t distribution for Cpu and Cpl (exact). The
//! readings are taken as normally distributed; their scatter includes that of the tool.

use super::statistics::{
    chi_squared_quantile, count, mean, non_central_student_cdf, normal_quantile,
    pooled_standard_deviation, sample_standard_deviation,
};
use std::fmt;
use thiserror::Error;

/// Fewer readings than this make no index: the interval of Cp would reach from a third to one and two thirds of it.
pub const LEAST_READINGS: usize = 5;

/// Halving alone would need no more than that.
const MOST_STEPS: usize = 70;

/// Why there is no index.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoIndex {
    /// Too few.
    #[error(
        "{have} readings say nothing about capability: {LEAST_READINGS} are the least, 30 a fair number"
    )]
    TooFew {
        /// How many there are.
        have: usize,
    },
    /// All the same.
    #[error(
        "all readings are the same: the display is too coarse to say anything about capability"
    )]
    NoScatter,
    /// Limits the wrong way round, or not a number.
    #[error("the limits or readings are no usable numbers: check the lower and upper limit")]
    Unusable,
}

/// Which standard deviation an index stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// That of all readings together: Pp, Ppk.
    Overall,
    /// That within groups: Cp, Cpk.
    WithinGroups,
}

/// What is known of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub standard_deviation: f64,
    /// How many.
    pub readings: usize,
    /// Degrees of freedom of the standard deviation.
    pub freedom: f64,
    /// Which standard deviation it is.
    pub spread: Spread,
}

impl Sample {
    /// All readings together.
    pub fn overall(readings: &[f64]) -> Result<Self, NoIndex> {
        let too_few = NoIndex::TooFew {
            have: readings.len(),
        };
        Ok(Self {
            mean: mean(readings).ok_or(too_few)?,
            standard_deviation: sample_standard_deviation(readings).ok_or(too_few)?,
            readings: readings.len(),
            freedom: count(readings) - 1.0,
            spread: Spread::Overall,
        })
    }

    /// In groups whose means may differ. The mean is that of all readings.
    pub fn within_groups(groups: &[&[f64]]) -> Result<Self, NoIndex> {
        let all = groups.concat();
        let too_few = NoIndex::TooFew { have: all.len() };
        let pooled = pooled_standard_deviation(groups).ok_or(too_few)?;
        Ok(Self {
            mean: mean(&all).ok_or(too_few)?,
            standard_deviation: pooled.standard_deviation,
            readings: all.len(),
            freedom: pooled.freedom,
            spread: Spread::WithinGroups,
        })
    }

    #[expect(clippy::cast_precision_loss, reason = "nobody has 2^53 readings")]
    fn number(&self) -> f64 {
        self.readings as f64
    }
}

/// Which index it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Name {
    /// Width of the limits over the spread within groups.
    Cp,
    /// Distance to the nearer limit, within groups.
    Cpk,
    /// Distance to the upper limit, within groups.
    Cpu,
    /// Width of the limits over the spread of all readings.
    Pp,
    /// Distance to the nearer limit, all readings.
    Ppk,
    /// Distance to the upper limit, all readings.
    Ppu,
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Cp => "Cp",
            Self::Cpk => "Cpk",
            Self::Cpu => "Cpu",
            Self::Pp => "Pp",
            Self::Ppk => "Ppk",
            Self::Ppu => "Ppu",
        })
    }
}

/// An index with what it is good for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Index {
    /// Which.
    pub name: Name,
    /// The estimate.
    pub estimate: f64,
    /// Where its confidence interval begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

/// The indices of a sample in its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capability {
    /// What the process could do if it were centred; none without a lower limit.
    pub potential: Option<Index>,
    /// What it does.
    pub actual: Index,
    /// Number of readings.
    pub readings: usize,
    /// The confidence level of the intervals, for example 0.95.
    pub confidence: f64,
}

/// The indices, or the reason why there are none.
pub fn capability(
    sample: &Sample,
    lower: Option<f64>,
    upper: f64,
    confidence: f64,
) -> Result<Capability, NoIndex> {
    check(sample, lower, upper, confidence)?;
    let three_sigma = 3.0 * sample.standard_deviation;
    let to_upper = (upper - sample.mean) / three_sigma;
    let Some(lower) = lower else {
        return Ok(Capability {
            potential: None,
            actual: one_sided(sample, to_upper, confidence),
            readings: sample.readings,
            confidence,
        });
    };
    let nearer = to_upper.min((sample.mean - lower) / three_sigma);
    let width = (upper - lower) / (2.0 * three_sigma);
    Ok(Capability {
        potential: Some(potential(sample, width, confidence)),
        actual: nearer_limit(sample, nearer, confidence),
        readings: sample.readings,
        confidence,
    })
}

fn check(sample: &Sample, lower: Option<f64>, upper: f64, confidence: f64) -> Result<(), NoIndex> {
    if sample.readings < LEAST_READINGS || sample.freedom < 1.0 {
        return Err(NoIndex::TooFew {
            have: sample.readings,
        });
    }
    if sample.standard_deviation == 0.0 {
        return Err(NoIndex::NoScatter);
    }
    let figures = [
        sample.mean,
        sample.standard_deviation,
        sample.freedom,
        upper,
    ];
    let is_usable = figures.iter().all(|figure| figure.is_finite())
        && sample.standard_deviation > 0.0
        && lower.is_none_or(|lower| lower < upper && lower.is_finite())
        && confidence > 0.0
        && confidence < 1.0;
    if is_usable {
        Ok(())
    } else {
        Err(NoIndex::Unusable)
    }
}

fn named(spread: Spread, within: Name, overall: Name) -> Name {
    match spread {
        Spread::WithinGroups => within,
        Spread::Overall => overall,
    }
}

/// Ĉp √(χ²/ν): the standard deviation is all that is estimated.
fn potential(sample: &Sample, estimate: f64, confidence: f64) -> Index {
    let (least, most) = spread_interval(sample.freedom, confidence);
    Index {
        name: named(sample.spread, Name::Cp, Name::Pp),
        estimate,
        from: estimate / most,
        to: estimate / least,
    }
}

/// What a standard deviation estimated with so many degrees of freedom may have to be multiplied by: the confidence interval
/// of the true one, as factors below and above 1.
pub fn spread_interval(freedom: f64, confidence: f64) -> (f64, f64) {
    let factor = |p| (freedom / chi_squared_quantile(p, freedom)).sqrt();
    let tail = 0.5 * (1.0 - confidence);
    (factor(1.0 - tail), factor(tail))
}

/// A. F. Bissell, "How reliable is your capability index?", Applied Statistics 39 (1990); formula from memory.
fn nearer_limit(sample: &Sample, estimate: f64, confidence: f64) -> Index {
    let variance = 1.0 / (9.0 * sample.number()) + estimate * estimate / (2.0 * sample.freedom);
    let half = normal_quantile(0.5 * (1.0 + confidence)) * variance.sqrt();
    Index {
        name: named(sample.spread, Name::Cpk, Name::Ppk),
        estimate,
        from: estimate - half,
        to: estimate + half,
    }
}

fn one_sided(sample: &Sample, estimate: f64, confidence: f64) -> Index {
    let tail = 0.5 * (1.0 - confidence);
    Index {
        name: named(sample.spread, Name::Cpu, Name::Ppu),
        estimate,
        from: one_sided_bound(sample, estimate, 1.0 - tail),
        to: one_sided_bound(sample, estimate, tail),
    }
}

/// The Cpu (or Cpl) at which an estimate as large as this one or smaller has the given probability: with 0.95 it is the lower
/// bound that holds with 95 %, with 0.05 the upper. 3√n Ĉ follows a non-central t distribution whose
/// non-centrality is 3√n C.
pub fn one_sided_bound(sample: &Sample, estimate: f64, probability: f64) -> f64 {
    let scale = 3.0 * sample.number().sqrt();
    let t = scale * estimate;
    // The estimate is nearly normal around the true index with this standard deviation.
    let deviation = (1.0 + t * t / (2.0 * sample.freedom)).sqrt();
    let wanted = normal_quantile(probability);
    let (mut low, mut high) = (t - 12.0 * deviation, t + 12.0 * deviation);
    let mut shift = t - wanted * deviation;
    for _ in 0..MOST_STEPS {
        // The larger the true index, the less likely is so small an estimate.
        let found = non_central_student_cdf(t, sample.freedom, shift);
        if found > probability {
            low = shift;
        } else {
            high = shift;
        }
        let next = shift + (normal_quantile(found) - wanted) * deviation;
        let next = if low < next && next < high {
            next
        } else {
            0.5 * (low + high)
        };
        let change = (next - shift).abs();
        shift = next;
        if change <= 1e-13 * deviation {
            break;
        }
    }
    shift / scale
}

#[cfg(test)]
mod tests;
