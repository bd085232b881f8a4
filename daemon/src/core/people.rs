//! Who works here and which devices on the network may reach the bench, as the ledger tells it; and what follows for acts.
//!
//! Before the first person is entered anybody may act under any name. From then on every act carries one of the people, and
//! what cannot be undone later carries their PIN. The PINs themselves are known only to the edge.

mod acts;

pub use acts::{HouseAct, decide_house};

use super::acts::name;
use super::bench::Bench;
use super::refusal::Refusal;
use pullmark_schema::api::{Act, DeviceView, PersonView};
use pullmark_schema::check::CheckAnswer;
use pullmark_schema::entry::{Confirmed, Entry, Event};
use pullmark_schema::verdict::Answer;
use std::collections::BTreeMap;
use unicode_security::skeleton;

/// A person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Which one; it stays.
    pub id: String,
    /// As shown now.
    pub name: String,
    /// Every name they were ever shown by: none of them can become another person's.
    names: Vec<String>,
    /// What each of them looks like.
    looks: Vec<[String; 2]>,
    /// Whether they work here.
    pub is_here: bool,
    /// The entry that made them known.
    since: u64,
}

/// A device on the network that was let in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Which one.
    pub id: String,
    /// What the shop calls it.
    pub name: String,
    /// When it was let in.
    pub time: String,
    /// Who let it in.
    pub by: String,
    /// When it was shut out.
    pub revoked: Option<String>,
}

/// Everybody and every device.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct People {
    persons: BTreeMap<String, Person>,
    devices: BTreeMap<String, Device>,
}

/// A PIN was given and was right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PinGiven {
    /// Whose.
    pub person: String,
}

