//! What a certificate states beside its points, as far as it is known: part of it stands in the file, part of it a person
//! adds. The two are joined here, and where they disagree nothing wins.

use super::imported::{Places, Subject};
use super::{
    Certificate, CertificateError, Contribution, Direction, OriginalFile, Place, Point, ReadFault,
    State,
};
use chrono::NaiveDate;
use serde::Serialize;
use std::collections::BTreeSet;

/// What a person states beside a certificate file, or what such a file states beside its points. What each means stands at
/// [`Certificate`].
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Head {
    /// The certificate's number.
    pub number: Option<String>,
    /// Who calibrated.
    pub laboratory: Option<String>,
    /// The day of calibration.
    pub date: Option<NaiveDate>,
    /// The day after which the tool is past its calibration. A person may choose an earlier day than the file, no later one.
    pub due: Option<NaiveDate>,
    /// The tool's serial number.
    pub serial: Option<String>,
    /// Surroundings.
    pub conditions: Option<String>,
    /// The standard.
    pub method: Option<String>,
    /// Before or after an adjustment.
    pub state: Option<State>,
    /// Which way the tool was turned.
    pub direction: Option<Direction>,
    /// What the expanded uncertainty contains.
    pub covers: Option<BTreeSet<Contribution>>,
    /// Relative standard deviation of a single reading.
    pub repeatability_ppm: Option<u32>,
    /// From how many readings it comes.
    pub repeatability_readings: Option<u32>,
    /// Relative standard deviation between mountings.
    pub reproducibility_ppm: Option<u32>,
    /// Largest movement of the deviation in a year.
    pub drift_ppm_per_year: Option<u32>,
}

impl Head {
    /// Joins what the file states with what a person adds.
    pub(super) fn join(
        self,
        given: &Self,
        points: Vec<Point>,
        file: OriginalFile,
        places: &Places,
    ) -> Result<Certificate, CertificateError> {
        let join = Join { places };
        let due = join.due(self.due, given.due)?;
        let pick = &join;
        Ok(Certificate {
            number: pick.needed(
                Subject::Number,
                "number",
                self.number,
                given.number.as_ref(),
            )?,
            laboratory: pick.needed(
                Subject::Laboratory,
                "laboratory",
                self.laboratory,
                given.laboratory.as_ref(),
            )?,
            date: pick.needed(Subject::Date, "date", self.date, given.date.as_ref())?,
            due: pick.needed(Subject::Due, "due date", due, None)?,
            serial: pick.one(
                Subject::Serial,
                "serial number",
                self.serial,
                given.serial.as_ref(),
            )?,
            conditions: pick.one(
                Subject::Conditions,
                "conditions",
                self.conditions,
                given.conditions.as_ref(),
            )?,
            method: pick.one(
                Subject::Method,
                "method",
                self.method,
                given.method.as_ref(),
            )?,
            state: pick.one(Subject::State, "state", self.state, given.state.as_ref())?,
            direction: pick.one(
                Subject::Direction,
                "direction",
                self.direction,
                given.direction.as_ref(),
            )?,
            covers: pick
                .one(
                    Subject::Covers,
                    "covers",
                    self.covers,
                    given.covers.as_ref(),
                )?
                .unwrap_or_default(),
            repeatability_ppm: pick.one(
                Subject::Repeatability,
                "repeatability",
                self.repeatability_ppm,
                given.repeatability_ppm.as_ref(),
            )?,
            repeatability_readings: pick.one(
                Subject::RepeatabilityReadings,
                "number of readings of the repeatability",
                self.repeatability_readings,
                given.repeatability_readings.as_ref(),
            )?,
            reproducibility_ppm: pick.one(
                Subject::Reproducibility,
                "reproducibility",
                self.reproducibility_ppm,
                given.reproducibility_ppm.as_ref(),
            )?,
            drift_ppm_per_year: pick.one(
                Subject::Drift,
                "drift",
                self.drift_ppm_per_year,
                given.drift_ppm_per_year.as_ref(),
            )?,
            points,
            file: Some(file),
        })
    }
}

struct Join<'a> {
    places: &'a Places,
}

impl Join<'_> {
    fn due(
        &self,
        stated: Option<NaiveDate>,
        wanted: Option<NaiveDate>,
    ) -> Result<Option<NaiveDate>, CertificateError> {
        if let (Some(stated), Some(wanted)) = (stated, wanted)
            && wanted > stated
        {
            let fault = ReadFault::LaterDue { stated, wanted };
            return Err(CertificateError::at(self.places.of(Subject::Due), fault));
        }
        Ok(wanted.or(stated))
    }

    fn one<T: PartialEq + Serialize + Clone>(
        &self,
        subject: Subject,
        what: &'static str,
        stated: Option<T>,
        given: Option<&T>,
    ) -> Result<Option<T>, CertificateError> {
        match (stated, given) {
            (Some(here), Some(there)) if here != *there => {
                let (here, there) = (shown(&here), shown(there));
                let fault = ReadFault::Contradiction { what, here, there };
                Err(CertificateError::at(self.places.of(subject), fault))
            }
            (stated, given) => Ok(stated.or_else(|| given.cloned())),
        }
    }

    fn needed<T: PartialEq + Serialize + Clone>(
        &self,
        subject: Subject,
        what: &'static str,
        stated: Option<T>,
        given: Option<&T>,
    ) -> Result<T, CertificateError> {
        let found = self.one(subject, what, stated, given)?;
        found.ok_or_else(|| {
            let what = format!("the {what}");
            let fix = "the file does not say it, so state it beside the file".to_owned();
            CertificateError::at(Place::File, ReadFault::Missing { what, fix })
        })
    }
}

fn shown<T: Serialize>(value: &T) -> String {
    serde_json::to_string(value).unwrap_or_default()
}
