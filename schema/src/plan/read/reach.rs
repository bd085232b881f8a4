//! Can the tools at hand do what a plan wants?

use super::super::finding::{PlanCode, Severity};
use super::super::{Fastener, Stage};
use super::fastener::Places;
use super::{Questions, Reader};
use crate::measure::budget::{ToolClass, maximum_deviation};
use crate::quantity::{Rounding, Torque};
use crate::tool::Tool;
use crate::verdict::Rule;
use std::ops::Range;

impl<'a> Reader<'a> {
    pub(super) fn tools(&self) -> &'a [Tool] {
        match self.questions {
            Questions::All { tools } => tools,
            Questions::Form => &[],
        }
    }

    /// Whether a tool reaches the torque of a fastener, and can tell whether it lies within the limits.
    pub(super) fn reach(&mut self, fastener: &Fastener, places: &Places) {
        let aim = fastener.spec.limits.aim();
        if self.tools().is_empty() || aim.small_units() <= 0 {
            return;
        }
        let usable: Vec<&Tool> = self
            .tools()
            .iter()
            .filter(|tool| reaches(tool, aim))
            .collect();
        if usable.is_empty() {
            let what = format!(
                "{:?} wants {aim}, and no tool reaches it: {}",
                fastener.id,
                listed(self.tools())
            );
            let advice = "bring another tool, or look for a slipped point or a wrong unit";
            let kind = (Severity::Warning, PlanCode::OutsideToolRange);
            self.say(places.torque.clone(), kind, what, advice);
            return;
        }
        let room = room(fastener, aim);
        let is_coarse = |tool: &&Tool| tool.certificate.is_none() && class_limit(tool, aim) > room;
        if usable.iter().all(is_coarse) {
            let (what, advice) = too_coarse(fastener, aim, room, &usable);
            let kind = (Severity::Warning, PlanCode::ToolTooCoarse);
            self.say(places.torque.clone(), kind, what, advice);
        }
    }

    /// Whether a tool reaches the torques of early passes.
    pub(super) fn reach_passes(&mut self, stage: &Stage, passes_at: &Range<usize>) {
        for (number, &percent) in (1..).zip(&stage.passes) {
            let aim = |fastener: &&Fastener| fastener.spec.limits.of_pass(percent).aim();
            let missed = stage.fasteners.iter().find(|fastener| {
                let is_reached = |torque| self.tools().iter().any(|tool| reaches(tool, torque));
                percent < 100
                    && is_reached(fastener.spec.limits.aim())
                    && !is_reached(aim(fastener))
            });
            let Some(fastener) = missed else { continue };
            let what = format!(
                "pass {number} at {percent} % wants {} on {:?}, and no tool reaches it: {}",
                aim(&fastener),
                fastener.id,
                listed(self.tools())
            );
            let advice = "raise the pass until a tool reaches it, or bring a smaller tool";
            let kind = (Severity::Warning, PlanCode::UnreachablePass);
            self.say(passes_at.clone(), kind, what, advice);
        }
    }
}

fn reaches(tool: &Tool, torque: Torque) -> bool {
    tool.lowest.is_none_or(|lowest| lowest <= torque)
        && tool.highest.is_none_or(|highest| torque <= highest)
}

/// How far a reading may lie from the aim before the limits that the rule guards are met.
fn room(fastener: &Fastener, aim: Torque) -> Torque {
    let limits = &fastener.spec.limits;
    let above = limits.upper.small_units().saturating_sub(aim.small_units());
    let below = limits
        .lower
        .map(|lower| aim.small_units().saturating_sub(lower.small_units()));
    let room = match (fastener.rule, below) {
        (Rule::Simple | Rule::Guarded, Some(below)) => above.min(below),
        (Rule::GuardedUpper, _) | (_, None) => above,
    };
    Torque::from_small_units(room)
}

/// The deviation that the tool's class allows, where no certificate says more (ISO 6789-1:2017, 5.1.5; from memory): 4 % of
/// the value for a tool whose highest torque is above 10 N·m, else 6 %; always 6 % for some classes, where it is stated.
fn class_limit(tool: &Tool, torque: Torque) -> Torque {
    torque.percent(class_percent(tool), Rounding::Up)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the standard names 4 and 6"
)]
fn class_percent(tool: &Tool) -> u8 {
    let class = tool.class.unwrap_or(ToolClass::IndicatingC);
    let highest = tool.highest.map_or(0.0, Torque::newton_metres);
    maximum_deviation(class, highest) as u8
}

fn too_coarse(
    fastener: &Fastener,
    aim: Torque,
    room: Torque,
    usable: &[&Tool],
) -> (String, &'static str) {
    let tools: Vec<String> = usable
        .iter()
        .map(|tool| {
            format!(
                "{} may be {} off ({} % by its class, ISO 6789-1:2017)",
                tool.id,
                class_limit(tool, aim),
                class_percent(tool)
            )
        })
        .collect();
    let what = format!(
        "{:?} leaves {room} around {aim}, and no tool has a certificate that says it can tell: {}",
        fastener.id,
        tools.join(", ")
    );
    let advice = "have the tool calibrated and add its certificate, or bring a finer tool: this is no fault of the fastener";
    (what, advice)
}

fn listed(tools: &[Tool]) -> String {
    let tools: Vec<String> = tools
        .iter()
        .map(|tool| match (tool.lowest, tool.highest) {
            (Some(lowest), Some(highest)) => format!("{} has {lowest} to {highest}", tool.id),
            (Some(lowest), None) => format!("{} begins at {lowest}", tool.id),
            (None, Some(highest)) => format!("{} ends at {highest}", tool.id),
            (None, None) => format!("{} has no range stated", tool.id),
        })
        .collect();
    tools.join(", ")
}
