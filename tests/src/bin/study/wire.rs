//! How long it takes from the last byte of a reading on the pseudo-terminal until a client has its committed verdict,
//! and how long a bare commit of one row takes: same disk, same settings, in turns in one run.

use crate::figures::{Figures, microseconds, quantile};
use crate::least::Least;
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::config::Config;
use pullmark_daemon::core::{Input, decide};
use pullmark_daemon::edge::clock::{Clock, Skip};
use pullmark_daemon::intake::dialect::Value;
use pullmark_daemon::service::Service;
use pullmark_schema::api::{Act, Done};
use pullmark_schema::entry::Bike;
use pullmark_schema::quantity::Torque;
use pullmark_schema::reading::Displayed;
use pullmark_schema::tool::{Connection, Tool};
use pullmark_sim::tool::PluggedWrench;
use pullmark_sim::tool::wrench::Wrench;
use std::fmt::Write as _;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Fasteners of the study's plan: what a bike has.
const FASTENERS: usize = 60;
/// A row of the bare commit has as many bytes as a reading's entry with its raw bytes.
const ROW: usize = 1_000;

#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// How many readings
    #[arg(long, default_value_t = 3_000)]
    readings: usize,
    /// How many of them come before the measuring, to warm up
    #[arg(long, default_value_t = 200)]
    warm_up: usize,
    /// A folder on the disk to be measured; a temporary one below the present folder if left out
    #[arg(long)]
    folder: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments) -> miette::Result<Figures> {
    let folder = crate::folder(arguments.folder.as_deref())?;
    let mut stand = Bench::start(folder.path())?;
    let mut bare = Bare::open(folder.path(), "bare.sqlite")?;
    let (mut wire, mut commits) = (Vec::new(), Vec::new());
    for number in 0..arguments.warm_up + arguments.readings {
        let taken = stand.pull(number)?;
        stand.rest()?;
        let bare = bare.commit()?;
        if number >= arguments.warm_up {
            wire.push(taken);
            commits.push(bare);
        }
    }
    let (mut decide, mut encode) = stand.thinking()?;
    stand.stop()?;
    // Apart from the rest, so that it does not cool the daemon's caches; in turns with the same bare commits.
    let mut least = Least::start(folder.path())?;
    let (mut leasts, mut beside) = (Vec::new(), Vec::new());
    for number in 0..arguments.warm_up + arguments.readings {
        let taken = least.pull()?;
        let bare = bare.commit()?;
        if number >= arguments.warm_up {
            beside.push(bare);
            leasts.push(taken);
        }
    }
    let mut figures = figures(arguments.readings, &mut wire, &mut commits);
    figures.add("least_p50_us", microseconds(quantile(&mut leasts, 0.5)));
    // Without a daemon beside it the same commit is faster, so the least way has its own to be held against.
    figures.add(
        "bare_beside_least_p50_us",
        microseconds(quantile(&mut beside, 0.5)),
    );
    figures.add("decide_p50_us", microseconds(quantile(&mut decide, 0.5)));
    figures.add("encode_p50_us", microseconds(quantile(&mut encode, 0.5)));
    Ok(figures)
}

fn figures(readings: usize, wire: &mut [Duration], bare: &mut [Duration]) -> Figures {
    let mut figures = Figures::default();
    figures.add("readings", readings);
    let mut at = |part: f64, name: &str| {
        let (wire, bare) = (
            microseconds(quantile(wire, part)),
            microseconds(quantile(bare, part)),
        );
        figures
            .add(&format!("wire_{name}_us"), wire)
            .add(&format!("bare_{name}_us"), bare);
        (
            (wire / bare * 1000.0).round() / 1000.0,
            ((wire - bare) * 10.0).round() / 10.0,
        )
    };
    let (ratio_p50, over_p50) = at(0.5, "p50");
    let (ratio_p99, over_p99) = at(0.99, "p99");
    figures
        .add("ratio_p50", ratio_p50)
        .add("ratio_p99", ratio_p99);
    figures
        .add("over_bare_p50_us", over_p50)
        .add("over_bare_p99_us", over_p99);
    figures
}

/// A daemon with a wrench and a listening client.
struct Bench {
    runtime: tokio::runtime::Runtime,
    service: Service,
    wrench: PluggedWrench,
    skip: Skip,
    client: Client,
    build: Option<String>,
    builds: usize,
}

