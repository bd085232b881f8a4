//! Serial tools: one task a port, with the `serialport` crate. A port that goes is tried again until it comes back.
//!
//! The tasks run on the thread that commits. While the disk is slow nothing is read, and the kernel keeps what comes.

use crate::core::Input;
use crate::intake::Intake;
use crate::intake::dialect::{Dialect, Line};
use crate::run::Message;
use pullmark_schema::profile::{Parity, SerialSettings};
use serialport::{DataBits, ErrorKind, StopBits, TTYPort};
use std::io::{self, Read as _};
use std::time::Duration;
use tokio::io::unix::AsyncFd;
use tokio::runtime::Handle as Runtime;
use tokio::sync::mpsc::UnboundedSender;

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

/// A task that listens at a port until this is dropped.
#[derive(Debug)]
pub struct Listening {
    port: Port,
    task: tokio::task::JoinHandle<()>,
}

impl Listening {
    /// Starts to listen, on the runtime that is given. It has to be the one of the thread that commits: then a reading
    /// needs no other thread to wake up.
    pub fn start(port: Port, messages: UnboundedSender<Message>, runtime: &Runtime) -> Self {
        let listener = Listener {
            port: port.clone(),
            messages,
            said: None,
        };
        let task = runtime.spawn(listener.run());
        Self { port, task }
    }

    /// Whether it listens at the same port in the same way.
    pub fn is_same(&self, path: &str, profile: &str) -> bool {
        self.port.path == path && self.port.dialect.profile().name == profile
    }

    /// Ends listening. The port is closed when this returns.
    pub async fn stop(mut self) {
        self.task.abort();
        // A task that panicked has been logged by the panic hook.
        let _ = (&mut self.task).await;
    }
}

impl Drop for Listening {
    fn drop(&mut self) {
        self.task.abort();
    }
}

struct Listener {
    port: Port,
    messages: UnboundedSender<Message>,
    /// What was last said about why the port is gone; the same is not said twice.
    said: Option<String>,
}

/// The daemon is going down.
struct Over;

impl Listener {
    async fn run(mut self) {
        // It ends when the loop is gone, or when whoever started it wants it to.
        let _ = self.keep_listening().await;
    }

    async fn keep_listening(&mut self) -> Result<(), Over> {
        let mut wait = RETRY_FIRST;
        loop {
            match open(&self.port).await {
                Ok(port) => {
                    wait = RETRY_FIRST;
                    self.said = None;
                    self.tell(Input::Connected {
                        tool: self.port.tool.clone(),
                        port: self.port.path.clone(),
                    })?;
                    self.listen(port).await?;
                }
                Err(error) => {
                    self.gone(in_words(&self.port.path, &error), None)?;
                    tokio::time::sleep(wait).await;
                    wait = (wait * 2).min(RETRY_LONGEST);
                }
            }
        }
    }

    /// Reads until the port is gone.
    async fn listen(&mut self, mut port: AsyncFd<TTYPort>) -> Result<(), Over> {
        let mut intake = Intake::new(self.port.dialect.clone());
        let mut buffer = [0_u8; 4096];
        let mut is_quiet = false;
        loop {
            let Ok(read) = tokio::time::timeout(QUIET, read_some(&mut port, &mut buffer)).await
            else {
                is_quiet = true;
                continue;
            };
            let path = &self.port.path;
            let why = match read {
                Ok(0) => format!("the tool on {path} hung up"),
                Ok(count) => {
                    let bytes = buffer.get(..count).unwrap_or_default();
                    let mut told = Ok(());
                    intake.feed(bytes, is_quiet, |received| {
                        if told.is_ok() {
                            told = self.received(received.raw, received.line);
                        }
                    });
                    told?;
                    is_quiet = false;
                    continue;
                }
                Err(_) => format!("{path} was unplugged, or the tool was switched off"),
            };
            return self.gone(why, intake.partial());
        }
    }

    fn received(&self, raw: Vec<u8>, line: Line) -> Result<(), Over> {
        let tool = self.port.tool.clone();
        match line {
            Line::Value(value) => self.tell(Input::Value { tool, raw, value }),
            Line::Unreadable(why) => self.tell(Input::Rubbish { tool, raw, why }),
            Line::Nothing => Ok(()),
        }
    }

    fn gone(&mut self, why: String, partial: Option<Vec<u8>>) -> Result<(), Over> {
        if partial.is_none() && self.said.as_ref() == Some(&why) {
            return Ok(());
        }
        self.said = Some(why.clone());
        self.tell(Input::Gone {
            tool: self.port.tool.clone(),
            why,
            partial,
        })
    }

    fn tell(&self, input: Input) -> Result<(), Over> {
        self.messages.send(Message::Tool(input)).map_err(|_| Over)
    }
}

/// Waits for bytes and reads them; nothing is lost where the waiting is given up.
async fn read_some(port: &mut AsyncFd<TTYPort>, buffer: &mut [u8]) -> io::Result<usize> {
    loop {
        let mut ready = port.readable_mut().await?;
        let read = ready.try_io(|port| {
            port.get_mut().read(buffer).map_err(|error| {
                let is_nothing_there = matches!(
                    error.kind(),
                    io::ErrorKind::TimedOut | io::ErrorKind::Interrupted
                );
                if is_nothing_there {
                    io::ErrorKind::WouldBlock.into()
                } else {
                    error
                }
            })
        });
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
async fn open(port: &Port) -> serialport::Result<AsyncFd<TTYPort>> {
    let (path, settings) = (port.path.clone(), port.dialect.profile().serial.clone());
    let no_task = |error: tokio::task::JoinError| io::Error::other(error);
    let opened = tokio::task::spawn_blocking(move || open_now(&path, &settings)).await;
    Ok(register(opened.map_err(no_task)??)?)
}

fn open_now(path: &str, settings: &SerialSettings) -> serialport::Result<TTYPort> {
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
        // It is read only when there is something.
        .timeout(Duration::ZERO)
        .open_native()
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
