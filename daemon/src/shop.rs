//! What a shop has chosen for its bench pages: language, unit of torque and decimal mark. A device may choose otherwise for
//! itself; nothing of it reaches an entry, a verdict or a record.

use pullmark_schema::quantity::{Kind, UNITS, Unit};
use serde::{Deserialize, Serialize};

/// A language that the page has words in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// English.
    #[default]
    En,
    /// German.
    De,
    /// French.
    Fr,
}

/// What stands between the whole and its parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum DecimalMark {
    /// 5.5
    #[serde(rename = ".")]
    Point,
    /// 5,5
    #[serde(rename = ",")]
    Comma,
}

/// The settings under `[shop]`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Shop {
    /// The language of the page.
    pub language: Language,
    /// The unit that torques are shown in. Where none is named they are shown in N·m, and what a tool displayed as the tool
    /// displayed it.
    pub torque_unit: Option<TorqueUnit>,
    /// The decimal mark; that of the language if left out.
    pub decimal: Option<DecimalMark>,
}

/// A unit of torque, named in any spelling that the unit table knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct TorqueUnit(&'static Unit);

impl TorqueUnit {
    /// The unit in the table.
    pub const fn unit(self) -> &'static Unit {
        self.0
    }
}

impl TryFrom<String> for TorqueUnit {
    type Error = String;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        match Unit::find(text.trim()) {
            Ok(unit) if unit.kind == Kind::Torque => Ok(Self(unit)),
            Ok(unit) => Err(format!(
                "{} is a unit of {}: name a unit of torque, one of {}",
                unit.symbol,
                unit.kind,
                torque_symbols()
            )),
            Err(_) => Err(format!(
                "{text:?} is not a unit of torque known here: write one of {}",
                torque_symbols()
            )),
        }
    }
}

impl Serialize for TorqueUnit {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.ucum)
    }
}

fn torque_units() -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(|unit| unit.kind == Kind::Torque)
}

fn torque_symbols() -> String {
    let symbols: Vec<&str> = torque_units().map(|unit| unit.symbol).collect();
    symbols.join(", ")
}

/// A unit of torque as the page gets it. Numbers too long for a script's own are texts.
#[derive(Debug, Serialize)]
struct UnitRow {
    ucum: &'static str,
    symbol: &'static str,
    spellings: &'static [&'static str],
    /// So many mN·m are in one unit: numerator and denominator.
    milli: [String; 2],
}

impl Shop {
    /// The module that the page's other modules take the shop's choice and the units from.
    pub fn module(&self) -> String {
        let units: Vec<UnitRow> = torque_units()
            .map(|unit| {
                let (numerator, denominator) = unit.small_units_in_one();
                UnitRow {
                    ucum: unit.ucum,
                    symbol: unit.symbol,
                    spellings: unit.spellings,
                    milli: [numerator.to_string(), denominator.to_string()],
                }
            })
            .collect();
        let json = |value: Result<String, serde_json::Error>| value.unwrap_or_default();
        format!(
            "// What the shop has chosen, and the units of torque.\nexport const shop = {};\nexport const units = {};\n",
            json(serde_json::to_string(self)),
            json(serde_json::to_string(&units))
        )
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Shop, toml::de::Error> {
        toml::from_str(text)
    }

    #[test]
    fn a_shop_chooses_by_plain_words() {
        let shop = read("language = \"de\"\ntorque_unit = \"lbf.in\"\ndecimal = \".\"\n").unwrap();
        assert_eq!(shop.language, Language::De);
        assert_eq!(shop.torque_unit.unwrap().unit().ucum, "[lbf_av].[in_i]");
        assert_eq!(shop.decimal, Some(DecimalMark::Point));
        for spelling in ["lbf·in", "in-lb", "[lbf_av].[in_i]", " lbf in "] {
            let again = read(&format!("torque_unit = \"{spelling}\"")).unwrap();
            assert_eq!(again.torque_unit, shop.torque_unit, "{spelling}");
        }
        assert_eq!(read("").unwrap(), Shop::default());
    }

    #[test]
    fn what_is_no_choice_is_said_with_those_there_are() {
        let error = read("torque_unit = \"bar\"").unwrap_err().to_string();
        assert!(error.contains("bar is a unit of pressure"), "{error}");
        assert!(error.contains("lbf·ft"), "{error}");
        let error = read("torque_unit = \"stone\"").unwrap_err().to_string();
        assert!(error.contains("write one of N·m"), "{error}");
        for wrong in ["language = \"it\"", "decimal = \";\"", "tongue = \"de\""] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_module_holds_the_choice_and_every_unit_of_torque_exactly() {
        let shop = read("language = \"fr\"\ntorque_unit = \"N.m\"").unwrap();
        let module = shop.module();
        assert!(
            module.contains(r#"shop = {"language":"fr","torque_unit":"N.m","decimal":null}"#),
            "{module}"
        );
        for unit in torque_units() {
            assert!(module.contains(&format!("\"ucum\":\"{}\"", unit.ucum)));
        }
        assert!(module.contains(r#""milli":["1129848290276167","10000000000000"]"#));
    }
}
