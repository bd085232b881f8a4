//! Every decoder against bytes that nobody would send, on the stable toolchain: a generator that cuts, joins, flips and repeats
//! what the captures hold. One second a decoder unless `PULLMARK_FUZZ_SECONDS` says how long for all. `tests/fuzz` has the same
//! properties for libFuzzer, which also knows which bytes lead further.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_daemon::intake::capture::{Capture, Happened};
use pullmark_daemon::intake::dialect::Dialect;
use pullmark_daemon::intake::gatt::{Carrier, Presentation};
use pullmark_daemon::intake::profiles::Profiles;
use pullmark_daemon::intake::teach::{Example, teach};
use pullmark_daemon::intake::trace::{Drawn, draw, unpack};
use pullmark_daemon::intake::{Arrival, Delivery, Intake};
use pullmark_sim::random::Random;
use pullmark_tests::programs::workspace;
use std::time::{Duration, Instant};

/// What may be kept of a line or a frame.
const MOST: usize = 4_096 + 64;

/// The bytes of all captures.
fn seeds() -> Vec<Vec<u8>> {
    let folder = std::fs::read_dir(workspace().join("tests/captures")).unwrap();
    let files = folder.map(|file| file.unwrap().path());
    let mut seeds: Vec<(std::path::PathBuf, Vec<u8>)> = files
        .filter(|path| path.extension().is_some_and(|ending| ending == "capture"))
        .map(|path| {
            let capture = Capture::read(&std::fs::read_to_string(&path).unwrap()).unwrap();
            let bytes = capture
                .events
                .into_iter()
                .filter_map(|(_, happened)| match happened {
                    Happened::Bytes(bytes) => Some(bytes),
                    _ => None,
                });
            let bytes: Vec<u8> = bytes.flatten().take(3_000).collect();
            (path, bytes)
        })
        .collect();
    seeds.sort();
    seeds.into_iter().map(|(_, bytes)| bytes).collect()
}

fn below(random: &mut Random, most: usize) -> usize {
    usize::try_from(random.bits() % u64::try_from(most.max(1)).unwrap()).unwrap()
}

fn mutated(random: &mut Random, seeds: &[Vec<u8>]) -> Vec<u8> {
    let mut bytes = Vec::new();
    for _ in 0..=below(random, 3) {
        let seed = &seeds[below(random, seeds.len())];
        let from = below(random, seed.len());
        let to = (from + below(random, 200)).min(seed.len());
        bytes.extend_from_slice(&seed[from..to]);
    }
    for _ in 0..below(random, 8) {
        let at = below(random, bytes.len());
        let byte = u8::try_from(random.bits() % 256).unwrap();
        match below(random, 4) {
            0 if !bytes.is_empty() => bytes[at] = byte,
            1 if !bytes.is_empty() => drop(bytes.remove(at)),
            2 => bytes
                .splice(at..at, std::iter::repeat_n(byte, below(random, 300)))
                .for_each(drop),
            _ => bytes.insert(at.min(bytes.len()), byte),
        }
    }
    bytes
}

fn read(dialect: &Dialect, pieces: &[&[u8]]) -> (Vec<String>, Option<Vec<u8>>) {
    let mut intake = Intake::new(dialect.clone());
    let mut all = Vec::new();
    for piece in pieces {
        intake.feed(piece, Arrival::default(), |received| {
            all.push(received.to_string());
        });
    }
    let partial = intake.partial();
    (all, partial)
}

fn streams(dialects: &[Dialect], bytes: &[u8], which: usize, cut: usize) {
    let dialect = &dialects[which % dialects.len()];
    let whole = read(dialect, &[bytes]);
    let (head, tail) = bytes.split_at(cut % (bytes.len() + 1));
    assert_eq!(
        read(dialect, &[head, tail]),
        whole,
        "{}",
        bytes.escape_ascii()
    );
    let single: Vec<&[u8]> = bytes.chunks(1).collect();
    assert_eq!(read(dialect, &single), whole, "{}", bytes.escape_ascii());
    assert!(dialect.stream().is_some() || whole.1.is_none_or(|partial| partial.len() <= MOST));
}

