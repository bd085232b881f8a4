//! The state of the bench, made ready for the eye.

pub(super) mod checks;
mod life;
mod settings;

use super::acts::needs_a_decision;
use super::bench::Bench;
use super::place::{Doubt, millionths};
use pullmark_schema::api::{
    AlarmView, BenchView, BuildView, CandidateView, CheckingView, DoubtView, FastenerView,
    HeldView, LastView, NextView, RecalledFastenerView, RecalledView, StageView, ToolView,
};
use pullmark_schema::build::{Build, BuildReading, KnownRecall, RaisedAlarm};
use pullmark_schema::entry::AffectedReading;
use pullmark_schema::placement::{Candidate, Placement, PullKind};
use pullmark_schema::plan::{Fastener, Hand, Stage};
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::Reading;
use pullmark_schema::record::CAUTIONS;
use pullmark_schema::tool::Tool;
use pullmark_schema::verdict::Answer;
pub(super) use settings::is_as_planned;
use settings::{adapter_view, class_ppm, settings};

/// The whole bench.
pub fn view(bench: &Bench, name: &str) -> BenchView {
    let mut builds: Vec<&Build> = bench.builds.values().collect();
    builds.sort_by_key(|build| (build.finished.is_some(), build.started.sequence));
    BenchView {
        bench: name.to_owned(),
        sequence: bench.next_sequence.saturating_sub(1),
        builds: builds
            .into_iter()
            .map(|build| build_view(bench, build))
            .collect(),
        tools: bench
            .tools
            .values()
            .map(|tool| tool_view(bench, tool))
            .collect(),
        unclaimed: bench.unclaimed.iter().cloned().collect(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        people: super::people::people_view(bench),
    }
}

fn tool_view(bench: &Bench, tool: &Tool) -> ToolView {
    let state = bench.tool_states.get(&tool.id).cloned().unwrap_or_default();
    ToolView {
        tool: tool.clone(),
        connected: state.port.is_some(),
        gone: state.gone,
        serves: state.serves,
        class_ppm: bench.gauges.get(&tool.id).map_or(0, class_ppm),
        certificate_past: is_past(bench, tool),
        fitted: state.adapter.as_ref().map(adapter_view),
        checking: state.checking.map(|checking| CheckingView {
            by: checking.by,
            shown_micronewton_metre: checking
                .readings
                .iter()
                .map(|(_, shown)| shown.small_units())
                .collect(),
        }),
        check_state: bench.check_state(&tool.id),
        checks: super::checks::views(bench, &tool.id),
        other_serial: state.about.serial.filter(|serial| *serial != tool.serial),
        battery_percent: state.about.battery_percent,
        cut_off: state.cut_off,
    }
}

fn is_past(bench: &Bench, tool: &Tool) -> bool {
    let today = bench.last_now.map(|now| now.wall.date_naive());
    if let (Some(measures), Some(today)) = (&tool.measures, today) {
        return measures.is_past(today);
    }
    let known = tool.certificate.as_ref().zip(today);
    known.is_some_and(|(certificate, today)| certificate.is_past(today))
}

/// One build.
pub fn build_view(bench: &Bench, build: &Build) -> BuildView {
    let serving = |(tool, state): (&String, &super::ToolState)| {
        (state.serves.as_ref() == Some(&build.id)).then(|| tool.clone())
    };
    BuildView {
        id: build.id.clone(),
        bike: build.bike.clone(),
        frame: build.plan.frame,
        plan: build.pin.title.clone(),
        edition: build.pin.edition.clone(),
        by: build.started.by.clone(),
        in_hands: build.in_hands().to_owned(),
        laid_aside: life::laid_aside(build),
        parts: life::parts(build),
        notes: life::notes(build),
        plan_changes: u32::try_from(build.editions.len()).unwrap_or(u32::MAX),
        follows: build.follows.as_ref().map(|follows| follows.build.clone()),
        started: build.started.time.clone(),
        finished: build.finished.as_ref().map(|act| act.time.clone()),
        sealed: !build.sealed.is_empty(),
        tools: bench.tool_states.iter().filter_map(serving).collect(),
        summary: build.summary(),
        next: next_view(bench, build),
        last: build
            .readings
            .values()
            .next_back()
            .map(|reading| last_view(build, reading)),
        held: build
            .held()
            .map(|reading| held_view(build, reading))
            .collect(),
        alarms: build
            .open_alarms()
            .map(|alarm| alarm_view(build, alarm))
            .chain(over_now(bench, build))
            .collect(),
        check_summary: build.check_summary(),
        last_check: build
            .checks
            .readings
            .values()
            .next_back()
            .map(|known| checks::last(build, known)),
        held_checks: build
            .checks
            .held()
            .filter_map(|known| checks::held(build, known))
            .collect(),
        check_alarms: build
            .checks
            .open_alarms()
            .map(|raised| checks::alarm(build, raised))
            .collect(),
        doubts: bench
            .doubts(&build.id)
            .iter()
            .map(|doubt| doubt_view(build, doubt))
            .collect(),
        recalled: build.not_amended().map(recalled_view).collect(),
        stages: build
            .plan
            .stages
            .iter()
            .map(|stage| stage_view(build, stage))
            .collect(),
    }
}

fn recalled_view(recall: &KnownRecall) -> RecalledView {
    let readings = &recall.affected.readings;
    let is_out =
        |reading: &&AffectedReading| matches!(reading.answer_now, Answer::Over | Answer::Under);
    let out = readings.iter().filter(is_out).count();
    let fasteners = readings.iter().map(|reading| RecalledFastenerView {
        fastener: reading.place.fastener.clone(),
        title: reading.title.clone(),
        answer: reading.answer_now,
        now_millinewton_metre: reading.now.small_units(),
        expanded_millinewton_metre: reading.expanded.small_units(),
        counts: reading.counts,
    });
    RecalledView {
        sequence: recall.sequence,
        time: recall.time.clone(),
        tool: recall.affected.tool.clone(),
        out: u32::try_from(out).unwrap_or(u32::MAX),
        doubtful: u32::try_from(readings.len() - out).unwrap_or(u32::MAX),
        fasteners: fasteners.collect(),
    }
}

fn doubt_view(build: &Build, doubt: &Doubt) -> DoubtView {
    let planned = build.planned(&doubt.fastener);
    DoubtView {
        fastener: doubt.fastener.clone(),
        title: title(build, &doubt.fastener),
        stage: planned.map_or_else(String::new, |(stage, _)| stage.title.clone()),
        missed_millionths: millionths(1.0 - doubt.probability),
    }
}

fn next_view(bench: &Bench, build: &Build) -> Option<NextView> {
    let step = build.next()?;
    let pass = step.fastener.spec.limits.of_pass(step.percent);
    Some(NextView {
        fastener: step.fastener.id.clone(),
        title: step.fastener.title.clone(),
        stage: step.stage.title.clone(),
        pass: step.pass,
        passes: u8::try_from(step.stage.passes.len()).unwrap_or(u8::MAX),
        percent: step.percent,
        aim_millinewton_metre: pass.aim().small_units(),
        limits: pass.limits,
        prep: step.fastener.prep.clone(),
        prepared: build.is_prepared(&step.fastener.id),
        drive: step.fastener.drive.clone(),
        joint: step.fastener.joint,
        left_hand: step.fastener.hand == Hand::Left,
        rule: step.fastener.rule,
        note: step.fastener.note.clone(),
        adapter: step.fastener.adapter.as_ref().map(adapter_view),
        settings: settings(bench, build, &step),
    })
}

/// A reading's value as the tool showed it, with the unit as people write it.
pub(crate) fn displayed(reading: &Reading) -> Option<String> {
    reading.displayed.as_ref().map(ToString::to_string)
}

fn title(build: &Build, fastener: &str) -> String {
    build.ever_planned(fastener).map_or_else(
        || fastener.to_owned(),
        |(_, fastener)| fastener.title.clone(),
    )
}

fn last_view(build: &Build, reading: &BuildReading) -> LastView {
    let verdict = reading.verdict.as_ref();
    LastView {
        sequence: reading.sequence,
        time: reading.time.clone(),
        displayed: displayed(&reading.reading),
        applied_millinewton_metre: reading.reading.applied.map(Torque::small_units),
        fastener: reading
            .placement
            .place()
            .map(|place| place.fastener.clone()),
        title: reading
            .placement
            .place()
            .map(|place| title(build, &place.fastener)),
        pass: reading.placement.place().map(|place| place.pass),
        limits: verdict.map(|verdict| verdict.limits),
        answer: verdict.map(|verdict| verdict.answer),
        rule: verdict.map(|verdict| verdict.rule),
        expanded_millinewton_metre: verdict
            .and_then(|verdict| verdict.expanded_uncertainty)
            .map(Torque::small_units),
        outside: verdict.and_then(|verdict| verdict.outside),
        may_be_over: reading.may_be_over(),
        kind: match &reading.placement {
            Placement::ByOrder { kind, .. } => Some(*kind),
            Placement::Nowhere { .. } => Some(PullKind::Test),
            Placement::ByChoice { .. } | Placement::Held { .. } => None,
        },
        cautions: verdict
            .map(|verdict| verdict.cautions.clone())
            .unwrap_or_default(),
        traced: reading.reading.trace.is_some(),
        tool: reading.reading.tool.clone(),
    }
}

fn held_view(build: &Build, reading: &BuildReading) -> HeldView {
    let Placement::Held {
        because,
        candidates,
    } = &reading.placement
    else {
        unreachable!("only held readings are asked for");
    };
    HeldView {
        sequence: reading.sequence,
        time: reading.time.clone(),
        displayed: displayed(&reading.reading),
        because: *because,
        candidates: candidates
            .iter()
            .map(|candidate| candidate_view(build, candidate))
            .collect(),
    }
}

fn candidate_view(build: &Build, candidate: &Candidate) -> CandidateView {
    let place = candidate.place.as_ref();
    CandidateView {
        fastener: place.map(|place| place.fastener.clone()),
        title: place.map_or_else(
            || "test pull".to_owned(),
            |place| title(build, &place.fastener),
        ),
        pass: place.map(|place| place.pass),
        kind: candidate.kind,
        percent: u8::try_from(candidate.probability_millionths / 10_000).unwrap_or(100),
    }
}

/// Alarms of pulls that are not over yet, or never will be.
fn over_now(bench: &Bench, build: &Build) -> impl Iterator<Item = AlarmView> {
    bench.over_now(&build.id).map(|(sequence, over)| {
        let fastener = &over.alarm.place.fastener;
        AlarmView {
            sequence: *sequence,
            fastener: fastener.clone(),
            title: title(build, fastener),
            displayed: over.displayed.as_ref().map(ToString::to_string),
            applied_millinewton_metre: over.applied.map(Torque::small_units),
            upper_millinewton_metre: over.alarm.upper.small_units(),
            joint: build
                .plan
                .fastener(fastener)
                .and_then(|(_, fastener)| fastener.joint),
        }
    })
}

fn alarm_view(build: &Build, raised: &RaisedAlarm) -> AlarmView {
    let fastener = &raised.alarm.place.fastener;
    let reading = build.readings.get(&raised.reading);
    AlarmView {
        sequence: raised.sequence,
        fastener: fastener.clone(),
        title: title(build, fastener),
        displayed: reading.and_then(|reading| displayed(&reading.reading)),
        applied_millinewton_metre: reading
            .and_then(|reading| reading.reading.applied)
            .map(Torque::small_units),
        upper_millinewton_metre: raised.alarm.upper.small_units(),
        joint: build
            .plan
            .fastener(fastener)
            .and_then(|(_, fastener)| fastener.joint),
    }
}

fn stage_view(build: &Build, stage: &Stage) -> StageView {
    StageView {
        id: stage.id.clone(),
        title: stage.title.clone(),
        passes_percent: stage.passes.clone(),
        fasteners: stage
            .fasteners
            .iter()
            .map(|fastener| fastener_view(build, fastener))
            .collect(),
        checks: stage
            .checks
            .iter()
            .map(|check| checks::planned(build, check))
            .collect(),
    }
}

fn fastener_view(build: &Build, fastener: &Fastener) -> FastenerView {
    let state = build.fastener(&fastener.id);
    let (notes, photos) = build.noted(Some(&fastener.id));
    FastenerView {
        id: fastener.id.clone(),
        title: fastener.title.clone(),
        at: fastener.at.clone(),
        standing: build.standing(&fastener.id),
        needs_decision: needs_a_decision(build, &fastener.id),
        passes_done: build.passes_done(&fastener.id),
        joint: fastener.joint,
        limits: fastener.spec.limits,
        highest_millinewton_metre: build.highest(&fastener.id).map(Torque::small_units),
        prep: fastener.prep.clone(),
        prepared: build.is_prepared(&fastener.id),
        second_look: fastener.second_look,
        looked: build.is_looked_at(&fastener.id),
        deferred: state
            .and_then(|state| state.deferred.as_ref())
            .and_then(|act| act.reason.clone()),
        waits_for: state.and_then(|state| state.waits_for.clone()),
        notes: u32::try_from(notes).unwrap_or(u32::MAX),
        photos: u32::try_from(photos).unwrap_or(u32::MAX),
        counts: build.counting(&fastener.id).next().is_some(),
        sources: fastener.spec.places(),
    }
}
