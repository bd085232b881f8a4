//! The demo's daemon and its simulated tools.

use crate::client::Client;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::clock::{Clock, Skip};
use pullmark_daemon::service::Service;
use pullmark_schema::api::Act;
use pullmark_schema::tool::{Connection, Tool};
use pullmark_sim::tool::PluggedWrench;
use pullmark_sim::tool::gauge::PluggedGauge;
use pullmark_sim::tool::wrench::Wrench;
use std::net::SocketAddr;
use std::path::Path;

/// A daemon with one wrench, a calliper and a pressure gauge.
pub(crate) struct DemoBench {
    pub(crate) client: Client,
    pub(crate) wrench: PluggedWrench,
    pub(crate) calliper: PluggedGauge,
    pub(crate) gauge: PluggedGauge,
    pub(crate) skip: Skip,
    service: Service,
}

impl DemoBench {
    /// Starts the daemon on a fresh bench below `out`, plugs the tools in and makes them known.
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
        add(&client, include_str!("tool.toml"), (&link, "pullmark-line")).await?;
        let link = data.join("calliper");
        let calliper = plug("SIM-C-31", &link)?;
        let text = include_str!("calliper.toml");
        add(&client, text, (&link, "pullmark-gauge")).await?;
        let link = data.join("gauge");
        let gauge = plug("SIM-G-08", &link)?;
        let text = include_str!("gauge.toml");
        add(&client, text, (&link, "pullmark-gauge")).await?;
        Ok(Self {
            client,
            wrench,
            calliper,
            gauge,
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

fn plug(serial: &str, link: &Path) -> miette::Result<PluggedGauge> {
    PluggedGauge::plug(serial, link)
        .into_diagnostic()
        .wrap_err("a simulated gauge could not be plugged in")
}

/// Makes a tool known that is plugged in at a port.
async fn add(client: &Client, text: &str, (port, profile): (&Path, &str)) -> miette::Result<()> {
    let mut tool = Tool::read(text).into_diagnostic()?;
    tool.connection = Some(Connection {
        port: port.display().to_string(),
        profile: profile.to_owned(),
    });
    let tool = Box::new(tool);
    client
        .act(&Act::AddTool { by: None, tool })
        .await
        .into_diagnostic()?;
    Ok(())
}