/// An instrument that answers whatever it is asked with these bytes, piece by piece, at times of its own; and the same bytes as
/// messages of a broker. Asking goes on, nothing grows, and what is sent stays a question.
fn answers(dialects: &[Dialect], bytes: &[u8], which: usize, cut: usize) {
    let dialect = &dialects[which % dialects.len()];
    let mut intake = Intake::new(dialect.clone());
    let (mut at_us, mut asked) = (0, 0_u32);
    let mut pieces = bytes.chunks(cut % 40 + 1);
    for _ in 0..200 {
        at_us = intake
            .due()
            .unwrap_or(at_us)
            .clamp(at_us, at_us + 10_000_000)
            + 1_000;
        intake.tick(at_us, |_| {});
        if let Some(question) = intake.take_send() {
            asked += 1;
            assert!(question.len() <= 64, "{}", question.escape_ascii());
        }
        let Some(piece) = pieces.next() else { continue };
        let arrival = Arrival {
            at_us,
            since_1970: Some(1_772_614_800),
            ..Arrival::default()
        };
        intake.feed(piece, arrival, |received| {
            assert!(dialect.stream().is_some() || received.raw.len() <= MOST);
        });
        let delivery = [
            Delivery::Fresh,
            Delivery::Doubtful,
            Delivery::Again,
            Delivery::Retained,
        ];
        intake.message(piece, delivery[cut % 4], arrival, |_| {});
        if cut.is_multiple_of(7) {
            intake.reopen(at_us);
        }
    }
    assert!(!dialect.is_asked() || asked > 0, "it asks");
    assert!(dialect.stream().is_some() || intake.partial().is_none_or(|held| held.len() <= MOST));
}

fn values(bytes: &[u8], which: usize) {
    match which % 4 {
        0 => {
            let (descriptor, value) = bytes.split_at(bytes.len().min(7));
            let carriers = [
                Carrier::Torque,
                Carrier::Force,
                Carrier::Length,
                Carrier::Weight,
                Carrier::Pressure,
                Carrier::Temperature,
            ];
            for carrier in carriers
                .into_iter()
                .chain(Presentation::read_descriptor(descriptor).map(Carrier::Presented))
            {
                let _ = carrier.read(value);
            }
        }
        1 => {
            if let Some(samples) = unpack(&[b"PMT1".as_slice(), bytes].concat()) {
                let _ = draw(&Drawn {
                    samples: &samples,
                    limits: &[("upper", 5_500)],
                    first_peak: Some(5_000),
                });
            }
        }
        2 => {
            if let Ok(capture) = Capture::read(&String::from_utf8_lossy(bytes)) {
                assert_eq!(Capture::read(&capture.to_string()), Ok(capture));
            }
        }
        _ => {
            let examples: Vec<Example> = bytes
                .split(|byte| *byte == b'\n')
                .take(3)
                .map(|line| Example {
                    bytes: vec![(0, [line, b"\r\n"].concat())],
                    shown: String::from_utf8_lossy(line)
                        .chars()
                        .filter(|c| c.is_ascii_digit() || *c == '.')
                        .collect(),
                })
                .collect();
            if let Ok(taught) = teach("mine", &examples) {
                assert!(Dialect::from_toml(&taught.file).is_ok(), "{}", taught.file);
            }
        }
    }
}

#[test]
fn no_bytes_are_too_much_for_any_decoder() {
    let seconds = std::env::var("PULLMARK_FUZZ_SECONDS")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(2);
    let until = Instant::now() + Duration::from_secs(seconds);
    let profiles = Profiles::built_in().unwrap();
    let names: Vec<String> = profiles.names().map(str::to_owned).collect();
    let dialects: Vec<Dialect> = names
        .iter()
        .filter_map(|name| profiles.find(name).cloned())
        .collect();
    let seeds = seeds();
    // Another one each day, so that CI goes on looking; it is printed where anything fails.
    let seed = std::env::var("PULLMARK_FUZZ_SEED")
        .ok()
        .and_then(|text| text.parse().ok());
    let seed = seed.unwrap_or_else(|| {
        std::time::UNIX_EPOCH
            .elapsed()
            .map_or(1, |time| time.as_secs() / 86_400)
    });
    println!("PULLMARK_FUZZ_SEED={seed}");
    let mut random = Random::from_seed(seed);
    let mut runs = 0_u64;
    while Instant::now() < until {
        let bytes = mutated(&mut random, &seeds);
        let (which, cut) = (below(&mut random, 1 << 16), below(&mut random, 1 << 16));
        streams(&dialects, &bytes, which, cut);
        answers(&dialects, &bytes, which, cut);
        values(&bytes, which);
        runs += 1;
    }
    println!("{runs} runs in {seconds} s");
    assert!(runs > 20, "only {runs} runs");
}
