//! `pullmark tool`.

mod port;
mod record;
mod replay;
mod teach;

use super::{Context, read_text};
use crate::arguments::{CertificateArguments, CheckArguments, FitArguments, ToolVerb};
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::edge::bluetooth;
use pullmark_daemon::edge::serial::usb_ports;
use pullmark_schema::adapter::Adapter;
use pullmark_schema::api::{Act, BenchView, ToolView};
use pullmark_schema::certificate::Format;
use pullmark_schema::quantity::{Length, Rounding, Stated};
use pullmark_schema::tool::Tool;
use std::path::Path;
use std::time::Duration;

pub(crate) async fn run(context: &Context, verb: ToolVerb) -> miette::Result<Outcome> {
    match verb {
        ToolVerb::Add { file, by } => {
            let tool = Tool::read(&read_text(&file)?)
                .into_diagnostic()
                .wrap_err_with(|| file.display().to_string())?;
            let where_from = tool.connection.as_ref().map_or_else(
                || "; its readings are entered by hand".to_owned(),
                |from| {
                    format!(
                        "; it is read at {} by the profile {}",
                        from.port, from.profile
                    )
                },
            );
            let said = format!("{} ({}) is known now{where_from}", tool.id, tool.title);
            let tool = Box::new(tool);
            context.act(Act::AddTool { tool, by }, &said).await
        }
        ToolVerb::List => list(context).await,
        ToolVerb::Show { tool } => show(context, &tool).await,
        ToolVerb::Certify {
            tool,
            file,
            certificate,
            by,
        } => {
            let act = Act::CertifyTool {
                format: format_of(&certificate, &file)?,
                text: read_text(&file)?,
                head: certificate.head(),
                by: by.by,
                tool,
            };
            context.act(act, "the certificate is on file").await
        }
        ToolVerb::Check(check) => self::check(context, check).await,
        ToolVerb::Fit(fit) => self::fit(context, fit).await,
        ToolVerb::Ports => ports(context).await,
        ToolVerb::Scan { seconds } => scan(context, seconds).await,
        ToolVerb::Teach(arguments) => teach::run(context, &arguments),
        ToolVerb::Record(arguments) => record::run(&arguments),
        ToolVerb::Replay { file, profile } => replay::run(context, &file, profile.as_deref()),
    }
}

/// How a certificate file is written, as a person says or as its name ends.
pub(crate) fn format_of(certificate: &CertificateArguments, file: &Path) -> miette::Result<Format> {
    certificate.format_of(file).ok_or_else(|| {
        miette!(
            "{} does not end in .toml, .csv or .xml: say with --format how it is written",
            file.display()
        )
    })
}

async fn list(context: &Context) -> miette::Result<Outcome> {
    let view: BenchView = context.client.get("/v1/bench").await.into_diagnostic()?;
    if context.json {
        print::json(&view.tools);
    } else if view.tools.is_empty() {
        print::line("No tool yet. Make one known: pullmark tool add TOOL.toml");
    } else {
        view.tools.iter().for_each(say);
    }
    Ok(Outcome::AsAsked)
}

async fn show(context: &Context, tool: &str) -> miette::Result<Outcome> {
    let view: BenchView = context.client.get("/v1/bench").await.into_diagnostic()?;
    let found = view.tools.iter().find(|view| view.tool.id == tool);
    let Some(view) = found else {
        return Err(miette!(
            "there is no tool {tool:?}: `pullmark tool list` shows those there are"
        ));
    };
    if context.json {
        print::json(view);
    } else {
        say(view);
        for line in print::tool(view) {
            print::line(&line);
        }
    }
    Ok(Outcome::AsAsked)
}

async fn check(context: &Context, check: CheckArguments) -> miette::Result<Outcome> {
    let (tool, by) = (check.tool, check.by.by);
    if check.begin {
        let said = "pull now: these readings belong to the check and to no fastener";
        return context.act(Act::BeginCheck { tool, by }, said).await;
    }
    if check.give_up {
        return context
            .act(Act::GiveUpCheck { tool, by }, "the check is given up")
            .await;
    }
    let act = Act::CheckTool {
        tool: tool.clone(),
        against: check.against.unwrap_or_default(),
        indicated: check.shown,
        reference: check.reference,
        by,
    };
    let outcome = context.act(act, "the check is on file").await?;
    if outcome == Outcome::AsAsked && !context.json {
        return show(context, &tool).await;
    }
    Ok(outcome)
}

