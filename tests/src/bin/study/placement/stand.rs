//! A bench in memory: what is decided is taken in at once, as after it was written. No ledger, no disk, no clock.

use super::clock::{Taken, timed};
use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};
use pullmark_daemon::core::acts::decide_act;
use pullmark_daemon::core::{Bench, Decided, Input, Refusal, decide};
use pullmark_schema::api::Act;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Bike, ENTRY_VERSION, Entry, Event, Now, PlanPin, to_text};
use pullmark_schema::plan::Plan;
use pullmark_schema::tool::Tool;
use std::time::Duration;

/// Who does everything; invented.
const MECHANIC: &str = "Mara Lind";

/// The bench and its clocks.
#[derive(Debug)]
pub(super) struct Stand {
    pub(super) bench: Bench,
    now_ms: u64,
}

impl Stand {
    /// A bench that has just been started.
    pub(super) fn begun() -> Self {
        let mut stand = Self {
            bench: Bench::default(),
            now_ms: 1_000_000,
        };
        let started = Event::Started {
            program: "study".to_owned(),
            key: "none".to_owned(),
            boot: "boot".to_owned(),
            practice_speed: None,
        };
        stand.write(vec![started.into()], None);
        stand
    }

    /// Time passes.
    pub(super) fn pass(&mut self, seconds: f64) {
        let passed = Duration::try_from_secs_f64(seconds).unwrap_or_default();
        self.now_ms += u64::try_from(passed.as_millis()).unwrap_or_default();
    }

    fn now(&self) -> Now {
        let passed = TimeDelta::milliseconds(i64::try_from(self.now_ms).unwrap_or_default());
        Now {
            wall: morning() + passed,
            since_boot_ms: self.now_ms,
        }
    }

    /// A build with a tool of its own. The plan was read before, so it is not read again for each build.
    pub(super) fn begin(&mut self, build: &str, tool: &str, plan: &Plan) {
        let by = MECHANIC.to_owned();
        let tool_added = Event::ToolAdded {
            by: None,
            tool: Box::new(wrench(tool)),
        };
        let started = Event::BuildStarted {
            build: build.to_owned(),
            bike: Bike {
                frame: build.to_owned(),
                label: None,
            },
            plan: PlanPin {
                title: plan.title.clone(),
                edition: plan.edition.clone(),
                sha256: plan.sha256,
            },
            by,
            follows: None,
        };
        let assigned = Event::ToolAssigned {
            by: None,
            tool: tool.to_owned(),
            build: build.to_owned(),
        };
        let decided = [tool_added, started, assigned].map(Decided::from);
        self.write(decided.into(), Some(plan));
    }

    fn write(&mut self, decided: Vec<Decided>, plan: Option<&Plan>) -> Vec<Entry> {
        let now = self.now();
        let mut written = Vec::with_capacity(decided.len());
        for Decided { event, .. } in decided {
            let entry = Entry {
                version: ENTRY_VERSION,
                sequence: self.bench.next_sequence,
                time: to_text(now.wall),
                since_boot_ms: now.since_boot_ms,
                bench: "study".to_owned(),
                previous: Digest32::new([0; 32]),
                in_build: None,
                practice: false,
                event,
            };
            self.bench.apply(&entry, plan);
            written.push(entry);
        }
        written
    }

    /// Something came from a tool. Says how long it took to decide what follows.
    pub(super) fn input(&mut self, input: Input) -> (Vec<Entry>, Taken) {
        let now = self.now();
        let (decided, taken) = timed(|| decide(&self.bench, input, now));
        (self.write(decided, None), taken)
    }

    /// Somebody does something.
    pub(super) fn act(&mut self, act: Act) -> Result<Vec<Entry>, Refusal> {
        let decided = decide_act(&self.bench, act, self.now())?;
        Ok(self.write(decided, None))
    }
}

/// Who does everything.
pub(super) fn mechanic() -> String {
    MECHANIC.to_owned()
}

fn morning() -> DateTime<FixedOffset> {
    NaiveDate::from_ymd_opt(2026, 11, 25)
        .and_then(|day| day.and_hms_opt(8, 0, 0))
        .unwrap_or_default()
        .and_utc()
        .fixed_offset()
}

/// A wrench whose certificate finds it right, with an uncertainty of 1.5 %.
fn wrench(id: &str) -> Tool {
    let points = [1, 20, 60].map(|torque| {
        format!(
            "[[certificate.point]]\nindicated = \"{torque} N·m\"\nreference = \"{torque} N·m\"\nexpanded = \"1.5 %\"\nk = 2\n"
        )
    });
    let text = format!(
        "id = {id:?}\ntitle = \"Study wrench {id}\"\nserial = \"STUDY-{id}\"\nlowest = \"1 N·m\"\nhighest = \"60 N·m\"\n\
         resolution = \"0.01 N·m\"\n[certificate]\nnumber = \"K-2026-118\"\nlaboratory = \"Strand Calibration\"\n\
         date = \"2026-11-20\"\ndue = \"2027-11-20\"\ndrift_per_year = \"0.5 %\"\n{}",
        points.concat()
    );
    Tool::read(&text).unwrap_or_default()
}
