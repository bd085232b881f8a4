//! Six kinds of sensor and four wrenches at once, each in its own language: lines, registers, questions over the network, messages
//! of a real broker, a scale that never stops sending, Bluetooth.
//!
//! Every reading has a value of its own within its tool, in the small unit of its quantity, so that the simulator's tally and
//! the ledger can be compared one by one.

use super::{PATIENCE, Shared, Tally, note};
use miette::{IntoDiagnostic as _, miette};
use pullmark_schema::api::Act;
use pullmark_schema::tool::Tool;
use pullmark_sim::bluez::{Bluez, Characteristic, Service, Tool as Simulated, assigned};
use pullmark_sim::instrument::publisher::Publisher;
use pullmark_sim::instrument::questions::Instrument;
use pullmark_sim::instrument::registers::Unit;
use pullmark_sim::instrument::speaker::Speaker;
use pullmark_sim::pty::Pty;
use pullmark_tests::mosquitto::Mosquitto;
use pullmark_tests::shop::Shop;
use serde_json::Value;
use std::time::{Duration, Instant};

/// Bluetooth tools among them.
pub(super) const BLUETOOTH: usize = 3;
/// Length of the Industrial Measurement Device Service, in tenths of a micrometre.
const LENGTH: u16 = 0x2C0A;

/// What is on the bench.
pub(super) struct Bench {
    caliper: Speaker,
    scale: Speaker,
    gauge: Unit,
    force: Instrument,
    broker: Mosquitto,
    bluez: Bluez,
    wrenches: [Pty; 2],
}

const fn address(number: u8) -> &'static str {
    match number {
        0 => "02:00:00:00:00:A0",
        1 => "02:00:00:00:00:A1",
        _ => "02:00:00:00:00:A2",
    }
}

