//! What a certificate that can be read is still refused for.
//!
//! The bounds are wide on purpose: they catch slips of the pen, columns that changed places and units that were mixed up,
//! not tools that are bad. A bad tool has to be let in, so that its readings are judged with its own figures.

use super::imported::{Places, Subject};
use super::{Certificate, CertificateError, Point};
use crate::quantity::MicroTorque;
use chrono::NaiveDate;

/// The largest relative figure that is believed: expanded uncertainty, deviation, repeatability, …
const ABSURD_PPM: u32 = 500_000;
/// The coverage factors that are believed, in thousandths.
const COVERAGE: std::ops::RangeInclusive<u32> = 1_000..=5_000;
/// The most points that are read.
const MOST_POINTS: usize = 200;
/// The longest text of a certificate, in characters.
const LONGEST_TEXT: usize = 400;

/// Why a certificate cannot be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CheckFault {
    /// A text that is empty, overlong or holds signs that nobody sees.
    #[error("the {what} has to have 1 to {LONGEST_TEXT} characters, all of them visible")]
    BadText {
        /// Which text.
        what: &'static str,
    },
    /// Calibrated after today.
    #[error(
        "the day of calibration, {date}, has not come yet (today is {today}); check the date, and this computer's clock"
    )]
    Future {
        /// The day of calibration.
        date: NaiveDate,
        /// Today.
        today: NaiveDate,
    },
    /// Due before it was calibrated.
    #[error("it is due on {due}, before its own date {date}; one of the two is wrong")]
    DueBeforeDate {
        /// The day of calibration.
        date: NaiveDate,
        /// The day it is due.
        due: NaiveDate,
    },
    /// It belongs to another tool.
    #[error(
        "it is the certificate of the tool {found:?}, not of {wanted:?}; find the right certificate, or correct the tool's serial number"
    )]
    WrongSerial {
        /// As the certificate states it.
        found: String,
        /// As the tool's file states it.
        wanted: String,
    },
    /// The points do not rise.
    #[error(
        "{this} comes after {before}: list the points from the lowest to the highest, one table for each direction"
    )]
    Order {
        /// The point before.
        before: MicroTorque,
        /// This one.
        this: MicroTorque,
    },
    /// One point twice.
    #[error("the point {this} is there twice; keep one of the two")]
    Doubled {
        /// What both indicate.
        this: MicroTorque,
    },
    /// A torque at or below zero.
    #[error(
        "{torque} is no calibration point: torques are sizes above zero and at most {}, in either direction; leave the zero point out",
        MicroTorque::SANE_MAXIMUM
    )]
    NotPositive {
        /// The torque.
        torque: MicroTorque,
    },
    /// No uncertainty, or a negative one.
    #[error(
        "the expanded uncertainty {expanded} is not above zero; a calibration without uncertainty is none"
    )]
    NoUncertainty {
        /// As stated.
        expanded: MicroTorque,
    },
    /// An uncertainty that swallows the value.
    #[error(
        "the expanded uncertainty {expanded} is more than half of {reference}; check the units and the columns"
    )]
    AbsurdUncertainty {
        /// As stated.
        expanded: MicroTorque,
        /// The point's reference.
        reference: MicroTorque,
    },
    /// Indicated and reference have nothing to do with each other.
    #[error(
        "{indicated} indicated and {reference} at the reference are more than half apart; check the units and the columns"
    )]
    AbsurdDeviation {
        /// As stated.
        indicated: MicroTorque,
        /// The point's reference.
        reference: MicroTorque,
    },
    /// A coverage factor that nobody uses.
    #[error("a coverage factor of {}.{:03} is none: it is between 1 and 5, mostly 2", thousandths / 1000, thousandths % 1000)]
    CoverageFactor {
        /// As stated.
        thousandths: u32,
    },
    /// A ratio or a count out of its bounds.
    #[error("the {what} of {value} is out of its bounds ({least} to {most})")]
    Bounds {
        /// Which figure.
        what: &'static str,
        /// As stated.
        value: u64,
        /// The least that is believed.
        least: u64,
        /// The most that is believed.
        most: u64,
    },
}

impl Certificate {
    /// Refuses what cannot be right: dates, another tool's serial number, points and figures. `serial` is the tool's own.
    /// A certificate that states no serial number is not refused for that.
    pub fn check(&self, serial: &str, today: NaiveDate) -> Result<(), CertificateError> {
        first(self.faults(serial, today))
    }

    /// Everything that [`Self::check`] would refuse.
    pub fn faults(&self, serial: &str, today: NaiveDate) -> Vec<CertificateError> {
        self.faults_at(Some(serial), Some(today), &Places::default())
    }

    /// The same as [`Self::check`] without what depends on the tool and the day: for reading a ledger again.
    pub fn check_alone(&self) -> Result<(), CertificateError> {
        first(self.faults_at(None, None, &Places::default()))
    }

    pub(super) fn faults_at(
        &self,
        serial: Option<&str>,
        today: Option<NaiveDate>,
        places: &Places,
    ) -> Vec<CertificateError> {
        let mut faults = Faults {
            places,
            found: Vec::new(),
        };
        faults.first_page(self, serial, today);
        faults.ratios(self);
        faults.points(&self.points);
        faults.found
    }
}

fn first(faults: Vec<CertificateError>) -> Result<(), CertificateError> {
    faults.into_iter().next().map_or(Ok(()), Err)
}

struct Faults<'a> {
    places: &'a Places,
    found: Vec<CertificateError>,
}

