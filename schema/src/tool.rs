//! A wrench or sensor: its serial number, range, resolution, certificate and how it is connected.

use crate::certificate::{self, Certificate, CertificateError, CertificateFile};
use crate::check::{CheckCertificateFile, MeasuringFigures, MeasuringTool, MeasuringToolError};
use crate::measure::budget::ToolClass;
use crate::quantity::{Decimal, Kind, Length, QuantityError, Rounding, Stated, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a tool's reading stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ToolKind {
    /// Shows the torque that was reached (ISO 6789, type I).
    #[default]
    Indicating,
    /// Gives way at a torque that was set (ISO 6789, type II); the set value is entered by a person.
    Setting,
}

/// A tool as the ledger knows it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tool {
    /// A short name in the shop, for example "w1".
    pub id: String,
    /// For people.
    pub title: String,
    /// The serial number on the tool; it joins the tool to its certificate.
    pub serial: String,
    /// Indicating or setting.
    #[serde(default)]
    pub kind: ToolKind,
    /// The lowest torque it is used at.
    #[serde(
        rename = "lowest_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub lowest: Option<Torque>,
    /// The highest torque it is used at.
    #[serde(
        rename = "highest_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub highest: Option<Torque>,
    /// The smallest step of its display.
    #[serde(
        rename = "resolution_millinewton_metre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub resolution: Option<Torque>,
    /// Its class after ISO 6789-1; its permissible deviation stands in where no certificate says more.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub class: Option<ToolClass>,
    /// From the drive's centre to the marked hand point; an offset adapter is reckoned from it.
    #[serde(
        rename = "lever_micrometre",
        skip_serializing_if = "Option::is_none",
        default
    )]
    pub lever: Option<Length>,
    /// Standard deviation of single pulls, relative, in millionths.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub repeatability_ppm: Option<u32>,
    /// Standard deviation of means when the tool is set down and taken up again, relative, in millionths.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub reproducibility_ppm: Option<u32>,
    /// How far its deviation may move in a year, relative, in millionths.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub drift_ppm_per_year: Option<u32>,
    /// The calibration it stands on.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub certificate: Option<Certificate>,
    /// What it measures, where that is no torque; then none of the figures above is there.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub measures: Option<MeasuringTool>,
    /// How it reaches the daemon; none for a click wrench.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub connection: Option<Connection>,
}

/// The port a tool speaks on and the profile that reads it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Connection {
    /// Where it is: a stable path, for example below `/dev/serial/by-id`, or `usb:…`, `bluetooth:…`, `tcp://host:port`,
    /// `mqtt://broker/topic`, `keys:/dev/input/by-id/…`.
    pub port: String,
    /// The name of a profile.
    pub profile: String,
}

/// A tool as a file of `pullmark tool add` states it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ToolFile {
    /// A short name in the shop.
    pub id: String,
    /// For people.
    pub title: String,
    /// The serial number on the tool.
    pub serial: String,
    /// Indicating unless it says setting.
    #[serde(default)]
    pub kind: ToolKind,
    /// What it measures: torque if left out, else a length, mass, force, pressure or temperature. The figures are in units
    /// of it.
    pub quantity: Option<Kind>,
    /// The lowest value it is used at, for example "2 N·m".
    pub lowest: Option<String>,
    /// The highest value it is used at.
    pub highest: Option<String>,
    /// The smallest step of its display.
    pub resolution: Option<String>,
    /// Of a tool that measures no torque: its maximum permissible error, for example "0.03 mm", "0.5 %" or "0.5 % + 0.1 bar".
    pub accuracy: Option<String>,
    /// Its class after ISO 6789-1, for example "I-C".
    pub class: Option<ToolClass>,
    /// From the drive's centre to the marked hand point, for example "280 mm".
    pub lever: Option<String>,
    /// Standard deviation of single pulls, for example "0.4 %".
    pub repeatability: Option<String>,
    /// Standard deviation of means when it is set down and taken up again, for example "0.3 %".
    pub reproducibility: Option<String>,
    /// How far its deviation may move in a year, for example "1 %".
    pub drift_per_year: Option<String>,
    /// The calibration it stands on, as in a certificate file.
    #[schemars(with = "Option<EitherCertificate>")]
    pub certificate: Option<toml::Table>,
    /// How it reaches the daemon.
    pub connection: Option<Connection>,
}

/// The form of a certificate: of a torque wrench, or of a tool that measures something else.
#[derive(JsonSchema)]
#[schemars(untagged)]
#[expect(dead_code, reason = "only its form is asked for")]
enum EitherCertificate {
    /// Of a torque wrench.
    Torque(Box<CertificateFile>),
    /// Of a tool that measures something else.
    Other(Box<CheckCertificateFile>),
}

