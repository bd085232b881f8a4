//! The bench on the network: HTTPS with a certificate of its own, for paired devices. It runs on a thread of its own, so that
//! nothing that comes from the network keeps a reading waiting.

mod certificate;
mod listener;

use crate::edge::access::{AccessError, Lan};
use crate::edge::http::{Ends, for_network};
use crate::edge::keys;
use crate::run::Handle;
use certificate::{Certificate, Made};
use listener::TlsListener;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::path::Path;
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};
use tokio_rustls::rustls::server::{ClientHello, ResolvesServerCert};
use tokio_rustls::rustls::sign::CertifiedKey;
use tokio_rustls::rustls::{ServerConfig, version};

/// How often it is looked whether the certificate is near its end, or the addresses have changed.
const LOOK: Duration = Duration::from_hours(6);
/// How long open connections may hold up the end.
const END: Duration = Duration::from_millis(500);

/// Why nothing is served on the network.
#[derive(Debug, thiserror::Error)]
pub enum LanError {
    /// The port is taken, or the address is not this machine's.
    #[error(
        "the bench cannot be served on the network at {at}: {error}. Name another address or port as `lan` in the settings"
    )]
    Port {
        /// Where.
        at: SocketAddr,
        /// What went wrong.
        error: io::Error,
    },
    /// The certificate cannot be kept.
    #[error(transparent)]
    Certificate(#[from] AccessError),
    /// The certificate cannot be used.
    #[error("the certificate for the network cannot be used: {0}")]
    Tls(String),
}

/// The certificate that is shown, which may change while the bench is served.
#[derive(Debug)]
struct Shown(RwLock<Arc<CertifiedKey>>);

impl ResolvesServerCert for Shown {
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        let shown = self.0.read().unwrap_or_else(PoisonError::into_inner);
        Some(Arc::clone(&shown))
    }
}

fn tls(error: impl std::fmt::Display) -> LanError {
    LanError::Tls(error.to_string())
}

fn certified(certificate: &Certificate) -> Result<Arc<CertifiedKey>, LanError> {
    let der = CertificateDer::from(certificate.der().map_err(tls)?);
    let key = PrivatePkcs8KeyDer::from(certificate.key_der().map_err(tls)?);
    let key = ring::sign::any_supported_type(&PrivateKeyDer::Pkcs8(key)).map_err(tls)?;
    Ok(Arc::new(CertifiedKey::new(vec![der], key)))
}

/// What this machine is called by: the names that the shop has set, and its own.
fn names(set: &[String]) -> Vec<String> {
    let own = rustix::system::uname();
    let own = own.nodename().to_string_lossy().to_lowercase();
    let own = [own.clone(), format!("{own}.local")];
    let all = set.iter().map(|name| name.to_lowercase()).chain(own);
    let mut names: Vec<String> = Vec::new();
    for name in all.filter(|name| is_name(name)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// Whether it can stand in a certificate as a name, and means this machine from elsewhere.
fn is_name(name: &str) -> bool {
    let is_written = name
        .chars()
        .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '.');
    is_written
        && !name.is_empty()
        && !name.starts_with("localhost")
        && name.parse::<IpAddr>().is_err()
}

/// The addresses at which the bench can be reached: the one that was set, or every one that this machine has.
fn addresses(at: IpAddr) -> Vec<IpAddr> {
    if !at.is_unspecified() {
        return vec![at];
    }
    let all = if_addrs::get_if_addrs().unwrap_or_default().into_iter();
    let mut found: Vec<IpAddr> = all
        .filter(|interface| !interface.is_loopback())
        .map(|interface| interface.ip())
        .filter(|ip| at.is_ipv6() || ip.is_ipv4())
        .filter(|ip| !matches!(ip, IpAddr::V6(six) if six.is_unicast_link_local()))
        .collect();
    found.sort();
    found.dedup();
    found
}

/// A bench on the network.
#[derive(Debug)]
pub struct Network {
    /// Where it listens.
    pub address: SocketAddr,
    thread: std::thread::JoinHandle<()>,
}

/// What the network's thread has at hand.
struct Setup {
    handle: Handle,
    address: SocketAddr,
    names: Vec<String>,
    shown: Arc<Shown>,
}

impl Network {
    /// Serves the bench on the network. It is up when this returns.
    pub fn start(
        handle: Handle,
        at: SocketAddr,
        set_names: &[String],
        stopped: watch::Receiver<bool>,
    ) -> Result<Self, LanError> {
        let port = |error| LanError::Port { at, error };
        let tcp = std::net::TcpListener::bind(at).map_err(port)?;
        tcp.set_nonblocking(true).map_err(port)?;
        let address = tcp.local_addr().map_err(port)?;
        let names = names(set_names);
        let (certificate, made) = open(&handle, address, &names)?;
        let shown = Arc::new(Shown(RwLock::new(certified(&certificate)?)));
        tell(&handle, address, &names, &certificate, made);
        let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[&version::TLS13])
            .map_err(tls)?
            .with_no_client_auth()
            .with_cert_resolver(shown.clone());
        let setup = Setup {
            handle,
            address,
            names,
            shown,
        };
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build();
        let runtime = runtime.map_err(port)?;
        let acceptor = TlsAcceptor::from(Arc::new(config));
        let thread = std::thread::Builder::new().name("network".to_owned());
        let thread = thread.spawn(move || runtime.block_on(serve(tcp, acceptor, setup, stopped)));
        let thread = thread.map_err(port)?;
        Ok(Self { address, thread })
    }

    /// Waits for its end, after it was told to stop.
    pub async fn ended(self) {
        // A thread that panicked has been logged by the panic hook.
        let _ = tokio::task::spawn_blocking(move || self.thread.join()).await;
    }
}

