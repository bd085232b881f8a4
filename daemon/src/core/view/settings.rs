//! What to set, or read, on a wrench for the torque wanted at the fastener.

use crate::core::bench::Bench;
use pullmark_schema::adapter::Adapter;
use pullmark_schema::api::{AdapterView, SettingView};
use pullmark_schema::build::Build;
use pullmark_schema::gauge::{Fitted, Gauge};
use pullmark_schema::plan::Step;
use pullmark_schema::quantity::Torque;
use pullmark_schema::tool::{Tool, ToolKind};
use pullmark_schema::verdict::{Caution, Rule};

/// An adapter, made ready for the eye.
pub(super) fn adapter_view(adapter: &Adapter) -> AdapterView {
    AdapterView {
        adapter: adapter.clone(),
        text: adapter.to_string(),
        is_offset: !adapter.keeps_the_torque(),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a few per cent"
)]
pub(super) fn class_ppm(gauge: &Gauge) -> u32 {
    (gauge.class_percent() * 10_000.0).round() as u32
}

/// For every tool that serves a build, in the tools' order.
pub(super) fn settings(bench: &Bench, build: &Build, step: &Step<'_>) -> Vec<SettingView> {
    let serves = |tool: &&Tool| {
        let state = bench.tool_states.get(&tool.id);
        state.is_some_and(|state| state.serves.as_ref() == Some(&build.id))
    };
    let tools = bench.tools.values().filter(serves);
    let tools = tools.filter(|tool| tool.measures.is_none());
    tools
        .filter_map(|tool| Some(setting(bench, tool, bench.gauges.get(&tool.id)?, step)))
        .collect()
}

fn setting(bench: &Bench, tool: &Tool, gauge: &Gauge, step: &Step<'_>) -> SettingView {
    let fitted = bench.fitted(&tool.id);
    let pass = step.fastener.spec.limits.of_pass(step.percent);
    let (limits, aim) = (pass.limits, pass.aim());
    let on_tool = |wanted| whole(gauge.setting(wanted, fitted.as_ref()));
    let guard = guard(bench, gauge, fitted.as_ref(), aim);
    let rule = step.fastener.rule;
    let upper = match rule {
        Rule::Simple => limits.upper,
        Rule::Guarded | Rule::GuardedUpper => minus(limits.upper, guard),
    };
    let lower = match rule {
        Rule::Guarded => limits.lower.map(|lower| minus(lower, -guard)),
        Rule::Simple | Rule::GuardedUpper => limits.lower,
    };
    let is_fit = lower.is_none_or(|lower| lower <= upper) && upper.small_units() > 0;
    // Towards the middle, so that what is shown here is within when it is pulled.
    let from = lower.filter(|_| is_fit).map(|lower| on_tool(lower).ceil());
    let to = is_fit.then(|| on_tool(upper).floor());
    SettingView {
        tool: tool.id.clone(),
        title: tool.title.clone(),
        set_millinewton_metre: small(on_tool(aim).round()),
        from_millinewton_metre: from.map(small),
        to_millinewton_metre: to.map(small),
        fitted: fitted.as_ref().map(|fitted| fitted.adapter.to_string()),
        is_as_planned: is_as_planned(fitted.as_ref(), step.fastener.adapter.as_ref()),
        is_set: tool.kind == ToolKind::Setting,
        cautions: cautions(tool, fitted.as_ref(), on_tool(aim), is_fit),
    }
}

/// In mN·m, not rounded yet.
fn whole(newton_metres: f64) -> f64 {
    newton_metres * 1000.0
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "whole mN·m of a hand tool; a cast of a float keeps to the range"
)]
fn small(millis: f64) -> i64 {
    millis as i64
}

const fn minus(torque: Torque, less: i64) -> Torque {
    Torque::from_small_units(torque.small_units().saturating_sub(less))
}

/// The guard band that a pull at the aim would have today, in mN·m.
fn guard(bench: &Bench, gauge: &Gauge, fitted: Option<&Fitted>, aim: Torque) -> i64 {
    let shown = pullmark_schema::gauge::Shown {
        torque: Torque::from_small_units(small(whole(gauge.setting(aim, fitted)).ceil())),
        step: None,
    };
    let today = bench
        .last_now
        .map(|now| now.wall.date_naive())
        .unwrap_or_default();
    gauge.weigh(shown, fitted, today).1.guard().small_units()
}

pub(in crate::core) fn is_as_planned(fitted: Option<&Fitted>, planned: Option<&Adapter>) -> bool {
    let fitted = fitted.map(|fitted| &fitted.adapter);
    match (
        fitted.filter(|adapter| !adapter.keeps_the_torque()),
        planned.filter(|adapter| !adapter.keeps_the_torque()),
    ) {
        (None, None) => true,
        (Some(fitted), Some(planned)) => fitted.is_same_geometry(planned),
        _ => false,
    }
}

fn cautions(tool: &Tool, fitted: Option<&Fitted>, set: f64, is_fit: bool) -> Vec<Caution> {
    let set = Torque::from_small_units(small(set));
    let all = [
        (!is_fit, Caution::ToolNotFit),
        (
            tool.lowest.is_some_and(|lowest| set < lowest),
            Caution::BelowToolRange,
        ),
        (
            tool.highest.is_some_and(|highest| set > highest),
            Caution::AboveToolRange,
        ),
        (
            fitted.is_some_and(Fitted::is_unknown),
            Caution::LeverNotKnown,
        ),
    ];
    all.into_iter()
        .filter_map(|(holds, caution)| holds.then_some(caution))
        .collect()
}