async fn fit(context: &Context, fit: FitArguments) -> miette::Result<Outcome> {
    let length = fit
        .length
        .map(|text| {
            let stated = Stated::parse(&text)?;
            Length::of(stated, Rounding::Nearest)
        })
        .transpose()
        .into_diagnostic()?;
    let adapter = fit.adapter.filter(|_| !fit.bare).map(|title| Adapter {
        title,
        length,
        angle_degrees: fit.angle,
    });
    let said = adapter.as_ref().map_or_else(
        || "nothing is on it".to_owned(),
        |adapter| format!("fitted: {adapter}"),
    );
    let act = Act::FitAdapter {
        tool: fit.tool,
        adapter,
        by: fit.by.by,
    };
    context.act(act, &said).await
}

fn say(view: &ToolView) {
    let tool = &view.tool;
    let state = match (&tool.connection, view.connected, &view.gone) {
        (None, ..) => "readings are entered by hand".to_owned(),
        (Some(connection), true, _) => format!("connected at {}{}", connection.port, about(view)),
        (Some(_), false, Some(why)) => format!("gone: {why}"),
        (Some(connection), false, None) => format!("not connected yet at {}", connection.port),
    };
    let certificate = match &tool.certificate {
        Some(certificate) => format!(
            "certificate {}, due {}",
            certificate.number, certificate.due
        ),
        None => "no certificate on file".to_owned(),
    };
    let serves = view
        .serves
        .as_ref()
        .map(|build| format!(", serves {build}"))
        .unwrap_or_default();
    print::line(&format!(
        "{:<8} {}, serial {}: {state}{serves}; {certificate}",
        tool.id, tool.title, tool.serial
    ));
}

/// What the tool says about itself, where a person should know it.
fn about(view: &ToolView) -> String {
    let other = view.other_serial.as_ref();
    let other = other.map(|serial| format!(", but says that its serial number is {serial}"));
    let battery = view
        .battery_percent
        .map(|percent| format!(", battery at {percent} %"));
    other.into_iter().chain(battery).collect()
}

async fn ports(context: &Context) -> miette::Result<Outcome> {
    let ports: serde_json::Value = context.client.get("/v1/ports").await.into_diagnostic()?;
    if context.json {
        print::json(&ports);
        return Ok(Outcome::AsAsked);
    }
    let list = |name: &str| -> Vec<String> {
        serde_json::from_value(ports[name].clone()).unwrap_or_default()
    };
    for port in list("serial") {
        print::line(&format!("serial     {port}"));
    }
    for port in usb_ports() {
        print::line(&format!(
            "usb        {} is {}",
            port.address(),
            port.path.display()
        ));
    }
    for adapter in list("bluetooth") {
        print::line(&format!("bluetooth  {adapter}"));
    }
    if let Some(problem) = ports["bluetooth_problem"].as_str() {
        print::line(&format!("bluetooth  {problem}"));
    }
    print::line(
        "A port that is not listed can be named all the same, best by its path below /dev/serial/by-id.",
    );
    Ok(Outcome::AsAsked)
}

async fn scan(context: &Context, seconds: u64) -> miette::Result<Outcome> {
    let heard = bluetooth::scan(Duration::from_secs(seconds)).await;
    let heard = heard.into_diagnostic()?;
    if context.json {
        print::json(&heard);
        return Ok(Outcome::AsAsked);
    }
    for device in &heard {
        let name = device.name.as_deref().unwrap_or("(no name)");
        let signal = device
            .signal
            .map(|signal| format!(", {signal} dBm"))
            .unwrap_or_default();
        let hints = if device.hints.is_empty() {
            String::new()
        } else {
            format!(": {}", device.hints.join(", "))
        };
        print::line(&format!("{}  {name}{signal}{hints}", device.address));
    }
    if heard.is_empty() {
        print::line("No Bluetooth device was heard. Switch the tool on, and bring it near.");
    }
    Ok(Outcome::AsAsked)
}
