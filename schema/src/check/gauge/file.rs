//! The figures of such a tool as its file states them.

use super::{CheckCertificate, MeasuringTool};
use crate::check::SmallUnit;
use crate::quantity::{Kind, QuantityError, Rounding, Stated};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Deserialize;

/// Why the figures of a tool that measures no torque are none.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MeasuringToolError {
    /// Figures of several quantities, or of none.
    #[error(
        "the tool's figures have to be of one quantity; say quantity = \"length\" and write them in its units"
    )]
    Mixed,
    /// A text that is no value of the quantity.
    #[error("the tool's {what}: {error}")]
    Figure {
        /// Which figure.
        what: &'static str,
        /// What is wrong with it.
        error: QuantityError,
    },
    /// A figure that no tool has.
    #[error("the tool's {what} cannot be: {text:?}")]
    Value {
        /// Which figure.
        what: &'static str,
        /// As stated.
        text: String,
    },
    /// The range is upside down.
    #[error("the tool's lowest value is not below its highest")]
    Range,
    /// A figure that only a torque wrench has.
    #[error("{what} is said of torque wrenches only: take it out, or take quantity out")]
    OfTorque {
        /// Which.
        what: &'static str,
    },
    /// A figure that a torque wrench has not.
    #[error("{what} is said of tools that measure no torque: say its quantity too, or take it out")]
    OfOthers {
        /// Which.
        what: &'static str,
    },
    /// The certificate lacks something.
    #[error("the certificate of a tool that measures no torque: {0}")]
    Certificate(String),
}

/// The certificate in the file of such a tool.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckCertificateFile {
    /// Its number.
    pub number: String,
    /// Who calibrated.
    pub laboratory: Option<String>,
    /// The day of the calibration.
    #[schemars(with = "String")]
    pub date: NaiveDate,
    /// When the next one is due.
    #[schemars(with = "Option<String>")]
    pub due: Option<NaiveDate>,
    /// The expanded uncertainty, for example "0.02 mm".
    pub expanded: String,
    /// Its coverage factor; 2 if left out.
    pub coverage: Option<f64>,
    /// What the tool shows less what is, for example "0.01 mm", where it is to be corrected.
    pub deviation: Option<String>,
}

/// The figures as texts.
#[derive(Debug, Clone, Default)]
pub struct MeasuringFigures<'a> {
    /// The lowest value.
    pub lowest: Option<&'a str>,
    /// The highest.
    pub highest: Option<&'a str>,
    /// The step of the display.
    pub resolution: Option<&'a str>,
    /// "0.03 mm", "0.5 %" or "0.5 % + 0.1 bar".
    pub accuracy: Option<&'a str>,
}

impl MeasuringTool {
    /// From the figures of a file.
    pub fn read(
        kind: Kind,
        figures: &MeasuringFigures<'_>,
        certificate: Option<&toml::Table>,
    ) -> Result<Self, MeasuringToolError> {
        let unit = SmallUnit::of(kind).ok_or(MeasuringToolError::Mixed)?;
        let value = |what, text: Option<&str>, rounding| {
            text.map(|text| Stated::parse(text).and_then(|stated| unit.value_of(stated, rounding)))
                .transpose()
                .map_err(|error| MeasuringToolError::Figure { what, error })
        };
        let (accuracy, accuracy_ppm) = accuracy(unit, figures.accuracy)?;
        let tool = Self {
            unit,
            lowest: value("lowest", figures.lowest, Rounding::Up)?,
            highest: value("highest", figures.highest, Rounding::Down)?,
            resolution: figures
                .resolution
                .map(|text| step(unit, "resolution", text))
                .transpose()?,
            accuracy,
            accuracy_ppm,
            certificate: certificate
                .map(|table| read_certificate(unit, table))
                .transpose()?,
        };
        tool.check()?;
        Ok(tool)
    }

