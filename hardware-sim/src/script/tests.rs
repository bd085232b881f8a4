//! Scripts that read, scripts that do not, and what playing one sends.
#![allow(clippy::unwrap_used)]

use std::io::Read;

use proptest::prelude::*;

use super::*;
use crate::tool::wrench::Wrench;

const EVERY_STEP: &str = r#"
title = "All there is"
steps = [
    { pull = "5.08" },
    { wait_ms = 700 },
    { garbage = 40 },
    { split = { pull = "5.00", pause_ms = 20 } },
    { burst = ["5.0", "5.1"] },
    "over_range", "resend", "half_line", "noise_line",
    { unit = "lbf.in" },
    { battery_low = true },
    "drain", "unplug", "replug", "unplug_now",
]
"#;

fn reason(text: &str) -> String {
    text.parse::<Script>().unwrap_err().to_string()
}

#[test]
fn every_step_can_be_written() {
    let script: Script = EVERY_STEP.parse().unwrap();
    assert_eq!(script.title.as_deref(), Some("All there is"));
    assert_eq!(script.steps.len(), 15);
    assert_eq!(
        script.steps.first(),
        Some(&Step::Pull("5.08".parse().unwrap()))
    );
    assert_eq!(script.steps.get(9), Some(&Step::Unit(Unit::PoundForceInch)));
    assert_eq!(script.steps.last(), Some(&Step::UnplugNow));
}

#[test]
fn a_wrong_script_says_where_and_what() {
    let unknown = reason("steps = [\n  { pull = \"5.08\" },\n  \"unplugg\",\n]");
    assert!(unknown.contains("line 3"), "{unknown}");
    assert!(unknown.contains("`unplugg`"), "{unknown}");
    let value = reason("steps = [\n  { pull = \"5,08\" },\n]");
    assert!(value.contains("line 2"), "{value}");
    assert!(value.contains("`5,08` cannot stand"), "{value}");
    let unit = reason("steps = [{ unit = \"Nm\" }]");
    assert!(unit.contains("`Nm` is no unit"), "{unit}");
    assert!(reason("").contains("missing field `steps`"));
    assert!(reason("steps = []").contains("no steps"));
    assert!(reason("steps = [\"drain\", { wait_ms = 86400001 }]").starts_with("step 2"));
    assert!(reason("steps = [{ garbage = 1048577 }]").contains("1048576"));
    assert!(reason("steps = [{ garbage = -1 }]").contains("line 1"));
    assert!(reason("steps = [\"drain\"]\nstep = 1").contains("unknown field"));
    let missing = Script::read(Path::new("/nowhere/day.toml")).unwrap_err();
    assert!(missing.to_string().contains("/nowhere/day.toml"));
}

#[test]
fn a_played_script_sends_the_same_bytes_every_time() {
    let text = r#"steps = [
        { pull = "5.08" }, { wait_ms = 3600000 }, { garbage = 5 }, { unit = "kgf.cm" }, { battery_low = true },
        { split = { pull = "51.8", pause_ms = 60000 } }, { burst = ["1", "2"] }, "over_range", "resend",
        "noise_line", "half_line",
    ]"#;
    let script: Script = text.parse().unwrap();
    let expected: Vec<u8> = [
        b"#READY W-1\r\n$PULL,1,5.08,N.m*06\r\n".as_slice(),
        &crate::random::Random::from_seed(3).bytes(5),
        b"$PULL,2,51.8,kgf.cm,LB*61\r\n$PULL,3,1,kgf.cm,LB*43\r\n$PULL,4,2,kgf.cm,LB*47\r\n",
        b"$PULL,5,OL,kgf.cm,LB*77\r\n$PULL,5,OL,kgf.cm,LB+RP*5E\r\n",
        b"$PULL,6,50.99,kgf.cm,LB*A3\r\n$PULL,7,50.99,",
    ]
    .concat();
    // The line of pull 6 should end with 5C; A3 is wrong in every bit.
    for _ in 0..2 {
        let folder = tempfile::tempdir().unwrap();
        let link = folder.path().join("w");
        let mut wrench = PluggedWrench::plug(Wrench::new("W-1").unwrap(), &link).unwrap();
        let mut told = 0;
        play_and_tell(&script, &mut wrench, Speed::new(0.0).unwrap(), |_, _| {
            told += 1;
        })
        .unwrap();
        assert_eq!(told, script.steps.len());
        let mut got = vec![0; expected.len()];
        let mut program = fs::File::open(&link).unwrap();
        program.read_exact(&mut got).unwrap();
        assert_eq!(
            got.escape_ascii().to_string(),
            expected.escape_ascii().to_string()
        );
        assert!(wrench.unplug().unwrap());
    }
}

#[test]
fn a_step_that_cannot_be_done_says_which() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("w");
    let mut wrench = PluggedWrench::plug(Wrench::new("W-1").unwrap(), &link).unwrap();
    let play_text = |wrench: &mut PluggedWrench, text: &str, speed: f64| {
        let script: Script = text.parse().unwrap();
        play(&script, wrench, speed).unwrap_err().to_string()
    };
    let again = play_text(&mut wrench, "steps = [\"resend\"]", 0.0);
    assert!(again.starts_with("step 1 of the script: nothing was pulled yet"));
    let twice = play_text(&mut wrench, "steps = [\"unplug_now\", \"unplug_now\"]", 0.0);
    assert!(twice.starts_with("step 2 of the script: the tool at"));
    for speed in [-1.0, f64::NAN, f64::INFINITY, 1001.0] {
        let wrong = play_text(&mut wrench, "steps = [\"replug\"]", speed);
        assert!(wrong.starts_with("a speed of"), "{wrong}");
    }
}

#[test]
fn waits_are_multiplied_by_the_speed() {
    let at = |factor: f64| Speed::new(factor).unwrap();
    assert_eq!(at(0.0).scale(u64::MAX), Duration::ZERO);
    assert_eq!(at(1.0).scale(700), Duration::from_millis(700));
    assert_eq!(at(0.5).scale(700), Duration::from_millis(350));
    assert_eq!(at(1000.0).scale(u64::MAX), Duration::from_hours(24_000));
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        let _ = text.parse::<Script>();
    }

    #[test]
    fn any_damage_to_a_script_is_read_or_refused(
        at in 0..EVERY_STEP.len(), length in 0_usize..12, put in "[\\PC\n\"{}\\[\\]=,#0-9]{0,8}"
    ) {
        let end = (at + length).min(EVERY_STEP.len());
        let damaged = format!("{}{put}{}", &EVERY_STEP[..at], &EVERY_STEP[end..]);
        if let Err(error) = damaged.parse::<Script>() {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn any_numbers_in_steps_are_read_or_refused(wait: i64, garbage: i64, value in any::<f64>()) {
        let text = format!(
            "steps = [{{ wait_ms = {wait} }}, {{ garbage = {garbage} }}, {{ pull = \"{value}\" }}]"
        );
        if let Ok(script) = text.parse::<Script>() {
            let are_small = script.steps.iter().all(|step| step.too_much().is_none());
            prop_assert!(are_small);
        }
    }
}
