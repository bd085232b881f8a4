//! Instruments that speak otherwise than wrenches do, at a running daemon: registers, questions, lists, lines. What they measured, by
//! their own tally, is what is stored, each once; and what they measured lands on the plan's checks.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::entry::{Event, Unreadable};
use pullmark_sim::instrument::questions::{Form, Instrument};
use pullmark_sim::instrument::registers::{Fault, Order, Unit};
use pullmark_sim::instrument::speaker::Speaker;
use pullmark_tests::instruments::{Bench, until};
use std::time::Duration;

/// Waits until a unit was asked so often again.
fn asked(unit: &Unit, more: u64) {
    let before = unit.asked();
    until("it is asked", || unit.asked() >= before + more);
}

#[test]
fn registers_are_asked_through_every_fault_and_nothing_is_lost_doubled_or_made_up() {
    let mut bench = Bench::open();
    let unit = Unit::plug(&bench.shop.folder().join("ttyGauge"), 7).unwrap();
    unit.show(5.2);
    unit.measure(5.2);
    bench.add_end();
    bench.add("g1", "pressure", &unit.port(), "registers-pressure");
    bench.connected("g1");
    bench.unreadable(Unreadable::Stale);
    bench.begin();
    unit.measure(6.25);
    bench.lands("tyre", "6.25 bar");
    // The same value once more is another reading; the same reading asked for twenty times is none.
    unit.measure(6.25);
    bench.lands("tyre", "6.25 bar");
    asked(&unit, 20);
    for (number, fault, words) in [
        (1_u8, Fault::Silent, "unit 7 does not answer"),
        (2, Fault::Garbled, "garbled"),
        (3, Fault::Short, "garbled"),
        (4, Fault::Refuses(2), "no such register"),
        (5, Fault::Refuses(6), "busy"),
        (6, Fault::Elsewhere, "garbled"),
    ] {
        unit.set_fault(fault);
        let why = bench.gone("g1");
        assert!(why.contains(words), "{fault:?}: {why}");
        unit.measure(6.0 + f32::from(number) / 100.0);
        asked(&unit, 2);
        unit.set_fault(Fault::None);
        bench.connected("g1");
        let shown = format!("{} bar", 6.0 + f32::from(number) / 100.0);
        assert_eq!(
            bench.measured().reading.displayed.unwrap().to_string(),
            shown
        );
    }
    // The plug is out while it measures.
    unit.unplug();
    bench.gone("g1");
    unit.measure(6.5);
    unit.replug();
    bench.connected("g1");
    assert_eq!(
        bench.measured().reading.displayed.unwrap().to_string(),
        "6.5 bar"
    );
    // Psi by its own register.
    unit.set_unit(1);
    unit.measure(87.0);
    let measured = bench.measured();
    assert_eq!(measured.reading.displayed.unwrap().to_string(), "87 psi");
    assert_eq!(measured.reading.value, Some(599_844));
    asked(&unit, 20);
    // The first one was there before.
    let tally: Vec<f32> = unit.tally().into_iter().skip(1).collect();
    let stored = bench.stored("g1");
    let values: Vec<f32> = stored
        .iter()
        .map(|shown| shown.split(' ').next().unwrap().parse().unwrap())
        .collect();
    assert_eq!(values, tally);
}

#[test]
fn all_four_orders_of_bytes_are_read_and_a_wrong_one_is_found() {
    let orders = [
        ("big", Order::Abcd),
        ("big-words-swapped", Order::Cdab),
        ("big-bytes-swapped", Order::Badc),
        ("little", Order::Dcba),
    ];
    let profile = |order: &str| {
        format!(
            "name = \"gauge-{order}\"\ntitle = \"gauge\"\n[modbus]\naddress = 3\nvalue = {{ at = 0, format = \"float32\", order = \"{order}\" }}\ncounter = {{ table = \"holding\", at = 16, format = \"uint16\" }}\n[unit]\n\"\" = \"bar\"\n[plausible]\nlowest = \"-1 bar\"\nhighest = \"30 bar\"\n"
        )
    };
    let profiles: Vec<String> = orders.iter().map(|(order, _)| profile(order)).collect();
    let mut bench = Bench::with_profiles(&profiles);
    bench.begin();
    for (said, order) in orders {
        let link = bench.shop.folder().join(format!("tty-{said}"));
        let unit = Unit::plug(&link, 3).unwrap();
        unit.set_order(order);
        bench.add(
            &format!("r-{said}"),
            "pressure",
            &unit.port(),
            &format!("gauge-{said}"),
        );
        bench.connected(&format!("r-{said}"));
        unit.measure(5.08);
        assert_eq!(
            bench.measured().reading.displayed.unwrap().to_string(),
            "5.08 bar",
            "{said}"
        );
        // The unit is set to another order: no number is made of it.
        let other = if order == Order::Abcd {
            Order::Dcba
        } else {
            Order::Abcd
        };
        unit.set_order(other);
        unit.measure(5.08);
        bench.unreadable(Unreadable::Implausible);
    }
}

