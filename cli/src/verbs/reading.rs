//! `pullmark reading`.

use super::Context;
use crate::arguments::ReadingVerb;
use crate::client::segment;
use crate::print;
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::{Act, ReadingRow};
use pullmark_schema::entry::{Entry, Event};

pub(crate) async fn run(context: &Context, verb: ReadingVerb) -> miette::Result<Outcome> {
    match verb {
        ReadingVerb::Enter {
            value,
            tool,
            fastener,
            by,
        } => {
            context
                .act(
                    Act::EnterReading {
                        tool,
                        value,
                        by: by.by,
                        fastener,
                    },
                    "entered, as attested",
                )
                .await
        }
        ReadingVerb::Place {
            reading,
            fastener,
            pass,
            reason,
            by,
            pin,
        } => {
            let pass = pass.map(|pass| pass - 1);
            let act = Act::Place {
                reading,
                fastener,
                pass,
                by: by.by,
                reason,
            };
            context.act_with_pin(act, "placed", &pin).await
        }
        ReadingVerb::List {
            build,
            tool,
            most,
            why,
            budget,
        } => list(context, build, tool, most, (why, budget)).await,
    }
}

async fn list(
    context: &Context,
    build: Option<String>,
    tool: Option<String>,
    most: u32,
    (why, budget): (bool, bool),
) -> miette::Result<Outcome> {
    let named = |name: &str, value: Option<String>| {
        value.map(|value| format!("&{name}={}", segment(&value)))
    };
    let filters = [named("build", build), named("tool", tool)]
        .into_iter()
        .flatten()
        .collect::<String>();
    let path = format!("/v1/readings?most={most}{filters}");
    let rows: Vec<ReadingRow> = context.client.get(&path).await.into_diagnostic()?;
    if context.json && !why && !budget {
        print::json(&rows);
        return Ok(Outcome::AsAsked);
    }
    let mut entries = Vec::new();
    for row in &rows {
        if !context.json {
            print::line(&row_line(row));
        }
        if why || budget {
            let entry: Entry = context
                .client
                .get(&format!("/v1/entries/{}", row.sequence))
                .await
                .into_diagnostic()?;
            if !context.json {
                if why {
                    say_why(row, &entry);
                }
                if budget {
                    say_budget(&entry);
                }
            }
            entries.push(entry);
        }
    }
    if context.json {
        print::json(&entries);
    }
    Ok(Outcome::AsAsked)
}

fn row_line(row: &ReadingRow) -> String {
    let displayed = row.displayed.as_deref().unwrap_or("past its range");
    let value = match &row.value_text {
        Some(value) if value != displayed => format!("{displayed} = {value}"),
        _ => displayed.to_owned(),
    };
    let answer = row.answer.as_deref().unwrap_or("-");
    let pass = row
        .pass
        .filter(|pass| row.value_text.is_none() || *pass > 0)
        .map(|pass| {
            let what = if row.value_text.is_some() {
                "reading"
            } else {
                "pass"
            };
            format!(" {what} {}", u16::from(pass) + 1)
        })
        .unwrap_or_default();
    let place = row.fastener.as_ref().map_or_else(
        || row.placed.clone(),
        |id| format!("{id}{pass}, {}", row.placed),
    );
    let alarm = if row.alarm { "  OVER ALARM" } else { "" };
    format!(
        "{:>6}  {}  {:<8} {value:>12}  {answer:<9}  {place}{alarm}",
        row.sequence, row.time, row.tool
    )
}

/// What a reading is worth, line by line.
fn say_budget(entry: &Entry) {
    if let Event::Pulled(pulled) = &entry.event {
        for text in print::budget(&pulled.reading) {
            print::line(&text);
        }
    }
}

/// Why a reading was placed where it is, at the moment it came; and by what it became clear later.
fn say_why(row: &ReadingRow, entry: &Entry) {
    let Event::Pulled(pulled) = &entry.event else {
        return;
    };
    for text in print::why(pulled) {
        print::line(&text);
    }
    if pulled.placement.is_held() && row.placed == "by order" {
        print::line(&format!("          {}", print::LATER));
    }
}