async fn serve(
    tcp: std::net::TcpListener,
    acceptor: TlsAcceptor,
    setup: Setup,
    mut stopped: watch::Receiver<bool>,
) {
    let tcp = match TcpListener::from_std(tcp) {
        Ok(tcp) => tcp,
        Err(error) => return tracing::error!(%error, "the network's server ended"),
    };
    let routes = for_network(setup.handle.clone(), &setup.names);
    let server = axum::serve(
        TlsListener::new(tcp, acceptor),
        routes.into_make_service_with_connect_info::<Ends>(),
    );
    let mut end = stopped.clone();
    let server = server.with_graceful_shutdown(async move {
        let _ = end.wait_for(|stopped| *stopped).await;
    });
    let over = async {
        let _ = stopped.wait_for(|stopped| *stopped).await;
        tokio::time::sleep(END).await;
    };
    tokio::select! {
        ended = server => if let Err(error) = ended { tracing::error!(%error, "the network's server ended") },
        () = over => {}
        () = keep_good(&setup) => {}
    }
}

fn open(
    handle: &Handle,
    address: SocketAddr,
    names: &[String],
) -> Result<(Certificate, Made), AccessError> {
    let keys = handle.folder.join(keys::FOLDER);
    let addresses = addresses(address.ip()).into_iter().map(|ip| ip.to_string());
    let all: Vec<String> = addresses.chain(names.iter().cloned()).collect();
    certificate::open(&file(&keys), &all, handle.access.now().wall)
}

fn file(keys: &Path) -> std::path::PathBuf {
    certificate::file(keys)
}

/// Says where the bench is, on the page, at the prompt and in the log.
fn tell(
    handle: &Handle,
    address: SocketAddr,
    names: &[String],
    certificate: &Certificate,
    made: Made,
) {
    let port = address.port();
    let addresses = addresses(address.ip()).into_iter();
    let addresses = addresses.map(|ip| format!("https://{}/", SocketAddr::new(ip, port)));
    let by_name = names.iter().map(|name| format!("https://{name}:{port}/"));
    let lan = Lan {
        addresses: addresses.chain(by_name).collect(),
        fingerprint: certificate.fingerprint(),
        good_until: certificate.good_until.clone(),
    };
    let (fingerprint, until) = (&lan.fingerprint, &lan.good_until);
    let at = lan.addresses.join(" ");
    match made {
        Made::Kept => tracing::info!(at, fingerprint, until, "served on the network"),
        Made::First => {
            tracing::info!(
                at,
                fingerprint,
                until,
                "served on the network, with its first certificate"
            );
        }
        Made::Anew => tracing::warn!(
            at,
            fingerprint,
            until,
            "the certificate for the network was made anew: devices ask about it once more, and this is its fingerprint"
        ),
    }
    handle.access.set_lan(lan);
}

/// Makes the certificate anew before its end, and when this machine has another address.
async fn keep_good(setup: &Setup) {
    loop {
        tokio::time::sleep(LOOK).await;
        let opened = open(&setup.handle, setup.address, &setup.names);
        let renewed = opened
            .map_err(LanError::from)
            .and_then(|(certificate, made)| {
                if made != Made::Kept {
                    let fresh = certified(&certificate)?;
                    *setup
                        .shown
                        .0
                        .write()
                        .unwrap_or_else(PoisonError::into_inner) = fresh;
                    tell(
                        &setup.handle,
                        setup.address,
                        &setup.names,
                        &certificate,
                        made,
                    );
                }
                Ok(())
            });
        if let Err(error) = renewed {
            tracing::error!(%error, "the certificate for the network could not be made anew");
        }
    }
}
