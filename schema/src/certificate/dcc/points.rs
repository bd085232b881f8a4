//! From a table of a certificate to calibration points, with the arithmetic that proves which value is which.

use super::super::imported::{Places, Subject};
use super::super::{CertificateError, Place, Point};
use super::number::{coarser, product};
use super::quantity::{self, Entry, Figure, Spread};
use super::table::Table;
use super::unit::Unit;
use super::xml;
use super::{DccFault, ReadFault};
use crate::quantity::{MicroTorque, QuantityError, Rounding};

/// More points than any tool is calibrated at.
const MOST_POINTS: usize = 200;

/// What one row of the table holds.
struct Row {
    reference: Entry,
    measured: Entry,
    error: Entry,
}

/// A figure as a torque or a ratio, in whole 10^-12, with one unit of its last place.
#[derive(Debug, Clone, Copy)]
enum Size {
    Torque(i128, i128),
    Ratio(i128, i128),
}

/// The points of a table, checked by arithmetic.
pub(super) fn of(table: &Table, places: &mut Places) -> Result<Vec<Point>, CertificateError> {
    places.put(Subject::Points, Place::Element(xml::path(table.node)));
    let rows = rows(table)?;
    prove(&rows)?;
    rows.iter()
        .enumerate()
        .map(|(n, row)| row.point(n, places))
        .collect()
}

fn rows(table: &Table) -> Result<Vec<Row>, CertificateError> {
    let mut rows = Vec::new();
    if table.triples.len() > MOST_POINTS {
        let (what, most) = ("points", MOST_POINTS);
        return Err(xml::at(table.node, DccFault::TooComplex { what, most }));
    }
    for triple in &table.triples {
        let parts = triple.parts()?;
        let [reference, measured, error] = parts;
        let reference = quantity::read(reference)?;
        let wanted = reference.len();
        let measured = as_many(measured, wanted)?;
        let error = as_many(error, wanted)?;
        let together = reference.into_iter().zip(measured).zip(error);
        rows.extend(together.map(|((reference, measured), error)| Row {
            reference,
            measured,
            error,
        }));
    }
    Ok(rows)
}

fn as_many(node: roxmltree::Node, wanted: usize) -> Result<Vec<Entry>, CertificateError> {
    let entries = quantity::read(node)?;
    let found = entries.len();
    if found == wanted {
        return Ok(entries);
    }
    Err(xml::at(node, DccFault::Lengths { found, wanted }))
}

/// Checks *error = measured − reference* in every row, and that the opposite sign does not fit better.
fn prove(rows: &[Row]) -> Result<(), CertificateError> {
    // Programs drop trailing zeros, so the finest last place of a column holds for all of it.
    let finest = |sizes: Vec<i128>| sizes.into_iter().min().unwrap_or(1);
    let lasts = |pick: fn(&Row) -> &Entry| -> Result<Vec<i128>, CertificateError> {
        let each = rows.iter().map(|row| pick(row).value.torque());
        each.map(|size| size.map(|(_, last)| last)).collect()
    };
    let torques = finest(lasts(|row| &row.measured)?) + finest(lasts(|row| &row.reference)?);
    let errors = rows
        .iter()
        .map(|row| row.error.value.size().map(Size::last_place));
    let errors = finest(errors.collect::<Result<_, _>>()?);
    let (mut as_stated, mut turned) = (0_i128, 0_i128);
    for row in rows {
        let (apart, opposite) = row.prove(torques, errors)?;
        as_stated = as_stated.saturating_add(apart);
        turned = turned.saturating_add(opposite);
    }
    match rows.first() {
        Some(row) if turned < as_stated => Err(row.error.value.at(DccFault::ErrorTurned)),
        _ => Ok(()),
    }
}

/// To the nearest µN·m.
fn micro(pico: i128, figure: &Figure) -> Result<MicroTorque, CertificateError> {
    rounded(pico, Rounding::Nearest, figure)
}

fn rounded(
    pico: i128,
    rounding: Rounding,
    figure: &Figure,
) -> Result<MicroTorque, CertificateError> {
    let units = coarser(pico, 6, rounding).ok_or_else(|| figure.too_large())?;
    Ok(MicroTorque::from_small_units(units))
}

impl Size {
    fn last_place(self) -> i128 {
        match self {
            Self::Torque(_, last) | Self::Ratio(_, last) => last,
        }
    }
}

impl Figure {
    fn at(&self, fault: impl Into<super::super::Fault>) -> CertificateError {
        CertificateError::at(Place::Element(self.place.clone()), fault)
    }

    fn too_large(&self) -> CertificateError {
        let text = "this figure".to_owned();
        self.at(ReadFault::Quantity(QuantityError::TooLarge { text }))
    }

    fn size(&self) -> Result<Size, CertificateError> {
        let unit = Unit::read(&self.unit).ok_or_else(|| {
            let unit = self.unit.clone();
            self.at(DccFault::NotARatio { unit })
        })?;
        let (Unit::Torque(power) | Unit::Ratio(power)) = unit;
        let value = self.number.pico(power).ok_or_else(|| self.too_large())?;
        let last = self.number.last_place(power);
        Ok(match unit {
            Unit::Torque(_) => Size::Torque(value, last),
            Unit::Ratio(_) => Size::Ratio(value, last),
        })
    }

