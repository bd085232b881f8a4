//! The demo's mechanic: looks what comes next, puts the prep on, pulls, reads the verdict. Time between pulls is
//! shortened by letting the practice clock skip ahead.

use super::MECHANIC;
use super::bench::DemoBench;
use crate::client::segment;
use crate::events::Events;
use crate::print::{Ink, Titles, entry_line, line};
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_schema::api::{Act, BenchView, BuildView, Done};
use pullmark_schema::entry::{Bike, Entry, Event};
use std::time::Duration;

/// What a mechanic takes from bolt to bolt, in milliseconds of the practice clock.
pub(crate) const TO_THE_NEXT: u64 = 7_000;
/// What a repeat click takes.
pub(crate) const TO_A_REPEAT: u64 = 900;
/// How long the demo really waits between pulls, so that people can read along.
const READ_ALONG: Duration = Duration::from_millis(550);
/// Nothing in the demo takes longer than this.
const PATIENCE: Duration = Duration::from_secs(10);

/// What the mechanic measures with.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Measures {
    /// A length.
    Calliper,
    /// A pressure.
    Gauge,
}

/// Works at the demo's bench.
pub(crate) struct Mechanic<'b> {
    pub(crate) bench: &'b mut DemoBench,
    pub(crate) build: String,
    events: Events,
    titles: Titles,
    is_fast: bool,
    ink: Ink,
}

impl<'b> Mechanic<'b> {
    /// Begins the build and waits until the wrench is heard.
    pub(crate) async fn begin(
        bench: &'b mut DemoBench,
        is_fast: bool,
        ink: Ink,
    ) -> miette::Result<Self> {
        let view: BenchView = bench.client.get("/v1/bench").await.into_diagnostic()?;
        let mut waited = view.tools.iter().filter(|tool| !tool.connected).count();
        let mut events = Events::open(&bench.client, Some(view.sequence))
            .await
            .into_diagnostic()?;
        while waited > 0 {
            wait_for(&mut events, |entry| {
                matches!(entry.event, Event::ToolConnected { .. })
            })
            .await?;
            waited -= 1;
        }
        let start = Act::StartBuild {
            build: None,
            bike: Bike {
                frame: "HL-2611-07".to_owned(),
                label: Some("Mossgreen allroad".to_owned()),
            },
            plan: include_str!("plan.toml").to_owned(),
            by: MECHANIC.to_owned(),
            tools: ["w1", "c1", "g1"].map(str::to_owned).to_vec(),
            follows: None,
            due: Vec::new(),
        };
        let done = bench.client.act(&start).await.into_diagnostic()?;
        let build = done.build.ok_or_else(|| miette!("the build has no name"))?;
        let titles = Titles::ask(&bench.client).await.into_diagnostic()?;
        let mut mechanic = Self {
            bench,
            build,
            events,
            titles,
            is_fast,
            ink,
        };
        mechanic.hear(&done.entries).await?;
        Ok(mechanic)
    }

    /// How the build stands.
    pub(crate) async fn look(&self) -> miette::Result<BuildView> {
        let path = format!("/v1/builds/{}", segment(&self.build));
        self.bench.client.get(&path).await.into_diagnostic()
    }

    /// Pulls once, `after` milliseconds of practice time, and shows what the ledger says about it.
    pub(crate) async fn pull(&mut self, newton_metre: f64, after: u64) -> miette::Result<Entry> {
        let wait = match (self.is_fast, after) {
            (true, _) => Duration::ZERO,
            (false, TO_A_REPEAT) => READ_ALONG / 3,
            (false, _) => READ_ALONG,
        };
        tokio::time::sleep(wait).await;
        let waited = u64::try_from(wait.as_millis()).unwrap_or(after);
        self.bench.skip.ahead(after.saturating_sub(waited));
        self.bench.wrench.pull(newton_metre).into_diagnostic()?;
        let entry = wait_for(&mut self.events, |entry| {
            matches!(entry.event, Event::Pulled(_))
        })
        .await?;
        self.show(&entry);
        Ok(entry)
    }

    /// Measures something with the calliper or the gauge, and shows what the ledger says about it.
    pub(crate) async fn measure(
        &mut self,
        tool: Measures,
        value: &str,
        unit: &str,
    ) -> miette::Result<Entry> {
        let wait = if self.is_fast {
            Duration::ZERO
        } else {
            READ_ALONG
        };
        tokio::time::sleep(wait).await;
        self.bench.skip.ahead(TO_THE_NEXT);
        let gauge = match tool {
            Measures::Calliper => &mut self.bench.calliper,
            Measures::Gauge => &mut self.bench.gauge,
        };
        gauge.show(value, unit).into_diagnostic()?;
        let entry = wait_for(&mut self.events, |entry| {
            matches!(entry.event, Event::CheckMeasured(_))
        })
        .await?;
        self.show(&entry);
        Ok(entry)
    }

    /// Does something, and shows what the ledger says about it.
    pub(crate) async fn act(&mut self, act: Act) -> miette::Result<Done> {
        let done = self.bench.client.act(&act).await.into_diagnostic()?;
        self.hear(&done.entries).await?;
        Ok(done)
    }

    async fn hear(&mut self, entries: &[u64]) -> miette::Result<()> {
        for sequence in entries {
            let entry = wait_for(&mut self.events, |entry| entry.sequence == *sequence).await?;
            self.show(&entry);
        }
        Ok(())
    }

    fn show(&mut self, entry: &Entry) {
        self.titles.remember(entry);
        if let Some(text) = entry_line(entry, &self.titles, self.ink)
            && !matches!(entry.event, Event::Prepared(_))
        {
            line(&text);
        }
    }

    /// Says something that is no entry.
    pub(crate) fn say(&self, text: &str) {
        line(&self.ink.faint(text));
    }

    /// Hands the build over and seals its record.
    pub(crate) async fn finish(mut self, by: &str) -> miette::Result<String> {
        let (build, by) = (self.build.clone(), by.to_owned());
        self.act(Act::Finish {
            build: build.clone(),
            by: by.clone(),
            sure: None,
        })
        .await?;
        self.act(Act::Seal {
            build: build.clone(),
            by,
        })
        .await?;
        Ok(build)
    }
}

async fn wait_for(
    events: &mut Events,
    is_wanted: impl Fn(&Entry) -> bool,
) -> miette::Result<Entry> {
    let wait = async {
        loop {
            match events.next().await.into_diagnostic()? {
                Some(entry) if is_wanted(&entry) => return Ok(entry),
                Some(_) => {}
                None => return Err(miette!("the daemon ended")),
            }
        }
    };
    tokio::time::timeout(PATIENCE, wait)
        .await
        .into_diagnostic()
        .wrap_err("the daemon does not answer")?
}
