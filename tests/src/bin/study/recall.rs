//! How long a recall takes, from asking until its entries are on disk: over a large ledger, and over one ten times smaller
//! with equally many readings of the tool. The real daemon, the real tables; only the readings are made up and written
//! straight to the ledger.

use crate::figures::Figures;
use miette::{IntoDiagnostic as _, miette};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::store::{Ledger, Prepared};
use pullmark_daemon::service::Service;
use pullmark_schema::api::Act;
use pullmark_schema::canonical::{Digest32, to_canonical_of};
use pullmark_schema::certificate::{CertificateHead, Format};
use pullmark_schema::entry::{Bike, DriftModel, ENTRY_VERSION, Entry, Event, PlanPin, Pulled};
use pullmark_schema::gauge::{Gauge, Shown, Worth, outside};
use pullmark_schema::placement::{Place, Placement, PullKind};
use pullmark_schema::plan::{self, Plan};
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::{Displayed, Origin, Reading};
use pullmark_schema::tool::Tool;
use pullmark_schema::tree::leaf_hash;
use pullmark_schema::verdict::{Verdict, decide};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Fasteners of the study's plan; each is pulled in two passes.
const FASTENERS: usize = 50;
/// Readings of one build.
pub(super) const PULLS: usize = 2 * FASTENERS;
/// The tool that is recalled, and one that makes up the rest.
const BAD: &str = "w7";
pub(super) const GOOD: &str = "w1";
/// Written at once.
const BATCH: usize = 2_000;
/// How often the recall is asked for; the median is given.
const TIMES: usize = 5;
pub(super) const NOON: &str = "2026-06-15T12:00:00.000+02:00";

#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// How many readings the large ledger has
    #[arg(long, default_value_t = 1_000_000)]
    readings: usize,
    /// How many of them are of the tool that is recalled
    #[arg(long, default_value_t = 20_000)]
    tool_readings: usize,
    /// A folder on the disk to be measured; a temporary one below the present folder if left out
    #[arg(long)]
    folder: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let small = (arguments.readings / 10).max(arguments.tool_readings);
    let large = one(arguments, arguments.readings)?;
    let mut figures = large;
    figures.nest("ten_times_smaller", one(arguments, small)?);
    Ok(figures)
}

fn one(arguments: &Arguments, readings: usize) -> miette::Result<Figures> {
    let folder = crate::folder(arguments.folder.as_deref())?;
    let config = Config {
        data: folder.path().to_owned(),
        port: 0,
        ..Config::default()
    };
    let runtime = tokio::runtime::Runtime::new().into_diagnostic()?;
    // The first start makes the bench's key and its first entry.
    let service = Service::start(&config).into_diagnostic()?;
    runtime.block_on(service.stop()).into_diagnostic()?;
    let builds = readings.div_ceil(PULLS);
    let bad = arguments.tool_readings.div_ceil(PULLS).min(builds);
    fill(folder.path(), builds, bad)?;
    let service = Service::start(&config).into_diagnostic()?;
    let mut taken = Vec::new();
    let mut entries = 0;
    for _ in 0..TIMES {
        let (time, made) = recall(&runtime, &service)?;
        taken.push(time);
        entries = made;
    }
    taken.sort_unstable();
    runtime.block_on(service.stop()).into_diagnostic()?;
    let mut figures = Figures::default();
    let at = |part: usize| taken.get(part).copied().unwrap_or_default();
    figures
        .add("readings", builds * PULLS)
        .add("tool_readings", bad * PULLS)
        .add("bikes_affected", entries - 1)
        .add("recall_ms", milliseconds(at(TIMES / 2)))
        .add("recall_worst_ms", milliseconds(at(TIMES - 1)));
    Ok(figures)
}

fn milliseconds(time: Duration) -> f64 {
    (time.as_secs_f64() * 1e5).round() / 100.0
}

/// As found: the tool shows 11 % too much, half a year after it was right, so that every bike has something to list.
const FOUND: &str = "number = \"TM-9002\"\nlaboratory = \"Strand Calibration\"\ndate = 2026-11-02\ndue = 2027-11-02\n\
    state = \"as-found\"\n[[point]]\nindicated = \"2 N·m\"\nreference = \"1.80 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n\
    [[point]]\nindicated = \"20 N·m\"\nreference = \"17.9 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n";

