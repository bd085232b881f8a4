//! `pullmark watch`: follows the bench, a line an entry. It comes back by itself when the daemon does.

use super::Context;
use crate::events::Events;
use crate::print::{self, Ink, Titles, entry_line};
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::BenchView;
use std::io::{IsTerminal as _, Write as _};
use std::time::Duration;

/// How long to wait before the daemon is asked again.
const AGAIN: Duration = Duration::from_millis(500);

pub(crate) async fn run(context: &Context, after: Option<u64>) -> miette::Result<Outcome> {
    let mut last = after;
    if last.is_none() {
        // From now on; named by number, so that nothing is missed when the daemon is started anew.
        let bench: BenchView = context.client.get("/v1/bench").await.into_diagnostic()?;
        last = Some(bench.sequence);
    }
    // The first time a missing daemon is worth a word; later it may just be starting anew.
    let mut events = Some(
        Events::open(&context.client, last)
            .await
            .into_diagnostic()?,
    );
    let mut titles = Titles::default();
    loop {
        let Some(stream) = &mut events else {
            tokio::time::sleep(AGAIN).await;
            events = Events::open(&context.client, last).await.ok();
            continue;
        };
        let Ok(Some(entry)) = stream.next().await else {
            eprintln!("the daemon is away; waiting for it");
            events = None;
            continue;
        };
        last = Some(entry.sequence);
        if context.json {
            print::line(&serde_json::to_string(&entry).into_diagnostic()?);
            continue;
        }
        if titles.lacks(&entry)
            && let Ok(fresh) = Titles::ask(&context.client).await
        {
            titles = fresh;
        }
        titles.remember(&entry);
        show(&entry, &titles);
    }
}

fn show(entry: &pullmark_schema::entry::Entry, titles: &Titles) {
    let Some(text) = entry_line(entry, titles, Ink::for_output()) else {
        return;
    };
    let time = entry.time.get(11..19).unwrap_or_default();
    print::line(&format!("{time}  {text}"));
    let rings = matches!(&entry.event, pullmark_schema::entry::Event::Pulled(pulled) if pulled.alarm.is_some());
    if rings && std::io::stdout().is_terminal() {
        // The terminal's bell: an over alarm is to be heard where no page is open.
        let _ = std::io::stdout().write_all(b"\x07");
    }
}
