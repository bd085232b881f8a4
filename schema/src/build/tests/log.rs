//! A small ledger in memory, for tests: it writes the entries that a day at an invented bench would give.

use crate::build::Build;
use crate::canonical::Digest32;
use crate::entry::{
    Alarm, Bike, Decision, Deferral, ENTRY_VERSION, Entry, Event, HandedOver, JudgedAnew, Noted,
    OnBuild, OnFastener, PartFitted, PartSwapped, Placed, PlanChanged, PlanPin, Pulled, Withdrawn,
};
use crate::gauge::{Basis, ClassBecause, Lines, Worth, outside};
use crate::placement::{HeldBecause, Place, Placement, PullKind};
use crate::plan::{self, Plan};
use crate::quantity::{MicroTorque, Torque};
use crate::reading::{Displayed, Flag, Origin, Reading};
use crate::verdict::{Answer, Verdict, decide};

/// Four carbon bolts in two passes from side to side, a left-hand pedal, a cap that states only a maximum.
pub(crate) const PLAN: &str = r#"
title = "Fjord gravel 54"
edition = "2"

[[stage]]
id = "stem"
title = "Stem face plate"
pattern = "alternate"
passes = [0.6, 1.0]
fastener = [
  { id = "a", title = "Upper left", joint = "carbon", prep = ["carbon paste"], spec = { target = "5 N·m" } },
  { id = "b", title = "Lower left", joint = "carbon", prep = ["carbon paste"], spec = { target = "5 N·m" } },
  { id = "c", title = "Upper right", joint = "carbon", prep = ["carbon paste"], spec = { target = "5 N·m" } },
  { id = "d", title = "Lower right", joint = "carbon", prep = ["carbon paste"], spec = { target = "5 N·m" }, second_look = true },
]

[[stage]]
id = "rest"
title = "Pedal and cap"

[[stage.fastener]]
id = "pedal"
title = "Left pedal"
thread = { size = "M14x1.25", hand = "left" }
prep = ["grease on the thread"]
spec = { target = "35 N·m", lower = "30 N·m", upper = "40 N·m" }

[[stage.fastener]]
id = "cap"
title = "Top cap"
prep = ["dry"]
spec = { upper = "2 N·m" }
sources = [{ where = "mark on the cap", upper = "2 N·m" }]
"#;

/// The build's name.
pub(crate) const BUILD: &str = "fjord-1";

/// The entries so far, and the build as they tell it.
pub(crate) struct Log {
    /// What was folded.
    pub(crate) build: Build,
    /// Every entry, the first one too.
    pub(crate) entries: Vec<Entry>,
}

pub(crate) fn plan() -> Plan {
    plan::read(PLAN).plan.unwrap()
}

pub(crate) fn entry(sequence: u64, event: Event) -> Entry {
    let time = format!(
        "2026-03-14T10:{:02}:{:02}.000+01:00",
        sequence / 60 % 60,
        sequence % 60
    );
    let previous = Digest32::of(&sequence.to_be_bytes());
    Entry {
        version: ENTRY_VERSION,
        sequence,
        time,
        since_boot_ms: sequence * 1_000,
        bench: "north".into(),
        previous,
        in_build: None,
        practice: false,
        event,
    }
}

pub(crate) fn started(build: &str) -> Event {
    let plan = plan();
    Event::BuildStarted {
        build: build.to_owned(),
        bike: Bike {
            frame: "FG54-0117".into(),
            label: Some("grey gravel".into()),
        },
        plan: PlanPin {
            title: plan.title,
            edition: plan.edition,
            sha256: plan.sha256,
        },
        by: "I. Berg".into(),
        follows: None,
    }
}

pub(crate) fn place(fastener: &str, pass: u8) -> Place {
    Place {
        fastener: fastener.to_owned(),
        pass,
    }
}

/// A measured reading of so many mN·m; none is past the tool's range.
pub(crate) fn reading(small: Option<i64>) -> Reading {
    let displayed = small.map(|small| Displayed {
        value: small.to_string(),
        unit: "mN.m".into(),
    });
    Reading {
        adapter: None,
        worth: small.map(|_| worth()),
        tool: "w1".into(),
        origin: Origin::Measured {
            raw: Digest32::of(b"raw"),
        },
        displayed,
        applied: small.map(Torque::from_small_units),
        counter: None,
        flags: if small.is_none() {
            vec![Flag::OverRange]
        } else {
            Vec::new()
        },
        trace: None,
    }
}

/// An uncertainty of 0.05 N·m, k = 2.
fn worth() -> Worth {
    let standard = MicroTorque::from_small_units(25_000);
    Worth {
        basis: Basis::Class {
            because: ClassBecause::NoCertificate,
        },
        deviation_ppm: 0,
        lines: Lines {
            class: Some(standard),
            ..Lines::default()
        },
        standard,
        freedom: None,
        coverage_thousandths: 2_000,
        expanded: MicroTorque::from_small_units(50_000),
    }
}

