//! From the text of a plan file to a plan, with everything found on the way.

mod checks;
mod due;
mod fastener;
mod limits;
mod parts;
mod plausible;
mod reach;
mod titles;

use super::file::{PlanFile, StageFile};
use super::finding::{Finding, PlanCode, Severity};
use super::spec::DEFAULT_TOLERANCE_PERCENT;
use super::{LARGEST_FILE, Plan, Stage};
use crate::canonical::Digest32;
use crate::map::FrameKind;
use crate::tool::Tool;
use crate::verdict::Rule;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;

/// A plan file that was read: the plan unless there are errors, and all findings in the order of the file.
#[derive(Debug, Clone)]
pub struct PlanReading {
    /// Given only where no finding is an error.
    pub plan: Option<Plan>,
    /// Everything found.
    pub findings: Vec<Finding>,
}

/// Reads a plan file, and asks whether its torques can be right. A build begins after what this gives out.
pub fn read(text: &str) -> PlanReading {
    check(text, &[])
}

/// Reads a plan file and asks as well whether these tools can do what it wants.
pub fn check(text: &str, tools: &[Tool]) -> PlanReading {
    read_with(text, Questions::All { tools })
}

/// Reads a plan that a build already pins. Only its form is looked at: what a later program knows about bolts does not
/// take a build its plan.
pub fn read_pinned(text: &str) -> PlanReading {
    read_with(text, Questions::Form)
}

/// What is asked of a plan.
#[derive(Debug, Clone, Copy)]
enum Questions<'a> {
    /// Whether it is a plan.
    Form,
    /// Whether its torques can be right, too, and whether these tools reach them.
    All { tools: &'a [Tool] },
}

fn read_with(text: &str, questions: Questions<'_>) -> PlanReading {
    let mut reader = Reader {
        text,
        questions,
        findings: Vec::new(),
        ids: BTreeMap::new(),
        tolerance: DEFAULT_TOLERANCE_PERCENT,
        rule: None,
        frame: FrameKind::default(),
        formulas: Vec::new(),
    };
    let plan = reader.file().map(|file| reader.plan(file));
    let mut findings = reader.findings;
    findings.sort_by_key(|finding| finding.span.0);
    let is_sound = findings
        .iter()
        .all(|finding| finding.severity < Severity::Error);
    PlanReading {
        plan: plan.filter(|_| is_sound),
        findings,
    }
}

struct Reader<'a> {
    text: &'a str,
    questions: Questions<'a>,
    findings: Vec<Finding>,
    ids: BTreeMap<String, usize>,
    tolerance: u8,
    rule: Option<Rule>,
    frame: FrameKind,
    /// Formulas of checks, which may name checks that come later.
    formulas: Vec<checks::Pending>,
}

