//! Any text as a plan: no panic; a plan is given out only without errors; findings point into the text; what was given
//! out can be written and read again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark_schema::plan::{self, Plan, Severity};

fuzz_target!(|text: &str| {
    let reading = plan::read(text);
    let has_errors = reading
        .findings
        .iter()
        .any(|finding| finding.severity == Severity::Error);
    assert_eq!(reading.plan.is_none(), has_errors);
    for finding in &reading.findings {
        let (start, length) = finding.span;
        assert!(
            text.get(start..).is_some() && start + length <= text.len(),
            "{finding:?}"
        );
        assert!(finding.line >= 1 && finding.column >= 1);
    }
    if let Some(plan) = reading.plan {
        let steps = plan.steps().count();
        assert_eq!(steps, plan.step_count());
        let json = serde_json::to_string(&plan).expect("a plan can be written");
        let again: Plan = serde_json::from_str(&json).expect("and read again");
        assert_eq!(again, plan);
    }
});
