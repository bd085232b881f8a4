//! Bluetooth tools end to end: the daemon as a process, the real `btleplug`, a real message bus with a simulated `BlueZ` on it.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, BenchView};
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::reading::Reading;
use pullmark_schema::tool::Tool;
use pullmark_sim::bluez::{Bluez, Bus, Characteristic, Service, Tool as Simulated, assigned};
use pullmark_tests::http::Events;
use pullmark_tests::shop::Shop;
use std::time::Duration;

const ADDRESS: &str = "02:00:00:00:00:01";
const WAIT: Duration = Duration::from_secs(20);

/// A shop whose daemon takes a private bus for the system's.
struct Stand {
    shop: Shop,
    bus: Bus,
    events: Events,
}

impl Stand {
    fn begin(start: impl FnOnce(&mut Bus)) -> Self {
        let mut shop = Shop::closed(&[]);
        let mut bus = Bus::start(shop.folder()).expect("dbus-daemon is installed");
        let (name, value) = bus.variable();
        let (name, value) = (name.to_owned(), value.to_owned());
        shop.with_variable(&name, &value);
        start(&mut bus);
        shop.start();
        let events = shop.http().events(None).unwrap();
        Self { shop, bus, events }
    }

    fn add_tool(&self, id: &str, address: &str, profile: &str) {
        let text = format!(
            "id = \"{id}\"\ntitle = \"Bluetooth wrench\"\nserial = \"BT-1\"\n[connection]\nport = \"bluetooth:{address}\"\nprofile = \"{profile}\"\n"
        );
        let tool = Tool::read(&text).unwrap();
        self.shop.act(&Act::AddTool {
            by: None,
            tool: Box::new(tool),
        });
    }

    fn gone(&mut self) -> (String, bool) {
        match self.events.wait_for_kind("tool-gone").entry().event {
            Event::ToolGone { why, partial, .. } => (why, partial.is_some()),
            other => panic!("{other:?}"),
        }
    }

    fn pulled(&mut self) -> Reading {
        reading(self.events.wait_for_kind("pulled").entry())
    }
}

fn reading(entry: Entry) -> Reading {
    match entry.event {
        Event::Pulled(pulled) => pulled.reading,
        other => panic!("{other:?}"),
    }
}

fn shown(reading: &Reading) -> String {
    reading
        .displayed
        .as_ref()
        .map_or("past its range".to_owned(), ToString::to_string)
}

fn centi(value: i32) -> [u8; 4] {
    value.to_le_bytes()
}

#[test]
fn without_a_bus_a_service_or_an_adapter_each_has_its_own_message() {
    let mut stand = Stand::begin(Bus::kill);
    stand.add_tool("b1", ADDRESS, "bluetooth");
    let (no_bus, _) = stand.gone();
    assert!(no_bus.contains("no system message bus"), "{no_bus}");
    stand.bus.restart().unwrap();
    let (no_service, _) = stand.gone();
    assert!(
        no_service.contains("(BlueZ) is not running"),
        "{no_service}"
    );
    let mut bluez = Bluez::start_without_adapter(&stand.bus).unwrap();
    let (no_adapter, _) = stand.gone();
    assert!(no_adapter.contains("no Bluetooth adapter"), "{no_adapter}");
    drop(bluez);
    bluez = Bluez::start(&stand.bus).unwrap();
    bluez.add(Simulated::wrench(ADDRESS, "BT-1")).unwrap();
    stand.events.wait_for_kind("tool-connected");
}

