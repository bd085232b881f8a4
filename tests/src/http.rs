//! A small HTTP/1.1 client that waits (RFC 9112): one request a connection, bodies by length, chunked or up to the end;
//! and server-sent events (WHATWG HTML) read block by block. Written here so that the daemon's own client is not what
//! the daemon is tested with.

use crate::PATIENCE;
use crate::network::{Network, Tls};
use pullmark_schema::entry::Entry;
use std::fmt::Write as _;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::os::unix::net::UnixStream;
use std::path::PathBuf;
use std::time::Instant;

/// A way to a daemon.
#[derive(Debug, Clone)]
pub enum Http {
    /// Over its socket, as the command line does.
    Socket(PathBuf),
    /// Over loopback, as the page does.
    Loopback(SocketAddr),
    /// From the network, as a tablet does.
    Network(Network),
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The status.
    pub status: u16,
    /// The headers, names in small letters.
    pub headers: Vec<(String, String)>,
    /// The body.
    pub body: Vec<u8>,
}

impl Answer {
    /// A header's value.
    pub fn header(&self, name: &str) -> Option<&str> {
        header(&self.headers, name)
    }

    /// The body as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("no JSON ({error}): {}", self.text()))
    }

    /// The body as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

fn header<'h>(headers: &'h [(String, String)], name: &str) -> Option<&'h str> {
    headers
        .iter()
        .find(|(known, _)| known == name)
        .map(|(_, value)| value.as_str())
}

impl Http {
    /// Gets something that is there.
    #[track_caller]
    pub fn get(&self, path: &str) -> Answer {
        let answer = self
            .request("GET", path, &[], b"")
            .expect("the daemon answers");
        assert_eq!(answer.status, 200, "GET {path}: {}", answer.text());
        answer
    }

    /// Posts JSON.
    pub fn post(&self, path: &str, body: &[u8]) -> io::Result<Answer> {
        self.request("POST", path, &[("Content-Type", "application/json")], body)
    }

    /// Sends a request and reads the whole answer. `Host` is right unless it is among the headers.
    pub fn request(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> io::Result<Answer> {
        let (status, headers, mut reader) = self.send(method, path, headers, body)?;
        let mut body = Vec::new();
        reader.read_to_end(&mut body)?;
        Ok(Answer {
            status,
            headers,
            body,
        })
    }

    /// Opens the stream of entries; `after` goes into the header by which a browser resumes.
    pub fn events(&self, after: Option<u64>) -> io::Result<Events> {
        self.events_with(after, &[])
    }

    /// The same with further headers.
    pub fn events_with(&self, after: Option<u64>, more: &[(&str, &str)]) -> io::Result<Events> {
        let after = after.map(|after| after.to_string());
        let headers: Vec<(&str, &str)> = after
            .iter()
            .map(|after| ("Last-Event-ID", after.as_str()))
            .chain(more.iter().copied())
            .collect();
        let (status, headers, body) = self.send("GET", "/v1/events", &headers, b"")?;
        let kind = header(&headers, "content-type").unwrap_or_default();
        if status != 200 || !kind.starts_with("text/event-stream") {
            return Err(io::Error::other(format!(
                "no events: status {status}, {kind:?}"
            )));
        }
        Ok(Events {
            lines: BufReader::new(body),
        })
    }

    fn send(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> io::Result<Head> {
        let mut stream = self.connect()?;
        let mut text = format!(
            "{method} {path} HTTP/1.1\r\nConnection: close\r\nContent-Length: {}\r\n",
            body.len()
        );
        if !headers
            .iter()
            .any(|(name, _)| name.eq_ignore_ascii_case("host"))
        {
            // writing to a string cannot fail
            let _ = write!(text, "Host: {}\r\n", self.host());
        }
        for (name, value) in headers {
            let _ = write!(text, "{name}: {value}\r\n");
        }
        text.push_str("\r\n");
        stream.write_all(text.as_bytes())?;
        stream.write_all(body)?;
        stream.flush()?;
        read_head(BufReader::new(stream))
    }

    fn host(&self) -> String {
        match self {
            Self::Socket(_) => "pullmark".to_owned(),
            Self::Loopback(address) => address.to_string(),
            Self::Network(network) => network.address.to_string(),
        }
    }

    fn connect(&self) -> io::Result<Stream> {
        Ok(match self {
            Self::Socket(path) => {
                let stream = UnixStream::connect(path)?;
                stream.set_read_timeout(Some(PATIENCE))?;
                stream.set_write_timeout(Some(PATIENCE))?;
                Stream::Unix(stream)
            }
            Self::Loopback(address) => {
                let stream = TcpStream::connect(address)?;
                stream.set_read_timeout(Some(PATIENCE))?;
                stream.set_write_timeout(Some(PATIENCE))?;
                Stream::Tcp(stream)
            }
            Self::Network(network) => Stream::Tls(Box::new(network.connect()?)),
        })
    }
}

#[derive(Debug)]
enum Stream {
    Unix(UnixStream),
    Tcp(TcpStream),
    Tls(Box<Tls>),
}

impl Read for Stream {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self {
            Self::Unix(stream) => stream.read(buffer),
            Self::Tcp(stream) => stream.read(buffer),
            // Without a closing word the other side has gone all the same.
            Self::Tls(stream) => match stream.read(buffer) {
                Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(0),
                read => read,
            },
        }
    }
}

impl Write for Stream {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self {
            Self::Unix(stream) => stream.write(bytes),
            Self::Tcp(stream) => stream.write(bytes),
            Self::Tls(stream) => stream.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match self {
            Self::Unix(stream) => stream.flush(),
            Self::Tcp(stream) => stream.flush(),
            Self::Tls(stream) => stream.flush(),
        }
    }
}

type Head = (u16, Vec<(String, String)>, Body);

fn wrong(what: impl Into<String>) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, what.into())
}

