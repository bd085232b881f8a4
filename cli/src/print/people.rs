//! People and devices in lines.

use super::{line, padded};
use pullmark_schema::api::{DevicesView, PairingView, PersonPinView};
use pullmark_schema::entry::{Confirmed, Event};

/// How somebody showed that it is them.
pub(super) fn how(confirmed: Option<Confirmed>) -> String {
    confirmed.map(|how| format!(", {how}")).unwrap_or_default()
}

/// Those who work here.
pub(crate) fn people(people: &[PersonPinView]) {
    if people.is_empty() {
        line(
            "Nobody is entered: every name is taken as it is given. `pullmark people add NAME` enters the first person.",
        );
    }
    for person in people {
        let state = match (person.has_pin, person.locked_seconds) {
            (false, _) => "no PIN: set one with `pullmark people reset-pin`".to_owned(),
            (true, 0) => "has a PIN".to_owned(),
            (true, seconds) => format!("PIN locked for {seconds} s after wrong ones"),
        };
        line(&format!(
            "{}  {}  {state}",
            padded(&person.person, 16),
            padded(&person.name, 24)
        ));
    }
}

/// Where the bench is on the network, and what was let in.
pub(crate) fn devices(view: &DevicesView) {
    match &view.fingerprint {
        None => line("The bench is not on the network: set `lan` in the settings."),
        Some(fingerprint) => {
            line(&format!("on the network at {}", view.addresses.join(", ")));
            line(&format!("certificate, SHA-256 {fingerprint}"));
            if let Some(until) = &view.good_until {
                line(&format!("good until {until}; made anew 30 days before"));
            }
        }
    }
    if view.devices.is_empty() {
        line("No device was let in.");
    }
    for device in &view.devices {
        let state = match &device.revoked {
            None => format!("let in by {} on {}", device.by, device.paired),
            Some(time) => format!("shut out on {time}"),
        };
        line(&format!(
            "{}  {}  {state}",
            padded(&device.device, 16),
            padded(&device.name, 24)
        ));
    }
}

/// The code that lets one device in.
pub(crate) fn pairing(view: &PairingView) {
    line(&format!("Code: {}", view.code));
    line(&format!(
        "It is good for {} minutes and for one device; three wrong ones make it void.",
        view.seconds / 60
    ));
    line(&format!(
        "On the device, open {}",
        view.addresses.join(" or ")
    ));
    line(
        "The browser does not know the certificate and says so. Its fingerprint has to be this one (SHA-256):",
    );
    line(&view.fingerprint);
}

/// What the watch says of them.
pub(super) fn people_line(event: &Event) -> Option<String> {
    Some(match event {
        Event::PersonAdded(named) => {
            format!("{} enters {} ({})", named.by, named.name, named.person)
        }
        Event::PersonRenamed(named) => {
            format!(
                "{} is shown as {} from now on, says {}",
                named.person, named.name, named.by
            )
        }
        Event::PinChanged(changed) => {
            let how = if changed.reset {
                "sets anew"
            } else {
                "changes"
            };
            format!("{} {how} the PIN of {}", changed.by, changed.person)
        }
        Event::PersonLeft(left) => {
            format!("{} works here no longer, says {}", left.person, left.by)
        }
        Event::PinLocked(lock) => format!(
            "the PIN of {} is locked for {} s after {} wrong one(s) in a row, at {}",
            lock.person,
            lock.seconds,
            lock.wrong,
            lock.device.as_deref().unwrap_or("the bench")
        ),
        Event::DevicePaired(paired) => {
            format!("{} lets {} in ({})", paired.by, paired.name, paired.device)
        }
        Event::DeviceRevoked(revoked) => {
            let why = revoked.reason.as_ref().map(|reason| format!(": {reason}"));
            format!(
                "{} shuts {} out{}",
                revoked.by,
                revoked.device,
                why.unwrap_or_default()
            )
        }
        _ => return None,
    })
}