/// Why a tool file is no tool.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ToolError {
    /// Not TOML, or a name or value where the format has none.
    #[error("the tool file cannot be read: {0}")]
    NotReadable(String),
    /// A text that is no torque.
    #[error("the tool's {what}: {error}")]
    NotATorque {
        /// Which figure.
        what: &'static str,
        /// What is wrong with it.
        error: QuantityError,
    },
    /// A text that is no length.
    #[error("the tool's {what}: {error}")]
    NotALength {
        /// Which figure.
        what: &'static str,
        /// What is wrong with it.
        error: QuantityError,
    },
    /// A lever that no hand tool has.
    #[error("the tool's lever, {micrometre} µm, is not between 20 mm and 2 m")]
    BadLever {
        /// As stated.
        micrometre: i64,
    },
    /// A text that is no percentage.
    #[error("the tool's {what}, {text:?}, is no percentage from 0 to 50: write it like \"0.4 %\"")]
    NotAPercentage {
        /// Which figure.
        what: &'static str,
        /// As stated.
        text: String,
    },
    /// An empty or overlong name or serial number.
    #[error("the tool's {what} has to have 1 to 64 characters, all of them visible")]
    BadName {
        /// Which text.
        what: &'static str,
    },
    /// The range is upside down.
    #[error("the tool's lowest torque, {lowest}, is not below its highest, {highest}")]
    BadRange {
        /// As stated.
        lowest: Torque,
        /// As stated.
        highest: Torque,
    },
    /// The certificate contradicts itself or the tool.
    #[error(transparent)]
    Certificate(#[from] CertificateError),
    /// The figures of a tool that measures no torque.
    #[error(transparent)]
    Measuring(#[from] MeasuringToolError),
}

impl Tool {
    /// Reads a tool file.
    pub fn read(text: &str) -> Result<Self, ToolError> {
        let file: ToolFile =
            toml::from_str(text).map_err(|e| ToolError::NotReadable(e.to_string()))?;
        if file.quantity.is_some_and(|kind| kind != Kind::Torque) {
            return Self::measuring(file);
        }
        if file.accuracy.is_some() {
            let what = "accuracy";
            return Err(MeasuringToolError::OfOthers { what }.into());
        }
        let tool = Self {
            lowest: torque("lowest", file.lowest.as_deref(), Rounding::Up)?,
            highest: torque("highest", file.highest.as_deref(), Rounding::Down)?,
            resolution: torque("resolution", file.resolution.as_deref(), Rounding::Up)?,
            class: file.class,
            lever: length("lever", file.lever.as_deref())?,
            repeatability_ppm: ppm("repeatability", file.repeatability.as_deref())?,
            reproducibility_ppm: ppm("reproducibility", file.reproducibility.as_deref())?,
            drift_ppm_per_year: ppm("drift per year", file.drift_per_year.as_deref())?,
            id: file.id,
            title: file.title,
            serial: file.serial,
            kind: file.kind,
            certificate: file.certificate.as_ref().map(certificate).transpose()?,
            measures: None,
            connection: file.connection,
        };
        tool.check()?;
        Ok(tool)
    }

    /// A tool that measures another quantity than torque.
    fn measuring(file: ToolFile) -> Result<Self, ToolError> {
        let of_torque = [
            ("class", file.class.is_some()),
            ("lever", file.lever.is_some()),
            ("repeatability", file.repeatability.is_some()),
            ("reproducibility", file.reproducibility.is_some()),
            ("drift_per_year", file.drift_per_year.is_some()),
            ("kind = \"setting\"", file.kind == ToolKind::Setting),
        ];
        if let Some((what, _)) = of_torque.into_iter().find(|(_, is_said)| *is_said) {
            return Err(MeasuringToolError::OfTorque { what }.into());
        }
        let figures = MeasuringFigures {
            lowest: file.lowest.as_deref(),
            highest: file.highest.as_deref(),
            resolution: file.resolution.as_deref(),
            accuracy: file.accuracy.as_deref(),
        };
        let kind = file.quantity.unwrap_or(Kind::Torque);
        let tool = Self {
            measures: Some(MeasuringTool::read(
                kind,
                &figures,
                file.certificate.as_ref(),
            )?),
            id: file.id,
            title: file.title,
            serial: file.serial,
            connection: file.connection,
            ..Self::default()
        };
        tool.check()?;
        Ok(tool)
    }

    /// What it measures.
    pub fn quantity(&self) -> Kind {
        self.measures
            .as_ref()
            .map_or(Kind::Torque, |known| known.unit.kind())
    }

    /// Refuses what cannot be a tool.
    pub fn check(&self) -> Result<(), ToolError> {
        for (what, text) in [
            ("id", &self.id),
            ("serial number", &self.serial),
            ("title", &self.title),
        ] {
            if text.trim().is_empty()
                || text.chars().count() > 64
                || text.chars().any(char::is_control)
            {
                return Err(ToolError::BadName { what });
            }
        }
        if let (Some(lowest), Some(highest)) = (self.lowest, self.highest)
            && lowest >= highest
        {
            return Err(ToolError::BadRange { lowest, highest });
        }
        if let Some(lever) = self.lever
            && !(20_000..=2_000_000).contains(&lever.small_units())
        {
            return Err(ToolError::BadLever {
                micrometre: lever.small_units(),
            });
        }
        if let Some(certificate) = &self.certificate {
            certificate.check_alone()?;
        }
        if let Some(measures) = &self.measures {
            let of_torque = self.lowest.is_some()
                || self.highest.is_some()
                || self.resolution.is_some()
                || self.class.is_some()
                || self.lever.is_some()
                || self.certificate.is_some();
            if of_torque {
                let what = "a figure in N·m, a class, a lever or a torque certificate";
                return Err(MeasuringToolError::OfTorque { what }.into());
            }
            measures.check()?;
        }
        Ok(())
    }
}

fn certificate(table: &toml::Table) -> Result<Certificate, ToolError> {
    let read = certificate::read_toml(&table.to_string())?;
    // The hash of a part of a file tells nobody anything.
    Ok(Certificate {
        file: None,
        ..read.certificate
    })
}

fn length(what: &'static str, text: Option<&str>) -> Result<Option<Length>, ToolError> {
    text.map(|text| Stated::parse(text).and_then(|stated| Length::of(stated, Rounding::Nearest)))
        .transpose()
        .map_err(|error| ToolError::NotALength { what, error })
}

/// Millionths of a percentage as people write it.
fn ppm(what: &'static str, text: Option<&str>) -> Result<Option<u32>, ToolError> {
    let Some(text) = text else {
        return Ok(None);
    };
    let number = text.trim().strip_suffix('%');
    number
        .and_then(ppm_of)
        .map(Some)
        .ok_or_else(|| ToolError::NotAPercentage {
            what,
            text: text.to_owned(),
        })
}

/// Millionths of a number of per cent, up to fifty.
pub(crate) fn ppm_of(number: &str) -> Option<u32> {
    let percent = Decimal::parse(number.trim()).ok()?;
    // one per cent is ten thousand millionths
    let scale = 10_i64.checked_pow(u32::from(percent.scale()))?;
    let ppm = percent.mantissa().checked_mul(10_000)? / scale;
    u32::try_from(ppm).ok().filter(|&ppm| ppm <= 500_000)
}

fn torque(
    what: &'static str,
    text: Option<&str>,
    rounding: Rounding,
) -> Result<Option<Torque>, ToolError> {
    text.map(|text| Stated::parse(text).and_then(|stated| Torque::of(stated, rounding)))
        .transpose()
        .map_err(|error| ToolError::NotATorque { what, error })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const WRENCH: &str = r#"
        id = "w1"
        title = "Bench wrench"
        serial = "KR-2207"
        lowest = "2 N·m"
        highest = "220 lbf·in"
        resolution = "0.01 N·m"
        class = "I-C"
        lever = "280 mm"
        repeatability = "0.4 %"
        drift_per_year = "1.25%"
        [certificate]
        number = "PL-0311"
        laboratory = "Tarn Metrology"
        date = "2026-05-04"
        due = "2027-05-04"
        [connection]
        port = "/dev/ttyUSB0"
        profile = "pullmark-line"
    "#;

    #[test]
    fn reads_a_tool_file() {
        let tool = Tool::read(WRENCH).unwrap();
        assert_eq!(tool.lowest, Some(Torque::from_small_units(2_000)));
        assert_eq!(
            tool.highest,
            Some(Torque::from_small_units(24_856)),
            "220 lbf·in = 24.856 66 N·m, rounded down"
        );
        assert_eq!(tool.class, Some("I-C".parse().unwrap()));
        assert_eq!(tool.lever, Some(Length::from_small_units(280_000)));
        assert_eq!(tool.repeatability_ppm, Some(4_000));
        assert_eq!(tool.drift_ppm_per_year, Some(12_500));
        assert_eq!(
            tool.certificate.unwrap().due,
            chrono::NaiveDate::from_ymd_opt(2027, 5, 4).unwrap()
        );
    }

    #[test]
    fn refuses_what_is_no_tool() {
        let change = |from: &str, to: &str| Tool::read(&WRENCH.replace(from, to)).unwrap_err();
        assert!(matches!(
            change("\"2 N·m\"", "\"30 N·m\""),
            ToolError::BadRange { .. }
        ));
        assert!(matches!(
            change("\"2 N·m\"", "\"2 mm\""),
            ToolError::NotATorque { what: "lowest", .. }
        ));
        assert!(matches!(
            change("280 mm", "28 m"),
            ToolError::BadLever { .. }
        ));
        for percentage in ["0.4", "x %", "-1 %", "51 %", "400000000000000 %"] {
            assert!(matches!(
                change("\"0.4 %\"", &format!("{percentage:?}")),
                ToolError::NotAPercentage { .. }
            ));
        }
        assert!(matches!(
            change("date = \"2026-05-04\"", "date = \"4 May\""),
            ToolError::Certificate(_)
        ));
        assert!(matches!(
            change("KR-2207", " "),
            ToolError::BadName {
                what: "serial number"
            }
        ));
        assert!(
            change("serial =", "seriel =")
                .to_string()
                .contains("unknown field `seriel`")
        );
    }
}
