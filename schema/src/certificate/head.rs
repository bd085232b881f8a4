//! What a file of bare points does not say.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a certificate's first page says, where the file has it not; the file's own words come first.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CertificateHead {
    /// Its number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// Who calibrated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laboratory: Option<String>,
    /// The day of calibration.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub date: Option<NaiveDate>,
    /// The day after which the tool is past its calibration.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub due: Option<NaiveDate>,
}
