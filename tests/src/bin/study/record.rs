//! How long it takes to seal a record and to set it as a PDF, and to check a whole ledger end to end beside reading and hashing
//! the same bytes.

use crate::figures::{Figures, quantile};
use crate::recall::{self, GOOD, NOON, PULLS, Writer};
use miette::{IntoDiagnostic as _, ensure, miette};
use pullmark_daemon::core::seal::{Means, seal};
use pullmark_daemon::core::{Bench, Decided};
use pullmark_daemon::edge::store::{Reader, check};
use pullmark_paper::{Letterhead, Paper};
use pullmark_schema::SigningKey;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Bike, ENTRY_VERSION, Entry, Event, Now, PlanPin};
use pullmark_schema::gauge::{Gauge, Worth, outside};
use pullmark_schema::keys::{KeyLink, NewKey, hash_of};
use pullmark_schema::map::{self, Spot};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::plan::{self, Plan};
use pullmark_schema::record;
use pullmark_schema::sheet::sheet;
use pullmark_schema::tree::{Frontier, leaf_hash};
use pullmark_schema::verdict::{Verdict, decide};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How often a record is sealed; the median is given.
const SEALS: usize = 51;
/// The build that is sealed: 60 fasteners in three passes and 10 in two.
const THRICE: usize = 60;
const TWICE: usize = 10;

#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// How many entries the ledger has, or a few more
    #[arg(long, default_value_t = 1_000_000)]
    entries: usize,
    /// How often the PDF is made and the ledger checked; the median is given
    #[arg(long, default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..))]
    times: u16,
    /// A folder on the disk to be measured; a temporary one below the present folder if left out
    #[arg(long)]
    folder: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let mut figures = Figures::default();
    let sealed = sealing(&mut figures)?;
    setting(&sealed, arguments.times, &mut figures)?;
    let folder = crate::folder(arguments.folder.as_deref())?;
    let begun = Instant::now();
    let entries = fill(folder.path(), arguments.entries)?;
    figures.add("fill_ms", milliseconds(begun.elapsed()));
    figures.add("entries", entries);
    let mut reading = Vec::new();
    let mut checking = Vec::new();
    // One after the other, so that neither has the quieter machine.
    for _ in 0..arguments.times {
        let (time, root) = read_and_hash(folder.path())?;
        reading.push(time);
        let begun = Instant::now();
        let checked = check(folder.path()).into_diagnostic()?;
        checking.push(begun.elapsed());
        ensure!(checked.entries == entries, "an entry was not checked");
        ensure!(checked.root == root, "the check came to another root");
    }
    let read = milliseconds(quantile(&mut reading, 0.5));
    let checked = milliseconds(quantile(&mut checking, 0.5));
    figures.add("read_and_hash_ms", read);
    figures.add("check_ms", checked);
    figures.add("ratio_check", (checked / read * 1_000.0).round() / 1_000.0);
    figures.add("ratio_check_limit", 2.0);
    Ok(figures)
}

fn milliseconds(time: Duration) -> f64 {
    (time.as_secs_f64() * 1e6).round() / 1e3
}

/// Reads every entry with the bytes it names, hashes both, and comes to the root: what no check can do without.
fn read_and_hash(folder: &Path) -> miette::Result<(Duration, Digest32)> {
    let begun = Instant::now();
    let reader = Reader::open(folder).into_diagnostic()?;
    let mut tree = Frontier::new();
    let mut attached = 0_u64;
    reader
        .each_raw(0, u64::MAX, |raw| {
            tree.append(leaf_hash(raw.body));
            if let Some(bytes) = raw.attached {
                // Looked at, so that it cannot be left out.
                attached += u64::from(Digest32::of(bytes).as_bytes()[0]);
            }
            Ok(())
        })
        .into_diagnostic()?;
    ensure!(attached > 0, "nothing was attached");
    let root = tree.root();
    Ok((begun.elapsed(), root))
}

fn fill(folder: &Path, entries: usize) -> miette::Result<u64> {
    let mut writer = Writer::new(folder, true)?;
    let text = recall::plan_text();
    let plan = plan::read(&text)
        .plan
        .ok_or_else(|| miette!("the study's plan has errors"))?;
    let gauge = Gauge::new(&recall::tool(GOOD), &[], &[]);
    // A build has an entry at its beginning and one at its end.
    for number in 0..entries.div_ceil(PULLS + 2) {
        recall::build(&mut writer, number, &plan, &text, (GOOD, &gauge))?;
    }
    writer.write()?;
    Ok(writer.size())
}

/// Sets the record as the export does: from the bytes of the file, checked beforehand, with the drawing of the bike.
fn setting(file: &[u8], times: u16, figures: &mut Figures) -> miette::Result<()> {
    let verified = record::verify(file).into_diagnostic()?;
    let shown = &verified.record;
    let sha256 = verified.sha256.to_string();
    let sheet = sheet(shown, &sha256, &verified.fingerprint.to_string());
    let spots = Spot::all(&shown.subject);
    ensure!(!spots.is_empty(), "no fastener has a place on the bike");
    let drawing = map::picture(shown.subject.frame, &spots);
    let paper = Paper {
        sheet: &sheet,
        record: file,
        code: &sha256,
        sealed: &shown.valid_from,
        map: drawing
            .as_ref()
            .map(|(svg, words)| (svg.as_str(), words.as_str())),
        letterhead: &Letterhead::default(),
        customer: None,
    };
    let mut taken = Vec::new();
    let mut bytes = 0;
    for _ in 0..times {
        pullmark_paper::forget();
        let begun = Instant::now();
        bytes = pullmark_paper::pdf(&paper).into_diagnostic()?.len();
        taken.push(begun.elapsed());
    }
    figures.add("pdf_bytes", bytes);
    figures.add("pdf_ms", milliseconds(quantile(&mut taken, 0.5)));
    figures.add("pdf_ms_limit", 500.0);
    Ok(())
}