impl Bench {
    fn start(folder: &Path) -> miette::Result<Self> {
        let runtime = tokio::runtime::Runtime::new().into_diagnostic()?;
        let skip = Skip::default();
        let config = Config {
            data: folder.join("bench"),
            port: 0,
            ..Config::default()
        };
        let service =
            Service::start_with(&config, Clock::practice_with_skip(1, &skip)).into_diagnostic()?;
        let link = folder.join("wrench");
        let wrench = PluggedWrench::plug(Wrench::new("STUDY-1").into_diagnostic()?, &link)
            .into_diagnostic()?;
        let mut client = Client::listen(&service)?;
        let tool = tool(&link);
        ask(
            &runtime,
            &service,
            Act::AddTool {
                by: None,
                tool: Box::new(tool),
            },
        )?;
        client.wait_for("event: tool-connected")?;
        Ok(Self {
            runtime,
            service,
            wrench,
            skip,
            client,
            build: None,
            builds: 0,
        })
    }

    /// Pulls at the next fastener and waits until the client has the verdict.
    fn pull(&mut self, number: usize) -> miette::Result<Duration> {
        if number.is_multiple_of(FASTENERS) {
            self.begin()?;
        }
        self.skip.ahead(7_000);
        let torque = aim(number % FASTENERS);
        let line = self.wrench.wrench.frame_pull(torque);
        let start = Instant::now();
        self.wrench.port().write(&line).into_diagnostic()?;
        let event = self.client.wait_for("event: pulled")?;
        let taken = self.client.read_at.duration_since(start);
        if event.contains("\"answer\":\"within\"") {
            return Ok(taken);
        }
        Err(miette!(
            "reading {number} came to something else than within: {event}"
        ))
    }

    /// Waits until the daemon has nothing more to do about what came, so that the bare commit has the machine for itself.
    fn rest(&self) -> miette::Result<()> {
        self.runtime
            .block_on(self.service.handle.look(|_| ()))
            .into_diagnostic()
    }

    /// How much of it is deciding, and how much is writing the entry down and hashing it; without any IO.
    fn thinking(&self) -> miette::Result<(Vec<Duration>, Vec<Duration>)> {
        let measured = self.service.handle.look(|heart| {
            let now = Clock::system().now();
            let (mut decide_times, mut encode_times) = (Vec::new(), Vec::new());
            for number in 0..1_000_u64 {
                let input = value(number);
                let start = Instant::now();
                let decided = decide(&heart.bench, input, now);
                decide_times.push(start.elapsed());
                let start = Instant::now();
                for decided in &decided {
                    let body = pullmark_schema::canonical::to_canonical_of(&decided.event)
                        .unwrap_or_default();
                    std::hint::black_box(pullmark_schema::tree::leaf_hash(&body));
                }
                encode_times.push(start.elapsed());
            }
            (decide_times, encode_times)
        });
        self.runtime.block_on(measured).into_diagnostic()
    }

    /// The bike before is handed over, and the next one is on the stand.
    fn begin(&mut self) -> miette::Result<()> {
        if let Some(build) = self.build.take() {
            let by = "study".to_owned();
            let act = Act::Finish {
                build,
                by,
                sure: None,
            };
            ask(&self.runtime, &self.service, act)?;
            self.client.wait_for("event: build-finished")?;
        }
        self.builds += 1;
        let act = Act::StartBuild {
            build: None,
            bike: Bike {
                frame: format!("STUDY-{}", self.builds),
                label: None,
            },
            plan: plan(),
            by: "study".to_owned(),
            tools: vec!["w1".to_owned()],
            follows: None,
            due: Vec::new(),
        };
        self.build = ask(&self.runtime, &self.service, act)?.build;
        self.client.wait_for("event: tool-assigned").map(|_| ())
    }

    fn stop(self) -> miette::Result<()> {
        drop(self.client);
        self.runtime.block_on(self.service.stop()).into_diagnostic()
    }
}

fn value(number: u64) -> Input {
    let torque = Torque::from_small_units(5_000);
    let displayed = Some(Displayed {
        value: "5.00".to_owned(),
        unit: "N.m".to_owned(),
    });
    let value = Value {
        displayed,
        torque: Some(torque),
        counter: Some(1_000_000 + number),
        flags: Vec::new(),
    };
    Input::Value {
        tool: "w1".to_owned(),
        raw: b"$PULL,1,5.00,N.m*00".to_vec(),
        value,
    }
}

