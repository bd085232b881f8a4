//! A tool that is listened to, over whatever it is connected by, and what all kinds of connection have in common.

use super::{bluetooth, broker, keyboard, serial};
use crate::core::{About, Input};
use crate::intake::dialect::Dialect;
use crate::intake::seen::Seen;
use crate::intake::{Received, What};
use crate::run::Message;
use pullmark_schema::reading::Flag;
use std::time::Instant;
use tokio::runtime::Handle as Runtime;
use tokio::sync::mpsc::UnboundedSender;
use tokio::sync::oneshot;

/// So many messages may wait for the thread that commits before a tool is no longer read. What it sends stays in the kernel.
const MOST_WAITING: usize = 256;

/// How often it is shown what a tool measures during a pull, at most: 60 times a second.
const SHOWN_EVERY_US: u64 = 1_000_000 / 60;

/// A port to listen at.
#[derive(Debug, Clone)]
pub struct Port {
    /// The tool on it.
    pub tool: String,
    /// Its address: a path, `usb:…`, `tcp://…`, `mqtt://…`, `keys:…` or `bluetooth:…`.
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
        let teller = Teller {
            port: port.clone(),
            messages,
            said: None,
            waiting: 0,
            is_shown: false,
            shown_next: 0,
            began: Instant::now(),
        };
        let task = if let Some(why) = port.dialect.misfit(&port.path) {
            runtime.spawn(async move { misfit(teller, why) })
        } else if let Some(address) = bluetooth::Address::read(&port.path) {
            runtime.spawn(bluetooth::listen(teller, address))
        } else if let Some(address) = broker::Address::read(&port.path) {
            runtime.spawn(broker::listen(teller, address))
        } else if let Some(device) = keyboard::Device::read(&port.path) {
            runtime.spawn(keyboard::listen(teller, device))
        } else {
            runtime.spawn(serial::listen(teller))
        };
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

/// Tells once that the tool cannot be read in this way.
fn misfit(mut teller: Teller, why: &'static str) {
    let why = format!("{}: {why}", teller.port.path);
    let _ = teller.gone(why, None);
}

/// The daemon is going down.
#[derive(Debug)]
pub(super) struct Over;

/// Tells the loop what a tool does.
#[derive(Debug)]
pub(super) struct Teller {
    pub(super) port: Port,
    messages: UnboundedSender<Message>,
    /// What was last said about why the port is gone; the same is not said twice.
    said: Option<String>,
    /// Messages since the loop was last known to have taken all of them.
    waiting: usize,
    /// A pull is under way and was shown.
    is_shown: bool,
    /// When it may be shown again, on this tool's own clock.
    shown_next: u64,
    began: Instant,
}

impl Teller {
    /// µs on this tool's own clock.
    pub(super) fn now_us(&self) -> u64 {
        u64::try_from(self.began.elapsed().as_micros()).unwrap_or(u64::MAX)
    }

    pub(super) fn connected(&mut self) -> Result<(), Over> {
        self.said = None;
        self.tell(Input::Connected {
            tool: self.port.tool.clone(),
            port: self.port.path.clone(),
        })
    }

    pub(super) fn received(&mut self, received: Received<'_>) -> Result<(), Over> {
        let tool = self.port.tool.clone();
        let raw = received.raw.to_vec();
        self.tell(match received.what {
            What::Back => return self.connected(),
            What::Gone(why) => {
                let why = format!("{}: {why}", self.port.path);
                return self.gone(why, None);
            }
            What::Identity(identity) => Input::Said {
                tool,
                about: About {
                    serial: identity.serial,
                    what: identity.what,
                    battery_percent: None,
                },
            },
            What::Reading(seen) => Input::Value {
                tool,
                raw,
                value: seen.to_value(),
            },
            What::Unreadable(why) => Input::Rubbish { tool, raw, why },
            What::Rising(seen) => Input::Rising { tool, seen },
            What::Pull(pull) => Input::Pull { tool, raw, pull },
            What::Knock(pull) => Input::Knock { tool, raw, pull },
            What::Unsettled(seen) => {
                let mut value = seen.to_value();
                value.flags.push(Flag::Unsteady);
                Input::Value { tool, raw, value }
            }
        })
    }

    pub(super) fn gone(&mut self, why: String, partial: Option<Vec<u8>>) -> Result<(), Over> {
        if partial.is_none() && self.said.as_ref() == Some(&why) {
            return Ok(());
        }
        self.said = Some(why.clone());
        self.show(None)?;
        self.tell(Input::Gone {
            tool: self.port.tool.clone(),
            why,
            partial,
        })
    }

    /// It was told why the tool is gone; what had begun is told too.
    pub(super) fn broke_off(&mut self, partial: Option<Vec<u8>>) -> Result<(), Over> {
        match (partial, self.said.clone()) {
            (Some(partial), Some(why)) => self.gone(why, Some(partial)),
            _ => Ok(()),
        }
    }

    pub(super) fn tell(&mut self, input: Input) -> Result<(), Over> {
        self.waiting += 1;
        self.messages.send(Message::Tool(input)).map_err(|_| Over)
    }

    /// Shows what the tool measures: the newest sample of a pull that is under way, and once that the pull is over.
    pub(super) fn show(&mut self, newest: Option<Seen>) -> Result<(), Over> {
        let now = self.now_us();
        let is_due = match newest {
            Some(_) => !self.is_shown || now >= self.shown_next,
            None => self.is_shown,
        };
        if !is_due {
            return Ok(());
        }
        self.is_shown = newest.is_some();
        // In step, so that samples that come a little late do not make it slower; after a pause it begins anew.
        self.shown_next =
            (self.shown_next + SHOWN_EVERY_US).max(now.saturating_sub(3 * SHOWN_EVERY_US));
        self.waiting += 1;
        let live = Message::Live(self.port.tool.clone(), newest);
        self.messages.send(live).map_err(|_| Over)
    }

    /// Waits until the loop has taken what it was told, where that is much.
    pub(super) async fn catch_up(&mut self) -> Result<(), Over> {
        if self.waiting < MOST_WAITING {
            return Ok(());
        }
        self.stored().await
    }

    /// Waits until everything that it was told is stored.
    pub(super) async fn stored(&mut self) -> Result<(), Over> {
        self.waiting = 0;
        let (taken, all_taken) = oneshot::channel();
        // Whoever waits may have gone away.
        let look = Message::Look(Box::new(move |_| {
            let _ = taken.send(());
        }));
        self.messages.send(look).map_err(|_| Over)?;
        all_taken.await.map_err(|_| Over)
    }
}

/// Tells what comes, and remembers whether the loop is gone and whether the instrument is.
pub(super) struct Telling<'t> {
    teller: &'t mut Teller,
    told: Result<(), Over>,
    is_gone: bool,
}

impl<'t> Telling<'t> {
    pub(super) const fn new(teller: &'t mut Teller) -> Self {
        Self {
            teller,
            told: Ok(()),
            is_gone: false,
        }
    }

    pub(super) fn tell(&mut self, received: Received<'_>) {
        self.is_gone |= matches!(received.what, What::Gone(_));
        if self.told.is_ok() {
            self.told = self.teller.received(received);
        }
    }

    /// Whether the instrument is gone.
    pub(super) fn end(self) -> Result<bool, Over> {
        self.told.map(|()| self.is_gone)
    }
}

/// For what says itself when it was measured.
pub(super) fn since_1970() -> i64 {
    let since = std::time::UNIX_EPOCH.elapsed().unwrap_or_default();
    i64::try_from(since.as_secs()).unwrap_or(i64::MAX)
}
