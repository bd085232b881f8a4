//! `pullmark key`: works on the data folder itself. Keys are changed while no daemon runs, so that no secret ever crosses
//! a socket.

use super::{Context, read_text};
use crate::arguments::KeyVerb;
use crate::files::{self, Over, ToWrite};
use crate::print;
use crate::report::Outcome;
use chrono::DateTime;
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::config::Config;
use pullmark_daemon::edge::clock::Clock;
use pullmark_daemon::edge::keys;
use pullmark_daemon::edge::store::Reader;
use pullmark_daemon::run::{KeyChange, Recovery, Settings, change_key};
use pullmark_schema::entry::to_text;
use pullmark_schema::keys::{KeyLink, KeyReason, check, in_groups, read_secret, secret_text};
use std::io::Read as _;
use std::path::Path;

mod sheet;

pub(crate) fn run(context: &Context, verb: &KeyVerb) -> miette::Result<Outcome> {
    match verb {
        KeyVerb::Show => show(context),
        KeyVerb::History { out } => history(context, out.as_deref()),
        KeyVerb::Rotate => change(context, KeyReason::Rotation, None, None),
        KeyVerb::Revoke { reason, from } => change(context, (*reason).into(), from.clone(), None),
        KeyVerb::Recover {
            sheet,
            reason,
            from,
        } => {
            let text = if sheet.as_os_str() == "-" {
                let mut text = String::new();
                std::io::stdin()
                    .read_to_string(&mut text)
                    .into_diagnostic()?;
                text
            } else {
                read_text(sheet)?
            };
            let key = read_secret(secret_part(&text)).into_diagnostic()?;
            let recovery = Some(Recovery(key));
            change(context, (*reason).into(), from.clone(), recovery)
        }
        KeyVerb::Sheet {
            out,
            replace,
            printed,
        } => sheets(context, out.as_deref(), Over::asked(*replace), *printed),
    }
}

/// A whole sheet may be given too: the key is the line that begins with its mark.
fn secret_part(text: &str) -> &str {
    let mut lines = text.lines();
    lines
        .find_map(|line| line.trim().strip_prefix(sheet::MARK))
        .unwrap_or(text)
}

fn ledger(context: &Context) -> miette::Result<Reader> {
    Reader::open(&context.data)
        .into_diagnostic()
        .wrap_err_with(|| format!("there is no ledger in {}", context.data.display()))
}

/// The bench as its ledger knows it: the daemon may have been told another name than stands in the settings.
fn bench(context: &Context) -> miette::Result<String> {
    let known = ledger(context)?.bench().into_diagnostic()?;
    known.ok_or_else(|| miette!("the ledger in {} is empty", context.data.display()))
}

/// The key history of the ledger.
fn links(context: &Context) -> miette::Result<Vec<KeyLink>> {
    let reader = ledger(context)?;
    let links = reader.links().into_diagnostic()?;
    if links.is_empty() {
        miette::bail!("this ledger has no key history yet: it gets one when the daemon starts");
    }
    Ok(links)
}

fn show(context: &Context) -> miette::Result<Outcome> {
    let links = links(context)?;
    let held = check(&links).into_diagnostic()?;
    let present = links.last().map(|link| (&link.key, &link.valid_from));
    let waits = keys::unprinted_recovery(&context.data)
        .into_diagnostic()?
        .is_some();
    if context.json {
        print::json(&serde_json::json!({
            "identity": held.identity, "earlier_identity": held.earlier_identity,
            "key": present.map(|(key, _)| key), "since": present.map(|(_, since)| since),
            "keys": links.len(), "recovery_waits_to_be_printed": waits,
        }));
        return Ok(Outcome::AsAsked);
    }
    print::line(&format!("identity  {}", in_groups(&held.identity)));
    print::line(
        "          it stays the same however often the key is changed: this is what customers pin",
    );
    if let Some(earlier) = held.earlier_identity {
        print::line(&format!("before    {}", in_groups(&earlier)));
    }
    if let Some((key, since)) = present {
        print::line(&format!("key       {key}, since {since}"));
    }
    if waits {
        print::line("The recovery key is not printed yet: pullmark key sheet --out DIR");
    }
    Ok(Outcome::AsAsked)
}

