//! `pullmark tool`.

mod port;
mod record;
mod replay;
mod teach;

use super::{Context, read_text};
use crate::arguments::ToolVerb;
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::edge::serial::usb_ports;
use pullmark_schema::api::{Act, BenchView, ToolView};
use pullmark_schema::tool::Tool;

pub(crate) async fn run(context: &Context, verb: ToolVerb) -> miette::Result<Outcome> {
    match verb {
        ToolVerb::Add { file } => {
            let tool = Tool::read(&read_text(&file)?)
                .into_diagnostic()
                .wrap_err_with(|| file.display().to_string())?;
            let said = format!("{} ({}) is known now", tool.id, tool.title);
            context.act(Act::AddTool { tool }, &said).await
        }
        ToolVerb::List => {
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
        ToolVerb::Ports => ports(context).await,
        ToolVerb::Teach(arguments) => teach::run(context, &arguments),
        ToolVerb::Record(arguments) => record::run(&arguments),
        ToolVerb::Replay { file, profile } => replay::run(context, &file, profile.as_deref()),
    }
}

fn say(view: &ToolView) {
    let tool = &view.tool;
    let state = match (&tool.connection, view.connected, &view.gone) {
        (None, ..) => "readings are entered by hand".to_owned(),
        (Some(connection), true, _) => format!("connected at {}", connection.port),
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
