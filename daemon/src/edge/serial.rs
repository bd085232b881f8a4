//! Tools that send a stream of bytes: one task a tool, over a serial port with the `serialport` crate or over TCP. A port that
//! goes is tried again until it comes back.
//!
//! The tasks run on the thread that commits. While the disk is slow nothing is read, and the kernel keeps what comes.

mod address;

pub use address::{AddressError, UsbPort, resolve, usb_ports};

use super::listening::{Over, Teller, Telling, since_1970};
use super::wire::Wire;
use crate::intake::{Arrival, Intake, QUIET_US};
use pullmark_schema::profile::{Flow, Parity, SerialSettings};
use serialport::{DataBits, ErrorKind, FlowControl, StopBits, TTYPort};
use std::io;
use std::time::Duration;
use tokio::time::Instant;

/// How long to wait before a port is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(100);
const RETRY_LONGEST: Duration = Duration::from_secs(2);
/// A connection that lasted this long was a good one: the next try comes soon.
const GOOD: Duration = Duration::from_secs(5);
/// As good as never.
const DAY: Duration = Duration::from_hours(24);

/// Listens until the loop is gone, or whoever started it wants it to end.
pub(super) async fn listen(mut teller: Teller) {
    let _ = keep_listening(&mut teller).await;
}

async fn keep_listening(teller: &mut Teller) -> Result<(), Over> {
    let mut wait = RETRY_FIRST;
    let mut intake = Intake::new(teller.port.dialect.clone());
    loop {
        let settings = teller.port.dialect.profile().serial.clone();
        match Wire::open(&teller.port.path, &settings).await {
            Ok(wire) => {
                let (is_network, began) = (wire.is_network(), Instant::now());
                // Only its answers show that an instrument is there.
                if !teller.port.dialect.is_asked() {
                    teller.connected()?;
                }
                intake.reopen(teller.now_us());
                read_on(teller, wire, &mut intake).await?;
                if !is_network || began.elapsed() >= GOOD {
                    wait = RETRY_FIRST;
                }
                // A peer that takes each connection and closes it at once is not to be asked without end.
                if is_network {
                    tokio::time::sleep(wait).await;
                    wait = (wait * 2).min(RETRY_LONGEST);
                }
            }
            Err(why) => {
                teller.gone(why, None)?;
                tokio::time::sleep(wait).await;
                wait = (wait * 2).min(RETRY_LONGEST);
            }
        }
    }
}

/// Reads until the port is gone.
async fn read_on(teller: &mut Teller, mut wire: Wire, intake: &mut Intake) -> Result<(), Over> {
    let dialect = teller.port.dialect.clone();
    let silence = intake
        .silence_ms()
        .map_or(QUIET_US, |ms| u64::from(ms) * 1000);
    let silence = Duration::from_micros(silence);
    let mut asking = Asking::new(&dialect);
    let mut buffer = [0_u8; 4096];
    let mut is_quiet = false;
    let mut last_read = Instant::now();
    let mut failed = None;
    for command in dialect.start() {
        if let Err(error) = wire.write(command).await {
            failed = Some(error);
            break;
        }
    }
    while failed.is_none() {
        let until = asking.next.min(Instant::now() + silence);
        let until = until.min(due(teller, intake));
        let read = tokio::time::timeout_at(until, wire.read(&mut buffer)).await;
        let at_us = teller.now_us();
        let mut telling = Telling::new(teller);
        match read {
            Ok(Ok(0)) => return teller.gone(wire.gone(&teller.port.path, None), intake.partial()),
            Ok(Err(error)) => {
                failed = Some(error);
                break;
            }
            Ok(Ok(count)) => {
                last_read = Instant::now();
                let arrival = Arrival {
                    at_us,
                    after_silence: std::mem::take(&mut is_quiet),
                    since_1970: Some(since_1970()),
                };
                let bytes = buffer.get(..count).unwrap_or_default();
                intake.feed(bytes, arrival, |received| telling.tell(received));
            }
            Err(_) => {
                let is_silent = last_read.elapsed() >= silence;
                is_quiet |= is_silent;
                intake.tick(at_us, |received| telling.tell(received));
                if is_silent {
                    intake.quiet(at_us, |received| telling.tell(received));
                }
            }
        }
        let is_gone = telling.end()?;
        teller.show(intake.newest())?;
        // What was told is decided first, and then there is time for the next bytes.
        tokio::task::yield_now().await;
        if is_gone && wire.is_network() {
            // Its end of the connection may have died without a word. What had begun is kept.
            return teller.broke_off(intake.partial());
        }
        if let Err(error) = ask(&mut wire, intake, &mut asking, &dialect).await {
            failed = Some(error);
        }
        teller.catch_up().await?;
    }
    let why = wire.gone(&teller.port.path, failed.as_ref());
    if let Some(error) = failed {
        tracing::debug!(tool = teller.port.tool, %error, "port gone");
    }
    teller.gone(why, intake.partial())
}

