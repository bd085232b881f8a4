//! A profile: how a kind of tool speaks, as data. A new dialect is a new file, not new code.
//!
//! Either lines of text ([`LineSettings`]) or frames of bytes ([`BinarySettings`]). For lines the contract is a regular
//! expression with named groups: `value` has to be there; `sign`, `unit`, `counter`, `time`, `flags` and `sum` may be. The
//! unit map decides what a unit means, and a unit that it does not name is an error.
//!
//! Instruments that speak something else than lines of their own are in [`instrument`].

pub mod instrument;

use crate::reading::Flag;
use instrument::{
    JsonSettings, KeySettings, ModbusSettings, MqttSettings, Plausible, ScpiSettings, SenmlSettings,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How a kind of tool sends its readings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Unique; a tool's connection names it.
    pub name: String,
    /// For people.
    pub title: String,
    /// The serial line.
    #[serde(default)]
    pub serial: SerialSettings,
    /// Bluetooth LE: where the bytes come from and go to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gatt: Option<GattSettings>,
    /// What is sent to the tool once after the port was opened, in this order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub start: Vec<Command>,
    /// For tools that speak only when they are asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub poll: Option<PollSettings>,
    /// Where a line ends.
    #[serde(default)]
    pub frame: FrameSettings,
    /// What a line says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<LineSettings>,
    /// What a frame of bytes says; instead of `line`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub binary: Option<BinarySettings>,
    /// The tool's spelling of a unit, and the unit it means. A unit missing in the line is looked up as "".
    #[serde(default)]
    pub unit: BTreeMap<String, String>,
    /// The tool's status words, and what they mean.
    #[serde(default)]
    pub flag: BTreeMap<String, Meaning>,
    /// What stands in the group `sign`, and which way it turns. Needed only where it is not `+` or `-`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub sign: BTreeMap<String, Turn>,
    /// The values of a tool that measures no torque and sends all the time: how one is found that has settled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub settle: Option<SettleSettings>,
    /// The values are samples of a pull, and not readings each.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stream: Option<StreamSettings>,
    /// Registers that are asked for (Modbus RTU); instead of `line`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modbus: Option<ModbusSettings>,
    /// An instrument that is asked as IEEE 488.2 has it; instead of `line`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scpi: Option<ScpiSettings>,
    /// Lists of measurements as RFC 8428 has them; instead of `line`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub senml: Option<SenmlSettings>,
    /// A value somewhere in JSON; instead of `line`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub json: Option<JsonSettings>,
    /// The tool types its lines as a keyboard does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keys: Option<KeySettings>,
    /// How a broker is spoken to, where the tool is behind one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mqtt: Option<MqttSettings>,
    /// What the tool can mean at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plausible: Option<Plausible>,
}

/// How a value that has settled is found among those of a scale or gauge that sends all the time.
///
/// A value is taken once all values of `for_ms` lie within `within` of each other, and the means of the two halves of that time
/// agree to a quarter of it, so that a slow creep is not taken for rest. Then nothing is taken until the value jumps by more
/// than four times `within`, or falls below `least`. What has not settled after `give_up_ms` is taken once and a person is
/// asked. The rules are our own choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettleSettings {
    /// How far values that have settled lie apart at most, for example "0.05 mm".
    pub within: String,
    /// For how many milliseconds.
    #[serde(default = "one_second")]
    #[schemars(range(min = 100, max = 60_000))]
    pub for_ms: u32,
    /// After how many milliseconds a value that does not settle is asked about.
    #[serde(default = "ten_seconds")]
    #[schemars(range(min = 100, max = 600_000))]
    pub give_up_ms: u32,
    /// A smaller value is the tool at rest: no reading, for example "1 mm".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<String>,
}

const fn one_second() -> u32 {
    1_000
}

const fn ten_seconds() -> u32 {
    10_000
}

/// The serial line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SerialSettings {
    /// Bits a second.
    pub baud: u32,
    /// 7 or 8.
    pub bits: u8,
    /// None unless said.
    pub parity: Parity,
    /// 1 or 2.
    pub stop: u8,
    /// None unless said.
    pub flow: Flow,
}

impl Default for SerialSettings {
    fn default() -> Self {
        Self {
            baud: 9600,
            bits: 8,
            parity: Parity::None,
            stop: 1,
            flow: Flow::None,
        }
    }
}

/// The parity bit of a serial line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Parity {
    /// No parity bit.
    #[default]
    None,
    /// Even.
    Even,
    /// Odd.
    Odd,
}

/// How either side says that it cannot take more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Flow {
    /// Not at all.
    #[default]
    None,
    /// XON and XOFF in the stream.
    Software,
    /// The lines RTS and CTS.
    Hardware,
}

