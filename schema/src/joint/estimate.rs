//! What a stated torque does to a fastener of a plan, as far as the plan tells what is needed.

use super::{
    Friction, FrictionFrom, Head, MetricThread, PropertyClass, Tightening, friction_of,
    stripping_load,
};
use crate::plan::Thread;
use crate::quantity::{Force, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The preload that a torque may make, and what it has to be compared with. The head is taken to be that of a socket head
/// bolt, and friction to be the same in the thread and under it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Estimate {
    /// At the highest friction.
    #[serde(rename = "least_preload_millinewton")]
    pub least: Force,
    /// In the middle of the range of friction.
    #[serde(rename = "likely_preload_millinewton")]
    pub likely: Force,
    /// At the lowest friction.
    #[serde(rename = "most_preload_millinewton")]
    pub most: Force,
    /// The friction that was reckoned with.
    pub friction: Friction,
    /// Where that comes from.
    pub friction_from: FrictionFrom,
    /// What the bolt bears, where its property class is known.
    #[serde(
        rename = "proof_load_millinewton",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub proof_load: Option<Force>,
    /// What the weaker thread bears, where it is known what the thread is cut into.
    #[serde(
        rename = "stripping_load_millinewton",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub stripping_load: Option<Force>,
}

/// The estimate for a torque; nothing where the thread is none whose geometry is known, or the torque is none.
pub fn estimate(thread: &Thread, prep: &[String], torque: Torque) -> Option<Estimate> {
    if torque.small_units() <= 0 || !torque.is_sane() {
        return None;
    }
    let metric = MetricThread::parse(&thread.size).ok()?;
    let class = thread
        .property_class
        .as_deref()
        .and_then(PropertyClass::parse);
    let (friction, friction_from) = match thread.friction {
        Some(stated) => (stated, FrictionFrom::Stated),
        None => friction_of(prep),
    };
    let preload = |friction| {
        let tightening = Tightening::new(metric, Head::Socket, friction);
        force(tightening.preload(torque.newton_metres()))
    };
    Some(Estimate {
        least: preload(friction.high()),
        likely: preload(friction.middle()),
        most: preload(friction.low()),
        friction,
        friction_from,
        proof_load: class.map(|class| force(class.proof_load(metric))),
        stripping_load: thread.engages.and_then(|material| {
            let engagement = engagement(thread, metric);
            stripping_load(metric, engagement, class, material).map(force)
        }),
    })
}

/// The length of engagement in mm; one diameter where nobody says it.
#[expect(
    clippy::cast_precision_loss,
    reason = "whole µm of an engagement are far below 2^53"
)]
fn engagement(thread: &Thread, metric: MetricThread) -> f64 {
    thread
        .engagement
        .map_or_else(|| metric.diameter(), |l| l.small_units() as f64 / 1000.0)
}

/// A float above what fits becomes the largest that does, and NaN becomes 0: no finite input leads there.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a preload is far below 2^63 mN, and the cast saturates"
)]
fn force(newton: f64) -> Force {
    Force::from_small_units((newton * 1000.0).round() as i64)
}
