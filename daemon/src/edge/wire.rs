//! A stream of bytes to a tool, whatever carries it: a serial port, or a connection over the network.

use super::serial::{in_words, open_port, resolve};
use pullmark_schema::profile::SerialSettings;
use rustix::net::sockopt;
use serialport::TTYPort;
use std::io::{self, Read as _, Write as _};
use std::time::Duration;
use tokio::io::unix::AsyncFd;
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;

/// A tool takes a command within this time, or it takes none.
const COMMAND_WAIT: Duration = Duration::from_millis(500);
/// A connection comes about within this time.
const CONNECT_WAIT: Duration = Duration::from_secs(3);
/// A peer that has died without a word is noticed after a silence of so long, and three probes so far apart.
const PROBE_AFTER: Duration = Duration::from_secs(5);
const PROBE_EVERY: Duration = Duration::from_secs(2);

/// Where an instrument is on the network.
fn tcp_address(address: &str) -> Option<&str> {
    address.strip_prefix("tcp://")
}

#[derive(Debug)]
pub(super) enum Wire {
    Serial(AsyncFd<TTYPort>),
    Network(TcpStream),
}

impl Wire {
    /// Opens what an address names; says why not, and what to do.
    pub(super) async fn open(address: &str, settings: &SerialSettings) -> Result<Self, String> {
        match tcp_address(address) {
            Some(peer) => connect(address, peer).await.map(Self::Network),
            None => open_serial(address, settings).await.map(Self::Serial),
        }
    }

    pub(super) const fn is_network(&self) -> bool {
        matches!(self, Self::Network(_))
    }

    /// Why it is gone.
    pub(super) fn gone(&self, address: &str, error: Option<&io::Error>) -> String {
        match (self, error) {
            (Self::Serial(_), Some(_)) => {
                format!("{address} was unplugged, or the tool was switched off")
            }
            (Self::Serial(_), None) => format!("the tool on {address} hung up"),
            (Self::Network(_), Some(error)) => {
                format!("the connection to {address} is lost: {error}")
            }
            (Self::Network(_), None) => format!("{address} has closed the connection"),
        }
    }

    /// Waits for bytes and reads them; nothing is lost where the waiting is given up.
    pub(super) async fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self {
            Self::Network(stream) => stream.read(buffer).await,
            Self::Serial(port) => loop {
                let mut ready = port.readable_mut().await?;
                let read = ready.try_io(|port| port.get_mut().read(buffer).map_err(or_nothing_yet));
                if let Ok(read) = read {
                    return read;
                }
            },
        }
    }

    /// Writes a command. One that the tool does not take in time is left: it may be a tool that is switched off.
    pub(super) async fn write(&mut self, command: &[u8]) -> io::Result<()> {
        let written = tokio::time::timeout(COMMAND_WAIT, async {
            match self {
                Self::Network(stream) => stream.write_all(command).await,
                Self::Serial(port) => write_serial(port, command).await,
            }
        });
        written.await.unwrap_or(Ok(()))
    }
}

async fn write_serial(port: &mut AsyncFd<TTYPort>, command: &[u8]) -> io::Result<()> {
    let mut rest = command;
    while !rest.is_empty() {
        let mut ready = port.writable_mut().await?;
        let written = ready.try_io(|port| port.get_mut().write(rest).map_err(or_nothing_yet));
        if let Ok(count) = written {
            rest = rest.get(count?..).unwrap_or_default();
        }
    }
    Ok(())
}

fn or_nothing_yet(error: io::Error) -> io::Error {
    match error.kind() {
        io::ErrorKind::TimedOut | io::ErrorKind::Interrupted => io::ErrorKind::WouldBlock.into(),
        _ => error,
    }
}

/// The port's readiness. The constructor that replaces this one is `unsafe`, because a type could close its descriptor
/// while it is registered; a `TTYPort` keeps its own until it is dropped.
#[expect(deprecated, reason = "there is no other one without unsafe code")]
fn register(port: TTYPort) -> io::Result<AsyncFd<TTYPort>> {
    AsyncFd::new(port)
}

/// Opening may take a while at some drivers, and must not hold up the thread that commits.
async fn open_serial(address: &str, settings: &SerialSettings) -> Result<AsyncFd<TTYPort>, String> {
    let (wanted, settings) = (address.to_owned(), settings.clone());
    let opened = tokio::task::spawn_blocking(move || {
        let path = resolve(&wanted).map_err(|error| error.to_string())?;
        let path = path.to_string_lossy();
        open_port(&path, &settings).map_err(|error| in_words(&path, &error))
    });
    let port = opened.await.map_err(|error| error.to_string())??;
    register(port).map_err(|error| format!("{address} cannot be listened at: {error}"))
}

async fn connect(address: &str, peer: &str) -> Result<TcpStream, String> {
    let peer = peer.trim_end_matches('/');
    if peer
        .rsplit_once(':')
        .is_none_or(|(_, port)| port.parse::<u16>().is_err())
    {
        return Err(format!("{address} is no address: write tcp://NAME:PORT"));
    }
    let stream = tokio::time::timeout(CONNECT_WAIT, TcpStream::connect(peer))
        .await
        .map_err(|_| {
            format!("{address} does not answer: is the instrument switched on and in the same network?")
        })?
        .map_err(|error| match error.kind() {
            io::ErrorKind::ConnectionRefused => format!(
                "{address} takes no connection: is its network interface switched on, and is the port number right?"
            ),
            _ => format!("{address} cannot be reached: {error}"),
        })?;
    keep_alive(&stream).map_err(|error| format!("{address} cannot be listened at: {error}"))?;
    Ok(stream)
}

/// A question must not wait for more to send, and a peer whose plug was pulled has to be noticed.
fn keep_alive(stream: &TcpStream) -> io::Result<()> {
    stream.set_nodelay(true)?;
    sockopt::set_socket_keepalive(stream, true)?;
    sockopt::set_tcp_keepidle(stream, PROBE_AFTER)?;
    sockopt::set_tcp_keepintvl(stream, PROBE_EVERY)?;
    sockopt::set_tcp_keepcnt(stream, 3)?;
    Ok(())
}
