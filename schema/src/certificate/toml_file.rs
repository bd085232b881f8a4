//! A certificate as a person writes it down from paper: a TOML file, figures with their units.
//!
//! ```toml
//! number = "PL-0311"
//! laboratory = "Tarn Metrology"
//! date = "2026-05-04"
//! due = "2027-05-04"
//! serial = "KR-2207"
//! conditions = "21.3 °C, 45 % r.h."
//! method = "ISO 6789-2:2017"
//! state = "as-left"              # as-found, as-left or not-adjusted
//! direction = "clockwise"        # clockwise, anticlockwise or both
//! covers = ["resolution"]        # what the expanded uncertainty contains, only if the certificate says so
//! repeatability = "0.15 %"
//! repeatability_readings = 5
//! reproducibility = "0.1 %"
//! drift_per_year = "0.3 %"
//!
//! [[point]]
//! indicated = "4 N·m"
//! reference = "4.02 N·m"
//! expanded = "0.04 N·m"          # or a share of the reference: "1 %"
//! coverage_factor = 2            # or k = 2
//! degrees_of_freedom = 50
//! readings = 5
//! ```
//!
//! The first four lines are enough; without points the limits of the tool's class stand in.

use super::imported::{Imported, Places, Subject};
use super::{
    Certificate, CertificateError, Contribution, Direction, Format, OriginalFile, Place, Point,
    ReadFault, State, figures,
};
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use toml::Spanned;

/// The longest file that is read: 1 MiB.
const MOST_BYTES: usize = 1024 * 1024;

/// A certificate as a person writes it down.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CertificateFile {
    /// Its number.
    #[schemars(with = "String")]
    number: Spanned<String>,
    /// Who calibrated.
    #[schemars(with = "String")]
    laboratory: Spanned<String>,
    /// The day of calibration.
    #[schemars(with = "String")]
    date: Spanned<Day>,
    /// The day after which the tool is past its calibration.
    #[schemars(with = "String")]
    due: Spanned<Day>,
    /// The tool's serial number as the certificate states it.
    #[schemars(with = "Option<String>")]
    serial: Option<Spanned<String>>,
    /// Surroundings during the calibration.
    #[schemars(with = "Option<String>")]
    conditions: Option<Spanned<String>>,
    /// The standard it was calibrated to.
    #[schemars(with = "Option<String>")]
    method: Option<Spanned<String>>,
    /// Before or after an adjustment.
    state: Option<State>,
    /// The direction in which the points were taken.
    direction: Option<Direction>,
    /// What the expanded uncertainty already contains, only if the certificate says so.
    #[serde(default)]
    covers: BTreeSet<Contribution>,
    /// Relative standard deviation of a single reading, for example "0.15 %".
    #[schemars(with = "Option<String>")]
    repeatability: Option<Spanned<String>>,
    /// From how many readings it comes.
    #[schemars(with = "Option<u32>")]
    repeatability_readings: Option<Spanned<u32>>,
    /// Relative standard deviation when the tool is taken off and put on again.
    #[schemars(with = "Option<String>")]
    reproducibility: Option<Spanned<String>>,
    /// By how much at most its deviation moves in a year, for example "0.3 %".
    #[schemars(with = "Option<String>")]
    drift_per_year: Option<Spanned<String>>,
    /// The calibration points, from the lowest to the highest.
    #[serde(default)]
    #[schemars(with = "Vec<PointFile>")]
    point: Vec<Spanned<PointFile>>,
}

/// One calibration point as a person writes it down.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PointFile {
    /// What the tool showed or was set to, for example "4 N·m".
    #[schemars(with = "String")]
    indicated: Spanned<String>,
    /// What the reference device measured.
    #[schemars(with = "String")]
    reference: Spanned<String>,
    /// The expanded uncertainty: a torque, or a share of the reference like "1 %".
    #[schemars(with = "String")]
    expanded: Spanned<String>,
    /// Its coverage factor, mostly 2.
    #[serde(alias = "k")]
    #[schemars(with = "Number")]
    coverage_factor: Spanned<Number>,
    /// The degrees of freedom behind it.
    degrees_of_freedom: Option<u32>,
    /// How many readings were taken at this point.
    readings: Option<u32>,
}

