//! Tools that type like a keyboard: `keys:/dev/input/by-id/…`. The device is taken for this daemon alone, so that what the tool
//! types lands nowhere else.
//!
//! What has been tried: the reading of events, in [`crate::intake::keys`]. Opening and taking a real device has not: it needs one.

use super::listening::{Over, Teller, Telling, since_1970};
use crate::intake::keys::EVENT;
use crate::intake::{Arrival, Intake};
use evdev::raw_stream::RawDevice;
use rustix::fs::{OFlags, fcntl_getfl, fcntl_setfl};
use rustix::io::Errno;
use std::io;
use std::path::PathBuf;
use std::time::Duration;
use tokio::io::unix::AsyncFd;

/// How long to wait before a device is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(250);
const RETRY_LONGEST: Duration = Duration::from_secs(2);

/// Where the tool is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Device(PathBuf);

impl Device {
    /// Nothing where it is another kind of address.
    pub(super) fn read(text: &str) -> Option<Self> {
        text.strip_prefix("keys:").map(|path| Self(path.into()))
    }
}

/// Listens until the loop is gone, or whoever started it wants it to end.
pub(super) async fn listen(mut teller: Teller, device: Device) {
    let _ = keep_listening(&mut teller, &device).await;
}

async fn keep_listening(teller: &mut Teller, device: &Device) -> Result<(), Over> {
    let mut wait = RETRY_FIRST;
    loop {
        let path = device.0.clone();
        let opened = tokio::task::spawn_blocking(move || open(&path));
        match opened.await.unwrap_or_else(|error| Err(error.to_string())) {
            Ok(keyboard) => {
                wait = RETRY_FIRST;
                teller.connected()?;
                read_on(teller, keyboard).await?;
            }
            Err(why) => teller.gone(why, None)?,
        }
        tokio::time::sleep(wait).await;
        wait = (wait * 2).min(RETRY_LONGEST);
    }
}

fn open(path: &std::path::Path) -> Result<RawDevice, String> {
    let in_words = |error: &io::Error| in_words(path, error);
    let mut device = RawDevice::open(path).map_err(|error| in_words(&error))?;
    let flags = fcntl_getfl(&device).map_err(|error| in_words(&error.into()))?;
    fcntl_setfl(&device, flags | OFlags::NONBLOCK).map_err(|error| in_words(&error.into()))?;
    device.grab().map_err(|error| in_words(&error))?;
    Ok(device)
}

fn in_words(path: &std::path::Path, error: &io::Error) -> String {
    let path = path.display();
    let errno = Errno::from_io_error(error);
    match error.kind() {
        io::ErrorKind::NotFound => format!(
            "{path} is not there: plug the tool in, and look below /dev/input/by-id for its name"
        ),
        io::ErrorKind::PermissionDenied => format!(
            "{path} may not be read: add the daemon's user to the group input, or let a udev rule give it the device, such as SUBSYSTEM==\"input\", ATTRS{{name}}==\"NAME OF THE TOOL\", GROUP=\"pullmark\""
        ),
        _ if errno == Some(Errno::BUSY) => {
            format!("{path} is taken by another program: close that one")
        }
        _ if errno == Some(Errno::NOTTY) || errno == Some(Errno::INVAL) => {
            format!("{path} is no input device: its name is below /dev/input/by-id")
        }
        _ => format!("{path} cannot be opened: {error}"),
    }
}

/// The device's readiness; see the serial ports for why by this constructor.
#[expect(deprecated, reason = "there is no other one without unsafe code")]
fn register(device: RawDevice) -> io::Result<AsyncFd<RawDevice>> {
    AsyncFd::new(device)
}

async fn read_on(teller: &mut Teller, device: RawDevice) -> Result<(), Over> {
    let device = match register(device) {
        Ok(device) => device,
        Err(error) => {
            let why = format!("{} cannot be listened at: {error}", teller.port.path);
            return teller.gone(why, None);
        }
    };
    let mut intake = Intake::new(teller.port.dialect.clone());
    let mut buffer = [0_u8; 64 * EVENT];
    loop {
        let Ok(count @ 1..) = read_some(&device, &mut buffer).await else {
            let port = &teller.port.path;
            let why = format!("{port} was unplugged, or the tool was switched off");
            return teller.gone(why, intake.partial());
        };
        let arrival = Arrival {
            at_us: teller.now_us(),
            after_silence: false,
            since_1970: Some(since_1970()),
        };
        let mut telling = Telling::new(teller);
        let bytes = buffer.get(..count).unwrap_or_default();
        intake.feed(bytes, arrival, |received| telling.tell(received));
        telling.end()?;
        teller.catch_up().await?;
    }
}

async fn read_some(device: &AsyncFd<RawDevice>, buffer: &mut [u8]) -> io::Result<usize> {
    loop {
        let mut ready = device.readable().await?;
        let read = ready.try_io(|device| {
            rustix::io::read(device.get_ref(), &mut *buffer).map_err(io::Error::from)
        });
        if let Ok(read) = read {
            return read;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_opened_is_told_in_words() {
        let told = |path: &str| open(std::path::Path::new(path)).err().unwrap_or_default();
        assert!(told("/dev/input/by-id/nothing").contains("plug the tool in"));
        assert!(
            told("/dev/null").contains("is no input device"),
            "{}",
            told("/dev/null")
        );
        let said = in_words(
            std::path::Path::new("/dev/input/event3"),
            &Errno::ACCESS.into(),
        );
        assert!(
            said.contains("group input") && said.contains("udev"),
            "{said}"
        );
        assert!(
            in_words(std::path::Path::new("x"), &Errno::BUSY.into()).contains("another program")
        );
    }
}
