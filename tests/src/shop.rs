//! A fresh folder with a running `pullmarkd`: start it, stop it, kill it, start it again.

use crate::command::{at_home, no_panic_in};
use crate::http::Http;
use crate::programs::program;
use crate::{Command, PATIENCE};
use pullmark_schema::api::{Act, Done};
use pullmark_sim::tool::PluggedWrench;
use pullmark_sim::tool::wrench::Wrench;
use rustix::process::{Pid, Signal, kill_process};
use std::io::{BufRead as _, BufReader};
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStderr, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};

/// A shop: its folder, and its daemon while one runs.
#[derive(Debug)]
pub struct Shop {
    folder: tempfile::TempDir,
    arguments: Vec<String>,
    environment: Vec<(String, String)>,
    excused: Vec<&'static str>,
    daemon: Option<Daemon>,
    log: Log,
}

type Log = Arc<Mutex<String>>;

#[derive(Debug)]
struct Daemon {
    child: Child,
    address: SocketAddr,
    lines: Receiver<String>,
}

/// A daemon that did not start.
#[derive(Debug, Clone)]
pub struct Refused {
    /// Its exit status; none if a signal ended it.
    pub status: Option<i32>,
    /// What it said.
    pub said: String,
}

impl Refused {
    /// It ended with this status, without a panic, and says all of these.
    #[track_caller]
    pub fn says(&self, status: i32, texts: &[&str]) -> &Self {
        assert_eq!(self.status, Some(status), "{}", self.said);
        no_panic_in(&self.said);
        let said = crate::command::one_line(&self.said);
        for text in texts {
            assert!(
                said.contains(text),
                "{text:?} is missing in:\n{}",
                self.said
            );
        }
        self
    }
}

impl Shop {
    /// A shop whose daemon does not run yet. `arguments` join those that every daemon of these tests gets.
    pub fn closed(arguments: &[&str]) -> Self {
        let folder = tempfile::Builder::new()
            .prefix("pullmark-shop-")
            .tempdir()
            .expect("there is a temporary folder");
        let arguments = arguments
            .iter()
            .map(|&argument| argument.to_owned())
            .collect();
        Self {
            folder,
            arguments,
            environment: Vec::new(),
            excused: Vec::new(),
            daemon: None,
            log: Log::default(),
        }
    }

    /// A shop with a running daemon.
    pub fn open() -> Self {
        Self::open_with(&[])
    }

    /// A shop whose daemon runs with further arguments.
    pub fn open_with(arguments: &[&str]) -> Self {
        let mut shop = Self::closed(arguments);
        shop.start();
        shop
    }

    /// Lets its daemon and commands find something in their environment. To be called before the daemon starts.
    pub fn with_variable(&mut self, name: &str, value: &str) {
        self.environment.push((name.to_owned(), value.to_owned()));
    }

    /// A panic whose lines hold one of these is another library's, in a task of its own, and the daemon has to survive it.
    pub fn excuse(&mut self, words: &[&'static str]) {
        self.excused.extend(words);
    }

    /// The folder for everything.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// The data folder.
    pub fn data(&self) -> PathBuf {
        self.folder().join("data")
    }

    /// Writes a file in the shop's folder and gives its path.
    pub fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.folder().join(name);
        std::fs::write(&path, text).expect("the shop's folder can be written");
        path
    }

    /// Starts the daemon and waits until it is ready.
    #[track_caller]
    pub fn start(&mut self) {
        if let Err(refused) = self.try_start() {
            panic!(
                "the daemon does not start (status {:?}):\n{}",
                refused.status, refused.said
            );
        }
    }

