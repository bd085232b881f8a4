//! For the tests of this crate: an invented shop with its plan and wrench, and random days at its bench.
//!
//! It is compiled for tests alone. People, bikes and values are invented.

use crate::core::acts::decide_act;
use crate::core::place::habits::Habits;
use crate::core::{Bench, Decided, Input, Refusal, decide};
use crate::edge::clock::Clock;
use crate::edge::store::Projections;
use crate::intake::dialect::Value;
use crate::run::{self, Handle, Heart, Message, RunError, Settings};
use chrono::{DateTime, TimeDelta};
use proptest::prelude::*;
use pullmark_schema::api::{Act, Done};
use pullmark_schema::build::Build;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Bike, Decision, ENTRY_VERSION, Entry, Event, Now, Pulled, to_text};
use pullmark_schema::placement::Placement;
use pullmark_schema::plan;
use pullmark_schema::quantity::{Rounding, Stated, Torque};
use pullmark_schema::reading::{Displayed, Flag, Origin, Reading};
use pullmark_schema::tool::Tool;
use std::fmt::Write as _;
use std::path::Path;
use std::thread::JoinHandle;
use tokio::sync::oneshot;

/// The wrench.
pub(crate) const WRENCH: &str = "w1";
/// The build.
pub(crate) const BUILD: &str = "ferry";
/// Who does it.
pub(crate) const MARA: &str = "Mara";
/// Who looks.
pub(crate) const OLE: &str = "Ole";

/// One carbon clamp, four bolts crosswise in two passes, two heavy joints one of them left-handed, one bare maximum.
pub(crate) const PLAN: &str = r#"
title = "Ferry commuter 54"
edition = "2026-11"

[[stage]]
id = "seat"
title = "Seat post"
[[stage.fastener]]
id = "seat.clamp"
title = "Seat clamp bolt"
joint = "carbon"
spec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }
prep = ["carbon paste on the post"]
second_look = true

[[stage]]
id = "stem"
title = "Stem face plate"
pattern = "cross"
passes = [0.6, 1.0]
[[stage.fastener]]
id = "stem.1"
title = "Face plate 1"
spec = { target = "6 N·m" }
prep = ["dry"]
[[stage.fastener]]
id = "stem.2"
title = "Face plate 2"
spec = { target = "6 N·m" }
prep = ["dry"]
[[stage.fastener]]
id = "stem.3"
title = "Face plate 3"
spec = { target = "6 N·m" }
prep = ["dry"]
[[stage.fastener]]
id = "stem.4"
title = "Face plate 4"
spec = { target = "6 N·m" }
prep = ["dry"]

[[stage]]
id = "crank"
title = "Cranks"
[[stage.fastener]]
id = "crank.left"
title = "Left crank arm"
spec = { target = "40 N·m" }
prep = ["grease"]
[[stage.fastener]]
id = "pedal.left"
title = "Left pedal"
thread = { size = "9/16-20", hand = "left" }
spec = { target = "35 N·m" }
prep = ["grease"]

[[stage]]
id = "bottle"
title = "Bottle cage"
[[stage.fastener]]
id = "bottle.1"
title = "Bottle cage bolt"
spec = { upper = "3 N·m" }
prep = ["grease"]
"#;

/// A moment so long after the machine was started at eight in the morning.
pub(crate) fn moment(since_boot_ms: u64) -> Now {
    let start = DateTime::parse_from_rfc3339("2026-11-25T08:00:00.000+01:00").unwrap();
    let passed = TimeDelta::milliseconds(i64::try_from(since_boot_ms).unwrap());
    Now {
        wall: start + passed,
        since_boot_ms,
    }
}

pub(crate) fn torque(small: i64) -> Torque {
    Torque::from_small_units(small)
}

/// A wrench with a certificate, 2 to 60 N·m.
pub(crate) fn wrench(id: &str) -> Tool {
    let text = format!(
        "id = {id:?}\ntitle = \"Bench wrench\"\nserial = \"KR-{id}\"\nlowest = \"2 N·m\"\nhighest = \"60 N·m\"\n\
         [certificate]\nnumber = \"PL-0311\"\nlaboratory = \"Tarn Metrology\"\ndate = \"2026-05-04\"\ndue = \"2027-05-04\"\ndrift_per_year = \"0.4 %\"\n\
         [[certificate.point]]\nindicated = \"0.1 N·m\"\nreference = \"0.1 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n\n[[certificate.point]]\nindicated = \"100 N·m\"\nreference = \"100 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n"
    );
    Tool::read(&text).unwrap()
}

