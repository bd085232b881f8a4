//! People: who is let act, under which name, with which proof.

mod hands;
mod moved;

use super::{HouseAct, PinGiven, admit, admit_name, confirm, decide_house};
use crate::core::Decided;
use crate::core::bench::Bench;
use crate::core::refusal::Refusal;
use pullmark_schema::api::Act;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Confirmed, Decision, ENTRY_VERSION, Entry, Event};

/// A bench that is told only of people and devices.
#[derive(Default)]
struct House {
    bench: Bench,
}

impl House {
    fn with(names: &[&str]) -> Self {
        let mut house = Self::default();
        for name in names {
            let by = house
                .bench
                .people
                .here()
                .first()
                .map(|one| one.name.clone());
            let name = (*name).to_owned();
            house.must(HouseAct::AddPerson {
                name,
                by,
                may_return: false,
            });
        }
        house
    }

    fn must(&mut self, act: HouseAct) -> Event {
        self.ask(act).unwrap()
    }

    fn ask(&mut self, act: HouseAct) -> Result<Event, Refusal> {
        let mut decided = decide_house(&self.bench, act)?;
        assert_eq!(decided.len(), 1);
        let event = decided.remove(0).event;
        let entry = Entry {
            version: ENTRY_VERSION,
            sequence: self.bench.next_sequence,
            time: "2026-05-04T09:00:00.000+02:00".into(),
            since_boot_ms: 0,
            bench: "b".into(),
            previous: Digest32::of(b""),
            in_build: None,
            practice: false,
            event: event.clone(),
        };
        self.bench.apply(&entry, None);
        Ok(event)
    }

    fn names(&self) -> Vec<&str> {
        let here = self.bench.people.here().into_iter();
        here.map(|person| person.name.as_str()).collect()
    }
}

fn seal(by: &str) -> Act {
    Act::Seal {
        build: "b".into(),
        by: by.into(),
    }
}

fn note(by: &str) -> Act {
    Act::Note {
        build: "b".into(),
        fastener: None,
        text: "t".into(),
        by: by.into(),
    }
}

fn given(person: &str) -> PinGiven {
    PinGiven {
        person: person.into(),
    }
}

#[test]
fn before_the_first_person_every_name_is_taken_as_it_is_given() {
    let house = House::default();
    for act in [seal("anybody"), note("any body")] {
        assert_eq!(admit(&house.bench, act.clone(), None), Ok(act));
    }
    assert_eq!(
        admit_name(&house.bench, "anybody".into()).unwrap(),
        "anybody"
    );
}

#[test]
fn from_the_first_person_on_every_act_carries_one_of_the_people() {
    let house = House::with(&["Mara Ek", "Tore Lund"]);
    for by in ["mara ek", "  Mara   Ek ", "MARA EK", "mara-ek"] {
        assert_eq!(
            admit(&house.bench, note(by), None),
            Ok(note("Mara Ek")),
            "{by}"
        );
    }
    let refused = admit(&house.bench, note("Someone"), None).unwrap_err();
    let known = vec!["Mara Ek".to_owned(), "Tore Lund".to_owned()];
    let wanted = Refusal::PersonNotKnown {
        name: "Someone".into(),
        known,
    };
    assert_eq!(refused, wanted);
    assert!(
        refused.to_string().contains("Mara Ek, Tore Lund"),
        "{refused}"
    );
    assert!(admit_name(&house.bench, "Someone".into()).is_err());
    let serve = |by: Option<&str>| Act::AssignTool {
        tool: "w1".into(),
        build: "b".into(),
        by: by.map(str::to_owned),
    };
    assert_eq!(
        admit(&house.bench, serve(None), None),
        Err(Refusal::ByMissing)
    );
    assert_eq!(
        admit(&house.bench, serve(Some("mara-ek")), None),
        Ok(serve(Some("Mara Ek")))
    );
    let over = Act::HandOver {
        build: "b".into(),
        from: "tore-lund".into(),
        to: "Someone".into(),
        by: Some("mara-ek".into()),
        note: None,
    };
    assert_eq!(
        admit(&house.bench, over, None),
        Err(wanted),
        "who gets it is one of them too"
    );
}

