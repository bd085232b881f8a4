//! Many tools at once on one daemon, half of them serial and half of them Bluetooth: is anything lost or doubled, and how long
//! does it take from a tool's last byte until a client has the committed reading?
//!
//! The daemon is a process of its own, on a private message bus with the simulated `BlueZ`. Every reading has a value of its own
//! within its tool, so that the simulator's tally and the ledger can be compared one by one. The tools serve no build: what is
//! measured is the way in, and not the placing.

mod mixed;

use crate::figures::{Figures, quantile};
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_schema::api::Act;
use pullmark_schema::tool::Tool;
use pullmark_sim::bluez::{Bluez, Bus, Tool as Simulated};
use pullmark_sim::pty::Pty;
use pullmark_tests::shop::Shop;
use serde_json::Value;
use std::collections::HashMap;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long everything may take to be connected, and to be stored after the last was sent.
const PATIENCE: Duration = Duration::from_mins(1);

#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// How many tools; every other one is a Bluetooth tool
    #[arg(long, default_value_t = 32)]
    tools: usize,
    /// Readings a second from each
    #[arg(long, default_value_t = 10)]
    rate: u32,
    /// For how long
    #[arg(long, default_value_t = 120)]
    seconds: u32,
    /// Six kinds of sensor and four wrenches instead, each in its own language
    #[arg(long)]
    mixed: bool,
}

/// A reading by its tool and its value in hundredths of a newton metre (in small units where the tools are mixed), and when
/// it was sent or heard.
type Tally = HashMap<(String, i64), Vec<Instant>>;
type Shared = Arc<Mutex<Tally>>;

fn note(tally: &Shared, tool: &str, hundredths: i64, when: Instant) {
    let mut tally = tally.lock().unwrap_or_else(PoisonError::into_inner);
    tally
        .entry((tool.to_owned(), hundredths))
        .or_default()
        .push(when);
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let mut shop = Shop::closed(&[]);
    let bus = Bus::start(shop.folder()).into_diagnostic()?;
    let (name, value) = bus.variable();
    shop.with_variable(name, value);
    shop.start();
    let mut bluez = Bluez::start(&bus).into_diagnostic()?;
    if arguments.mixed {
        return mix(arguments, &shop, bluez);
    }
    let mut ports = Vec::new();
    for number in 0..arguments.tools {
        let id = format!("t{number}");
        let (port, profile) = if number.is_multiple_of(2) {
            let link = shop.folder().join(&id);
            ports.push((id.clone(), Pty::open(&link).into_diagnostic()?));
            (link.display().to_string(), "plain-line")
        } else {
            let address = address(number);
            bluez
                .add(Simulated::wrench(&address, &id))
                .into_diagnostic()?;
            (format!("bluetooth:{address}"), "bluetooth")
        };
        let text = format!(
            "id = \"{id}\"\ntitle = \"{id}\"\nserial = \"{id}\"\n[connection]\nport = \"{port}\"\nprofile = \"{profile}\"\n"
        );
        shop.act(&Act::AddTool {
            by: None,
            tool: Box::new(Tool::read(&text).into_diagnostic()?),
        });
    }
    let stored: Shared = Shared::default();
    let heard = listen(&shop, Arc::clone(&stored), take_in)?;
    wait_until_connected(&shop, &bluez, arguments.tools)?;
    let sent: Shared = Shared::default();
    work(arguments, &ports, &bluez, &sent)?;
    wait_until_stored(&sent, &stored);
    drop(heard);
    let (sent, stored) = (take(&sent), take(&stored));
    let (tools, bluetooth) = (arguments.tools, arguments.tools / 2);
    Ok(figures((tools, bluetooth), &sent, &stored))
}

/// Ten tools of eight languages.
fn mix(arguments: &Arguments, shop: &Shop, bluez: Bluez) -> miette::Result<Figures> {
    let mut bench = mixed::Bench::set_up(shop, bluez)?;
    let stored: Shared = Shared::default();
    let heard = listen(shop, Arc::clone(&stored), take_in_any)?;
    mixed::wait(shop, &bench)?;
    let sent: Shared = Shared::default();
    bench.work(arguments.rate, arguments.seconds, &sent)?;
    wait_until_stored(&sent, &stored);
    drop(heard);
    let (sent, stored) = (take(&sent), take(&stored));
    if !mixed::tallies(&bench, &sent) {
        return Err(miette!(
            "the simulator's tallies differ from what was noted"
        ));
    }
    Ok(figures((mixed::TOOLS, mixed::BLUETOOTH), &sent, &stored))
}

fn wait_until_stored(sent: &Shared, stored: &Shared) {
    let total = count(sent);
    let until = Instant::now() + PATIENCE;
    while count(stored) < total && Instant::now() < until {
        std::thread::sleep(Duration::from_millis(20));
    }
    // What comes doubled comes late.
    std::thread::sleep(Duration::from_secs(1));
}

fn address(number: usize) -> String {
    format!("02:00:00:00:00:{number:02X}")
}

fn count(tally: &Shared) -> usize {
    tally
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .values()
        .map(Vec::len)
        .sum()
}

fn take(tally: &Shared) -> Tally {
    std::mem::take(&mut *tally.lock().unwrap_or_else(PoisonError::into_inner))
}