impl Reader<'_> {
    fn say(
        &mut self,
        span: Range<usize>,
        kind: (Severity, PlanCode),
        what: impl Into<String>,
        advice: impl Into<String>,
    ) {
        self.findings
            .push(Finding::new(self.text, span, kind, what, advice));
    }

    fn error(
        &mut self,
        span: Range<usize>,
        code: PlanCode,
        what: impl Into<String>,
        advice: impl Into<String>,
    ) {
        self.say(span, (Severity::Error, code), what, advice);
    }

    fn file(&mut self) -> Option<PlanFile> {
        if self.text.len() > LARGEST_FILE {
            let what = format!("the file has {} bytes", self.text.len());
            self.error(
                0..0,
                PlanCode::TooLarge,
                what,
                "a plan has at most 1 MiB: is this the right file?",
            );
            return None;
        }
        match toml::from_str(self.text) {
            Ok(file) => Some(file),
            Err(error) => {
                let span = error.span().unwrap_or(0..0);
                let what = error.message().trim_end().replace('\n', "; ");
                self.error(
                    span,
                    PlanCode::NotReadable,
                    what,
                    advice_on(error.message()),
                );
                None
            }
        }
    }

    fn plan(&mut self, file: PlanFile) -> Plan {
        if let Some(tolerance) = &file.tolerance {
            self.tolerance = self.tolerance_of(tolerance);
        }
        self.rule = file.rule;
        self.frame = file.frame.unwrap_or_default();
        self.titles(&file);
        if file.stage.is_empty() {
            let span = file.title.span();
            self.error(
                span,
                PlanCode::Empty,
                "the plan has no stage",
                "add a [[stage]] with at least one fastener or check",
            );
        }
        let mut stages: Vec<Stage> = file
            .stage
            .into_iter()
            .map(|stage| self.stage(stage))
            .collect();
        self.formulas(&mut stages);
        let parts = self.parts(file.part, &stages);
        let due = self.due(file.due, &stages);
        Plan {
            title: file.title.into_inner(),
            edition: file.edition,
            frame: self.frame,
            sha256: Digest32::of(self.text.as_bytes()),
            stages,
            parts,
            due,
        }
    }

    fn tolerance_of(&mut self, tolerance: &Spanned<String>) -> u8 {
        let number = tolerance
            .get_ref()
            .trim()
            .trim_start_matches('±')
            .trim_end_matches('%')
            .trim();
        match number.parse::<u8>() {
            Ok(percent @ 1..=50) if tolerance.get_ref().contains('%') => percent,
            _ => {
                let what = format!(
                    "the tolerance {:?} is no percentage from 1 to 50",
                    tolerance.get_ref()
                );
                self.error(
                    tolerance.span(),
                    PlanCode::BadTolerance,
                    what,
                    "write it like \"10 %\"",
                );
                DEFAULT_TOLERANCE_PERCENT
            }
        }
    }

    fn stage(&mut self, stage: Spanned<StageFile>) -> Stage {
        let span = stage.span();
        let stage = stage.into_inner();
        self.id(&stage.id);
        if stage.fastener.is_empty() && stage.check.is_empty() {
            let what = format!(
                "the stage {:?} has no fastener and no check",
                stage.id.get_ref()
            );
            self.error(
                span.clone(),
                PlanCode::Empty,
                what,
                "add a [[stage.fastener]] or a [[stage.check]], or take the stage out",
            );
        }
        let passes = stage
            .passes
            .as_ref()
            .map_or_else(|| vec![100], |passes| self.passes(passes));
        let found_before = self.findings.len();
        let passes_at = stage.passes.as_ref().map_or(span, Spanned::span);
        let stage = Stage {
            title: stage.title,
            pattern: stage.pattern,
            passes,
            fasteners: stage
                .fastener
                .into_iter()
                .map(|fastener| self.fastener(fastener))
                .collect(),
            checks: stage
                .check
                .into_iter()
                .map(|check| self.check(check))
                .collect(),
            id: stage.id.into_inner(),
        };
        let is_told = self
            .findings
            .iter()
            .skip(found_before)
            .any(|finding| finding.severity == Severity::Error);
        if !is_told {
            self.reach_passes(&stage, &passes_at);
        }
        stage
    }

    /// Whole percentages: a wrench is not set finer, and the record has no fractions.
    fn passes(&mut self, passes: &Spanned<Vec<f64>>) -> Vec<u8> {
        let percent: Vec<u8> = passes
            .get_ref()
            .iter()
            .filter_map(|&part| whole_percent(part))
            .collect();
        let rises = percent.windows(2).all(|pair| pair[0] < pair[1]);
        if percent.len() != passes.get_ref().len() || !rises || percent.last() != Some(&100) {
            let what = "passes rise in whole per cent to 1.0, for example [0.6, 1.0]";
            self.error(
                passes.span(),
                PlanCode::BadPasses,
                what,
                "the last pass has to reach the whole torque",
            );
            return vec![100];
        }
        percent
    }

    /// Whether it can be an id at all.
    fn is_an_id(&mut self, id: &Spanned<String>) {
        let text = id.get_ref();
        if !super::is_id(text) {
            let what = format!("the id {text:?} cannot be used");
            let advice = "use 1 to 64 small letters a to z, digits, dots and dashes";
            self.error(id.span(), PlanCode::BadId, what, advice);
        }
    }

    fn id(&mut self, id: &Spanned<String>) {
        self.is_an_id(id);
        let text = id.get_ref();
        let first = *self.ids.entry(text.clone()).or_insert(id.span().start);
        if first != id.span().start {
            let line = Finding::new(
                self.text,
                first..first,
                (Severity::Note, PlanCode::DuplicateId),
                "",
                "",
            )
            .line;
            let what = format!("the id {text:?} stands twice, first on line {line}");
            self.error(
                id.span(),
                PlanCode::DuplicateId,
                what,
                "give one of them another name",
            );
        }
    }
}

fn whole_percent(part: f64) -> Option<u8> {
    let percent = part * 100.0;
    (1..=100_u8).find(|&whole| (f64::from(whole) - percent).abs() < 1e-9)
}

fn advice_on(message: &str) -> &'static str {
    if message.contains("unknown field") {
        "check the spelling against the names listed, or take the line out"
    } else if message.contains("missing field") {
        "add the line that is missing"
    } else if message.contains("duplicate key") {
        "the same name stands twice in this table: take one out"
    } else {
        "a text needs quotes, a list needs [ ], a table needs { }; see the plan file's page in the docs"
    }
}