/// A line without its end; an end of the stream in the middle is an error.
fn line(stream: &mut impl BufRead) -> io::Result<String> {
    let mut text = String::new();
    stream.read_line(&mut text)?;
    let text = text
        .strip_suffix('\n')
        .ok_or_else(|| io::Error::from(io::ErrorKind::UnexpectedEof))?;
    Ok(text.trim_end_matches('\r').to_owned())
}

fn read_head(mut stream: BufReader<Stream>) -> io::Result<Head> {
    let first = line(&mut stream)?;
    let status = first
        .strip_prefix("HTTP/1.1 ")
        .and_then(|rest| rest.get(..3))
        .and_then(|code| code.parse().ok());
    let status = status.ok_or_else(|| wrong(format!("no status line: {first:?}")))?;
    let mut headers = Vec::new();
    loop {
        let text = line(&mut stream)?;
        if text.is_empty() {
            break;
        }
        let (name, value) = text
            .split_once(':')
            .ok_or_else(|| wrong(format!("no header: {text:?}")))?;
        headers.push((name.to_ascii_lowercase(), value.trim().to_owned()));
    }
    let is_chunked = header(&headers, "transfer-encoding")
        .is_some_and(|kind| kind.eq_ignore_ascii_case("chunked"));
    let left = match header(&headers, "content-length") {
        _ if is_chunked => Left::BetweenChunks,
        Some(length) => Left::Bytes(
            length
                .parse()
                .map_err(|_| wrong("a length that is no number"))?,
        ),
        None => Left::ToTheEnd,
    };
    Ok((status, headers, Body { stream, left }))
}

/// What is still to come of a body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Left {
    Bytes(u64),
    InChunk(u64),
    BetweenChunks,
    ToTheEnd,
    Nothing,
}

/// The body of an answer.
#[derive(Debug)]
struct Body {
    stream: BufReader<Stream>,
    left: Left,
}

impl Body {
    fn next_chunk(&mut self) -> io::Result<()> {
        let text = line(&mut self.stream)?;
        let size = text.split(';').next().unwrap_or_default().trim();
        let size =
            u64::from_str_radix(size, 16).map_err(|_| wrong(format!("no chunk size: {text:?}")))?;
        if size > 0 {
            self.left = Left::InChunk(size);
            return Ok(());
        }
        while !line(&mut self.stream)?.is_empty() {}
        self.left = Left::Nothing;
        Ok(())
    }