/// The verdict at a place of the plan, and the alarm if it is over.
pub(crate) fn judged(
    plan: &Plan,
    reading: &Reading,
    place: &Place,
) -> (Option<Verdict>, Option<Alarm>) {
    let Some(step) = plan
        .steps()
        .find(|s| s.fastener.id == place.fastener && s.pass == place.pass)
    else {
        return (None, None);
    };
    let limits = step.fastener.spec.limits.of_pass(step.percent).limits;
    let applied = step.fastener.hand.tightening(reading.applied);
    let worth = reading.worth.as_ref();
    let rule = step.fastener.rule;
    let expanded_uncertainty = worth.map(Worth::guard);
    let answer = decide(applied, &limits, rule, expanded_uncertainty);
    let verdict = Verdict {
        answer,
        limits,
        rule,
        expanded_uncertainty,
        outside: applied
            .zip(worth)
            .map(|(applied, worth)| outside(applied, worth, &limits)),
        cautions: Vec::new(),
    };
    let alarm = (answer == Answer::Over).then(|| Alarm {
        place: place.clone(),
        upper: limits.upper,
    });
    (Some(verdict), alarm)
}

fn on(fastener: &str, by: &str, reason: Option<&str>) -> OnFastener {
    OnFastener {
        build: BUILD.into(),
        fastener: fastener.into(),
        by: by.into(),
        reason: reason.map(str::to_owned),
    }
}

fn on_build(reason: Option<&str>) -> OnBuild {
    OnBuild {
        build: BUILD.into(),
        by: "I. Berg".into(),
        reason: reason.map(str::to_owned),
    }
}

impl Log {
    pub(crate) fn new() -> Self {
        Self::after(PLAN)
    }

    /// A build after another plan.
    pub(crate) fn after(text: &str) -> Self {
        let plan = plan::read(text).plan.unwrap();
        let mut first = entry(3, started(BUILD));
        if let Event::BuildStarted { plan: pin, .. } = &mut first.event {
            pin.sha256 = plan.sha256;
        }
        Self {
            build: Build::begin(&first, plan).unwrap(),
            entries: vec![first],
        }
    }

    /// Appends what happened and folds it; gives its sequence number.
    pub(crate) fn add(&mut self, event: Event) -> u64 {
        let sequence = self.entries.last().unwrap().sequence + 1;
        let entry = entry(sequence, event);
        self.build.apply(&entry);
        self.entries.push(entry);
        sequence
    }

    /// The build goes over to another edition; every reading that counts and that it judges otherwise is judged anew.
    pub(crate) fn change_plan(&mut self, text: &str) -> u64 {
        let plan = plan::read(text).plan.unwrap();
        let (readings, mut again) = self.build.under(&plan);
        let (checks, again_checks) = self.build.checks_under(&plan);
        again.extend(again_checks);
        let judged_checks = super::checks::judged_anew(&self.build, &plan, &checks);
        let judged = readings.into_iter().map(|sequence| {
            let known = &self.build.readings[&sequence];
            let (verdict, alarm) = judged(&plan, &known.reading, known.placement.place().unwrap());
            JudgedAnew {
                reading: sequence,
                verdict: verdict.unwrap(),
                alarm,
            }
        });
        let event = Event::PlanChanged(Box::new(PlanChanged {
            build: BUILD.into(),
            plan: PlanPin {
                title: plan.title.clone(),
                edition: plan.edition.clone(),
                sha256: plan.sha256,
            },
            by: "I. Berg".into(),
            reason: "the maker's new sheet".into(),
            judged: judged.collect(),
            judged_checks,
            again,
        }));
        let sequence = self.entries.last().unwrap().sequence + 1;
        let entry = entry(sequence, event);
        self.build.apply_with(&entry, Some(&plan));
        self.entries.push(entry);
        sequence
    }

    pub(crate) fn withdraw(&mut self, of: u64) -> u64 {
        self.add(Event::Withdrawn(Withdrawn {
            build: BUILD.into(),
            entry: of,
            by: "M. Oduya".into(),
            reason: "a mistake".into(),
        }))
    }

    pub(crate) fn fit(&mut self, part: &str, serial: &str) -> u64 {
        self.add(Event::PartFitted(PartFitted {
            build: BUILD.into(),
            part: part.into(),
            serial: serial.into(),
            kind: None,
            by: "I. Berg".into(),
        }))
    }

    pub(crate) fn swap(&mut self, part: &str, serial: &str) -> u64 {
        let out = self.build.fitted(part).map(|fitted| fitted.serial.clone());
        let fasteners = self.build.plan.part(part).unwrap().fasteners.clone();
        self.add(Event::PartSwapped(Box::new(PartSwapped {
            build: BUILD.into(),
            part: part.into(),
            out,
            serial: serial.into(),
            kind: None,
            fasteners,
            by: "I. Berg".into(),
            reason: "a scratch under the clamp".into(),
        })))
    }

    pub(crate) fn hand_over(&mut self, to: &str) -> u64 {
        let from = self.build.in_hands().to_owned();
        self.add(Event::HandedOver(HandedOver {
            build: BUILD.into(),
            from,
            to: to.into(),
            by: None,
            note: Some("the pedal is open".into()),
        }))
    }

    pub(crate) fn lay_aside(&mut self) -> u64 {
        self.add(Event::LaidAside(on_build(Some("closing time"))))
    }