    /// Refuses what cannot be.
    pub fn check(&self) -> Result<(), MeasuringToolError> {
        if let (Some(lowest), Some(highest)) = (self.lowest, self.highest)
            && lowest >= highest
        {
            return Err(MeasuringToolError::Range);
        }
        let figures = [
            ("resolution", self.resolution),
            ("accuracy", self.accuracy),
            (
                "expanded uncertainty",
                self.certificate.as_ref().map(|known| known.expanded),
            ),
        ];
        for (what, figure) in figures {
            if let Some(figure) = figure
                && (figure <= 0 || figure.unsigned_abs() > crate::check::MOST)
            {
                let text = self.unit.step_text(figure);
                return Err(MeasuringToolError::Value { what, text });
            }
        }
        let Some(certificate) = &self.certificate else {
            return Ok(());
        };
        let wrong = |what: &str| Err(MeasuringToolError::Certificate(what.to_owned()));
        if !(1_000..=10_000).contains(&certificate.coverage_thousandths) {
            return wrong("its coverage factor is not between 1 and 10");
        }
        if certificate.due.is_some_and(|due| due <= certificate.date) {
            return wrong("it is due before it was made");
        }
        let is_text = |text: &String| {
            !text.trim().is_empty()
                && text.chars().count() <= 64
                && !text.chars().any(char::is_control)
        };
        if !is_text(&certificate.number) || !certificate.laboratory.as_ref().is_none_or(is_text) {
            return wrong("its number and laboratory have 1 to 64 visible characters");
        }
        Ok(())
    }
}

fn step(unit: SmallUnit, what: &'static str, text: &str) -> Result<i64, MeasuringToolError> {
    Stated::parse(text)
        .and_then(|stated| unit.step_of(stated, Rounding::Up))
        .map_err(|error| MeasuringToolError::Figure { what, error })
}

/// "0.03 mm", "0.5 %", or both with a plus between them.
fn accuracy(
    unit: SmallUnit,
    text: Option<&str>,
) -> Result<(Option<i64>, Option<u32>), MeasuringToolError> {
    let (mut fixed, mut part) = (None, None);
    for piece in text.into_iter().flat_map(|text| text.split('+')) {
        let piece = piece.trim().trim_start_matches('±').trim();
        let wrong = || MeasuringToolError::Value {
            what: "accuracy",
            text: piece.to_owned(),
        };
        match piece.strip_suffix('%') {
            Some(number) if part.is_none() => {
                let ppm = crate::tool::ppm_of(number).filter(|ppm| *ppm > 0);
                part = Some(ppm.ok_or_else(wrong)?);
            }
            None if fixed.is_none() => fixed = Some(step(unit, "accuracy", piece)?),
            _ => return Err(wrong()),
        }
    }
    Ok((fixed, part))
}

fn read_certificate(
    unit: SmallUnit,
    table: &toml::Table,
) -> Result<CheckCertificate, MeasuringToolError> {
    let wrong = |what: String| MeasuringToolError::Certificate(what);
    let file: CheckCertificateFile = toml::from_str(&table.to_string())
        .map_err(|error| wrong(error.message().trim_end().replace('\n', "; ")))?;
    let coverage = file.coverage.unwrap_or(2.0);
    let deviation = file
        .deviation
        .map(|text| {
            Stated::parse(&text)
                .and_then(|stated| unit.step_of(stated, Rounding::Nearest))
                .map_err(|error| wrong(format!("its deviation: {error}")))
        })
        .transpose()?;
    Ok(CheckCertificate {
        number: file.number,
        laboratory: file.laboratory,
        date: file.date,
        due: file.due,
        expanded: step(unit, "expanded uncertainty", &file.expanded)?,
        coverage_thousandths: to_thousandths(coverage)
            .ok_or_else(|| wrong(format!("its coverage factor is {coverage}")))?,
        deviation,
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 1 and 10"
)]
fn to_thousandths(factor: f64) -> Option<u32> {
    (1.0..=10.0)
        .contains(&factor)
        .then(|| (factor * 1_000.0).floor() as u32)
}