/// A value in N·m as a display with three decimals shows it.
pub(crate) fn shows(small: i64) -> Value {
    let sign = if small < 0 { "-" } else { "" };
    let digits = format!(
        "{sign}{}.{:03}",
        small.unsigned_abs() / 1000,
        small.unsigned_abs() % 1000
    );
    Value {
        displayed: Some(Displayed {
            value: digits,
            unit: "N.m".to_owned(),
        }),
        torque: Some(torque(small)),
        counter: None,
        flags: Vec::new(),
    }
}

/// Past the tool's range, without a value.
pub(crate) fn past_its_range() -> Value {
    Value {
        displayed: None,
        torque: None,
        counter: None,
        flags: vec![Flag::OverRange],
    }
}

/// The reading that a value becomes.
pub(crate) fn reading(value: Value) -> Reading {
    Reading {
        adapter: None,
        worth: None,
        tool: WRENCH.to_owned(),
        origin: Origin::Measured {
            raw: Digest32::new([0; 32]),
        },
        displayed: value.displayed,
        applied: value.torque,
        counter: value.counter,
        flags: value.flags,
        trace: None,
    }
}

/// A value from the wrench; the bytes are what matters least.
pub(crate) fn from_wrench(value: Value) -> Input {
    let raw = format!("{value:?}").into_bytes();
    Input::Value {
        tool: WRENCH.to_owned(),
        raw,
        value,
    }
}

pub(crate) fn start_build(build: &str, plan: &str) -> Act {
    Act::StartBuild {
        build: Some(build.to_owned()),
        bike: Bike {
            frame: "FC54-0193".to_owned(),
            label: Some("Ferry".to_owned()),
        },
        plan: plan.to_owned(),
        by: MARA.to_owned(),
        tools: vec![WRENCH.to_owned()],
        follows: None,
        due: Vec::new(),
    }
}

/// A bench in memory: what is decided is folded in at once, as after it was written.
#[derive(Debug, Clone)]
pub(crate) struct Day {
    pub(crate) bench: Bench,
    pub(crate) now_ms: u64,
    pub(crate) entries: Vec<Entry>,
}

impl Day {
    /// A bench that has just been started.
    pub(crate) fn begun() -> Self {
        let mut day = Self {
            bench: Bench::default(),
            now_ms: 1_000_000,
            entries: Vec::new(),
        };
        let started = Event::Started {
            program: "test".to_owned(),
            key: "z6MkTest".to_owned(),
            boot: "boot-1".to_owned(),
            practice_speed: None,
        };
        day.write(vec![started.into()]);
        day
    }

    /// A bench with the wrench and one build after `plan`.
    pub(crate) fn with(plan: &str) -> Self {
        let mut day = Self::begun();
        day.must(Act::AddTool {
            by: None,
            tool: Box::new(wrench(WRENCH)),
        });
        day.must(start_build(BUILD, plan));
        day
    }

    pub(crate) fn now(&self) -> Now {
        moment(self.now_ms)
    }

    pub(crate) fn build(&self) -> &Build {
        &self.bench.builds[BUILD]
    }

    pub(crate) fn write(&mut self, decided: Vec<Decided>) -> Vec<Entry> {
        let mut written = Vec::new();
        for Decided { event, attached } in decided {
            let entry = Entry {
                version: ENTRY_VERSION,
                sequence: self.bench.next_sequence,
                time: to_text(self.now().wall),
                since_boot_ms: self.now_ms,
                bench: "bench-1".to_owned(),
                previous: Digest32::new([0; 32]),
                in_build: None,
                practice: false,
                event,
            };
            let plan = attached
                .filter(|_| entry.event.plan().is_some())
                .and_then(|bytes| plan::read(std::str::from_utf8(&bytes).unwrap()).plan);
            self.bench.apply(&entry, plan.as_ref());
            written.push(entry);
        }
        self.entries.extend(written.clone());
        written
    }

