//! Plans that are made and not typed: of templates, of tables. And a table of a plan.

use super::{Context, say};
use crate::arguments::{MadePlan, NewPlanArguments};
use crate::print::{self, padded};
use crate::report::Outcome;
use crate::verbs::{put, read_text};
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_schema::api::LibraryView;
use pullmark_schema::plan::table::{read_table, write_table};
use pullmark_schema::plan::template::Library;
use pullmark_schema::plan::{self, PlanDraft};
use std::path::Path;

/// The templates of the program, and those of a folder.
fn library(own: Option<&Path>) -> miette::Result<Library> {
    let mut library = Library::built_in().into_diagnostic()?;
    let Some(folder) = own else {
        return Ok(library);
    };
    let about = || folder.display().to_string();
    let files = std::fs::read_dir(folder)
        .into_diagnostic()
        .wrap_err_with(about)?;
    let mut paths = Vec::new();
    for file in files {
        paths.push(file.into_diagnostic().wrap_err_with(about)?.path());
    }
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    for path in paths {
        library
            .add(&read_text(&path)?)
            .into_diagnostic()
            .wrap_err_with(|| path.display().to_string())?;
    }
    Ok(library)
}

pub(super) fn templates(context: &Context, own: Option<&Path>) -> miette::Result<Outcome> {
    let library = library(own)?;
    if context.json {
        print::json(&LibraryView::of(library, Vec::new()));
        return Ok(Outcome::AsAsked);
    }
    print::line("Starter sets");
    for starter in &library.starters {
        print::line(&format!("  {}  {}", padded(&starter.id, 28), starter.title));
    }
    let mut group = "";
    for template in &library.templates {
        if group != template.group {
            group = &template.group;
            print::line(group);
        }
        print::line(&format!(
            "  {}  {}",
            padded(&template.id, 28),
            template.title
        ));
    }
    print::line(&format!(
        "Figures: {}",
        pullmark_schema::practice::COMMON_PRACTICE
    ));
    Ok(Outcome::AsAsked)
}

pub(super) fn new(wanted: &NewPlanArguments) -> miette::Result<Outcome> {
    let library = library(wanted.own.as_deref())?;
    let empty = || PlanDraft {
        title: "New plan".to_owned(),
        edition: "1".to_owned(),
        ..PlanDraft::default()
    };
    let draft = wanted
        .starter
        .as_ref()
        .map_or_else(|| Ok(empty()), |starter| library.start(starter))
        .and_then(|draft| library.extend(draft, &wanted.templates))
        .into_diagnostic()?;
    finish(draft, &wanted.made)
}

pub(super) fn import(file: &Path, made: &MadePlan) -> miette::Result<Outcome> {
    let reading = read_table(&read_text(file)?);
    for fault in &reading.faults {
        print::line(&format!("{}: {fault}", file.display()));
    }
    let Some(mut draft) = reading.draft else {
        return Ok(Outcome::No);
    };
    if draft.title.is_empty() {
        let stem = file.file_stem().and_then(|stem| stem.to_str());
        stem.unwrap_or("New plan").clone_into(&mut draft.title);
    }
    finish(draft, made)
}

pub(super) fn export(file: &Path, out: Option<&Path>) -> miette::Result<Outcome> {
    let text = read_text(file)?;
    let Some(draft) = PlanDraft::of_toml(&text) else {
        say(file, &text, &plan::read(&text));
        return Ok(Outcome::No);
    };
    put(&write_table(&draft).into_diagnostic()?, out)?;
    Ok(Outcome::AsAsked)
}

/// Writes the plan. What speaks against it goes to where errors go, so that the output is the plan and nothing else.
fn finish(mut draft: PlanDraft, made: &MadePlan) -> miette::Result<Outcome> {
    if let Some(title) = &made.title {
        draft.title.clone_from(title);
    }
    if let Some(edition) = &made.edition {
        draft.edition.clone_from(edition);
    }
    let text = draft.to_toml();
    put(&text, made.out.as_deref())?;
    let reading = plan::read(&text);
    for finding in &reading.findings {
        if finding.severity > plan::Severity::Note {
            eprintln!("{}: {finding}", finding.code);
        }
    }
    let practice = draft.on_common_practice();
    if practice > 0 {
        eprintln!(
            "{practice} figures are {}",
            pullmark_schema::practice::COMMON_PRACTICE
        );
    }
    Ok(if reading.plan.is_some() {
        Outcome::AsAsked
    } else {
        Outcome::No
    })
}
