//! What follows from what a person asked for: entries, or a refusal with the reason.
#![expect(
    clippy::needless_pass_by_value,
    reason = "an act is taken apart and its parts are handed on"
)]

mod due;
mod editions;
mod finish;
mod life;
mod measure;
mod notes;
mod parts;
mod reading;
mod stamp;
mod tools;

pub use editions::would_change;
pub(super) use life::can_be_withdrawn;
pub use notes::{Picture, photo, photographed};
pub use tools::read_certificate;

use super::bench::Bench;
use super::decide::Decided;
use super::refusal::Refusal;
use pullmark_schema::api::Act;
use pullmark_schema::build::{Build, Standing};
use pullmark_schema::entry::{Bike, Decision, Event, Now, OnFastener};
use pullmark_schema::plan::Plan;
use pullmark_schema::tool::Tool;

/// The longest name that is kept.
const LONGEST_NAME: usize = 64;
/// The longest reason that is kept.
const LONGEST_REASON: usize = 500;

/// Decides an act. Sealing is apart, in [`super::seal`], because it needs the bench's key.
pub fn decide_act(bench: &Bench, act: Act, now: Now) -> Result<Vec<Decided>, Refusal> {
    let taken_up = life::taken_up_by(bench, &act);
    let decided = decide_one(bench, act, now)?;
    life::and_resumed(taken_up, decided)
}

#[expect(clippy::too_many_lines, reason = "one short arm an act")]
fn decide_one(bench: &Bench, act: Act, now: Now) -> Result<Vec<Decided>, Refusal> {
    match act {
        Act::AddTool { tool, by } => {
            let by = by.map(name).transpose()?;
            tool.check()?;
            if let Some(certificate) = &tool.certificate {
                certificate.check(&tool.serial, now.wall.date_naive())?;
            }
            Ok(vec![Event::ToolAdded { tool, by }.into()])
        }
        Act::CertifyTool {
            tool,
            format,
            text,
            head,
            by,
        } => tools::certify(bench, tool, (format, text), &head, by, now),
        Act::FitAdapter { tool, adapter, by } => tools::fit(bench, tool, adapter, by),
        Act::BeginCheck { tool, by } => tools::begin_check(bench, tool, by),
        Act::GiveUpCheck { tool, by } => tools::give_up_check(bench, tool, by),
        Act::CheckTool {
            tool,
            against,
            indicated,
            reference,
            by,
        } => tools::check(bench, tool, &against, &indicated, &reference, by),
        Act::StartBuild {
            build,
            bike,
            plan,
            by,
            tools,
            follows,
            due,
        } => {
            let follows = follows.map(|earlier| (earlier, due));
            start_build(bench, (build, follows), bike, &plan, by, tools)
        }
        Act::TellDue {
            build,
            due,
            done,
            by,
            reason,
        } => due::tell(bench, build, due, done, by, reason),
        Act::TellRidden {
            build,
            kilometres,
            by,
        } => due::ridden(bench, build, kilometres, by),
        Act::AssignTool { tool, build, by } => {
            let by = by.map(name).transpose()?;
            open_build(bench, &build)?;
            known_tool(bench, &tool)?;
            Ok(vec![Event::ToolAssigned { tool, build, by }.into()])
        }
        Act::PointAt {
            build,
            fastener,
            by,
        } => {
            let by = name(by)?;
            known_fastener_or_check(open_build(bench, &build)?, &fastener)?;
            Ok(vec![
                Event::PointedAt {
                    build,
                    fastener,
                    by,
                }
                .into(),
            ])
        }
        Act::EnterReading {
            tool,
            value,
            by,
            fastener,
        } => reading::enter(bench, tool, &value, by, fastener, now),
        Act::Place {
            reading,
            fastener,
            pass,
            by,
            reason,
        } => reading::place(bench, reading, fastener, pass, by, reason, now),
        Act::Acknowledge { alarm, by } => acknowledge(bench, alarm, by),
        Act::Loosen {
            build,
            fasteners,
            stage,
            all,
            by,
            reason,
        } => {
            let scope = life::Scope::of(fasteners, stage, all)?;
            life::loosen(bench, &build, scope, &by, &reason)
        }
        Act::Defer {
            build,
            fastener,
            by,
            reason,
            waits_for,
        } => life::defer(bench, build, fastener, by, &reason, waits_for),
        Act::TakeUp {
            build,
            fastener,
            by,
        } => {
            let known = open_build(bench, &build)?;
            known_fastener_or_check(known, &fastener)?;
            if !is_deferred(known, &fastener) {
                return Err(Refusal::NotDeferred(fastener));
            }
            Ok(vec![Event::TakenUp(on(build, fastener, by, None)?).into()])
        }
        Act::Prepare {
            build,
            fastener,
            by,
        } => {
            known_fastener(open_build(bench, &build)?, &fastener)?;
            Ok(vec![Event::Prepared(on(build, fastener, by, None)?).into()])
        }
        Act::Look {
            build,
            fastener,
            by,
            reason,
        } => life::look(bench, build, fastener, by, reason),
        Act::Dispose {
            build,
            fastener,
            decision,
            by,
            reason,
        } => {
            let known = open_build(bench, &build)?;
            may_dispose(known, &fastener, decision)?;
            let (by, reason) = (name(by)?, reason_text(&reason)?);
            Ok(vec![
                Event::Disposed {
                    build,
                    fastener,
                    decision,
                    by,
                    reason,
                    confirmed: None,
                }
                .into(),
            ])
        }
        Act::Withdraw {
            build,
            entry,
            by,
            reason,
        } => life::withdraw(bench, build, entry, by, &reason),
        Act::FitPart {
            build,
            part,
            serial,
            kind,
            by,
        } => parts::fit(bench, build, part, &serial, kind, by),
        Act::SwapPart {
            build,
            part,
            serial,
            out,
            kind,
            by,
            reason,
        } => {
            let spare = parts::Spare {
                part,
                serial,
                out,
                kind,
            };
            parts::swap(bench, build, spare, by, &reason)
        }
        Act::LayAside { build, by, reason } => life::lay_aside(bench, build, by, &reason),
        Act::Resume { build, by } => life::resume(bench, build, by),
        Act::ChangePlan {
            build,
            plan,
            by,
            reason,
        } => editions::change(bench, build, &plan, by, &reason, now),
        Act::Note {
            build,
            fastener,
            text,
            by,
        } => notes::note(bench, build, fastener, &text, by),
        Act::HandOver {
            build,
            from,
            to,
            by,
            note,
        } => life::hand_over(bench, build, (from, to), by, note),
        Act::Finish { build, by, sure } => finish::finish(bench, build, by, sure),
        Act::Recall { .. } => Err(Refusal::Recall("the tables were not at hand".to_owned())),
        Act::Timestamp { answer } => stamp::stamp(bench, &answer),
        Act::Reopen { build, by, reason } => finish::reopen(bench, build, by, &reason),
        Act::Seal { build, .. } | Act::Amend { build, .. } => {
            Err(Refusal::Seal(format!("{build}: no key was given")))
        }
    }
}

