//! A certificate file with what a person says beside it, as it crosses from the command line to the daemon.

use super::{CertificateError, Format, Head, Imported, read_csv, read_dcc, read_toml};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a person says beside a certificate file. Where it contradicts the file, the file is refused.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CertificateHead {
    /// The certificate's number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// Who calibrated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<String>,
    /// The day of calibration.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub date: Option<NaiveDate>,
    /// The day after which the tool is past its calibration; no later one than the file states.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub due: Option<NaiveDate>,
    /// Which table of a digital certificate, counted from 1, where it has several for the tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub table: Option<u8>,
}

/// Reads a certificate file of the tool with a serial number. What it says is not checked yet: see [`Imported::check`].
pub fn read(
    text: &str,
    format: Format,
    given: &CertificateHead,
    serial: &str,
) -> Result<Imported, CertificateError> {
    let head = Head {
        number: given.number.clone(),
        laboratory: given.laboratory.clone(),
        date: given.date,
        due: given.due,
        ..Head::default()
    };
    match format {
        Format::Toml => read_toml(text),
        Format::Csv => read_csv(text, &head),
        Format::Dcc => {
            // Of several items in one certificate it is the serial number that says which.
            let head = Head {
                serial: Some(serial.to_owned()),
                ..head
            };
            read_dcc(text.as_bytes(), &head, given.table.map(usize::from))
        }
    }
}
