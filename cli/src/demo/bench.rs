//! The demo's daemon and its simulated wrench.

use crate::client::Client;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::clock::{Clock, Skip};
use pullmark_daemon::service::Service;
use pullmark_schema::api::Act;
use pullmark_schema::tool::{Connection, Tool};
use pullmark_sim::tool::PluggedWrench;
use pullmark_sim::tool::wrench::Wrench;
use std::net::SocketAddr;
use std::path::Path;

/// A daemon with one wrench.
pub(crate) struct DemoBench {
    pub(crate) client: Client,
    pub(crate) wrench: PluggedWrench,
    pub(crate) skip: Skip,
    service: Service,
}

impl DemoBench {
    /// Starts the daemon on a fresh bench below `out`, plugs the wrench in and makes it known.
    pub(crate) async fn start(out: &Path, port: u16) -> miette::Result<Self> {
        let data = out.join("bench");
        let skip = Skip::default();
        let config = Config {
            bench: "demo-bench".to_owned(),
            data: data.clone(),
            port,
            ..Config::default()
        };
        let service =
            Service::start_with(&config, Clock::practice_with_skip(1, &skip)).into_diagnostic()?;
        let link = data.join("wrench");
        let wrench = Wrench::new("SIM-2207").into_diagnostic()?;
        let wrench = PluggedWrench::plug(wrench, &link)
            .into_diagnostic()
            .wrap_err("the simulated wrench could not be plugged in")?;
        let client = Client::new(&config.socket_path());
        let mut tool = Tool::read(include_str!("tool.toml")).into_diagnostic()?;
        let port = link.display().to_string();
        tool.connection = Some(Connection {
            port,
            profile: "pullmark-line".to_owned(),
        });
        client
            .act(&Act::AddTool {
                tool: Box::new(tool),
            })
            .await
            .into_diagnostic()?;
        Ok(Self {
            client,
            wrench,
            skip,
            service,
        })
    }

    pub(crate) const fn address(&self) -> SocketAddr {
        self.service.address
    }

    pub(crate) async fn stop(self) -> miette::Result<()> {
        self.service.stop().await.into_diagnostic()
    }
}
