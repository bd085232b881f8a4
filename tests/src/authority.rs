//! A time authority of its own (RFC 3161), made with openssl: certificates, stamps, and a server that stamps what it is sent.

use crate::Command;
use std::io::{Read as _, Write as _};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;

const SETTINGS: &str = "
[tsa]
default_tsa = own
[own]
serial = serial
default_policy = 1.3.6.1.4.1.55555.1
digests = sha256, sha384, sha512
signer_digest = sha256
ess_cert_id_alg = sha256
";

/// The files of an authority.
#[derive(Debug, Clone)]
pub struct Authority {
    folder: Arc<tempfile::TempDir>,
}

impl Authority {
    /// An authority with keys on the curve P-256.
    pub fn new() -> Self {
        Self::with(
            &["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"],
            "30",
        )
    }

    /// The same with RSA keys of 2048 bits.
    pub fn rsa() -> Self {
        Self::with(&["-newkey", "rsa:2048"], "30")
    }

    /// One whose certificate ended yesterday.
    pub fn expired() -> Self {
        Self::with(
            &["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"],
            "-1",
        )
    }

    fn with(key: &[&str], days: &str) -> Self {
        let folder = tempfile::tempdir().expect("there is a temporary folder");
        let own = Self {
            folder: Arc::new(folder),
        };
        own.write("settings", SETTINGS.as_bytes());
        own.write(
            "purpose",
            b"basicConstraints = CA:FALSE\nkeyUsage = critical, digitalSignature\nextendedKeyUsage = critical, timeStamping\n",
        );
        let root = [
            "req", "-x509", "-nodes", "-keyout", "root.key", "-out", "root.pem", "-days", "60",
        ];
        let root = [&root[..], &["-subj", "/CN=Invented root"], key].concat();
        own.openssl(&root);
        let ask = [
            "req", "-new", "-nodes", "-keyout", "own.key", "-out", "own.csr",
        ];
        let ask = [&ask[..], &["-subj", "/CN=Invented time authority"], key].concat();
        own.openssl(&ask);
        let sign = [
            "x509", "-req", "-in", "own.csr", "-CA", "root.pem", "-CAkey", "root.key",
        ];
        let sign = [
            &sign[..],
            &["-CAcreateserial", "-extfile", "purpose", "-out", "own.pem"],
        ]
        .concat();
        own.openssl(&[&sign[..], &["-days", days]].concat());
        own
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.folder.path().join(name), bytes).expect("the folder can be written");
    }

    fn openssl(&self, arguments: &[&str]) {
        let folder = self.folder.path();
        let mut command = Command::new("openssl", folder).current_dir(folder);
        command = command.args(arguments);
        command.run().ok();
    }

    /// The certificate to trust.
    pub fn root(&self) -> PathBuf {
        self.folder.path().join("root.pem")
    }

    /// Answers a question.
    pub fn answer(&self, question: &[u8]) -> Vec<u8> {
        self.write("question", question);
        let reply = [
            "ts",
            "-reply",
            "-config",
            "settings",
            "-queryfile",
            "question",
        ];
        let signer = ["-signer", "own.pem", "-inkey", "own.key", "-out", "answer"];
        self.openssl(&[&reply[..], &signer].concat());
        std::fs::read(self.folder.path().join("answer")).expect("there is an answer")
    }

    /// Whether openssl takes a token as one about some bytes, as anybody would ask it.
    pub fn says(&self, token: &Path, data: &Path) -> bool {
        let folder = self.folder.path();
        let words = ["ts", "-verify", "-token_in", "-CAfile", "root.pem"];
        let said = Command::new("openssl", folder)
            .current_dir(folder)
            .args(words)
            .args([Path::new("-in"), token, Path::new("-data"), data])
            .run();
        said.status == Some(0)
    }

    /// Answers questions over HTTP until the test ends.
    pub fn serve(&self) -> SocketAddr {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("there is a port");
        let address = listener.local_addr().expect("it has an address");
        let own = self.clone();
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                // Whoever hung up gets no answer.
                let _ = own.answer_to(stream);
            }
        });
        address
    }

    fn answer_to(&self, mut stream: TcpStream) -> std::io::Result<()> {
        let (mut bytes, mut buffer) = (Vec::new(), [0; 4096]);
        let question = loop {
            if let Some(question) = body(&bytes) {
                break question;
            }
            match stream.read(&mut buffer)? {
                0 => return Ok(()),
                count => bytes.extend_from_slice(&buffer[..count]),
            }
        };
        let answer = self.answer(&question);
        let head = format!(
            "HTTP/1.1 200 OK\r\nContent-Type: application/timestamp-reply\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            answer.len()
        );
        stream.write_all(&[head.as_bytes(), &answer].concat())
    }
}

impl Default for Authority {
    fn default() -> Self {
        Self::new()
    }
}

/// The body of a request that has come in whole.
fn body(request: &[u8]) -> Option<Vec<u8>> {
    let text = String::from_utf8_lossy(request).to_lowercase();
    let (head, _) = text.split_once("\r\n\r\n")?;
    let length = head
        .lines()
        .find_map(|line| line.strip_prefix("content-length:"))?;
    let length: usize = length.trim().parse().ok()?;
    let begin = request.windows(4).position(|four| four == b"\r\n\r\n")? + 4;
    request.get(begin..begin + length).map(<[u8]>::to_vec)
}