/// Every tool: its id, its quantity, where it is and how it speaks.
fn tools(bench: &Bench) -> [(&'static str, &'static str, String, &'static str); 10] {
    let link = |speaker: &Speaker| speaker.port().display().to_string();
    let bluetooth = |number| format!("bluetooth:{}", address(number));
    let [first, second] = &bench.wrenches;
    let wrench = |port: &Pty| port.link().display().to_string();
    [
        ("caliper", "length", link(&bench.caliper), "caliper-line"),
        ("scale", "mass", link(&bench.scale), "scale-line"),
        (
            "gauge",
            "pressure",
            bench.gauge.port(),
            "registers-pressure",
        ),
        ("force", "force", bench.force.port(), "questions-force"),
        (
            "sensor",
            "mass",
            bench.broker.topic("bench/sensor"),
            "senml",
        ),
        ("depth", "length", bluetooth(0), "bluetooth"),
        ("w1", "torque", wrench(first), "plain-line"),
        ("w2", "torque", wrench(second), "plain-line"),
        ("w3", "torque", bluetooth(1), "bluetooth"),
        ("w4", "torque", bluetooth(2), "bluetooth"),
    ]
}

pub(super) const TOOLS: usize = 10;

impl Bench {
    pub(super) fn set_up(shop: &Shop, mut bluez: Bluez) -> miette::Result<Self> {
        if !std::path::Path::new("/usr/sbin/mosquitto").exists() {
            return Err(miette!(
                "a broker is needed: install Debian's package mosquitto"
            ));
        }
        let depth = Simulated {
            address: address(0).to_owned(),
            name: "Depth gauge".to_owned(),
            services: vec![Service::assigned(
                0x185A,
                vec![Characteristic::notifies(assigned(LENGTH))],
            )],
            ..Simulated::default()
        };
        bluez.add(depth).into_diagnostic()?;
        for number in [1, 2] {
            bluez
                .add(Simulated::wrench(
                    address(number),
                    &format!("w{}", number + 2),
                ))
                .into_diagnostic()?;
        }
        let folder = shop.folder();
        let bench = Self {
            caliper: Speaker::plug(folder.join("caliper")).into_diagnostic()?,
            scale: Speaker::plug(folder.join("scale")).into_diagnostic()?,
            gauge: Unit::plug(&folder.join("gauge"), 7).into_diagnostic()?,
            force: Instrument::listen("TARN INSTRUMENTS,FG-5,force,2.0").into_diagnostic()?,
            broker: Mosquitto::start(folder, None),
            bluez,
            wrenches: [
                Pty::open(folder.join("w1")).into_diagnostic()?,
                Pty::open(folder.join("w2")).into_diagnostic()?,
            ],
        };
        for (id, quantity, port, profile) in tools(&bench) {
            let text = format!(
                "id = \"{id}\"\ntitle = \"{id}\"\nserial = \"{id}\"\nquantity = \"{quantity}\"\n[connection]\nport = \"{port}\"\nprofile = \"{profile}\"\n"
            );
            shop.act(&Act::AddTool {
                by: None,
                tool: Box::new(Tool::read(&text).into_diagnostic()?),
            });
        }
        Ok(bench)
    }

    pub(super) fn is_connected(&self, shop: &Shop) -> miette::Result<bool> {
        let bench = shop.http().get("/v1/bench").json();
        let connected = bench["tools"].as_array().map_or(0, |tools| {
            let is = |tool: &&Value| tool["connected"] == true;
            tools.iter().filter(is).count()
        });
        let mut subscribed = true;
        for number in 0..3 {
            subscribed &= self
                .bluez
                .subscribed(address(number), Duration::ZERO)
                .into_diagnostic()?;
        }
        Ok(connected == TOOLS && subscribed)
    }

    /// Everybody works at once, for so long.
    pub(super) fn work(&mut self, rate: u32, seconds: u32, sent: &Shared) -> miette::Result<()> {
        let until = Instant::now() + Duration::from_secs(seconds.into());
        let Self {
            caliper,
            scale,
            gauge,
            force,
            broker,
            bluez,
            wrenches: [first, second],
        } = self;
        let mut sensor = Publisher::connect(broker.address(), "sensor", None).into_diagnostic()?;
        let fast = Duration::from_secs(1) / rate.max(1);
        let slow = Duration::from_millis(500);
        std::thread::scope(|scope| {
            let all = [
                scope.spawn(|| {
                    repeat(until, slow, |n| {
                        // Micrometres; in millimetres with two digits.
                        note(sent, "caliper", n * 10, Instant::now());
                        caliper
                            .measure(&format!("{}.{:02} mm\r\n", n / 100, n % 100))
                            .into_diagnostic()
                    })
                }),
                scope.spawn(|| {
                    repeat(until, Duration::from_secs(1), |n| {
                        let grams = 5_000 + n * 7;
                        note(sent, "scale", grams * 1_000, Instant::now());
                        let shown = format!("{}.{:03}", grams / 1000, grams % 1000);
                        scale
                            .weigh(&shown, 12, Duration::from_millis(80))
                            .into_diagnostic()
                    })
                }),
                scope.spawn(|| {
                    repeat(until, slow, |n| {
                        note(sent, "gauge", n * 12_500, Instant::now());
                        gauge.measure(small(n) / 8.0);
                        Ok(())
                    })
                }),
                scope.spawn(|| {
                    repeat(until, slow, |n| {
                        note(sent, "force", n * 500, Instant::now());
                        force.measure(small(n) / 2.0);
                        Ok(())
                    })
                }),
                scope.spawn(|| {
                    repeat(until, slow, |n| {
                        note(sent, "sensor", n * 1_000, Instant::now());
                        let pack = format!("[{{\"n\":\"mass\",\"u\":\"g\",\"v\":{n}}}]");
                        sensor.measure("bench/sensor", &pack).into_diagnostic()
                    })
                }),
                scope.spawn(|| lines(until, fast, first, "w1", sent)),
                scope.spawn(|| lines(until, fast, second, "w2", sent)),
                // One Bluetooth adapter: they take turns.
                scope.spawn(|| {
                    repeat(until, fast, |n| {
                        let whole = i32::try_from(n).unwrap_or_default();
                        for (number, tool) in [(1, "w3"), (2, "w4")] {
                            note(sent, tool, n * 10, Instant::now());
                            notify(bluez, number, &Simulated::torque(), whole)?;
                        }
                        note(sent, "depth", n * 10, Instant::now());
                        notify(bluez, 0, &assigned(LENGTH), whole * 100)
                    })
                }),
            ];
            all.into_iter().try_for_each(|work| {
                work.join()
                    .map_err(|_| miette!("a tool of the simulation panicked"))?
            })
        })
    }
}

#[expect(clippy::cast_precision_loss, reason = "a few hundred readings")]
fn small(number: i64) -> f32 {
    number as f32
}

/// Numbered from 1, in step.
fn repeat(
    until: Instant,
    every: Duration,
    mut act: impl FnMut(i64) -> miette::Result<()>,
) -> miette::Result<()> {
    let (mut number, mut next) = (1, Instant::now());
    while Instant::now() < until {
        act(number)?;
        number += 1;
        next += every;
        std::thread::sleep(next.saturating_duration_since(Instant::now()));
    }
    Ok(())
}

fn lines(
    until: Instant,
    every: Duration,
    port: &mut Pty,
    tool: &str,
    sent: &Shared,
) -> miette::Result<()> {
    repeat(until, every, |n| {
        note(sent, tool, n * 10, Instant::now());
        let line = format!("{}.{:02} Nm\r\n", n / 100, n % 100);
        port.write(line.as_bytes()).into_diagnostic()
    })
}

fn notify(bluez: &Bluez, number: u8, uuid: &str, value: i32) -> miette::Result<()> {
    let went = bluez
        .notify(address(number), uuid, &value.to_le_bytes())
        .into_diagnostic()?;
    if went {
        Ok(())
    } else {
        Err(miette!(
            "a Bluetooth tool lost its link or its subscription"
        ))
    }
}

/// Waits until everything is connected.
pub(super) fn wait(shop: &Shop, bench: &Bench) -> miette::Result<()> {
    // The scale is empty and the ports are quiet before anything counts.
    bench.scale.say("S 0.000 kg\r\n").into_diagnostic()?;
    let until = Instant::now() + PATIENCE;
    while !bench.is_connected(shop)? {
        if Instant::now() >= until {
            return Err(miette!("not all tools are connected after {PATIENCE:?}"));
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    bench.scale.say("S 0.000 kg\r\n").into_diagnostic()?;
    std::thread::sleep(Duration::from_millis(500));
    Ok(())
}

/// What each sensor's own tally says, beside what was noted when it was sent.
pub(super) fn tallies(bench: &Bench, sent: &Tally) -> bool {
    let of = |tool: &str| sent.keys().filter(|(known, _)| known == tool).count();
    of("caliper") == bench.caliper.tally().len()
        && of("scale") == bench.scale.tally().len()
        && of("gauge") == bench.gauge.tally().len()
        && of("force") == bench.force.tally().len()
}

/// A stored reading, in small units.
pub(super) fn stored(entry: &Value) -> Option<(String, i64)> {
    let reading = &entry["body"]["reading"];
    let small = reading["value"]
        .as_i64()
        .or(reading["applied_millinewton_metre"].as_i64())?;
    Some((reading["tool"].as_str()?.to_owned(), small))
}
