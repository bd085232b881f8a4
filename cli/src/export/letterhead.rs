//! The shop's name and logo, from a file.

use miette::{IntoDiagnostic as _, WrapErr as _, miette};
use pullmark_paper::{Letterhead, Logo};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// A logo is a picture for paper, not a poster.
const LARGEST_LOGO: usize = 2 << 20;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: Option<String>,
    #[serde(default)]
    lines: Vec<String>,
    logo: Option<PathBuf>,
}

/// The letterhead of a file, where one is named: `name`, `lines`, and `logo`, a file beside it.
pub(crate) fn letterhead(path: Option<&Path>) -> miette::Result<Letterhead> {
    path.map_or_else(|| Ok(Letterhead::default()), read)
}

fn read(path: &Path) -> miette::Result<Letterhead> {
    let words = || format!("the letterhead {}", path.display());
    let text = std::fs::read_to_string(path)
        .into_diagnostic()
        .wrap_err_with(words)?;
    let file: File = toml::from_str(&text)
        .into_diagnostic()
        .wrap_err_with(words)?;
    let logo = file
        .logo
        .map(|logo| read_logo(&path.parent().unwrap_or(Path::new(".")).join(logo)))
        .transpose()?;
    Ok(Letterhead {
        name: file.name,
        lines: file.lines,
        logo,
    })
}

fn read_logo(path: &Path) -> miette::Result<Logo> {
    let bytes = std::fs::read(path)
        .into_diagnostic()
        .wrap_err_with(|| format!("the logo {}", path.display()))?;
    if bytes.len() > LARGEST_LOGO {
        return Err(miette!(
            "the logo {} is larger than 2 MiB: make it smaller",
            path.display()
        ));
    }
    Logo::of(bytes)
        .ok_or_else(|| miette!("the logo {} is neither SVG, PNG nor JPEG", path.display()))
}
