//! All ways on from one hypothesis, each with its weight: how often, times how well the time fits, times how well the
//! value fits.

use super::super::course::Course;
use super::super::habits::{
    AGAIN, BACK_FAR, BACK_NEAR, FAR, FOLLOWING_STAGE, LAST_LEFT_OUT, NEAR, NEXT, OTHER_BUILD,
    OTHER_STAGE, PASS_FORGOTTEN, PASS_LEFT, POINTED, REPAIRED, REPEAT, SOME_LEFT_OUT, SWAPPED,
    TEST,
};
use super::{
    Branch, Cursor, Filter, Fits, Hypothesis, LEAST, Label, Left, MINOR, Seen, Shares, What,
};

/// What the ways on from all hypotheses come to.
pub(super) struct Sum {
    pub(super) shares: Shares,
    pub(super) total: f64,
    pub(super) branches: Vec<Branch>,
}

impl Sum {
    fn add(&mut self, branch: Branch) {
        self.total += branch.weight;
        match branch.label.what {
            What::Advance(slot) => self.shares.advance[slot] += branch.weight,
            What::Again(slot) => self.shares.again[slot] += branch.weight,
            What::Test => self.shares.test += branch.weight,
            What::OtherBuild => self.shares.other_build += branch.weight,
        }
        // The likely ones come first, so what is far below the sum so far stays so.
        if branch.weight >= 0.1 * LEAST * self.total {
            self.branches.push(branch);
        }
    }
}

/// All ways on from one hypothesis.
pub(super) struct Ways<'a> {
    pub(super) filter: &'a Filter,
    pub(super) course: &'a Course,
    pub(super) seen: &'a Seen,
    pub(super) fits: &'a Fits,
    pub(super) hypothesis: &'a Hypothesis,
    pub(super) from: usize,
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

/// The open slots that come first, in the several ways of coming first.
#[derive(Debug, Default)]
struct Firsts {
    /// After where the tool was last.
    ahead: Option<Open>,
    /// Passed over with the last pull, in the same stage and pass.
    near: Option<Open>,
    /// Left open further back.
    far: Option<Open>,
}

fn earliest(best: &mut Option<Open>, open: Open) {
    if best.is_none_or(|best| open.at < best.at) {
        *best = Some(open);
    }
}

/// The first open pull of every slot, and where it counts in the order.
fn open(
    filter: &Filter,
    course: &Course,
    hypothesis: &Hypothesis,
    cursor: Option<Cursor>,
) -> impl Iterator<Item = Open> {
    let here = cursor.map(|cursor| (course.pulls[cursor.pull].slot, cursor.pull));
    let slots = filter.ready.iter().enumerate();
    slots.filter_map(move |(slot, ready)| {
        let pull = *ready.get(usize::from(hypothesis.made(slot)))?;
        // Which ones of a slot are made is not known: there is always one after the last.
        let at = match here {
            Some((same, last)) if same == slot => pull.max(last + 1),
            _ => pull,
        };
        Some(Open { slot, pull, at })
    })
}

fn run(course: &Course, pull: usize) -> (usize, u8) {
    let pull = &course.pulls[pull];
    (pull.stage, pull.pass)
}

fn firsts(course: &Course, cursor: Option<Cursor>, all: impl Iterator<Item = Open>) -> Firsts {
    let last = cursor.map(|cursor| cursor.pull);
    let here = last.map(|last| run(course, last));
    let from = cursor.map(|cursor| cursor.from);
    let mut firsts = Firsts::default();
    for open in all {
        let way = if last.is_none_or(|last| open.at > last) {
            &mut firsts.ahead
        } else if Some(run(course, open.pull)) == here && from.is_some_and(|from| open.at > from) {
            &mut firsts.near
        } else {
            &mut firsts.far
        };
        earliest(way, open);
    }
    firsts
}

/// The likeliest pull after where a tool is.
pub(super) fn next(
    filter: &Filter,
    course: &Course,
    hypothesis: &Hypothesis,
    cursor: Cursor,
) -> Option<usize> {
    let open = open(filter, course, hypothesis, Some(cursor));
    let Firsts { ahead, near, far } = firsts(course, Some(cursor), open);
    near.or(ahead).or(far).map(|open| open.pull)
}

