//! People, PINs and devices as they cross HTTP and the socket. A PIN goes in and never comes out.

use super::Act;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A secret that was typed: it is never printed.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Secret(pub String);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret")
    }
}

/// Somebody who works here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PersonView {
    /// Which person; it stays when the name changes.
    pub person: String,
    /// The name as it is shown.
    pub name: String,
}

/// The same, with how the PIN is doing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PersonPinView {
    /// Which person.
    pub person: String,
    /// The name as it is shown.
    pub name: String,
    /// Whether there is a PIN.
    pub has_pin: bool,
    /// How long the PIN cannot be tried, after wrong ones; 0 where it can.
    pub locked_seconds: u64,
}

/// A device that was let in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DeviceView {
    /// Which device.
    pub device: String,
    /// What the shop calls it.
    pub name: String,
    /// When it was let in.
    pub paired: String,
    /// Who let it in.
    pub by: String,
    /// When it was shut out; nothing while it may reach the bench.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub revoked: Option<String>,
}

/// How the bench is reached from the network, and what was let in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DevicesView {
    /// Where a device has to go; empty where nothing is served on the network.
    pub addresses: Vec<String>,
    /// SHA-256 of the certificate, as a browser shows it.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub fingerprint: Option<String>,
    /// Until when the certificate is good.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub good_until: Option<String>,
    /// Every device that was ever let in, the oldest first.
    pub devices: Vec<DeviceView>,
}

/// An act with the PIN of who does it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConfirmedAct {
    /// What.
    pub act: Act,
    /// The PIN.
    pub pin: Secret,
}

/// Enters a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPerson {
    /// The name as it is to be shown.
    pub name: String,
    /// The PIN.
    pub pin: Secret,
    /// Who enters it; the first person enters themselves.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub by: Option<String>,
}

/// Shows a person by another name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewName {
    /// The new name.
    pub name: String,
    /// Who enters it.
    pub by: String,
}

/// Changes a PIN: with the one before, anywhere; without it, at a prompt alone, as the user that the daemon runs as.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPin {
    /// The new PIN.
    pub pin: Secret,
    /// The one before.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub before: Option<Secret>,
    /// Who sets it anew, where the one before is not given.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub by: Option<String>,
}

/// Who does it, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ByWhom {
    /// Who.
    pub by: String,
    /// Why.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reason: Option<String>,
}

/// Asks for a code that lets one device in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewDevice {
    /// What the shop calls the device.
    pub name: String,
    /// Who lets it in.
    pub by: String,
}

/// The code that lets one device in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PairingView {
    /// The code, in two groups.
    pub code: String,
    /// For how long it is good.
    pub seconds: u64,
    /// Where the device has to go.
    pub addresses: Vec<String>,
    /// SHA-256 of the certificate that the device will be shown.
    pub fingerprint: String,
}

/// The code as it was typed on the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PairingCode {
    /// The code; spaces, dashes and capitals do not matter.
    pub code: Secret,
}