#[test]
fn a_wrench_by_the_book_is_read_and_found_again() {
    let mut stand = Stand::begin(|_| ());
    let mut bluez = Bluez::start(&stand.bus).unwrap();
    bluez.add(Simulated::wrench(ADDRESS, "BT-7")).unwrap();
    bluez.refuse_connects(ADDRESS, 1).unwrap();
    stand.add_tool("b1", ADDRESS, "bluetooth");
    let (refused, _) = stand.gone();
    assert!(
        refused.contains("does not let itself be connected"),
        "{refused}"
    );
    stand.events.wait_for_kind("tool-connected");
    let Event::ToolSaid {
        serial,
        what,
        battery_percent,
        ..
    } = stand.events.wait_for_kind("tool-said").entry().event
    else {
        panic!("the tool says what it is")
    };
    assert_eq!(
        (serial.as_deref(), what.as_deref(), battery_percent),
        (Some("BT-7"), Some("simulated"), Some(87))
    );
    let bench: BenchView =
        serde_json::from_slice(&stand.shop.http().get("/v1/bench").body).unwrap();
    assert_eq!(
        bench.tools[0].other_serial.as_deref(),
        Some("BT-7"),
        "its data say BT-1"
    );
    let torque = Simulated::torque();
    for (value, expected) in [(508, "5.08 N·m"), (508, "5.08 N·m"), (-125, "-1.25 N·m")] {
        assert!(bluez.notify(ADDRESS, &torque, &centi(value)).unwrap());
        assert_eq!(shown(&stand.pulled()), expected);
    }
    // "not known" is no reading, and three bytes are none either
    assert!(bluez.notify(ADDRESS, &torque, &centi(i32::MAX)).unwrap());
    assert!(bluez.notify(ADDRESS, &torque, &[1, 2, 3]).unwrap());
    stand.events.wait_for_kind("unreadable");
    bluez.drop_link(ADDRESS).unwrap();
    let (lost, _) = stand.gone();
    assert!(lost.contains("has lost the link"), "{lost}");
    stand.events.wait_for_kind("tool-connected");
    assert!(bluez.subscribed(ADDRESS, WAIT).unwrap());
    assert!(bluez.notify(ADDRESS, &torque, &centi(612)).unwrap());
    assert_eq!(shown(&stand.pulled()), "6.12 N·m");
    assert_eq!(bluez.connects(ADDRESS).unwrap(), 2);
}

#[test]
fn bluez_that_dies_and_a_bus_that_dies_are_noticed_and_everything_is_made_anew() {
    let mut stand = Stand::begin(|_| ());
    // A task of bluez-async unwraps an error when the bus is gone; the daemon goes on without it.
    stand.shop.excuse(&[
        "bluez-async",
        "on an `Err` value: D-Bus error",
        "RUST_BACKTRACE=1",
    ]);
    let start = |bus: &Bus| {
        let mut bluez = Bluez::start(bus).unwrap();
        bluez.add(Simulated::wrench(ADDRESS, "BT-1")).unwrap();
        bluez
    };
    let bluez = start(&stand.bus);
    stand.add_tool("b1", ADDRESS, "bluetooth");
    stand.events.wait_for_kind("tool-connected");
    bluez.stop();
    let (dead, _) = stand.gone();
    assert!(dead.contains("BlueZ"), "{dead}");
    let bluez = start(&stand.bus);
    stand.events.wait_for_kind("tool-connected");
    stand.bus.kill();
    let (dead, _) = stand.gone();
    assert!(
        dead.contains("cannot be reached") || dead.contains("is gone"),
        "{dead}"
    );
    drop(bluez);
    stand.bus.restart().unwrap();
    let bluez = start(&stand.bus);
    stand.events.wait_for_kind("tool-connected");
    assert!(bluez.subscribed(ADDRESS, WAIT).unwrap());
    assert!(
        bluez
            .notify(ADDRESS, &Simulated::torque(), &centi(508))
            .unwrap()
    );
    assert_eq!(shown(&stand.pulled()), "5.08 N·m");
}

#[test]
fn lines_over_bluetooth_are_joined_and_a_link_that_drops_in_a_line_does_not_count() {
    let (service, notify, write) = (
        "8d7e1000-6a1c-4b52-9d0e-5a3f6c2b1e00",
        "8d7e1001-6a1c-4b52-9d0e-5a3f6c2b1e00",
        "8d7e1002-6a1c-4b52-9d0e-5a3f6c2b1e00",
    );
    let mut stand = Stand::begin(|_| ());
    let mut bluez = Bluez::start(&stand.bus).unwrap();
    bluez
        .add(Simulated::serial(ADDRESS, service, notify, write))
        .unwrap();
    stand.add_tool("b1", ADDRESS, "bluetooth-line");
    stand.events.wait_for_kind("tool-connected");
    for piece in ["5.0", "8 N.m\r\n6.", "10 N.m\r\n7.0"] {
        assert!(bluez.notify(ADDRESS, notify, piece.as_bytes()).unwrap());
    }
    assert_eq!(shown(&stand.pulled()), "5.08 N·m");
    assert_eq!(shown(&stand.pulled()), "6.10 N·m");
    bluez.drop_link(ADDRESS).unwrap();
    let (_, in_the_middle) = stand.gone();
    assert!(in_the_middle, "the beginning of a line was received");
    let bench: BenchView =
        serde_json::from_slice(&stand.shop.http().get("/v1/bench").body).unwrap();
    assert!(bench.tools[0].cut_off, "and the page says so");
    stand.events.wait_for_kind("tool-connected");
    assert!(bluez.subscribed(ADDRESS, WAIT).unwrap());
    assert!(bluez.notify(ADDRESS, notify, b"8.00 N.m\r\n").unwrap());
    assert_eq!(shown(&stand.pulled()), "8.00 N·m");
}