    pub(crate) fn act(&mut self, act: Act) -> Result<Vec<Entry>, Refusal> {
        let decided = decide_act(&self.bench, act, self.now())?;
        Ok(self.write(decided))
    }

    /// An act that has to be done.
    pub(crate) fn must(&mut self, act: Act) -> Vec<Entry> {
        self.act(act.clone())
            .unwrap_or_else(|refusal| panic!("{act:?} was refused: {refusal}"))
    }

    pub(crate) fn input(&mut self, input: Input) -> Vec<Entry> {
        let decided = decide(&self.bench, input, self.now());
        self.write(decided)
    }

    /// A value that comes some time after what was before.
    pub(crate) fn comes(&mut self, after_ms: u64, value: Value) -> (u64, Pulled) {
        self.now_ms += after_ms;
        let entries = self.input(from_wrench(value));
        let pulled = entries.iter().find_map(|entry| match &entry.event {
            Event::Pulled(pulled) => Some((entry.sequence, (**pulled).clone())),
            _ => None,
        });
        pulled.unwrap_or_else(|| panic!("no reading came of it: {entries:?}"))
    }

    /// A pull of so many mN·m, seven seconds after what was before.
    pub(crate) fn pull(&mut self, small: i64) -> (u64, Pulled) {
        self.comes(7_000, shows(small))
    }

    /// Pulls whatever comes next at what is to be aimed at, until nothing is open.
    pub(crate) fn pull_all(&mut self) {
        while let Some(step) = self.build().next() {
            let aim = step
                .fastener
                .spec
                .limits
                .of_pass(step.percent)
                .aim()
                .small_units();
            let before = self.build().open_steps().count();
            self.pull(aim);
            assert!(
                self.build().open_steps().count() < before,
                "a pull at its aim completes a pass"
            );
        }
    }
}

/// The place word of a placement, for short assertions: `stem.1/0`, or why it is held.
pub(crate) fn whereto(placement: &Placement) -> String {
    match placement {
        Placement::Held { because, .. } => format!("held: {because:?}"),
        Placement::Nowhere { .. } => "nowhere".to_owned(),
        placed => placed.place().map_or_else(String::new, |place| {
            format!("{}/{}", place.fastener, place.pass)
        }),
    }
}

/// What somebody or some tool does in a random day.
#[derive(Debug, Clone)]
pub(crate) enum Move {
    /// A pull so many milliseconds after the move before.
    Pull(u64, Aim, Count),
    Attest(i64, Option<u8>),
    Place(u8, Option<u8>, Option<u8>),
    Acknowledge(u8),
    PointAt(u8),
    Loosen(u8),
    Defer(u8),
    TakeUp(u8),
    Prepare(u8),
    Look(u8),
    Dispose(u8, Decision),
    Withdraw(u8),
    LayAside,
    HandOver(u8),
    Note(u8),
    LoosenStage(u8),
    ChangePlan(u8),
    Rubbish,
    Gone,
}

/// How strong a pull is.
#[derive(Debug, Clone)]
pub(crate) enum Aim {
    /// In percent of what the next fastener is aimed at.
    Next(u8),
    /// In percent of what some fastener is aimed at.
    Other(u8, u8),
    /// In mN·m.
    Value(i64),
    /// No value.
    PastRange,
}

/// What the tool's count does.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Count {
    None,
    Next,
    Gap,
    SentAgain,
    Anew,
}

/// A move, made ready for a bench.
#[derive(Debug, Clone)]
pub(crate) enum Request {
    Input(Input),
    Act(Act),
}

pub(crate) fn aims() -> impl Strategy<Value = Aim> {
    prop_oneof![
        6 => (0_u8..=250).prop_map(Aim::Next),
        4 => (92_u8..=108).prop_map(Aim::Next),
        2 => (any::<u8>(), 60_u8..=200).prop_map(|(which, percent)| Aim::Other(which, percent)),
        2 => (-2_000_000_i64..=2_000_000).prop_map(Aim::Value),
        1 => Just(Aim::PastRange),
    ]
}

