//! A sample of what a page is shown.

use super::*;

pub(super) fn bench_view() -> BenchView {
    let log = Log::new();
    let (stage, fastener) = log.build.plan.fastener("a").unwrap();
    let next = NextView {
        fastener: fastener.id.clone(),
        title: fastener.title.clone(),
        stage: stage.title.clone(),
        pass: 0,
        passes: 2,
        percent: 60,
        aim_millinewton_metre: 3_000,
        limits: fastener.spec.limits.of_pass(60).limits,
        prep: fastener.prep.clone(),
        prepared: false,
        drive: None,
        joint: fastener.joint,
        left_hand: false,
        rule: crate::verdict::Rule::GuardedUpper,
        note: Some("an adjustment".into()),
        adapter: Some(measuring::adapter_view()),
        settings: vec![measuring::setting_view()],
    };
    let held = crate::api::HeldView {
        sequence: 9,
        time: log.build.started.time.clone(),
        displayed: None,
        because: HeldBecause::Unclear,
        candidates: Vec::new(),
    };
    let build = BuildView {
        follows: Some("earlier".into()),
        id: BUILD.into(),
        bike: log.build.bike.clone(),
        frame: log.build.plan.frame,
        plan: log.build.pin.title.clone(),
        edition: log.build.pin.edition.clone(),
        by: "I. Berg".into(),
        in_hands: "M. Oduya".into(),
        laid_aside: Some(life::aside_view()),
        parts: vec![life::part_view()],
        notes: vec![life::note_view()],
        plan_changes: 1,
        started: log.build.started.time.clone(),
        finished: None,
        sealed: false,
        tools: vec!["w1".into()],
        summary: log.build.summary(),
        next: Some(next),
        last: None,
        held: vec![held],
        check_summary: log.build.check_summary(),
        last_check: Some(checks::last_view()),
        held_checks: vec![checks::held_view()],
        check_alarms: vec![checks::alarm_view()],
        alarms: Vec::new(),
        doubts: Vec::new(),
        recalled: Vec::new(),
        stages: vec![StageView {
            id: "s".into(),
            title: "S".into(),
            passes_percent: vec![100],
            fasteners: Vec::new(),
            checks: vec![checks::planned_view()],
        }],
    };
    let tool = ToolView {
        tool: Tool::read(TOOL).unwrap(),
        connected: true,
        gone: None,
        serves: Some(BUILD.into()),
        class_ppm: 60_000,
        certificate_past: false,
        fitted: None,
        checking: Some(CheckingView {
            by: "Runa".into(),
            shown_micronewton_metre: vec![5_000_000],
        }),
        check_state: CheckState::Warns,
        checks: vec![measuring::check_view()],
        other_serial: None,
        battery_percent: Some(80),
        cut_off: false,
    };
    BenchView {
        bench: "north".into(),
        sequence: 9,
        builds: vec![build],
        tools: vec![tool],
        unclaimed: Vec::new(),
        people: vec![crate::api::PersonView {
            person: "ines".into(),
            name: "Ines Berg".into(),
        }],
        cautions: Vec::new(),
    }
}