    fn take(&mut self, buffer: &mut [u8], most: u64) -> io::Result<usize> {
        let most = usize::try_from(most)
            .unwrap_or(usize::MAX)
            .min(buffer.len());
        let count = self.stream.read(&mut buffer[..most])?;
        if count == 0 && most > 0 {
            Err(io::ErrorKind::UnexpectedEof.into())
        } else {
            Ok(count)
        }
    }
}

impl Read for Body {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.left == Left::BetweenChunks {
            self.next_chunk()?;
        }
        match self.left {
            Left::Nothing | Left::Bytes(0) | Left::BetweenChunks => Ok(0),
            Left::ToTheEnd => self.stream.read(buffer),
            Left::Bytes(left) => {
                let count = self.take(buffer, left)?;
                self.left = Left::Bytes(left - count as u64);
                Ok(count)
            }
            Left::InChunk(left) => {
                let count = self.take(buffer, left)?;
                self.left = Left::InChunk(left - count as u64);
                if self.left == Left::InChunk(0) {
                    line(&mut self.stream)?;
                    self.left = Left::BetweenChunks;
                }
                Ok(count)
            }
        }
    }
}

/// An entry as it was heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    /// The event's id.
    pub sequence: u64,
    /// The event's name.
    pub kind: String,
    /// The event's data: the entry's canonical JSON.
    pub body: Vec<u8>,
}

impl Heard {
    /// What it says.
    pub fn entry(&self) -> Entry {
        serde_json::from_slice(&self.body).expect("an event holds an entry")
    }
}

/// Entries as they come.
#[derive(Debug)]
pub struct Events {
    lines: BufReader<Body>,
}

impl Events {
    /// The next entry. An error means that the daemon went away, or told of no entry for too long: the comments by which
    /// it keeps the connection alive are none.
    pub fn hear(&mut self) -> io::Result<Heard> {
        let end = Instant::now() + PATIENCE;
        let (mut id, mut kind, mut data) = (None, String::new(), Vec::new());
        loop {
            let text = line(&mut self.lines)?;
            if Instant::now() > end {
                return Err(io::ErrorKind::TimedOut.into());
            }
            match text.split_once(':') {
                None if text.is_empty() && !data.is_empty() => break,
                Some(("id", value)) => id = value.trim_start().parse().ok(),
                Some(("event", value)) => value.trim_start().clone_into(&mut kind),
                Some(("data", value)) => {
                    data.push(value.strip_prefix(' ').unwrap_or(value).to_owned());
                }
                None | Some(_) => {}
            }
        }
        let sequence = id.ok_or_else(|| wrong("an event without a number"))?;
        Ok(Heard {
            sequence,
            kind,
            body: data.join("\n").into_bytes(),
        })
    }

    /// Waits for an entry; those before it are handed back along with it, it is the last.
    #[track_caller]
    pub fn wait_for(&mut self, is_wanted: impl Fn(&Heard) -> bool) -> Vec<Heard> {
        let end = Instant::now() + PATIENCE;
        let mut all = Vec::new();
        loop {
            let heard = self.hear().unwrap_or_else(|error| {
                panic!("no such entry came ({error}); heard {}", kinds(&all))
            });
            let is_last = is_wanted(&heard);
            all.push(heard);
            if is_last {
                return all;
            }
            assert!(
                Instant::now() < end,
                "no such entry came; heard {}",
                kinds(&all)
            );
        }
    }

    /// Waits for an entry of a kind.
    #[track_caller]
    pub fn wait_for_kind(&mut self, kind: &str) -> Heard {
        self.wait_for(|heard| heard.kind == kind)
            .pop()
            .expect("the last one is the one")
    }
}

fn kinds(all: &[Heard]) -> String {
    all.iter()
        .map(|heard| format!("{} {}", heard.sequence, heard.kind))
        .collect::<Vec<_>>()
        .join(", ")
}
