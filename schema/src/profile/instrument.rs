//! The parts of a profile for instruments: registers, queries, lists of measurements, brokers, keyboards, and when a value
//! that is always there is a new reading.

use super::{Format, Order};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Registers that are asked for over and over (Modbus RTU).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ModbusSettings {
    /// The unit's address on the line, 1 to 247.
    pub address: u8,
    /// How often it is asked, in milliseconds.
    #[serde(default = "tenth")]
    pub every_ms: u32,
    /// After so many milliseconds without an answer the unit is silent.
    #[serde(default = "third")]
    pub timeout_ms: u32,
    /// Where the value stands.
    pub value: Register,
    /// The value counts units of 10 to this power: 508 with -2 is 5.08.
    #[serde(default)]
    pub exponent: i8,
    /// The whole number that means "no value", where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_value: Option<i64>,
    /// A register that says the unit of measure; the profile's `unit` map says what each of its numbers means. Without it
    /// the map has one entry, "".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<Register>,
    /// A register that changes with each new value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counter: Option<Register>,
}

const fn tenth() -> u32 {
    100
}

const fn third() -> u32 {
    300
}

/// Where a number stands in a unit's registers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Register {
    /// Which table it is in.
    #[serde(default)]
    pub table: Table,
    /// Its number, counted from 0 as it goes over the line.
    pub at: u16,
    /// How it is written; numbers of one byte or three do not fill registers.
    pub format: Format,
    /// In which order its bytes stand; `big` where nothing is said.
    #[serde(default = "big")]
    pub order: Order,
}

const fn big() -> Order {
    Order::Big
}

/// A table of registers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Table {
    /// Input registers, function 4.
    #[default]
    Input,
    /// Holding registers, function 3.
    Holding,
}

/// An instrument that is asked as IEEE 488.2 has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScpiSettings {
    /// The question, for example "MEAS?", "READ?" or "FETC?".
    pub ask: String,
    /// How often, in milliseconds.
    #[serde(default = "fifth")]
    pub every_ms: u32,
    /// After so many milliseconds without an answer it is silent.
    #[serde(default = "second")]
    pub timeout_ms: u32,
    /// Ask `*IDN?` first; the serial number in the answer is compared with the tool's.
    #[serde(default = "yes")]
    pub identity: bool,
    /// Ask for the queue of errors with `SYST:ERR?`.
    #[serde(default = "yes")]
    pub errors: bool,
    /// Which item of the answer is the value, counted from 0.
    #[serde(default)]
    pub item: u8,
    /// Which item of the answer changes with each new value, where one does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counter: Option<u8>,
    /// How the numbers in a block of bytes are written.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub block: Option<BlockSettings>,
    /// It answers only when somebody has measured: each answer is a new reading.
    #[serde(default)]
    pub each: bool,
}

const fn fifth() -> u32 {
    200
}

const fn second() -> u32 {
    1000
}

const fn yes() -> bool {
    true
}

/// Numbers in a block of bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BlockSettings {
    /// How each is written.
    pub format: Format,
    /// In which order its bytes stand.
    #[serde(default = "big")]
    pub order: Order,
}

/// Lists of measurements as RFC 8428 has them in JSON. There is no unit of torque among them.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SenmlSettings {
    /// Only records whose whole name ends with this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// A measurement that is older than so many seconds by its own time is stale; 60 where nothing is said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub oldest_s: Option<u32>,
}

/// A value somewhere in JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JsonSettings {
    /// Where the value stands, as RFC 6901 has it: "/mass/value".
    pub value: String,
    /// Where the unit stands; without it the profile's `unit` map has the entry "".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Where the tool's count of values stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counter: Option<String>,
}

/// A tool that types its lines as a keyboard does. What a line says is in `line`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct KeySettings {
    /// Which keyboard it takes itself for.
    pub layout: Layout,
    /// What further keys mean, by their number; "" where a key is to be passed over.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub key: BTreeMap<String, String>,
    /// A longer pause within a line means that it is none, in milliseconds; 500 where nothing is said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pause_ms: Option<u32>,
}

/// What the keys of a keyboard mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Layout {
    /// United States.
    #[default]
    Us,
    /// Germany.
    De,
}

/// How a broker is spoken to (MQTT 3.1.1).
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct MqttSettings {
    /// Deliver at most once; at least once where it is false.
    pub at_most_once: bool,
    /// A name of our own at the broker, which then keeps for us what comes while we are away. Each daemon needs another
    /// one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub client: Option<String>,
    /// The user.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub user: Option<String>,
    /// A file with the password in its first line. The password is never stored elsewhere.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub password_file: Option<String>,
}

/// What a tool can mean at all. What is outside is kept, and never used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plausible {
    /// The lowest value, for example "0 mm".
    pub lowest: String,
    /// The highest value. A torque above it is read as "past the tool's range" and raises the alarm.
    pub highest: String,
}