pub(crate) fn gaps() -> impl Strategy<Value = u64> {
    prop_oneof![3 => 4_000_u64..12_000, 2 => 0_u64..2_000, 1 => 0_u64..20_000_000]
}

fn counts() -> impl Strategy<Value = Count> {
    prop_oneof![
        2 => Just(Count::None),
        4 => Just(Count::Next),
        1 => Just(Count::Gap),
        1 => Just(Count::SentAgain),
        1 => Just(Count::Anew),
    ]
}

pub(crate) fn moves(most: usize) -> impl Strategy<Value = Vec<Move>> {
    let decision = prop_oneof![
        Just(Decision::PartReplaced),
        Just(Decision::InspectedAndKept),
        Just(Decision::TightenedAgain)
    ];
    let one = prop_oneof![
        12 => (gaps(), aims(), counts()).prop_map(|(gap, aim, count)| Move::Pull(gap, aim, count)),
        1 => (1_i64..80_000, proptest::option::of(any::<u8>())).prop_map(|(value, at)| Move::Attest(value, at)),
        3 => (any::<u8>(), proptest::option::weighted(0.8, any::<u8>()), proptest::option::weighted(0.2, 0_u8..3))
            .prop_map(|(reading, at, pass)| Move::Place(reading, at, pass)),
        1 => any::<u8>().prop_map(Move::Acknowledge),
        1 => any::<u8>().prop_map(Move::PointAt),
        1 => any::<u8>().prop_map(Move::Loosen),
        2 => any::<u8>().prop_map(Move::Defer),
        1 => any::<u8>().prop_map(Move::TakeUp),
        1 => any::<u8>().prop_map(Move::Prepare),
        1 => any::<u8>().prop_map(Move::Look),
        1 => (any::<u8>(), decision).prop_map(|(at, decision)| Move::Dispose(at, decision)),
        3 => any::<u8>().prop_map(Move::Withdraw),
        1 => Just(Move::LayAside),
        1 => any::<u8>().prop_map(Move::HandOver),
        1 => any::<u8>().prop_map(Move::Note),
        1 => any::<u8>().prop_map(Move::LoosenStage),
        1 => any::<u8>().prop_map(Move::ChangePlan),
        1 => Just(Move::Rubbish),
        1 => Just(Move::Gone),
    ];
    proptest::collection::vec(one, 0..=most)
}

/// Plans with one to four stages of one to five fasteners, in every pattern, with one to three passes, every kind of
/// spec, and threads either way round.
pub(crate) fn plans() -> impl Strategy<Value = String> {
    let fastener = (1_000_i64..60_000, 0_u8..4, any::<bool>());
    let stage = (0_u8..3, 0_u8..3, proptest::collection::vec(fastener, 1..=5));
    proptest::collection::vec(stage, 1..=4).prop_map(|stages| {
        let mut text = "title = \"Random\"\nedition = \"1\"\n".to_owned();
        for (number, (pattern, passes, fasteners)) in stages.into_iter().enumerate() {
            let pattern = ["in-order", "alternate", "cross"][usize::from(pattern)];
            let passes = ["[1.0]", "[0.6, 1.0]", "[0.3, 0.7, 1.0]"][usize::from(passes)];
            writeln!(
                text,
                "[[stage]]\nid = \"s{number}\"\ntitle = \"Stage {number}\"\npattern = {pattern:?}"
            )
            .unwrap();
            writeln!(text, "passes = {passes}").unwrap();
            for (at, (target, spec, is_left)) in fasteners.into_iter().enumerate() {
                let hand = if is_left { "left" } else { "right" };
                let spec = spec_text(target, spec);
                writeln!(
                    text,
                    "[[stage.fastener]]\nid = \"s{number}.{at}\"\ntitle = \"Bolt {number}.{at}\""
                )
                .unwrap();
                writeln!(
                    text,
                    "thread = {{ size = \"M5\", hand = \"{hand}\" }}\nspec = {{ {spec} }}"
                )
                .unwrap();
                writeln!(text, "prep = [\"grease\"]").unwrap();
            }
        }
        text
    })
}

