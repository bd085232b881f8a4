//! `pullmark recall`: which fasteners on which bikes a tool's error may have put out of their limits.

use super::{Context, read_text};
use crate::arguments::RecallArguments;
use crate::files;
use crate::print;
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_daemon::export::recall_csv;
use pullmark_schema::api::Act;
use pullmark_schema::entry::{Affected, Entry, Event, Recalled};

pub(crate) async fn run(context: &Context, recall: RecallArguments) -> miette::Result<Outcome> {
    // A recall is in the ledger for good; what would keep its list from being written is said before.
    recall.csv.as_deref().map_or(Ok(()), files::free)?;
    let text = read_text(&recall.found)?;
    let format = super::tool::format_of(&recall.certificate, &recall.found)?;
    let act = Act::Recall {
        serial: recall.tool,
        format,
        text,
        head: recall.certificate.head(),
        drift: recall.drift.into(),
        by: recall.by.by,
    };
    let done = match context.client.act(&act).await {
        Ok(done) => done,
        refused => return context.answered(refused, ""),
    };
    let mut list = List::default();
    for sequence in done.entries {
        let path = format!("/v1/entries/{sequence}");
        let entry: Entry = context.client.get(&path).await.into_diagnostic()?;
        list.take(entry.event);
    }
    if let Some(file) = &recall.csv {
        let table = recall_csv(&list.bikes).into_diagnostic()?;
        files::write_new(file, table)?;
    }
    list.say(context.json);
    Ok(if list.bikes.is_empty() {
        Outcome::AsAsked
    } else {
        Outcome::No
    })
}

#[derive(Default)]
struct List {
    recalled: Option<Recalled>,
    bikes: Vec<Affected>,
}

impl List {
    fn take(&mut self, event: Event) {
        match event {
            Event::Recalled(recalled) => self.recalled = Some(*recalled),
            Event::Affected(affected) => self.bikes.push(*affected),
            _ => {}
        }
    }

    fn say(&self, json: bool) {
        if json {
            print::json(&serde_json::json!({ "recall": self.recalled, "bikes": self.bikes }));
            return;
        }
        if let Some(recalled) = &self.recalled {
            print::line(&head(recalled, self.bikes.len()));
        }
        for bike in &self.bikes {
            for line in print::affected(bike) {
                print::line(&line);
            }
        }
        if !self.bikes.is_empty() {
            print::line(
                "Each of these bikes needs a look and an amended record. What was stored before is unchanged.",
            );
        }
    }
}

fn head(recalled: &Recalled, bikes: usize) -> String {
    let since = recalled.since.map_or_else(
        || "all of its readings: no earlier certificate is on file".to_owned(),
        |since| format!("readings since {since}"),
    );
    format!(
        "{} (serial {}), {since}, found by {} of {}. Error taken to have grown {}.\n\
         {} reading(s) judged again: {} out of limits now, {} no longer surely within; {bikes} bike(s), the highest risk first.",
        recalled.tool,
        recalled.serial,
        recalled.found.number,
        recalled.found.date,
        recalled.drift,
        recalled.examined,
        recalled.out,
        recalled.doubtful,
    )
}
