//! A serial port that is a pseudo-terminal: the simulated tool holds one end, the logging program opens the other
//! through a link with a fixed name.
//!
//! It is not a serial line: any speed is accepted, data bits and parity stay as they are, and there are no modem lines.
//! Sources: POSIX `posix_openpt`, `grantpt`, `unlockpt`, `ptsname`; the Linux pages pty(7) and `ioctl_tty(2)`.
//!
//! Three things that are not plain:
//! - The simulator opens the program's end once itself, makes it raw and keeps it. Without raw mode the kernel would echo
//!   what waits before the program opens, and turn `\r\n` into `\n\n`. Without the kept descriptor the simulator would
//!   read an error as soon as the program closes the port.
//! - The kernel drops what the program has not read when the tool is unplugged. [`Pty::drained`] waits for it.
//! - The kept descriptor also keeps the "exclusive" mark (`TIOCEXCL`) of a program that was killed, which a real port
//!   forgets. So the mark is taken off at every write and read; the program's own file lock still keeps others out.

mod name;

use std::cell::Cell;
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::os::fd::OwnedFd;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::fs::{Mode, OFlags, fcntl_getfl, fcntl_setfl, open};
use rustix::io::{Errno, ioctl_fionread};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, ioctl_tiocnxcl, tcgetattr, tcsetattr};
use thiserror::Error;

/// How long a write waits for room before it says that nobody reads.
pub const WRITE_WAIT: Duration = Duration::from_secs(10);
/// How often [`Pty::drained`] looks.
const LOOK_EVERY: Duration = Duration::from_micros(500);
/// So many unread bytes fit the front buffer of the terminal (Linux: 4096, one is kept free). Up to here the count of
/// waiting bytes is exact.
const FRONT: usize = 4095;
/// With more, the rest waits behind the front buffer. A reader that has just emptied the front, and is interrupted before
/// it asks for the rest, shows zero although more is to come. So zero must last so long. Half a
/// millisecond was seen to be too short on a busy machine.
const QUIET: Duration = Duration::from_millis(100);
const PTY_FOLDER: &str = "/dev/pts";

