//! The daemon put together: the loop and, on its thread, the ports, the page on loopback and the socket
//! for the command line.

use crate::config::Config;
use crate::core::Bench;
use crate::edge::clock::Clock;
use crate::edge::crier;
use crate::edge::http::{self, Guard};
use crate::edge::lan::{LanError, Network};
use crate::edge::listening::{Listening, Port};
use crate::edge::stamping;
use crate::intake::dialect::ProfileError;
use crate::intake::profiles::Profiles;
use crate::run::{self, Handle, Message, RunError, Settings};
use axum::serve::ListenerExt as _;
use pullmark_schema::tool::Tool;
use std::collections::BTreeMap;
use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tokio::net::{TcpListener, UnixListener};
use tokio::sync::mpsc::UnboundedSender;
use tokio::sync::watch;

/// Why the daemon cannot run.
#[derive(Debug, thiserror::Error)]
pub enum ServiceError {
    /// The bench cannot be opened.
    #[error(transparent)]
    Run(#[from] RunError),
    /// A line profile cannot be used.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// A folder of profiles cannot be read.
    #[error("the profiles {}: {error}", path.display())]
    ProfileFile {
        /// Which file or folder.
        path: PathBuf,
        /// What went wrong.
        error: io::Error,
    },
    /// The page's port is taken.
    #[error(
        "the bench page cannot be served on 127.0.0.1:{port}: {error}. Name another port in the settings, or 0 for a free one"
    )]
    Port {
        /// Which port.
        port: u16,
        /// What went wrong.
        error: io::Error,
    },
    /// Nothing can be served on the network.
    #[error(transparent)]
    Lan(#[from] LanError),
    /// The socket cannot be made.
    #[error("the socket {}: {error}", path.display())]
    Socket {
        /// Which socket.
        path: PathBuf,
        /// What went wrong.
        error: io::Error,
    },
}

/// A daemon that runs.
#[derive(Debug)]
pub struct Service {
    /// Where the bench page is.
    pub address: SocketAddr,
    /// A way to reach the loop.
    pub handle: Handle,
    stop: watch::Sender<bool>,
    thread: std::thread::JoinHandle<Result<(), RunError>>,
    tasks: Vec<tokio::task::JoinHandle<()>>,
    network: Option<Network>,
    socket: PathBuf,
}

impl Service {
    /// Starts everything. It is up when this returns.
    pub fn start(config: &Config) -> Result<Self, ServiceError> {
        Self::start_with(
            config,
            config
                .practice_speed
                .map_or_else(Clock::system, Clock::practice),
        )
    }

    /// Starts everything on a clock of one's own.
    pub fn start_with(config: &Config, clock: Clock) -> Result<Self, ServiceError> {
        let profiles = profiles(config.profiles.as_deref())?;
        let settings = Settings {
            folder: config.data.clone(),
            bench: config.bench.clone(),
            clock,
            habits: config.habits(),
        };
        let (mut handle, thread) = run::start(settings)?;
        handle.shop = Arc::new(config.shop.clone());
        handle.shelf = Arc::new(config.shelf());
        let (stop, stopped) = watch::channel(false);
        // Whoever listens is served by the thread that commits: an entry needs no other thread to wake up before it is
        // sent.
        let runtime = handle.runtime.clone();
        let _within = runtime.enter();
        let listener = bind_page(config.port).map_err(|error| ServiceError::Port {
            port: config.port,
            error,
        })?;
        let address = listener.local_addr().map_err(|error| ServiceError::Port {
            port: config.port,
            error,
        })?;
        let socket = config.socket_path();
        let local = bind_socket(&socket).map_err(|error| ServiceError::Socket {
            path: socket.clone(),
            error,
        })?;
        let network = config
            .lan
            .map(|at| Network::start(handle.clone(), at, &config.lan_names, stopped.clone()))
            .transpose()?;
        let page = http::guarded(handle.clone(), Guard::loopback(address.port()));
        let tasks = vec![
            runtime.spawn(serve(
                axum::serve(listener.tap_io(at_once), page)
                    .with_graceful_shutdown(ended(stopped.clone())),
            )),
            runtime.spawn(serve(
                axum::serve(local, http::router(handle.clone()))
                    .with_graceful_shutdown(ended(stopped.clone())),
            )),
            runtime.spawn(keep_ports(handle.clone(), profiles, stopped.clone())),
            runtime.spawn(crier::cry(handle.clone(), config.means(), stopped.clone())),
            runtime.spawn(stamping::stamp(
                handle.clone(),
                config.time_authority.clone(),
                stopped,
            )),
        ];
        Ok(Self {
            address,
            handle,
            stop,
            thread,
            tasks,
            network,
            socket,
        })
    }

    /// Whether the loop has ended by itself.
    pub fn has_ended(&self) -> bool {
        self.thread.is_finished()
    }

    /// Stops everything; says why the loop had ended, if it had.
    pub async fn stop(self) -> Result<(), RunError> {
        // A task that has ended needs not hear it.
        let _ = self.stop.send(true);
        for task in self.tasks {
            // Open event streams would keep a graceful end waiting.
            let _ = tokio::time::timeout(std::time::Duration::from_millis(500), task).await;
        }
        if let Some(network) = self.network {
            network.ended().await;
        }
        let _ = self.handle.messages.send(Message::Stop);
        let _ = std::fs::remove_file(&self.socket);
        let thread = self.thread;
        tokio::task::spawn_blocking(move || thread.join())
            .await
            .ok()
            .and_then(Result::ok)
            .unwrap_or(Ok(()))
    }
}

