//! Calibration points as a table, the way a spreadsheet saves them: comma-separated (RFC 4180), decimals with a point.
//!
//! ```csv
//! # number: PL-0311
//! # laboratory: Tarn Metrology
//! # date: 2026-05-04
//! # due: 2027-05-04
//! indicated [N·m],reference [N·m],expanded [N·m],k
//! 4.00,4.02,0.04,2
//! 12.00,12.05,0.08,2
//! ```
//!
//! The heading names the columns and, in square brackets, their units. `indicated`, `reference`, `expanded` and `k` have to
//! be there, in any order; `expanded [%]` is a share of the reference; `degrees_of_freedom` and `readings` may be there; no
//! other column is read over. What is stated beside the points stands in lines `# key: value` before the heading, under
//! the names of the TOML file, or comes from a person as a [`Head`].

use super::head::Head;
use super::imported::{Imported, Places, Subject};
use super::{CertificateError, Format, OriginalFile, Place, Point, ReadFault, figures};

/// The longest file that is read: 1 MiB.
const MOST_BYTES: usize = 1024 * 1024;

/// Reads a table of points. What it says is not checked yet: see [`Imported::check`].
pub fn read_csv(text: &str, given: &Head) -> Result<Imported, CertificateError> {
    let bytes = text.len();
    if bytes > MOST_BYTES {
        let most = MOST_BYTES;
        let fault = ReadFault::TooLong { bytes, most };
        return Err(CertificateError::at(Place::File, fault));
    }
    let original = OriginalFile::of(Format::Csv, text.as_bytes());
    let mut places = Places::default();
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (head, table, lines) = top(body, &mut places)?;
    let points = points(table, lines, &mut places)?;
    let certificate = head.join(given, points, original, &places)?;
    Ok(Imported {
        certificate,
        places,
    })
}

/// Splits off the lines before the heading; also how many they are.
fn top<'a>(body: &'a str, places: &mut Places) -> Result<(Head, &'a str, usize), CertificateError> {
    let mut head = Head::default();
    let (mut rest, mut lines) = (body, 0);
    while rest.starts_with(['#', '\n', '\r']) {
        let (line, after) = rest.split_once('\n').unwrap_or((rest, ""));
        (rest, lines) = (after, lines + 1);
        let pair = line.strip_prefix('#').and_then(|text| text.split_once(':'));
        if let Some((key, value)) = pair {
            let place = Place::Line(lines);
            head.state(key.trim(), value.trim(), &place, places)
                .map_err(|fault| CertificateError::at(place, fault))?;
        }
    }
    Ok((head, rest, lines))
}

impl Head {
    /// Takes one line `# key: value`.
    fn state(
        &mut self,
        key: &str,
        value: &str,
        place: &Place,
        places: &mut Places,
    ) -> Result<(), ReadFault> {
        let text = || Some(value.to_owned());
        let (subject, is_new) = match key {
            "number" => (Subject::Number, put(&mut self.number, text())),
            "laboratory" => (Subject::Laboratory, put(&mut self.laboratory, text())),
            "date" => (
                Subject::Date,
                put(&mut self.date, Some(figures::day(value)?)),
            ),
            "due" => (Subject::Due, put(&mut self.due, Some(figures::day(value)?))),
            "serial" => (Subject::Serial, put(&mut self.serial, text())),
            "conditions" => (Subject::Conditions, put(&mut self.conditions, text())),
            "method" => (Subject::Method, put(&mut self.method, text())),
            "state" => (
                Subject::State,
                put(&mut self.state, Some(figures::word(value)?)),
            ),
            "direction" => (
                Subject::Direction,
                put(&mut self.direction, Some(figures::word(value)?)),
            ),
            "covers" => (Subject::Covers, put(&mut self.covers, Some(words(value)?))),
            "repeatability" => (
                Subject::Repeatability,
                put(&mut self.repeatability_ppm, Some(figures::ppm(value)?)),
            ),
            "repeatability_readings" => (
                Subject::RepeatabilityReadings,
                put(
                    &mut self.repeatability_readings,
                    Some(figures::count(value)?),
                ),
            ),
            "reproducibility" => (
                Subject::Reproducibility,
                put(&mut self.reproducibility_ppm, Some(figures::ppm(value)?)),
            ),
            "drift_per_year" => (
                Subject::Drift,
                put(&mut self.drift_ppm_per_year, Some(figures::ppm(value)?)),
            ),
            _ => {
                let what = format!(
                    "{key:?} is none of the names that are read here (number, laboratory, date, due, serial, …)"
                );
                return Err(ReadFault::Syntax(what));
            }
        };
        if !is_new {
            return Err(ReadFault::Syntax(format!("{key} is there twice")));
        }
        places.put(subject, place.clone());
        Ok(())
    }
}