fn spec_text(target: i64, kind: u8) -> String {
    let (lower, upper) = (target * 9 / 10, target * 11 / 10);
    match kind {
        0 => format!("target = \"{target} mN·m\""),
        1 => format!("lower = \"{lower} mN·m\", upper = \"{upper} mN·m\""),
        2 => format!("upper = \"{upper} mN·m\""),
        _ => format!(
            "target = \"{target} mN·m\", lower = \"{lower} mN·m\", upper = \"{upper} mN·m\""
        ),
    }
}

fn pick<T>(list: &[T], which: u8) -> Option<&T> {
    list.get(usize::from(which) % list.len().max(1))
}

/// What a move comes to at a bench; nothing where there is nothing to do it to.
#[expect(clippy::too_many_lines, reason = "one short arm a move")]
pub(crate) fn request(bench: &Bench, step: &Move) -> Option<Request> {
    let build = bench.builds.get(BUILD)?;
    let ids: Vec<String> = build
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener.id.clone())
        .collect();
    let at = |which: u8| pick(&ids, which).cloned();
    let (name, by, reason) = (
        BUILD.to_owned(),
        MARA.to_owned(),
        "as seen at the bench".to_owned(),
    );
    let act = match step.clone() {
        Move::Pull(_, aim, count) => {
            return Some(Request::Input(from_wrench(value(
                bench, build, &aim, count,
            ))));
        }
        Move::Rubbish => {
            let why = pullmark_schema::entry::Unreadable::NoMatch;
            return Some(Request::Input(Input::Rubbish {
                tool: WRENCH.to_owned(),
                raw: b"?!".to_vec(),
                why,
            }));
        }
        Move::Gone => {
            let (tool, why) = (WRENCH.to_owned(), "unplugged".to_owned());
            return Some(Request::Input(Input::Gone {
                tool,
                why,
                partial: Some(b"$PU".to_vec()),
            }));
        }
        Move::Attest(small, fastener) => {
            let value = format!("{small} mN·m");
            Act::EnterReading {
                tool: WRENCH.to_owned(),
                value,
                by,
                fastener: fastener.and_then(at),
            }
        }
        Move::Place(which, fastener, pass) => {
            let readings: Vec<u64> = build.readings.keys().copied().collect();
            let held: Vec<u64> = build.held().map(|held| held.sequence).collect();
            let reading = *pick(
                if which % 4 == 0 || held.is_empty() {
                    &readings
                } else {
                    &held
                },
                which / 4,
            )?;
            Act::Place {
                reading,
                fastener: fastener.and_then(at),
                pass,
                by,
                reason: None,
            }
        }
        Move::Acknowledge(which) => {
            let alarms: Vec<u64> = build.open_alarms().map(|alarm| alarm.sequence).collect();
            Act::Acknowledge {
                alarm: *pick(&alarms, which)?,
                by,
            }
        }
        Move::PointAt(which) => Act::PointAt {
            build: name,
            fastener: at(which)?,
            by,
        },
        Move::Loosen(which) => Act::Loosen {
            build: name,
            fasteners: vec![at(which)?],
            stage: None,
            all: false,
            by,
            reason,
        },
        Move::Defer(which) => Act::Defer {
            build: name,
            fastener: at(which)?,
            by,
            reason,
            waits_for: None,
        },
        Move::TakeUp(which) => Act::TakeUp {
            build: name,
            fastener: at(which)?,
            by,
        },
        Move::Prepare(which) => Act::Prepare {
            build: name,
            fastener: at(which)?,
            by,
        },
        Move::Look(which) => Act::Look {
            build: name,
            fastener: at(which)?,
            by: OLE.to_owned(),
            reason: Some(reason),
        },
        Move::Dispose(which, decision) => Act::Dispose {
            build: name,
            fastener: at(which)?,
            decision,
            by,
            reason,
        },
        Move::Withdraw(which) => Act::Withdraw {
            build: name,
            entry: *pick(&build.entries, which)?,
            by,
            reason,
        },
        Move::LayAside => Act::LayAside {
            build: name,
            by,
            reason,
        },
        Move::HandOver(which) => Act::HandOver {
            build: name,
            from: build.in_hands().to_owned(),
            to: [MARA, OLE][usize::from(which % 2)].to_owned(),
            by: (which % 3 == 0).then_some(by),
            note: None,
        },
        Move::Note(which) => Act::Note {
            build: name,
            fastener: at(which),
            text: reason,
            by,
        },
        Move::LoosenStage(which) => Act::Loosen {
            build: name,
            fasteners: Vec::new(),
            stage: pick(&build.plan.stages, which / 2).map(|stage| stage.id.clone()),
            all: false,
            by,
            reason,
        },
        Move::ChangePlan(which) => Act::ChangePlan {
            build: name,
            plan: edition(&build.plan, which),
            by,
            reason,
        },
    };
    Some(Request::Act(act))
}

