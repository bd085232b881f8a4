//! `pullmark stats`: process figures.

use super::Context;
use crate::arguments::{GroupArgument, StatsArguments};
use crate::print;
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::StatsView;

pub(crate) async fn run(context: &Context, stats: &StatsArguments) -> miette::Result<Outcome> {
    let group = match stats.group {
        GroupArgument::Kind => "kind",
        GroupArgument::Tool => "tool",
        GroupArgument::Mechanic => "mechanic",
    };
    let path = format!("/v1/stats?group={group}");
    let view: StatsView = context.client.get(&path).await.into_diagnostic()?;
    if context.json {
        print::json(&view);
    } else {
        for line in print::stats(&view) {
            print::line(&line);
        }
    }
    Ok(Outcome::AsAsked)
}
