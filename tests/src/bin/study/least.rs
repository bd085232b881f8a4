//! The least way from a tool to a client that there can be with these parts: one thread that reads the serial port, commits
//! one row and writes to a TCP connection. Nothing is parsed, decided, encoded or served. What a daemon takes beyond that is
//! its own.

use miette::IntoDiagnostic as _;
use serialport::{SerialPort as _, TTYPort};
use std::io::{Read as _, Write as _};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::time::{Duration, Instant};

use crate::wire::Bare;

/// A line as long as a wrench's.
const LINE: &[u8] = b"$PULL,1042,5.00,N.m*1F\r\n";

/// The wrench's end of the port and the client's end of the connection; the thread between them ends with the port.
pub(crate) struct Least {
    wrench: TTYPort,
    client: TcpStream,
    answer: usize,
}

impl Least {
    pub(crate) fn start(folder: &Path) -> miette::Result<Self> {
        let (wrench, mut port) = TTYPort::pair().into_diagnostic()?;
        port.set_timeout(Duration::from_secs(1)).into_diagnostic()?;
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).into_diagnostic()?;
        let address = listener.local_addr().into_diagnostic()?;
        let client = TcpStream::connect(address).into_diagnostic()?;
        let (mut served, _) = listener.accept().into_diagnostic()?;
        served.set_nodelay(true).into_diagnostic()?;
        let mut ledger = Bare::open(folder, "least.sqlite")?;
        let answer = ledger.row().to_vec();
        let length = answer.len();
        std::thread::spawn(move || {
            let mut buffer = [0; 256];
            loop {
                match port.read(&mut buffer) {
                    Ok(count)
                        if buffer
                            .get(..count)
                            .is_some_and(|read| read.ends_with(b"\n")) =>
                    {
                        let done = ledger.commit().is_ok() && served.write_all(&answer).is_ok();
                        if !done {
                            return;
                        }
                    }
                    Ok(0) => return,
                    Ok(_) => {}
                    Err(error) if error.kind() == std::io::ErrorKind::TimedOut => {}
                    Err(_) => return,
                }
            }
        });
        Ok(Self {
            wrench,
            client,
            answer: length,
        })
    }

    pub(crate) fn pull(&mut self) -> miette::Result<Duration> {
        let mut answer = vec![0; self.answer];
        let start = Instant::now();
        self.wrench.write_all(LINE).into_diagnostic()?;
        self.client.read_exact(&mut answer).into_diagnostic()?;
        Ok(start.elapsed())
    }
}
