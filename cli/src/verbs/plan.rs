//! `pullmark plan`: offline, needs no daemon.

mod made;

use super::{Context, read_text};
use crate::arguments::PlanVerb;
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_schema::plan::{self, Plan, PlanReading, Severity};
use pullmark_schema::tool::Tool;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

pub(crate) fn run(context: &Context, verb: &PlanVerb) -> miette::Result<Outcome> {
    match verb {
        PlanVerb::Check { file, tools } => check(context, file, tools),
        PlanVerb::Show { file } => show(context, file),
        PlanVerb::Templates { own } => made::templates(context, own.as_deref()),
        PlanVerb::New(wanted) => made::new(wanted),
        PlanVerb::Import { file, made } => made::import(file, made),
        PlanVerb::Export { file, out } => made::export(file, out.as_deref()),
    }
}

fn check(context: &Context, file: &Path, tools: &[PathBuf]) -> miette::Result<Outcome> {
    let text = read_text(file)?;
    let tools = tools
        .iter()
        .map(|file| read_tool(file))
        .collect::<miette::Result<Vec<Tool>>>()?;
    let reading = plan::check(&text, &tools);
    if context.json {
        print::json(&reading.findings);
    } else {
        say(file, &text, &reading);
    }
    let has_findings = reading
        .findings
        .iter()
        .any(|finding| finding.severity > Severity::Note);
    Ok(if has_findings {
        Outcome::No
    } else {
        Outcome::AsAsked
    })
}

fn read_tool(file: &Path) -> miette::Result<Tool> {
    Tool::read(&read_text(file)?)
        .into_diagnostic()
        .wrap_err_with(|| file.display().to_string())
}

fn say(file: &Path, text: &str, reading: &PlanReading) {
    let name = file.display().to_string();
    let theme = if std::io::stdout().is_terminal() {
        miette::GraphicalTheme::unicode_nocolor()
    } else {
        miette::GraphicalTheme::none()
    };
    let handler = miette::GraphicalReportHandler::new_themed(theme);
    for finding in &reading.findings {
        let report = finding.shown_in(&name, text);
        let mut out = String::new();
        match handler.render_report(&mut out, &report) {
            // Line by line: what the file holds could act on a terminal, and is written out.
            Ok(()) => out.trim_end().lines().for_each(print::line),
            Err(_) => print::line(&format!("{name}: {finding}")),
        }
    }
    let count = |severity| {
        reading
            .findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    let (errors, warnings, notes) = (
        count(Severity::Error),
        count(Severity::Warning),
        count(Severity::Note),
    );
    match &reading.plan {
        Some(plan) => {
            let sum = sum(plan);
            print::line(&format!(
                "{name}: {sum}; {warnings} warnings, {notes} notes"
            ));
        }
        None => print::line(&format!(
            "{name}: {errors} errors, {warnings} warnings; a build cannot follow it yet"
        )),
    }
}

/// What a plan comes to: in pulls, in checks, or in both.
fn sum(plan: &Plan) -> String {
    let pulls = (plan.fasteners().count(), plan.step_count());
    let pulls = (pulls.0 > 0).then(|| format!("{} fasteners, {} pulls", pulls.0, pulls.1));
    let checks = match plan.checks().count() {
        0 => None,
        1 => Some("1 check".to_owned()),
        checks => Some(format!("{checks} checks")),
    };
    let both: Vec<String> = pulls.into_iter().chain(checks).collect();
    both.join(", ")
}

fn show(context: &Context, file: &Path) -> miette::Result<Outcome> {
    let text = read_text(file)?;
    let reading = plan::read(&text);
    let Some(plan) = &reading.plan else {
        if context.json {
            print::json(&reading.findings);
        } else {
            say(file, &text, &reading);
        }
        return Ok(Outcome::No);
    };
    if context.json {
        print::json(plan);
    } else {
        print::plan(plan, Ink::for_output());
    }
    Ok(Outcome::AsAsked)
}