    pub(crate) fn resume(&mut self) -> u64 {
        self.add(Event::Resumed(on_build(None)))
    }

    pub(crate) fn note(&mut self, fastener: Option<&str>, text: &str) -> u64 {
        self.add(Event::Noted(Box::new(Noted {
            build: BUILD.into(),
            fastener: fastener.map(str::to_owned),
            text: Some(text.into()),
            photo: None,
            by: "I. Berg".into(),
        })))
    }

    /// A pull in mN·m that is placed by order.
    pub(crate) fn pull(&mut self, fastener: &str, pass: u8, small: i64) -> u64 {
        self.pulled(place(fastener, pass), Some(small))
    }

    /// A pull past the tool's range.
    pub(crate) fn pull_past_range(&mut self, fastener: &str, pass: u8) -> u64 {
        self.pulled(place(fastener, pass), None)
    }

    fn pulled(&mut self, place: Place, small: Option<i64>) -> u64 {
        let reading = reading(small);
        let (verdict, alarm) = judged(&self.build.plan, &reading, &place);
        let kind = PullKind::Next;
        let placement = Placement::ByOrder {
            place,
            kind,
            probability_millionths: 990_000,
            why: None,
            others: Vec::new(),
        };
        let build = Some(BUILD.into());
        self.add(Event::Pulled(Box::new(Pulled {
            reading,
            build,
            expected: None,
            gap_ms: None,
            placement,
            verdict,
            alarm,
        })))
    }

    /// A pull that waits for a person.
    pub(crate) fn hold(&mut self, small: i64) -> u64 {
        let placement = Placement::Held {
            because: HeldBecause::Unclear,
            candidates: Vec::new(),
        };
        let (reading, build) = (reading(Some(small)), Some(BUILD.into()));
        self.add(Event::Pulled(Box::new(Pulled {
            reading,
            build,
            expected: None,
            gap_ms: None,
            placement,
            verdict: None,
            alarm: None,
        })))
    }

    /// A person says where a reading belongs; nowhere is a test pull.
    pub(crate) fn place(&mut self, sequence: u64, to: Option<Place>) -> u64 {
        let by = "I. Berg".to_owned();
        let reading = &self.build.readings[&sequence].reading;
        let (verdict, alarm) = to
            .as_ref()
            .map_or((None, None), |to| judged(&self.build.plan, reading, to));
        let placement = match to {
            Some(place) => Placement::ByChoice { place, by },
            None => Placement::Nowhere {
                by,
                reason: "test pull".into(),
            },
        };
        let alarm = alarm.filter(|_| {
            self.build
                .alarms
                .iter()
                .all(|raised| raised.reading != sequence)
        });
        let placed = Placed {
            reading: sequence,
            build: BUILD.into(),
            placement,
            verdict,
            alarm,
            confirmed: None,
        };
        self.add(Event::Placed(Box::new(placed)))
    }

    pub(crate) fn loosen(&mut self, fastener: &str) -> u64 {
        self.add(Event::Loosened(on(fastener, "I. Berg", Some("trial fit"))))
    }

    pub(crate) fn defer(&mut self, fastener: &str) -> u64 {
        self.add(Event::Deferred(Deferral {
            build: BUILD.into(),
            fastener: fastener.into(),
            by: "I. Berg".into(),
            reason: Some("bolt is on back order".into()),
            waits_for: None,
        }))
    }

    pub(crate) fn take_up(&mut self, fastener: &str) -> u64 {
        self.add(Event::TakenUp(on(fastener, "I. Berg", None)))
    }

    pub(crate) fn prepare(&mut self, fastener: &str) -> u64 {
        self.add(Event::Prepared(on(fastener, "I. Berg", None)))
    }

    pub(crate) fn look(&mut self, fastener: &str, by: &str) -> u64 {
        self.add(Event::Looked(on(fastener, by, None)))
    }

    pub(crate) fn point_at(&mut self, fastener: &str) -> u64 {
        self.add(Event::PointedAt {
            build: BUILD.into(),
            fastener: fastener.into(),
            by: "I. Berg".into(),
        })
    }

    pub(crate) fn acknowledge(&mut self, alarm: u64) -> u64 {
        self.add(Event::Acknowledged {
            build: BUILD.into(),
            alarm,
            by: "I. Berg".into(),
        })
    }

    pub(crate) fn dispose(&mut self, fastener: &str, decision: Decision) -> u64 {
        let (by, reason) = ("M. Oduya".into(), "looked at it with a lamp".into());
        self.add(Event::Disposed {
            build: BUILD.into(),
            fastener: fastener.into(),
            decision,
            by,
            reason,
            confirmed: None,
        })
    }

    pub(crate) fn finish(&mut self) -> u64 {
        self.add(Event::BuildFinished {
            build: BUILD.into(),
            by: "I. Berg".into(),
            sure: None,
        })
    }

    /// The next planned pull, as `fastener pass`.
    pub(crate) fn next(&self) -> String {
        self.build.next().map_or("-".to_owned(), |step| {
            format!("{} {}", step.fastener.id, step.pass)
        })
    }
}
