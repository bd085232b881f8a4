//! `pullmark build`.

use super::{Context, life, read_text};
use crate::arguments::BuildVerb;
use crate::client::{ClientError, segment};
use crate::print::{self, Ink};
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::{Act, BenchView, BuildView};
use pullmark_schema::entry::Bike;

/// The code of the refusal to hand over what may have been missed.
const MAY_BE_MISSED: &str = "build/may-be-missed";

#[expect(clippy::too_many_lines, reason = "one short arm a verb")]
pub(crate) async fn run(context: &Context, verb: BuildVerb) -> miette::Result<Outcome> {
    match verb {
        BuildVerb::Start {
            plan,
            frame,
            label,
            build,
            tools,
            by,
        } => {
            let plan = read_text(&plan)?;
            let bike = Bike { frame, label };
            context
                .act(
                    Act::StartBuild {
                        build,
                        bike,
                        plan,
                        by: by.by,
                        tools,
                        follows: None,
                        due: Vec::new(),
                    },
                    "begun",
                )
                .await
        }
        BuildVerb::Service(asked) => super::due::service(context, asked).await,
        BuildVerb::List { frame } => {
            let mut view: BenchView = context.client.get("/v1/bench").await.into_diagnostic()?;
            view.builds.retain(|build| {
                frame
                    .as_ref()
                    .is_none_or(|frame| build.bike.frame == *frame)
            });
            if context.json {
                print::json(&view);
            } else {
                print::bench(&view, Ink::for_output());
            }
            Ok(Outcome::AsAsked)
        }
        BuildVerb::Show { build } => {
            let path = format!("/v1/builds/{}", segment(&build));
            let view: BuildView = context.client.get(&path).await.into_diagnostic()?;
            if context.json {
                print::json(&view);
            } else {
                print::build_view(&view, Ink::for_output());
            }
            Ok(Outcome::AsAsked)
        }
        BuildVerb::Serve { build, tool, by } => {
            context
                .act(
                    Act::AssignTool { tool, build, by },
                    "it serves the build now",
                )
                .await
        }
        BuildVerb::Reopen { build, reason, by } => {
            let by = by.by;
            context
                .act(Act::Reopen { build, by, reason }, "taken up again")
                .await
        }
        BuildVerb::Plan(arguments) => life::plan(context, arguments).await,
        BuildVerb::LayAside { build, reason, by } => {
            let by = by.by;
            let act = Act::LayAside { build, by, reason };
            context.act(act, "laid aside").await
        }
        BuildVerb::Resume { build, by } => {
            let by = by.by;
            context.act(Act::Resume { build, by }, "gone on with").await
        }
        BuildVerb::HandOver {
            build,
            from,
            to,
            note,
            by,
        } => {
            let said = format!("in the hands of {to} now");
            let act = Act::HandOver {
                build,
                from: from.unwrap_or_else(|| by.by.clone()),
                to,
                by: Some(by.by),
                note,
            };
            context.act(act, &said).await
        }
        BuildVerb::Note { build, note } => life::note(context, build, None, note).await,
        BuildVerb::Withdraw {
            build,
            entry,
            reason,
            by,
        } => {
            let said = format!("entry {entry} is taken back; it stays in the history");
            let by = by.by;
            let act = Act::Withdraw {
                build,
                entry,
                by,
                reason,
            };
            context.act(act, &said).await
        }
        BuildVerb::History { build } => life::history(context, &build, None).await,
        BuildVerb::Finish { build, sure, by } => finish(context, build, by.by, sure).await,
    }
}

/// Hands a build over. Where something may have been missed, the way on is said with the commands for it.
async fn finish(
    context: &Context,
    build: String,
    by: String,
    sure: Option<String>,
) -> miette::Result<Outcome> {
    let act = Act::Finish {
        build: build.clone(),
        by,
        sure,
    };
    let answer = context.client.act(&act).await;
    if let Err(ClientError::Refused(problem)) = &answer
        && problem.code == MAY_BE_MISSED
        && !context.json
    {
        let path = format!("/v1/builds/{}", segment(&build));
        let view: BuildView = context.client.get(&path).await.into_diagnostic()?;
        eprintln!("{build} is not handed over.");
        for text in print::doubts(&view) {
            eprintln!("{text}");
        }
        return Ok(Outcome::No);
    }
    context.answered(answer, "handed over")
}
