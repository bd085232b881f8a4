//! What may have been pulled so far: hypotheses, each with a probability.
//!
//! This is the forward pass of a hidden-Markov model. The hidden state is how many pulls of each slot are made and where
//! each tool was last; a reading is the observation. It is exact but for two things: what has become very improbable is
//! dropped, and pulls of one slot are not told apart.

use super::course::Course;
use super::fit::{self, Times};
use super::habits::{
    AGAIN, BACK_FAR, BACK_NEAR, FAR, FOLLOWING_STAGE, NEAR, NEXT, OTHER_BUILD, OTHER_STAGE,
    PASS_FORGOTTEN, PASS_LEFT, POINTED, REPAIRED, REPEAT, SWAPPED, TEST,
};
use pullmark_schema::quantity::Torque;

/// So many hypotheses are kept.
const MOST: usize = 24;
/// Those that are less probable than this are dropped.
const LEAST: f64 = 1e-7;

/// What a pull was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum What {
    /// One more of a slot.
    Advance(usize),
    /// One of a slot that was made before.
    Again(usize),
    /// On no fastener.
    Test,
    /// On another bike.
    OtherBuild,
}

/// What a reading was in one hypothesis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Label {
    pub(super) what: What,
    /// How many of the slot were made before.
    pub(super) before: u16,
}

/// How the last fastener of a tool was left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Left {
    Done,
    Under,
    Undone,
}

/// Where a tool was last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Cursor {
    tool: u16,
    pull: usize,
    left: Left,
}

/// One course of things that may have happened.
#[derive(Debug, Clone, PartialEq)]
struct Hypothesis {
    weight: f64,
    counts: Vec<u16>,
    cursors: Vec<Cursor>,
    /// What each reading was that waits for a person.
    undecided: Vec<(u64, Label)>,
}

/// What is seen.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// By which tool.
    pub(super) tool: u16,
    /// Seconds since that tool's last pull.
    pub(super) gap: Option<f64>,
    pub(super) torque: Option<Torque>,
    /// The tool's standard deviation, relative.
    pub(super) deviation: f64,
    /// The pull that was pointed at.
    pub(super) pointed: Option<usize>,
    /// How well the value fits what another bike at the bench waits for.
    pub(super) elsewhere: Option<f64>,
}

/// One way on from a hypothesis.
#[derive(Debug, Clone, Copy)]
struct Branch {
    from: usize,
    label: Label,
    weight: f64,
    /// Where the tool is afterwards, if it moved.
    pull: Option<usize>,
}

/// How probable each thing is that a reading may have been. Sums to one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shares {
    pub(super) advance: Vec<f64>,
    pub(super) again: Vec<f64>,
    pub(super) test: f64,
    pub(super) other_build: f64,
}

impl Shares {
    pub(super) fn of(&self, what: What) -> f64 {
        match what {
            What::Advance(slot) => self.advance.get(slot).copied().unwrap_or_default(),
            What::Again(slot) => self.again.get(slot).copied().unwrap_or_default(),
            What::Test => self.test,
            What::OtherBuild => self.other_build,
        }
    }
}

/// How well the value fits each slot, and the time each kind of pull.
struct Fits {
    times: Times,
    fresh: Vec<f64>,
    tight: Vec<f64>,
    any: f64,
}

/// All hypotheses about one build.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Filter {
    hypotheses: Vec<Hypothesis>,
    /// The rank of each pull in its slot among those that do not wait for something.
    ranks: Vec<Option<u16>>,
    /// How many of each slot do not wait.
    sizes: Vec<u16>,
    /// The pulls of each slot that do not wait, in order.
    ready: Vec<Vec<usize>>,
}

/// What follows from a reading, before it is taken in.
pub(super) struct Outcome {
    pub(super) shares: Shares,
    branches: Vec<Branch>,
    total: f64,
}

impl Filter {
    /// Nothing is pulled yet.
    pub(super) fn new(course: &Course) -> Self {
        let mut filter = Self {
            hypotheses: vec![Hypothesis {
                weight: 1.0,
                counts: vec![0; course.slots.len()],
                cursors: Vec::new(),
                undecided: Vec::new(),
            }],
            ranks: Vec::new(),
            sizes: Vec::new(),
            ready: Vec::new(),
        };
        filter.rank(course, |_| false);
        filter
    }

