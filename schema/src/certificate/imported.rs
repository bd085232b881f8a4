//! A certificate that was just read, with the places of its figures, so that a refusal can name them.

use super::{Certificate, CertificateError, Place};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What a place belongs to. Points are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// The certificate's number.
    Number,
    /// The laboratory.
    Laboratory,
    /// The day of calibration.
    Date,
    /// The day it is due.
    Due,
    /// The tool's serial number.
    Serial,
    /// The surroundings.
    Conditions,
    /// The standard.
    Method,
    /// Before or after an adjustment.
    State,
    /// Which way the tool was turned.
    Direction,
    /// What the expanded uncertainty contains.
    Covers,
    /// Repeatability.
    Repeatability,
    /// From how many readings the repeatability comes.
    RepeatabilityReadings,
    /// Reproducibility.
    Reproducibility,
    /// Drift.
    Drift,
    /// All points together.
    Points,
    /// One point.
    Point(usize),
    /// What a point's tool showed.
    Indicated(usize),
    /// What a point's reference device measured.
    Reference(usize),
    /// A point's expanded uncertainty.
    Expanded(usize),
    /// A point's coverage factor.
    CoverageFactor(usize),
}

impl Subject {
    /// The next wider thing: where a figure has no place of its own, its point or the table may have one.
    const fn wider(self) -> Option<Self> {
        match self {
            Self::Indicated(n)
            | Self::Reference(n)
            | Self::Expanded(n)
            | Self::CoverageFactor(n) => Some(Self::Point(n)),
            Self::Point(_) => Some(Self::Points),
            _ => None,
        }
    }

    /// The place in a certificate that has no file.
    fn member(self) -> Place {
        let point = |n: usize, what: &str| format!("point {}{what}", n + 1);
        Place::Member(match self {
            Self::Number => "number".to_owned(),
            Self::Laboratory => "laboratory".to_owned(),
            Self::Date => "date".to_owned(),
            Self::Due => "due date".to_owned(),
            Self::Serial => "serial number".to_owned(),
            Self::Conditions => "conditions".to_owned(),
            Self::Method => "method".to_owned(),
            Self::State => "state".to_owned(),
            Self::Direction => "direction".to_owned(),
            Self::Covers => "covers".to_owned(),
            Self::Repeatability => "repeatability".to_owned(),
            Self::RepeatabilityReadings => "number of readings of the repeatability".to_owned(),
            Self::Reproducibility => "reproducibility".to_owned(),
            Self::Drift => "drift".to_owned(),
            Self::Points => "points".to_owned(),
            Self::Point(n) => point(n, ""),
            Self::Indicated(n) => point(n, ", indicated"),
            Self::Reference(n) => point(n, ", reference"),
            Self::Expanded(n) => point(n, ", expanded uncertainty"),
            Self::CoverageFactor(n) => point(n, ", coverage factor"),
        })
    }
}

/// Where things stand in a file; empty for a certificate that comes from the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Places(BTreeMap<Subject, Place>);

impl Places {
    pub(super) fn put(&mut self, subject: Subject, place: Place) {
        self.0.insert(subject, place);
    }

    pub(super) fn of(&self, subject: Subject) -> Place {
        let mut next = Some(subject);
        while let Some(at) = next {
            if let Some(place) = self.0.get(&at) {
                return place.clone();
            }
            next = at.wider();
        }
        if self.0.is_empty() {
            subject.member()
        } else {
            Place::File
        }
    }
}

/// A certificate as a file states it. Check it before it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// What the file states.
    pub certificate: Certificate,
    pub(super) places: Places,
}

impl Imported {
    /// Where in the file something stands.
    pub fn place(&self, subject: Subject) -> Place {
        self.places.of(subject)
    }

    /// Refuses what cannot be right, as [`Certificate::check`] does, and names the place in the file.
    pub fn check(&self, serial: &str, today: NaiveDate) -> Result<(), CertificateError> {
        self.faults(serial, today)
            .into_iter()
            .next()
            .map_or(Ok(()), Err)
    }

    /// Everything that [`Self::check`] would refuse.
    pub fn faults(&self, serial: &str, today: NaiveDate) -> Vec<CertificateError> {
        self.certificate
            .faults_at(Some(serial), Some(today), &self.places)
    }
}