    /// Starts the daemon; it may say no.
    pub fn try_start(&mut self) -> Result<(), Refused> {
        assert!(self.daemon.is_none(), "the daemon runs already");
        let mut command = std::process::Command::new(program("pullmarkd"));
        at_home(&mut command, self.folder());
        command
            .arg("--data")
            .arg(self.data())
            .args(["--port", "0"])
            .args(&self.arguments)
            .envs(self.environment.iter().cloned());
        command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped());
        let mut child = command.spawn().expect("pullmarkd starts");
        let (tell, lines) = channel();
        keep_log(
            child.stderr.take().expect("standard error is piped"),
            Arc::clone(&self.log),
            tell,
        );
        let mut said = String::new();
        loop {
            match lines.recv_timeout(PATIENCE) {
                Ok(line) => {
                    if let Some(address) = ready_at(&line) {
                        self.daemon = Some(Daemon {
                            child,
                            address,
                            lines,
                        });
                        return Ok(());
                    }
                    said.push_str(&line);
                    said.push('\n');
                }
                Err(RecvTimeoutError::Disconnected) => {
                    let status = child.wait().expect("a child can be waited for").code();
                    return Err(Refused { status, said });
                }
                Err(RecvTimeoutError::Timeout) => {
                    // It may have ended in this moment; then there is nothing to kill.
                    let _ = child.kill();
                    panic!("the daemon is not ready within {PATIENCE:?}:\n{said}");
                }
            }
        }
    }

    /// `kill -9`: the daemon has no chance to do anything more.
    pub fn kill(&mut self) {
        let mut daemon = self.daemon.take().expect("the daemon runs");
        daemon.child.kill().expect("a child can be killed");
        daemon.child.wait().expect("a child can be waited for");
    }

    /// The daemon's process, for killing it from another thread.
    pub fn process(&self) -> Pid {
        let daemon = self.daemon.as_ref().expect("the daemon runs");
        Pid::from_child(&daemon.child)
    }

    /// Waits for a daemon that was killed or that ends by itself.
    pub fn ended(&mut self) -> Option<i32> {
        let mut daemon = self.daemon.take().expect("the daemon runs");
        // The log ends with the process: waiting for it has a bound, waiting for a process has none.
        loop {
            match daemon.lines.recv_timeout(PATIENCE) {
                Ok(_) => {}
                Err(RecvTimeoutError::Disconnected) => break,
                Err(RecvTimeoutError::Timeout) => {
                    let _ = daemon.child.kill();
                    panic!(
                        "the daemon does not end within {PATIENCE:?}:\n{}",
                        self.log()
                    );
                }
            }
        }
        daemon
            .child
            .wait()
            .expect("a child can be waited for")
            .code()
    }

    /// Asks the daemon to end (SIGTERM), waits for it, and gives its exit status.
    pub fn terminate(&mut self) -> Option<i32> {
        kill_process(self.process(), Signal::TERM).expect("a child can be signalled");
        self.ended()
    }

    /// Over the socket, as the command line speaks to the daemon.
    pub fn http(&self) -> Http {
        Http::Socket(self.data().join("pullmark.sock"))
    }

    /// Over loopback, as the page speaks to the daemon.
    pub fn page(&self) -> Http {
        Http::Loopback(self.address())
    }

    /// Where the page is.
    pub fn address(&self) -> SocketAddr {
        self.daemon.as_ref().expect("the daemon runs").address
    }

    /// Does something; it has to be done.
    #[track_caller]
    pub fn act(&self, act: &Act) -> Done {
        let answer = self.try_act(act).expect("the daemon answers");
        let text = String::from_utf8_lossy(&answer.1).into_owned();
        assert_eq!(answer.0, 200, "{act:?}: {text}");
        serde_json::from_str(&text).expect("an act is answered with what was done")
    }

    /// Asks for something: status and body of the answer.
    pub fn try_act(&self, act: &Act) -> std::io::Result<(u16, Vec<u8>)> {
        let body = serde_json::to_vec(act).expect("an act is JSON");
        let answer = self.http().post("/v1/acts", &body)?;
        Ok((answer.status, answer.body))
    }

    /// Runs `pullmark` on this shop's data folder.
    pub fn pullmark<T: AsRef<std::ffi::OsStr>>(
        &self,
        arguments: impl IntoIterator<Item = T>,
    ) -> crate::Said {
        Command::pullmark(self.folder())
            .args(arguments)
            .arg("--data")
            .arg(self.data())
            .run()
    }

    /// Plugs a simulated wrench in under a name.
    pub fn plug(&self, name: &str, serial: &str) -> PluggedWrench {
        let wrench = Wrench::new(serial).expect("a serial number");
        PluggedWrench::plug(wrench, self.folder().join(name)).expect("the wrench can be plugged in")
    }

    /// Waits until the daemon has logged these words.
    #[track_caller]
    pub fn wait_for_log(&self, words: &str) {
        let end = std::time::Instant::now() + PATIENCE;
        while !self.log().contains(words) {
            let left = end.saturating_duration_since(std::time::Instant::now());
            let daemon = self.daemon.as_ref().expect("the daemon runs");
            let heard = daemon.lines.recv_timeout(left);
            assert!(
                heard.is_ok() || self.log().contains(words),
                "{words:?} is not in the log:\n{}",
                self.log()
            );
        }
    }

    /// Waits until the daemon has logged these words so often, and no oftener.
    #[track_caller]
    pub fn wait_for_log_times(&self, words: &str, times: usize) {
        let end = std::time::Instant::now() + PATIENCE;
        while self.log().matches(words).count() < times && std::time::Instant::now() < end {
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        let found = self.log().matches(words).count();
        assert_eq!(found, times, "{words:?} in the log");
    }

    /// Everything that the daemons of this shop have logged.
    pub fn log(&self) -> String {
        self.log.lock().expect("the log is whole").clone()
    }
}

impl Drop for Shop {
    fn drop(&mut self) {
        if let Some(mut daemon) = self.daemon.take() {
            // It may have ended by itself.
            let _ = daemon.child.kill();
            let _ = daemon.child.wait();
        }
        if std::thread::panicking() {
            eprintln!(
                "--- the daemon's log\n{}---",
                self.log.lock().map(|log| log.clone()).unwrap_or_default()
            );
        } else {
            let log = self.log();
            let is_excused = |line: &&str| self.excused.iter().any(|words| line.contains(words));
            let rest: Vec<&str> = log.lines().filter(|line| !is_excused(line)).collect();
            no_panic_in(&rest.join("\n"));
        }
    }
}

fn keep_log(pipe: ChildStderr, log: Log, tell: Sender<String>) {
    std::thread::spawn(move || {
        for line in BufReader::new(pipe).split(b'\n').map_while(Result::ok) {
            let line = String::from_utf8_lossy(&line).into_owned();
            if let Ok(mut log) = log.lock() {
                log.push_str(&line);
                log.push('\n');
            }
            // Nobody listens once the daemon is ready and its shop is gone.
            let _ = tell.send(line);
        }
    });
}

/// The address in the line by which the daemon says that it is ready.
fn ready_at(line: &str) -> Option<SocketAddr> {
    let (_, rest) = line.split_once(" ready ")?;
    let (_, rest) = rest.split_once("page=http://")?;
    rest.split('/').next()?.parse().ok()
}
