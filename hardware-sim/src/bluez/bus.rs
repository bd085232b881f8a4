//! A private message bus: the real `dbus-daemon`, with a socket in a folder of its own and a policy that lets everybody do
//! everything.

use super::BluezError;
use std::io;
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// How long the bus may take to come up.
const PATIENCE: Duration = Duration::from_secs(10);

/// A bus. Dropping it is its death.
#[derive(Debug)]
pub struct Bus {
    daemon: Option<Child>,
    socket: PathBuf,
    settings: PathBuf,
    address: String,
}

impl Bus {
    /// Starts a bus with its socket in a folder that exists.
    pub fn start(folder: &Path) -> Result<Self, BluezError> {
        let socket = folder.join("bus");
        let address = format!("unix:path={}", socket.display());
        let settings = folder.join("bus.conf");
        let text = format!(
            "<!DOCTYPE busconfig PUBLIC \"-//freedesktop//DTD D-BUS Bus Configuration 1.0//EN\" \
             \"http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd\">\n<busconfig><type>custom</type>\
             <listen>{address}</listen><auth>EXTERNAL</auth><policy context=\"default\"><allow own=\"*\"/>\
             <allow send_destination=\"*\" eavesdrop=\"true\"/><allow eavesdrop=\"true\"/></policy></busconfig>\n"
        );
        std::fs::write(&settings, text).map_err(BluezError::Bus)?;
        let mut bus = Self {
            daemon: None,
            socket,
            settings,
            address,
        };
        bus.restart()?;
        Ok(bus)
    }

    /// The address for a program that knows where to ask.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// The environment variable of a program that is to take this bus for the system's.
    pub fn variable(&self) -> (&'static str, &str) {
        ("DBUS_SYSTEM_BUS_ADDRESS", &self.address)
    }

    /// Comes up, again or for the first time, at the same address.
    pub fn restart(&mut self) -> Result<(), BluezError> {
        self.kill();
        let _ = std::fs::remove_file(&self.socket);
        let daemon = Command::new("dbus-daemon")
            .arg(format!("--config-file={}", self.settings.display()))
            .args(["--nofork", "--nopidfile"])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .map_err(BluezError::Bus)?;
        self.daemon = Some(daemon);
        let until = Instant::now() + PATIENCE;
        while UnixStream::connect(&self.socket).is_err() {
            if Instant::now() >= until {
                return Err(BluezError::Bus(io::ErrorKind::TimedOut.into()));
            }
            thread::sleep(Duration::from_millis(5));
        }
        Ok(())
    }

    /// It dies, and nothing says so.
    pub fn kill(&mut self) {
        if let Some(mut daemon) = self.daemon.take() {
            // It is gone either way.
            let _ = daemon.kill();
            let _ = daemon.wait();
        }
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        self.kill();
    }
}
