//! JSON with its numbers as they stand in the text, so that no digit is lost or made up; and a profile that says where in it
//! a value stands (RFC 8259, RFC 6901).

use super::dialect::{Line, ProfileError, units_of};
use super::number::{Style, decimal, shortest};
use super::seen::{Seen, line_of};
use pullmark_schema::entry::Unreadable;
use pullmark_schema::profile::Profile;
use pullmark_schema::profile::instrument::JsonSettings;
use pullmark_schema::quantity::{Decimal, Stated, Unit};
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::fmt;

/// The members of an object in their order. A name that stands there twice makes it no object: which of both would count?
#[derive(Debug)]
pub(super) struct Members<'a>(Vec<(String, &'a RawValue)>);

impl<'a> Members<'a> {
    pub(super) fn get(&self, name: &str) -> Option<&'a RawValue> {
        let found = self.0.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| *value)
    }

    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(name, _)| name.as_str())
    }
}

impl<'de: 'a, 'a> Deserialize<'de> for Members<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collect;
        impl<'de> Visitor<'de> for Collect {
            type Value = Vec<(String, &'de RawValue)>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut all: Self::Value = Vec::new();
                while let Some((name, value)) = map.next_entry::<String, &'de RawValue>()? {
                    if all.iter().any(|(known, _)| *known == name) {
                        return Err(A::Error::custom("a name stands there twice"));
                    }
                    all.push((name, value));
                }
                Ok(all)
            }
        }
        deserializer.deserialize_map(Collect).map(Members)
    }
}

/// A number as it stands; digits beyond the fifteenth are what a binary fraction leaves behind.
pub(super) fn number(text: &str) -> Option<Decimal> {
    let style = Style {
        decimal_comma: false,
        decimals: 0,
    };
    let float = || text.parse::<f64>().ok().filter(|float| float.is_finite());
    decimal(text, style).or_else(|| shortest(float()?))
}

/// A text.
pub(super) fn text(raw: &RawValue) -> Option<String> {
    serde_json::from_str(raw.get()).ok()
}

/// Where a value stands, made ready.
#[derive(Debug)]
pub(super) struct JsonReader {
    value: Vec<String>,
    unit: Option<Vec<String>>,
    counter: Option<Vec<String>>,
    units: Vec<(String, &'static Unit)>,
}

impl JsonReader {
    pub(super) fn new(profile: &Profile, settings: &JsonSettings) -> Result<Self, ProfileError> {
        let path = |what, text: &str| {
            pointer(text).ok_or_else(|| ProfileError::Setting {
                profile: profile.name.clone(),
                what,
                why: format!("{text:?} is no place in JSON: write it like \"/mass/value\""),
            })
        };
        let optional =
            |what, text: &Option<String>| text.as_deref().map(|text| path(what, text)).transpose();
        Ok(Self {
            value: path("json.value", &settings.value)?,
            unit: optional("json.unit", &settings.unit)?,
            counter: optional("json.counter", &settings.counter)?,
            units: units_of(profile)?,
        })
    }

    /// Whether it says itself which value is which.
    pub(super) const fn counts(&self) -> bool {
        self.counter.is_some()
    }

    /// The value, and its count where there is one.
    pub(super) fn read(&self, raw: &[u8]) -> (Line, Option<u64>) {
        match self.seen(raw) {
            Ok((line, count)) => (line, count),
            Err(why) => (Line::Unreadable(why), None),
        }
    }