fn ask(runtime: &tokio::runtime::Runtime, service: &Service, act: Act) -> miette::Result<Done> {
    let done = runtime
        .block_on(service.handle.act(act))
        .into_diagnostic()?;
    done.into_diagnostic()
}

fn tool(link: &Path) -> Tool {
    Tool {
        id: "w1".to_owned(),
        title: "study wrench".to_owned(),
        serial: "STUDY-1".to_owned(),
        connection: Some(Connection {
            port: link.display().to_string(),
            profile: "pullmark-line".to_owned(),
        }),
        ..Tool::default()
    }
}

/// Neighbours differ, so that no reading is held.
fn aim(fastener: usize) -> f64 {
    if fastener.is_multiple_of(2) { 5.0 } else { 8.0 }
}

fn plan() -> String {
    let mut text = "title = \"study\"\nedition = \"1\"\n".to_owned();
    for fastener in 0..FASTENERS {
        // writing to a string cannot fail
        let _ = write!(
            text,
            "[[stage]]\nid = \"s{fastener}\"\ntitle = \"Stage {fastener}\"\n[[stage.fastener]]\nid = \"f{fastener}\"\n\
             title = \"Fastener {fastener}\"\nprep = [\"dry\"]\nspec = {{ target = \"{} N·m\" }}\n",
            aim(fastener)
        );
    }
    text
}

/// A client of the live events, on a plain TCP connection.
struct Client {
    stream: TcpStream,
    buffer: String,
    /// When bytes came last.
    read_at: Instant,
}

impl Client {
    fn listen(service: &Service) -> miette::Result<Self> {
        let mut stream = TcpStream::connect(service.address).into_diagnostic()?;
        stream.set_nodelay(true).into_diagnostic()?;
        stream
            .set_read_timeout(Some(Duration::from_secs(10)))
            .into_diagnostic()?;
        let request = format!(
            "GET /v1/events?after=0 HTTP/1.1\r\nHost: {}\r\n\r\n",
            service.address
        );
        stream.write_all(request.as_bytes()).into_diagnostic()?;
        Ok(Self {
            stream,
            buffer: String::new(),
            read_at: Instant::now(),
        })
    }

    /// Reads on until an event of a kind is whole, and gives it out.
    fn wait_for(&mut self, kind: &str) -> miette::Result<String> {
        let mut bytes = [0; 16_384];
        loop {
            while let Some(end) = self.buffer.find("\n\n") {
                let event: String = self.buffer.drain(..end + 2).collect();
                if event.contains(kind) {
                    return Ok(event);
                }
            }
            let count = self
                .stream
                .read(&mut bytes)
                .into_diagnostic()
                .wrap_err("the event stream is silent")?;
            self.read_at = Instant::now();
            if count == 0 {
                return Err(miette!("the event stream ended"));
            }
            self.buffer.push_str(&String::from_utf8_lossy(
                bytes.get(..count).unwrap_or_default(),
            ));
        }
    }
}

/// One row a commit, with the settings of the ledger.
pub(crate) struct Bare {
    connection: rusqlite::Connection,
    row: Vec<u8>,
}

impl Bare {
    pub(crate) fn open(folder: &Path, file: &str) -> miette::Result<Self> {
        let connection = rusqlite::Connection::open(folder.join(file)).into_diagnostic()?;
        connection
            .pragma_update(None, "journal_mode", "WAL")
            .into_diagnostic()?;
        connection
            .pragma_update(None, "synchronous", "FULL")
            .into_diagnostic()?;
        connection
            .execute_batch(
                "CREATE TABLE entry (sequence INTEGER PRIMARY KEY, body BLOB NOT NULL) STRICT",
            )
            .into_diagnostic()?;
        Ok(Self {
            connection,
            row: vec![b'x'; ROW],
        })
    }

    pub(crate) fn row(&self) -> &[u8] {
        &self.row
    }

    pub(crate) fn commit(&mut self) -> miette::Result<Duration> {
        let start = Instant::now();
        self.connection
            .prepare_cached("INSERT INTO entry (body) VALUES (?1)")
            .and_then(|mut insert| insert.execute([&self.row]))
            .into_diagnostic()?;
        Ok(start.elapsed())
    }
}
