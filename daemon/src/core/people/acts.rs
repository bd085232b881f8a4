//! What the shop decides about people and devices.

use super::super::acts::{name, reason_text};
use super::super::bench::Bench;
use super::super::decide::Decided;
use super::super::refusal::Refusal;
use pullmark_schema::entry::{
    DevicePaired, DeviceRevoked, Event, PersonLeft, PersonNamed, PinChanged, PinLocked,
};

/// What the edge asks for when the secret that belongs to it is in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HouseAct {
    /// Enters a person, or takes one up again who had left.
    AddPerson {
        /// The name as it is to be shown.
        name: String,
        /// Who enters it; the person itself where there is nobody yet.
        by: Option<String>,
        /// Whether somebody who had left may be taken up again: with that goes a PIN, without the one before.
        may_return: bool,
    },
    /// Shows a person by another name.
    Rename {
        /// Which person.
        person: String,
        /// The new name.
        name: String,
        /// Who enters it.
        by: String,
    },
    /// A person has another PIN.
    ChangePin {
        /// Which person.
        person: String,
        /// Who changes it.
        by: String,
        /// Without the PIN before.
        reset: bool,
    },
    /// A person leaves.
    Leave {
        /// Which person.
        person: String,
        /// Who enters it.
        by: String,
    },
    /// A person's PIN cannot be tried for a while.
    Lock(PinLocked),
    /// Lets a device in.
    Pair {
        /// Which device.
        device: String,
        /// What the shop calls it.
        name: String,
        /// Who lets it in.
        by: String,
    },
    /// Shuts a device out.
    Revoke {
        /// Which device: its id, or its name.
        device: String,
        /// Who shuts it out.
        by: String,
        /// Why.
        reason: Option<String>,
    },
}

/// Decides it.
pub fn decide_house(bench: &Bench, act: HouseAct) -> Result<Vec<Decided>, Refusal> {
    let event = match act {
        HouseAct::AddPerson {
            name,
            by,
            may_return,
        } => add(bench, name, by, may_return)?,
        HouseAct::Rename { person, name, by } => rename(bench, &person, name, by)?,
        HouseAct::ChangePin { person, by, reset } => {
            let person = bench.people.find(&person)?.id.clone();
            let by = who(bench, by)?;
            Event::PinChanged(PinChanged { person, by, reset })
        }
        HouseAct::Leave { person, by } => {
            let known = bench.people.find(&person)?;
            let builds = in_hands_of(bench, &known.name);
            if !builds.is_empty() {
                let name = known.name.clone();
                return Err(Refusal::HasBuilds { name, builds });
            }
            let person = known.id.clone();
            let by = who(bench, by)?;
            Event::PersonLeft(PersonLeft { person, by })
        }
        HouseAct::Lock(lock) => Event::PinLocked(lock),
        HouseAct::Pair { device, name, by } => Event::DevicePaired(DevicePaired {
            device,
            name: self::name(name)?,
            by: who(bench, by)?,
        }),
        HouseAct::Revoke { device, by, reason } => revoke(bench, &device, by, reason)?,
    };
    Ok(vec![event.into()])
}

/// The builds that are not finished and in somebody's hands: what is pulled on them is theirs.
fn in_hands_of(bench: &Bench, name: &str) -> Vec<String> {
    let open = bench.builds.values();
    open.filter(|build| build.finished.is_none())
        .filter(|build| bench.people.are_one(build.in_hands(), name))
        .map(|build| build.id.clone())
        .collect()
}

/// Who does it, as shown.
fn who(bench: &Bench, by: String) -> Result<String, Refusal> {
    super::admit_name(bench, by)
}

fn add(
    bench: &Bench,
    shown: String,
    by: Option<String>,
    may_return: bool,
) -> Result<Event, Refusal> {
    let shown = name(shown)?;
    let by = match by {
        Some(by) if !bench.people.here().is_empty() => who(bench, by)?,
        // There is nobody yet, or nobody any more: whoever is entered enters themselves.
        _ if bench.people.here().is_empty() => shown.clone(),
        _ => return Err(Refusal::ByMissing),
    };
    let person = match bench.people.whom(&shown) {
        Some(known) if known.is_here => return Err(Refusal::PersonTaken(shown)),
        Some(_) if !may_return => return Err(Refusal::ReturnsAtPrompt(shown)),
        Some(known) => known.id.clone(),
        None => {
            can_be_told_apart(bench, &shown, None)?;
            free_id(bench, &shown)
        }
    };
    Ok(Event::PersonAdded(PersonNamed {
        person,
        name: shown,
        by,
    }))
}

/// Refuses a name that people would read as another person's.
fn can_be_told_apart(bench: &Bench, shown: &str, whose: Option<&str>) -> Result<(), Refusal> {
    let like = bench.people.looks_like(shown, whose);
    like.map_or(Ok(()), |other| {
        Err(Refusal::LooksLike {
            name: shown.to_owned(),
            other: other.name.clone(),
        })
    })
}

/// A name for use in addresses and commands, which nobody else answers to.
fn free_id(bench: &Bench, shown: &str) -> String {
    let plain: String = shown
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|word| !word.is_empty()).collect();
    let stem = if words.is_empty() {
        "person".to_owned()
    } else {
        words.join("-")
    };
    let numbered = (2_u32..).map(|number| format!("{stem}-{number}"));
    std::iter::once(stem.clone())
        .chain(numbered)
        .find(|id| !bench.people.has(id) && bench.people.whom(id).is_none())
        .unwrap_or(stem)
}

fn rename(bench: &Bench, person: &str, shown: String, by: String) -> Result<Event, Refusal> {
    let known = bench.people.find(person)?;
    let shown = name(shown)?;
    if bench
        .people
        .whom(&shown)
        .is_some_and(|other| other.id != known.id)
    {
        return Err(Refusal::PersonTaken(shown));
    }
    can_be_told_apart(bench, &shown, Some(&known.id))?;
    Ok(Event::PersonRenamed(PersonNamed {
        person: known.id.clone(),
        name: shown,
        by: who(bench, by)?,
    }))
}

fn revoke(
    bench: &Bench,
    device: &str,
    by: String,
    reason: Option<String>,
) -> Result<Event, Refusal> {
    let found = bench.people.device_called(device)?.id.clone();
    let reason = reason.filter(|reason| !reason.trim().is_empty());
    Ok(Event::DeviceRevoked(DeviceRevoked {
        device: found,
        by: who(bench, by)?,
        reason: reason.map(|reason| reason_text(&reason)).transpose()?,
    }))
}
