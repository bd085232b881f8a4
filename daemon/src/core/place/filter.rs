//! What may have been pulled so far: hypotheses, each with a probability.
//!
//! This is the forward pass of a hidden-Markov model. The hidden state is how many pulls of each slot are made and where
//! each tool was last; a reading is the observation. It is exact but for two things: what has become very improbable is
//! dropped, and pulls of one slot are not told apart.

mod anew;
mod ways;

use super::course::Course;
use super::fit::{self, Times};
use super::habits::OTHER_OF_SLOT;
use pullmark_schema::quantity::Torque;
use ways::{Sum, Ways};

/// So many hypotheses are kept.
const MOST: usize = 10;
/// Of those that are less probable than this, only the likely ways on are followed.
const MINOR: f64 = 0.01;
/// Those that are less probable than this are dropped.
const LEAST: f64 = 1e-5;

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
    /// The slot was left before, so which ones of it were made is not known.
    pub(super) left: bool,
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
    /// Where in the order the work goes on from.
    pull: usize,
    /// Where it was before that, if it went forward.
    from: usize,
    left: Left,
    /// The slot of the fastener that it touched last; another one after a look back.
    touched: usize,
}

/// One course of things that may have happened.
#[derive(Debug, Clone, PartialEq)]
struct Hypothesis {
    weight: f64,
    /// How many of each slot are made. Of what is long past it is an average.
    counts: Vec<f32>,
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
#[derive(Debug, Clone, Copy, PartialEq)]
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
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fits {
    pub(super) times: Times,
    /// By spec, for a fastener that was loose, and for one that was tight.
    fresh: Vec<f64>,
    tight: Vec<f64>,
    pub(super) any: f64,
}

impl Fits {
    fn new(course: &Course, seen: &Seen) -> Self {
        let fit = |spec| fit::value(seen.torque, spec, seen.deviation);
        let (fresh, tight) = course.specs.iter().map(fit).unzip();
        Self {
            times: Times::after(seen.gap),
            fresh,
            tight,
            any: fit::any_value(seen.torque),
        }
    }

    pub(super) fn fresh(&self, course: &Course, slot: usize) -> f64 {
        self.fresh[course.slots[slot].spec]
    }

    pub(super) fn tight(&self, course: &Course, slot: usize) -> f64 {
        self.tight[course.slots[slot].spec]
    }
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
    /// The pulls of which a person has said that they were made.
    known: Vec<bool>,
}

/// What follows from a reading, before it is taken in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outcome {
    pub(super) shares: Shares,
    pub(super) fits: Fits,
    /// What all weights sum to.
    pub(super) total: f64,
    branches: Vec<Branch>,
}