/// A name without what does not tell two people apart.
fn folded(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// What a name looks like, as it is written and in small letters: its skeletons after Unicode Technical Standard 39,
/// section 4. Names with one skeleton in common are read as one.
fn looks(name: &str) -> [String; 2] {
    let words: Vec<&str> = name.split_whitespace().collect();
    [words.join(" "), folded(name)].map(|text| skeleton(&text).collect())
}

impl People {
    /// Takes in one entry.
    pub(super) fn apply(&mut self, entry: &Entry) {
        match &entry.event {
            Event::PersonAdded(named) | Event::PersonRenamed(named) => {
                let is_added = matches!(entry.event, Event::PersonAdded(_));
                let person = self.persons.entry(named.person.clone());
                let person = person.or_insert_with(|| Person {
                    id: named.person.clone(),
                    name: String::new(),
                    names: Vec::new(),
                    looks: Vec::new(),
                    is_here: true,
                    since: entry.sequence,
                });
                person.is_here |= is_added;
                person.name.clone_from(&named.name);
                person.names.push(folded(&named.name));
                person.looks.push(looks(&named.name));
            }
            Event::PersonLeft(left) => {
                if let Some(person) = self.persons.get_mut(&left.person) {
                    person.is_here = false;
                }
            }
            Event::DevicePaired(paired) => {
                let device = Device {
                    id: paired.device.clone(),
                    name: paired.name.clone(),
                    time: entry.time.clone(),
                    by: paired.by.clone(),
                    revoked: None,
                };
                self.devices.insert(paired.device.clone(), device);
            }
            Event::DeviceRevoked(revoked) => {
                if let Some(device) = self.devices.get_mut(&revoked.device) {
                    device.revoked = Some(entry.time.clone());
                }
            }
            _ => {}
        }
    }

    /// Whether acts have to carry one of the people.
    pub fn are_kept(&self) -> bool {
        !self.persons.is_empty()
    }

    /// Those who work here, in the order in which they came.
    pub fn here(&self) -> Vec<&Person> {
        let mut here: Vec<&Person> = self.persons.values().filter(|one| one.is_here).collect();
        here.sort_by_key(|person| person.since);
        here
    }

    /// Whom a name means, or meant once: by id, or by any name that was ever shown.
    pub fn whom(&self, name: &str) -> Option<&Person> {
        let wanted = folded(name);
        let mut all = self.persons.values();
        all.find(|person| person.id == wanted || person.names.contains(&wanted))
    }

    /// Somebody else whose name, now or once, looks like this one.
    fn looks_like(&self, name: &str, whose: Option<&str>) -> Option<&Person> {
        let wanted = looks(name);
        let is_alike = |known: &[String; 2]| known.iter().zip(&wanted).any(|(one, two)| one == two);
        let mut others = self.persons.values();
        others.find(|other| whose != Some(other.id.as_str()) && other.looks.iter().any(is_alike))
    }

    /// Somebody who works here.
    pub fn find(&self, name: &str) -> Result<&Person, Refusal> {
        self.whom(name)
            .filter(|person| person.is_here)
            .ok_or_else(|| Refusal::PersonNotKnown {
                name: name.to_owned(),
                known: self.here().iter().map(|one| one.name.clone()).collect(),
            })
    }

    /// Whether a name means somebody who worked here and has left.
    pub fn has_left(&self, name: &str) -> bool {
        self.whom(name).is_some_and(|person| !person.is_here)
    }

    /// Whether two names are one person's, as far as can be told.
    pub fn are_one(&self, one: &str, other: &str) -> bool {
        match (self.whom(one), self.whom(other)) {
            (Some(one), Some(other)) => one.id == other.id,
            _ => folded(one) == folded(other),
        }
    }

    /// A device that may reach the bench.
    pub fn device(&self, id: &str) -> Option<&Device> {
        self.devices
            .get(id)
            .filter(|device| device.revoked.is_none())
    }

    /// A device that may reach the bench, by its id or by its name where only one is called so.
    pub fn device_called(&self, called: &str) -> Result<&Device, Refusal> {
        let all = self.devices().into_iter();
        let open: Vec<&Device> = all.filter(|known| known.revoked.is_none()).collect();
        let mut named = open.iter().filter(|known| known.name == called);
        match (self.device(called), named.next(), named.next()) {
            (Some(known), ..) => Ok(known),
            (None, Some(known), None) => Ok(known),
            _ => Err(Refusal::DeviceNotKnown {
                device: called.to_owned(),
                known: open
                    .iter()
                    .map(|known| format!("{} ({})", known.id, known.name))
                    .collect(),
            }),
        }
    }

    /// Every device that was ever let in, the oldest first.
    pub fn devices(&self) -> Vec<&Device> {
        let mut all: Vec<&Device> = self.devices.values().collect();
        all.sort_by(|one, other| (&one.time, &one.id).cmp(&(&other.time, &other.id)));
        all
    }

    fn has(&self, person: &str) -> bool {
        self.persons.contains_key(person)
    }
}

/// For the eye: those who work here.
pub fn people_view(bench: &Bench) -> Vec<PersonView> {
    let here = bench.people.here().into_iter();
    here.map(|person| PersonView {
        person: person.id.clone(),
        name: person.name.clone(),
    })
    .collect()
}

/// For the eye: every device that was let in.
pub fn devices_view(bench: &Bench) -> Vec<DeviceView> {
    let all = bench.people.devices().into_iter();
    all.map(|device| DeviceView {
        device: device.id.clone(),
        name: device.name.clone(),
        paired: device.time.clone(),
        by: device.by.clone(),
        revoked: device.revoked.clone(),
    })
    .collect()
}

/// The name that an act carries: who does it; of a hand-over, who gets the build.
fn names_in(act: &mut Act) -> Vec<&mut String> {
    match act {
        Act::AddTool { by, .. } | Act::AssignTool { by, .. } => by.iter_mut().collect(),
        // What an authority has signed is checked by itself, whoever brings it.
        Act::Timestamp { .. } => Vec::new(),
        // Who does it first: a PIN that comes along is theirs.
        Act::HandOver { to, by, .. } => by.iter_mut().chain([to]).collect(),
        Act::CertifyTool { by, .. }
        | Act::FitAdapter { by, .. }
        | Act::BeginCheck { by, .. }
        | Act::GiveUpCheck { by, .. }
        | Act::CheckTool { by, .. }
        | Act::Recall { by, .. }
        | Act::StartBuild { by, .. }
        | Act::TellDue { by, .. }
        | Act::TellRidden { by, .. }
        | Act::PointAt { by, .. }
        | Act::EnterReading { by, .. }
        | Act::Place { by, .. }
        | Act::Acknowledge { by, .. }
        | Act::Loosen { by, .. }
        | Act::Defer { by, .. }
        | Act::TakeUp { by, .. }
        | Act::Prepare { by, .. }
        | Act::Look { by, .. }
        | Act::Dispose { by, .. }
        | Act::Withdraw { by, .. }
        | Act::FitPart { by, .. }
        | Act::SwapPart { by, .. }
        | Act::LayAside { by, .. }
        | Act::Resume { by, .. }
        | Act::ChangePlan { by, .. }
        | Act::Note { by, .. }
        | Act::Finish { by, .. }
        | Act::Seal { by, .. }
        | Act::Amend { by, .. }
        | Act::Reopen { by, .. } => vec![by],
    }
}

/// Who does an act, where it carries a name.
pub fn by_of(act: &Act) -> Option<String> {
    let mut act = act.clone();
    names_in(&mut act).first().map(|by| (**by).clone())
}

/// Whether an act needs the PIN of who does it: it signs, or it decides about what went over.
fn needs_pin(bench: &Bench, act: &Act) -> bool {
    match act {
        Act::Seal { .. } | Act::Amend { .. } | Act::Dispose { .. } => true,
        Act::Place {
            reading,
            fastener,
            pass,
            ..
        } => takes_an_over_away(bench, *reading, fastener.as_deref(), pass.map(u16::from)),
        _ => false,
    }
}

/// Whether a reading that went over, or may have, where it stands would no longer stand there. It is as much as a decision about
/// it. An answer to the bench's question where a reading belongs is none: it stands nowhere yet, and its alarm has come.
fn takes_an_over_away(bench: &Bench, reading: u64, to: Option<&str>, pass: Option<u16>) -> bool {
    let is_elsewhere =
        |at: &str, number: u16| to != Some(at) || pass.is_some_and(|pass| pass != number);
    let pulled = bench.build_of_reading(reading);
    if let Some(known) = pulled.and_then(|build| build.readings.get(&reading)) {
        let is_over = known.may_be_over()
            || known
                .verdict
                .as_ref()
                .is_some_and(|verdict| verdict.answer == Answer::Over);
        let place = known.placement.place();
        return is_over && place.is_some_and(|at| is_elsewhere(&at.fastener, at.pass.into()));
    }
    let measured = bench.build_of_check_reading(reading);
    let Some(known) = measured.and_then(|build| build.checks.readings.get(&reading)) else {
        return false;
    };
    let is_over = known.may_harm()
        || known
            .verdict
            .as_ref()
            .is_some_and(|verdict| verdict.answer == CheckAnswer::Over);
    let place = known.placement.place();
    is_over && place.is_some_and(|at| is_elsewhere(&at.check, at.number))
}

/// Lets an act in: with the names as they are shown, and with a PIN where it needs one.
pub fn admit(bench: &Bench, mut act: Act, given: Option<&PinGiven>) -> Result<Act, Refusal> {
    if !bench.people.are_kept() {
        return Ok(act);
    }
    if let Act::AddTool { by: None, .. } | Act::AssignTool { by: None, .. } = &act {
        return Err(Refusal::ByMissing);
    }
    let needs_pin = needs_pin(bench, &act);
    if let Act::HandOver { from, by, .. } = &mut act {
        // Who has it may have left, or may have begun it before there were people: it can be handed on all the same, by
        // somebody who is here.
        if by.is_none() && bench.people.has_left(from) {
            return Err(Refusal::ByMissing);
        }
        if let Ok(person) = bench.people.find(from) {
            from.clone_from(&person.name);
        }
    }
    for known in names_in(&mut act) {
        let person = bench.people.find(known)?;
        if needs_pin && given.is_none_or(|given| given.person != person.id) {
            return Err(Refusal::NeedsPin(person.name.clone()));
        }
        known.clone_from(&person.name);
    }
    Ok(act)
}

/// The name as it is shown of who sent a photograph.
pub fn admit_name(bench: &Bench, by: String) -> Result<String, Refusal> {
    if bench.people.are_kept() {
        Ok(bench.people.find(&by)?.name.clone())
    } else {
        name(by)
    }
}

/// Says in entries that a PIN was given for them.
pub fn confirm(decided: &mut [super::Decided], given: Option<&PinGiven>) {
    if given.is_some() {
        for one in decided {
            one.event.confirm(Confirmed::Pin);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