/// Bluetooth LE. With neither `line` nor `binary` the tool is read by the services that are adopted for it, or by what its
/// characteristics say about themselves. Else its bytes come from one characteristic, and there is no standard for which:
/// every maker has UUIDs of their own.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GattSettings {
    /// The service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<String>,
    /// The characteristic that notifies or indicates what the tool sends.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notify: Option<String>,
    /// The characteristic that is written to, for tools that want commands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub write: Option<String>,
}

/// What is sent to a tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Command {
    /// As text, for example "?\r".
    Text(String),
    /// As bytes in hexadecimal digits, for example "07 04 00 00 00 02 71 AD".
    Hex(String),
}

/// For tools that speak only when they are asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PollSettings {
    /// What is sent.
    pub send: Command,
    /// How often, in milliseconds.
    pub every_ms: u32,
    /// The tool sends back what it was sent; one copy before an answer is dropped.
    #[serde(default)]
    pub echo: bool,
}

/// Where a line ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct FrameSettings {
    /// The bytes that end a line, for example "\r\n".
    pub terminator: String,
    /// The bytes that begin a line, where there are such, for example "\u0002". What stands before them is dropped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<String>,
    /// A silence of so many milliseconds ends a line. Only for tools that send no terminator: a line that pauses would
    /// be taken for two.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub silence_ms: Option<u32>,
    /// A longer line is rubbish.
    pub longest: usize,
    /// Take the first line after the port was opened only if the line was quiet before it. On for lines without a
    /// checksum: the end of a line that was cut looks like a smaller number.
    pub distrust_first: bool,
}

impl Default for FrameSettings {
    fn default() -> Self {
        Self {
            terminator: "\r\n".to_owned(),
            start: None,
            silence_ms: None,
            longest: 120,
            distrust_first: true,
        }
    }
}

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineSettings {
    /// Lines that say nothing about torque.
    #[serde(default)]
    pub ignore: Vec<String>,
    /// A reading, with named groups.
    pub pattern: String,
    /// What stands in the group `value` where the tool was past its range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_range: Option<String>,
    /// The decimal mark is a comma.
    #[serde(default)]
    pub decimal_comma: bool,
    /// So many of the digits stand behind a decimal mark that is not sent: 508 with 2 is 5.08.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub decimals: u8,
    /// What stands between two words of the group `flags`; empty where each character is a word.
    #[serde(default = "plus")]
    pub flag_separator: String,
    /// How the group `sum` is made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checksum: Option<Checksum>,
}

fn plus() -> String {
    "+".to_owned()
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
const fn is_zero(decimals: &u8) -> bool {
    *decimals == 0
}

/// A checksum over part of a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Checksum {
    /// How it is made.
    pub kind: ChecksumKind,
    /// It begins after the first of these; at the beginning of the line if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<char>,
    /// And ends before the last of these; before the group `sum` if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<char>,
}

/// The sums that are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChecksumKind {
    /// Exclusive or of all bytes; two hexadecimal digits.
    Xor,
    /// Sum of all bytes modulo 256; two hexadecimal digits.
    Sum,
    /// What has to be added to the sum of all bytes to make a multiple of 256; two hexadecimal digits.
    TwosComplement,
    /// CRC-16 as Modbus has it (polynomial 0x8005 reflected, start 0xFFFF); four hexadecimal digits.
    Crc16Modbus,
    /// CRC-16 with polynomial 0x1021, start 0xFFFF, not reflected; four hexadecimal digits.
    Crc16Ccitt,
}

/// What a status word of a tool means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Meaning {
    /// The battery is nearly empty.
    BatteryLow,
    /// The tool was past its range.
    OverRange,
    /// The tool sends this reading again.
    SentAgain,
    /// The value is the highest of the pull.
    Peak,
    /// The value is where a click tool gave way.
    FirstPeak,
    /// The value is what the display shows at this moment: a sample, and not a reading.
    Track,
    /// The value had not settled: no reading.
    Unstable,
    /// Nothing that matters here.
    Nothing,
}

impl Meaning {
    /// What a reading is marked with.
    pub const fn flag(self) -> Option<Flag> {
        match self {
            Self::BatteryLow => Some(Flag::BatteryLow),
            Self::OverRange => Some(Flag::OverRange),
            Self::SentAgain => Some(Flag::SentAgain),
            Self::FirstPeak => Some(Flag::FirstPeak),
            Self::Peak | Self::Track | Self::Unstable | Self::Nothing => None,
        }
    }
}

/// Which way a torque turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Turn {
    /// Positive.
    Clockwise,
    /// Negative.
    CounterClockwise,
}

