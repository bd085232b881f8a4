//! Promise 2, "nothing acknowledged is ever lost or changed", against `kill -9`: the daemon is killed again and again
//! in the middle of a build and started anew, and every time the ledger it left behind is looked at from outside.
//!
//! What this does not show: a loss of power, where the disk forgets what was not synced. The store's own tests drop
//! and tear writes.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, Done, NextView};
use pullmark_schema::entry::{Entry, Event, Unreadable};
use pullmark_schema::record;
use pullmark_sim::random::Random;
use pullmark_tests::ledger::{self, Row};
use pullmark_tests::{Events, Heard, MECHANIC, Stand, plans, stand};
use rustix::process::{Signal, kill_process};
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// How often the daemon is killed at least.
const KILLS: usize = 30;
/// The first number of the chain of random numbers; another one can be tried with `PULLMARK_SEED`.
const SEED: u64 = 20_261_125;

/// A build under way, and everything that was acknowledged so far.
struct Day {
    stand: Stand,
    random: Random,
    /// Entries as they were heard.
    heard: BTreeMap<u64, Vec<u8>>,
    /// Entries that an act was answered with.
    answered: Vec<u64>,
    /// Pulls whose line went into the port, whole.
    pulls: u64,
    /// Lines that ask whether all before them was read.
    asked: u64,
    kills: BTreeMap<&'static str, usize>,
    recovered: u64,
    lost: u64,
}

impl Day {
    fn begin(seed: u64) -> Self {
        let stand = Stand::begin(&plans::long(9));
        let (heard, answered) = (BTreeMap::new(), Vec::new());
        let random = Random::from_seed(seed);
        Self {
            stand,
            random,
            heard,
            answered,
            pulls: 0,
            asked: 0,
            kills: BTreeMap::new(),
            recovered: 0,
            lost: 0,
        }
    }

    fn hear(&mut self, heard: Vec<Heard>) {
        for heard in heard {
            self.heard.insert(heard.sequence, heard.body);
        }
    }

    fn done(&mut self, done: &Done) {
        self.answered.extend(&done.entries);
    }

    /// Waits for an entry and remembers everything that came before it.
    fn wait_for(&mut self, is_wanted: impl Fn(&Heard) -> bool) -> Entry {
        let all = self.stand.events.wait_for(is_wanted);
        let entry = all.last().unwrap().entry();
        self.hear(all);
        entry
    }

    /// Spends a random moment, at most two milliseconds, without giving the processor away: a kill is to land
    /// anywhere in the daemon's work on a line, which takes about that long.
    fn moment(&mut self) {
        let end = Instant::now() + Duration::from_micros(self.random.bits() % 2_000);
        while Instant::now() < end {
            std::hint::spin_loop();
        }
    }

    fn prepare(&mut self, next: &NextView) {
        if !next.prepared {
            let done = self
                .stand
                .shop
                .act(&prepare(&self.stand.build, &next.fastener));
            self.done(&done);
        }
    }

    /// An ordinary pull, seen through to its verdict.
    fn pull(&mut self, next: &NextView) {
        self.send(next);
        let entry = self.wait_for(|heard| heard.kind == "pulled");
        self.settle(&entry, &next.fastener);
    }

    fn send(&mut self, next: &NextView) {
        self.stand
            .wrench_sends(|wrench| wrench.pull(stand::aim(next)).unwrap().bytes);
        self.pulls += 1;
    }

    fn settle(&mut self, entry: &Entry, fastener: &str) {
        let Event::Pulled(pulled) = &entry.event else {
            panic!("no reading")
        };
        if pulled.placement.is_held() {
            let (reading, fastener, by) = (
                entry.sequence,
                Some(fastener.to_owned()),
                MECHANIC.to_owned(),
            );
            let done = self.stand.shop.act(&Act::Place {
                reading,
                fastener,
                pass: None,
                by,
                reason: None,
            });
            self.done(&done);
        }
    }

    /// Kills the daemon while nothing goes on.
    fn kill_idle(&mut self) {
        self.kill("idle");
    }

    /// Kills it at a random moment after the last byte of a line.
    fn kill_after_the_line(&mut self, next: &NextView) {
        self.prepare(next);
        self.send(next);
        self.moment();
        self.kill("after a line");
    }

    /// Kills it between the two halves of a line.
    fn kill_in_the_line(&mut self, next: &NextView) {
        self.prepare(next);
        let line = self.stand.wrench.wrench.frame_pull(stand::aim(next));
        let (first, second) = line.split_at(line.len() / 2);
        self.stand.wrench.port().write(first).unwrap();
        self.moment();
        self.kill("within a line");
        self.stand.wrench.port().write(second).unwrap();
        self.stand.sent.push(line.clone());
        self.pulls += 1;
    }