/// Another edition of a plan: other limits, other passes, one stage fewer, or other words.
pub(crate) fn edition(plan: &plan::Plan, which: u8) -> String {
    let mut text = format!("title = \"Random\"\nedition = \"{which}\"\n");
    let drops = usize::from(which % 4 == 2 && plan.stages.len() > 1);
    for stage in plan.stages.iter().skip(drops) {
        let passes: Vec<String> = match which % 4 {
            1 if stage.passes.len() < 3 => vec!["0.5".to_owned(), "1.0".to_owned()],
            _ => stage
                .passes
                .iter()
                .map(|part| format!("{:.2}", f64::from(*part) / 100.0))
                .collect(),
        };
        writeln!(
            text,
            "[[stage]]\nid = {:?}\ntitle = {:?}",
            stage.id, stage.title
        )
        .unwrap();
        let pattern = serde_json::to_string(&stage.pattern).unwrap();
        let passes = passes.join(", ");
        writeln!(text, "pattern = {pattern}\npasses = [{passes}]").unwrap();
        for fastener in &stage.fasteners {
            let limits = fastener.spec.limits;
            let percent = if which.is_multiple_of(4) {
                90 + which % 20
            } else {
                100
            };
            let upper = limits.upper.percent(percent, Rounding::Up).small_units();
            let lower = limits
                .lower
                .map(|lower| format!("lower = \"{} mN·m\", ", lower.small_units() * 8 / 10));
            let hand = serde_json::to_string(&fastener.hand).unwrap();
            let (id, title) = (&fastener.id, &fastener.title);
            writeln!(text, "[[stage.fastener]]\nid = {id:?}\ntitle = {title:?}").unwrap();
            writeln!(
                text,
                "thread = {{ size = \"M5\", hand = {hand} }}\nprep = [\"grease\"]"
            )
            .unwrap();
            let lower = lower.unwrap_or_default();
            writeln!(text, "spec = {{ {lower}upper = \"{upper} mN·m\" }}").unwrap();
        }
    }
    text
}

fn value(bench: &Bench, build: &Build, aim: &Aim, count: Count) -> Value {
    let part = |aim: Torque, percent: u8| aim.percent(percent, Rounding::Nearest).small_units();
    let fasteners: Vec<_> = build
        .plan
        .fasteners()
        .map(|(_, fastener)| fastener)
        .collect();
    let mut value = match *aim {
        Aim::Next(percent) => build.next().map_or_else(
            || shows(i64::from(percent) * 100),
            |step| {
                let pass = step.fastener.spec.limits.of_pass(step.percent);
                shows(part(pass.aim(), percent))
            },
        ),
        Aim::Other(which, percent) => pick(&fasteners, which).map_or_else(past_its_range, |f| {
            shows(part(f.spec.limits.aim(), percent))
        }),
        Aim::Value(small) => shows(small),
        Aim::PastRange => past_its_range(),
    };
    let state = bench.tool_states.get(WRENCH).cloned().unwrap_or_default();
    let (last, displayed) = state.counted.back().cloned().unwrap_or((0, None));
    match count {
        Count::None => {}
        Count::Next => value.counter = Some(last + 1),
        Count::Gap => value.counter = Some(last + 3),
        Count::Anew => value.counter = Some(1),
        Count::SentAgain => {
            let shown = displayed
                .map(|shown| Stated::parse(&format!("{} {}", shown.value, shown.unit)).unwrap());
            let small = shown.map(|stated| Torque::of(stated, Rounding::Up).unwrap().small_units());
            value = small.map_or_else(past_its_range, shows);
            value.counter = Some(last);
            value.flags.push(Flag::SentAgain);
        }
    }
    value
}

