//! What is counted, in total, by plan and by what went wrong.

use super::clock::{Taken, Times};
use pullmark_sim::mechanic::{Cause, Causes};
use std::collections::BTreeMap;

/// Something that is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    Builds,
    Readings,
    FalseDone,
    Misplaced,
    Questions,
    OverMissedExpected,
    OverMissedElsewhere,
    FalseAlarms,
    ElsewhereSameSpec,
    TestPlaced,
    NetAsked,
    NetCaught,
    OpenButDone,
    OpenAsked,
    OpenNeedless,
    Corrected,
    NotFinished,
}

impl What {
    pub(super) const ALL: [Self; 17] = [
        Self::Builds,
        Self::Readings,
        Self::FalseDone,
        Self::Misplaced,
        Self::Questions,
        Self::OverMissedExpected,
        Self::OverMissedElsewhere,
        Self::FalseAlarms,
        Self::ElsewhereSameSpec,
        Self::TestPlaced,
        Self::NetAsked,
        Self::NetCaught,
        Self::OpenButDone,
        Self::OpenAsked,
        Self::OpenNeedless,
        Self::Corrected,
        Self::NotFinished,
    ];

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Builds => "builds",
            Self::Readings => "readings",
            Self::FalseDone => "false_done",
            Self::Misplaced => "misplaced",
            Self::Questions => "questions",
            Self::OverMissedExpected => "over_missed_expected",
            Self::OverMissedElsewhere => "over_missed_elsewhere",
            Self::FalseAlarms => "false_alarms",
            Self::ElsewhereSameSpec => "elsewhere_same_spec",
            Self::TestPlaced => "test_pulls_placed",
            Self::NetAsked => "net_asked",
            Self::NetCaught => "net_caught",
            Self::OpenButDone => "open_but_done",
            Self::OpenAsked => "open_asked",
            Self::OpenNeedless => "open_needless",
            Self::Corrected => "corrected",
            Self::NotFinished => "not_finished",
        }
    }
}

/// How often each happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Counts([u64; What::ALL.len()]);

impl Counts {
    pub(super) fn of(&self, what: What) -> u64 {
        self.0.get(what as usize).copied().unwrap_or_default()
    }

    /// What nobody noticed: a fastener that is shown done and is not, a reading that went where it does not belong.
    pub(super) fn silent_wrong(&self) -> u64 {
        self.of(What::FalseDone) + self.of(What::Misplaced)
    }

    fn one(&mut self, what: What) {
        if let Some(count) = self.0.get_mut(what as usize) {
            *count += 1;
        }
    }

    fn add(&mut self, other: &Self) {
        for (count, more) in self.0.iter_mut().zip(other.0) {
            *count += more;
        }
    }
}

/// Everything that a part of the study comes to. Sums do not depend on their order.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    pub(super) total: Counts,
    /// By the plan's number.
    pub(super) by_plan: BTreeMap<usize, Counts>,
    /// By what went wrong; none where nothing did.
    pub(super) by_cause: BTreeMap<Option<Cause>, Counts>,
    /// How long placing took by the clock, by the plan's number.
    pub(super) wall: BTreeMap<usize, Times>,
    /// And how long the thread worked at it.
    pub(super) own: BTreeMap<usize, Times>,
    /// Why readings were held.
    pub(super) held_because: BTreeMap<String, u64>,
    /// How probable it was, in millionths and by the program's own belief, that each reading was a pull to another spec
    /// than the likeliest.
    pub(super) doubts: Vec<u32>,
    /// By the number of the day.
    pub(super) stories: Vec<(u64, String)>,
}

impl Tally {
    pub(super) fn one(&mut self, what: What, plan: usize, causes: Causes) {
        self.total.one(what);
        self.by_plan.entry(plan).or_default().one(what);
        if causes.is_empty() {
            self.by_cause.entry(None).or_default().one(what);
        }
        for cause in causes.iter() {
            self.by_cause.entry(Some(cause)).or_default().one(what);
        }
    }

    pub(super) fn took(&mut self, plan: usize, taken: Taken) {
        self.wall.entry(plan).or_default().one(taken.wall);
        self.own.entry(plan).or_default().one(taken.own);
    }

    pub(super) fn add(&mut self, other: Self) {
        self.total.add(&other.total);
        for (plan, counts) in &other.by_plan {
            self.by_plan.entry(*plan).or_default().add(counts);
        }
        for (cause, counts) in &other.by_cause {
            self.by_cause.entry(*cause).or_default().add(counts);
        }
        for (because, count) in other.held_because {
            *self.held_because.entry(because).or_default() += count;
        }
        for (mine, others) in [(&mut self.wall, other.wall), (&mut self.own, other.own)] {
            for (plan, times) in &others {
                mine.entry(*plan).or_default().add(times);
            }
        }
        self.doubts.extend(other.doubts);
        self.stories.extend(other.stories);
    }
}
