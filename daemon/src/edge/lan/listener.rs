//! Connections from the network: each is greeted with TLS in a task of its own, so that a slow one keeps nobody waiting, and
//! there are only so many, in all and from one address.

use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use std::collections::HashMap;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, AsyncWriteExt as _, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::mpsc::{Receiver, Sender, channel};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::server::TlsStream;

use crate::edge::http::Ends;

/// A greeting takes no longer than this.
const GREETING: Duration = Duration::from_secs(10);
/// So many connections are open at most, and so many from one address: a browser opens six.
const MOST: usize = 128;
const MOST_OF_ONE: usize = 24;
/// After this long without a connection that could be taken, it is tried again.
const PAUSE: Duration = Duration::from_millis(200);
/// The first byte of a TLS greeting (RFC 8446, 5.1: handshake).
const HANDSHAKE: u8 = 22;

const PLAIN: &[u8] = b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\nConnection: close\r\n\r\n\
                       This address is served over HTTPS alone: begin it with https://\n";

/// How many connections there are from each address.
type Counts = Arc<Mutex<HashMap<IpAddr, usize>>>;

/// One connection's place; it is given up when this is dropped.
struct Seat {
    counts: Counts,
    of: IpAddr,
}

impl Seat {
    fn take(counts: &Counts, of: IpAddr) -> Option<Self> {
        let mut known = counts.lock().unwrap_or_else(PoisonError::into_inner);
        let all: usize = known.values().sum();
        let one = known.entry(of).or_default();
        if all >= MOST || *one >= MOST_OF_ONE {
            return None;
        }
        *one += 1;
        let counts = Arc::clone(counts);
        Some(Self { counts, of })
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut known = self.counts.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(one) = known.get_mut(&self.of) {
            *one -= 1;
            if *one == 0 {
                known.remove(&self.of);
            }
        }
    }
}

/// A connection that was greeted.
pub struct Greeted {
    stream: TlsStream<TcpStream>,
    ends: Ends,
    _seat: Seat,
}

/// Listens for connections and greets them.
pub struct TlsListener {
    tcp: TcpListener,
    acceptor: TlsAcceptor,
    counts: Counts,
    greeted: Receiver<Greeted>,
    tell: Sender<Greeted>,
}

impl TlsListener {
    /// On a port that is open already.
    pub fn new(tcp: TcpListener, acceptor: TlsAcceptor) -> Self {
        let (tell, greeted) = channel(MOST);
        Self {
            tcp,
            acceptor,
            counts: Counts::default(),
            greeted,
            tell,
        }
    }

    fn greet(&self, stream: TcpStream, there: SocketAddr) {
        let Some(seat) = Seat::take(&self.counts, there.ip()) else {
            tracing::warn!(from = %there, "refused a connection: there are too many");
            return;
        };
        let (acceptor, tell) = (self.acceptor.clone(), self.tell.clone());
        tokio::spawn(async move {
            let greeted = tokio::time::timeout(GREETING, greet(stream, there, &acceptor)).await;
            match greeted {
                Ok(Ok((stream, ends))) => {
                    let greeted = Greeted {
                        stream,
                        ends,
                        _seat: seat,
                    };
                    // Nobody takes it only when the daemon goes down.
                    let _ = tell.send(greeted).await;
                }
                Ok(Err(error)) => {
                    tracing::debug!(from = %there, %error, "a connection was not greeted");
                }
                Err(_) => tracing::debug!(from = %there, "a connection did not greet in time"),
            }
        });
    }
}

async fn greet(
    mut stream: TcpStream,
    there: SocketAddr,
    acceptor: &TlsAcceptor,
) -> io::Result<(TlsStream<TcpStream>, Ends)> {
    stream.set_nodelay(true)?;
    let here = stream.local_addr()?;
    let mut first = [0];
    stream.peek(&mut first).await?;
    if first != [HANDSHAKE] {
        tracing::warn!(from = %there, "refused a connection without TLS");
        stream.write_all(PLAIN).await?;
        stream.shutdown().await?;
        return Err(io::Error::other("it spoke without TLS"));
    }
    let stream = acceptor.accept(stream).await?;
    Ok((stream, Ends { here, there }))
}

impl Listener for TlsListener {
    type Io = Greeted;
    type Addr = Ends;

    async fn accept(&mut self) -> (Greeted, Ends) {
        loop {
            tokio::select! {
                Some(greeted) = self.greeted.recv() => {
                    let ends = greeted.ends;
                    return (greeted, ends);
                }
                accepted = self.tcp.accept() => match accepted {
                    Ok((stream, there)) => self.greet(stream, there),
                    Err(error) => {
                        tracing::debug!(%error, "a connection could not be taken");
                        tokio::time::sleep(PAUSE).await;
                    }
                },
            }
        }
    }

    fn local_addr(&self) -> io::Result<Ends> {
        let here = self.tcp.local_addr()?;
        Ok(Ends { here, there: here })
    }
}

impl Connected<IncomingStream<'_, TlsListener>> for Ends {
    fn connect_info(stream: IncomingStream<'_, TlsListener>) -> Self {
        *stream.remote_addr()
    }
}

impl AsyncRead for Greeted {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, buffer)
    }
}

impl AsyncWrite for Greeted {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}
