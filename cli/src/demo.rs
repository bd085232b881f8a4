//! `pullmark demo`: the main job from end to end. A daemon in this process, a simulated wrench on a real
//! pseudo-terminal, a build in an invented shop, a signed record, and its check. Everything goes the way that it goes
//! at a bench: bytes through the serial port, acts over the socket, entries through the ledger.

mod bench;
mod mechanic;
mod story;

use crate::arguments::DemoArguments;
use crate::print::{self, Ink, line};
use crate::report::Outcome;
use crate::verbs;
use bench::DemoBench;
use mechanic::Mechanic;
use miette::{IntoDiagnostic as _, WrapErr as _, ensure, miette};
use pullmark_daemon::edge::store::check;
use pullmark_schema::record::{self, Seen, Verified};
use pullmark_schema::verdict::Answer;
use std::path::{Path, PathBuf};

/// The demo's people; invented.
const MECHANIC: &str = "Ines Falk";
const SECOND: &str = "Tomas Rehn";

pub(crate) async fn run(arguments: DemoArguments) -> miette::Result<Outcome> {
    let out = folder(arguments.out.as_deref())?;
    let ink = Ink::for_output();
    opening(ink);
    let mut bench = DemoBench::start(&out, arguments.port).await?;
    line(&ink.faint(&format!(
        "The bench page is at http://{}/ while this runs.",
        bench.address()
    )));
    line("");
    let mut mechanic = Mechanic::begin(&mut bench, arguments.fast, ink).await?;
    story::work(&mut mechanic).await?;
    let build = mechanic.finish(MECHANIC).await?;
    let outcome = verbs::export(&bench.client, &build, &out).await?.outcome();
    closing(&out, ink)?;
    if arguments.stay {
        line("");
        line(&format!(
            "The bench page stays up at http://{}/ until you press Ctrl-C.",
            bench.address()
        ));
        tokio::signal::ctrl_c().await.into_diagnostic()?;
    }
    bench.stop().await?;
    Ok(outcome)
}

/// The folder for everything; a fresh one that stays, if none was named.
fn folder(named: Option<&Path>) -> miette::Result<PathBuf> {
    let folder = match named {
        Some(folder) => folder.to_owned(),
        None => tempfile::Builder::new()
            .prefix("pullmark-demo-")
            .tempdir()
            .into_diagnostic()?
            .keep(),
    };
    std::fs::create_dir_all(&folder)
        .into_diagnostic()
        .wrap_err_with(|| format!("{} cannot be made", folder.display()))?;
    folder.canonicalize().into_diagnostic()
}

fn opening(ink: Ink) {
    line(
        &ink.strong(
            "Pullmark: a build at Harrow Lane Cycleworks (invented), with a simulated wrench, calliper and gauge",
        ),
    );
    line(
        "The mark shows each pull against its limits: inside the band is within, left of it under, right of it over.",
    );
}

/// Checks the record the way a stranger would, from the file alone, and the ledger behind it.
fn closing(out: &Path, ink: Ink) -> miette::Result<()> {
    let file = out.join("record.json");
    let bytes = std::fs::read(&file).into_diagnostic()?;
    let verified = record::verify(&bytes)
        .into_diagnostic()
        .wrap_err("the demo's record does not hold")?;
    told_as_it_was(&verified)?;
    let ledger = check(&out.join("bench"))
        .into_diagnostic()
        .wrap_err("the demo's ledger does not hold")?;
    line("");
    print::valid(&verified, Seen::default(), None, ink);
    line("");
    line(&format!(
        "The ledger holds {} entries; every hash and link was checked.",
        ledger.entries
    ));
    line("");
    line(&ink.strong("What to open"));
    line(&format!("  {}   the signed record", file.display()));
    for (name, what) in [
        (
            "record.pdf",
            "the same on paper, with the signed record in it",
        ),
        (
            "record.html",
            "a page that shows it and checks itself, offline",
        ),
        ("readings.csv", "its readings as a table"),
        ("record.zip", "all of them, for the customer"),
    ] {
        line(&format!("  {}   {what}", out.join(name).display()));
    }
    line(&format!("  pullmark record verify {}", file.display()));
    line("");
    line(&ink.strong("With a real wrench"));
    line("  1. pullmarkd                          the daemon; it says where the bench page is");
    line("  2. pullmark tool ports                which port the wrench is on");
    line(
        "  3. pullmark tool add WRENCH.toml      serial number, certificate, port and line profile",
    );
    line("  4. pullmark build start PLAN.toml --frame SERIAL --tool w1 --by NAME");
    line(
        "  See \"First steps with a real wrench\" in README.md. Figures of this demo are invented: never use them on a bike.",
    );
    Ok(())
}

/// The record has to tell what happened, or the demo has failed.
fn told_as_it_was(verified: &Verified) -> miette::Result<()> {
    let subject = &verified.record.subject;
    let readings = || {
        subject
            .fasteners
            .iter()
            .flat_map(|fastener| &fastener.readings)
    };
    let count = |answer| {
        readings()
            .filter(|r| r.verdict.as_ref().is_some_and(|v| v.answer == answer))
            .count()
    };
    ensure!(
        subject.fasteners.len() >= 14,
        "the record has only {} fasteners",
        subject.fasteners.len()
    );
    ensure!(
        count(Answer::Under) == 1,
        "one under reading was pulled, the record has {}",
        count(Answer::Under)
    );
    ensure!(
        count(Answer::Over) == 1,
        "one over reading was pulled, the record has {}",
        count(Answer::Over)
    );
    ensure!(
        subject.alarms.len() == 1,
        "one alarm was raised, the record has {}",
        subject.alarms.len()
    );
    ensure!(
        subject.summary.deferred == 1,
        "one fastener was deferred, the record has {}",
        subject.summary.deferred
    );
    ensure!(
        subject.summary.open + subject.summary.over == 0,
        "the record says that something is open"
    );
    ensure!(
        subject.check_summary.within == 4 && subject.check_summary.checks == 4,
        "four checks are within, the record has {:?}",
        subject.check_summary
    );
    let clamp = subject
        .fasteners
        .iter()
        .find(|fastener| fastener.id == "seat.clamp");
    let clamp = clamp.ok_or_else(|| miette!("the seat post clamp is not in the record"))?;
    ensure!(
        clamp.dispositions.len() == 1,
        "the decision on the seat post clamp is not in the record"
    );
    let clicked = subject
        .fasteners
        .iter()
        .find(|fastener| fastener.id == "brakes.front-upper");
    ensure!(
        clicked.is_some_and(|clicked| clicked.readings.len() == 2),
        "the repeat click is not where it belongs"
    );
    Ok(())
}