/// Sends what an instrument is asked now, or what the profile says that the tool has to be asked with.
async fn ask(
    wire: &mut Wire,
    intake: &mut Intake,
    asking: &mut Asking,
    dialect: &crate::intake::dialect::Dialect,
) -> io::Result<()> {
    if let Some(question) = intake.take_send() {
        wire.write(&question).await?;
    }
    if Instant::now() >= asking.next {
        asking.asked();
        wire.write(dialect.poll().unwrap_or_default()).await?;
    }
    Ok(())
}

/// When an instrument wants to be asked.
fn due(teller: &Teller, intake: &Intake) -> Instant {
    let wait = intake.due().map_or(DAY, |due| {
        Duration::from_micros(due.saturating_sub(teller.now_us())).min(DAY)
    });
    Instant::now() + wait
}

/// When a tool is asked next.
struct Asking {
    next: Instant,
    every: Duration,
}

impl Asking {
    fn new(dialect: &crate::intake::dialect::Dialect) -> Self {
        let every = dialect
            .profile()
            .poll
            .as_ref()
            .map(|poll| poll.every_ms.max(1));
        let every = every.map(|ms| Duration::from_millis(ms.into()));
        Self {
            next: Instant::now() + if every.is_some() { Duration::ZERO } else { DAY },
            every: every.unwrap_or(DAY),
        }
    }

    fn asked(&mut self) {
        self.next = Instant::now() + self.every;
    }
}

/// Opens a port with a profile's settings, for somebody who reads it in a way of their own.
pub fn open_port(path: &str, settings: &SerialSettings) -> serialport::Result<TTYPort> {
    serialport::new(path, settings.baud)
        .data_bits(if settings.bits == 7 {
            DataBits::Seven
        } else {
            DataBits::Eight
        })
        .parity(match settings.parity {
            Parity::None => serialport::Parity::None,
            Parity::Even => serialport::Parity::Even,
            Parity::Odd => serialport::Parity::Odd,
        })
        .stop_bits(if settings.stop == 2 {
            StopBits::Two
        } else {
            StopBits::One
        })
        .flow_control(match settings.flow {
            Flow::None => FlowControl::None,
            Flow::Software => FlowControl::Software,
            Flow::Hardware => FlowControl::Hardware,
        })
        // It is read only when there is something.
        .timeout(Duration::ZERO)
        .open_native()
}

/// Why a port cannot be opened, and what to do.
pub fn in_words(path: &str, error: &serialport::Error) -> String {
    match error.kind() {
        ErrorKind::Io(std::io::ErrorKind::NotFound) => {
            format!("{path} is not there: plug the tool in, or check the port's name")
        }
        ErrorKind::Io(std::io::ErrorKind::PermissionDenied) => {
            format!(
                "{path} may not be opened: add your user to the group that owns it (often dialout)"
            )
        }
        ErrorKind::NoDevice if error.description.contains("lock") => {
            format!("{path} is in use by another program: close that one")
        }
        _ => format!("{path} cannot be opened: {}", error.description),
    }
}

/// The serial ports that this machine names. Those it does not name can be opened all the same.
pub fn ports() -> Vec<String> {
    // The crate panics where the folder is missing.
    if !std::path::Path::new("/sys/class/tty").is_dir() {
        return Vec::new();
    }
    serialport::available_ports()
        .unwrap_or_default()
        .into_iter()
        .map(|port| port.port_name)
        .collect()
}