    /// Kills it at a random moment while an act is under way. An answer that still comes counts as acknowledged.
    fn kill_during_an_act(&mut self, next: &NextView) {
        let act = prepare(&self.stand.build, &next.fastener);
        let process = self.stand.shop.process();
        let wait = Duration::from_micros(self.random.bits() % 4_000);
        let killer = std::thread::spawn(move || {
            let end = Instant::now() + wait;
            while Instant::now() < end {
                std::hint::spin_loop();
            }
            kill_process(process, Signal::KILL).unwrap();
        });
        let answer = self.stand.shop.try_act(&act);
        killer.join().unwrap();
        if let Ok((200, body)) = answer {
            self.done(&serde_json::from_slice(&body).unwrap());
        }
        self.kill("during an act");
    }

    /// Kills the daemon, hears what it still had said, looks at what it left, and starts it again.
    fn kill(&mut self, when: &'static str) {
        *self.kills.entry(when).or_default() += 1;
        self.stand.shop.kill();
        while let Ok(heard) = self.stand.events.hear() {
            self.heard.insert(heard.sequence, heard.body);
        }
        self.stand.shop.pullmark(["ledger", "check"]).ok();
        self.nothing_is_missing();
        self.stand.shop.start();
        let last = self.heard.last_key_value().map(|(sequence, _)| *sequence);
        self.stand.events = self.stand.shop.http().events(last).unwrap();
    }

    /// Every acknowledged entry is in the ledger as it was heard.
    fn nothing_is_missing(&self) -> Vec<Row> {
        let rows = ledger::rows(&self.stand.shop.data());
        let find = |sequence: u64| rows.get(usize::try_from(sequence).unwrap());
        for (sequence, body) in &self.heard {
            let row = find(*sequence)
                .unwrap_or_else(|| panic!("entry {sequence} was heard and is missing"));
            assert_eq!(&row.body, body, "entry {sequence} was changed");
        }
        for sequence in &self.answered {
            assert!(
                find(*sequence).is_some(),
                "entry {sequence} was answered and is missing"
            );
        }
        rows
    }

    /// After a start: waits until the wrench is heard again and all that was in its cable is in the ledger.
    fn catch_up(&mut self, next: &NextView) {
        self.wait_until_connected();
        // Half of the time the mechanic lets the wrench send its last reading again, as people do who saw no verdict.
        if self.stand.wrench.wrench.counter() > 0 && self.random.chance(0.5) {
            self.stand
                .wrench_sends(|wrench| wrench.resend_last().unwrap().bytes);
        }
        self.wait_until_all_is_read();
        let rows = self.nothing_is_missing();
        self.count(&rows);
        self.goes_on_where_the_ledger_says(&rows);
        for held in self.stand.look().held {
            let row = rows
                .iter()
                .find(|row| row.sequence == held.sequence)
                .unwrap();
            self.settle(&row.entry(), &next.fastener);
        }
    }

    fn wait_until_connected(&mut self) {
        let started = self.last_start();
        self.wait_for(|heard| heard.kind == "tool-connected" && heard.sequence > started);
    }

    fn last_start(&self) -> u64 {
        let rows = ledger::rows(&self.stand.shop.data());
        rows.iter()
            .rev()
            .find(|row| matches!(row.entry().event, Event::Started { .. }))
            .unwrap()
            .sequence
    }

    /// Sends a line that is no reading, and waits until the ledger has it: then it has all before it, too.
    fn wait_until_all_is_read(&mut self) {
        self.asked += 1;
        let mark = format!("?all read {}", self.asked);
        self.stand
            .wrench
            .port()
            .write(format!("\r\n{mark}\r\n").as_bytes())
            .unwrap();
        loop {
            let entry = self.wait_for(|heard| heard.kind == "unreadable");
            let path = format!("/v1/entries/{}/attached", entry.sequence);
            if self.stand.shop.http().get(&path).body == mark.as_bytes() {
                return;
            }
        }
    }

    /// Readings stored are between those acknowledged and those sent, and none is there twice.
    fn count(&mut self, rows: &[Row]) {
        let stored: Vec<u64> = rows.iter().filter_map(counter_of).collect();
        let is_rising = stored.windows(2).all(|pair| pair[0] < pair[1]);
        assert!(is_rising, "a pull is in the ledger twice: {stored:?}");
        let acknowledged = self
            .heard
            .values()
            .filter(|body| kind_of(body) == "pulled")
            .count();
        assert!(
            stored.len() >= acknowledged,
            "{} stored, {acknowledged} acknowledged",
            stored.len()
        );
        assert!(
            stored.len() as u64 <= self.pulls,
            "{} stored, {} sent",
            stored.len(),
            self.pulls
        );
        self.lost = self.pulls - stored.len() as u64;
        let again = |row: &&Row| {
            matches!(
                row.entry().event,
                Event::Unreadable {
                    why: Unreadable::AlreadyStored,
                    ..
                }
            )
        };
        self.recovered = rows.iter().filter(again).count() as u64;
    }