/// Frames of bytes: where the value stands in them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BinarySettings {
    /// The bytes that begin a frame, in hexadecimal digits. Without them a frame is what one notification brings.
    #[serde(default)]
    pub sync: String,
    /// The bytes of a frame, first and last included.
    pub length: usize,
    /// The value, or the first of several.
    pub value: Field,
    /// So many values follow one another in a frame.
    #[serde(default = "one")]
    pub values: u16,
    /// The values count units of 10 to this power: 508 with -2 is 5.08.
    #[serde(default)]
    pub exponent: i8,
    /// The unit.
    pub unit: String,
    /// The whole number that means "no value", where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_value: Option<i64>,
    /// The tool's own count of frames.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counter: Option<Field>,
    /// A whole number whose bits are status flags; bit 0 is the least.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<Field>,
    /// What the bits of `status` mean, by their number.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub bit: BTreeMap<String, Meaning>,
    /// The checksum at the frame's end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checksum: Option<FrameChecksum>,
}

const fn one() -> u16 {
    1
}

/// Where a number stands in a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// Its first byte, counted from 0.
    pub at: usize,
    /// How it is written.
    pub format: Format,
    /// In which order its bytes stand.
    #[serde(default)]
    pub order: Order,
}

/// How a number is written in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Format {
    /// Unsigned, 1 byte.
    Uint8,
    /// Unsigned, 2 bytes.
    Uint16,
    /// Unsigned, 3 bytes.
    Uint24,
    /// Unsigned, 4 bytes.
    Uint32,
    /// Two's complement, 1 byte.
    Sint8,
    /// Two's complement, 2 bytes.
    Sint16,
    /// Two's complement, 3 bytes.
    Sint24,
    /// Two's complement, 4 bytes.
    Sint32,
    /// IEEE 754, 4 bytes.
    Float32,
    /// IEEE 754, 8 bytes.
    Float64,
    /// IEEE 11073-20601 SFLOAT, 2 bytes.
    Medfloat16,
    /// IEEE 11073-20601 FLOAT, 4 bytes.
    Medfloat32,
}

impl Format {
    /// How many bytes it takes.
    pub const fn size(self) -> usize {
        match self {
            Self::Uint8 | Self::Sint8 => 1,
            Self::Uint16 | Self::Sint16 | Self::Medfloat16 => 2,
            Self::Uint24 | Self::Sint24 => 3,
            Self::Uint32 | Self::Sint32 | Self::Float32 | Self::Medfloat32 => 4,
            Self::Float64 => 8,
        }
    }
}

/// In which order the bytes of a number stand. A is the most significant byte of four.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Order {
    /// DCBA.
    #[default]
    Little,
    /// ABCD.
    Big,
    /// CDAB: words of two bytes, the lower word first.
    BigWordsSwapped,
    /// BADC: bytes swapped in each word.
    BigBytesSwapped,
}

/// The checksum at a frame's end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrameChecksum {
    /// How it is made.
    pub kind: ChecksumKind,
    /// The first byte that it is made of, counted from 0; the last is the one before it.
    #[serde(default)]
    pub from: usize,
    /// In which order its bytes stand.
    #[serde(default)]
    pub order: Order,
}

/// How readings are found in samples. Everything has a default.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct StreamSettings {
    /// A pull begins here.
    pub arm: String,
    /// And ends where the torque stays below this.
    pub release: String,
    /// For so long, in milliseconds. A shorter dip is part of the pull.
    pub gap_ms: u32,
    /// A shorter pull is a knock, in milliseconds.
    pub shortest_ms: u32,
    /// A low-pass filter of first order, in hertz. It makes peaks smaller; the alarm never looks through it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filter_hz: Option<u32>,
    /// A held reading stays within this.
    pub plateau_within: String,
    /// For so long, in milliseconds.
    pub plateau_ms: u32,
    /// A pull that begins sooner after the one before is a repeat click, in milliseconds.
    pub repeat_ms: u32,
    /// The tool's time between two samples, in microseconds; the time of arrival counts if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sample_us: Option<u32>,
    /// The group `time` counts so many microseconds.
    pub time_unit_us: u32,
}

impl Default for StreamSettings {
    fn default() -> Self {
        Self {
            arm: "0.5 N·m".to_owned(),
            release: "0.25 N·m".to_owned(),
            gap_ms: 50,
            shortest_ms: 50,
            filter_hz: None,
            plateau_within: "0.05 N·m".to_owned(),
            plateau_ms: 240,
            repeat_ms: 500,
            sample_us: None,
            time_unit_us: 1000,
        }
    }
}
