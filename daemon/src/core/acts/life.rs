//! Undone, waiting, laid aside, looked at, changing hands, taken back.

use super::{known_fastener, maybe, measure, name, on, open_build, reason_text, text};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::api::Act;
use pullmark_schema::build::{Build, Standing, withdrawable};
use pullmark_schema::entry::{Deferral, Event, HandedOver, OnBuild, Withdrawn};

/// Which fasteners are undone.
#[derive(Debug)]
pub(super) enum Scope {
    /// These, whatever counts at them.
    Named(Vec<String>),
    /// Those of a stage at which something counts.
    Stage(String),
    /// All at which something counts.
    All,
}

impl Scope {
    pub(super) fn of(
        fasteners: Vec<String>,
        stage: Option<String>,
        all: bool,
    ) -> Result<Self, Refusal> {
        match (fasteners.is_empty(), stage, all) {
            (false, None, false) => Ok(Self::Named(fasteners)),
            (true, Some(stage), false) => Ok(Self::Stage(stage)),
            (true, None, true) => Ok(Self::All),
            _ => Err(Refusal::BadScope),
        }
    }

    fn fasteners(self, build: &Build) -> Result<Vec<String>, Refusal> {
        let all = build.plan.fasteners();
        let (stage, what) = match self {
            Self::Named(fasteners) => {
                for fastener in &fasteners {
                    known_fastener(build, fastener)?;
                }
                return Ok(fasteners);
            }
            Self::Stage(id) => {
                let stage = build.plan.stages.iter().find(|stage| stage.id == id);
                let stage = stage.ok_or(Refusal::StageNotKnown(id))?;
                (Some(stage), stage.title.clone())
            }
            Self::All => (None, "the build".to_owned()),
        };
        let mut found: Vec<String> = all
            .filter(|(of, _)| stage.is_none_or(|stage| stage.id == of.id))
            .map(|(_, fastener)| fastener.id.clone())
            .filter(|id| build.counting(id).next().is_some())
            .collect();
        // The work goes on at what was undone last: that is the first one then.
        found.reverse();
        if found.is_empty() {
            return Err(Refusal::NothingToLoosen(what));
        }
        Ok(found)
    }
}

pub(super) fn loosen(
    bench: &Bench,
    build: &str,
    scope: Scope,
    by: &str,
    reason: &str,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, build)?;
    let reason = reason_text(reason)?;
    let fasteners = scope.fasteners(known)?;
    fasteners
        .into_iter()
        .map(|fastener| {
            let reason = Some(reason.clone());
            let on = on(build.to_owned(), fastener, by.to_owned(), reason)?;
            Ok(Event::Loosened(on).into())
        })
        .collect()
}

pub(super) fn defer(
    bench: &Bench,
    build: String,
    fastener: String,
    by: String,
    reason: &str,
    waits_for: Option<String>,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    if known.plan.check(&fastener).is_some() {
        measure::may_defer(known, &fastener)?;
    } else {
        known_fastener(known, &fastener)?;
    }
    if known.standing(&fastener).is_done() || known.standing(&fastener) == Standing::Over {
        return Err(Refusal::DoneAlready(fastener));
    }
    Ok(vec![
        Event::Deferred(Deferral {
            build,
            fastener,
            by: name(by)?,
            reason: Some(reason_text(reason)?),
            waits_for: maybe(waits_for)?,
        })
        .into(),
    ])
}

pub(super) fn look(
    bench: &Bench,
    build: String,
    fastener: String,
    by: String,
    reason: Option<String>,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    known_fastener(known, &fastener)?;
    let worked = known.tightened_by(&fastener);
    let is_same = |one: &str, other: &str| bench.people.are_one(one, other);
    if worked.iter().any(|worked| is_same(worked, &by)) {
        return Err(Refusal::SamePerson(by));
    }
    Ok(vec![Event::Looked(on(build, fastener, by, reason)?).into()])
}

pub(super) fn lay_aside(
    bench: &Bench,
    build: String,
    by: String,
    reason: &str,
) -> Result<Vec<Decided>, Refusal> {
    if open_build(bench, &build)?.laid_aside().is_some() {
        return Err(Refusal::LaidAside(build));
    }
    let (by, reason) = (name(by)?, Some(reason_text(reason)?));
    Ok(vec![Event::LaidAside(OnBuild { build, by, reason }).into()])
}

pub(super) fn resume(bench: &Bench, build: String, by: String) -> Result<Vec<Decided>, Refusal> {
    if open_build(bench, &build)?.laid_aside().is_none() {
        return Err(Refusal::NotLaidAside(build));
    }
    Ok(vec![resumed(build, by)?])
}

fn resumed(build: String, by: String) -> Result<Decided, Refusal> {
    let (by, reason) = (name(by)?, None);
    Ok(Event::Resumed(OnBuild { build, by, reason }).into())
}