    /// The daemon expects what the ledger's entries give, and the page shows the same.
    fn goes_on_where_the_ledger_says(&self, rows: &[Row]) {
        let folded = ledger::fold(rows, &self.stand.build);
        let expected = folded
            .next()
            .map(|step| (step.fastener.id.clone(), step.pass));
        let view = self.stand.look();
        assert_eq!(view.next.map(|next| (next.fastener, next.pass)), expected);
        assert_eq!(view.summary, folded.summary());
    }
}

fn prepare(build: &str, fastener: &str) -> Act {
    Act::Prepare {
        build: build.to_owned(),
        fastener: fastener.to_owned(),
        by: MECHANIC.to_owned(),
    }
}

fn kind_of(body: &[u8]) -> &'static str {
    serde_json::from_slice::<Entry>(body).unwrap().event.kind()
}

fn counter_of(row: &Row) -> Option<u64> {
    match row.entry().event {
        Event::Pulled(pulled) => pulled.reading.counter,
        _ => None,
    }
}

fn seed() -> u64 {
    std::env::var("PULLMARK_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(SEED)
}

#[test]
fn kill_9_in_the_middle_of_a_build_loses_nothing_that_was_acknowledged() {
    let seed = seed();
    println!("PULLMARK_SEED={seed}");
    let mut day = Day::begin(seed);
    while let Some(next) = day.stand.look().next {
        match day.random.bits() % 5 {
            0 => {
                day.prepare(&next);
                day.pull(&next);
                continue;
            }
            1 => day.kill_idle(),
            2 => day.kill_after_the_line(&next),
            3 => day.kill_in_the_line(&next),
            _ => day.kill_during_an_act(&next),
        }
        day.catch_up(&next);
    }
    let kills: usize = day.kills.values().sum();
    println!(
        "{kills} kills: {:?}; {} pulls sent, {} lost before they were acknowledged, {} sent again in vain",
        day.kills, day.pulls, day.lost, day.recovered
    );
    assert!(
        kills >= KILLS && day.kills.len() == 4,
        "too few kills for a test: {:?}",
        day.kills
    );
    assert!(day.pulls >= 30, "too few pulls for a test: {}", day.pulls);
    the_build_can_be_handed_over(&mut day);
}

fn the_build_can_be_handed_over(day: &mut Day) {
    let (build, by) = (day.stand.build.clone(), MECHANIC.to_owned());
    // A fastener whose answer was lost with the daemon is prepared already; the record needs no more.
    for act in [
        Act::Finish {
            build: build.clone(),
            by: by.clone(),
            sure: Some("counted twice".to_owned()),
        },
        Act::Seal { build, by },
    ] {
        let done = day.stand.shop.act(&act);
        day.done(&done);
    }
    let verified = record::verify(&day.stand.record()).expect("the record holds");
    assert!(
        verified.record.subject.not_done.is_empty(),
        "{:?}",
        verified.record.subject.not_done
    );
    assert_eq!(verified.record.subject.summary.within, 27);
    day.nothing_is_missing();
    assert_eq!(day.stand.shop.terminate(), Some(0));
    day.stand.shop.pullmark(["ledger", "check"]).ok();
}

/// A client that hears everything over many restarts hears every entry once.
#[test]
fn a_listener_that_comes_back_after_each_kill_misses_nothing() {
    let mut stand = Stand::begin(&plans::long(2));
    let mut heard: Vec<u64> = Vec::new();
    let mut events: Events = stand.shop.http().events(Some(0)).unwrap();
    for _ in 0..6 {
        let next = stand.look().next.expect("the plan is longer than this");
        stand.do_next(&next);
        stand.shop.kill();
        while let Ok(entry) = events.hear() {
            heard.push(entry.sequence);
        }
        stand.shop.start();
        events = stand
            .shop
            .http()
            .events(heard.last().copied().or(Some(0)))
            .unwrap();
        stand.events = stand.shop.http().events(None).unwrap();
        if !stand.shop.http().get("/v1/bench").json()["tools"][0]["connected"]
            .as_bool()
            .unwrap()
        {
            stand.events.wait_for_kind("tool-connected");
        }
    }
    let last = ledger::entries(&stand.shop.data()).last().unwrap().sequence;
    while heard.last() != Some(&last) {
        heard.push(events.hear().unwrap().sequence);
    }
    assert_eq!(
        heard,
        (1..=last).collect::<Vec<_>>(),
        "every entry once, in its order"
    );
}
