//! What entries say about people and about the devices they work at. No secret ever stands in an entry.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a person showed that an act is theirs, beyond the name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Confirmed {
    /// They gave their PIN.
    Pin,
}

impl std::fmt::Display for Confirmed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Pin => "confirmed by PIN",
        })
    }
}

/// A person works here from now on, or is shown by another name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PersonNamed {
    /// Which person. It stays the same when the name changes.
    pub person: String,
    /// The name as it is shown, and as it stands in entries and records from now on.
    pub name: String,
    /// Who entered it.
    pub by: String,
}

/// A person has another PIN. Neither the PIN nor anything made from it is in the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PinChanged {
    /// Which person.
    pub person: String,
    /// Who changed it.
    pub by: String,
    /// It was set anew on the bench's own machine, without the PIN before.
    #[serde(skip_serializing_if = "std::ops::Not::not", default)]
    pub reset: bool,
}

/// A person works here no longer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PersonLeft {
    /// Which person.
    pub person: String,
    /// Who entered it.
    pub by: String,
}

/// After wrong PINs nobody can try again for a while.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PinLocked {
    /// Whose PIN was tried.
    pub person: String,
    /// From where: the paired device, or none for the bench's own machine.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub device: Option<String>,
    /// How many wrong PINs in a row.
    pub wrong: u32,
    /// For how long.
    pub seconds: u64,
}

/// A device on the network may reach this bench from now on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DevicePaired {
    /// Which device.
    pub device: String,
    /// What the shop calls it.
    pub name: String,
    /// Who let it in.
    pub by: String,
}

/// A device may reach this bench no longer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DeviceRevoked {
    /// Which device.
    pub device: String,
    /// Who shut it out.
    pub by: String,
    /// Why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}
