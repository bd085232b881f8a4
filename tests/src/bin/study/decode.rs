//! How fast bytes become readings on one core, with the intake that the daemon uses, beside a loop that does the least:
//! split at the line end, cut at blanks, parse a number. All in one process, in turns, the best of several rounds each.
//!
//! And how long it takes from the last byte on a pseudo-terminal until the reading is decoded.

use crate::figures::{Figures, microseconds, quantile};
use miette::{IntoDiagnostic as _, miette};
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_daemon::intake::{Arrival, Intake, What};
use pullmark_sim::pty::Pty;
use std::fmt::Write as _;
use std::hint::black_box;
use std::io::Read as _;
use std::time::{Duration, Instant};

/// Bytes that are fed at once: what a read from a port brings at most.
const READ: usize = 4096;

#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// How many readings a round
    #[arg(long, default_value_t = 1_000_000)]
    readings: usize,
    /// How many rounds
    #[arg(long, default_value_t = 5)]
    rounds: usize,
    /// How many readings go over the pseudo-terminal
    #[arg(long, default_value_t = 2_000)]
    wire: usize,
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let plain = plain_lines(arguments.readings);
    let own = own_lines(arguments.readings);
    let frames = frames(arguments.readings);
    let mut best = [0.0_f64; 6];
    for _ in 0..arguments.rounds {
        let rates = [
            rate("plain-line", &plain, arguments.readings, false)?,
            rate("pullmark-line", &own, arguments.readings, false)?,
            binary_rate(&frames, arguments.readings)?,
            rate("plain-line", &plain, arguments.readings, true)?,
            bare_rate(&plain, arguments.readings)?,
            rate(
                "trace-line",
                &samples(arguments.readings),
                arguments.readings,
                false,
            )?,
        ];
        for (best, rate) in best.iter_mut().zip(rates) {
            *best = best.max(rate);
        }
    }
    let [ascii, summed, binary, written, bare, traced] = best;
    let mut wire = over_a_terminal(arguments.wire)?;
    let mut figures = Figures::default();
    figures
        .add("readings", arguments.readings)
        .add("ascii_readings_per_s", ascii.round())
        .add("ascii_with_checksum_per_s", summed.round())
        .add("ascii_written_out_per_s", written.round())
        .add("ascii_samples_to_pulls_per_s", traced.round())
        .add("binary_samples_per_s", binary.round())
        .add("bare_ascii_per_s", bare.round())
        .add("ratio_ascii", (ascii / bare * 1000.0).round() / 1000.0)
        .add(
            "wire_to_decoded_p50_us",
            microseconds(quantile(&mut wire, 0.5)),
        )
        .add(
            "wire_to_decoded_p99_us",
            microseconds(quantile(&mut wire, 0.99)),
        );
    Ok(figures)
}

fn plain_lines(count: usize) -> Vec<u8> {
    let mut text = String::new();
    for number in 0..count {
        // writing to a string cannot fail
        let _ = write!(text, "{:>3}.{:02} N.m\r\n", number % 25, number % 100);
    }
    text.into_bytes()
}

fn own_lines(count: usize) -> Vec<u8> {
    let mut text = String::new();
    for number in 0..count {
        let body = format!("PULL,{number},{}.{:02},N.m", number % 25, number % 100);
        let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
        let _ = write!(text, "${body}*{sum:02X}\r\n");
    }
    text.into_bytes()
}

fn samples(count: usize) -> Vec<u8> {
    let mut text = String::new();
    for number in 0..count {
        // a pull of 300 samples, then 100 of rest
        let step = number % 400;
        let torque = if step < 300 { step * 17 } else { 0 };
        let _ = writeln!(text, "{}.{:03}", torque / 1000, torque % 1000);
    }
    text.into_bytes()
}

/// Frames of the profile `bare-frames` below: ten samples each.
fn frames(count: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    for number in 0..count.div_ceil(10) {
        let from = bytes.len();
        bytes.extend_from_slice(&[0xA5, 0x5A, u8::try_from(number % 256).unwrap_or_default()]);
        for sample in 0..10 {
            let torque = i16::try_from((number * 10 + sample) % 20_000).unwrap_or_default();
            bytes.extend_from_slice(&torque.to_le_bytes());
        }
        let sum = bytes.iter().skip(from).fold(0_u8, |sum, byte| sum ^ byte);
        bytes.push(sum);
    }
    bytes
}

const FRAMES: &str = "name = \"bare-frames\"\ntitle = \"study\"\n[binary]\nsync = \"A5 5A\"\nlength = 24\n\
    counter = { at = 2, format = \"uint8\" }\nvalue = { at = 3, format = \"sint16\" }\nvalues = 10\nexponent = -3\n\
    unit = \"N.m\"\nchecksum = { kind = \"xor\" }\n";