#[test]
fn what_signs_and_what_decides_needs_the_pin_of_who_does_it() {
    let house = House::with(&["Mara Ek", "Tore Lund"]);
    let dispose = Act::Dispose {
        build: "b".into(),
        fastener: "f".into(),
        decision: Decision::InspectedAndKept,
        by: "Mara Ek".into(),
        reason: "r".into(),
    };
    let amend = Act::Amend {
        build: "b".into(),
        by: "Mara Ek".into(),
        reason: "r".into(),
    };
    for act in [seal("Mara Ek"), amend, dispose] {
        let needs = Err(Refusal::NeedsPin("Mara Ek".into()));
        assert_eq!(admit(&house.bench, act.clone(), None), needs);
        assert_eq!(
            admit(&house.bench, act.clone(), Some(&given("tore-lund"))),
            needs,
            "another's PIN"
        );
        assert_eq!(
            admit(&house.bench, act.clone(), Some(&given("mara-ek"))),
            Ok(act)
        );
    }
    assert!(admit(&house.bench, note("Mara Ek"), None).is_ok());
}

#[test]
fn the_entry_says_that_a_pin_was_given_where_one_was() {
    let disposed = || -> Decided {
        Event::Disposed {
            build: "b".into(),
            fastener: "f".into(),
            decision: Decision::InspectedAndKept,
            by: "Mara Ek".into(),
            reason: "r".into(),
            confirmed: None,
        }
        .into()
    };
    let said = |decided: &[Decided]| match &decided[0].event {
        Event::Disposed { confirmed, .. } => *confirmed,
        other => panic!("{other:?}"),
    };
    let mut decided = vec![disposed()];
    confirm(&mut decided, None);
    assert_eq!(said(&decided), None);
    confirm(&mut decided, Some(&given("mara-ek")));
    assert_eq!(said(&decided), Some(Confirmed::Pin));
}

#[test]
fn a_person_stays_the_same_under_another_name_and_nobody_gets_the_old_one() {
    let mut house = House::with(&["Mara Ek", "Tore Lund"]);
    let person = "Mara Ek".to_owned();
    let renamed = HouseAct::Rename {
        person,
        name: "Mara Lund".into(),
        by: "Tore Lund".into(),
    };
    house.must(renamed);
    assert_eq!(house.names(), ["Mara Lund", "Tore Lund"]);
    assert_eq!(
        admit(&house.bench, note("Mara Ek"), None),
        Ok(note("Mara Lund"))
    );
    assert!(house.bench.people.are_one("Mara Ek", "mara lund"));
    assert!(!house.bench.people.are_one("Mara Ek", "Tore Lund"));
    let by = Some("Tore Lund".to_owned());
    for taken in ["mara ek", "Mara Lund", "Tore  Lund", "mara-ek"] {
        let name = taken.to_owned();
        let act = HouseAct::AddPerson {
            name: name.clone(),
            by: by.clone(),
            may_return: true,
        };
        assert_eq!(house.ask(act), Err(Refusal::PersonTaken(name)), "{taken}");
    }
    let taken = HouseAct::Rename {
        person: "tore-lund".into(),
        name: "MARA EK".into(),
        by: "Tore Lund".into(),
    };
    assert_eq!(
        house.ask(taken),
        Err(Refusal::PersonTaken("MARA EK".into()))
    );
}

