//! A port that a verb reads by itself. The daemon must not have it open: a port has one reader.

use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::serial::{in_words, open_port, resolve};
use pullmark_daemon::intake::dialect::Dialect;
use pullmark_daemon::service::profiles;
use pullmark_schema::profile::SerialSettings;
use std::io::{self, Read, Write as _};
use std::path::Path;
use std::time::{Duration, Instant};

/// An open port and when it was opened.
pub(super) struct Port {
    port: Box<dyn serialport::SerialPort>,
    opened: Instant,
}

/// What a look at a port brought.
pub(super) enum Came {
    /// Bytes, and when, in µs since the port was opened.
    Bytes(u64, Vec<u8>),
    /// Nothing within the patience.
    Nothing,
    /// The port is gone.
    Gone(u64),
}

impl Port {
    pub(super) fn open(address: &str, settings: &SerialSettings) -> miette::Result<Self> {
        let path = resolve(address).into_diagnostic()?;
        let path = path.to_string_lossy();
        let mut port: Box<dyn serialport::SerialPort> = Box::new(
            open_port(&path, settings).map_err(|error| miette!("{}", in_words(&path, &error)))?,
        );
        port.set_timeout(Duration::from_millis(20))
            .into_diagnostic()?;
        Ok(Self {
            port,
            opened: Instant::now(),
        })
    }

    /// µs since the port was opened.
    pub(super) fn now(&self) -> u64 {
        u64::try_from(self.opened.elapsed().as_micros()).unwrap_or(u64::MAX)
    }

    pub(super) fn read(&mut self) -> Came {
        let mut buffer = [0; 4096];
        match self.port.read(&mut buffer) {
            Ok(0) => Came::Gone(self.now()),
            Ok(count) => Came::Bytes(self.now(), buffer.get(..count).unwrap_or_default().to_vec()),
            Err(error)
                if matches!(
                    error.kind(),
                    io::ErrorKind::TimedOut | io::ErrorKind::Interrupted
                ) =>
            {
                Came::Nothing
            }
            Err(_) => Came::Gone(self.now()),
        }
    }

    pub(super) fn write(&mut self, bytes: &[u8]) -> miette::Result<()> {
        self.port
            .write_all(bytes)
            .into_diagnostic()
            .wrap_err("the tool does not take what it is asked with")
    }
}

/// The profiles that the daemon would use, and those of a file.
pub(super) fn find_profile(name: &str) -> miette::Result<Dialect> {
    let known =
        profiles(Config::read(None).into_diagnostic()?.profiles.as_deref()).into_diagnostic()?;
    if Path::new(name).is_file() {
        let dialect = Dialect::from_toml(&super::read_text(Path::new(name))?)
            .into_diagnostic()
            .wrap_err_with(|| name.to_owned())?;
        return Ok(dialect);
    }
    if let Some(dialect) = known.find(name) {
        return Ok(dialect.clone());
    }
    let names: Vec<&str> = known.names().collect();
    Err(miette!(
        "there is no line profile {name:?}, nor a file of that name; known are: {}",
        names.join(", ")
    ))
}
