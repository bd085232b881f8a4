//! Sensors behind a broker, at a running daemon: a real broker that goes and comes, and a simulated one that delivers twice.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::entry::{Event, Unreadable};
use pullmark_sim::instrument::broker::Broker;
use pullmark_sim::instrument::publisher::Publisher;
use pullmark_tests::MECHANIC;
use pullmark_tests::instruments::{Bench, until};
use pullmark_tests::mosquitto::{Mosquitto, passwords};

/// A message of a sensor.
fn mass(grams: u32) -> String {
    format!("[{{\"n\":\"mass\",\"u\":\"g\",\"v\":{grams}}}]")
}

fn shown(grams: impl IntoIterator<Item = u32>) -> Vec<String> {
    grams
        .into_iter()
        .map(|grams| format!("{grams} g"))
        .collect()
}

#[test]
fn a_real_broker_goes_and_comes_and_what_it_kept_is_stale() {
    let mut bench = Bench::open();
    let mut broker = Mosquitto::start(bench.shop.folder(), None);
    let mut sensor = Publisher::connect(broker.address(), "scale", None).unwrap();
    sensor.keep("shop/scale/mass", &mass(1)).unwrap();
    bench.add_end();
    bench.add("m1", "mass", &broker.topic("shop/+/mass"), "senml");
    bench.connected("m1");
    bench.unreadable(Unreadable::Stale);
    bench.begin();
    sensor.measure("shop/scale/mass", &mass(8200)).unwrap();
    bench.lands("mass", "8200 g");
    // The same bytes twice are two readings: nothing says that they are one.
    for grams in [8200, 8201] {
        sensor.measure("shop/scale/mass", &mass(grams)).unwrap();
        bench.lands("mass", &format!("{grams} g"));
    }
    // Another topic is none of ours, and no list is no reading.
    sensor.keep("shop/scale/state", "on").unwrap();
    sensor.measure("shop/scale/mass", "on").unwrap();
    bench.unreadable(Unreadable::NoMatch);
    broker.kill();
    let why = bench.gone("m1");
    assert!(why.contains("broker"), "{why}");
    broker.again();
    bench.connected("m1");
    let mut sensor = Publisher::connect(broker.address(), "scale", None).unwrap();
    sensor.measure("shop/scale/mass", &mass(8203)).unwrap();
    bench.lands("mass", "8203 g");
    assert_eq!(bench.stored("m1"), shown([8200, 8200, 8201, 8203]));
}

#[test]
fn a_broker_that_wants_a_password_says_so_and_keeps_what_comes_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let users = passwords(folder.path(), "pullmark", "right");
    let secret = folder.path().join("secret");
    std::fs::write(&secret, "wrong\n").unwrap();
    let profile = format!(
        "name = \"kept\"\ntitle = \"kept\"\n[frame]\nterminator = \"\\n\"\nlongest = 4096\n[senml]\n[mqtt]\nclient = \"pullmark-bench\"\nuser = \"pullmark\"\npassword_file = {:?}\n",
        secret.display().to_string()
    );
    let mut bench = Bench::with_profiles(&[profile]);
    let broker = Mosquitto::start(folder.path(), Some(&users));
    bench.add_end();
    bench.add("m1", "mass", &broker.topic("shop/scale/#"), "kept");
    let why = bench.gone("m1");
    assert!(
        why.contains("does not take this user and password"),
        "{why}"
    );
    // The right one is read at the next start.
    std::fs::write(&secret, "right\n").unwrap();
    bench.shop.kill();
    bench.shop.start();
    bench.events = bench.shop.http().events(None).unwrap();
    bench.connected("m1");
    let mut sensor =
        Publisher::connect(broker.address(), "scale", Some(("pullmark", "right"))).unwrap();
    sensor.measure("shop/scale/mass", &mass(8200)).unwrap();
    bench.measured();
    // The daemon dies in the middle of many, and what comes meanwhile is kept for it.
    let grams: Vec<u32> = (8300..8360).collect();
    let mut numbers = grams.iter();
    for grams in numbers.by_ref().take(20) {
        sensor.measure("shop/scale/mass", &mass(*grams)).unwrap();
    }
    bench.measured();
    bench.shop.kill();
    for grams in numbers.by_ref().take(20) {
        sensor.measure("shop/scale/mass", &mass(*grams)).unwrap();
    }
    bench.shop.start();
    bench.events = bench.shop.http().events(None).unwrap();
    for grams in numbers {
        sensor.measure("shop/scale/mass", &mass(*grams)).unwrap();
    }
    bench.events.wait_for(|heard| {
        matches!(heard.entry().event, Event::CheckMeasured(measured) if measured.reading.displayed.as_ref().is_some_and(|shown| shown.value == "8359"))
    });
    let stored = bench.stored("m1");
    let mut once = stored.clone();
    once.dedup();
    let wanted: Vec<u32> = std::iter::once(8200).chain(grams).collect();
    let mut sorted = once.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted, shown(wanted), "nothing is lost");
    // Only what was stored and not yet acknowledged when it died can come once more: the client may have 20 under way.
    assert!(
        stored.len() - sorted.len() <= 20,
        "{} came twice",
        stored.len() - sorted.len()
    );
}