fn recall(
    runtime: &tokio::runtime::Runtime,
    service: &Service,
) -> miette::Result<(Duration, usize)> {
    let act = Act::Recall {
        serial: format!("STUDY-{BAD}"),
        format: Format::Toml,
        text: FOUND.to_owned(),
        head: CertificateHead::default(),
        drift: DriftModel::Linear,
        by: "Runa".to_owned(),
    };
    let begun = Instant::now();
    let done = runtime
        .block_on(service.handle.act(act))
        .into_diagnostic()?
        .into_diagnostic()?;
    Ok((begun.elapsed(), done.entries.len()))
}

/// Writes entries straight to the ledger, chained as the daemon chains them.
pub(super) struct Writer {
    ledger: Ledger,
    waiting: Vec<Prepared>,
    next: u64,
    previous: Digest32,
    /// Whether the bytes that a reading came as are kept beside it, as the daemon keeps them.
    keeps_raw: bool,
}

impl Writer {
    pub(super) fn new(folder: &Path, keeps_raw: bool) -> miette::Result<Self> {
        let ledger = Ledger::open(folder, |_| Ok(())).into_diagnostic()?;
        Ok(Self {
            next: ledger.size(),
            previous: ledger.last_leaf(),
            ledger,
            waiting: Vec::new(),
            keeps_raw,
        })
    }

    pub(super) const fn size(&self) -> u64 {
        self.next
    }

    fn add(&mut self, event: Event, attached: Option<&str>) -> miette::Result<()> {
        let entry = Entry {
            version: ENTRY_VERSION,
            sequence: self.next,
            time: NOON.to_owned(),
            since_boot_ms: 1_000_000 + self.next * 4_000,
            bench: "study".to_owned(),
            previous: self.previous,
            in_build: None,
            practice: false,
            event,
        };
        let body = to_canonical_of(&entry).into_diagnostic()?;
        let leaf = leaf_hash(&body);
        let raw = match &entry.event {
            Event::Pulled(pulled) if self.keeps_raw => pulled.reading.applied.map(raw_of),
            _ => None,
        };
        self.waiting.push(Prepared {
            sequence: self.next,
            body,
            leaf,
            attached: raw.or_else(|| attached.map(|text| text.as_bytes().to_vec())),
        });
        self.previous = leaf;
        self.next += 1;
        if self.waiting.len() >= BATCH {
            self.write()?;
        }
        Ok(())
    }

    pub(super) fn write(&mut self) -> miette::Result<()> {
        if !self.waiting.is_empty() {
            self.ledger.append(&self.waiting).into_diagnostic()?;
            self.waiting.clear();
        }
        Ok(())
    }
}

fn fill(folder: &Path, builds: usize, bad: usize) -> miette::Result<()> {
    let mut writer = Writer::new(folder, false)?;
    let text = plan_text();
    let plan = plan::read(&text)
        .plan
        .ok_or_else(|| miette!("the study's plan has errors"))?;
    let gauges = [GOOD, BAD].map(|id| Gauge::new(&tool(id), &[], &[]));
    for id in [GOOD, BAD] {
        let tool = Box::new(tool(id));
        writer.add(Event::ToolAdded { by: None, tool }, None)?;
    }
    // The builds of the tool in question are spread over the whole ledger.
    let every = (builds / bad.max(1)).max(1);
    for number in 0..builds {
        let is_bad = number % every == 0 && number / every < bad;
        let tool = usize::from(is_bad);
        build(
            &mut writer,
            number,
            &plan,
            &text,
            ([GOOD, BAD][tool], &gauges[tool]),
        )?;
    }
    writer.write()
}