impl Filter {
    /// Nothing is pulled yet.
    pub(super) fn new(course: &Course) -> Self {
        let mut filter = Self {
            hypotheses: vec![Hypothesis {
                weight: 1.0,
                counts: vec![0.0; course.slots.len()],
                cursors: Vec::new(),
                undecided: Vec::new(),
            }],
            ranks: Vec::new(),
            sizes: Vec::new(),
            ready: Vec::new(),
            known: vec![false; course.pulls.len()],
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

    /// How probable each thing is that a reading may have been.
    pub(super) fn weigh(&self, course: &Course, seen: &Seen) -> Outcome {
        let fits = Fits::new(course, seen);
        let mut sum = Sum {
            shares: Shares {
                advance: vec![0.0; course.slots.len()],
                again: vec![0.0; course.slots.len()],
                test: 0.0,
                other_build: 0.0,
            },
            total: 0.0,
            branches: Vec::with_capacity(256),
        };
        for (from, hypothesis) in self.hypotheses.iter().enumerate() {
            let ways = Ways {
                filter: self,
                course,
                seen,
                fits: &fits,
                hypothesis,
                from,
            };
            ways.add_to(&mut sum);
        }
        let Sum {
            mut shares,
            total,
            branches,
        } = sum;
        if total > 0.0 {
            let list = shares.advance.iter_mut().chain(&mut shares.again);
            for share in list.chain([&mut shares.test, &mut shares.other_build]) {
                *share /= total;
            }
        }
        Outcome {
            shares,
            fits,
            total,
            branches,
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
            branches, total, ..
        } = outcome;
        if total <= 0.0 {
            return;
        }
        let branches = together(branches, total, held.is_some());
        let mut next: Vec<Hypothesis> = Vec::with_capacity(MOST);
        for branch in branches {
            let child = self.child(course, seen, &branch, held);
            let is_same = |known: &Hypothesis| known.is_like(&child, course);
            match next.iter().position(is_same) {
                Some(number) => next[number].absorb(&child),
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
            What::Again(slot) => {
                let mut cursors = child.cursors.iter_mut();
                if let Some(cursor) = cursors.find(|at| at.tool == seen.tool) {
                    cursor.touched = slot;
                }
                return child;
            }
            What::Test | What::OtherBuild => return child,
        };
        let is_made = course.spec_of(slot).is_made_by(seen.torque);
        if is_made {
            child.advance(course, slot);
        }
        if let Some(pull) = branch.pull {
            let left = if is_made { Left::Done } else { Left::Under };
            let known = child.cursors.iter().find(|at| at.tool == seen.tool);
            let before = known.map_or(0, |known| known.pull);
            child.put(Cursor {
                tool: seen.tool,
                pull,
                from: before.min(pull),
                left,
                touched: slot,
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

    /// The pull that comes next for a tool in the most probable course of things.
    pub(super) fn next(&self, course: &Course, tool: u16) -> Option<usize> {
        let best = self
            .hypotheses
            .iter()
            .max_by(|a, b| a.weight.total_cmp(&b.weight))?;
        let cursor = best.cursors.iter().find(|at| at.tool == tool)?;
        let slot = course.pulls[cursor.pull].slot;
        if cursor.left != Left::Done && best.made(slot) < self.sizes[slot] {
            return Some(cursor.pull);
        }
        ways::next(self, course, best, *cursor)
    }

    /// A person said what a reading was that waited. False where no hypothesis knows of it.
    /// `fits` says how well an answer goes with what the reading was, from 0 to 1.
    pub(super) fn told(&mut self, sequence: u64, fits: impl Fn(&Self, &Label) -> f64) -> bool {
        let weigh = |known: &Hypothesis| {
            let of = known.undecided.iter().find(|(waits, _)| *waits == sequence);
            of.map_or(0.0, |(_, label)| fits(self, label) * known.weight)
        };
        let weights: Vec<f64> = self.hypotheses.iter().map(weigh).collect();
        if weights.iter().all(|weight| *weight <= 0.0) {
            return false;
        }
        for (known, weight) in self.hypotheses.iter_mut().zip(weights) {
            known.weight = weight;
            known.undecided.retain(|(waits, _)| *waits != sequence);
        }
        self.hypotheses.retain(|known| known.weight > 0.0);
        self.normalise();
        true
    }

    /// A reading that counted for a slot before counts for another one now.
    pub(super) fn put_right(&mut self, sequence: u64, before: Option<usize>, after: Option<usize>) {
        for known in &mut self.hypotheses {
            let was = known.undecided.iter().find(|(waits, _)| *waits == sequence);
            let was = match was {
                Some((_, label)) => match label.what {
                    What::Advance(slot) => Some(slot),
                    What::Again(_) | What::Test | What::OtherBuild => None,
                },
                None => before,
            };
            if let Some(slot) = was {
                known.counts[slot] = (known.counts[slot] - 1.0).max(0.0);
            }
            if let Some(slot) = after {
                known.counts[slot] = (known.counts[slot] + 1.0).min(f32::from(self.sizes[slot]));
            }
            known.undecided.retain(|(waits, _)| *waits != sequence);
        }
    }

    /// How well what a reading was goes with a person's word that it was made at a pull. Which ones of a slot were made
    /// before is assumed to follow its order, and now and then it does not.
    pub(super) fn was_at(&self, label: &Label, course: &Course, pull: usize) -> f64 {
        let slot = course.pulls[pull].slot;
        let (What::Advance(of) | What::Again(of)) = label.what else {
            return 0.0;
        };
        if of != slot {
            return 0.0;
        }
        let is_as_assumed = self.ranks[pull].is_none_or(|rank| match label.what {
            What::Advance(_) => rank == label.before,
            _ => rank < label.before,
        });
        if label.left || is_as_assumed {
            1.0
        } else {
            OTHER_OF_SLOT
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

    /// How many of a slot nobody has named.
    pub(super) fn unknown(&self, slot: usize) -> u16 {
        let named = self.ready[slot].iter().filter(|pull| self.known[**pull]);
        let named = u16::try_from(named.count()).unwrap_or(u16::MAX);
        self.sizes[slot].saturating_sub(named)
    }

    /// Whether nobody has named a pull.
    pub(super) fn is_unknown(&self, pull: usize) -> bool {
        !self.known[pull]
    }

    /// A fastener was undone: `pulls` are its passes that were done.
    pub(super) fn undone(&mut self, course: &Course, pulls: &[usize], first: usize) {
        for pull in pulls {
            self.known[*pull] = false;
        }
        for known in &mut self.hypotheses {
            for pull in pulls {
                let count = &mut known.counts[course.pulls[*pull].slot];
                *count = (*count - 1.0).max(0.0);
            }
            for cursor in &mut known.cursors {
                cursor.pull = first;
                cursor.from = first;
                cursor.left = Left::Undone;
                cursor.touched = course.pulls[first].slot;
            }
        }
    }

    /// A person said where a tool is now.
    pub(super) fn moved(&mut self, course: &Course, tool: u16, pull: usize, is_under: bool) {
        let left = if is_under { Left::Under } else { Left::Done };
        for known in &mut self.hypotheses {
            let at = known.cursors.iter().find(|at| at.tool == tool);
            // Where it is now it may be already, from taking the reading in.
            let from = at.map_or(pull, |at| {
                if at.pull == pull {
                    at.from
                } else {
                    at.pull.min(pull)
                }
            });
            known.put(Cursor {
                tool,
                pull,
                from,
                left,
                touched: course.pulls[pull].slot,
            });
        }
    }

    /// How many pulls of a slot are missing, on average.
    pub(super) fn missing(&self, slot: usize) -> f64 {
        let size = self.sizes.get(slot).copied().unwrap_or_default();
        self.hypotheses
            .iter()
            .map(|known| known.weight * known.missing(slot, size))
            .sum()
    }

    /// Whether a reading that waits may well concern a slot.
    pub(super) fn waits_about(&self, sequence: u64, slot: usize, least: f64) -> bool {
        let share: f64 = self
            .hypotheses
            .iter()
            .filter(|known| {
                known.undecided.iter().any(|(waits, label)| {
                    *waits == sequence
                        && matches!(label.what, What::Advance(of) | What::Again(of) if of == slot)
                })
            })
            .map(|known| known.weight)
            .sum();
        share >= least
    }
}

/// Puts together what leads to the same, and drops what is too improbable; the most probable first.
fn together(branches: Vec<Branch>, total: f64, with_labels: bool) -> Vec<Branch> {
    let mut list: Vec<Branch> = Vec::with_capacity(branches.len().min(64));
    let mut stays: Vec<Branch> = Vec::new();
    for branch in branches {
        let moves = matches!(branch.label.what, What::Advance(_) | What::Again(_));
        if with_labels || moves {
            list.push(branch);
        } else {
            match stays.iter_mut().find(|known| known.from == branch.from) {
                Some(known) => known.weight += branch.weight,
                None => stays.push(branch),
            }
        }
    }
    list.append(&mut stays);
    list.retain(|branch| branch.weight >= LEAST * total);
    list.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    list.truncate(3 * MOST);
    list
}

impl Hypothesis {
    fn made(&self, slot: usize) -> u16 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of pulls"
        )]
        let made = (self.counts[slot] + 0.5) as u16;
        made
    }

    /// How many of a slot of some size are still to be made.
    fn missing(&self, slot: usize, size: u16) -> f64 {
        (f64::from(size) - f64::from(self.counts[slot])).max(0.0)
    }

    /// The same from here on: what is long past may differ by a pull, and then counts by its average.
    fn is_like(&self, other: &Self, course: &Course) -> bool {
        if self.cursors != other.cursors || self.undecided != other.undecided {
            return false;
        }
        let stages = self.cursors.iter().map(|at| course.pulls[at.from].stage);
        let at = stages.min().unwrap_or_default();
        let counts = self.counts.iter().zip(&other.counts);
        counts.zip(&course.slots).all(|((one, two), slot)| {
            let apart = (one - two).abs();
            apart < 1e-6 || (slot.stage + 1 < at && apart <= 1.0)
        })
    }

    fn absorb(&mut self, other: &Self) {
        let weight = self.weight + other.weight;
        #[expect(clippy::cast_possible_truncation, reason = "a share")]
        let share = (other.weight / weight) as f32;
        for (count, other) in self.counts.iter_mut().zip(&other.counts) {
            *count += (other - *count) * share;
        }
        self.weight = weight;
    }

    fn advance(&mut self, course: &Course, slot: usize) {
        self.counts[slot] += 1.0;
        // Whoever makes a later pass makes the earlier one no more.
        let mut later = slot;
        while let Some(earlier) = course.slots[later].earlier {
            self.counts[earlier] = self.counts[earlier].max(self.counts[later]);
            later = earlier;
        }
    }

    fn put(&mut self, cursor: Cursor) {
        match self.cursors.iter_mut().find(|at| at.tool == cursor.tool) {
            Some(at) => *at = cursor,
            None => self.cursors.push(cursor),
        }
    }
}
