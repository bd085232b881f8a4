//! One file a noun. Each verb answers with an outcome, or with a report for the person who asked.

mod build;
mod due;
mod fastener;
mod key;
mod ledger;
mod life;
mod people;
mod pin;
mod plan;
mod reading;
mod recall;
mod record;
mod stats;
mod tool;
mod watch;

pub(crate) use record::export;

use crate::arguments::{AlarmVerb, Arguments, Common, DeviceVerb, Noun, PinArgument};
use crate::client::{Client, ClientError, JSON};
use crate::files;
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _};
use pullmark_daemon::config::Config;
use pullmark_schema::api::{Act, ConfirmedAct, Done};
use std::path::{Path, PathBuf};

/// How the daemon says that an act needs a PIN.
const NEEDS_PIN: &str = "person/needs-pin";

/// What every verb has at hand.
pub(crate) struct Context {
    pub(crate) client: Client,
    pub(crate) data: PathBuf,
    pub(crate) json: bool,
}

impl Context {
    fn new(common: &Common) -> miette::Result<Self> {
        let config = Config::read(None).into_diagnostic()?;
        print::show_as(&config.shop);
        let data = common.data.clone().unwrap_or_else(|| config.data.clone());
        let socket = match (&common.socket, &common.data) {
            (Some(socket), _) => socket.clone(),
            (None, Some(data)) => data.join("pullmark.sock"),
            (None, None) => config.socket_path(),
        };
        Ok(Self {
            client: Client::new(&socket),
            data,
            json: common.json,
        })
    }

    /// Asks for an act and says what came of it.
    pub(crate) async fn act(&self, act: Act, said: &str) -> miette::Result<Outcome> {
        let answer = self.client.act(&act).await;
        self.answered(answer, said)
    }

    /// The same of an act that needs a PIN where the shop keeps people. The daemon says whether it does.
    pub(crate) async fn act_with_pin(
        &self,
        act: Act,
        said: &str,
        from: &PinArgument,
    ) -> miette::Result<Outcome> {
        let answer = match self.client.act(&act).await {
            Err(ClientError::Refused(problem)) if problem.code == NEEDS_PIN => {
                let pin = pin::pin(from, pin::Ask::Present)?;
                let confirmed = ConfirmedAct { act, pin };
                let body = serde_json::to_vec(&confirmed).into_diagnostic()?;
                self.client.post("/v1/acts/confirmed", (JSON, body)).await
            }
            answer => answer,
        };
        self.answered(answer, said)
    }

    /// Says what came of an act.
    pub(crate) fn answered(
        &self,
        answer: Result<Done, ClientError>,
        said: &str,
    ) -> miette::Result<Outcome> {
        match answer {
            Ok(done) => {
                self.say_done(&done, said);
                Ok(Outcome::AsAsked)
            }
            Err(ClientError::Refused(problem)) => {
                if self.json {
                    print::json(&problem);
                } else {
                    print::error(&problem.detail);
                    for finding in &problem.findings {
                        print::error(&format!("  {finding}"));
                    }
                }
                Ok(Outcome::No)
            }
            Err(error) => Err(error).into_diagnostic(),
        }
    }

    fn say_done(&self, done: &Done, said: &str) {
        if self.json {
            print::json(done);
        } else {
            let build = done
                .build
                .as_ref()
                .map(|build| format!(" [{build}]"))
                .unwrap_or_default();
            print::line(&format!("{said}{build}"));
            for more in &done.said {
                print::line(&format!("  {more}"));
            }
        }
    }
}

/// Reads a file that a person named.
pub(crate) fn read_file(path: &Path) -> miette::Result<Vec<u8>> {
    std::fs::read(path)
        .into_diagnostic()
        .wrap_err_with(|| format!("{} cannot be read", path.display()))
}

/// Reads a text file that a person named.
pub(crate) fn read_text(path: &Path) -> miette::Result<String> {
    let bytes = read_file(path)?;
    String::from_utf8(bytes)
        .into_diagnostic()
        .wrap_err_with(|| format!("{} is not UTF-8 text", path.display()))
}

/// To the output, or to a file that is not there yet.
pub(crate) fn put(text: &str, out: Option<&Path>) -> miette::Result<()> {
    let Some(path) = out else {
        print::whole(text);
        return Ok(());
    };
    files::write_new(path, text)
}

/// Does what was asked.
pub(crate) async fn run(arguments: Arguments) -> miette::Result<Outcome> {
    let context = Context::new(&arguments.common)?;
    match arguments.noun {
        Noun::Demo(demo) => crate::demo::run(demo).await,
        Noun::Plan(verb) => plan::run(&context, &verb),
        Noun::Build(verb) => build::run(&context, verb).await,
        Noun::Watch(watch) => watch::run(&context, watch.after, watch.lines).await,
        Noun::Reading(verb) => reading::run(&context, verb).await,
        Noun::Fastener(verb) => fastener::run(&context, verb).await,
        Noun::Due(verb) => due::run(&context, verb).await,
        Noun::Part(verb) => life::part(&context, verb).await,
        Noun::Alarm(AlarmVerb::Acknowledge { alarm, by }) => {
            context
                .act(Act::Acknowledge { alarm, by: by.by }, "acknowledged")
                .await
        }
        Noun::People(verb) => people::people(&context, verb).await,
        Noun::Device(device) => {
            people::device(&context, device.verb.unwrap_or(DeviceVerb::List)).await
        }
        Noun::Tool(verb) => tool::run(&context, verb).await,
        Noun::Recall(recall) => recall::run(&context, recall).await,
        Noun::Stats(stats) => stats::run(&context, &stats).await,
        Noun::Record(verb) => record::run(&context, verb).await,
        Noun::Key(verb) => key::run(&context, &verb),
        Noun::Ledger(verb) => ledger::run(&context, &verb).await,
    }
}