#[test]
fn what_explains_itself_is_read_and_what_does_not_is_refused_with_a_reason() {
    let mut stand = Stand::begin(|_| ());
    let mut bluez = Bluez::start(&stand.bus).unwrap();
    let own = "8d7e2001-6a1c-4b52-9d0e-5a3f6c2b1e00".to_owned();
    let device = |address: &str, format: [u8; 7]| Simulated {
        address: address.to_owned(),
        name: "Own".to_owned(),
        appearance: 0,
        services: vec![Service {
            uuid: "8d7e2000-6a1c-4b52-9d0e-5a3f6c2b1e00".to_owned(),
            characteristics: vec![Characteristic::notifies(own.clone()).presented(format)],
        }],
    };
    // sint16 in 0.001 N·m; and one whose descriptor says exposure
    bluez
        .add(device(ADDRESS, [0x0E, 0xFD, 0x41, 0x27, 1, 0, 0]))
        .unwrap();
    let other = "02:00:00:00:00:02";
    bluez
        .add(device(other, [0x0E, 0xFD, 0x53, 0x27, 1, 0, 0]))
        .unwrap();
    stand.add_tool("b1", ADDRESS, "bluetooth");
    stand.events.wait_for_kind("tool-connected");
    assert!(
        bluez
            .notify(ADDRESS, &own, &(-1250_i16).to_le_bytes())
            .unwrap()
    );
    assert_eq!(shown(&stand.pulled()), "-1.250 N·m");
    stand.add_tool("b2", other, "bluetooth");
    let (why, _) = stand.gone();
    assert!(
        why.contains("nothing that can be read without a profile"),
        "{why}"
    );
    // a scale: its mass is no torque, and is kept as that
    let scale = Simulated {
        address: "02:00:00:00:00:03".to_owned(),
        name: "Scale".to_owned(),
        appearance: 0x0C80,
        services: vec![Service::assigned(
            0x181D,
            vec![Characteristic::notifies(assigned(0x2A9D))],
        )],
    };
    bluez.add(scale).unwrap();
    stand.add_tool("b3", "02:00:00:00:00:03", "bluetooth");
    stand.events.wait_for_kind("tool-connected");
    assert!(
        bluez
            .notify("02:00:00:00:00:03", &assigned(0x2A9D), &[0, 0x6F, 0x06])
            .unwrap()
    );
    let measured = stand.events.wait_for_kind("check-measured");
    let measured = format!("{:?}", measured.entry());
    assert!(measured.contains("Milligram"), "{measured}");
}

#[test]
fn a_stream_over_bluetooth_gives_one_reading_a_pull_with_its_trace() {
    let mut stand = Stand::begin(|_| ());
    let mut bluez = Bluez::start(&stand.bus).unwrap();
    bluez.add(Simulated::wrench(ADDRESS, "BT-1")).unwrap();
    stand.add_tool("b1", ADDRESS, "bluetooth-stream");
    stand.events.wait_for_kind("tool-connected");
    let up_and_down = (0..60)
        .chain((0..60).rev())
        .map(|step| step * 10)
        .chain([0; 40]);
    for value in up_and_down {
        assert!(
            bluez
                .notify(ADDRESS, &Simulated::torque(), &centi(value))
                .unwrap()
        );
        std::thread::sleep(Duration::from_millis(2));
    }
    let entry = stand.events.wait_for_kind("pulled").entry();
    let sequence = entry.sequence;
    let reading = reading(entry);
    assert_eq!(shown(&reading), "5.90 N·m");
    assert!(reading.trace.is_some_and(|trace| trace.samples > 80));
    let answer = stand
        .shop
        .http()
        .get(&format!("/v1/entries/{sequence}/trace.svg"));
    assert_eq!(
        (answer.status, answer.header("content-type")),
        (200, Some("image/svg+xml"))
    );
    assert!(answer.text().contains("<polyline"));
}
