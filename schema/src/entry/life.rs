//! What entries say about the life of a build beside its pulls: parts, waiting, changing hands, other editions of the
//! plan, notes, and acts that were taken back.

use super::{Alarm, PlanPin};
use crate::canonical::Digest32;
use crate::check::CheckJudgedAnew;
use crate::verdict::Verdict;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An act on a whole build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OnBuild {
    /// Which build.
    pub build: String,
    /// Who.
    pub by: String,
    /// Why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}

/// A fastener waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deferral {
    /// Which build.
    pub build: String,
    /// Which fastener.
    pub fastener: String,
    /// Who.
    pub by: String,
    /// Why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
    /// What it waits for: a part, a tool, an answer.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub waits_for: Option<String>,
}

/// An earlier act was a mistake: from here on the build is as if it had not been. Its entry stays.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Withdrawn {
    /// Which build.
    pub build: String,
    /// The sequence number of the act's entry.
    pub entry: u64,
    /// Who takes it back.
    pub by: String,
    /// Why.
    pub reason: String,
}

/// A part was put on the bike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartFitted {
    /// Which build.
    pub build: String,
    /// Which part of the plan.
    pub part: String,
    /// Its serial number, or what else it can be known by.
    pub serial: String,
    /// What it is, where that is another than the plan says.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// Who.
    pub by: String,
}

/// A part went out and a spare went in. The fasteners that hold it are loose after it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartSwapped {
    /// Which build.
    pub build: String,
    /// Which part of the plan.
    pub part: String,
    /// The serial number of the one that went out, where it is known.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub out: Option<String>,
    /// The serial number of the one that went in.
    pub serial: String,
    /// What it is, where that is another than the plan says.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub kind: Option<String>,
    /// The fasteners that were undone for it.
    pub fasteners: Vec<String>,
    /// Who.
    pub by: String,
    /// Why.
    pub reason: String,
}

/// A reading that another edition of the plan judges by other limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JudgedAnew {
    /// The sequence number of the reading's entry.
    pub reading: u64,
    /// The verdict under the new edition.
    pub verdict: Verdict,
    /// An over alarm that only the new edition raises.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub alarm: Option<Alarm>,
}

/// From here on the build is held to another edition of its plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanChanged {
    /// Which build.
    pub build: String,
    /// The new edition; its file is kept in the ledger.
    pub plan: PlanPin,
    /// Who.
    pub by: String,
    /// Why.
    pub reason: String,
    /// The readings that count at fasteners whose limits changed.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub judged: Vec<JudgedAnew>,
    /// The readings that count at checks whose limits changed.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub judged_checks: Vec<CheckJudgedAnew>,
    /// The fasteners that have to be pulled again, and the checks that have to be measured again: their readings no longer
    /// count.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub again: Vec<String>,
}

/// The kind of picture a photograph is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum MediaType {
    /// JPEG (ISO/IEC 10918-1).
    #[serde(rename = "image/jpeg")]
    Jpeg,
    /// PNG (ISO/IEC 15948).
    #[serde(rename = "image/png")]
    Png,
    /// WebP (RFC 9649).
    #[serde(rename = "image/webp")]
    Webp,
}

impl MediaType {
    /// What the first bytes say, whatever a name or a header says.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            Some(Self::Jpeg)
        } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            Some(Self::Png)
        } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            Some(Self::Webp)
        } else {
            None
        }
    }

    /// The name under which it is registered.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
        }
    }
}

/// The largest photograph that is kept, in bytes.
pub const LARGEST_PHOTO: usize = 8 << 20;

/// A photograph; its bytes are kept in the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// SHA-256 of the file's bytes.
    pub sha256: Digest32,
    /// What kind of picture it is.
    pub media_type: MediaType,
    /// How many bytes it has.
    pub bytes_length: u64,
    /// The file's name, as the person called it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub name: Option<String>,
}

/// Somebody noted something, in words or with a photograph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Noted {
    /// Which build.
    pub build: String,
    /// Which fastener; none for the whole build.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fastener: Option<String>,
    /// What.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub text: Option<String>,
    /// What it looked like.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub photo: Option<Photo>,
    /// Who.
    pub by: String,
}

/// One mechanic hands the build to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandedOver {
    /// Which build.
    pub build: String,
    /// Who had it.
    pub from: String,
    /// Who has it now.
    pub to: String,
    /// Who says so, where that is said; it may be somebody else than who had it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub by: Option<String>,
    /// What the other has to know.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub note: Option<String>,
}

impl HandedOver {
    /// Who did it: who says so, or who had it.
    pub fn who(&self) -> &String {
        self.by.as_ref().unwrap_or(&self.from)
    }
}
