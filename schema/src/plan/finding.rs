//! What is found in a plan: data first, a diagnostic with the line shown when it is printed.

use miette::{LabeledSpan, SourceCode};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::Range;

/// How much a finding matters.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Good to know.
    Note,
    /// A person should look; the plan can be built after.
    Warning,
    /// The plan cannot be built after.
    Error,
}

/// What kind of finding it is. The word is stable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PlanCode {
    /// Not TOML, or a name or value where the file format has none.
    NotReadable,
    /// Larger than any plan.
    TooLarge,
    /// No stage, or a stage without a fastener or a check.
    Empty,
    /// An id that stands twice.
    DuplicateId,
    /// An id with letters that an id cannot have.
    BadId,
    /// A part, or something due, that names a fastener the plan does not have.
    UnknownFastener,
    /// A text that is no torque.
    NotATorque,
    /// A torque that no hand tool reaches, or none at all.
    OutOfRange,
    /// No upper limit and no target; at a check, no limit at all.
    NoLimits,
    /// Sources that cannot all be satisfied.
    ConflictingSources,
    /// Passes that do not rise to 1.0.
    BadPasses,
    /// A tolerance that is no percentage.
    BadTolerance,
    /// A kind with letters that a kind cannot have.
    BadKind,
    /// A note without words, or too long to be shown beside a fastener.
    BadNote,
    /// An adapter that cannot be: no name, no length where an angle needs one, an angle past 180 degrees.
    BadAdapter,
    /// A friction or length of engagement that is none.
    BadThread,
    /// Only "max": nothing says when the fastener is tight enough.
    UpperOnly,
    /// A carbon joint without assembly paste among its prep.
    CarbonWithoutPaste,
    /// Nothing said about what goes on the thread.
    NoPrep,
    /// The torque stretches the bolt past its proof load, whatever the friction.
    PastProofLoad,
    /// The torque is likely to stretch the bolt past its proof load.
    NearProofLoad,
    /// The torque strips the thread, whatever the friction.
    ThreadStrips,
    /// The torque is likely to strip the thread.
    ThreadMayStrip,
    /// A thread or property class for which no preload is estimated.
    NoEstimate,
    /// A torque far outside what is common at this kind of fastener.
    UnusualTorque,
    /// A torque that no tool given can be used at.
    OutsideToolRange,
    /// A pass whose torque no tool given can be used at.
    UnreachablePass,
    /// Limits closer than the tool can tell.
    ToolTooCoarse,
    /// A place that the bike map of this kind of frame does not have.
    UnknownPlace,
    /// A text that is no value that can be measured, or a torque where a check is.
    NotAValue,
    /// Figures of several quantities in one check.
    MixedQuantities,
    /// A number of readings that no check wants.
    BadReadings,
    /// A formula that cannot be computed.
    BadFormula,
    /// Something due of which nothing says when.
    NeverDue,
    /// A plan, or something in it, without a title.
    NoTitle,
    /// A plan without an edition.
    NoEdition,
    /// Two in one stage with the same title.
    SameTitle,
}

impl fmt::Display for PlanCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Self::NotReadable => "not-readable",
            Self::TooLarge => "too-large",
            Self::Empty => "empty",
            Self::DuplicateId => "duplicate-id",
            Self::BadId => "bad-id",
            Self::UnknownFastener => "unknown-fastener",
            Self::NotATorque => "not-a-torque",
            Self::OutOfRange => "out-of-range",
            Self::NoLimits => "no-limits",
            Self::ConflictingSources => "conflicting-sources",
            Self::BadPasses => "bad-passes",
            Self::BadTolerance => "bad-tolerance",
            Self::BadKind => "bad-kind",
            Self::BadNote => "bad-note",
            Self::BadAdapter => "bad-adapter",
            Self::BadThread => "bad-thread",
            Self::UpperOnly => "upper-only",
            Self::CarbonWithoutPaste => "carbon-without-paste",
            Self::NoPrep => "no-prep",
            Self::PastProofLoad => "past-proof-load",
            Self::NearProofLoad => "near-proof-load",
            Self::ThreadStrips => "thread-strips",
            Self::ThreadMayStrip => "thread-may-strip",
            Self::NoEstimate => "no-estimate",
            Self::UnusualTorque => "unusual-torque",
            Self::OutsideToolRange => "outside-tool-range",
            Self::UnreachablePass => "unreachable-pass",
            Self::ToolTooCoarse => "tool-too-coarse",
            Self::UnknownPlace => "unknown-place",
            Self::NotAValue => "not-a-value",
            Self::MixedQuantities => "mixed-quantities",
            Self::BadReadings => "bad-readings",
            Self::BadFormula => "bad-formula",
            Self::NeverDue => "never-due",
            Self::NoTitle => "no-title",
            Self::NoEdition => "no-edition",
            Self::SameTitle => "same-title",
        };
        write!(f, "plan/{word}")
    }
}

/// One thing found in a plan file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// What kind it is.
    pub code: PlanCode,
    /// The line, counted from 1.
    pub line: usize,
    /// The column in characters, counted from 1.
    pub column: usize,
    /// The first byte of the text it speaks of, and how many bytes it has.
    pub span: (usize, usize),
    /// What is so.
    pub what: String,
    /// What to do about it.
    pub advice: String,
}

impl Finding {
    pub(super) fn new(
        text: &str,
        span: Range<usize>,
        (severity, code): (Severity, PlanCode),
        what: impl Into<String>,
        advice: impl Into<String>,
    ) -> Self {
        let start = floor_to_character(text, span.start);
        let before = text.get(..start).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Self {
            severity,
            code,
            line: before.matches('\n').count() + 1,
            // a byte order mark is no column that an editor shows
            column: before
                .get(line_start..)
                .unwrap_or_default()
                .trim_start_matches('\u{feff}')
                .chars()
                .count()
                + 1,
            span: (start, span.end.min(text.len()).saturating_sub(start)),
            what: what.into(),
            advice: advice.into(),
        }
    }

    /// The finding with the lines of the plan it speaks of, for printing.
    pub fn shown_in<'a>(&'a self, file: &'a str, text: &'a str) -> impl miette::Diagnostic + 'a {
        Shown {
            finding: self,
            source: miette::NamedSource::new(file, text.to_owned()),
        }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "line {}, column {}: {}. {}",
            self.line, self.column, self.what, self.advice
        )
    }
}

fn floor_to_character(text: &str, at: usize) -> usize {
    (0..=at.min(text.len()))
        .rev()
        .find(|&i| text.is_char_boundary(i))
        .unwrap_or(0)
}

struct Shown<'a> {
    finding: &'a Finding,
    source: miette::NamedSource<String>,
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.finding, f)
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.finding.what)
    }
}

impl std::error::Error for Shown<'_> {}

impl miette::Diagnostic for Shown<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.finding.code))
    }

    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.finding.severity {
            Severity::Note => miette::Severity::Advice,
            Severity::Warning => miette::Severity::Warning,
            Severity::Error => miette::Severity::Error,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.finding.advice))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let (start, length) = self.finding.span;
        Some(Box::new(std::iter::once(LabeledSpan::new(
            Some("here".to_owned()),
            start,
            length,
        ))))
    }
}