#[test]
fn a_message_that_is_delivered_once_more_is_stored_once() {
    let counted = "name = \"counted\"\ntitle = \"x\"\n[line]\npattern = '^(?P<counter>\\d+) (?P<value>[0-9.]+) (?P<unit>Nm)$'\n[unit]\nNm = \"N.m\"\n";
    let mut bench = Bench::with_profiles(&[counted.to_owned()]);
    let broker = Broker::start().unwrap();
    bench.add_end();
    bench.add(
        "m1",
        "mass",
        &format!("mqtt://{}/scale", broker.address()),
        "senml",
    );
    bench.connected("m1");
    let again = |number: u16, grams: u32, is_again: bool| {
        broker
            .deliver("scale", &mass(grams), number, is_again, false)
            .unwrap();
    };
    let wait = |number: u16, times: usize| {
        until("it is acknowledged", || {
            broker
                .acknowledged()
                .iter()
                .filter(|known| **known == number)
                .count()
                >= times
        });
    };
    again(1, 8200, false);
    wait(1, 1);
    // The acknowledgement is lost, and the broker delivers it once more in the next connection.
    broker.hang_up();
    until("it comes back", || broker.subscribed().0);
    again(1, 8200, true);
    wait(1, 2);
    bench.unreadable(Unreadable::AlreadyStored);
    // The number is used for another message: another reading, also with the same bytes.
    again(1, 8201, false);
    again(2, 8201, false);
    // Marked as delivered again, but never taken in before.
    again(3, 8202, true);
    wait(3, 1);
    // Kept by the broker for whoever comes.
    broker
        .deliver("scale", &mass(9000), 4, false, true)
        .unwrap();
    bench.unreadable(Unreadable::Stale);
    // A torque with a count is known also after a daemon that had stored it has died: its number is enough.
    let torque = Broker::start().unwrap();
    bench.add(
        "w1",
        "torque",
        &format!("mqtt://{}/wrench", torque.address()),
        "counted",
    );
    bench.connected("w1");
    torque
        .deliver("wrench", "41 5.08 Nm", 9, false, false)
        .unwrap();
    bench.events.wait_for_kind("pulled");
    bench.shop.kill();
    bench.shop.start();
    bench.events = bench.shop.http().events(None).unwrap();
    until("it comes back", || torque.subscribed() == (true, 2));
    torque
        .deliver("wrench", "41 5.08 Nm", 9, true, false)
        .unwrap();
    torque
        .deliver("wrench", "42 5.10 Nm", 10, false, false)
        .unwrap();
    bench.events.wait_for(|heard| {
        matches!(heard.entry().event, Event::Pulled(pulled) if pulled.reading.counter == Some(42))
    });
    let (mut mass, mut torque) = (Vec::new(), Vec::new());
    let mut events = bench.shop.http().events(Some(0)).unwrap();
    bench.shop.act(&Act::BeginCheck {
        tool: "end".to_owned(),
        by: MECHANIC.to_owned(),
    });
    loop {
        match events.hear().unwrap().entry().event {
            Event::CheckMeasured(measured) => {
                mass.push(measured.reading.displayed.unwrap().to_string());
            }
            Event::Pulled(pulled) => torque.push(pulled.reading.counter.unwrap()),
            Event::CheckBegun { .. } => break,
            _ => {}
        }
    }
    assert_eq!(mass, shown([8200, 8201, 8201, 8202]));
    assert_eq!(torque, [41, 42]);
}