#[test]
fn who_has_left_acts_no_longer_and_may_come_back_as_the_same_person() {
    let mut house = House::with(&["Mara Ek", "Tore Lund"]);
    let (person, by) = ("Mara Ek".to_owned(), "Tore Lund".to_owned());
    house.must(HouseAct::Leave {
        person: person.clone(),
        by: by.clone(),
    });
    assert_eq!(house.names(), ["Tore Lund"]);
    assert!(matches!(
        admit(&house.bench, note("Mara Ek"), None),
        Err(Refusal::PersonNotKnown { .. })
    ));
    let right = given("mara-ek");
    assert!(matches!(
        admit(&house.bench, seal("Mara Ek"), Some(&right)),
        Err(Refusal::PersonNotKnown { .. })
    ));
    let alone = HouseAct::AddPerson {
        name: person.clone(),
        by: None,
        may_return: true,
    };
    assert_eq!(house.ask(alone), Err(Refusal::ByMissing));
    let back = |name: &str, may_return| HouseAct::AddPerson {
        name: name.to_owned(),
        by: Some(by.clone()),
        may_return,
    };
    for known in ["Mara Ek", "mara-ek"] {
        assert_eq!(
            house.ask(back(known, false)),
            Err(Refusal::ReturnsAtPrompt(known.to_owned())),
            "with a PIN of somebody else's choice"
        );
    }
    let back = house.must(back(&person, true));
    assert!(matches!(back, Event::PersonAdded(named) if named.person == "mara-ek"));
    assert_eq!(house.names(), ["Mara Ek", "Tore Lund"]);
}

#[test]
fn a_device_is_let_in_and_shut_out_for_good() {
    let mut house = House::with(&["Mara Ek"]);
    let pair = |device: &str, name: &str| HouseAct::Pair {
        device: device.into(),
        name: name.into(),
        by: "mara ek".into(),
    };
    let revoke = |device: &str| HouseAct::Revoke {
        device: device.into(),
        by: "Mara Ek".into(),
        reason: Some(" ".into()),
    };
    house.must(pair("device-1", "tablet"));
    house.must(pair("device-2", "tablet"));
    house.must(pair("device-3", "phone"));
    assert!(
        matches!(
            house.ask(revoke("tablet")),
            Err(Refusal::DeviceNotKnown { .. })
        ),
        "two are called so"
    );
    house.must(revoke("device-1"));
    house.must(revoke("phone"));
    assert!(house.bench.people.device("device-1").is_none());
    assert!(house.bench.people.device("device-2").is_some());
    assert!(
        matches!(
            house.ask(revoke("device-1")),
            Err(Refusal::DeviceNotKnown { .. })
        ),
        "it is out already"
    );
    house.must(revoke("tablet"));
    assert!(
        house
            .bench
            .people
            .devices()
            .iter()
            .all(|device| device.revoked.is_some())
    );
    let unknown = HouseAct::Pair {
        device: "device-4".into(),
        name: "t".into(),
        by: "Someone".into(),
    };
    assert!(matches!(
        house.ask(unknown),
        Err(Refusal::PersonNotKnown { .. })
    ));
}

#[test]
fn a_name_that_looks_like_another_persons_is_refused() {
    let mut house = House::with(&["Ines Falk", "Ola Holm"]);
    let add = |name: &str| HouseAct::AddPerson {
        name: name.to_owned(),
        by: Some("Ola Holm".to_owned()),
        may_return: true,
    };
    // Cyrillic і and а, Greek Α, a capital I for a small l, a zero, full-width letters
    for name in [
        "\u{456}nes Falk",
        "Ines F\u{430}lk",
        "Ol\u{430} Holm",
        "OIa Holm",
        "0la Holm",
        "\u{ff29}nes Falk",
    ] {
        let refused = house.ask(add(name)).unwrap_err();
        assert!(
            matches!(refused, Refusal::LooksLike { .. }),
            "{name}: {refused}"
        );
    }
    let rename = |person: &str, name: &str| HouseAct::Rename {
        person: person.to_owned(),
        name: name.to_owned(),
        by: "Ola Holm".to_owned(),
    };
    assert!(matches!(
        house.ask(rename("ola-holm", "\u{406}nes Falk")),
        Err(Refusal::LooksLike { .. })
    ));
    // One's own name may be written otherwise, and another script is no harm where it is like nobody's.
    house.must(rename("ines-falk", "INES Falk"));
    house.must(add(
        "\u{418}\u{432}\u{430}\u{43d} \u{41b}\u{438}\u{43f}\u{430}",
    ));
    house.must(add("Mara Ek"));
}
