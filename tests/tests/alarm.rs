//! An over alarm where no page is open: the desktop is told over a real message bus, and told again until it is acknowledged.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::{Act, BenchView};
use pullmark_sim::bluez::Bus;
use pullmark_sim::desktop::Desktop;
use pullmark_tests::http::Http;
use pullmark_tests::shop::Shop;
use pullmark_tests::stand::Stand;
use pullmark_tests::{Command, plans};
use std::process::Stdio;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

const WAIT: Duration = Duration::from_secs(20);

fn until<T>(what: &str, mut found: impl FnMut() -> Option<T>) -> T {
    let end = Instant::now() + WAIT;
    loop {
        if let Some(found) = found() {
            return found;
        }
        assert!(Instant::now() < end, "it did not come to this: {what}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// A shop whose daemon takes a private bus for its user's, and is set to tell the desktop.
fn shop(bus: &Bus) -> Shop {
    let mut shop = Shop::closed(&[]);
    let settings = shop.write("pullmarkd.toml", "desktop_alarm = true\n");
    shop.with_variable("PULLMARK_CONFIG", settings.to_str().unwrap());
    shop.with_variable("DBUS_SESSION_BUS_ADDRESS", bus.address());
    shop.start();
    shop
}

/// The first alarm of the build, once it is there.
fn alarm(stand: &Stand) -> u64 {
    until("there is an alarm", || {
        Some(stand.look().alarms.first()?.sequence)
    })
}

#[test]
fn an_over_alarm_stands_on_the_desktop_until_it_is_acknowledged_also_over_a_new_start() {
    let folder = tempfile::tempdir().unwrap();
    let bus = Bus::start(folder.path()).expect("dbus-daemon is installed");
    let desktop = Desktop::start(&bus).unwrap();
    let mut stand = Stand::begin_in(shop(&bus), plans::SMALL);
    stand.pull(9.0);
    let sequence = alarm(&stand);
    let shown = until("the desktop shows it", || {
        desktop.notices().into_iter().next()
    });
    assert!(shown.summary.starts_with("OVER: "), "{shown:?}");
    assert!(
        shown.body.contains("9.00 N·m") && shown.body.contains("Ferry"),
        "{shown:?}"
    );
    assert_eq!((shown.urgency, shown.expires), (Some(2), 0));
    std::thread::sleep(Duration::from_secs(3));
    assert_eq!(desktop.notices().len(), 1, "the same is not shown twice");

    // A daemon that is started anew does not know what stands there: it tells it again.
    stand.shop.kill();
    stand.shop.start();
    let again = until("it is told again", || desktop.notices().into_iter().nth(1));
    assert_eq!(again.summary, shown.summary);
    stand.shop.act(&Act::Acknowledge {
        alarm: sequence,
        by: "Mara".to_owned(),
    });
    until("its own notification is taken away", || {
        (!desktop.notices().contains(&again)).then_some(())
    });
}

#[test]
fn without_a_desktop_the_alarm_is_raised_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let bus = Bus::start(folder.path()).expect("dbus-daemon is installed");
    let mut stand = Stand::begin_in(shop(&bus), plans::SMALL);
    stand.pull(9.0);
    alarm(&stand);
    until("it is said once", || {
        stand
            .shop
            .log()
            .contains("the desktop is not told")
            .then_some(())
    });
}

#[test]
fn in_a_terminal_the_bell_rings_until_the_alarm_is_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    // `script` gives the daemon a terminal, and passes on what is written there.
    let daemon = format!(
        "{} --data {} --port 0",
        pullmark_tests::programs::program("pullmarkd").display(),
        data.display()
    );
    let mut child = std::process::Command::new("script")
        .args(["--quiet", "--flush", "--command", &daemon, "/dev/null"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .spawn()
        .expect("script is installed (Debian package bsdutils)");
    let bells = count_bells(child.stdout.take().unwrap());
    let socket = data.join("pullmark.sock");
    until("the daemon is there", || socket.exists().then_some(()));
    let run = |arguments: &[&str]| {
        let data = data.to_str().unwrap();
        let said = Command::pullmark(folder.path())
            .args(["--data", data])
            .args(arguments)
            .run();
        said.ok();
    };
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let tool = "id = \"w1\"\ntitle = \"By eye\"\nserial = \"BE-1\"\nlowest = \"1 N·m\"\nhighest = \"25 N·m\"\n";
    let tool = write("tool.toml", tool);
    let plan = write("plan.toml", plans::SMALL);
    run(&["tool", "add", &tool]);
    run(&[
        "build", "start", &plan, "--frame", "FC-1", "--build", "ferry", "--tool", "w1", "--by",
        "Mara",
    ]);
    assert_eq!(bells.load(Ordering::Relaxed), 0);
    run(&["reading", "enter", "9 N·m", "--tool", "w1", "--by", "Mara"]);
    until("it has rung, and rings again", || {
        (bells.load(Ordering::Relaxed) >= 2).then_some(())
    });
    let http = Http::Socket(socket);
    let bench: BenchView = serde_json::from_slice(&http.get("/v1/bench").body).unwrap();
    let alarm = bench.builds[0].alarms[0].sequence.to_string();
    run(&["alarm", "acknowledge", &alarm, "--by", "Mara"]);
    let rung = bells.load(Ordering::Relaxed);
    std::thread::sleep(Duration::from_secs(5));
    let after = bells.load(Ordering::Relaxed);
    assert!(after <= rung + 1, "it rang {} times more", after - rung);
    child.kill().unwrap();
    child.wait().unwrap();
}

/// Counts the bells in what comes from a terminal.
fn count_bells(mut from: impl std::io::Read + Send + 'static) -> Arc<AtomicUsize> {
    let bells = Arc::new(AtomicUsize::new(0));
    let counted = Arc::clone(&bells);
    std::thread::spawn(move || {
        let mut buffer = [0; 1024];
        while let Ok(count @ 1..) = from.read(&mut buffer) {
            let rung = buffer[..count].split(|byte| *byte == 7).count() - 1;
            counted.fetch_add(rung, Ordering::Relaxed);
        }
    });
    bells
}