pub(super) fn build(
    writer: &mut Writer,
    number: usize,
    plan: &Plan,
    text: &str,
    (tool, gauge): (&str, &Gauge),
) -> miette::Result<()> {
    let id = format!("bike-{number}");
    let by = "Runa".to_owned();
    let started = Event::BuildStarted {
        build: id.clone(),
        bike: Bike {
            frame: format!("F-{number:06}"),
            label: None,
        },
        plan: PlanPin {
            title: plan.title.clone(),
            edition: plan.edition.clone(),
            sha256: plan.sha256,
        },
        by: by.clone(),
        follows: None,
    };
    writer.add(started, Some(text))?;
    for (pull, step) in plan.steps().enumerate() {
        // From 95 % to 106 % of what is wanted, as evenly as a counter makes it.
        let aim = step.fastener.spec.limits.of_pass(step.percent).aim();
        let spread = i64::try_from((number * 31 + pull * 17) % 111).unwrap_or(0) - 50;
        let shown =
            Torque::from_small_units(aim.small_units() + aim.small_units() * spread / 1_000);
        let place = step.place();
        let limits = step.fastener.spec.limits.of_pass(step.percent).limits;
        let reading = reading(tool, gauge, shown)?;
        let worth = reading.worth.as_ref();
        let expanded_uncertainty = worth.map(Worth::guard);
        let verdict = Verdict {
            answer: decide(
                reading.applied,
                &limits,
                step.fastener.rule,
                expanded_uncertainty,
            ),
            limits,
            rule: step.fastener.rule,
            expanded_uncertainty,
            outside: reading
                .applied
                .zip(worth)
                .map(|(applied, worth)| outside(applied, worth, &limits)),
            cautions: Vec::new(),
        };
        writer.add(pulled(&id, place, reading, verdict), None)?;
    }
    let finished = Event::BuildFinished {
        build: id,
        by,
        sure: None,
    };
    writer.add(finished, None)
}

/// The bytes that a reading is said to have come as.
fn raw_of(applied: Torque) -> Vec<u8> {
    format!("{:>24}\r\n", applied.small_units()).into_bytes()
}

pub(super) fn reading(tool: &str, gauge: &Gauge, torque: Torque) -> miette::Result<Reading> {
    let day = NOON[..10].parse().into_diagnostic()?;
    let shown = Shown { torque, step: None };
    let (applied, worth) = gauge.weigh(shown, None, day);
    Ok(Reading {
        tool: tool.to_owned(),
        origin: Origin::Measured {
            raw: Digest32::of(&raw_of(applied)),
        },
        displayed: Some(Displayed {
            value: torque.small_units().to_string(),
            unit: "mN.m".to_owned(),
        }),
        adapter: None,
        worth: Some(worth),
        applied: Some(applied),
        counter: None,
        flags: Vec::new(),
        trace: None,
    })
}

pub(super) fn pulled(build: &str, place: Place, reading: Reading, verdict: Verdict) -> Event {
    Event::Pulled(Box::new(Pulled {
        reading,
        build: Some(build.to_owned()),
        expected: Some(place.clone()),
        gap_ms: Some(4_000),
        placement: Placement::ByOrder {
            place,
            kind: PullKind::Next,
            probability_millionths: 990_000,
            why: None,
            others: Vec::new(),
        },
        verdict: Some(verdict),
        alarm: None,
    }))
}

pub(super) fn tool(id: &str) -> Tool {
    let points = [2, 8, 20].map(|torque| {
        format!(
            "[[certificate.point]]\nindicated = \"{torque} N·m\"\nreference = \"{torque} N·m\"\nexpanded = \"1 %\"\nk = 2\n"
        )
    });
    let text = format!(
        "id = {id:?}\ntitle = \"Study wrench {id}\"\nserial = \"STUDY-{id}\"\nresolution = \"0.01 N·m\"\n[certificate]\n\
         number = \"TM-9001\"\nlaboratory = \"Strand Calibration\"\ndate = \"2026-05-02\"\ndue = \"2027-05-02\"\n\
         repeatability = \"0.3 %\"\nrepeatability_readings = 5\ndrift_per_year = \"0.5 %\"\n{}",
        points.concat()
    );
    Tool::read(&text).unwrap_or_default()
}

pub(super) fn plan_text() -> String {
    let mut text = "title = \"study\"\nedition = \"1\"\nrule = \"simple\"\n[[stage]]\nid = \"s\"\ntitle = \"Stage\"\n\
                    passes = [0.6, 1.0]\n"
        .to_owned();
    for fastener in 0..FASTENERS {
        let joint = if fastener % 5 == 0 { "carbon" } else { "metal" };
        // writing to a string cannot fail
        let _ = write!(
            text,
            "[[stage.fastener]]\nid = \"f{fastener}\"\ntitle = \"Fastener {fastener}\"\nprep = [\"carbon paste\"]\n\
             joint = \"{joint}\"\nspec = {{ target = \"{} N·m\" }}\n",
            4 + fastener % 9
        );
    }
    text
}