/// Whether only a person can say what follows: it is over, or it may be.
pub(super) fn needs_a_decision(build: &Build, fastener: &str) -> bool {
    match build.standing(fastener) {
        Standing::Over => true,
        Standing::Undecided => build
            .counting(fastener)
            .any(pullmark_schema::build::BuildReading::may_be_over),
        _ => false,
    }
}

fn text(value: &str, what: &'static str, most: usize) -> Result<String, Refusal> {
    let trimmed = value.trim();
    let is_good = !trimmed.is_empty()
        && trimmed.chars().count() <= most
        && !trimmed.chars().any(char::is_control);
    if is_good {
        Ok(trimmed.to_owned())
    } else {
        Err(Refusal::BadText { what, most })
    }
}

pub(super) fn name(by: String) -> Result<String, Refusal> {
    text(&by, "your name", LONGEST_NAME)
}

pub(super) fn reason_text(reason: &str) -> Result<String, Refusal> {
    text(reason, "the reason", LONGEST_REASON)
}

/// A reason that may be left out.
fn maybe(reason: Option<String>) -> Result<Option<String>, Refusal> {
    reason
        .filter(|reason| !reason.trim().is_empty())
        .map(|reason| reason_text(&reason))
        .transpose()
}

fn on(
    build: String,
    fastener: String,
    by: String,
    reason: Option<String>,
) -> Result<OnFastener, Refusal> {
    Ok(OnFastener {
        build,
        fastener,
        by: name(by)?,
        reason: maybe(reason)?,
    })
}

pub(super) fn known_build<'b>(bench: &'b Bench, build: &str) -> Result<&'b Build, Refusal> {
    bench
        .builds
        .get(build)
        .ok_or_else(|| Refusal::BuildNotKnown(build.to_owned()))
}

fn open_build<'b>(bench: &'b Bench, build: &str) -> Result<&'b Build, Refusal> {
    let known = known_build(bench, build)?;
    if known.finished.is_some() {
        Err(Refusal::BuildFinished(build.to_owned()))
    } else {
        Ok(known)
    }
}

fn known_fastener(build: &Build, fastener: &str) -> Result<(), Refusal> {
    if build.plan.check(fastener).is_some() {
        return Err(Refusal::NotOfACheck(fastener.to_owned()));
    }
    build
        .fastener(fastener)
        .map(|_| ())
        .ok_or_else(|| Refusal::FastenerNotKnown(fastener.to_owned()))
}

fn known_fastener_or_check(build: &Build, id: &str) -> Result<(), Refusal> {
    match build.plan.check(id) {
        Some(_) => Ok(()),
        None => known_fastener(build, id),
    }
}