    fn seen(&self, raw: &[u8]) -> Result<(Line, Option<u64>), Unreadable> {
        let whole: &RawValue = serde_json::from_slice(raw).map_err(|_| Unreadable::NoMatch)?;
        let place = |path: &[String]| at(whole, path).ok_or(Unreadable::NoMatch);
        let counter = match &self.counter {
            None => None,
            Some(path) => {
                let digits = place(path)?.get().trim_matches('"');
                Some(digits.parse().map_err(|_| Unreadable::BadNumber)?)
            }
        };
        let spelling = match &self.unit {
            None => String::new(),
            Some(path) => text(place(path)?).ok_or(Unreadable::UnknownUnit)?,
        };
        let known = self.units.iter().find(|(known, _)| *known == spelling);
        let unit = known.ok_or(Unreadable::UnknownUnit)?.1;
        let digits = place(&self.value)?.get().trim_matches('"');
        let value = number(digits).ok_or(Unreadable::BadNumber)?;
        let seen = Seen {
            counter,
            ..Seen::default()
        };
        Ok((line_of(Stated { value, unit }, seen), counter))
    }
}

/// The steps of a JSON pointer.
fn pointer(text: &str) -> Option<Vec<String>> {
    let rest = text.strip_prefix('/')?;
    Some(
        rest.split('/')
            .map(|step| step.replace("~1", "/").replace("~0", "~"))
            .collect(),
    )
}

fn at<'a>(whole: &'a RawValue, path: &[String]) -> Option<&'a RawValue> {
    path.iter().try_fold(whole, |raw, step| {
        if raw.get().starts_with('[') {
            let items: Vec<&RawValue> = serde_json::from_str(raw.get()).ok()?;
            items.get(step.parse::<usize>().ok()?).copied()
        } else {
            let members: Members<'_> = serde_json::from_str(raw.get()).ok()?;
            members.get(step)
        }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn reader(settings: &str) -> JsonReader {
        let profile: Profile = toml::from_str(settings).unwrap();
        JsonReader::new(&profile, profile.json.as_ref().unwrap()).unwrap()
    }

    #[test]
    fn a_value_is_found_where_the_profile_says() {
        let reader = reader(
            "name = \"x\"\ntitle = \"x\"\n[json]\nvalue = \"/scale/0/gross~1net\"\nunit = \"/u\"\ncounter = \"/n\"\n[unit]\nkilo = \"kg\"",
        );
        let read = |text: &str| reader.read(text.as_bytes());
        let (Line::Value(other), Some(7)) =
            read(r#"{"n": 7, "u": "kilo", "scale": [{"gross/net": 8.2350}], "w": [[[]]]}"#)
        else {
            panic!("a mass");
        };
        assert_eq!(other.number.unwrap().to_string(), "8.2350 kg");
        for (text, why) in [
            (
                "{\"n\": 7, \"u\": \"stone\", \"scale\": [{\"gross/net\": 1}]}",
                Unreadable::UnknownUnit,
            ),
            (
                "{\"n\": 7, \"u\": \"kilo\", \"scale\": [{\"gross/net\": true}]}",
                Unreadable::BadNumber,
            ),
            (
                "{\"n\": -7, \"u\": \"kilo\", \"scale\": [{\"gross/net\": 1}]}",
                Unreadable::BadNumber,
            ),
            (
                "{\"n\": 7, \"u\": \"kilo\", \"scale\": []}",
                Unreadable::NoMatch,
            ),
            (
                "{\"n\": 7, \"u\": \"kilo\", \"u\": \"kilo\", \"scale\": [{\"gross/net\": 1}]}",
                Unreadable::NoMatch,
            ),
            (
                "{\"n\": 7, \"u\": \"kilo\", \"scale\": [{\"gross/net\": 1}]",
                Unreadable::NoMatch,
            ),
        ] {
            assert_eq!(read(text).0, Line::Unreadable(why), "{text}");
        }
    }

    #[test]
    fn numbers_keep_their_digits() {
        let shown = |text: &str| number(text).map(|value| value.to_string());
        assert_eq!(shown("5.500").as_deref(), Some("5.500"));
        assert_eq!(shown("31.600000000000001").as_deref(), Some("31.6"));
        assert_eq!(shown("1.5e3").as_deref(), Some("1500"));
        for none in ["1e400", "", "NaN", "inf", "\"5\"", "null"] {
            assert_eq!(shown(none), None, "{none}");
        }
    }
}