    /// In whole 10^-12 N·m, with one unit of its last place.
    fn torque(&self) -> Result<(i128, i128), CertificateError> {
        if let Some(Unit::Torque(power)) = Unit::read(&self.unit) {
            let value = self.number.pico(power).ok_or_else(|| self.too_large())?;
            Ok((value, self.number.last_place(power)))
        } else {
            let unit = self.unit.clone();
            Err(self.at(DccFault::NotTorque { unit }))
        }
    }
}

impl Row {
    /// How far the error is from measured minus reference, and from the opposite. `torques` is one unit of the last place of
    /// both torques together, `errors` that of the error.
    fn prove(&self, torques: i128, errors: i128) -> Result<(i128, i128), CertificateError> {
        let (measured, reference) = self.torques()?;
        let (error, last) = match self.error.value.size()? {
            Size::Torque(error, _) => (error, errors),
            Size::Ratio(error, _) => (product(error, reference), product(errors, reference.abs())),
        };
        // Half of the last place of each of the three, and a little for our own rounding.
        let most = i128::midpoint(torques, last) + 2;
        let apart = (error - (measured - reference)).abs();
        let opposite = (error + (measured - reference)).abs();
        if apart <= most {
            return Ok((apart, opposite));
        }
        if opposite <= most {
            return Err(self.error.value.at(DccFault::ErrorTurned));
        }
        let measured = micro(measured, &self.measured.value)?;
        let reference = micro(reference, &self.reference.value)?;
        let fault = DccFault::ErrorMismatch {
            measured,
            reference,
        };
        Err(self.error.value.at(fault))
    }

    /// What the tool and the reference showed, in whole 10^-12 N·m.
    fn torques(&self) -> Result<(i128, i128), CertificateError> {
        let (measured, _) = self.measured.value.torque()?;
        let (reference, _) = self.reference.value.torque()?;
        Ok((measured, reference))
    }

    fn point(&self, n: usize, places: &mut Places) -> Result<Point, CertificateError> {
        let (entry, spread) = self.spread()?;
        for (subject, place) in [
            (Subject::Indicated(n), &self.measured.value.place),
            (Subject::Reference(n), &self.reference.value.place),
            (Subject::Expanded(n), &spread.value.place),
            (Subject::CoverageFactor(n), &spread.factor_place),
        ] {
            places.put(subject, Place::Element(place.clone()));
        }
        let (measured, reference) = self.torques()?;
        let expanded = match spread.value.size()? {
            Size::Torque(expanded, _) => expanded,
            Size::Ratio(share, _) => product(share, reference),
        };
        self.agree(entry, expanded)?;
        let factor = spread
            .factor
            .pico(0)
            .and_then(|factor| coarser(factor, 3, Rounding::Nearest));
        let factor = factor.and_then(|factor| u32::try_from(factor).ok());
        let factor = factor.ok_or_else(|| {
            let place = Place::Element(spread.factor_place.clone());
            let text = "this coverage factor".to_owned();
            CertificateError::at(place, DccFault::NotANumber { text })
        })?;
        Ok(Point {
            indicated: micro(measured, &self.measured.value)?,
            reference: micro(reference, &self.reference.value)?,
            expanded: rounded(expanded, Rounding::Up, &spread.value)?,
            coverage_factor_thousandths: factor,
            degrees_of_freedom: None,
            readings: None,
        })
    }

    /// The uncertainty of the calibration hangs on the error or on the measured value. What hangs on the reference is the
    /// reference device's own.
    fn spread(&self) -> Result<(&Entry, &Spread), CertificateError> {
        let own = [&self.error, &self.measured];
        let found = own
            .iter()
            .find_map(|entry| Some((*entry, entry.spread.as_ref()?)));
        found.ok_or_else(|| {
            if let Some(relative) = own.iter().find_map(|entry| entry.relative.as_ref()) {
                return relative.at(DccFault::RelativeAlone);
            }
            match &self.reference.spread {
                Some(spread) => spread.value.at(DccFault::OnlyReference),
                None => self.error.value.at(DccFault::NoUncertainty),
            }
        })
    }

    /// A relative uncertainty that stands beside the absolute one has to be that of the measured or the reference value.
    fn agree(&self, entry: &Entry, expanded: i128) -> Result<(), CertificateError> {
        let Some(relative) = &entry.relative else {
            return Ok(());
        };
        let Size::Ratio(share, last) = relative.size()? else {
            let unit = relative.unit.clone();
            return Err(relative.at(DccFault::NotARatio { unit }));
        };
        let absolute = entry.spread.as_ref().map(|spread| spread.value.size());
        let own_last = absolute.transpose()?.map_or(1, Size::last_place);
        let fits = |value: i128| {
            let most = i128::midpoint(own_last, product(last, value.abs())) + 2;
            (product(share, value.abs()) - expanded).abs() <= most
        };
        let (measured, reference) = self.torques()?;
        if fits(measured) || fits(reference) {
            return Ok(());
        }
        let expanded = micro(expanded, relative)?;
        let reference = micro(reference, relative)?;
        Err(relative.at(DccFault::RelativeMismatch {
            expanded,
            reference,
        }))
    }
}