/// What can go wrong with the port.
#[derive(Debug, Error)]
pub enum PtyError {
    /// The system gives no pseudo-terminal.
    #[error(
        "the system gives no pseudo-terminal: {0}. Is /dev/pts mounted, and are not too many terminals open?"
    )]
    NoTerminal(io::Error),
    /// The name of the link belongs to something else.
    #[error(
        "{} exists and is not a link to a pseudo-terminal. Choose another name for the link", link.display()
    )]
    NameTaken {
        /// The wanted link.
        link: PathBuf,
    },
    /// Another simulated tool has the name, plugged in or not.
    #[error(
        "another simulated tool that is running has the name {}. Stop that one, or choose another name", link.display()
    )]
    NameHeld {
        /// The wanted link.
        link: PathBuf,
    },
    /// The link could not be made, read or removed.
    #[error("the link {}: {source}. Does its folder exist, and may you write there?", link.display())]
    Link {
        /// The link.
        link: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// There is no port now.
    #[error("the tool at {} is unplugged. Plug it in again first", link.display())]
    Unplugged {
        /// The link that is gone.
        link: PathBuf,
    },
    /// There is a port already.
    #[error("the tool at {} is plugged in already", link.display())]
    Plugged {
        /// The link.
        link: PathBuf,
    },
    /// The buffer of the port is full.
    #[error("nobody reads from {}: the last {left} bytes found no room within {waited:?}", link.display())]
    NobodyReads {
        /// The link.
        link: PathBuf,
        /// Bytes that were not written.
        left: usize,
        /// How long it was tried.
        waited: Duration,
    },
    /// A system call on the terminal failed.
    #[error("the pseudo-terminal at {}: {source}", link.display())]
    Terminal {
        /// The link.
        link: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// A pseudo-terminal behind a link. Dropping it unplugs it.
#[derive(Debug)]
pub struct Pty {
    link: PathBuf,
    ends: Option<Ends>,
    /// Bytes written since the program was last known to have read everything.
    unproved: Cell<usize>,
    /// Holds the name, also while unplugged.
    _name: UnixListener,
}

/// What exists only while the tool is plugged in.
#[derive(Debug)]
struct Ends {
    tool: OwnedFd,
    kept: OwnedFd,
    device: PathBuf,
}

impl Pty {
    /// Makes a pseudo-terminal and a link to it. The folder of the link must exist. A link to a pseudo-terminal that a
    /// killed simulator left behind is replaced; anything else under that name is left alone and is an error.
    pub fn open(link: impl Into<PathBuf>) -> Result<Self, PtyError> {
        let link = link.into();
        let mut pty = Self {
            _name: name::hold(&link)?,
            link,
            ends: None,
            unproved: Cell::new(0),
        };
        pty.replug()?;
        Ok(pty)
    }

    /// The name that the logging program opens.
    pub fn link(&self) -> &Path {
        &self.link
    }

    /// The terminal behind the link, such as `/dev/pts/3`, while plugged in.
    pub fn device(&self) -> Option<&Path> {
        self.ends.as_ref().map(|ends| ends.device.as_path())
    }

    /// Whether there is a port now.
    pub fn is_plugged(&self) -> bool {
        self.ends.is_some()
    }

    /// Sends all bytes to the logging program, or to the buffer if it has not opened the port yet. Waits at most
    /// [`WRITE_WAIT`] for room.
    pub fn write(&self, bytes: &[u8]) -> Result<(), PtyError> {
        self.write_within(bytes, WRITE_WAIT)
    }

    /// The same with a wait of your own; zero means that all must fit now.
    pub fn write_within(&self, bytes: &[u8], wait: Duration) -> Result<(), PtyError> {
        let ends = self.ends()?;
        self.forget_exclusive()?;
        self.count(bytes.len())?;
        let end = deadline(wait);
        let mut rest = bytes;
        while !rest.is_empty() {
            match rustix::io::write(&ends.tool, rest) {
                Ok(count) => rest = rest.get(count..).unwrap_or_default(),
                Err(Errno::INTR) => {}
                Err(Errno::AGAIN) if Instant::now() < end => {
                    self.wait_for(&ends.tool, PollFlags::OUT, end)?;
                }
                Err(Errno::AGAIN) => return Err(self.nobody_reads(rest.len(), wait)),
                Err(errno) => return Err(self.terminal(errno)),
            }
        }
        Ok(())
    }

    /// What the logging program wrote to the tool: waits at most `wait` for the first byte, then gives what is there.
    /// Empty if it wrote nothing.
    pub fn read(&self, wait: Duration) -> Result<Vec<u8>, PtyError> {
        let ends = self.ends()?;
        self.forget_exclusive()?;
        self.wait_for(&ends.tool, PollFlags::IN, deadline(wait))?;
        let mut all = Vec::new();
        let mut buffer = [0_u8; 1024];
        loop {
            match rustix::io::read(&ends.tool, &mut buffer) {
                Ok(0) | Err(Errno::AGAIN) => return Ok(all),
                Ok(count) => all.extend_from_slice(buffer.get(..count).unwrap_or_default()),
                Err(Errno::INTR) => {}
                Err(errno) => return Err(self.terminal(errno)),
            }
        }
    }

    /// Forgets the exclusive mark of a program that was killed, as a real port does when its last user is gone. Needed
    /// only if nothing is written or read before the program starts again; root may open the port regardless.
    pub fn forget_exclusive(&self) -> Result<(), PtyError> {
        ioctl_tiocnxcl(&self.ends()?.kept).map_err(|errno| self.terminal(errno))
    }

    /// How many bytes wait for the logging program. With a long backlog it is the front part only, of at most 4096
    /// bytes; it is zero only if nothing waits.
    pub fn waiting(&self) -> Result<u64, PtyError> {
        let ends = self.ends()?;
        // poll first: it makes the kernel hand over what is still between the two ends, which FIONREAD does not count.
        self.wait_for(&ends.kept, PollFlags::IN, Instant::now())?;
        ioctl_fionread(&ends.kept).map_err(|errno| self.terminal(errno))
    }

    /// Waits until the logging program has read everything, at most `wait`. False if something is still waiting then.
    /// After a backlog of more than 4095 bytes it takes a tenth of a second longer, to be sure.
    pub fn drained(&self, wait: Duration) -> Result<bool, PtyError> {
        let end = deadline(wait);
        let mut empty_since = None;
        loop {
            let now = Instant::now();
            if self.waiting()? == 0 {
                let since = *empty_since.get_or_insert(now);
                if self.unproved.get() <= FRONT || now.duration_since(since) >= QUIET {
                    self.unproved.set(0);
                    return Ok(true);
                }
            } else if now >= end {
                return Ok(false);
            } else {
                empty_since = None;
            }
            thread::sleep(LOOK_EVERY);
        }
    }

    /// Pulls the plug at once: the link is gone, the program's handle is dead, and **what it has not read is lost**.
    pub fn unplug(&mut self) -> Result<(), PtyError> {
        let Some(ends) = self.ends.take() else {
            return Err(PtyError::Unplugged {
                link: self.link.clone(),
            });
        };
        // The link goes first. After the terminal is closed its number may be given to someone else, and the link
        // would lead there.
        let removed = self.remove_link(&ends.device);
        drop(ends);
        removed
    }

    /// Plugs the tool in again: a new terminal under the same link.
    pub fn replug(&mut self) -> Result<(), PtyError> {
        if self.is_plugged() {
            return Err(PtyError::Plugged {
                link: self.link.clone(),
            });
        }
        let ends = Ends::make().map_err(|errno| PtyError::NoTerminal(errno.into()))?;
        self.clear_leftover()?;
        std::os::unix::fs::symlink(&ends.device, &self.link)
            .map_err(|source| self.link_error(source))?;
        self.ends = Some(ends);
        self.unproved.set(0);
        Ok(())
    }

    /// The name is ours, so a link to a pseudo-terminal under it is what a killed simulator left. The terminal it leads
    /// to may be alive again, for somebody else: the kernel reuses the numbers.
    fn clear_leftover(&self) -> Result<(), PtyError> {
        let taken = || PtyError::NameTaken {
            link: self.link.clone(),
        };
        match fs::symlink_metadata(&self.link) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(source) => return Err(self.link_error(source)),
            Ok(found) if !found.is_symlink() => return Err(taken()),
            Ok(_) => {}
        }
        let target = fs::read_link(&self.link).map_err(|source| self.link_error(source))?;
        if !target.starts_with(PTY_FOLDER) {
            return Err(taken());
        }
        fs::remove_file(&self.link).map_err(|source| self.link_error(source))
    }

    /// Removes the link only if it still leads to our own terminal.
    fn remove_link(&self, device: &Path) -> Result<(), PtyError> {
        let is_ours = fs::read_link(&self.link).is_ok_and(|target| target == device);
        if !is_ours {
            return Ok(());
        }
        fs::remove_file(&self.link).map_err(|source| self.link_error(source))
    }

    /// Keeps the sum of what may be unread small where that can be proved, so that [`Self::drained`] is exact and quick.
    fn count(&self, more: usize) -> Result<(), PtyError> {
        let before = self.unproved.get();
        let is_exact = before <= FRONT;
        let would_pass = before.saturating_add(more) > FRONT;
        let is_empty = is_exact && would_pass && self.waiting()? == 0;
        let before = if is_empty { 0 } else { before };
        self.unproved.set(before.saturating_add(more));
        Ok(())
    }

    fn ends(&self) -> Result<&Ends, PtyError> {
        self.ends.as_ref().ok_or_else(|| PtyError::Unplugged {
            link: self.link.clone(),
        })
    }

    fn wait_for(&self, end: &OwnedFd, what: PollFlags, until: Instant) -> Result<(), PtyError> {
        let left = until.saturating_duration_since(Instant::now());
        // It always fits, since a deadline is at most a day away; if not, do not wait.
        let left = Timespec::try_from(left).unwrap_or_default();
        match poll(&mut [PollFd::new(end, what)], Some(&left)) {
            Ok(_) | Err(Errno::INTR) => Ok(()),
            Err(errno) => Err(self.terminal(errno)),
        }
    }

    fn nobody_reads(&self, left: usize, waited: Duration) -> PtyError {
        PtyError::NobodyReads {
            link: self.link.clone(),
            left,
            waited,
        }
    }

    fn terminal(&self, errno: Errno) -> PtyError {
        PtyError::Terminal {
            link: self.link.clone(),
            source: errno.into(),
        }
    }

    fn link_error(&self, source: io::Error) -> PtyError {
        PtyError::Link {
            link: self.link.clone(),
            source,
        }
    }
}

/// No wait is longer than a day, so no duration can overflow the clock.
fn deadline(wait: Duration) -> Instant {
    const DAY: Duration = Duration::from_hours(24);
    Instant::now() + wait.min(DAY)
}

impl Drop for Pty {
    fn drop(&mut self) {
        // Nobody is left to hear of an error; "unplugged already" is none.
        let _ = self.unplug();
    }
}

impl Ends {
    fn make() -> Result<Self, Errno> {
        let tool = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC)?;
        grantpt(&tool)?;
        unlockpt(&tool)?;
        // Not blocking, so that a program that does not read cannot hold the simulator for ever.
        fcntl_setfl(&tool, fcntl_getfl(&tool)? | OFlags::NONBLOCK)?;
        let name = ptsname(&tool, Vec::new())?;
        let kept = open(
            name.as_c_str(),
            OFlags::RDWR | OFlags::NOCTTY | OFlags::CLOEXEC,
            Mode::empty(),
        )?;
        let mut settings = tcgetattr(&kept)?;
        settings.make_raw();
        tcsetattr(&kept, OptionalActions::Now, &settings)?;
        let device = PathBuf::from(OsStr::from_bytes(name.to_bytes()));
        Ok(Self { tool, kept, device })
    }
}

#[cfg(test)]
mod tests;
