//! Lists of measurements in JSON (RFC 8428), with the units of RFC 8428 and the secondary ones of RFC 8798 (names from memory).
//!
//! There is no unit of torque among them: a joule has its dimension and is an energy, so it is refused as that. What a
//! sensor says along with what is wanted here (its humidity, its battery) is passed over.

use super::dialect::Line;
use super::json::{Members, number, text};
use super::seen::{Seen, line_of};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::instrument::SenmlSettings;
use pullmark_schema::quantity::{Decimal, Stated, Unit};
use serde_json::value::RawValue;

/// A time below this counts from now (RFC 8428, 4.5.3).
const RELATIVE: f64 = 268_435_456.0;
/// The version that is read (RFC 8428, 4.1).
const VERSION: &str = "10";
/// So many measurements are remembered, to know one that comes twice.
const REMEMBERED: usize = 32;

/// Registered units that measure nothing that is planned here.
const ELSEWHERE: [&str; 60] = [
    "s", "A", "mol", "cd", "Hz", "rad", "sr", "W", "C", "V", "F", "Ohm", "S", "Wb", "T", "H", "lm",
    "lx", "Bq", "Gy", "Sv", "kat", "m2", "m3", "l", "m/s", "m/s2", "m3/s", "l/s", "W/m2", "cd/m2",
    "bit", "bit/s", "lat", "lon", "pH", "dB", "dBW", "count", "/", "%", "%RH", "%EL", "EL", "1/s",
    "1/min", "beat/min", "beats", "S/m", "B", "VA", "var", "J/m", "kg/m3", "deg", "ms", "min", "h",
    "mV", "mA",
];

/// Reads packs of measurements.
#[derive(Debug)]
pub(super) struct SenmlReader {
    name: Option<String>,
    oldest: f64,
}

/// Which measurements have come: name and time.
#[derive(Debug, Clone, Default)]
pub(super) struct Came(std::collections::VecDeque<(String, u64)>);

impl Came {
    /// Whether it came before; a measurement without a time of its own is always new.
    fn again(&mut self, name: &str, time: f64) -> bool {
        let key = (name.chars().take(200).collect::<String>(), time.to_bits());
        if self.0.contains(&key) {
            return true;
        }
        self.0.push_back(key);
        if self.0.len() > REMEMBERED {
            self.0.pop_front();
        }
        false
    }
}

/// What holds from a record on.
#[derive(Debug, Default)]
struct Base {
    name: String,
    time: f64,
    unit: Option<String>,
    value: Option<Decimal>,
}

impl SenmlReader {
    pub(super) fn new(settings: &SenmlSettings) -> Self {
        Self {
            name: settings.name.clone(),
            oldest: f64::from(settings.oldest_s.unwrap_or(60)),
        }
    }