fn put<T>(slot: &mut Option<T>, value: Option<T>) -> bool {
    let is_new = slot.is_none();
    *slot = value;
    is_new
}

fn words<T: serde::de::DeserializeOwned + Ord>(
    value: &str,
) -> Result<std::collections::BTreeSet<T>, ReadFault> {
    let words = value.split([',', ' ']).filter(|word| !word.is_empty());
    words.map(figures::word).collect()
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Indicated,
    Reference,
    Expanded,
    CoverageFactor,
    DegreesOfFreedom,
    Readings,
}

/// The columns by their names; the first four have to be there.
const COLUMNS: [(&str, Column); 7] = [
    ("indicated", Column::Indicated),
    ("reference", Column::Reference),
    ("expanded", Column::Expanded),
    ("k", Column::CoverageFactor),
    ("coverage_factor", Column::CoverageFactor),
    ("degrees_of_freedom", Column::DegreesOfFreedom),
    ("readings", Column::Readings),
];

/// One column of the file: what it holds, its name there and its unit.
struct Heading {
    column: Column,
    name: String,
    unit: String,
}

fn points(table: &str, lines: usize, places: &mut Places) -> Result<Vec<Point>, CertificateError> {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(table.as_bytes());
    let heading = Place::Line(lines + 1);
    places.put(Subject::Points, heading.clone());
    let names = reader.headers().map_err(|error| broken(&error, lines))?;
    let columns = columns(names).map_err(|fault| CertificateError::at(heading, fault))?;
    let mut points = Vec::new();
    for (n, record) in reader.records().enumerate() {
        let record = record.map_err(|error| broken(&error, lines))?;
        let at = record.position().map_or(0, csv::Position::line);
        let line = lines + usize::try_from(at).unwrap_or(usize::MAX - lines);
        let row = Row {
            record: &record,
            columns: &columns,
            number: n + 1,
            line,
        };
        points.push(row.point(n, places)?);
    }
    if points.is_empty() {
        let what = "a row with a calibration point".to_owned();
        let fix = "below the heading each row is one point".to_owned();
        let place = Place::Line(lines + 1);
        return Err(CertificateError::at(
            place,
            ReadFault::Missing { what, fix },
        ));
    }
    Ok(points)
}

fn broken(error: &csv::Error, lines: usize) -> CertificateError {
    let line = error
        .position()
        .and_then(|at| usize::try_from(at.line()).ok());
    let place = line.map_or(Place::File, |line| Place::Line(lines + line));
    CertificateError::at(place, ReadFault::Syntax(error.to_string()))
}

fn columns(names: &csv::StringRecord) -> Result<Vec<Heading>, ReadFault> {
    let mut found: Vec<Heading> = Vec::new();
    if names.len() == 1 && names.iter().any(|name| name.contains([';', '\t'])) {
        let what = "columns have to be separated by commas, and decimals written with a point";
        return Err(ReadFault::Syntax(what.to_owned()));
    }
    for text in names {
        let heading = heading(text)?;
        if found.iter().any(|other| other.column == heading.column) {
            return Err(ReadFault::Syntax(format!(
                "the column {text:?} is there twice"
            )));
        }
        found.push(heading);
    }
    for (name, column) in COLUMNS.iter().take(4) {
        if !found.iter().any(|heading| heading.column == *column) {
            return Err(ReadFault::Missing {
                what: format!("the column {name}"),
                fix:
                    "the heading has to name indicated, reference, expanded and k, with their units"
                        .to_owned(),
            });
        }
    }
    Ok(found)
}