fn is_deferred(build: &Build, id: &str) -> bool {
    let fastener = build.fastener(id).map(|state| state.deferred.is_some());
    let check = || Some(build.checks.state(id)?.deferred.is_some());
    fastener.or_else(check).unwrap_or(false)
}

fn may_dispose(build: &Build, id: &str, decision: Decision) -> Result<(), Refusal> {
    if build.plan.check(id).is_some() {
        return measure::may_dispose(build, id, decision);
    }
    known_fastener(build, id)?;
    if decision == Decision::SetRight {
        return Err(Refusal::NotOfACheck(id.to_owned()));
    }
    if needs_a_decision(build, id) {
        Ok(())
    } else {
        Err(Refusal::NothingToDecide(id.to_owned()))
    }
}

fn known_tool(bench: &Bench, tool: &str) -> Result<(), Refusal> {
    if bench.tools.contains_key(tool) {
        Ok(())
    } else {
        Err(Refusal::ToolNotKnown(tool.to_owned()))
    }
}

fn start_build(
    bench: &Bench,
    (build, follows): (Option<String>, Option<(String, Vec<String>)>),
    bike: Bike,
    plan_text: &str,
    by: String,
    tools: Vec<String>,
) -> Result<Vec<Decided>, Refusal> {
    let bike = Bike {
        frame: text(&bike.frame, "the frame's serial number", LONGEST_NAME)?,
        label: bike
            .label
            .map(|label| text(&label, "the bike's label", LONGEST_NAME))
            .transpose()?,
    };
    let follows = follows
        .map(|(earlier, due)| due::follows(bench, earlier, due, &bike))
        .transpose()?;
    let build = match build {
        Some(build) => text(&build, "the build's name", LONGEST_NAME)?,
        None => free_name(bench, bike.label.as_ref().unwrap_or(&bike.frame)),
    };
    if bench.builds.contains_key(&build) {
        return Err(Refusal::BuildTaken(build));
    }
    for tool in &tools {
        known_tool(bench, tool)?;
    }
    let plan = editions::read(plan_text)?;
    let tools = if tools.is_empty() {
        idle_tools(bench, &plan)
    } else {
        tools
    };
    let pin = editions::pin(&plan);
    let started = Event::BuildStarted {
        build: build.clone(),
        bike,
        plan: pin,
        by: name(by)?,
        follows,
    };
    let mut list = vec![Decided {
        event: started,
        attached: Some(plan_text.as_bytes().to_vec()),
    }];
    list.extend(tools.into_iter().map(|tool| {
        Event::ToolAssigned {
            by: None,
            tool,
            build: build.clone(),
        }
        .into()
    }));
    Ok(list)
}

/// Tools that serve no open build and measure what the plan asks for: they serve the one that is begun, unless others are
/// named. One that the plan has no use for stays free for the next.
fn idle_tools(bench: &Bench, plan: &Plan) -> Vec<String> {
    let pulls = plan.fasteners().next().is_some();
    let asks_for = |kind| {
        let mut checks = plan.checks();
        checks.any(|(_, check)| !check.is_derived() && check.unit().kind() == kind)
    };
    let is_wanted = |tool: &Tool| match &tool.measures {
        None => pulls,
        Some(measures) => asks_for(measures.unit.kind()),
    };
    let idle = bench.tools.iter();
    idle.filter(|(id, tool)| is_wanted(tool) && bench.served_by(id).is_none())
        .map(|(id, _)| id.clone())
        .collect()
}

/// A name for use in commands and addresses, from what people call the bike.
fn free_name(bench: &Bench, from: &str) -> String {
    let plain: String = from
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|word| !word.is_empty()).collect();
    let stem = if words.is_empty() {
        "build".to_owned()
    } else {
        words.join("-")
    };
    let numbered = (2_u32..).map(|number| format!("{stem}-{number}"));
    std::iter::once(stem.clone())
        .chain(numbered)
        .find(|name| !bench.builds.contains_key(name))
        .unwrap_or(stem)
}

fn acknowledge(bench: &Bench, alarm: u64, by: String) -> Result<Vec<Decided>, Refusal> {
    let early = bench.tool_states.values().find_map(|state| {
        let (sequence, over) = state.over_now.as_ref()?;
        (*sequence == alarm).then(|| over.build.clone())
    });
    if let Some(build) = early {
        let by = name(by)?;
        return Ok(vec![Event::Acknowledged { build, alarm, by }.into()]);
    }
    let build = bench
        .build_of_alarm(alarm)
        .ok_or(Refusal::AlarmNotKnown(alarm))?;
    let of_a_check = build.checks.open_alarms().map(|open| open.sequence);
    let mut open = build
        .open_alarms()
        .map(|open| open.sequence)
        .chain(of_a_check);
    if !open.any(|open| open == alarm) {
        return Err(Refusal::AlarmAcknowledged(alarm));
    }
    Ok(vec![
        Event::Acknowledged {
            build: build.id.clone(),
            alarm,
            by: name(by)?,
        }
        .into(),
    ])
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