fn wait_until_connected(shop: &Shop, bluez: &Bluez, tools: usize) -> miette::Result<()> {
    let until = Instant::now() + PATIENCE;
    loop {
        let bench = shop.http().get("/v1/bench").json();
        let connected = bench["tools"].as_array().map_or(0, |tools| {
            tools
                .iter()
                .filter(|tool| tool["connected"] == true)
                .count()
        });
        let mut subscribed = true;
        for number in (1..tools).step_by(2) {
            subscribed &= bluez
                .subscribed(&address(number), Duration::ZERO)
                .into_diagnostic()?;
        }
        if connected == tools && subscribed {
            // The first line after a silence counts.
            std::thread::sleep(Duration::from_millis(200));
            return Ok(());
        }
        if Instant::now() >= until {
            return Err(miette!(
                "{connected} of {tools} tools are connected after {PATIENCE:?}"
            ));
        }
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// Every tool sends its readings, a little apart from the others.
fn work(
    arguments: &Arguments,
    ports: &[(String, Pty)],
    bluez: &Bluez,
    sent: &Shared,
) -> miette::Result<()> {
    let ports: HashMap<&str, &Pty> = ports.iter().map(|(id, port)| (id.as_str(), port)).collect();
    let rounds = i64::from(arguments.rate) * i64::from(arguments.seconds);
    let every = Duration::from_secs(1) / arguments.rate.max(1);
    let apart = every / u32::try_from(arguments.tools.max(1)).unwrap_or(1);
    let mut next = Instant::now();
    for round in 0..rounds {
        for number in 0..arguments.tools {
            std::thread::sleep(next.saturating_duration_since(Instant::now()));
            next += apart;
            let id = format!("t{number}");
            let hundredths = round + 1;
            let when = Instant::now();
            if let Some(port) = ports.get(id.as_str()) {
                let line = format!("{}.{:02} Nm\r\n", hundredths / 100, hundredths % 100);
                port.write(line.as_bytes()).into_diagnostic()?;
            } else {
                let bytes = i32::try_from(hundredths).unwrap_or_default().to_le_bytes();
                let went = bluez
                    .notify(&address(number), &Simulated::torque(), &bytes)
                    .into_diagnostic()?;
                if !went {
                    return Err(miette!("{id} lost its link or its subscription"));
                }
            }
            note(sent, &id, hundredths, when);
        }
    }
    Ok(())
}

/// Hears every reading as the page hears it. It ends with the connection.
fn listen(
    shop: &Shop,
    stored: Shared,
    take_in: fn(&str, &Shared, Instant),
) -> miette::Result<TcpStream> {
    let mut stream = TcpStream::connect(shop.address()).into_diagnostic()?;
    let request = format!(
        "GET /v1/events?after=0 HTTP/1.1\r\nHost: {}\r\n\r\n",
        shop.address()
    );
    stream.write_all(request.as_bytes()).into_diagnostic()?;
    let mut reading = stream
        .try_clone()
        .into_diagnostic()
        .wrap_err("the event stream")?;
    std::thread::spawn(move || {
        let mut buffer = Vec::new();
        let mut bytes = vec![0; 65_536];
        while let Ok(count @ 1..) = reading.read(&mut bytes) {
            let when = Instant::now();
            buffer.extend_from_slice(bytes.get(..count).unwrap_or_default());
            while let Some(end) = buffer.windows(2).position(|two| two == b"\n\n") {
                let event: Vec<u8> = buffer.drain(..end + 2).collect();
                take_in(&String::from_utf8_lossy(&event), &stored, when);
            }
        }
    });
    Ok(stream)
}

fn take_in(event: &str, stored: &Shared, when: Instant) {
    if !event.contains("event: pulled") {
        return;
    }
    let Some(entry) = entry(event) else { return };
    let reading = &entry["body"]["reading"];
    if let (Some(tool), Some(small)) = (
        reading["tool"].as_str(),
        reading["applied_millinewton_metre"].as_i64(),
    ) {
        note(stored, tool, small / 10, when);
    }
}

/// Readings of any quantity.
fn take_in_any(event: &str, stored: &Shared, when: Instant) {
    if !event.contains("event: pulled") && !event.contains("event: check-measured") {
        return;
    }
    if let Some((tool, small)) = entry(event).and_then(|entry| mixed::stored(&entry)) {
        note(stored, &tool, small, when);
    }
}

fn entry(event: &str) -> Option<Value> {
    let data = event
        .lines()
        .find_map(|line| line.strip_prefix("data: ").or(line.strip_prefix("data:")));
    serde_json::from_str(data?).ok()
}

fn figures((tools, bluetooth): (usize, usize), sent: &Tally, stored: &Tally) -> Figures {
    let (mut lost, mut doubled, mut latencies) = (0_usize, 0_usize, Vec::new());
    for (reading, when) in sent {
        let heard = stored.get(reading).map_or(&[][..], Vec::as_slice);
        lost += when.len().saturating_sub(heard.len());
        doubled += heard.len().saturating_sub(when.len());
        if let (Some(sent), Some(heard)) = (when.first(), heard.first()) {
            latencies.push(heard.saturating_duration_since(*sent));
        }
    }
    let strange = stored
        .keys()
        .filter(|reading| !sent.contains_key(*reading))
        .count();
    let milliseconds = |time: Duration| (time.as_secs_f64() * 1e6).round() / 1e3;
    let mut figures = Figures::default();
    figures
        .add("tools", tools)
        .add("bluetooth", bluetooth)
        .add("sent", sent.values().map(Vec::len).sum::<usize>())
        .add("stored", stored.values().map(Vec::len).sum::<usize>())
        .add("lost", lost)
        .add("doubled", doubled)
        .add("never_sent", strange)
        .add(
            "latency_p50_ms",
            milliseconds(quantile(&mut latencies, 0.5)),
        )
        .add(
            "latency_p99_ms",
            milliseconds(quantile(&mut latencies, 0.99)),
        );
    figures
}
