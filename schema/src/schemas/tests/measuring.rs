//! Samples of what the schemas are tried with: one entry of every kind that speaks of a tool's error.

use crate::adapter::Adapter;
use crate::api::{AdapterView, CheckState, CheckView, SettingView};
use crate::build::tests::log::{BUILD, place};
use crate::entry::{
    Affected, AffectedReading, Bike, CheckPull, DriftModel, Event, Recalled, ToolCheck,
};
use crate::plan::{JointFile, Limits};
use crate::quantity::{Length, MicroTorque, Torque};
use crate::verdict::{Answer, Caution, Outside};

/// One entry of every kind that speaks of a tool's error.
pub(super) fn measuring_entries() -> Vec<Event> {
    let text = "number = \"TM-4472\"\nlaboratory = \"Tarn Metrology\"\ndate = 2026-02-01\ndue = 2027-02-01\n\
        [[point]]\nindicated = \"4 N·m\"\nreference = \"4.02 N·m\"\nexpanded = \"1 %\"\nk = 2\n";
    let certificate = crate::certificate::read_toml(text).unwrap().certificate;
    let torque = Torque::from_small_units;
    let pull = CheckPull {
        reading: Some(7),
        indicated: MicroTorque::from_small_units(5_000_000),
        reference: MicroTorque::from_small_units(5_010_000),
    };
    let reading = AffectedReading {
        reading: 4,
        place: place("a", 0),
        title: "Bolt a".into(),
        joint: Some(JointFile::Carbon),
        counts: true,
        before: torque(5_000),
        answer_before: Answer::Within,
        now: torque(5_600),
        expanded: torque(100),
        limits: Limits {
            lower: Some(torque(4_500)),
            target: Some(torque(5_000)),
            upper: torque(5_500),
        },
        answer_now: Answer::Over,
        outside: Outside {
            under_millionths: 0,
            over_millionths: 977_250,
        },
    };
    let (tool, by): (String, String) = ("w1".into(), "Edda Ruud".into());
    vec![
        Event::ToolCertified {
            tool: tool.clone(),
            certificate: Box::new(certificate.clone()),
            by: by.clone(),
        },
        Event::ToolFitted {
            tool: tool.clone(),
            adapter: Some(adapter()),
            by: by.clone(),
        },
        Event::CheckBegun {
            tool: tool.clone(),
            by: by.clone(),
        },
        Event::CheckGivenUp {
            tool: tool.clone(),
            by: by.clone(),
        },
        Event::ToolChecked(Box::new(ToolCheck {
            tool: tool.clone(),
            against: "bench tester, TM-4000".into(),
            pulls: vec![pull],
            by: by.clone(),
        })),
        Event::Recalled(Box::new(Recalled {
            tool: tool.clone(),
            serial: "KR-2207".into(),
            found: certificate.clone(),
            last_good: Some("TM-4471".into()),
            since: Some(certificate.date),
            drift: DriftModel::AtOnce,
            examined: 2,
            out: 1,
            doubtful: 0,
            by,
        })),
        Event::Affected(Box::new(Affected {
            recall: 9,
            build: BUILD.into(),
            bike: Bike {
                frame: "F-1".into(),
                label: None,
            },
            tool,
            readings: vec![reading],
        })),
    ]
}

fn adapter() -> Adapter {
    Adapter {
        title: "crow-foot, 10 mm".into(),
        length: Some(Length::from_small_units(30_000)),
        angle_degrees: 45,
    }
}

pub(super) fn adapter_view() -> AdapterView {
    AdapterView {
        text: adapter().to_string(),
        adapter: adapter(),
        is_offset: true,
    }
}

pub(super) fn setting_view() -> SettingView {
    SettingView {
        tool: "w1".into(),
        title: "Bench wrench".into(),
        set_millinewton_metre: 4_810,
        from_millinewton_metre: Some(4_500),
        to_millinewton_metre: None,
        fitted: Some("crow-foot".into()),
        is_as_planned: true,
        is_set: false,
        cautions: vec![Caution::LeverNotKnown],
    }
}

pub(super) fn check_view() -> CheckView {
    CheckView {
        sequence: 9,
        time: "2026-03-15T18:00:00.000+01:00".into(),
        against: "bench tester".into(),
        pulls: 3,
        deviation_ppm: -2_100,
        average_ppm: -700,
        warning_ppm: 20_000,
        state: CheckState::Quiet,
    }
}
