//! A profile's pattern, made ready to run over a line.
//!
//! A regular expression engine takes longer to find its groups than a line takes to come. Most patterns of profiles are a
//! plain row of literals, runs of a class and a few choices, anchored at both ends. Such a pattern is made into a small
//! program over ASCII bytes here. Everything else (an unusual pattern, a line that is not ASCII, a line that makes the
//! program try too often) goes to the `regex` crate, which is also what the program is compared with in the tests: the
//! meaning is that of `regex`, leftmost first.

use regex::Regex;
use regex_syntax::hir::{Class, Hir, HirKind, Look, Repetition};

/// The groups that a pattern may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Group {
    Value,
    Sign,
    Unit,
    Counter,
    Time,
    Flags,
    Sum,
}

/// Their names, in the order of the enum.
const NAMES: [&str; 7] = ["value", "sign", "unit", "counter", "time", "flags", "sum"];
const NONE: u16 = u16::MAX;
/// So many choices may be left open at once before the regular expression has to do it.
const OPEN_CHOICES: usize = 4;
/// A program longer than this is not made.
const LONGEST_PROGRAM: usize = 400;

/// Where each group was found: first byte, and the one after its last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Groups([(u16, u16); 7]);

impl Groups {
    const fn empty() -> Self {
        Self([(NONE, NONE); 7])
    }

    /// What a group matched; empty where it took no part.
    pub(super) fn text<'t>(&self, group: Group, text: &'t str) -> &'t str {
        let (from, to) = self.0.get(group as usize).copied().unwrap_or((NONE, NONE));
        text.get(usize::from(from)..usize::from(to))
            .unwrap_or_default()
    }

    /// Where a group begins.
    pub(super) fn start(&self, group: Group) -> Option<usize> {
        let (from, _) = self.0.get(group as usize).copied()?;
        (from != NONE).then_some(usize::from(from))
    }

    fn set(&mut self, slot: Slot, at: usize) {
        // Longer lines than this are not asked for: see `captures`.
        let at = u16::try_from(at).unwrap_or(NONE);
        if let Some(range) = self.0.get_mut(usize::from(slot.group)) {
            if slot.is_end {
                range.1 = at;
            } else {
                range.0 = at;
            }
        }
    }
}

/// A pattern made ready.
#[derive(Debug, Clone)]
pub(super) struct Matcher {
    regex: Regex,
    /// The number of each named group in the regular expression.
    numbers: [Option<usize>; 7],
    program: Option<Program>,
}

impl Matcher {
    pub(super) fn new(pattern: &str) -> Result<Self, regex::Error> {
        let regex = Regex::new(pattern)?;
        let mut numbers = [None; 7];
        for (number, name) in regex.capture_names().enumerate() {
            for (known, slot) in NAMES.iter().zip(&mut numbers) {
                if name == Some(known) {
                    *slot = Some(number);
                }
            }
        }
        Ok(Self {
            program: Program::compile(pattern),
            regex,
            numbers,
        })
    }

    /// Whether the pattern names a group.
    pub(super) fn names(&self, group: Group) -> bool {
        self.numbers
            .get(group as usize)
            .is_some_and(Option::is_some)
    }

    pub(super) fn is_match(&self, text: &str) -> bool {
        match self.run(text) {
            Some(found) => found.is_some(),
            None => self.regex.is_match(text),
        }
    }

    pub(super) fn captures(&self, text: &str) -> Option<Groups> {
        self.run(text).unwrap_or_else(|| self.by_regex(text))
    }

    /// Nothing where only the regular expression can tell.
    #[expect(clippy::option_option, reason = "no match, or none that can tell")]
    fn run(&self, text: &str) -> Option<Option<Groups>> {
        let program = self.program.as_ref()?;
        if !text.is_ascii() || text.len() >= usize::from(NONE) {
            return None;
        }
        program.run(text.as_bytes())
    }

    pub(super) fn by_regex(&self, text: &str) -> Option<Groups> {
        let captures = self.regex.captures(text)?;
        let mut groups = Groups::empty();
        for (number, range) in self.numbers.iter().zip(&mut groups.0) {
            let found = number.and_then(|number| captures.get(number));
            if let Some(found) = found {
                let place = |at| u16::try_from(at).unwrap_or(NONE);
                *range = (place(found.start()), place(found.end()));
            }
        }
        Some(groups)
    }

    #[cfg(test)]
    pub(super) const fn is_compiled(&self) -> bool {
        self.program.is_some()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Slot {
    group: u8,
    is_end: bool,
}

/// A set of ASCII characters.
type Set = u128;

const fn has(set: Set, byte: u8) -> bool {
    byte < 128 && set & (1 << byte) != 0
}

/// What can come at a place in the program: a superset, for leaving out choices that cannot work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct First {
    set: Set,
    at_end: bool,
}

impl First {
    fn allows(self, next: Option<u8>) -> bool {
        next.map_or(self.at_end, |byte| has(self.set, byte))
    }