    /// Every measurement of a pack. `now` is in seconds since 1970, where it is known.
    pub(super) fn read(
        &self,
        raw: &[u8],
        now: Option<f64>,
        came: &mut Came,
        mut out: impl FnMut(Line),
    ) {
        let Ok(records) = serde_json::from_slice::<Vec<Members<'_>>>(raw) else {
            return out(Line::Unreadable(Unreadable::NoMatch));
        };
        let mut lines = Vec::new();
        // Of a pack that is refused in the end nothing has come.
        let mut came_now = came.clone();
        let mut base = Base::default();
        for record in &records {
            match self.record(record, &mut base, now, &mut came_now) {
                Ok(Some(line)) => lines.push(line),
                Ok(None) => {}
                // What cannot be understood may change what all others mean.
                Err(Misread::Pack) => return out(Line::Unreadable(Unreadable::NoMatch)),
                Err(Misread::Record(why)) => lines.push(Line::Unreadable(why)),
            }
        }
        *came = came_now;
        lines.into_iter().for_each(out);
    }

    fn record(
        &self,
        record: &Members<'_>,
        base: &mut Base,
        now: Option<f64>,
        came: &mut Came,
    ) -> Result<Option<Line>, Misread> {
        // RFC 8428, 4.4: a name that ends so has to be understood.
        let is_strange = record.names().any(|name| name.ends_with('_'));
        let version = record
            .get("bver")
            .is_some_and(|version| version.get() != VERSION);
        if is_strange || version {
            return Err(Misread::Pack);
        }
        base.take(record)?;
        let own = optional(record, "n", text)?.unwrap_or_default();
        let name = format!("{}{own}", base.name);
        let is_wanted = self
            .name
            .as_deref()
            .is_none_or(|wanted| name.ends_with(wanted));
        let Some(raw) = record.get("v").filter(|_| is_wanted) else {
            return Ok(None);
        };
        let unit = optional(record, "u", text)?.or_else(|| base.unit.clone());
        let unit = match unit.as_deref() {
            Some("J") => return Err(Misread::Record(Unreadable::Energy)),
            Some(name) if ELSEWHERE.contains(&name) && self.name.is_none() => return Ok(None),
            Some(name) => unit_of(name),
            None => None,
        };
        let unit = unit.ok_or(Misread::Record(Unreadable::UnknownUnit))?;
        let bad = Misread::Record(Unreadable::BadNumber);
        let own = number(raw.get()).ok_or(bad)?;
        let value = base
            .value
            .map_or(Some(own), |base| sum(base, own))
            .ok_or(bad)?;
        let time = base.time + optional(record, "t", time)?.unwrap_or_default();
        if self.is_old(time, now) {
            return Err(Misread::Record(Unreadable::Stale));
        }
        if time >= RELATIVE && came.again(&name, time) {
            return Err(Misread::Record(Unreadable::AlreadyStored));
        }
        Ok(Some(line_of(Stated { value, unit }, Seen::default())))
    }

    /// A clock that is as far ahead tells as little about the measurement's age.
    fn is_old(&self, time: f64, now: Option<f64>) -> bool {
        if time < RELATIVE {
            return time.abs() > self.oldest;
        }
        now.is_some_and(|now| (now - time).abs() > self.oldest)
    }
}

#[derive(Debug, Clone, Copy)]
enum Misread {
    Pack,
    Record(Unreadable),
}

impl Base {
    fn take(&mut self, record: &Members<'_>) -> Result<(), Misread> {
        if let Some(name) = optional(record, "bn", text)? {
            self.name = name;
        }
        if let Some(time) = optional(record, "bt", time)? {
            self.time = time;
        }
        if let Some(unit) = optional(record, "bu", text)? {
            self.unit = Some(unit);
        }
        if let Some(value) = optional(record, "bv", |raw| number(raw.get()))? {
            self.value = Some(value);
        }
        Ok(())
    }
}

fn optional<T>(
    record: &Members<'_>,
    name: &str,
    read: impl FnOnce(&RawValue) -> Option<T>,
) -> Result<Option<T>, Misread> {
    record
        .get(name)
        .map(|raw| read(raw).ok_or(Misread::Pack))
        .transpose()
}

fn time(raw: &RawValue) -> Option<f64> {
    let time: f64 = serde_json::from_str(raw.get()).ok()?;
    time.is_finite().then_some(time)
}

/// The units that measure what is planned here, by their registered names.
fn unit_of(name: &str) -> Option<&'static Unit> {
    const KNOWN: [&str; 11] = [
        "m", "kg", "g", "N", "Pa", "Cel", "K", "mm", "cm", "hPa", "kN",
    ];
    Unit::find(KNOWN.into_iter().find(|known| *known == name)?).ok()
}