impl Ways<'_> {
    pub(super) fn add_to(&self, sum: &mut Sum) {
        // A tool that was not here before comes to where the others are.
        let cursors = &self.hypothesis.cursors;
        let own = cursors.iter().find(|at| at.tool == self.seen.tool);
        let cursor = own.or(cursors.last()).copied();
        let mut rest = 1.0;
        if let Some(cursor) = own {
            rest = self.add_same(*cursor, sum);
        }
        if let Some(pull) = self.seen.pointed {
            self.add_pointed(pull, rest, sum);
            rest *= 1.0 - POINTED;
        }
        let step = rest * self.fits.times.step;
        self.add_open(cursor, step, sum);
        if self.hypothesis.weight < MINOR {
            return;
        }
        self.add_again(step, sum);
        sum.add(self.branch(What::Test, TEST * step * self.fits.any, None));
        if let Some(fit) = self.seen.elsewhere {
            sum.add(self.branch(What::OtherBuild, OTHER_BUILD * step * fit, None));
        }
    }

    fn is_open(&self, slot: usize) -> bool {
        self.hypothesis.made(slot) < self.filter.sizes[slot]
    }

    /// Whether a tool was at a slot last.
    fn is_here(&self, slot: usize) -> bool {
        let mut cursors = self.hypothesis.cursors.iter();
        cursors.any(|cursor| self.course.pulls[cursor.pull].slot == slot)
    }

    fn missing(&self, slot: usize) -> f64 {
        self.hypothesis.missing(slot, self.filter.sizes[slot])
    }

    /// How probable it is of each one of a slot that nobody has named that it is missing.
    fn missing_share(&self, slot: usize) -> f64 {
        let unknown = f64::from(self.filter.unknown(slot)).max(1.0);
        (self.missing(slot) / unknown).min(1.0)
    }

    fn fresh(&self, slot: usize) -> f64 {
        self.fits.fresh(self.course, slot)
    }

    fn tight(&self, slot: usize) -> f64 {
        self.fits.tight(self.course, slot)
    }

    fn branch(&self, what: What, weight: f64, pull: Option<usize>) -> Branch {
        let (before, left) = match what {
            What::Advance(slot) | What::Again(slot) => {
                let before = self.hypothesis.made(slot);
                (before, before > 0 && !self.is_here(slot))
            }
            What::Test | What::OtherBuild => (0, false),
        };
        Branch {
            from: self.from,
            label: Label { what, before, left },
            weight: weight * self.hypothesis.weight,
            pull,
        }
    }

    /// The fastener that the tool was at last. Gives back how often it is something else.
    fn add_same(&self, cursor: Cursor, sum: &mut Sum) -> f64 {
        let slot = self.course.pulls[cursor.pull].slot;
        let times = &self.fits.times;
        if cursor.left == Left::Done || cursor.touched != slot {
            let weight = REPEAT * times.repeat * self.tight(cursor.touched);
            sum.add(self.branch(What::Again(cursor.touched), weight, None));
        }
        let time = match cursor.left {
            Left::Done => return 1.0,
            Left::Under => times.repair,
            Left::Undone => times.step,
        };
        if !self.is_open(slot) {
            return 1.0;
        }
        let weight = REPAIRED * time * self.fresh(slot);
        sum.add(self.branch(What::Advance(slot), weight, Some(cursor.pull)));
        1.0 - REPAIRED
    }

    /// A fastener that was pointed at. In a slot that was left with some of it missing, which ones are missing is not
    /// known, unless a person has said so.
    fn add_pointed(&self, pull: usize, rest: f64, sum: &mut Sum) {
        let slot = self.course.pulls[pull].slot;
        let is_due = self.filter.ranks[pull] == Some(self.hypothesis.made(slot));
        let open = if self.missing(slot) < 1e-6 {
            0.0
        } else if self.filter.known[pull] {
            0.01
        } else if self.is_here(slot) && !is_due {
            // Whoever points at one that is not due knows why. One that is due is pointed at when the bike is looked over.
            0.97
        } else {
            self.missing_share(slot)
        };
        let weight = rest * POINTED * self.fits.times.step;
        let advance = weight * open * self.fresh(slot);
        sum.add(self.branch(What::Advance(slot), advance, Some(pull)));
        let again = weight * (1.0 - open) * self.tight(slot);
        sum.add(self.branch(What::Again(slot), again, None));
    }

    fn open(&self, cursor: Option<Cursor>) -> impl Iterator<Item = Open> {
        open(self.filter, self.course, self.hypothesis, cursor)
    }

    fn run(&self, pull: usize) -> (usize, u8) {
        run(self.course, pull)
    }

    fn add_open(&self, cursor: Option<Cursor>, step: f64, sum: &mut Sum) {
        let Firsts { ahead, near, far } = firsts(self.course, cursor, self.open(cursor));
        let near_part = near.map_or(0.0, |_| BACK_NEAR);
        let far_part = far.map_or(0.0, |_| (1.0 - near_part) * BACK_FAR);
        let ahead_part = ahead.map_or(0.0, |_| 1.0 - near_part - far_part);
        let all = near_part + far_part + ahead_part;
        if all <= 0.0 {
            return;
        }
        // At the end of the plan there is nothing ahead, and what was left behind is all there is.
        let parts = [(ahead, ahead_part), (near, near_part), (far, far_part)];
        for (open, part) in parts {
            let Some(open) = open else { continue };
            let weight = NEXT * part / all * step;
            if ahead.is_none() && near.is_none() {
                // All that is left is what the page shows to be open.
                self.add_asked_for(open, weight, sum);
            } else {
                self.add_advance(open, weight, sum);
            }
        }
        let taken = parts.map(|(open, _)| open.map(|open| open.slot));
        let is_minor = self.hypothesis.weight < MINOR;
        if let Some(anchor) = ahead.or(near).or(far).filter(|_| !is_minor) {
            let mut open = Vec::with_capacity(self.course.slots.len());
            open.extend(self.open(cursor));
            self.add_others(&open, anchor, taken, step, sum);
        }
    }

    /// Everything else that is open.
    fn add_others(
        &self,
        all: &[Open],
        anchor: Open,
        taken: [Option<usize>; 3],
        step: f64,
        sum: &mut Sum,
    ) {
        let (stage, pass) = self.run(anchor.pull);
        let is_in_run = |open: &Open| self.run(open.pull) == (stage, pass);
        let mut second = None;
        let mut following = None;
        for &open in all {
            if taken.contains(&Some(open.slot)) {
                continue;
            }
            if is_in_run(&open) {
                earliest(&mut second, open);
            } else if self.course.pulls[open.pull].stage > stage {
                earliest(&mut following, open);
            }
        }
        let stages = f64::from(u32::try_from(self.course.stages).unwrap_or(u32::MAX));
        let is = |other: &Option<Open>, slot| other.is_some_and(|other| other.slot == slot);
        let left = self.left_of(stage, pass);
        let leaving = match left {
            Some(1) => LAST_LEFT_OUT,
            Some(_) => SOME_LEFT_OUT,
            None => FOLLOWING_STAGE,
        };
        let mut begun = usize::MAX;
        for &open in all {
            let at = self.course.pulls[open.pull].stage;
            let is_first = at != begun;
            begun = at;
            if taken.contains(&Some(open.slot)) {
                continue;
            }
            let prior = if is(&second, open.slot) {
                SWAPPED
            } else if is_in_run(&open) {
                NEAR
            } else if at == stage {
                self.later_pass(open.slot, left)
            } else if is(&following, open.slot) {
                leaving
            } else if is_first {
                OTHER_STAGE / stages
            } else {
                FAR / stages
            };
            self.add_advance(open, prior * step, sum);
        }
    }

    /// `left` is how many of the present pass are still to be made, where it is begun.
    fn later_pass(&self, slot: usize, left: Option<u16>) -> f64 {
        let is_last_pass = self.course.slots[slot].later.is_none();
        if is_last_pass && left.is_none() {
            PASS_FORGOTTEN
        } else {
            PASS_LEFT
        }
    }

    /// How many of a stage's pass are still to be made, where it is begun.
    fn left_of(&self, stage: usize, pass: u8) -> Option<u16> {
        let (mut made, mut size) = (0, 0);
        for (number, slot) in self.course.slots.iter().enumerate() {
            if slot.stage == stage && slot.pass == pass {
                made += self.hypothesis.made(number);
                size += self.filter.sizes[number];
            }
        }
        (made > 0).then(|| size.saturating_sub(made))
    }

    /// One that was asked for because it is shown open. Which ones of a slot that was left are open is not known.
    fn add_asked_for(&self, open: Open, weight: f64, sum: &mut Sum) {
        let share = if self.hypothesis.made(open.slot) == 0 || self.is_here(open.slot) {
            1.0
        } else {
            self.missing_share(open.slot)
        };
        self.add_advance(open, weight * share, sum);
        let again = weight * (1.0 - share) * self.tight(open.slot);
        sum.add(self.branch(What::Again(open.slot), again, None));
    }

    fn add_advance(&self, open: Open, weight: f64, sum: &mut Sum) {
        let weight = weight * self.fresh(open.slot);
        sum.add(self.branch(What::Advance(open.slot), weight, Some(open.pull)));
    }

    /// What is tight already, each fastener in the last pass that it has had.
    fn add_again(&self, step: f64, sum: &mut Sum) {
        let counts = &self.hypothesis.counts;
        let tight = |slot: usize| {
            let later = self.course.slots[slot].later;
            let further = later.map_or(0.0, |later| counts[later]);
            f64::from((counts[slot] - further).max(0.0))
        };
        let all: f64 = (0..counts.len()).map(tight).sum();
        if all <= 0.0 {
            return;
        }
        for slot in 0..counts.len() {
            let part = tight(slot);
            if part > 0.0 {
                let weight = AGAIN * part / all * step * self.tight(slot);
                sum.add(self.branch(What::Again(slot), weight, None));
            }
        }
    }
}