/// An alarm must not wait until there is more to send.
fn at_once(stream: &mut tokio::net::TcpStream) {
    if let Err(error) = stream.set_nodelay(true) {
        tracing::debug!(%error, "a connection keeps waiting for more to send");
    }
}

async fn serve(server: impl IntoFuture<Output = io::Result<()>>) {
    if let Err(error) = server.await {
        tracing::error!(%error, "a server ended");
    }
}

async fn ended(mut stopped: watch::Receiver<bool>) {
    // The sender is gone only when the service is.
    let _ = stopped.wait_for(|stopped| *stopped).await;
}

fn bind_page(port: u16) -> io::Result<TcpListener> {
    let listener = std::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
    listener.set_nonblocking(true)?;
    TcpListener::from_std(listener)
}

/// A socket that only its owner can use. One that was left behind is replaced: the folder's lock is held already.
fn bind_socket(path: &Path) -> io::Result<UnixListener> {
    use std::os::unix::fs::{FileTypeExt as _, PermissionsExt as _};
    match std::fs::symlink_metadata(path) {
        Ok(left) if left.file_type().is_socket() => std::fs::remove_file(path)?,
        Ok(_) => {
            let what = "there is something there that is no socket; name another path";
            return Err(io::Error::new(io::ErrorKind::AlreadyExists, what));
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => return Err(error),
    }
    let socket = UnixListener::bind(path)?;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600))?;
    Ok(socket)
}

/// The profiles of the program and of a folder.
pub fn profiles(folder: Option<&Path>) -> Result<Profiles, ServiceError> {
    let mut profiles = Profiles::built_in()?;
    let Some(folder) = folder else {
        return Ok(profiles);
    };
    let wrong = |path: &Path, error| ServiceError::ProfileFile {
        path: path.to_owned(),
        error,
    };
    for file in std::fs::read_dir(folder).map_err(|error| wrong(folder, error))? {
        let path = file.map_err(|error| wrong(folder, error))?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            profiles.add(&std::fs::read_to_string(&path).map_err(|error| wrong(&path, error))?)?;
        }
    }
    Ok(profiles)
}

/// Listens at the port of every tool that has one, and follows changes.
async fn keep_ports(handle: Handle, profiles: Profiles, mut stopped: watch::Receiver<bool>) {
    let mut listening: BTreeMap<String, Listening> = BTreeMap::new();
    let mut entries = handle.followed.subscribe();
    loop {
        let Ok(tools) = handle.look(|heart| tools_of(&heart.bench)).await else {
            break;
        };
        for tool in &tools {
            follow(&mut listening, tool, &profiles, &handle).await;
        }
        let next_tool = async {
            loop {
                match entries.recv().await {
                    Ok(entry) if entry.kind != "tool-added" => {}
                    // A tool was added, or entries were missed.
                    Ok(_) | Err(tokio::sync::broadcast::error::RecvError::Lagged(_)) => {
                        return true;
                    }
                    Err(tokio::sync::broadcast::error::RecvError::Closed) => return false,
                }
            }
        };
        tokio::select! {
            more = next_tool => if !more { break },
            _ = stopped.wait_for(|stopped| *stopped) => break,
        }
    }
    for (_, port) in listening {
        port.stop().await;
    }
}

fn tools_of(bench: &Bench) -> Vec<Tool> {
    bench.tools.values().cloned().collect()
}

/// Listens at the port that a tool has now, and no longer at the one it had.
async fn follow(
    listening: &mut BTreeMap<String, Listening>,
    tool: &Tool,
    profiles: &Profiles,
    handle: &Handle,
) {
    let is_same = |port: &Listening| {
        tool.connection
            .as_ref()
            .is_some_and(|now| port.is_same(&now.port, &now.profile))
    };
    if listening.get(&tool.id).is_some_and(is_same) {
        return;
    }
    let before = listening.remove(&tool.id);
    let was_listening = before.is_some();
    if let Some(port) = before {
        // A port that stays has to be closed before it can be opened again.
        port.stop().await;
    }
    let Some(connection) = &tool.connection else {
        if was_listening {
            let why = "its connection was taken out of its data".to_owned();
            tell_gone(&handle.messages, &tool.id, why);
        }
        return;
    };
    let Some(dialect) = profiles.find(&connection.profile) else {
        let known = profiles.names().collect::<Vec<_>>().join(", ");
        let why = format!(
            "there is no line profile {:?}; known are: {known}",
            connection.profile
        );
        tell_gone(&handle.messages, &tool.id, why);
        return;
    };
    let port = Port {
        tool: tool.id.clone(),
        path: connection.port.clone(),
        dialect: dialect.clone(),
    };
    let port = Listening::start(port, handle.messages.clone(), &handle.runtime);
    listening.insert(tool.id.clone(), port);
}

fn tell_gone(messages: &UnboundedSender<Message>, tool: &str, why: String) {
    let gone = crate::core::Input::Gone {
        tool: tool.to_owned(),
        why,
        partial: None,
    };
    // The loop is gone only when the daemon goes down.
    let _ = messages.send(Message::Tool(gone));
}
