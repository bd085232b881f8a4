//! Can the torque of a fastener be right? Asked of the bolt, of its thread, and of what is common in the trade.

use super::super::Fastener;
use super::super::finding::{PlanCode, Severity};
use super::fastener::Places;
use super::{Questions, Reader};
use crate::joint::{self, Estimate, MetricThread, PropertyClass, ThreadError};
use crate::practice;
use crate::quantity::{Force, Torque};

impl Reader<'_> {
    /// Looks at a fastener's torque. A fastener whose limits could not be found has none, and was told of.
    pub(super) fn plausible(&mut self, fastener: &Fastener, places: &Places) {
        let Questions::All { .. } = self.questions else {
            return;
        };
        let aim = fastener.spec.limits.aim();
        if aim.small_units() <= 0 {
            return;
        }
        self.common(fastener, aim, places);
        self.estimable(fastener, places);
        let thread = fastener.thread.as_ref();
        if let Some(estimate) =
            thread.and_then(|thread| joint::estimate(thread, &fastener.prep, aim))
        {
            self.proof_load(fastener, &estimate, aim, places);
            self.stripping(fastener, &estimate, aim, places);
        }
    }

    fn common(&mut self, fastener: &Fastener, aim: Torque, places: &Places) {
        let Some(range) = fastener.kind.as_deref().and_then(practice::range_of) else {
            return;
        };
        let upper = fastener.spec.limits.upper;
        let far = if range.is_far_above(aim) || range.is_far_below(aim) {
            aim
        } else if range.is_far_above(upper) {
            upper
        } else {
            return;
        };
        let what = format!(
            "{:?} allows {far}: {} commonly gets {} to {} ({})",
            fastener.id,
            range.title,
            range.low,
            range.high,
            practice::ORIGIN
        );
        let advice = "look for a slipped point or a wrong unit; if the part's maker says so, confirm it: settled = { by = \"…\", reason = \"…\" }";
        let severity = unless_settled(fastener, Severity::Error);
        let span = places.torque.clone();
        self.say(span, (severity, PlanCode::UnusualTorque), what, advice);
    }

    /// Says it where a thread or a class looks like one of those that are known and is none.
    fn estimable(&mut self, fastener: &Fastener, places: &Places) {
        let Some(thread) = &fastener.thread else {
            return;
        };
        let metric = MetricThread::parse(&thread.size);
        let unknown_class = thread
            .property_class
            .as_ref()
            .filter(|class| PropertyClass::parse(class).is_none());
        if matches!(metric, Err(ThreadError::OtherThread { .. }))
            && !could_be_a_thread(&thread.size)
        {
            let what = format!("{:?}: {:?} is no thread", fastener.id, thread.size);
            let advice =
                "write its diameter and pitch, such as M5x0.8, or what its standard calls it";
            let span = places.thread.clone();
            return self.say(span, (Severity::Warning, PlanCode::BadThread), what, advice);
        }
        let (what, advice) = match (metric, unknown_class) {
            (Err(error @ ThreadError::OtherPitch { .. }), _) => (
                error.to_string(),
                "write the pitch or leave it out; the length of a bolt is not asked for",
            ),
            (Ok(_), Some(class)) => (
                format!("the property class {class:?} is none that is known here"),
                "known are 5.6, 8.8, 10.9 and 12.9, and A1 to A5 with -50, -70 or -80; any other is kept and not reckoned with",
            ),
            (Ok(_) | Err(ThreadError::OtherThread { .. }), _) => return,
        };
        let what = format!("{:?}: {what}, so no preload is estimated", fastener.id);
        let span = places.thread.clone();
        self.say(span, (Severity::Note, PlanCode::NoEstimate), what, advice);
    }

    fn proof_load(
        &mut self,
        fastener: &Fastener,
        estimate: &Estimate,
        aim: Torque,
        places: &Places,
    ) {
        let Some(load) = estimate.proof_load else {
            return;
        };
        let bolt = bolt(fastener);
        let bears = format!(
            "{bolt} bears {} (proof load, {})",
            kilonewton(load),
            standard(fastener)
        );
        let kind = if estimate.least > load {
            (Severity::Error, PlanCode::PastProofLoad)
        } else if estimate.likely > load {
            let severity = unless_settled(fastener, Severity::Warning);
            (severity, PlanCode::NearProofLoad)
        } else {
            return;
        };
        self.overloaded(fastener, estimate, aim, places, kind, &bears);
    }

    fn stripping(
        &mut self,
        fastener: &Fastener,
        estimate: &Estimate,
        aim: Torque,
        places: &Places,
    ) {
        let Some(load) = estimate.stripping_load else {
            return;
        };
        let bears = format!(
            "its thread strips at about {} (FED-STD-H28/2B, a low strength of the material)",
            kilonewton(load)
        );
        let kind = if estimate.least > load {
            (Severity::Error, PlanCode::ThreadStrips)
        } else if estimate.likely > load {
            let severity = unless_settled(fastener, Severity::Warning);
            (severity, PlanCode::ThreadMayStrip)
        } else {
            return;
        };
        self.overloaded(fastener, estimate, aim, places, kind, &bears);
    }

    fn overloaded(
        &mut self,
        fastener: &Fastener,
        estimate: &Estimate,
        aim: Torque,
        places: &Places,
        kind: (Severity, PlanCode),
        bears: &str,
    ) {
        let Estimate {
            friction,
            friction_from,
            ..
        } = estimate;
        let id = &fastener.id;
        let (what, advice) = if kind.0 == Severity::Error {
            (
                format!(
                    "{id:?}: {aim} cannot be right: even at the highest plausible friction of {} ({friction_from}) it makes a preload of {}, and {bears}",
                    friction.high(),
                    kilonewton(estimate.least)
                ),
                "look for a slipped point or a wrong unit; else correct the thread, its property_class, its engagement or the prep",
            )
        } else {
            (
                format!(
                    "{id:?}: {aim} is likely too much: at a friction of {}, the middle of {friction} ({friction_from}), it makes a preload of {}, and {bears}",
                    friction.middle(),
                    kilonewton(estimate.likely)
                ),
                "is the thread as it says? If the part's maker says so, confirm it: settled = { by = \"…\", reason = \"…\" }",
            )
        };
        self.say(places.torque.clone(), kind, what, advice);
    }
}

