//! `pullmark watch`: follows the bench, on a terminal as a screen, else a line an entry. It comes back by itself when the
//! daemon does.

mod screen;

use super::Context;
use crate::events::Events;
use crate::print::{self, Ink, Titles, entry_line};
use crate::report::Outcome;
use miette::IntoDiagnostic as _;
use pullmark_schema::api::BenchView;
use pullmark_schema::entry::{Entry, Event};
use screen::Screen;
use std::collections::BTreeMap;
use std::io::{IsTerminal as _, Write as _};
use std::time::Duration;

/// How long to wait before the daemon is asked again.
const AGAIN: Duration = Duration::from_millis(500);
/// How often the bell rings while an over alarm waits for somebody to acknowledge it.
const RING_AGAIN: Duration = Duration::from_secs(3);

pub(crate) async fn run(
    context: &Context,
    after: Option<u64>,
    lines: bool,
) -> miette::Result<Outcome> {
    if after.is_none() && !lines && !context.json && std::io::stdout().is_terminal() {
        return on_screen(context).await;
    }
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
    let mut ringing = Ringing::default();
    loop {
        let Some(stream) = &mut events else {
            tokio::time::sleep(AGAIN).await;
            events = Events::open(&context.client, last).await.ok();
            continue;
        };
        let next = if ringing.is_empty() {
            stream.next().await
        } else {
            let Ok(next) = tokio::time::timeout(RING_AGAIN, stream.next()).await else {
                ring();
                continue;
            };
            next
        };
        let Ok(Some(entry)) = next else {
            eprintln!("the daemon is away; waiting for it");
            events = None;
            continue;
        };
        last = Some(entry.sequence);
        if ringing.hear(&entry) && !context.json {
            ring();
        }
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

/// The whole screen, until a key ends it.
async fn on_screen(context: &Context) -> miette::Result<Outcome> {
    // Asked first: where no daemon is, that is said as anywhere else.
    let bench: BenchView = context.client.get("/v1/bench").await.into_diagnostic()?;
    let mut terminal = ratatui::try_init().into_diagnostic()?;
    let ended = follow(context, &mut terminal, bench).await;
    ratatui::restore();
    ended.map(|()| Outcome::AsAsked)
}

async fn follow(
    context: &Context,
    terminal: &mut ratatui::DefaultTerminal,
    bench: BenchView,
) -> miette::Result<()> {
    let mut last = bench.sequence;
    let mut shown = Screen {
        bench: Some(bench),
        is_connected: true,
        ..Screen::default()
    };
    let mut titles = Titles::default();
    let mut keys = keys();
    let mut events = Events::open(&context.client, Some(last)).await.ok();
    loop {
        terminal
            .draw(|frame| screen::draw(frame, &shown))
            .into_diagnostic()?;
        let heard = async {
            if let Some(stream) = &mut events {
                return stream.next().await.ok().flatten();
            }
            tokio::time::sleep(AGAIN).await;
            None
        };
        tokio::select! {
            key = keys.recv() => match key {
                Some(Key::End) | None => return Ok(()),
                Some(Key::Drawn) => {}
            },
            entry = heard => {
                shown.is_connected = entry.is_some();
                match entry {
                    Some(entry) => {
                        last = entry.sequence;
                        tell(context, &entry, &mut titles, &mut shown).await;
                    }
                    None => events = Events::open(&context.client, Some(last)).await.ok(),
                }
                if events.is_some()
                    && let Ok(bench) = context.client.get("/v1/bench").await
                {
                    shown.bench = Some(bench);
                    shown.is_connected = true;
                }
            }
            () = tokio::time::sleep(RING_AGAIN), if shown.is_alarmed() => ring(),
        }
    }
}

async fn tell(context: &Context, entry: &Entry, titles: &mut Titles, shown: &mut Screen) {
    if titles.lacks(entry)
        && let Ok(fresh) = Titles::ask(&context.client).await
    {
        *titles = fresh;
    }
    titles.remember(entry);
    if let Some(text) = entry_line(entry, titles, Ink::none()) {
        let time = entry.time.get(11..19).unwrap_or_default();
        shown.say(format!("{time}  {text}"));
    }
    if raised(entry).is_some() {
        ring();
    }
}

/// What a person at the keyboard wants.
enum Key {
    End,
    /// The terminal was made larger or smaller.
    Drawn,
}

/// From a thread of its own: a terminal is read blocking.
fn keys() -> tokio::sync::mpsc::UnboundedReceiver<Key> {
    use ratatui::crossterm::event::{Event as Typed, KeyCode, KeyModifiers, read};
    let (tell, told) = tokio::sync::mpsc::unbounded_channel();
    std::thread::spawn(move || {
        while let Ok(typed) = read() {
            let key = match typed {
                Typed::Key(key) => {
                    let is_break = key.code == KeyCode::Char('c')
                        && key.modifiers.contains(KeyModifiers::CONTROL);
                    if is_break || matches!(key.code, KeyCode::Char('q') | KeyCode::Esc) {
                        Key::End
                    } else {
                        continue;
                    }
                }
                Typed::Resize(..) => Key::Drawn,
                _ => continue,
            };
            if tell.send(key).is_err() {
                return;
            }
        }
    });
    told
}

fn show(entry: &Entry, titles: &Titles) {
    let Some(text) = entry_line(entry, titles, Ink::for_output()) else {
        return;
    };
    let time = entry.time.get(11..19).unwrap_or_default();
    print::line(&format!("{time}  {text}"));
}

/// The terminal's bell: an over alarm is to be heard where no page is open.
fn ring() {
    if std::io::stdout().is_terminal() {
        // Where the terminal is gone, nobody hears it.
        let _ = std::io::stdout().write_all(b"\x07");
        let _ = std::io::stdout().flush();
    }
}

/// What an over alarm was raised of.
#[derive(Debug, PartialEq, Eq)]
enum Raised {
    /// A pull of this tool that was not over yet.
    Early { tool: String },
    /// A judged reading.
    Judged,
}

/// The over alarm that an entry raised.
fn raised(entry: &Entry) -> Option<Raised> {
    match &entry.event {
        Event::OverNow(over) => Some(Raised::Early {
            tool: over.tool.clone(),
        }),
        event => event.raises_alarm().then_some(Raised::Judged),
    }
}

/// Over alarms since it was begun to watch that nobody has acknowledged.
#[derive(Debug, Default)]
struct Ringing(BTreeMap<u64, Raised>);

impl Ringing {
    fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Takes an entry in; says whether it raised an alarm.
    fn hear(&mut self, entry: &Entry) -> bool {
        match &entry.event {
            // Its own alarm takes the place of the one before it; without one that has to be acknowledged still.
            Event::Pulled(pulled) if pulled.alarm.is_some() => {
                let tool = &pulled.reading.tool;
                self.0.retain(
                    |_, raised| !matches!(raised, Raised::Early { tool: of } if of == tool),
                );
            }
            Event::Acknowledged { alarm, .. } => {
                self.0.remove(alarm);
            }
            _ => {}
        }
        let Some(raised) = raised(entry) else {
            return false;
        };
        self.0.insert(entry.sequence, raised);
        true
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use serde_json::json;

    fn entry(sequence: u64, kind: &str, body: &serde_json::Value) -> Entry {
        serde_json::from_value(json!({
            "version": 1, "sequence": sequence, "time": "2026-06-01T09:00:00.000+02:00", "since_boot_ms": 1, "bench": "b",
            "previous": format!("{:064}", 0), "kind": kind, "body": body,
        }))
        .unwrap()
    }

    #[test]
    fn it_rings_from_the_alarm_until_somebody_acknowledges_it() {
        let mut ringing = Ringing::default();
        let alarm = json!({ "place": { "fastener": "seat.clamp", "pass": 0 }, "upper_millinewton_metre": 5_500 });
        let judged = |alarm: &serde_json::Value| {
            json!({
                "build": "ferry", "by": "Mara", "reason": "a new sheet", "again": [],
                "plan": { "title": "Ferry", "edition": "2", "sha256": format!("{:064}", 0) },
                "judged": [{
                    "reading": 4, "alarm": alarm,
                    "verdict": { "answer": "over", "limits": { "upper_millinewton_metre": 5_500 }, "rule": "simple" },
                }],
            })
        };
        assert!(Ringing::default().hear(&entry(7, "plan-changed", &judged(&alarm))));
        assert!(!Ringing::default().hear(&entry(7, "plan-changed", &judged(&json!(null)))));
        let over = json!({
            "tool": "w1", "build": "ferry", "applied_millinewton_metre": 5_600, "alarm": alarm,
        });
        assert!(ringing.hear(&entry(7, "over-now", &over)));
        assert!(!ringing.is_empty());
        let of_another = json!({ "build": "ferry", "alarm": 6, "by": "Mara" });
        assert!(!ringing.hear(&entry(8, "acknowledged", &of_another)));
        assert!(!ringing.is_empty());
        let acknowledged = json!({ "build": "ferry", "alarm": 7, "by": "Mara" });
        assert!(!ringing.hear(&entry(9, "acknowledged", &acknowledged)));
        assert!(ringing.is_empty());
    }

    #[test]
    fn it_rings_for_too_much_pressure_too() {
        let alarm = json!({ "place": { "check": "tyre.front", "number": 0 }, "unit": "Pa", "upper": 500_000 });
        let measured = |alarm: &serde_json::Value| {
            json!({
                "reading": {
                    "tool": "g1", "origin": { "attested": { "by": "Mara" } }, "unit": "Pa", "value": 620_000,
                    "displayed": { "value": "6.2", "unit": "bar" },
                },
                "build": "ferry", "alarm": alarm,
                "placement": { "by-choice": { "place": { "check": "tyre.front", "number": 0 }, "by": "Mara" } },
            })
        };
        let mut ringing = Ringing::default();
        assert!(!ringing.hear(&entry(7, "check-measured", &measured(&json!(null)))));
        assert!(ringing.hear(&entry(8, "check-measured", &measured(&alarm))));
        let placed = json!({
            "reading": 7, "build": "ferry", "alarm": alarm,
            "placement": { "by-choice": { "place": { "check": "tyre.front", "number": 0 }, "by": "Mara" } },
        });
        assert!(ringing.hear(&entry(9, "check-placed", &placed)));
        let acknowledged = |alarm: u64| json!({ "build": "ferry", "alarm": alarm, "by": "Mara" });
        ringing.hear(&entry(10, "acknowledged", &acknowledged(8)));
        assert!(!ringing.is_empty());
        ringing.hear(&entry(11, "acknowledged", &acknowledged(9)));
        assert!(ringing.is_empty());
    }
}
