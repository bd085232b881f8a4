//! Instruments that speak otherwise than wrenches do, at a running daemon: registers, questions, lists, messages, lines. What they
//! measured, by their own tally, is what is stored, each once; and what they measured lands on the plan's checks.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::check::{CheckMeasured, CheckPlacement};
use pullmark_schema::entry::{Bike, Event, Unreadable};
use pullmark_schema::tool::Tool;
use pullmark_sim::instrument::broker::Broker;
use pullmark_sim::instrument::publisher::Publisher;
use pullmark_sim::instrument::questions::{Form, Instrument};
use pullmark_sim::instrument::registers::{Fault, Order, Unit};
use pullmark_sim::instrument::speaker::Speaker;
use pullmark_tests::http::Events;
use pullmark_tests::mosquitto::{Mosquitto, passwords};
use pullmark_tests::{MECHANIC, PATIENCE, Shop};
use std::time::{Duration, Instant};

/// Checks of every quantity, each of which takes more readings than a test sends.
const PLAN: &str = r#"
title = "Ferry commuter 54"
edition = "checks"
[[stage]]
id = "all"
title = "What is measured"
[[stage.check]]
id = "post"
title = "Seat post, diameter"
spec = { target = "31.6 mm", lower = "20 mm", upper = "40 mm" }
readings = 9
[[stage.check]]
id = "tyre"
title = "Tyre pressure"
spec = { target = "6 bar", lower = "5 bar", upper = "7 bar" }
readings = 9
[[stage.check]]
id = "spokes"
title = "Spoke tension"
spec = { target = "1150 N", lower = "1000 N", upper = "1300 N" }
readings = 9
[[stage.check]]
id = "mass"
title = "Mass of the bike"
spec = { target = "8.2 kg", lower = "7 kg", upper = "10 kg" }
readings = 9
"#;

/// A shop with tools, and a build that all of them serve.
struct Bench {
    shop: Shop,
    events: Events,
    tools: Vec<String>,
}

impl Bench {
    fn new() -> Self {
        Self::with_profiles(&[])
    }

    /// With profiles of its own.
    fn with_profiles(profiles: &[String]) -> Self {
        let mut shop = Shop::closed(&[]);
        let folder = shop.folder().join("profiles");
        std::fs::create_dir(&folder).unwrap();
        for (number, profile) in profiles.iter().enumerate() {
            std::fs::write(folder.join(format!("{number}.toml")), profile).unwrap();
        }
        let config = format!("profiles = {:?}\n", folder.display().to_string());
        let config = shop.write("pullmarkd.toml", &config);
        shop.with_variable("PULLMARK_CONFIG", &config.display().to_string());
        shop.start();
        let events = shop.http().events(None).unwrap();
        Self {
            shop,
            events,
            tools: Vec::new(),
        }
    }

    fn add(&mut self, id: &str, quantity: &str, port: &str, profile: &str) {
        let text = format!(
            "id = \"{id}\"\ntitle = \"{id}\"\nserial = \"{id}-1\"\nquantity = \"{quantity}\"\n[connection]\nport = \"{port}\"\nprofile = \"{profile}\"\n"
        );
        let tool = Box::new(Tool::read(&text).unwrap());
        self.shop.act(&Act::AddTool { tool });
        self.tools.push(id.to_owned());
    }

    fn begin(&mut self) {
        self.shop.act(&Act::StartBuild {
            build: None,
            bike: Bike {
                frame: "FC-0311".to_owned(),
                label: None,
            },
            plan: PLAN.to_owned(),
            by: MECHANIC.to_owned(),
            tools: self.tools.clone(),
        });
    }

    fn connected(&mut self, tool: &str) {
        self.events.wait_for(|heard| {
            matches!(heard.entry().event, Event::ToolConnected { tool: ref known, .. } if known == tool)
        });
    }

    /// Waits until the tool is gone; why.
    fn gone(&mut self, tool: &str) -> String {
        let all = self.events.wait_for(|heard| {
            matches!(heard.entry().event, Event::ToolGone { tool: ref known, .. } if known == tool)
        });
        match all.last().unwrap().entry().event {
            Event::ToolGone { why, .. } => why,
            _ => unreachable!(),
        }
    }

    fn measured(&mut self) -> CheckMeasured {
        match self.events.wait_for_kind("check-measured").entry().event {
            Event::CheckMeasured(measured) => *measured,
            _ => unreachable!(),
        }
    }

    /// The next value, which has to land on a check.
    #[track_caller]
    fn lands(&mut self, check: &str, shown: &str) {
        let measured = self.measured();
        assert_eq!(
            measured.reading.displayed.as_ref().unwrap().to_string(),
            shown
        );
        let CheckPlacement::ByPlan { place } = measured.placement else {
            panic!("{shown} waits for a person: {:?}", measured.placement)
        };
        assert_eq!(place.check, check);
    }

    fn unreadable(&mut self, wanted: Unreadable) {
        self.events.wait_for(
            |heard| matches!(heard.entry().event, Event::Unreadable { why, .. } if why == wanted),
        );
    }

    /// Every value that is stored for a tool, as it was displayed. To be asked once a test.
    fn stored(&self, tool: &str) -> Vec<String> {
        let mut events = self.shop.http().events(Some(0)).unwrap();
        // An entry after everything that is to be seen.
        self.shop.act(&Act::BeginCheck {
            tool: "end".to_owned(),
            by: MECHANIC.to_owned(),
        });
        let mut all = Vec::new();
        loop {
            let (of, displayed) = match events.hear().unwrap().entry().event {
                Event::CheckMeasured(measured) => {
                    (measured.reading.tool, measured.reading.displayed)
                }
                Event::Pulled(pulled) => (pulled.reading.tool, pulled.reading.displayed),
                Event::CheckBegun { .. } => return all,
                _ => continue,
            };
            if of == tool {
                all.push(displayed.map_or_else(String::new, |shown| shown.to_string()));
            }
        }
    }

    /// A tool that measures nothing; a check of it marks where to stop looking.
    fn add_end(&mut self) {
        let text = "id = \"end\"\ntitle = \"end\"\nserial = \"end\"\n";
        let tool = Box::new(Tool::read(text).unwrap());
        self.shop.act(&Act::AddTool { tool });
    }
}

fn until(what: &str, mut is: impl FnMut() -> bool) {
    let end = Instant::now() + PATIENCE;
    while !is() {
        assert!(Instant::now() < end, "{what}");
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// Waits until a unit was asked so often again.
fn asked(unit: &Unit, more: u64) {
    let before = unit.asked();
    until("it is asked", || unit.asked() >= before + more);
}

#[test]
fn registers_are_asked_through_every_fault_and_nothing_is_lost_doubled_or_made_up() {
    let mut bench = Bench::new();
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
    let mut bench = Bench::new();
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
    let mut bench = Bench::new();
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
    let mut bench = Bench::new();
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
    let mut bench = Bench::new();
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

#[test]
fn what_cannot_be_reached_is_told_in_words() {
    let mut bench = Bench::new();
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