    const fn or(self, other: Self) -> Self {
        Self {
            set: self.set | other.set,
            at_end: self.at_end || other.at_end,
        }
    }
}

#[derive(Debug, Clone)]
enum Step {
    Literal(Box<[u8]>),
    One(Set),
    /// As many of the set as there are; fewer where what follows asks for it.
    Run {
        set: Set,
        least: usize,
        most: usize,
        /// What follows cannot begin with one of the set.
        takes_all: bool,
    },
    /// The next step, or else another one.
    Choose {
        other: usize,
        here: First,
        there: First,
    },
    Jump(usize),
    Save(Slot),
    AtStart,
    AtEnd,
    Found,
}

/// A pattern as steps.
#[derive(Debug, Clone)]
struct Program(Vec<Step>);

/// A choice that is still open: go on at `step`, at any place from `highest` down to `lowest`.
#[derive(Clone, Copy)]
struct Open {
    step: usize,
    lowest: usize,
    highest: usize,
    groups: Groups,
}

impl Program {
    fn compile(pattern: &str) -> Option<Self> {
        let hir = regex_syntax::Parser::new().parse(pattern).ok()?;
        if !hir.properties().look_set_prefix().contains(Look::Start) {
            return None;
        }
        let mut program = Self(Vec::new());
        program.add(&hir)?;
        program.0.push(Step::Found);
        program.look_ahead();
        Some(program)
    }

    fn add(&mut self, hir: &Hir) -> Option<()> {
        if self.0.len() > LONGEST_PROGRAM {
            return None;
        }
        match hir.kind() {
            HirKind::Empty => {}
            HirKind::Literal(literal) => self.0.push(Step::Literal(literal.0.clone())),
            HirKind::Class(class) => self.0.push(Step::One(ascii(class))),
            HirKind::Look(Look::Start) => self.0.push(Step::AtStart),
            HirKind::Look(Look::End) => self.0.push(Step::AtEnd),
            HirKind::Look(_) => return None,
            HirKind::Repetition(repetition) => self.repeat(repetition)?,
            HirKind::Capture(capture) => {
                let group = capture
                    .name
                    .as_deref()
                    .and_then(|name| NAMES.iter().position(|known| *known == name));
                let save = |is_end| {
                    let group = u8::try_from(group?).ok()?;
                    Some(Step::Save(Slot { group, is_end }))
                };
                self.0.extend(save(false));
                self.add(&capture.sub)?;
                self.0.extend(save(true));
            }
            HirKind::Concat(parts) => {
                for part in parts {
                    self.add(part)?;
                }
            }
            HirKind::Alternation(parts) => self.alternate(parts)?,
        }
        Some(())
    }

    fn alternate(&mut self, parts: &[Hir]) -> Option<()> {
        let mut jumps = Vec::new();
        let (last, others) = parts.split_last()?;
        for part in others {
            let choose = self.choose();
            self.add(part)?;
            jumps.push(self.0.len());
            self.0.push(Step::Jump(0));
            self.or_here(choose);
        }
        self.add(last)?;
        let end = self.0.len();
        for jump in jumps {
            *self.0.get_mut(jump)? = Step::Jump(end);
        }
        Some(())
    }

    fn repeat(&mut self, repetition: &Repetition) -> Option<()> {
        if !repetition.greedy {
            return None;
        }
        let least = usize::try_from(repetition.min).ok()?;
        let most = repetition
            .max
            .map_or(Some(usize::MAX), |most| usize::try_from(most).ok())?;
        let set = match repetition.sub.kind() {
            HirKind::Class(class) => Some(ascii(class)),
            HirKind::Literal(literal) => match *literal.0 {
                [byte] if byte < 128 => Some(1 << byte),
                _ => None,
            },
            _ => None,
        };
        if let Some(set) = set {
            self.0.push(Step::Run {
                set,
                least,
                most,
                takes_all: false,
            });
            return Some(());
        }
        if most > 8 {
            return None;
        }
        for _ in 0..least {
            self.add(&repetition.sub)?;
        }
        let mut choices = Vec::new();
        for _ in least..most {
            choices.push(self.choose());
            self.add(&repetition.sub)?;
        }
        for choose in choices {
            self.or_here(choose);
        }
        Some(())
    }

    fn choose(&mut self) -> usize {
        let nothing = First {
            set: 0,
            at_end: false,
        };
        self.0.push(Step::Choose {
            other: 0,
            here: nothing,
            there: nothing,
        });
        self.0.len() - 1
    }

    fn or_here(&mut self, choose: usize) {
        let target = self.0.len();
        if let Some(Step::Choose { other, .. }) = self.0.get_mut(choose) {
            *other = target;
        }
    }

