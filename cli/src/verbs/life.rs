//! What happens to a build beside its pulls: `pullmark part`, and the verbs of builds and fasteners for notes, histories and
//! other editions of the plan.

use super::{Context, read_file, read_text};
use crate::arguments::{NoteArguments, PartVerb, PlanArguments};
use crate::client::{JSON, segment};
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::{Act, BuildView, HistoryRow, PlanDifferenceView};
use pullmark_schema::entry::MediaType;

pub(crate) async fn part(context: &Context, verb: PartVerb) -> miette::Result<Outcome> {
    match verb {
        PartVerb::Fit {
            build,
            part,
            serial,
            kind,
            by,
        } => {
            let act = Act::FitPart {
                build,
                part,
                serial,
                kind,
                by: by.by,
            };
            context.act(act, "fitted").await
        }
        PartVerb::Swap {
            build,
            part,
            serial,
            out,
            kind,
            reason,
            by,
        } => {
            let act = Act::SwapPart {
                build,
                part,
                serial,
                out,
                kind,
                by: by.by,
                reason,
            };
            context.act(act, "swapped").await
        }
        PartVerb::List { build } => {
            let path = format!("/v1/builds/{}", segment(&build));
            let view: BuildView = context.client.get(&path).await.into_diagnostic()?;
            if context.json {
                print::json(&view.parts);
            } else {
                print::parts(&view.parts);
            }
            Ok(Outcome::AsAsked)
        }
    }
}

pub(super) async fn note(
    context: &Context,
    build: String,
    fastener: Option<String>,
    note: NoteArguments,
) -> miette::Result<Outcome> {
    let by = note.by.by;
    let Some(file) = note.photo else {
        let act = Act::Note {
            build,
            fastener,
            text: note.text.unwrap_or_default(),
            by,
        };
        return context.act(act, "noted").await;
    };
    let bytes = read_file(&file)?;
    let kind = MediaType::of(&bytes).map_or("image/unknown", MediaType::as_str);
    let name = file
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let given = [
        ("build", Some(build)),
        ("fastener", fastener),
        ("text", note.text),
        ("name", name),
        ("by", Some(by)),
    ];
    let query: Vec<String> = given
        .into_iter()
        .filter_map(|(key, value)| Some(format!("{key}={}", segment(&value?))))
        .collect();
    let path = format!("/v1/photos?{}", query.join("&"));
    let answer = context.client.post(&path, (kind, bytes)).await;
    context.answered(answer, "noted, with the photograph")
}

pub(super) async fn history(
    context: &Context,
    build: &str,
    fastener: Option<&str>,
) -> miette::Result<Outcome> {
    let build = segment(build);
    let path = fastener.map_or_else(
        || format!("/v1/builds/{build}/history"),
        |fastener| format!("/v1/builds/{build}/fasteners/{}/history", segment(fastener)),
    );
    let rows: Vec<HistoryRow> = context.client.get(&path).await.into_diagnostic()?;
    if context.json {
        print::json(&rows);
    } else {
        print::history(&rows, Ink::for_output());
    }
    Ok(Outcome::AsAsked)
}

pub(super) async fn plan(context: &Context, arguments: PlanArguments) -> miette::Result<Outcome> {
    let plan = read_text(&arguments.file)?;
    let build = arguments.build;
    if !arguments.dry_run {
        let act = Act::ChangePlan {
            build,
            plan,
            by: arguments.by.unwrap_or_default(),
            reason: arguments.reason.unwrap_or_default(),
        };
        return context.act(act, "held to the new edition").await;
    }
    let path = format!("/v1/builds/{}/plan/difference", segment(&build));
    let body = serde_json::json!({ "plan": plan }).to_string().into_bytes();
    let answer = context.client.post(&path, (JSON, body)).await;
    let view: PlanDifferenceView = match answer {
        Ok(view) => view,
        Err(error) => return context.answered(Err(error), ""),
    };
    if context.json {
        print::json(&view);
    } else {
        print::difference(&view);
    }
    Ok(Outcome::AsAsked)
}
