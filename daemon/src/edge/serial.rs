//! Serial tools: one task a port, with the `serialport` crate. A port that goes is tried again until it comes back.
//!
//! The tasks run on the thread that commits. While the disk is slow nothing is read, and the kernel keeps what comes.

mod address;

pub use address::{AddressError, UsbPort, resolve, usb_ports};

use super::listening::{Over, Teller};
use crate::intake::{Arrival, Intake, QUIET_US};
use pullmark_schema::profile::{Flow, Parity, SerialSettings};
use serialport::{DataBits, ErrorKind, FlowControl, StopBits, TTYPort};
use std::io::{self, Read as _, Write as _};
use std::time::Duration;
use tokio::io::unix::AsyncFd;
use tokio::time::Instant;

/// How long to wait before a port is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(100);
const RETRY_LONGEST: Duration = Duration::from_secs(2);
/// A tool takes a command within this time, or it takes none.
const COMMAND_WAIT: Duration = Duration::from_millis(500);

/// Listens until the loop is gone, or whoever started it wants it to end.
pub(super) async fn listen(mut teller: Teller) {
    let _ = keep_listening(&mut teller).await;
}

async fn keep_listening(teller: &mut Teller) -> Result<(), Over> {
    let mut wait = RETRY_FIRST;
    loop {
        match open(teller).await {
            Ok(port) => {
                wait = RETRY_FIRST;
                teller.connected()?;
                read_on(teller, port).await?;
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
async fn read_on(teller: &mut Teller, mut port: AsyncFd<TTYPort>) -> Result<(), Over> {
    let dialect = teller.port.dialect.clone();
    let mut intake = Intake::new(dialect.clone());
    let silence = intake
        .silence_ms()
        .map_or(QUIET_US, |ms| u64::from(ms) * 1000);
    let silence = Duration::from_micros(silence);
    let mut asking = Asking::new(&dialect);
    let mut buffer = [0_u8; 4096];
    let mut is_quiet = false;
    let mut last_read = Instant::now();
    for command in dialect.start() {
        if let Err(error) = write_all(&mut port, command).await {
            return teller.gone(unplugged(teller, &error), None);
        }
    }
    loop {
        let until = asking.next.min(Instant::now() + silence);
        let read = tokio::time::timeout_at(until, read_some(&mut port, &mut buffer)).await;
        let why = match read {
            Err(_) if Instant::now() >= asking.next => {
                asking.asked();
                is_quiet |= last_read.elapsed() >= silence;
                match write_all(&mut port, dialect.poll().unwrap_or_default()).await {
                    Ok(()) => continue,
                    Err(error) => unplugged(teller, &error),
                }
            }
            Err(_) => {
                is_quiet = true;
                let at_us = teller.now_us();
                let mut told = Ok(());
                intake.quiet(at_us, |received| {
                    if told.is_ok() {
                        told = teller.received(received);
                    }
                });
                told?;
                teller.show(intake.newest())?;
                continue;
            }
            Ok(Ok(0)) => format!("the tool on {} hung up", teller.port.path),
            Ok(Ok(count)) => {
                last_read = Instant::now();
                let arrival = Arrival {
                    at_us: teller.now_us(),
                    after_silence: std::mem::take(&mut is_quiet),
                };
                let mut told = Ok(());
                intake.feed(
                    buffer.get(..count).unwrap_or_default(),
                    arrival,
                    |received| {
                        if told.is_ok() {
                            told = teller.received(received);
                        }
                    },
                );
                told?;
                teller.show(intake.newest())?;
                teller.catch_up().await?;
                continue;
            }
            Ok(Err(error)) => unplugged(teller, &error),
        };
        return teller.gone(why, intake.partial());
    }
}

fn unplugged(teller: &Teller, error: &io::Error) -> String {
    tracing::debug!(tool = teller.port.tool, %error, "port gone");
    format!(
        "{} was unplugged, or the tool was switched off",
        teller.port.path
    )
}

/// When a tool is asked next.
struct Asking {
    next: Instant,
    every: Duration,
}

impl Asking {
    fn new(dialect: &crate::intake::dialect::Dialect) -> Self {
        /// As good as never.
        const DAY: Duration = Duration::from_hours(24);
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

/// Writes a command. One that the tool does not take in time is left: it may be a tool that is switched off.
async fn write_all(port: &mut AsyncFd<TTYPort>, command: &[u8]) -> io::Result<()> {
    let written = tokio::time::timeout(COMMAND_WAIT, async {
        let mut rest = command;
        while !rest.is_empty() {
            let mut ready = port.writable_mut().await?;
            let written = ready.try_io(|port| port.get_mut().write(rest).map_err(or_nothing_yet));
            if let Ok(count) = written {
                rest = rest.get(count?..).unwrap_or_default();
            }
        }
        Ok(())
    });
    written.await.unwrap_or(Ok(()))
}

fn or_nothing_yet(error: io::Error) -> io::Error {
    match error.kind() {
        io::ErrorKind::TimedOut | io::ErrorKind::Interrupted => io::ErrorKind::WouldBlock.into(),
        _ => error,
    }
}

/// Waits for bytes and reads them; nothing is lost where the waiting is given up.
async fn read_some(port: &mut AsyncFd<TTYPort>, buffer: &mut [u8]) -> io::Result<usize> {
    loop {
        let mut ready = port.readable_mut().await?;
        let read = ready.try_io(|port| port.get_mut().read(buffer).map_err(or_nothing_yet));
        if let Ok(read) = read {
            return read;
        }
    }
}

/// The port's readiness. The constructor that replaces this one is `unsafe`, because a type could close its descriptor
/// while it is registered; a `TTYPort` keeps its own until it is dropped.
#[expect(deprecated, reason = "there is no other one without unsafe code")]
fn register(port: TTYPort) -> io::Result<AsyncFd<TTYPort>> {
    AsyncFd::new(port)
}

/// Opening may take a while at some drivers, and must not hold up the thread that commits.
async fn open(teller: &Teller) -> Result<AsyncFd<TTYPort>, String> {
    let address = teller.port.path.clone();
    let settings = teller.port.dialect.profile().serial.clone();
    let opened = tokio::task::spawn_blocking(move || {
        let path = resolve(&address).map_err(|error| error.to_string())?;
        let path = path.to_string_lossy();
        open_port(&path, &settings).map_err(|error| in_words(&path, &error))
    });
    let port = opened.await.map_err(|error| error.to_string())??;
    register(port).map_err(|error| format!("{} cannot be listened at: {error}", teller.port.path))
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
