//! The way to a bench from the network: TLS, with the bench's own certificate as the only one that is trusted.

use crate::PATIENCE;
use pullmark_schema::api::DevicesView;
use std::io;
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::sync::Arc;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned, version};

/// A connection over TLS.
pub type Tls = StreamOwned<ClientConnection, TcpStream>;

/// A bench on the network.
#[derive(Debug, Clone)]
pub struct Network {
    /// Where it is.
    pub address: SocketAddr,
    tls: Arc<ClientConfig>,
}

impl Network {
    /// From what the bench says about itself, and the certificate in its data folder.
    pub fn of(view: &DevicesView, data: &Path) -> Self {
        let first = view.addresses.first().expect("the bench is on the network");
        let address = first.trim_start_matches("https://").trim_end_matches('/');
        let kept = std::fs::read(data.join("keys/network.tls")).expect("there is a certificate");
        let kept: serde_json::Value = serde_json::from_slice(&kept).expect("it is JSON");
        let der = hex::decode(kept["certificate"].as_str().unwrap_or_default());
        let mut roots = RootCertStore::empty();
        roots
            .add(CertificateDer::from(der.expect("hexadecimal digits")))
            .expect("it is a certificate");
        let tls = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_protocol_versions(&[&version::TLS13])
            .expect("TLS 1.3 is there")
            .with_root_certificates(roots)
            .with_no_client_auth();
        Self {
            address: address
                .parse()
                .expect("the first address is one in numbers"),
            tls: Arc::new(tls),
        }
    }

    /// Connects, and checks the certificate for the address.
    pub fn connect(&self) -> io::Result<Tls> {
        let stream = TcpStream::connect(self.address)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        stream.set_write_timeout(Some(PATIENCE))?;
        let name = ServerName::from(self.address.ip());
        let session =
            ClientConnection::new(Arc::clone(&self.tls), name).map_err(io::Error::other)?;
        Ok(StreamOwned::new(session, stream))
    }
}
