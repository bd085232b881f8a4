//! Serial tools: one thread a port, with the `serialport` crate. A port that goes is tried again until it comes back.

use crate::core::Input;
use crate::intake::Intake;
use crate::intake::dialect::{Dialect, Line};
use crate::run::Message;
use pullmark_schema::profile::{Parity, SerialSettings};
use serialport::{DataBits, ErrorKind, SerialPort, StopBits};
use std::io::Read as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::time::Duration;

/// A read that brings nothing for this long means that the line is quiet.
const QUIET: Duration = Duration::from_millis(50);
/// How long to wait before a port is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(100);
const RETRY_LONGEST: Duration = Duration::from_secs(2);

/// A port to listen at.
#[derive(Debug, Clone)]
pub struct Port {
    /// The tool on it.
    pub tool: String,
    /// Its path.
    pub path: String,
    /// How the tool speaks.
    pub dialect: Dialect,
}

/// A thread that listens at a port until this is dropped.
#[derive(Debug)]
pub struct Listening {
    port: Port,
    stop: Arc<AtomicBool>,
    thread: Option<std::thread::JoinHandle<()>>,
}

impl Listening {
    /// Starts to listen.
    pub fn start(port: Port, messages: Sender<Message>) -> std::io::Result<Self> {
        let stop = Arc::new(AtomicBool::new(false));
        let mut listener = Listener {
            port: port.clone(),
            messages,
            stop: Arc::clone(&stop),
            said: None,
        };
        let thread = std::thread::Builder::new()
            .name(format!("port {}", port.tool))
            .spawn(move || listener.run())
            .map(Some)?;
        Ok(Self { port, stop, thread })
    }

    /// Whether it listens at the same port in the same way.
    pub fn is_same(&self, path: &str, profile: &str) -> bool {
        self.port.path == path && self.port.dialect.profile().name == profile
    }
}

impl Drop for Listening {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            // A thread that panicked has been logged by the panic hook.
            let _ = thread.join();
        }
    }
}

struct Listener {
    port: Port,
    messages: Sender<Message>,
    stop: Arc<AtomicBool>,
    /// What was last said about why the port is gone; the same is not said twice.
    said: Option<String>,
}

impl Listener {
    fn run(&mut self) {
        let mut wait = RETRY_FIRST;
        while !self.stop.load(Ordering::Relaxed) {
            match open(&self.port.path, &self.port.dialect.profile().serial) {
                Ok(port) => {
                    wait = RETRY_FIRST;
                    self.said = None;
                    self.tell(Input::Connected {
                        tool: self.port.tool.clone(),
                        port: self.port.path.clone(),
                    });
                    self.listen(port);
                }
                Err(error) => {
                    self.gone(in_words(&self.port.path, &error), None);
                    self.sleep(wait);
                    wait = (wait * 2).min(RETRY_LONGEST);
                }
            }
        }
    }

    /// Sleeps in short steps, so that stopping does not take long.
    fn sleep(&self, time: Duration) {
        let mut left = time;
        while !left.is_zero() && !self.stop.load(Ordering::Relaxed) {
            let step = left.min(QUIET);
            std::thread::sleep(step);
            left -= step;
        }
    }

    fn listen(&mut self, mut port: Box<dyn SerialPort>) {
        let mut intake = Intake::new(self.port.dialect.clone());
        let mut buffer = [0_u8; 4096];
        let mut is_quiet = false;
        while !self.stop.load(Ordering::Relaxed) {
            match port.read(&mut buffer) {
                Ok(0) => {
                    self.gone(
                        format!("the tool on {} hung up", self.port.path),
                        intake.partial(),
                    );
                    return;
                }
                Ok(count) => {
                    let bytes = buffer.get(..count).unwrap_or_default();
                    intake.feed(bytes, is_quiet, |received| {
                        self.received(received.raw, received.line);
                    });
                    is_quiet = false;
                }
                Err(error) if error.kind() == std::io::ErrorKind::TimedOut => is_quiet = true,
                Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
                Err(_) => {
                    self.gone(
                        format!(
                            "{} was unplugged, or the tool was switched off",
                            self.port.path
                        ),
                        intake.partial(),
                    );
                    return;
                }
            }
        }
    }

    fn received(&self, raw: Vec<u8>, line: Line) {
        let tool = self.port.tool.clone();
        match line {
            Line::Value(value) => self.tell(Input::Value { tool, raw, value }),
            Line::Unreadable(why) => self.tell(Input::Rubbish { tool, raw, why }),
            Line::Nothing => {}
        }
    }

    fn gone(&mut self, why: String, partial: Option<Vec<u8>>) {
        if partial.is_none() && self.said.as_ref() == Some(&why) {
            return;
        }
        self.said = Some(why.clone());
        self.tell(Input::Gone {
            tool: self.port.tool.clone(),
            why,
            partial,
        });
    }

    fn tell(&self, input: Input) {
        if self.messages.send(Message::Tool(input)).is_err() {
            self.stop.store(true, Ordering::Relaxed);
        }
    }
}

fn open(path: &str, settings: &SerialSettings) -> serialport::Result<Box<dyn SerialPort>> {
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
        .timeout(QUIET)
        .open()
}

fn in_words(path: &str, error: &serialport::Error) -> String {
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