    /// Says anew which fasteners wait for something.
    pub(super) fn rank(&mut self, course: &Course, waits: impl Fn(&str) -> bool) {
        self.ranks = vec![None; course.pulls.len()];
        self.ready = course
            .slots
            .iter()
            .map(|slot| {
                let is_ready = |pull: &&usize| !waits(&course.pulls[**pull].place.fastener);
                slot.steps.iter().filter(is_ready).copied().collect()
            })
            .collect();
        for pulls in &self.ready {
            for (rank, pull) in (0..).zip(pulls) {
                self.ranks[*pull] = Some(rank);
            }
        }
        self.sizes = self
            .ready
            .iter()
            .map(|pulls| u16::try_from(pulls.len()).unwrap_or(u16::MAX))
            .collect();
    }

    /// One hypothesis alone: what the build shows. `done` says how many of each slot are made.
    pub(super) fn reset(&mut self, done: Vec<u16>) {
        let best = self
            .hypotheses
            .iter()
            .max_by(|a, b| a.weight.total_cmp(&b.weight));
        let cursors = best.map(|best| best.cursors.clone()).unwrap_or_default();
        self.hypotheses = vec![Hypothesis {
            weight: 1.0,
            counts: done,
            cursors,
            undecided: Vec::new(),
        }];
    }

    /// How probable each thing is that a reading may have been.
    pub(super) fn weigh(&self, course: &Course, seen: &Seen) -> Outcome {
        let slots = &course.slots;
        let value = |tight| {
            let fit = move |slot| fit::value(seen.torque, slot, tight, seen.deviation);
            slots.iter().map(fit).collect()
        };
        let fits = Fits {
            times: Times::after(seen.gap),
            fresh: value(false),
            tight: value(true),
            any: fit::any_value(seen.torque),
        };
        let mut branches = Vec::with_capacity(self.hypotheses.len() * 32);
        for (from, hypothesis) in self.hypotheses.iter().enumerate() {
            let ways = Ways {
                filter: self,
                course,
                seen,
                fits: &fits,
                hypothesis,
                from,
            };
            ways.add_to(&mut branches);
        }
        let mut shares = Shares {
            advance: vec![0.0; slots.len()],
            again: vec![0.0; slots.len()],
            test: 0.0,
            other_build: 0.0,
        };
        let mut total = 0.0;
        for branch in &branches {
            total += branch.weight;
            match branch.label.what {
                What::Advance(slot) => shares.advance[slot] += branch.weight,
                What::Again(slot) => shares.again[slot] += branch.weight,
                What::Test => shares.test += branch.weight,
                What::OtherBuild => shares.other_build += branch.weight,
            }
        }
        if total > 0.0 {
            let list = shares.advance.iter_mut().chain(&mut shares.again);
            for share in list.chain([&mut shares.test, &mut shares.other_build]) {
                *share /= total;
            }
        }
        Outcome {
            shares,
            branches,
            total,
        }
    }

    /// Takes a reading in. `held` is its number where it waits for a person.
    pub(super) fn take_in(
        &mut self,
        course: &Course,
        seen: &Seen,
        outcome: Outcome,
        held: Option<u64>,
    ) {
        let Outcome {
            mut branches,
            total,
            ..
        } = outcome;
        if total <= 0.0 {
            return;
        }
        branches.retain(|branch| branch.weight >= LEAST * total);
        branches.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        let mut next: Vec<Hypothesis> = Vec::with_capacity(MOST);
        for branch in branches {
            let child = self.child(course, seen, &branch, held);
            let is_same = |known: &Hypothesis| {
                known.counts == child.counts
                    && known.cursors == child.cursors
                    && known.undecided == child.undecided
            };
            match next.iter().position(is_same) {
                Some(number) => next[number].weight += child.weight,
                None if next.len() < MOST => next.push(child),
                None => {}
            }
        }
        self.hypotheses = next;
        self.normalise();
    }

    fn child(
        &self,
        course: &Course,
        seen: &Seen,
        branch: &Branch,
        held: Option<u64>,
    ) -> Hypothesis {
        let mut child = self.hypotheses[branch.from].clone();
        child.weight = branch.weight;
        if let Some(sequence) = held {
            child.undecided.push((sequence, branch.label));
        }
        let slot = match branch.label.what {
            What::Advance(slot) => slot,
            What::Again(_) | What::Test | What::OtherBuild => return child,
        };
        let limits = &course.slots[slot].limits;
        let torque = course.slots[slot].hand.tightening(seen.torque);
        let is_under = torque.is_some_and(|torque| limits.lower.is_some_and(|l| torque < l));
        if !is_under {
            child.counts[slot] += 1;
            // Whoever makes a later pass makes the earlier one no more.
            let mut later = slot;
            while let Some(earlier) = course.slots[later].earlier {
                child.counts[earlier] = child.counts[earlier].max(child.counts[later]);
                later = earlier;
            }
        }
        if let Some(pull) = branch.pull {
            let left = if is_under { Left::Under } else { Left::Done };
            child.put(Cursor {
                tool: seen.tool,
                pull,
                left,
            });
        }
        child
    }

