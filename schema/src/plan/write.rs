//! Writes a draft as a plan file, the way a person would: one line a key, in the order in which it is read.
//!
//! Written over a file that is there, the tables that say the same as before stay as they stand, comments and all. Every
//! text is read again before it is given out: it says what the draft says, or the draft is written plainly.

mod over;
mod toml_text;

use super::draft::{CheckDraft, DueDraft, FastenerDraft, PartDraft, PlanDraft, StageDraft};
use super::file::{AdapterFile, Hand, Pattern, SettledFile, SourceFile, SpecFile, ThreadFile};
use serde::Serialize;
use toml_text::{Line, list, quoted, table};

pub use over::Written;

impl PlanDraft {
    /// The draft as the text of a plan file.
    pub fn to_toml(&self) -> String {
        let mut text = head(self);
        for stage in &self.stage {
            text.push('\n');
            text.push_str(&stage_head(stage));
            for fastener in &stage.fastener {
                text.push('\n');
                text.push_str(&self::fastener(fastener));
            }
            for check in &stage.check {
                text.push('\n');
                text.push_str(&self::check(check));
            }
        }
        for part in &self.part {
            text.push('\n');
            text.push_str(&self::part(part));
        }
        for due in &self.due {
            text.push('\n');
            text.push_str(&self::due(due));
        }
        text
    }

    /// The draft written over an earlier text of the file.
    pub fn to_toml_over(&self, base: &str) -> Written {
        over::write(self, base)
    }
}

fn head(plan: &PlanDraft) -> String {
    let mut lines = Line::default();
    lines.text("title", &plan.title);
    lines.text("edition", &plan.edition);
    lines.word("frame", plan.frame.as_ref());
    lines.maybe("tolerance", plan.tolerance.as_deref());
    lines.word("rule", plan.rule.as_ref());
    lines.done()
}

fn stage_head(stage: &StageDraft) -> String {
    let mut lines = Line::under("[[stage]]");
    lines.text("id", &stage.id);
    lines.text("title", &stage.title);
    lines.word(
        "pattern",
        Some(&stage.pattern).filter(|pattern| **pattern != Pattern::InOrder),
    );
    if let Some(passes) = &stage.passes {
        lines.raw(
            "passes",
            &list(passes.iter().map(|part| format!("{part:?}"))),
        );
    }
    lines.done()
}

fn fastener(fastener: &FastenerDraft) -> String {
    let mut lines = Line::under("[[stage.fastener]]");
    lines.text("id", &fastener.id);
    lines.text("title", &fastener.title);
    lines.maybe("kind", fastener.kind.as_deref());
    if let Some(thread) = &fastener.thread {
        lines.raw("thread", &self::thread(thread));
    }
    lines.word("joint", fastener.joint.as_ref());
    lines.word("rule", fastener.rule.as_ref());
    figures(
        &mut lines,
        fastener.spec.as_ref(),
        &fastener.sources,
        fastener.settled.as_ref(),
    );
    if !fastener.prep.is_empty() {
        lines.raw("prep", &list(fastener.prep.iter().map(|prep| quoted(prep))));
    }
    lines.maybe("drive", fastener.drive.as_deref());
    if let Some(adapter) = &fastener.adapter {
        lines.raw("adapter", &self::adapter(adapter));
    }
    lines.maybe("note", fastener.note.as_deref());
    lines.maybe("at", fastener.at.as_deref());
    if fastener.second_look {
        lines.raw("second_look", "true");
    }
    lines.done()
}

fn check(check: &CheckDraft) -> String {
    let mut lines = Line::under("[[stage.check]]");
    lines.text("id", &check.id);
    lines.text("title", &check.title);
    figures(
        &mut lines,
        check.spec.as_ref(),
        &check.sources,
        check.settled.as_ref(),
    );
    lines.word("rule", check.rule.as_ref());
    if let Some(readings) = check.readings {
        lines.raw("readings", &readings.to_string());
    }
    lines.maybe("formula", check.formula.as_deref());
    lines.maybe("note", check.note.as_deref());
    lines.maybe("at", check.at.as_deref());
    lines.done()
}

