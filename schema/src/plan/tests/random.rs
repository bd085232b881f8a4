//! Random texts, near plans and sound plans.

use super::super::{Severity, read};
use super::bolt;
use proptest::prelude::*;
use std::collections::BTreeSet;

/// A random plan text that is well formed, with how many fasteners and passes each stage has.
fn sound_plan() -> impl Strategy<Value = (String, Vec<(usize, usize)>)> {
    let one_stage = (
        0..3_usize,
        prop::collection::btree_set(1_u8..100, 0..4),
        1_usize..9,
    );
    prop::collection::vec(one_stage, 1..6).prop_map(|stages| {
        let mut text = "title = \"t\"\nedition = \"1\"\n".to_owned();
        for (number, (pattern, passes, count)) in stages.iter().enumerate() {
            let pattern = ["in-order", "alternate", "cross"][*pattern];
            let parts: Vec<String> = passes
                .iter()
                .map(|p| format!("0.{p:02}"))
                .chain(["1.0".to_owned()])
                .collect();
            let bolts: Vec<String> = (0..*count)
                .map(|at| bolt(&format!("s{number}.{at}")))
                .collect();
            let settings = format!("pattern = \"{pattern}\"\npasses = [{}]", parts.join(", "));
            let head = format!("[[stage]]\nid = \"s{number}\"\ntitle = \"S\"\n{settings}\n");
            text.extend([head, format!("fastener = [{}]\n", bolts.join(", "))]);
        }
        (
            text,
            stages
                .into_iter()
                .map(|(_, passes, count)| (count, passes.len() + 1))
                .collect(),
        )
    })
}

/// Text that looks like a plan in part.
fn near_plan() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("[[stage]]\n".to_owned()),
        Just("[[stage.fastener]]\n".to_owned()),
        Just("title = \"t\"\n".to_owned()),
        Just("edition = \"1\"\n".to_owned()),
        "id = \"[a-zÄ🚲]{0,3}\"\n",
        "spec = \\{ (target|upper|lower) = \"[-0-9.,]{0,20} ?(N·m|Nm|mm|lbf·in|)\" \\}\n",
        "passes = \\[[-0-9.,einfa]{0,12}\\]\n",
        "tolerance = \"[-0-9±% ]{0,6}\"\n",
        "kind = \"[-a-z0-9Ä]{0,5}\"\n",
        "adapter = \\{ title = \"a?\", (length = \"[-0-9.]{0,9} ?(mm|in|N)\", )?angle = [0-9]{1,5} \\}\n",
        "thread = \\{ size = \"(M[0-9]{0,3}|)\", (engagement = \"[-0-9.]{0,9} mm\", )?friction = \\[[-0-9.,einfa]{0,9}\\] \\}\n",
        "\\PC{0,12}\n?",
    ];
    prop::collection::vec(piece, 0..14).prop_map(|pieces| pieces.concat())
}

proptest! {
    #[test]
    fn no_text_panics(text in near_plan()) {
        let reading = read(&text);
        prop_assert_eq!(reading.plan.is_none(), reading.findings.iter().any(|f| f.severity == Severity::Error));
        for finding in &reading.findings {
            let (start, length) = finding.span;
            prop_assert!(text.is_char_boundary(start) && start + length <= text.len());
            prop_assert!(finding.line >= 1 && finding.line <= text.matches('\n').count() + 1);
            prop_assert!(finding.column >= 1 && !finding.what.is_empty() && !finding.advice.is_empty());
        }
    }

    #[test]
    fn steps_hold_each_fastener_and_pass_once((text, stages) in sound_plan()) {
        let reading = read(&text);
        prop_assert!(reading.findings.is_empty(), "{:?}", reading.findings);
        let plan = reading.plan.unwrap();
        let steps: Vec<(String, u8)> = plan.steps().map(|s| (s.fastener.id.clone(), s.pass)).collect();
        let expected: BTreeSet<(String, u8)> = stages
            .iter()
            .enumerate()
            .flat_map(|(stage, &(count, passes))| {
                (0..count).flat_map(move |at| (0..passes).map(move |pass| (format!("s{stage}.{at}"), u8::try_from(pass).unwrap())))
            })
            .collect();
        prop_assert_eq!(steps.len(), expected.len());
        prop_assert_eq!(plan.step_count(), expected.len());
        prop_assert_eq!(steps.iter().cloned().collect::<BTreeSet<_>>(), expected);
        // no pass begins before the one before has ended in its stage
        for pair in plan.steps().collect::<Vec<_>>().windows(2) {
            prop_assert!(pair[0].stage.id != pair[1].stage.id || pair[0].pass <= pair[1].pass);
        }
    }
}