impl Day {
    /// Makes a move; a refusal changes nothing.
    pub(crate) fn make(&mut self, step: &Move) -> Vec<Entry> {
        self.now_ms += if let Move::Pull(gap, ..) = step {
            *gap
        } else {
            500
        };
        match request(&self.bench, step) {
            None => Vec::new(),
            Some(Request::Input(input)) => self.input(input),
            Some(Request::Act(act)) => self.act(act).unwrap_or_default(),
        }
    }
}

/// A bench with a ledger on disk and its thread.
pub(crate) struct Running {
    pub(crate) handle: Handle,
    thread: JoinHandle<Result<(), RunError>>,
}

pub(crate) fn settings(folder: &Path) -> Settings {
    Settings {
        folder: folder.to_owned(),
        bench: "bench-1".to_owned(),
        clock: Clock::system(),
        habits: Habits::default(),
    }
}

/// Waits for what the loop does on its own thread.
pub(crate) fn wait<T>(future: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap()
        .block_on(future)
}

impl Running {
    pub(crate) fn open(folder: &Path) -> Self {
        Self::try_open(folder).unwrap()
    }

    pub(crate) fn try_open(folder: &Path) -> Result<Self, RunError> {
        let (handle, thread) = run::start(settings(folder))?;
        Ok(Self { handle, thread })
    }

    /// A new bench with the wrench and one build.
    pub(crate) fn with(folder: &Path, plan: &str) -> Self {
        let running = Self::open(folder);
        running.must(Act::AddTool {
            by: None,
            tool: Box::new(wrench(WRENCH)),
        });
        running.must(start_build(BUILD, plan));
        running
    }

    /// Nothing if the loop has ended.
    pub(crate) fn act(&self, act: Act) -> Option<Result<Done, Refusal>> {
        let (answer, answered) = oneshot::channel();
        self.handle
            .messages
            .send(Message::Act(Box::new(act), answer))
            .ok()?;
        answered.blocking_recv().ok()
    }

    pub(crate) fn must(&self, act: Act) -> Done {
        self.act(act.clone())
            .unwrap()
            .unwrap_or_else(|refusal| panic!("{act:?} was refused: {refusal}"))
    }

    pub(crate) fn tool(&self, input: Input) {
        self.handle.messages.send(Message::Tool(input)).unwrap();
    }

    pub(crate) fn pull(&self, small: i64) {
        self.tool(from_wrench(shows(small)));
    }

    pub(crate) fn look<T: Send + 'static>(
        &self,
        look: impl FnOnce(&Heart) -> T + Send + 'static,
    ) -> T {
        let (answer, answered) = std::sync::mpsc::channel();
        let look = Box::new(move |heart: &Heart| answer.send(look(heart)).unwrap());
        self.handle.messages.send(Message::Look(look)).unwrap();
        answered.recv().unwrap()
    }

    pub(crate) fn query<T: Send + 'static>(
        &self,
        query: impl FnOnce(&Projections) -> T + Send + 'static,
    ) -> T {
        let (answer, answered) = std::sync::mpsc::channel();
        let query = Box::new(move |tables: &Projections| answer.send(query(tables)).unwrap());
        self.handle.messages.send(Message::Query(query)).unwrap();
        answered.recv().unwrap()
    }

    pub(crate) fn make(&self, step: &Move) {
        let step = step.clone();
        match self.look(move |heart| request(&heart.bench, &step)) {
            None => {}
            Some(Request::Input(input)) => self.tool(input),
            Some(Request::Act(act)) => {
                // a refusal changes nothing
                let _ = self.act(act);
            }
        }
    }

    /// What is in the tables.
    pub(crate) fn dump(&self) -> Vec<String> {
        self.query(|tables| tables.dump().unwrap())
    }

    /// Stops it and says how it ended.
    pub(crate) fn close(self) -> Result<(), RunError> {
        // the loop may have ended by itself
        let _ = self.handle.messages.send(Message::Stop);
        self.thread.join().unwrap()
    }
}