/// Readings a second. `is_written` makes each one ready for its entry too.
fn rate(profile: &str, bytes: &[u8], count: usize, is_written: bool) -> miette::Result<f64> {
    let profiles = Profiles::built_in().into_diagnostic()?;
    let dialect = profiles
        .find(profile)
        .ok_or_else(|| miette!("no profile {profile}"))?;
    let mut intake = Intake::new(dialect.clone());
    let is_stream = dialect.stream().is_some();
    let mut decoded = 0;
    let start = Instant::now();
    for (at, piece) in (0_u64..).zip(bytes.chunks(READ)) {
        let arrival = Arrival {
            at_us: at * 100,
            after_silence: at == 0,
            since_1970: None,
        };
        intake.feed(piece, arrival, |received| match received.what {
            What::Reading(seen) if is_written => {
                decoded += 1;
                black_box((received.raw.to_vec(), seen.to_value()));
            }
            What::Reading(seen) => {
                decoded += 1;
                black_box(seen);
            }
            other => {
                black_box(other);
            }
        });
    }
    let taken = start.elapsed();
    if decoded != count && !is_stream {
        return Err(miette!(
            "{profile}: {decoded} of {count} readings were decoded"
        ));
    }
    Ok(per_second(count, taken))
}

fn binary_rate(bytes: &[u8], count: usize) -> miette::Result<f64> {
    let dialect = pullmark_daemon::intake::dialect::Dialect::from_toml(FRAMES).into_diagnostic()?;
    let mut intake = Intake::new(dialect);
    let mut decoded = 0;
    let start = Instant::now();
    for piece in bytes.chunks(READ) {
        intake.feed(piece, Arrival::default(), |received| {
            decoded += 1;
            black_box(received.what);
        });
    }
    let taken = start.elapsed();
    if decoded != count.div_ceil(10) * 10 {
        return Err(miette!("{decoded} of {count} samples were decoded"));
    }
    Ok(per_second(decoded, taken))
}

/// Split, cut, parse; no unit map, no limits, no checks.
fn bare_rate(bytes: &[u8], count: usize) -> miette::Result<f64> {
    let start = Instant::now();
    let mut parsed = 0;
    for line in bytes.split(|byte| *byte == b'\n') {
        let text = std::str::from_utf8(line).into_diagnostic()?;
        let mut words = text.split_ascii_whitespace();
        if let (Some(number), Some(unit)) = (words.next(), words.next()) {
            let number: f64 = number.parse().into_diagnostic()?;
            black_box((number, unit));
            parsed += 1;
        }
    }
    let taken = start.elapsed();
    if parsed == count {
        Ok(per_second(count, taken))
    } else {
        Err(miette!("the bare loop parsed {parsed} of {count} lines"))
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
fn per_second(count: usize, taken: Duration) -> f64 {
    count as f64 / taken.as_secs_f64()
}

/// From before the last byte is written until the reading is decoded, on another thread that waits for it.
fn over_a_terminal(count: usize) -> miette::Result<Vec<Duration>> {
    let folder = tempfile::tempdir().into_diagnostic()?;
    let link = folder.path().join("tool");
    let pty = Pty::open(&link).into_diagnostic()?;
    let profiles = Profiles::built_in().into_diagnostic()?;
    let dialect = profiles
        .find("plain-line")
        .ok_or_else(|| miette!("no profile"))?
        .clone();
    let settings = dialect.profile().serial.clone();
    let mut port = pullmark_daemon::edge::serial::open_port(&link.to_string_lossy(), &settings)
        .into_diagnostic()?;
    serialport::SerialPort::set_timeout(&mut port, Duration::from_secs(5)).into_diagnostic()?;
    let (tell, told) = std::sync::mpsc::channel();
    let reader = std::thread::spawn(move || {
        let mut intake = Intake::new(dialect);
        let mut buffer = [0; READ];
        while let Ok(read) = port.read(&mut buffer) {
            let arrival = Arrival {
                at_us: 0,
                after_silence: true,
                since_1970: None,
            };
            let mut is_gone = read == 0;
            intake.feed(
                buffer.get(..read).unwrap_or_default(),
                arrival,
                |received| {
                    black_box(&received);
                    is_gone |= tell.send(Instant::now()).is_err();
                },
            );
            if is_gone {
                return;
            }
        }
    });
    let mut times = Vec::with_capacity(count);
    for _ in 0..count {
        pty.write(b"  5.08 N.m\r").into_diagnostic()?;
        std::thread::sleep(Duration::from_millis(1));
        let start = Instant::now();
        pty.write(b"\n").into_diagnostic()?;
        let decoded = told
            .recv_timeout(Duration::from_secs(5))
            .into_diagnostic()?;
        times.push(decoded.saturating_duration_since(start));
    }
    drop((told, pty));
    // It ends with the terminal.
    let _ = reader.join();
    Ok(times)
}
