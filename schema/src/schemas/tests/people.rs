//! Samples of what is said of people and devices.

use crate::entry::{
    DevicePaired, DeviceRevoked, Event, PersonLeft, PersonNamed, PinChanged, PinLocked,
};

pub(super) fn events() -> Vec<Event> {
    let named = |name: &str| PersonNamed {
        person: "ines-berg".into(),
        name: name.into(),
        by: "I. Berg".into(),
    };
    let device = || "device-1f2e3d4c".to_owned();
    vec![
        Event::PersonAdded(named("Ines Berg")),
        Event::PersonRenamed(named("Ines Oduya")),
        Event::PinChanged(PinChanged {
            person: "ines-berg".into(),
            by: "M. Oduya".into(),
            reset: true,
        }),
        Event::PersonLeft(PersonLeft {
            person: "ines-berg".into(),
            by: "M. Oduya".into(),
        }),
        Event::PinLocked(PinLocked {
            person: "ines-berg".into(),
            device: Some(device()),
            wrong: 3,
            seconds: 30,
        }),
        Event::DevicePaired(DevicePaired {
            device: device(),
            name: "tablet at stand 2".into(),
            by: "I. Berg".into(),
        }),
        Event::DeviceRevoked(DeviceRevoked {
            device: device(),
            by: "I. Berg".into(),
            reason: Some("lost".into()),
        }),
    ]
}