    fn normalise(&mut self) {
        let total: f64 = self.hypotheses.iter().map(|known| known.weight).sum();
        if total > 0.0 {
            for known in &mut self.hypotheses {
                known.weight /= total;
            }
        }
    }

    /// A person said what a reading was that waited. False where no hypothesis knows of it.
    pub(super) fn told(&mut self, sequence: u64, fits: impl Fn(&Self, &Label) -> bool) -> bool {
        let keeps = |known: &Hypothesis| {
            let of = known.undecided.iter().find(|(waits, _)| *waits == sequence);
            of.is_some_and(|(_, label)| fits(self, label))
        };
        let kept: Vec<Hypothesis> = self
            .hypotheses
            .iter()
            .filter(|known| keeps(known))
            .cloned()
            .collect();
        if kept.is_empty() {
            return false;
        }
        self.hypotheses = kept;
        for known in &mut self.hypotheses {
            known.undecided.retain(|(waits, _)| *waits != sequence);
        }
        self.normalise();
        true
    }

    /// Whether a reading that was this may have been made at a pull.
    pub(super) fn was_at(&self, label: &Label, course: &Course, pull: usize) -> bool {
        let slot = course.pulls[pull].slot;
        let rank = self.ranks[pull];
        match label.what {
            What::Advance(of) => of == slot && rank.is_none_or(|rank| rank == label.before),
            What::Again(of) => of == slot && rank.is_none_or(|rank| rank < label.before),
            What::Test | What::OtherBuild => false,
        }
    }

    /// How probable it is that a reading that waits was each thing.
    pub(super) fn waiting(&self, sequence: u64) -> Vec<(Label, f64)> {
        let mut list: Vec<(Label, f64)> = Vec::new();
        for known in &self.hypotheses {
            let of = known.undecided.iter().find(|(waits, _)| *waits == sequence);
            let Some((_, label)) = of else { continue };
            match list.iter_mut().find(|(known, _)| known == label) {
                Some((_, share)) => *share += known.weight,
                None => list.push((*label, known.weight)),
            }
        }
        list.sort_by(|a, b| b.1.total_cmp(&a.1));
        list
    }

    /// A fastener was undone: `pulls` are its passes that were done.
    pub(super) fn undone(&mut self, course: &Course, pulls: &[usize], first: usize) {
        for known in &mut self.hypotheses {
            for pull in pulls {
                let count = &mut known.counts[course.pulls[*pull].slot];
                *count = count.saturating_sub(1);
            }
            for cursor in &mut known.cursors {
                cursor.pull = first;
                cursor.left = Left::Undone;
            }
        }
    }

    /// A person said where a tool is now.
    pub(super) fn moved(&mut self, tool: u16, pull: usize, is_under: bool) {
        let left = if is_under { Left::Under } else { Left::Done };
        for known in &mut self.hypotheses {
            known.put(Cursor { tool, pull, left });
        }
    }

    /// How many pulls of a slot are missing, on average.
    pub(super) fn missing(&self, slot: usize) -> f64 {
        let size = self.sizes.get(slot).copied().unwrap_or_default();
        self.hypotheses
            .iter()
            .map(|known| known.weight * f64::from(size.saturating_sub(known.counts[slot])))
            .sum()
    }

    /// Whether a reading that waits may well concern a slot.
    pub(super) fn waits_about(&self, slot: usize, least: f64) -> bool {
        let share: f64 = self
            .hypotheses
            .iter()
            .filter(|known| {
                known.undecided.iter().any(|(_, label)| {
                    matches!(label.what, What::Advance(of) | What::Again(of) if of == slot)
                })
            })
            .map(|known| known.weight)
            .sum();
        share >= least
    }

    pub(super) fn pull_of(&self, label: &Label) -> Option<usize> {
        match label.what {
            What::Advance(slot) => self
                .ready
                .get(slot)?
                .get(usize::from(label.before))
                .copied(),
            What::Again(slot) => match self.ready.get(slot)?.as_slice() {
                [only] => Some(*only),
                _ => None,
            },
            What::Test | What::OtherBuild => None,
        }
    }
}