impl Faults<'_> {
    fn add(&mut self, subject: Subject, fault: CheckFault) {
        self.found
            .push(CertificateError::at(self.places.of(subject), fault));
    }

    fn first_page(&mut self, page: &Certificate, serial: Option<&str>, today: Option<NaiveDate>) {
        self.text(Subject::Number, "number", Some(&page.number));
        self.text(Subject::Laboratory, "laboratory", Some(&page.laboratory));
        self.text(Subject::Serial, "serial number", page.serial.as_deref());
        self.text(
            Subject::Conditions,
            "conditions",
            page.conditions.as_deref(),
        );
        self.text(Subject::Method, "method", page.method.as_deref());
        let (date, due) = (page.date, page.due);
        if let Some(today) = today.filter(|today| date > *today) {
            self.add(Subject::Date, CheckFault::Future { date, today });
        }
        if due < date {
            self.add(Subject::Due, CheckFault::DueBeforeDate { date, due });
        }
        if let (Some(found), Some(wanted)) = (&page.serial, serial)
            && found.trim() != wanted.trim()
        {
            let (found, wanted) = (found.clone(), wanted.to_owned());
            self.add(Subject::Serial, CheckFault::WrongSerial { found, wanted });
        }
    }

    fn text(&mut self, subject: Subject, what: &'static str, text: Option<&str>) {
        let is_bad = |text: &str| {
            text.trim().is_empty()
                || text.chars().count() > LONGEST_TEXT
                || text.chars().any(char::is_control)
        };
        if text.is_some_and(is_bad) {
            self.add(subject, CheckFault::BadText { what });
        }
    }

    fn ratios(&mut self, page: &Certificate) {
        let most = u64::from(ABSURD_PPM);
        let counts = u64::from(u32::MAX);
        for (subject, what, value, least, most) in [
            (
                Subject::Repeatability,
                "repeatability in ppm",
                page.repeatability_ppm,
                0,
                most,
            ),
            (
                Subject::RepeatabilityReadings,
                "number of readings of the repeatability",
                page.repeatability_readings,
                2,
                counts,
            ),
            (
                Subject::Reproducibility,
                "reproducibility in ppm",
                page.reproducibility_ppm,
                0,
                most,
            ),
            (
                Subject::Drift,
                "drift in ppm per year",
                page.drift_ppm_per_year,
                0,
                most,
            ),
        ] {
            self.bounds(subject, what, value.map(u64::from), least, most);
        }
        let count = Some(page.points.len() as u64);
        self.bounds(
            Subject::Points,
            "number of points",
            count,
            0,
            MOST_POINTS as u64,
        );
    }

    fn bounds(
        &mut self,
        subject: Subject,
        what: &'static str,
        value: Option<u64>,
        least: u64,
        most: u64,
    ) {
        if let Some(value) = value.filter(|value| !(least..=most).contains(value)) {
            let fault = CheckFault::Bounds {
                what,
                value,
                least,
                most,
            };
            self.add(subject, fault);
        }
    }

    fn points(&mut self, points: &[Point]) {
        let mut before: Option<&Point> = None;
        for (n, point) in points.iter().enumerate() {
            self.order(n, points, before, point);
            self.figures(n, point);
            before = Some(point);
        }
    }

    fn order(&mut self, n: usize, points: &[Point], before: Option<&Point>, point: &Point) {
        let this = point.indicated;
        if points.iter().take(n).any(|other| other.indicated == this) {
            self.add(Subject::Indicated(n), CheckFault::Doubled { this });
            return;
        }
        let Some(before) = before else { return };
        if this < before.indicated {
            let before = before.indicated;
            self.add(Subject::Indicated(n), CheckFault::Order { before, this });
        } else if point.reference <= before.reference {
            let (before, this) = (before.reference, point.reference);
            self.add(Subject::Reference(n), CheckFault::Order { before, this });
        }
    }

    fn figures(&mut self, n: usize, point: &Point) {
        let torques = [
            (Subject::Indicated(n), point.indicated),
            (Subject::Reference(n), point.reference),
        ];
        for (subject, torque) in torques {
            if torque.small_units() <= 0 || !torque.is_sane() {
                self.add(subject, CheckFault::NotPositive { torque });
            }
        }
        let (indicated, reference, expanded) = (point.indicated, point.reference, point.expanded);
        let apart = indicated
            .small_units()
            .saturating_sub(reference.small_units());
        if is_over_half(apart, reference) {
            let fault = CheckFault::AbsurdDeviation {
                indicated,
                reference,
            };
            self.add(Subject::Reference(n), fault);
        }
        if expanded.small_units() <= 0 {
            self.add(Subject::Expanded(n), CheckFault::NoUncertainty { expanded });
        } else if is_over_half(expanded.small_units(), reference) {
            let fault = CheckFault::AbsurdUncertainty {
                expanded,
                reference,
            };
            self.add(Subject::Expanded(n), fault);
        }
        let thousandths = point.coverage_factor_thousandths;
        if !COVERAGE.contains(&thousandths) {
            self.add(
                Subject::CoverageFactor(n),
                CheckFault::CoverageFactor { thousandths },
            );
        }
        let counts = [
            ("degrees of freedom", point.degrees_of_freedom),
            ("number of readings", point.readings),
        ];
        for (what, count) in counts {
            self.bounds(
                Subject::Point(n),
                what,
                count.map(u64::from),
                1,
                u64::from(u32::MAX),
            );
        }
    }
}

/// More than half of a reference that is above zero.
fn is_over_half(part: i64, whole: MicroTorque) -> bool {
    whole.small_units() > 0
        && u128::from(part.unsigned_abs()) * 1_000_000
            > u128::from(whole.small_units().unsigned_abs()) * u128::from(ABSURD_PPM)
}