fn part(part: &PartDraft) -> String {
    let mut lines = Line::under("[[part]]");
    lines.text("id", &part.id);
    lines.text("title", &part.title);
    lines.maybe("kind", part.kind.as_deref());
    if !part.fasteners.is_empty() {
        lines.raw(
            "fasteners",
            &list(part.fasteners.iter().map(|id| quoted(id))),
        );
    }
    lines.done()
}

fn due(due: &DueDraft) -> String {
    let mut lines = Line::under("[[due]]");
    lines.text("id", &due.id);
    lines.text("title", &due.title);
    let numbers = [
        ("days", due.days.map(u32::from)),
        ("months", due.months.map(u32::from)),
        ("kilometres", due.kilometres),
    ];
    for (name, number) in numbers {
        if let Some(number) = number {
            lines.raw(name, &number.to_string());
        }
    }
    if !due.fasteners.is_empty() {
        lines.raw(
            "fasteners",
            &list(due.fasteners.iter().map(|id| quoted(id))),
        );
    }
    lines.maybe("source", due.source.as_deref());
    lines.done()
}

/// Where limits come from: the plan's own figures, the sources, the decision.
fn figures(
    lines: &mut Line,
    spec: Option<&SpecFile>,
    sources: &[SourceFile],
    settled: Option<&SettledFile>,
) {
    if let Some(spec) = spec {
        let SpecFile {
            target,
            lower,
            upper,
        } = spec;
        lines.raw("spec", &table(&three(target, lower, upper)));
    }
    let source = |source: &SourceFile| {
        let mut members = vec![("where", quoted(&source.place))];
        members.extend(three(&source.target, &source.lower, &source.upper));
        table(&members)
    };
    match sources {
        [] => {}
        [one] => lines.raw("sources", &format!("[{}]", source(one))),
        several => {
            let rows: Vec<String> = several.iter().map(source).collect();
            lines.raw("sources", &format!("[\n  {},\n]", rows.join(",\n  ")));
        }
    }
    if let Some(settled) = settled {
        let mut members = vec![
            ("by", quoted(&settled.by)),
            ("reason", quoted(&settled.reason)),
        ];
        members.extend(three(&settled.target, &settled.lower, &settled.upper));
        lines.raw("settled", &table(&members));
    }
}

type Figure = Option<String>;

fn three(target: &Figure, lower: &Figure, upper: &Figure) -> Vec<(&'static str, String)> {
    [("target", target), ("lower", lower), ("upper", upper)]
        .into_iter()
        .filter_map(|(name, figure)| Some((name, quoted(figure.as_deref()?))))
        .collect()
}

fn thread(thread: &ThreadFile) -> String {
    let mut members = vec![("size", quoted(&thread.size))];
    let texts = [
        (
            "property_class",
            thread.property_class.as_deref().map(quoted),
        ),
        ("engages", thread.engages.as_ref().map(word)),
        ("engagement", thread.engagement.as_deref().map(quoted)),
    ];
    members.extend(
        texts
            .into_iter()
            .filter_map(|(name, text)| Some((name, text?))),
    );
    if let Some(friction) = &thread.friction {
        members.push((
            "friction",
            list(friction.iter().map(|of| format!("{of:?}"))),
        ));
    }
    if thread.hand != Hand::Right {
        members.push(("hand", word(&thread.hand)));
    }
    table(&members)
}

fn adapter(adapter: &AdapterFile) -> String {
    let mut members = vec![("title", quoted(&adapter.title))];
    if let Some(length) = &adapter.length {
        members.push(("length", quoted(length)));
    }
    if adapter.angle != 0 {
        members.push(("angle", adapter.angle.to_string()));
    }
    table(&members)
}

/// A word of a closed list, as the file writes it.
fn word(of: &impl Serialize) -> String {
    let value = serde_json::to_value(of).ok();
    quoted(
        value
            .as_ref()
            .and_then(|value| value.as_str())
            .unwrap_or_default(),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