impl Hypothesis {
    fn put(&mut self, cursor: Cursor) {
        match self.cursors.iter_mut().find(|at| at.tool == cursor.tool) {
            Some(at) => *at = cursor,
            None => self.cursors.push(cursor),
        }
    }
}

/// All ways on from one hypothesis.
struct Ways<'a> {
    filter: &'a Filter,
    course: &'a Course,
    seen: &'a Seen,
    fits: &'a Fits,
    hypothesis: &'a Hypothesis,
    from: usize,
}

/// An open slot as seen from where the tool was last.
#[derive(Debug, Clone, Copy)]
struct Open {
    slot: usize,
    /// The pull that would be made.
    pull: usize,
    /// Where it counts in the order.
    at: usize,
}

impl Ways<'_> {
    fn add_to(&self, branches: &mut Vec<Branch>) {
        // A tool that was not here before comes to where the others are.
        let cursors = &self.hypothesis.cursors;
        let own = cursors.iter().find(|at| at.tool == self.seen.tool);
        let cursor = own.or(cursors.last()).copied();
        let mut step = self.fits.times.step;
        let mut rest = 1.0;
        if let Some(cursor) = own {
            let slot = self.course.pulls[cursor.pull].slot;
            match cursor.left {
                Left::Done => {
                    let weight = REPEAT * self.fits.times.repeat * self.fits.tight[slot];
                    branches.push(self.branch(What::Again(slot), weight, None));
                }
                Left::Under | Left::Undone if self.is_open(slot) => {
                    let time = if cursor.left == Left::Under {
                        self.fits.times.repair
                    } else {
                        step
                    };
                    rest = 1.0 - REPAIRED;
                    let weight = REPAIRED * time * self.fits.fresh[slot];
                    branches.push(self.branch(What::Advance(slot), weight, Some(cursor.pull)));
                }
                Left::Under | Left::Undone => {}
            }
        }
        if let Some(pull) = self.seen.pointed {
            let slot = self.course.pulls[pull].slot;
            if self.is_open(slot) {
                let weight = rest * POINTED * step * self.fits.fresh[slot];
                branches.push(self.branch(What::Advance(slot), weight, Some(pull)));
            } else {
                let weight = rest * POINTED * step * self.fits.tight[slot];
                branches.push(self.branch(What::Again(slot), weight, None));
            }
            rest *= 1.0 - POINTED;
        }
        step *= rest;
        self.add_open(cursor, step, branches);
        self.add_again(step, branches);
        branches.push(self.branch(What::Test, TEST * step * self.fits.any, None));
        if let Some(fit) = self.seen.elsewhere {
            branches.push(self.branch(What::OtherBuild, OTHER_BUILD * step * fit, None));
        }
    }

    fn is_open(&self, slot: usize) -> bool {
        self.hypothesis.counts[slot] < self.filter.sizes[slot]
    }

    fn branch(&self, what: What, weight: f64, pull: Option<usize>) -> Branch {
        let before = match what {
            What::Advance(slot) | What::Again(slot) => self.hypothesis.counts[slot],
            What::Test | What::OtherBuild => 0,
        };
        Branch {
            from: self.from,
            label: Label { what, before },
            weight: weight * self.hypothesis.weight,
            pull,
        }
    }

    /// The first open pull of every slot, in the order in which they would come.
    fn open(&self, cursor: Option<Cursor>) -> Vec<Open> {
        let here = cursor.map(|cursor| (self.course.pulls[cursor.pull].slot, cursor.pull));
        let mut list: Vec<Open> = Vec::with_capacity(self.course.slots.len());
        for (slot, ready) in self.filter.ready.iter().enumerate() {
            let Some(&pull) = ready.get(usize::from(self.hypothesis.counts[slot])) else {
                continue;
            };
            // Which ones of a slot are made is not known: there is always one after the last.
            let at = match here {
                Some((same, last)) if same == slot => pull.max(last + 1),
                _ => pull,
            };
            list.push(Open { slot, pull, at });
        }
        list.sort_unstable_by_key(|open| open.at);
        list
    }

    fn add_open(&self, cursor: Option<Cursor>, step: f64, branches: &mut Vec<Branch>) {
        let open = self.open(cursor);
        let last = cursor.map(|cursor| cursor.pull);
        let here = last.map(|pull| (self.course.pulls[pull].stage, self.course.pulls[pull].pass));
        let is_ahead = |open: &&Open| last.is_none_or(|last| open.at > last);
        let ahead = open.iter().find(is_ahead).copied();
        let run = |open: &Open| {
            let pull = &self.course.pulls[open.pull];
            (pull.stage, pull.pass)
        };
        let behind_near = open
            .iter()
            .find(|open| !is_ahead(open) && Some(run(open)) == here)
            .copied();
        let behind_far = open
            .iter()
            .find(|open| !is_ahead(open) && Some(run(open)) != here)
            .copied();
        let mut main: [(Option<Open>, f64); 3] =
            [(behind_near, 0.0), (behind_far, 0.0), (ahead, 0.0)];
        let mut left = NEXT;
        for (number, part) in [BACK_NEAR, BACK_FAR, 1.0].into_iter().enumerate() {
            if main[number].0.is_some() {
                main[number].1 = left * part;
                left -= left * part;
            }
        }
        // At the end of the plan there is nothing ahead, and what was left behind is all there is.
        let given: f64 = main.iter().map(|(_, part)| part).sum();
        let scale = if given > 0.0 { NEXT / given } else { 0.0 };
        for (open, part) in main {
            if let Some(open) = open {
                self.add_advance(open, part * scale * step, branches);
            }
        }
        let done_with = |slot: usize| {
            main.iter()
                .any(|(open, _)| open.is_some_and(|open| open.slot == slot))
        };
        let anchor = ahead.or(behind_near).or(behind_far);
        let Some(anchor) = anchor else { return };
        self.add_others(&open, run(&anchor), done_with, step, branches);
    }

    fn add_others(
        &self,
        open: &[Open],
        (stage, pass): (usize, u8),
        done_with: impl Fn(usize) -> bool,
        step: f64,
        branches: &mut Vec<Branch>,
    ) {
        let mut is_second = true;
        let mut begun = usize::MAX;
        let following = open
            .iter()
            .map(|open| self.course.pulls[open.pull].stage)
            .find(|of| *of > stage);
        let stages = self.course.slots.last().map_or(1, |slot| slot.stage + 1);
        let others = f64::from(u32::try_from(stages).unwrap_or(u32::MAX));
        for at in open {
            let pull = &self.course.pulls[at.pull];
            let is_first = pull.stage != begun;
            begun = pull.stage;
            if done_with(at.slot) {
                continue;
            }
            let prior = if pull.stage == stage && pull.pass == pass {
                if std::mem::take(&mut is_second) {
                    SWAPPED
                } else {
                    NEAR
                }
            } else if pull.stage == stage {
                let is_last_pass = self.course.slots[at.slot].later.is_none();
                if self.is_untouched(stage, pass) && is_last_pass {
                    PASS_FORGOTTEN
                } else {
                    PASS_LEFT
                }
            } else if Some(pull.stage) == following && is_first {
                FOLLOWING_STAGE
            } else if is_first {
                OTHER_STAGE / others
            } else {
                FAR / others
            };
            self.add_advance(*at, prior * step, branches);
        }
    }

    /// Whether nothing of a stage's pass is made yet.
    fn is_untouched(&self, stage: usize, pass: u8) -> bool {
        let slots = self.course.slots.iter().zip(&self.hypothesis.counts);
        let mut of_pass = slots.filter(|(slot, _)| slot.stage == stage && slot.pass == pass);
        of_pass.all(|(_, count)| *count == 0)
    }

    fn add_advance(&self, open: Open, weight: f64, branches: &mut Vec<Branch>) {
        let weight = weight * self.fits.fresh[open.slot];
        branches.push(self.branch(What::Advance(open.slot), weight, Some(open.pull)));
    }

    /// What is tight already, each fastener in the last pass that it has had.
    fn add_again(&self, step: f64, branches: &mut Vec<Branch>) {
        let counts = &self.hypothesis.counts;
        let tight = |slot: usize| {
            let later = self.course.slots[slot].later;
            let further = later.map_or(0, |later| counts[later]);
            f64::from(counts[slot].saturating_sub(further))
        };
        let all: f64 = (0..counts.len()).map(tight).sum();
        if all <= 0.0 {
            return;
        }
        for slot in 0..counts.len() {
            let part = tight(slot);
            if part > 0.0 {
                let weight = AGAIN * part / all * step * self.fits.tight[slot];
                branches.push(self.branch(What::Again(slot), weight, None));
            }
        }
    }
}