/// Who works at a build by an act, and so takes it up again where it was laid aside. Notes, pauses and hand-overs are no
/// work on the bike.
pub(super) fn taken_up_by(bench: &Bench, act: &Act) -> Option<(String, String)> {
    let (build, by) = match act {
        Act::PointAt { build, by, .. }
        | Act::Loosen { build, by, .. }
        | Act::TakeUp { build, by, .. }
        | Act::Prepare { build, by, .. }
        | Act::Look { build, by, .. }
        | Act::Dispose { build, by, .. }
        | Act::FitPart { build, by, .. }
        | Act::SwapPart { build, by, .. }
        | Act::Finish { build, by, .. } => (build.clone(), by.clone()),
        Act::EnterReading { tool, by, .. } => (bench.served_by(tool)?.id.clone(), by.clone()),
        _ => return None,
    };
    bench.builds.get(&build)?.laid_aside()?;
    Some((build, by))
}

/// The entry that says so, before those of the act.
pub(super) fn and_resumed(
    taken_up: Option<(String, String)>,
    decided: Vec<Decided>,
) -> Result<Vec<Decided>, Refusal> {
    let Some((build, by)) = taken_up else {
        return Ok(decided);
    };
    Ok(std::iter::once(resumed(build, by)?)
        .chain(decided)
        .collect())
}

pub(super) fn hand_over(
    bench: &Bench,
    build: String,
    (from, to): (String, String),
    by: Option<String>,
    note: Option<String>,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    let holder = known.in_hands();
    let is_same = |one: &str, other: &str| bench.people.are_one(one, other);
    if !is_same(holder, &from) {
        return Err(Refusal::OtherHands {
            build,
            holder: holder.to_owned(),
        });
    }
    if is_same(&from, &to) {
        return Err(Refusal::SameHands(to));
    }
    Ok(vec![
        Event::HandedOver(HandedOver {
            build,
            from: name(from)?,
            to: text(&to, "the name of who gets it", super::LONGEST_NAME)?,
            by: by.map(name).transpose()?,
            note: maybe(note)?,
        })
        .into(),
    ])
}

pub(super) fn withdraw(
    bench: &Bench,
    build: String,
    entry: u64,
    by: String,
    reason: &str,
) -> Result<Vec<Decided>, Refusal> {
    let known = open_build(bench, &build)?;
    can_be_withdrawn(known, entry)?;
    let (by, reason) = (name(by)?, reason_text(reason)?);
    Ok(vec![
        Event::Withdrawn(Withdrawn {
            build,
            entry,
            by,
            reason,
        })
        .into(),
    ])
}

/// Why an act cannot be taken back, where it cannot.
pub(in crate::core) fn can_be_withdrawn(build: &Build, entry: u64) -> Result<(), Refusal> {
    let Some(of) = build.logged(entry) else {
        return Err(Refusal::EntryNotKnown {
            build: build.id.clone(),
            entry,
        });
    };
    if build.withdrawn.iter().any(|known| known.entry == entry) {
        return Err(Refusal::WithdrawnAlready(entry));
    }
    if withdrawable(&of.event).is_none() {
        return Err(Refusal::NotWithdrawable {
            entry,
            instead: instead(&of.event),
        });
    }
    // Readings that would count again were not judged by the present edition.
    let changes_what_counts = matches!(
        of.event,
        Event::Loosened(_) | Event::PartSwapped(_) | Event::Disposed { .. }
    );
    match build.plan_changed() {
        Some(changed) if changes_what_counts && changed > entry => {
            Err(Refusal::PlanChangedSince { entry, changed })
        }
        Some(changed) => match &of.event {
            Event::Disposed { fastener, .. }
                if was_about_over_placed_anew(build, fastener, entry, changed) =>
            {
                Err(Refusal::PlacedSince { entry, changed })
            }
            _ => Ok(()),
        },
        None => Ok(()),
    }
}

/// Whether a reading that went over there under an edition that holds no longer was placed anew after the decision: it is
/// judged by the present edition alone since, and the decision is all that still says that it was over.
fn was_about_over_placed_anew(build: &Build, id: &str, entry: u64, changed: u64) -> bool {
    let pulls = build.alarms.iter();
    let pulls = pulls.map(|raised| {
        (
            raised.sequence,
            raised.reading,
            &raised.alarm.place.fastener,
        )
    });
    let checks = build.checks.alarms.iter();
    let checks = checks.map(|raised| (raised.sequence, raised.reading, &raised.alarm.place.check));
    pulls.chain(checks).any(|(raised, reading, at)| {
        at == id && raised < changed && build.placed_after(entry).any(|placed| placed == reading)
    })
}

/// What to do about an entry that cannot be taken back.
const fn instead(event: &Event) -> &'static str {
    match event {
        Event::CheckMeasured(_) | Event::CheckPlaced(_) => {
            "a reading stays: say where it belongs with `pullmark reading place`, or measure again"
        }
        Event::Pulled(_) | Event::Placed(_) => {
            "a reading stays: say where it belongs with `pullmark reading place`, or undo the fastener"
        }
        Event::OverNow(_) | Event::Acknowledged { .. } => {
            "an over alarm stays: decide what follows with `pullmark fastener dispose`"
        }
        Event::LaidAside(_) => "go on with it: `pullmark build resume`",
        Event::Resumed(_) => "lay it aside again: `pullmark build lay-aside`",
        Event::Withdrawn(_) => "do the act again",
        Event::PlanChanged(_) => "change the plan back: `pullmark build plan`",
        Event::ToolAssigned { .. } => "let the tool serve another build: `pullmark build serve`",
        _ => "a note can say what was wrong: `pullmark fastener note`",
    }
}