#[test]
fn a_peak_that_stays_in_a_register_is_one_pull() {
    let mut bench = Bench::open();
    let unit = Unit::plug(&bench.shop.folder().join("ttyTester"), 7).unwrap();
    unit.set_order(Order::Cdab);
    bench.add_end();
    bench.add("b1", "torque", &unit.port(), "registers-torque");
    bench.connected("b1");
    for (peak, thousandths) in [(5.08, 5_080), (6.4, 6_400), (6.4, 6_400)] {
        for value in [0.3, 2.0, peak] {
            unit.show(value);
            asked(&unit, 3);
        }
        // It stays there for a while, and is silent in the middle of it for longer than a pull lasts.
        asked(&unit, 10);
        unit.set_fault(Fault::Silent);
        let Event::Pulled(pulled) = bench.events.wait_for_kind("pulled").entry().event else {
            unreachable!()
        };
        assert_eq!(pulled.reading.applied.unwrap().small_units(), thousandths);
        bench.gone("b1");
        unit.set_fault(Fault::None);
        bench.connected("b1");
        asked(&unit, 10);
        unit.show(0.0);
        asked(&unit, 3);
    }
    assert_eq!(bench.stored("b1"), ["5.080 N·m", "6.400 N·m", "6.400 N·m"]);
}

#[test]
fn an_instrument_that_is_asked_answers_each_pull_once() {
    let mut bench = Bench::open();
    let tester = Instrument::plug(
        &bench.shop.folder().join("ttyTester"),
        "TARN INSTRUMENTS,BT-10,t1-1,1.3",
    )
    .unwrap();
    tester.fail("-410,\"Query INTERRUPTED\"");
    tester.measure(2.5);
    bench.add_end();
    bench.add("t1", "torque", &tester.port(), "questions-torque");
    bench.events.wait_for_kind("tool-said");
    let mut sent = vec![2.5_f32];
    for value in [5.08, 5.08, 12.75, 0.000_5, 44.0] {
        tester.measure(value);
        sent.push(value);
    }
    for _ in &sent {
        bench.events.wait_for_kind("pulled");
    }
    // What is wrong with it is told in its own words, and it goes on.
    tester.fail("-222,\"Data out of range\"");
    tester.measure(7.0);
    sent.push(7.0);
    let why = bench.gone("t1");
    assert!(
        why.contains("BT-10") && why.contains("reports an error"),
        "{why}"
    );
    tester.measure(7.5);
    sent.push(7.5);
    bench.connected("t1");
    // The plug is out for a while; what it measured then waits in it.
    tester.unplug();
    bench.gone("t1");
    tester.replug();
    tester.measure(8.0);
    sent.push(8.0);
    bench.connected("t1");
    until("the last one is read", || {
        tester
            .asked()
            .iter()
            .filter(|asked| *asked == "READ?")
            .count()
            > sent.len()
    });
    let stored: Vec<f32> = bench
        .stored("t1")
        .iter()
        .map(|shown| shown.split(' ').next().unwrap().parse().unwrap())
        .collect();
    assert_eq!(stored, sent);
    assert_eq!(tester.tally(), sent);
    let tools = bench.shop.http().get("/v1/bench").json()["tools"].clone();
    let tool = tools
        .as_array()
        .unwrap()
        .iter()
        .find(|tool| tool["tool"]["id"] == "t1")
        .unwrap()
        .clone();
    assert!(
        tool["other_serial"].is_null(),
        "the serial number is the tool's: {tool}"
    );
}

#[test]
fn an_instrument_on_the_network_comes_and_goes() {
    let block = "name = \"questions-block\"\ntitle = \"x\"\n[scpi]\nask = \"READ?\"\neach = true\nblock = { format = \"float32\" }\n[unit]\n\"\" = \"N\"\n";
    let mut bench = Bench::with_profiles(&[block.to_owned()]);
    let gauge = Instrument::listen("TARN INSTRUMENTS,FG-5,0011,2.0").unwrap();
    gauge.measure(900.0);
    bench.add_end();
    bench.add("f1", "force", &gauge.port(), "questions-force");
    bench.connected("f1");
    bench.begin();
    // Its serial number is not the one on file.
    until("another serial number is said", || {
        let tools = bench.shop.http().get("/v1/bench").json()["tools"].clone();
        let said = |tool: &serde_json::Value| tool["other_serial"] == "0011";
        tools.as_array().unwrap().iter().any(said)
    });
    bench.unreadable(Unreadable::Stale);
    gauge.measure(1177.2);
    bench.lands("spokes", "1177.2 N");
    gauge.measure(1177.2);
    bench.lands("spokes", "1177.2 N");
    gauge.unplug();
    let why = bench.gone("f1");
    assert!(why.contains("has closed the connection"), "{why}");
    let why = bench.gone("f1");
    assert!(why.contains("takes no connection"), "{why}");
    gauge.measure(1150.0);
    gauge.replug();
    bench.connected("f1");
    bench.lands("spokes", "1150 N");
    // Silent, though the connection stands.
    gauge.set_silent(true);
    let why = bench.gone("f1");
    assert!(why.contains("does not answer FETC?"), "{why}");
    gauge.measure(1160.0);
    gauge.set_silent(false);
    bench.connected("f1");
    bench.lands("spokes", "1160 N");
    assert_eq!(
        bench.stored("f1"),
        ["1177.2 N", "1177.2 N", "1150 N", "1160 N"]
    );
    // A block of bytes among which are line feeds: 8.566913e-33 is none of ours, 2048.5 has one.
    let blocks = Instrument::listen("TARN INSTRUMENTS,FG-6,0012,2.0").unwrap();
    blocks.set_form(Form::Block);
    bench.add("f2", "force", &blocks.port(), "questions-block");
    bench.events.wait_for_kind("tool-said");
    let value = f32::from_be_bytes([0x44, 0x0A, 0x0A, 0x0A]);
    blocks.measure(value);
    let shown = bench.measured().reading.displayed.unwrap();
    assert_eq!(
        shown.value.parse::<f32>().unwrap().to_bits(),
        value.to_bits()
    );
}

