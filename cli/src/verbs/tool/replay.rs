//! `pullmark tool replay`.

use super::port::find_profile;
use super::{Context, read_text};
use crate::print;
use crate::report::Outcome;
use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_daemon::intake::What;
use pullmark_daemon::intake::capture::{Capture, Replayed};
use std::path::Path;

pub(super) fn run(
    context: &Context,
    file: &Path,
    profile: Option<&str>,
) -> miette::Result<Outcome> {
    let capture = Capture::read(&read_text(file)?)
        .into_diagnostic()
        .wrap_err_with(|| file.display().to_string())?;
    let name = profile.or(capture.profile.as_deref()).ok_or_else(|| {
        miette!(
            "{} names no profile: say one with --profile",
            file.display()
        )
    })?;
    let dialect = find_profile(name)?;
    let (mut readings, mut others, mut rows) = (0, 0, Vec::new());
    capture.replay(&dialect, |at, what| {
        match &what {
            Replayed::Received(received) => match received.what {
                What::Reading(_) | What::Pull(_) => readings += 1,
                What::Rising(_) => return,
                _ => others += 1,
            },
            Replayed::Gone(partial) => others += usize::from(partial.is_some()),
        }
        let time = format!("{}.{:06}", at / 1_000_000, at % 1_000_000);
        if context.json {
            rows.push(serde_json::json!({ "seconds": time, "what": what.to_string() }));
        } else {
            print::line(&format!("{time:>12}  {what}"));
        }
    });
    if context.json {
        print::json(&rows);
    } else {
        print::line(&format!(
            "{readings} readings; {others} others, which are none"
        ));
    }
    Ok(if others == 0 {
        Outcome::AsAsked
    } else {
        Outcome::No
    })
}