/// Whether a text can be what a standard calls a thread: one that begins like a metric one has a diameter and, after an x, a
/// finer pitch; any other has a figure in it.
fn could_be_a_thread(text: &str) -> bool {
    let designation = text.split('-').next().unwrap_or(text).trim();
    let body = designation.strip_prefix(['M', 'm']);
    let body = body.filter(|body| body.starts_with(|letter: char| letter.is_ascii_digit()));
    let Some(body) = body else {
        return text.contains(|letter: char| letter.is_ascii_digit());
    };
    let number = |text: &str| text.trim().parse::<f64>().ok();
    let (diameter, pitch) = match body.split_once(['x', 'X', '×', '*']) {
        Some((diameter, pitch)) => (number(diameter), number(pitch)),
        None => (number(body), Some(0.0)),
    };
    match (diameter, pitch) {
        (Some(diameter), Some(pitch)) => pitch < diameter,
        _ => false,
    }
}

/// What a person settled with name and reason is only noted.
fn unless_settled(fastener: &Fastener, severity: Severity) -> Severity {
    if fastener.spec.settled.is_some() {
        Severity::Note
    } else {
        severity
    }
}

/// "an M6 bolt of class 8.8".
fn bolt(fastener: &Fastener) -> String {
    let thread = fastener.thread.as_ref();
    let size = thread.and_then(|thread| MetricThread::parse(&thread.size).ok());
    let class = class(fastener);
    match (size, class) {
        (Some(size), Some(class)) => format!("an {size} bolt of class {class}"),
        _ => "the bolt".to_owned(),
    }
}

fn class(fastener: &Fastener) -> Option<PropertyClass> {
    let thread = fastener.thread.as_ref()?;
    PropertyClass::parse(thread.property_class.as_deref()?)
}

fn standard(fastener: &Fastener) -> &'static str {
    class(fastener).map_or("no standard", PropertyClass::standard)
}

/// "11.67 kN".
fn kilonewton(force: Force) -> String {
    let hundredths = force.small_units() / 10_000;
    format!("{}.{:02} kN", hundredths / 100, hundredths % 100)
}