#[test]
fn lines_of_a_caliper_a_gauge_a_scale_and_a_list() {
    let mut bench = Bench::open();
    let folder = bench.shop.folder().to_owned();
    let plug = |name: &str| Speaker::plug(folder.join(name)).unwrap();
    let (mut caliper, mut gauge, mut scale, mut list) = (
        plug("ttyCaliper"),
        plug("ttyAir"),
        plug("ttyScale"),
        plug("ttyList"),
    );
    for (id, quantity, speaker, profile) in [
        ("c1", "length", &caliper, "caliper-line"),
        ("p1", "pressure", &gauge, "gauge-line"),
        ("s1", "mass", &scale, "scale-line"),
        ("l1", "force", &list, "senml"),
    ] {
        bench.add(id, quantity, &speaker.port().display().to_string(), profile);
        bench.connected(id);
    }
    bench.begin();
    // The first line after opening may have been cut.
    for speaker in [&caliper, &gauge, &scale, &list] {
        speaker
            .say(if std::ptr::eq(speaker, &raw const gauge) {
                "\r"
            } else {
                "\r\n"
            })
            .unwrap();
    }
    std::thread::sleep(Duration::from_millis(100));
    caliper.measure("31.60 mm\r\n").unwrap();
    bench.lands("post", "31.60 mm");
    caliper.measure("1.2440 in\r\n").unwrap();
    bench.lands("post", "1.2440 in");
    gauge.measure("87,0 psi\r").unwrap();
    bench.lands("tyre", "87.0 psi");
    gauge.measure("600,0 kPa\r").unwrap();
    bench.lands("tyre", "600.0 kPa");
    scale.weigh("8.235", 12, Duration::from_millis(80)).unwrap();
    bench.lands("mass", "8.235 kg");
    scale.weigh("8.235", 12, Duration::from_millis(80)).unwrap();
    bench.lands("mass", "8.235 kg");
    list.measure(
        "[{\"n\":\"tension\",\"u\":\"N\",\"v\":1177.20},{\"n\":\"damp\",\"u\":\"%RH\",\"v\":40}]\n",
    )
    .unwrap();
    bench.lands("spokes", "1177.20 N");
    list.say("[{\"n\":\"torque\",\"u\":\"J\",\"v\":5.08}]\n")
        .unwrap();
    bench.unreadable(Unreadable::Energy);
    // Half a line, and the plug is out: it never counts.
    caliper.say("31.5").unwrap();
    caliper.unplug().unwrap();
    bench.gone("c1");
    caliper.replug().unwrap();
    bench.connected("c1");
    std::thread::sleep(Duration::from_millis(100));
    caliper.measure("31.55 mm\r\n").unwrap();
    bench.lands("post", "31.55 mm");
}

#[test]
fn what_cannot_be_reached_is_told_in_words() {
    let mut bench = Bench::open();
    for (id, port, profile, words) in [
        (
            "k1",
            "keys:/dev/input/by-id/no-such-caliper",
            "typed-line-us",
            "plug the tool in",
        ),
        ("k2", "keys:/dev/null", "typed-line-us", "no input device"),
        ("k3", "keys:/dev/null", "caliper-line", "has no [keys]"),
        (
            "n1",
            "tcp://127.0.0.1:9",
            "questions-force",
            "takes no connection",
        ),
        (
            "n2",
            "tcp://nowhere",
            "questions-force",
            "write tcp://NAME:PORT",
        ),
        (
            "q1",
            "mqtt://127.0.0.1:9/scale",
            "senml",
            "there is no broker",
        ),
        ("q2", "mqtt://127.0.0.1:1883", "senml", "names no topic"),
    ] {
        bench.add(id, "length", port, profile);
        let why = bench.gone(id);
        assert!(why.contains(words), "{port}: {why}");
    }
}