fn sum(first: Decimal, second: Decimal) -> Option<Decimal> {
    let scale = first.scale().max(second.scale());
    let at = |value: Decimal| {
        let factor = 10_i64.checked_pow(u32::from(scale - value.scale()))?;
        value.mantissa().checked_mul(factor)
    };
    Decimal::new(at(first)?.checked_add(at(second)?)?, scale)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn read_with(settings: &str, text: &str, now: Option<f64>) -> Vec<String> {
        let reader = SenmlReader::new(&toml::from_str(settings).unwrap());
        let mut all = Vec::new();
        reader.read(text.as_bytes(), now, &mut Came::default(), |line| {
            all.push(match line {
                Line::Value(other) => other.number.unwrap().to_string(),
                Line::Unreadable(why) => format!("{why:?}"),
                Line::Nothing => "Nothing".to_owned(),
            });
        });
        all
    }

    fn read(text: &str) -> Vec<String> {
        read_with("", text, None)
    }

    #[test]
    fn base_fields_hold_from_their_record_on() {
        let text = r#"[{"bn":"urn:dev:os:32473-TG0042:","bt":1772614800.0,"n":"tension","u":"N","v":1177.2},
            {"n":"pressure","u":"Pa","v":550000},{"n":"diameter","u":"m","v":0.0316},{"n":"mass","u":"kg","v":8.235},
            {"n":"damp","u":"%RH","v":40}]"#;
        assert_eq!(
            read(text),
            ["1177.2 N", "550000 Pa", "0.0316 m", "8.235 kg"]
        );
        let text = r#"[{"bu":"mm","bv":30,"v":1.60},{"v":-2},{"u":"cm","v":1},{"bu":"hPa","bv":0,"v":5500}]"#;
        assert_eq!(read(text), ["31.60 mm", "28 mm", "31 cm", "5500 hPa"]);
        assert_eq!(
            read_with(
                "name = \"mass\"",
                r#"[{"bn":"a/","n":"mass","u":"g","v":7},{"n":"x","u":"m","v":1}]"#,
                None
            ),
            ["7 g"]
        );
    }

    #[test]
    fn there_is_no_torque_here() {
        assert_eq!(read(r#"[{"n":"torque","u":"J","v":5.08}]"#), ["Energy"]);
        for unit in ["N.m", "Nm", "N m"] {
            assert_eq!(
                read(&format!(r#"[{{"u":"{unit}","v":5.08}}]"#)),
                ["UnknownUnit"]
            );
        }
        assert_eq!(read(r#"[{"n":"x","v":5.08}]"#), ["UnknownUnit"]);
    }

    #[test]
    fn a_time_of_long_ago_is_stale_and_the_same_time_is_the_same_measurement() {
        let at = |time: &str| format!(r#"[{{"n":"d","u":"mm","v":31.6,"t":{time}}}]"#);
        let now = Some(1_772_614_800.0);
        assert_eq!(read_with("", &at("-5"), now), ["31.6 mm"]);
        assert_eq!(read_with("", &at("-61"), now), ["Stale"]);
        assert_eq!(read_with("", &at("1772614790.5"), now), ["31.6 mm"]);
        assert_eq!(read_with("", &at("1772614700"), now), ["Stale"]);
        assert_eq!(read_with("", &at("1772624800"), now), ["Stale"]);
        assert_eq!(
            read_with("oldest_s = 900", &at("1772614700"), now),
            ["31.6 mm"]
        );
        let twice = r#"[{"n":"d","u":"mm","v":31.6,"t":1772614800},{"n":"d","u":"mm","v":31.6,"t":1772614800}]"#;
        assert_eq!(read_with("", twice, now), ["31.6 mm", "AlreadyStored"]);
    }

    #[test]
    fn of_a_pack_that_is_refused_nothing_has_come() {
        let reader = SenmlReader::new(&toml::from_str("").unwrap());
        let now = Some(1_772_614_800.0);
        let mut came = Came::default();
        let mut read = |text: &str| {
            let mut all = Vec::new();
            reader.read(text.as_bytes(), now, &mut came, |line| all.push(line));
            all
        };
        let good = r#"{"n":"d","u":"mm","v":31.6,"t":1772614800}"#;
        let refused = read(&format!(r#"[{good},{{"v":1,"u":"m","scale_":10}}]"#));
        assert_eq!(refused, [Line::Unreadable(Unreadable::NoMatch)]);
        let sent_anew = read(&format!("[{good}]"));
        assert!(matches!(sent_anew[..], [Line::Value(_)]), "{sent_anew:?}");
    }

    #[test]
    fn what_is_no_pack_is_refused() {
        for text in [
            "",
            "{}",
            "[1]",
            r#"[{"v":1,"v":2,"u":"m"}]"#,
            r#"[{"v":1,"u":"m","scale_":10}]"#,
            r#"[{"bver":11,"v":1,"u":"m"}]"#,
            r#"[{"v":1,"u":7}]"#,
            r#"[{"v":1,"u":"m","t":"now"}]"#,
            r#"[{"v":1,"u":"m"}"#,
        ] {
            assert_eq!(read(text), ["NoMatch"], "{text}");
        }
        assert_eq!(
            read(r#"[{"v":"1","u":"m"},{"v":1e300,"u":"m"},{"v":true,"u":"m"}]"#),
            ["BadNumber"; 3]
        );
        assert_eq!(
            read(r#"[{"n":"a","vs":"warm"},{"n":"b","vb":true}]"#),
            [""; 0]
        );
    }
}
