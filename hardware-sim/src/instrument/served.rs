//! A port that answers what is written to it, on a thread of its own.

use crate::pty::{Pty, PtyError};
use std::io::{self, Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// How often it looks.
const LOOK: Duration = Duration::from_millis(2);

/// What answers. It is asked with what came, also with nothing: something may have become due.
pub(super) trait Answers: Send + 'static {
    fn hear(&mut self, bytes: &[u8]) -> Vec<u8>;
    /// The port was opened or plugged in anew.
    fn begin(&mut self);
}

enum Order {
    Unplug(Sender<()>),
    Replug(Sender<()>),
}

/// A port whose other end answers.
#[derive(Debug)]
pub(super) struct Served {
    place: Place,
    orders: Option<Sender<Order>>,
    thread: Option<JoinHandle<()>>,
}

#[derive(Debug)]
enum Place {
    Link(PathBuf),
    Address(SocketAddr),
}

impl std::fmt::Debug for Order {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Unplug(_) => "Unplug",
            Self::Replug(_) => "Replug",
        })
    }
}

impl Served {
    pub(super) fn on_pty(link: &Path, answers: impl Answers) -> Result<Self, PtyError> {
        let port = Pty::open(link)?;
        let (orders, heard) = channel();
        Ok(Self {
            place: Place::Link(link.to_owned()),
            orders: Some(orders),
            thread: Some(std::thread::spawn(move || serve_pty(port, answers, &heard))),
        })
    }

    pub(super) fn on_tcp(answers: impl Answers) -> io::Result<Self> {
        let listener = TcpListener::bind(("127.0.0.1", 0))?;
        let address = listener.local_addr()?;
        let (orders, heard) = channel();
        Ok(Self {
            place: Place::Address(address),
            orders: Some(orders),
            thread: Some(std::thread::spawn(move || {
                // Nobody is left to hear of an error; a test that waits for an answer says so.
                let _ = serve_tcp(listener, address, answers, &heard);
            })),
        })
    }

    /// What a tool's connection names as its port.
    pub(super) fn port(&self) -> String {
        match &self.place {
            Place::Link(link) => link.display().to_string(),
            Place::Address(address) => format!("tcp://{address}"),
        }
    }

    fn order(&self, order: impl FnOnce(Sender<()>) -> Order) {
        let (done, wait) = channel();
        if let Some(orders) = &self.orders
            && orders.send(order(done)).is_ok()
        {
            // It is gone only when the thread is.
            let _ = wait.recv();
        }
    }

    /// Pulls the plug, or closes the connection and takes no other one.
    pub(super) fn unplug(&self) {
        self.order(Order::Unplug);
    }

    /// Plugs it in again.
    pub(super) fn replug(&self) {
        self.order(Order::Replug);
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        self.orders = None;
        if let Some(thread) = self.thread.take() {
            // A thread that panicked has said so.
            let _ = thread.join();
        }
    }
}

fn serve_pty(mut port: Pty, mut answers: impl Answers, orders: &Receiver<Order>) {
    loop {
        let wait = if port.is_plugged() {
            Duration::ZERO
        } else {
            LOOK
        };
        // An order that cannot be done is seen by whoever gave it: the port does not come or go.
        match orders.recv_timeout(wait) {
            Ok(Order::Unplug(done)) => {
                let _ = port.unplug();
                let _ = done.send(());
            }
            Ok(Order::Replug(done)) => {
                let _ = port.replug();
                answers.begin();
                let _ = done.send(());
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return,
        }
        if let Ok(bytes) = port.read(LOOK) {
            let answer = answers.hear(&bytes);
            if !answer.is_empty() {
                let _ = port.write(&answer);
            }
        }
    }
}

fn serve_tcp(
    listener: TcpListener,
    address: SocketAddr,
    mut answers: impl Answers,
    orders: &Receiver<Order>,
) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let (mut listener, mut peer) = (Some(listener), None::<TcpStream>);
    let mut buffer = [0; 1024];
    loop {
        match orders.recv_timeout(LOOK) {
            Ok(Order::Unplug(done)) => {
                (listener, peer) = (None, None);
                let _ = done.send(());
            }
            Ok(Order::Replug(done)) => {
                let fresh = TcpListener::bind(address)?;
                fresh.set_nonblocking(true)?;
                listener = Some(fresh);
                let _ = done.send(());
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Ok(()),
        }
        if let Some(Ok((stream, _))) = listener.as_ref().map(TcpListener::accept) {
            stream.set_nonblocking(true)?;
            stream.set_nodelay(true)?;
            answers.begin();
            peer = Some(stream);
        }
        let Some(stream) = &mut peer else { continue };
        let count = match stream.read(&mut buffer) {
            Ok(0) => {
                peer = None;
                continue;
            }
            Ok(count) => count,
            Err(error) if error.kind() == io::ErrorKind::WouldBlock => 0,
            Err(_) => {
                peer = None;
                continue;
            }
        };
        let answer = answers.hear(buffer.get(..count).unwrap_or_default());
        if !answer.is_empty() && stream.write_all(&answer).is_err() {
            peer = None;
        }
    }
}
