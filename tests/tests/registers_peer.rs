//! Questions for registers, answered by a server that is not ours: the library tokio-modbus, behind two pseudo-terminals.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use pullmark_schema::api::Act;
use pullmark_schema::entry::{Event, Unreadable};
use pullmark_schema::tool::Tool;
use pullmark_sim::pty::Pty;
use pullmark_tests::Shop;
use std::future::{Ready, ready};
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU16, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio_modbus::server::{Service, rtu};
use tokio_modbus::{ExceptionCode, Request, Response, SlaveRequest};

/// What the unit holds: a float in input registers 0 and 1, its unit in holding register 8, its count in holding register 16.
#[derive(Clone, Default)]
struct Unit {
    value: Arc<Mutex<f32>>,
    count: Arc<AtomicU16>,
    refuses: Arc<AtomicBool>,
}

impl Service for Unit {
    type Request = SlaveRequest<'static>;
    type Response = Response;
    type Exception = ExceptionCode;
    type Future = Ready<Result<Response, ExceptionCode>>;

    fn call(&self, question: Self::Request) -> Self::Future {
        let [a, b, c, d] = self.value.lock().unwrap().to_be_bytes();
        let words = vec![u16::from_be_bytes([a, b]), u16::from_be_bytes([c, d])];
        ready(match question.request {
            _ if self.refuses.load(Ordering::SeqCst) => Err(ExceptionCode::ServerDeviceFailure),
            Request::ReadInputRegisters(0, 2) => Ok(Response::ReadInputRegisters(words)),
            Request::ReadHoldingRegisters(8, 1) => Ok(Response::ReadHoldingRegisters(vec![0])),
            Request::ReadHoldingRegisters(16, 1) => {
                let count = self.count.load(Ordering::SeqCst);
                Ok(Response::ReadHoldingRegisters(vec![count]))
            }
            _ => Err(ExceptionCode::IllegalDataAddress),
        })
    }
}

/// Joins the daemon's port and the server's; it ends with the test's process.
fn join(folder: &Path) {
    let (daemon, server) = (
        Pty::open(folder.join("ttyDaemon")).unwrap(),
        Pty::open(folder.join("ttyServer")).unwrap(),
    );
    std::thread::spawn(move || {
        let look = Duration::from_millis(1);
        loop {
            let (Ok(asked), Ok(answered)) = (daemon.read(look), server.read(look)) else {
                return;
            };
            if server.write(&asked).is_err() || daemon.write(&answered).is_err() {
                return;
            }
        }
    });
}

#[test]
fn a_server_of_another_library_is_asked_and_understood() {
    let shop = Shop::open();
    join(shop.folder());
    let (unit, path) = (Unit::default(), shop.folder().join("ttyServer"));
    let service = unit.clone();
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async {
            let server = rtu::Server::new_from_path(path, 19_200).unwrap();
            // It ends with the test's process.
            let _ = server.serve_forever(service).await;
        });
    });
    let mut events = shop.http().events(None).unwrap();
    let port = shop.folder().join("ttyDaemon");
    let text = format!(
        "id = \"g1\"\ntitle = \"g1\"\nserial = \"1\"\nquantity = \"pressure\"\n[connection]\nport = {:?}\nprofile = \"registers-pressure\"\n",
        port.display().to_string()
    );
    shop.act(&Act::AddTool {
        by: None,
        tool: Box::new(Tool::read(&text).unwrap()),
    });
    events.wait_for_kind("tool-connected");
    for (count, value) in [(1, 5.08), (2, 5.08), (3, 6.25), (4, 0.0)] {
        *unit.value.lock().unwrap() = value;
        unit.count.store(count, Ordering::SeqCst);
        let Event::CheckMeasured(measured) = events.wait_for_kind("check-measured").entry().event
        else {
            unreachable!()
        };
        let shown = measured.reading.displayed.unwrap();
        assert_eq!(shown.to_string(), format!("{value} bar"));
        assert_eq!(measured.reading.counter, Some(count.into()));
    }
    unit.refuses.store(true, Ordering::SeqCst);
    events.wait_for(|heard| {
        matches!(
            heard.entry().event,
            Event::Unreadable {
                why: Unreadable::Refused,
                ..
            }
        )
    });
    events.wait_for(
        |heard| matches!(heard.entry().event, Event::ToolGone { why, .. } if why.contains("fault of its own")),
    );
    unit.refuses.store(false, Ordering::SeqCst);
    events.wait_for_kind("tool-connected");
}