/// A day, in quotes or without.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum Day {
    Text(String),
    Literal(toml::value::Datetime),
}

/// A number, in quotes or without.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
enum Number {
    Text(String),
    Whole(i64),
    Decimal(f64),
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Text(text) => f.write_str(text),
            Self::Literal(day) => day.fmt(f),
        }
    }
}

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Text(text) => f.write_str(text),
            Self::Whole(number) => number.fmt(f),
            Self::Decimal(number) => number.fmt(f),
        }
    }
}

/// Reads a certificate that a person wrote down. What it says is not checked yet: see [`Imported::check`].
pub fn read_toml(text: &str) -> Result<Imported, CertificateError> {
    let bytes = text.len();
    if bytes > MOST_BYTES {
        let most = MOST_BYTES;
        return Err(CertificateError::at(
            Place::File,
            ReadFault::TooLong { bytes, most },
        ));
    }
    let file: CertificateFile = toml::from_str(text).map_err(|error| syntax(text, &error))?;
    Reader {
        text,
        places: Places::default(),
    }
    .read(file)
}

fn syntax(text: &str, error: &toml::de::Error) -> CertificateError {
    let place = error
        .span()
        .map_or(Place::File, |span| Place::Line(line_of(text, span.start)));
    let what = error.message().trim().to_owned();
    CertificateError::at(place, ReadFault::Syntax(what))
}

fn line_of(text: &str, offset: usize) -> usize {
    let before = text.as_bytes().iter().take(offset);
    1 + before.filter(|byte| **byte == b'\n').count()
}

struct Reader<'a> {
    text: &'a str,
    places: Places,
}

impl Reader<'_> {
    fn read(mut self, file: CertificateFile) -> Result<Imported, CertificateError> {
        let date = self.day(Subject::Date, &file.date)?;
        let due = self.day(Subject::Due, &file.due)?;
        let repeatability_ppm = self.ppm(Subject::Repeatability, file.repeatability.as_ref())?;
        let repeatability_readings = file.repeatability_readings.map(|readings| {
            self.note(Subject::RepeatabilityReadings, &readings);
            readings.into_inner()
        });
        let reproducibility_ppm =
            self.ppm(Subject::Reproducibility, file.reproducibility.as_ref())?;
        let drift_ppm_per_year = self.ppm(Subject::Drift, file.drift_per_year.as_ref())?;
        let points = self.points(file.point)?;
        let certificate = Certificate {
            number: self.text(Subject::Number, file.number),
            laboratory: self.text(Subject::Laboratory, file.laboratory),
            date,
            due,
            serial: file.serial.map(|text| self.text(Subject::Serial, text)),
            conditions: file
                .conditions
                .map(|text| self.text(Subject::Conditions, text)),
            method: file.method.map(|text| self.text(Subject::Method, text)),
            state: file.state,
            direction: file.direction,
            points,
            covers: file.covers,
            repeatability_ppm,
            repeatability_readings,
            reproducibility_ppm,
            drift_ppm_per_year,
            file: Some(OriginalFile::of(Format::Toml, self.text.as_bytes())),
        };
        Ok(Imported {
            certificate,
            places: self.places,
        })
    }

    fn note<T>(&mut self, subject: Subject, value: &Spanned<T>) -> Place {
        let place = Place::Line(line_of(self.text, value.span().start));
        self.places.put(subject, place.clone());
        place
    }

    fn text(&mut self, subject: Subject, text: Spanned<String>) -> String {
        self.note(subject, &text);
        text.into_inner()
    }

    fn day(&mut self, subject: Subject, day: &Spanned<Day>) -> Result<NaiveDate, CertificateError> {
        let place = self.note(subject, day);
        figures::day(&day.get_ref().to_string()).map_err(|fault| CertificateError::at(place, fault))
    }

    fn ppm(
        &mut self,
        subject: Subject,
        text: Option<&Spanned<String>>,
    ) -> Result<Option<u32>, CertificateError> {
        let Some(text) = text else { return Ok(None) };
        let place = self.note(subject, text);
        let ppm =
            figures::ppm(text.get_ref()).map_err(|fault| CertificateError::at(place, fault))?;
        Ok(Some(ppm))
    }

    fn points(&mut self, points: Vec<Spanned<PointFile>>) -> Result<Vec<Point>, CertificateError> {
        let numbered = points.into_iter().enumerate();
        numbered.map(|(n, point)| self.point(n, point)).collect()
    }

    fn point(&mut self, n: usize, point: Spanned<PointFile>) -> Result<Point, CertificateError> {
        self.note(Subject::Point(n), &point);
        let point = point.into_inner();
        let wrong = |place| move |fault| CertificateError::at(place, fault);
        let place = self.note(Subject::Indicated(n), &point.indicated);
        let indicated = figures::torque(point.indicated.get_ref()).map_err(wrong(place))?;
        let place = self.note(Subject::Reference(n), &point.reference);
        let reference = figures::torque(point.reference.get_ref()).map_err(wrong(place))?;
        let place = self.note(Subject::Expanded(n), &point.expanded);
        let expanded =
            figures::uncertainty(point.expanded.get_ref(), reference).map_err(wrong(place))?;
        let place = self.note(Subject::CoverageFactor(n), &point.coverage_factor);
        let factor = point.coverage_factor.get_ref().to_string();
        let coverage_factor_thousandths =
            figures::coverage_factor(&factor).map_err(wrong(place))?;
        Ok(Point {
            indicated,
            reference,
            expanded,
            coverage_factor_thousandths,
            degrees_of_freedom: point.degrees_of_freedom,
            readings: point.readings,
        })
    }
}

