//! `pullmark due`, and `pullmark build service`.

use super::{Context, put};
use crate::arguments::{DueVerb, ServiceArguments};
use crate::client::segment;
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::{Act, BuildView, DueView};
use pullmark_schema::due::DueStanding;

pub(crate) async fn run(context: &Context, verb: DueVerb) -> miette::Result<Outcome> {
    match verb {
        DueVerb::List { all } => list(context, all).await,
        DueVerb::Calendar { out } => {
            let bytes = context
                .client
                .bytes("/v1/due.ics")
                .await
                .into_diagnostic()?;
            let text = String::from_utf8(bytes).into_diagnostic()?;
            put(&text, out.as_deref())?;
            Ok(Outcome::AsAsked)
        }
        DueVerb::Done { which, found } => {
            let act = Act::TellDue {
                build: which.build,
                due: which.due,
                done: true,
                by: which.by.by,
                reason: found,
            };
            context.act(act, "done").await
        }
        DueVerb::Undo { which, reason } => {
            let act = Act::TellDue {
                build: which.build,
                due: which.due,
                done: false,
                by: which.by.by,
                reason: Some(reason),
            };
            context.act(act, "it is due again").await
        }
        DueVerb::Ridden {
            build,
            kilometres,
            by,
        } => {
            let by = by.by;
            let act = Act::TellRidden {
                build,
                kilometres,
                by,
            };
            context.act(act, "noted").await
        }
    }
}

async fn list(context: &Context, all: bool) -> miette::Result<Outcome> {
    let mut list: Vec<DueView> = context.client.get("/v1/due").await.into_diagnostic()?;
    list.retain(|view| all || view.standing != DueStanding::Done);
    let is_due = list.iter().any(|view| view.standing == DueStanding::Due);
    if context.json {
        print::json(&list);
    } else {
        print::due(&list, Ink::for_output());
    }
    Ok(if is_due {
        Outcome::No
    } else {
        Outcome::AsAsked
    })
}

/// Begins a build on top of an earlier one, after that one's plan.
pub(crate) async fn service(context: &Context, asked: ServiceArguments) -> miette::Result<Outcome> {
    let earlier = segment(&asked.build);
    let joined = |ids: &[String]| {
        ids.iter()
            .map(|id| segment(id))
            .collect::<Vec<_>>()
            .join(",")
    };
    let path = format!(
        "/v1/builds/{earlier}/service-plan?due={}&fasteners={}",
        joined(&asked.due),
        joined(&asked.fasteners)
    );
    let bytes = context.client.bytes(&path).await.into_diagnostic()?;
    let plan = String::from_utf8(bytes).into_diagnostic()?;
    if asked.dry_run {
        print::whole(&plan);
        return Ok(Outcome::AsAsked);
    }
    let view: BuildView = context
        .client
        .get(&format!("/v1/builds/{earlier}"))
        .await
        .into_diagnostic()?;
    let act = Act::StartBuild {
        build: asked.name,
        bike: view.bike,
        plan,
        by: asked.by.by,
        tools: asked.tools,
        follows: Some(asked.build),
        due: asked.due,
    };
    context.act(act, "begun").await
}
