//! `pullmarkd`: arguments, settings, log, daemon, ready. Nothing else.
#![forbid(unsafe_code)]

use clap::Parser;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::notify;
use pullmark_daemon::service::Service;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tracing_subscriber::EnvFilter;

/// The loop cannot go on; what was acknowledged is on disk. A service manager should start the daemon again.
const ENDED: u8 = 1;
/// The arguments or settings are wrong.
const WRONG: u8 = 2;

/// Reads wrenches and sensors, places and judges their readings, keeps the ledger, serves the bench page.
#[derive(Debug, Parser)]
#[command(version, about)]
struct Arguments {
    /// The settings file
    #[arg(long, value_name = "FILE", env = "PULLMARK_CONFIG")]
    config: Option<PathBuf>,
    /// The data folder, instead of the one in the settings
    #[arg(long, value_name = "DIR", env = "PULLMARK_DATA")]
    data: Option<PathBuf>,
    /// The port of the bench page on loopback; 0 takes a free one
    #[arg(long, value_name = "PORT")]
    port: Option<u16>,
    /// Serve the bench on the network too, over HTTPS and to paired devices alone; 0.0.0.0:8461 is every address of this machine
    #[arg(long, value_name = "ADDRESS:PORT")]
    lan: Option<SocketAddr>,
    /// The bench's name
    #[arg(long, value_name = "NAME")]
    bench: Option<String>,
    /// Practice with the simulated wrench: the clock runs so many times as fast, and every record says so
    #[arg(long, value_name = "TIMES", value_parser = clap::value_parser!(u32).range(1..=10_000))]
    practice_speed: Option<u32>,
}

fn main() -> ExitCode {
    start_log();
    let arguments = Arguments::parse();
    match run(arguments) {
        Ok(code) => code,
        Err(report) => {
            eprintln!("{report:?}");
            ExitCode::from(WRONG)
        }
    }
}

fn start_log() {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info"));
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    // systemd sets this for a service whose output goes to its journal
    if std::env::var_os("JOURNAL_STREAM").is_some() {
        log.without_time().with_ansi(false).init();
    } else {
        log.init();
    }
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        tracing::error!(%panic, "a thread panicked");
        usual(panic);
    }));
}

fn settings(arguments: Arguments) -> miette::Result<Config> {
    let mut config = Config::read(arguments.config.as_deref()).into_diagnostic()?;
    if let Some(data) = arguments.data {
        config.data = data;
    }
    if let Some(port) = arguments.port {
        config.port = port;
    }
    if arguments.lan.is_some() {
        config.lan = arguments.lan;
    }
    if let Some(bench) = arguments.bench {
        config.bench = bench;
    }
    if arguments.practice_speed.is_some() {
        config.practice_speed = arguments.practice_speed;
    }
    Ok(config)
}

fn run(arguments: Arguments) -> miette::Result<ExitCode> {
    let config = settings(arguments)?;
    let runtime = tokio::runtime::Runtime::new()
        .into_diagnostic()
        .wrap_err("the runtime could not be started")?;
    runtime.block_on(async {
        // Heard from before the daemon says that it is ready, so that no stop is taken for a kill.
        let mut terminate = signal(SignalKind::terminate())
            .into_diagnostic()
            .wrap_err("signals cannot be heard")?;
        let service = Service::start(&config).into_diagnostic()?;
        tracing::info!(page = %format!("http://{}/", service.address), data = %config.data.display(), "ready");
        notify::ready();
        until_stopped(&service, &mut terminate).await;
        notify::stopping();
        match service.stop().await {
            Ok(()) => Ok(ExitCode::SUCCESS),
            Err(error) => {
                tracing::error!(%error, "the daemon had to end; what was acknowledged is on disk");
                Ok(ExitCode::from(ENDED))
            }
        }
    })
}

/// Waits for a signal, or for the loop to end by itself; meanwhile says that the loop is alive.
async fn until_stopped(service: &Service, terminate: &mut Signal) {
    let mut tick =
        tokio::time::interval(notify::watchdog_interval().unwrap_or(Duration::from_secs(1)));
    loop {
        tokio::select! {
            _ = tokio::signal::ctrl_c() => return,
            _ = terminate.recv() => return,
            _ = tick.tick() => {
                if service.has_ended() {
                    return;
                }
                // The loop itself has to answer; a process that only looks alive is not.
                if service.handle.look(|_| ()).await.is_ok() {
                    notify::alive();
                }
            }
        }
    }
}