impl Certificate {
    /// Writes it as a file that [`read_toml`] reads as the same certificate, but for [`Certificate::file`].
    pub fn to_toml(&self) -> String {
        let mut out = String::new();
        let texts = [
            ("number", Some(self.number.clone())),
            ("laboratory", Some(self.laboratory.clone())),
            ("date", Some(self.date.to_string())),
            ("due", Some(self.due.to_string())),
            ("serial", self.serial.clone()),
            ("conditions", self.conditions.clone()),
            ("method", self.method.clone()),
            ("state", self.state.map(word)),
            ("direction", self.direction.map(word)),
            ("repeatability", self.repeatability_ppm.map(percent)),
            ("reproducibility", self.reproducibility_ppm.map(percent)),
            ("drift_per_year", self.drift_ppm_per_year.map(percent)),
        ];
        let stated = texts
            .into_iter()
            .filter_map(|(key, text)| Some((key, text?)));
        for (key, text) in stated {
            line(&mut out, key, toml::Value::String(text));
        }
        if let Some(readings) = self.repeatability_readings {
            line(
                &mut out,
                "repeatability_readings",
                i64::from(readings).into(),
            );
        }
        if !self.covers.is_empty() {
            let words = self
                .covers
                .iter()
                .map(|what| toml::Value::String(word(*what)));
            line(&mut out, "covers", toml::Value::Array(words.collect()));
        }
        for point in &self.points {
            point.write(&mut out);
        }
        out
    }
}

impl Point {
    fn write(&self, out: &mut String) {
        out.push_str("\n[[point]]\n");
        for (key, torque) in [
            ("indicated", self.indicated),
            ("reference", self.reference),
            ("expanded", self.expanded),
        ] {
            line(out, key, toml::Value::String(torque.to_string()));
        }
        let factor = self.coverage_factor_thousandths;
        let factor = format!("{}.{:03}", factor / 1000, factor % 1000);
        line(out, "coverage_factor", toml::Value::String(factor));
        let counts = [
            ("degrees_of_freedom", self.degrees_of_freedom),
            ("readings", self.readings),
        ];
        for (key, count) in counts {
            if let Some(count) = count {
                line(out, key, i64::from(count).into());
            }
        }
    }
}

#[expect(clippy::needless_pass_by_value, reason = "values are made for it")]
fn line(out: &mut String, key: &str, value: toml::Value) {
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{key} = {value}");
}

/// The word that stands for a variant in every file.
fn word<T: serde::Serialize>(value: T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}

fn percent(ppm: u32) -> String {
    format!("{}.{:04} %", ppm / 10_000, ppm % 10_000)
}