fn history(context: &Context, out: Option<&Path>) -> miette::Result<Outcome> {
    let links = links(context)?;
    let document = serde_json::json!({ "keys": links });
    if let Some(out) = out {
        let text = serde_json::to_string_pretty(&document).into_diagnostic()? + "\n";
        files::write_new(out, text)?;
    }
    if context.json {
        print::json(&document);
        return Ok(Outcome::AsAsked);
    }
    for link in &links {
        print::line(&format!(
            "{}  {}  {}  {}",
            link.sequence, link.valid_from, link.key, link.reason
        ));
        if let Some(revoked) = &link.revoked {
            print::line(&format!(
                "   the key before no longer counts from {} on",
                revoked.from
            ));
        }
    }
    Ok(Outcome::AsAsked)
}

fn change(
    context: &Context,
    reason: KeyReason,
    revoked_from: Option<String>,
    recovery: Option<Recovery>,
) -> miette::Result<Outcome> {
    // Opening would make what is not there.
    links(context)?;
    let now = Clock::system().now().wall;
    match revoked_from.as_deref().map(DateTime::parse_from_rfc3339) {
        Some(Err(_)) => {
            miette::bail!("--from is no time: write it like {}", to_text(now));
        }
        Some(Ok(from)) if from > now => {
            miette::bail!(
                "--from lies ahead, and it is {} now: name the moment from which the key may have been in other hands",
                to_text(now)
            );
        }
        _ => {}
    }
    let by_recovery = recovery.is_some();
    let config = Config::read(None).into_diagnostic()?;
    let settings = Settings {
        folder: context.data.clone(),
        bench: bench(context)?,
        clock: Clock::system(),
        habits: config.habits(),
    };
    let change = KeyChange {
        reason,
        revoked_from,
        recovery,
    };
    let link = change_key(settings, change).into_diagnostic()?;
    if context.json {
        print::json(&link);
        return Ok(Outcome::AsAsked);
    }
    print::line(&format!(
        "the bench signs with {} from {} on",
        link.key, link.valid_from
    ));
    print::line("Give the new history out: pullmark key history --out FILE");
    if by_recovery {
        print::line("The recovery key is used up. Print the new one: pullmark key sheet --out DIR");
    }
    Ok(Outcome::AsAsked)
}

fn sheets(
    context: &Context,
    out: Option<&Path>,
    over: Over,
    printed: bool,
) -> miette::Result<Outcome> {
    let mut written = Vec::new();
    if let Some(out) = out {
        let links = links(context)?;
        let held = check(&links).into_diagnostic()?;
        let bench = bench(context)?;
        std::fs::create_dir_all(out)
            .into_diagnostic()
            .wrap_err_with(|| format!("the folder {} cannot be made", out.display()))?;
        let wall = sheet::Wall {
            bench: &bench,
            identity: &held.identity,
            key: links.last().map_or("", |link| &link.key),
        };
        let mut sheets = vec![
            ToWrite::new(out.join("key-sheet.txt"), wall.text()),
            ToWrite::new(out.join("key-sheet.html"), wall.html()?),
        ];
        let waits = keys::unprinted_recovery(&context.data).into_diagnostic()?;
        if let Some(key) = waits.filter(|_| !printed) {
            let text = sheet::recovery(&bench, &held.identity, &secret_text(&key));
            sheets.push(ToWrite::secret(out.join("recovery-sheet.txt"), text));
        }
        files::write(&sheets, over)?;
        written.extend(
            sheets
                .iter()
                .map(|sheet| sheet.path().display().to_string()),
        );
    }
    if printed {
        keys::forget_recovery(&context.data).into_diagnostic()?;
    }
    if context.json {
        print::json(&serde_json::json!({ "files": written, "recovery_forgotten": printed }));
        return Ok(Outcome::AsAsked);
    }
    for file in &written {
        print::line(file);
    }
    if printed {
        print::line(
            "The recovery key is forgotten here; only the paper has it. Remove its text file too.",
        );
    } else if written.len() == 3 {
        print::line(
            "Print recovery-sheet.txt and put it in the safe, remove the file, then say so: pullmark key sheet --printed",
        );
    }
    Ok(Outcome::AsAsked)
}