    /// Works out, from the end, what can come at each step. All jumps go forward.
    fn look_ahead(&mut self) {
        const NOTHING: First = First {
            set: 0,
            at_end: false,
        };
        let mut firsts = vec![NOTHING; self.0.len() + 1];
        for (at, step) in self.0.iter_mut().enumerate().rev() {
            let of = |at: usize| firsts.get(at).copied().unwrap_or(NOTHING);
            let next = of(at + 1);
            let only = |set| First { set, at_end: false };
            let first = match step {
                Step::Literal(bytes) => match bytes.first() {
                    Some(&byte) if byte < 128 => only(1 << byte),
                    Some(_) => NOTHING,
                    None => next,
                },
                Step::One(set) => only(*set),
                Step::Run {
                    set,
                    least,
                    takes_all,
                    ..
                } => {
                    *takes_all = *set & next.set == 0;
                    if *least == 0 {
                        only(*set).or(next)
                    } else {
                        only(*set)
                    }
                }
                Step::Choose { other, here, there } => {
                    (*here, *there) = (next, of(*other));
                    here.or(*there)
                }
                Step::Jump(target) => of(*target),
                Step::Save(_) | Step::AtStart => next,
                Step::AtEnd => First {
                    set: 0,
                    at_end: true,
                },
                Step::Found => First {
                    set: Set::MAX,
                    at_end: true,
                },
            };
            if let Some(known) = firsts.get_mut(at) {
                *known = first;
            }
        }
    }

    /// Whether the line matches, and its groups; nothing where too much was left open.
    #[expect(clippy::option_option, reason = "no match, or none that can tell")]
    fn run(&self, line: &[u8]) -> Option<Option<Groups>> {
        let mut groups = Groups::empty();
        let mut open = [Open {
            step: 0,
            lowest: 0,
            highest: 0,
            groups,
        }; OPEN_CHOICES];
        let mut depth = 0_usize;
        let (mut step, mut at) = (0_usize, 0_usize);
        let mut budget = 64 + 16 * line.len();
        loop {
            budget = budget.checked_sub(1)?;
            let rest = line.get(at..)?;
            let mut left_open = None;
            let fits = match self.0.get(step)? {
                Step::Literal(bytes) => {
                    at += bytes.len();
                    rest.starts_with(bytes)
                }
                Step::One(set) => {
                    at += 1;
                    rest.first().is_some_and(|&byte| has(*set, byte))
                }
                Step::Run {
                    set,
                    least,
                    most,
                    takes_all,
                } => {
                    let count = run_of(*set, rest, *most);
                    if count > *least && !takes_all {
                        left_open = Some((step + 1, at + least, at + count - 1));
                    }
                    at += count;
                    count >= *least
                }
                Step::Choose { other, here, there } => {
                    let next = rest.first().copied();
                    match (here.allows(next), there.allows(next)) {
                        (true, true) => left_open = Some((*other, at, at)),
                        (true, false) => {}
                        (false, true) => step = *other - 1,
                        (false, false) => at = usize::MAX,
                    }
                    at != usize::MAX
                }
                Step::Jump(target) => {
                    step = *target - 1;
                    true
                }
                Step::Save(slot) => {
                    groups.set(*slot, at);
                    true
                }
                Step::AtStart => at == 0,
                Step::AtEnd => rest.is_empty(),
                Step::Found => return Some(Some(groups)),
            };
            if let Some((step, lowest, highest)) = left_open.filter(|_| fits) {
                *open.get_mut(depth)? = Open {
                    step,
                    lowest,
                    highest,
                    groups,
                };
                depth += 1;
            }
            if fits {
                step += 1;
                continue;
            }
            let Some(last) = depth.checked_sub(1).and_then(|last| open.get_mut(last)) else {
                return Some(None);
            };
            (step, at, groups) = (last.step, last.highest, last.groups);
            if last.highest == last.lowest {
                depth -= 1;
            } else {
                last.highest -= 1;
            }
        }
    }
}

fn run_of(set: Set, bytes: &[u8], most: usize) -> usize {
    bytes
        .iter()
        .take(most)
        .position(|&byte| !has(set, byte))
        .unwrap_or_else(|| bytes.len().min(most))
}

/// The ASCII characters of a class.
fn ascii(class: &Class) -> Set {
    let mut set = 0;
    let mut add = |from: u32, to: u32| {
        for code in from..=to.min(127) {
            set |= 1 << code;
        }
    };
    match class {
        Class::Unicode(class) => {
            for range in class.ranges() {
                add(range.start().into(), range.end().into());
            }
        }
        Class::Bytes(class) => {
            for range in class.ranges() {
                add(range.start().into(), range.end().into());
            }
        }
    }
    set
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
