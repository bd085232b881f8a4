//! A real broker for the tests: Debian's Mosquitto, on a port of its own, with a folder of its own. It never runs as a service.

use crate::PATIENCE;
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Debian has it where an ordinary user's path does not lead.
const PROGRAM: &str = "/usr/sbin/mosquitto";

/// A broker that runs, or was stopped.
#[derive(Debug)]
pub struct Mosquitto {
    config: PathBuf,
    address: SocketAddr,
    child: Option<Child>,
}

impl Mosquitto {
    /// Starts one. Anybody may speak to it unless `users` names a file of passwords.
    pub fn start(folder: &Path, users: Option<&Path>) -> Self {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
        let address = listener.local_addr().expect("an address");
        drop(listener);
        let who = match users {
            None => "allow_anonymous true\n".to_owned(),
            Some(file) => format!("allow_anonymous false\npassword_file {}\n", file.display()),
        };
        let data = folder.join("broker");
        std::fs::create_dir_all(&data).expect("a folder");
        // It gives up its rights if it is started as root, and then has to write there all the same.
        let text = format!(
            "listener {} 127.0.0.1\n{who}user {}\npersistence true\npersistence_location {}/\nlog_dest none\n",
            address.port(),
            std::env::var("USER").unwrap_or_else(|_| "root".to_owned()),
            data.display()
        );
        let config = folder.join("broker.conf");
        std::fs::write(&config, text).expect("the folder can be written");
        let mut broker = Self {
            config,
            address,
            child: None,
        };
        broker.again();
        broker
    }

    /// Starts it again, where it was.
    pub fn again(&mut self) {
        let child = Command::new(PROGRAM)
            .arg("-c")
            .arg(&self.config)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("mosquitto is installed");
        self.child = Some(child);
        let end = Instant::now() + PATIENCE;
        while TcpStream::connect(self.address).is_err() {
            assert!(Instant::now() < end, "the broker does not start");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Where it is.
    pub const fn address(&self) -> SocketAddr {
        self.address
    }

    /// What a tool's connection names as its port.
    pub fn topic(&self, topic: &str) -> String {
        format!("mqtt://{}/{topic}", self.address)
    }

    /// It dies.
    pub fn kill(&mut self) {
        if let Some(mut child) = self.child.take() {
            // It may have ended by itself.
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

impl Drop for Mosquitto {
    fn drop(&mut self) {
        self.kill();
    }
}

/// A file of passwords with one user in it.
pub fn passwords(folder: &Path, user: &str, password: &str) -> PathBuf {
    let file = folder.join("broker.passwords");
    let status = Command::new("mosquitto_passwd")
        .args(["-c", "-b"])
        .arg(&file)
        .args([user, password])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("mosquitto_passwd is installed");
    assert!(status.success());
    file
}