/// Reads `expanded [N·m]`.
fn heading(text: &str) -> Result<Heading, ReadFault> {
    let (name, unit) = match text.split_once('[') {
        Some((name, rest)) => (
            name.trim(),
            rest.trim_end().strip_suffix(']').map(str::trim),
        ),
        None => (text, Some("")),
    };
    let known = COLUMNS.iter().find(|(known, _)| *known == name);
    let (Some((_, column)), Some(unit)) = (known, unit) else {
        let what = format!(
            "{text:?} is none of the columns that are read here (indicated, reference, expanded, k, degrees_of_freedom, readings)"
        );
        return Err(ReadFault::Syntax(what));
    };
    let needs_unit = matches!(
        column,
        Column::Indicated | Column::Reference | Column::Expanded
    );
    if needs_unit && unit.is_empty() {
        let what = format!("the unit of the column {name}");
        let fix = format!("write it in square brackets, for example \"{name} [N·m]\"");
        return Err(ReadFault::Missing { what, fix });
    }
    if !needs_unit && !unit.is_empty() {
        let what = format!("the column {name} has no unit, and {unit:?} is written there");
        return Err(ReadFault::Syntax(what));
    }
    Ok(Heading {
        column: *column,
        name: name.to_owned(),
        unit: unit.to_owned(),
    })
}

struct Row<'a> {
    record: &'a csv::StringRecord,
    columns: &'a [Heading],
    number: usize,
    line: usize,
}

impl Row<'_> {
    fn place(&self, column: &str) -> Place {
        Place::Cell {
            row: self.number,
            line: self.line,
            column: column.to_owned(),
        }
    }

    fn point(&self, n: usize, places: &mut Places) -> Result<Point, CertificateError> {
        let (wanted, found) = (self.columns.len(), self.record.len());
        if wanted != found {
            let what = format!(
                "the heading names {wanted} columns, and this row has {found}; write decimals with a point"
            );
            let place = Place::Line(self.line);
            return Err(CertificateError::at(place, ReadFault::Syntax(what)));
        }
        places.put(Subject::Point(n), self.place("indicated"));
        let torque = |text: &str, unit: &str| figures::torque(&format!("{text} {unit}"));
        let indicated = self.read(
            Column::Indicated,
            Some(Subject::Indicated(n)),
            places,
            torque,
        )?;
        let reference = self.read(
            Column::Reference,
            Some(Subject::Reference(n)),
            places,
            torque,
        )?;
        let (Some(indicated), Some(reference)) = (indicated, reference) else {
            return Err(self.empty());
        };
        let uncertainty =
            |text: &str, unit: &str| figures::uncertainty(&format!("{text} {unit}"), reference);
        let expanded = self.read(
            Column::Expanded,
            Some(Subject::Expanded(n)),
            places,
            uncertainty,
        )?;
        let factor = |text: &str, _: &str| figures::coverage_factor(text);
        let factor = self.read(
            Column::CoverageFactor,
            Some(Subject::CoverageFactor(n)),
            places,
            factor,
        )?;
        let (Some(expanded), Some(coverage_factor_thousandths)) = (expanded, factor) else {
            return Err(self.empty());
        };
        let count = |text: &str, _: &str| {
            if text.is_empty() {
                Ok(None)
            } else {
                figures::count(text).map(Some)
            }
        };
        Ok(Point {
            indicated,
            reference,
            expanded,
            coverage_factor_thousandths,
            degrees_of_freedom: self
                .read(Column::DegreesOfFreedom, None, places, count)?
                .flatten(),
            readings: self.read(Column::Readings, None, places, count)?.flatten(),
        })
    }

    /// The heading was checked for the columns that are needed, so this is never seen.
    fn empty(&self) -> CertificateError {
        let fault = ReadFault::Syntax("a column is missing".to_owned());
        CertificateError::at(Place::Line(self.line), fault)
    }

    fn read<T>(
        &self,
        column: Column,
        subject: Option<Subject>,
        places: &mut Places,
        parse: impl Fn(&str, &str) -> Result<T, ReadFault>,
    ) -> Result<Option<T>, CertificateError> {
        let cells = self.columns.iter().zip(self.record);
        let found = cells
            .into_iter()
            .find(|(heading, _)| heading.column == column);
        let Some((heading, text)) = found else {
            return Ok(None);
        };
        let place = self.place(&heading.name);
        if let Some(subject) = subject {
            places.put(subject, place.clone());
        }
        let value =
            parse(text, &heading.unit).map_err(|fault| CertificateError::at(place, fault))?;
        Ok(Some(value))
    }
}