/// Gives back the last sealed record.
fn sealing(figures: &mut Figures) -> miette::Result<Vec<u8>> {
    let key = SigningKey::from_bytes(&[7; 32]);
    let bench = bench(&key)?;
    let readings = bench.builds["bike-0"].readings.len();
    let fasteners = bench.builds["bike-0"].plan.fasteners().count();
    let mut times = Vec::new();
    let mut record = Vec::new();
    for number in 0..SEALS {
        let means = Means {
            bench: "study",
            key: &key,
            random: [u8::try_from(number).unwrap_or(0); 16],
            secret: [9; 32],
            head: (bench.next_sequence, Digest32::of(b"head")),
        };
        let now = now()?;
        let begun = Instant::now();
        let sealed = seal(&bench, "bike-0", "Runa".to_owned(), None, &means, now);
        let Decided { attached, .. } = sealed.into_diagnostic()?;
        times.push(begun.elapsed());
        record = attached.ok_or_else(|| miette!("nothing was sealed"))?;
    }
    figures.add("fasteners", fasteners);
    figures.add("readings", readings);
    figures.add("record_bytes", record.len());
    figures.add("seal_ms", milliseconds(quantile(&mut times, 0.5)));
    figures.add("seal_ms_limit", 10.0);
    Ok(record)
}

fn now() -> miette::Result<Now> {
    Ok(Now {
        wall: chrono::DateTime::parse_from_rfc3339(NOON).into_diagnostic()?,
        since_boot_ms: 1,
    })
}

/// A bench with a key history and one finished build.
fn bench(key: &SigningKey) -> miette::Result<Bench> {
    let text = sealed_plan();
    let plan = plan::read(&text)
        .plan
        .ok_or_else(|| miette!("the study's plan has errors"))?;
    let mut bench = Bench::default();
    let did = DidKey::of(key);
    let new = NewKey {
        key: did,
        next: hash_of(&did),
        recovery: hash_of(&did),
        valid_from: NOON,
    };
    let link = KeyLink::first(&new, key, None).into_diagnostic()?;
    let mut add = |event: Event| {
        let entry = Entry {
            version: ENTRY_VERSION,
            sequence: bench.next_sequence,
            time: NOON.to_owned(),
            since_boot_ms: 1_000_000 + bench.next_sequence * 4_000,
            bench: "study".to_owned(),
            previous: Digest32::new([0; 32]),
            in_build: None,
            practice: false,
            event,
        };
        bench.apply(&entry, Some(&plan));
    };
    add(Event::Started {
        program: "study".to_owned(),
        key: did.multikey(),
        boot: "study".to_owned(),
        practice_speed: None,
    });
    add(Event::KeyLinked(Box::new(link)));
    add(Event::ToolAdded {
        by: None,
        tool: Box::new(recall::tool(GOOD)),
    });
    for event in day(&plan)? {
        add(event);
    }
    Ok(bench)
}

fn day(plan: &Plan) -> miette::Result<Vec<Event>> {
    let by = "Runa".to_owned();
    let gauge = Gauge::new(&recall::tool(GOOD), &[], &[]);
    let mut events = vec![Event::BuildStarted {
        build: "bike-0".to_owned(),
        bike: Bike {
            frame: "F-000000".to_owned(),
            label: None,
        },
        plan: PlanPin {
            title: plan.title.clone(),
            edition: plan.edition.clone(),
            sha256: plan.sha256,
        },
        by: by.clone(),
        follows: None,
    }];
    for step in plan.steps() {
        let pass = step.fastener.spec.limits.of_pass(step.percent);
        let limits = pass.limits;
        let reading = recall::reading(GOOD, &gauge, pass.aim())?;
        let worth = reading.worth.as_ref();
        let expanded_uncertainty = worth.map(Worth::guard);
        let rule = step.fastener.rule;
        let verdict = Verdict {
            answer: decide(reading.applied, &limits, rule, expanded_uncertainty),
            limits,
            rule,
            expanded_uncertainty,
            outside: reading
                .applied
                .zip(worth)
                .map(|(applied, worth)| outside(applied, worth, &limits)),
            cautions: Vec::new(),
        };
        events.push(recall::pulled("bike-0", step.place(), reading, verdict));
    }
    events.push(Event::BuildFinished {
        build: "bike-0".to_owned(),
        by,
        sure: Some("counted twice".to_owned()),
    });
    Ok(events)
}

fn sealed_plan() -> String {
    let mut text =
        "title = \"study\"\nedition = \"1\"\nrule = \"simple\"\nframe = \"flat-bar\"\n".to_owned();
    let stages = [("a", "[0.4, 0.7, 1.0]", THRICE), ("b", "[0.6, 1.0]", TWICE)];
    for (id, passes, fasteners) in stages {
        // writing to a string cannot fail
        let _ = write!(
            text,
            "[[stage]]\nid = \"{id}\"\ntitle = \"Stage {id}\"\npasses = {passes}\n"
        );
        for number in 0..fasteners {
            let _ = write!(
                text,
                "[[stage.fastener]]\nid = \"{id}{number}\"\ntitle = \"Fastener {id}{number}\"\nat = \"pivot\"\nprep = [\"grease\"]\n\
                 spec = {{ target = \"{} N·m\" }}\n",
                4 + number % 9
            );
        }
    }
    text
}
