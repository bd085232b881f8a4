//! Why a certificate is refused, and where in its file the reason stands.

use super::{CheckFault, DccFault};
use crate::quantity::QuantityError;
use chrono::NaiveDate;
use std::fmt;

/// A refusal: the place and what is wrong there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {fault}")]
pub struct CertificateError {
    /// Where.
    pub place: Place,
    /// What, and what to do.
    pub fault: Fault,
}

/// Where in a certificate something stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line of a text file, counted from 1.
    Line(usize),
    /// A cell of a table.
    Cell {
        /// The row below the heading, counted from 1.
        row: usize,
        /// The line of the file, counted from 1.
        line: usize,
        /// The column's name.
        column: String,
    },
    /// An element of an XML file, as a path from its root.
    Element(String),
    /// A member of a certificate that has no file, such as "due" or "point 2".
    Member(String),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => f.write_str("the certificate file"),
            Self::Line(line) => write!(f, "line {line} of the certificate"),
            Self::Cell { row, line, column } => {
                write!(f, "row {row} (line {line}), column {column}")
            }
            Self::Element(path) => f.write_str(path),
            Self::Member(name) => write!(f, "the certificate's {name}"),
        }
    }
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// It cannot be read.
    #[error(transparent)]
    Read(#[from] ReadFault),
    /// It can be read, and cannot be right.
    #[error(transparent)]
    Check(#[from] CheckFault),
    /// It is no Digital Calibration Certificate that can be taken.
    #[error(transparent)]
    Dcc(#[from] DccFault),
}

/// Why something in a file cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadFault {
    /// The file breaks the rules of its format.
    #[error("this cannot be read: {0}")]
    Syntax(String),
    /// The file is too long.
    #[error("the file has {bytes} bytes, and at most {most} are read; give the certificate alone")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// The most that is read.
        most: usize,
    },
    /// Something has to be there and is not.
    #[error("{what} is missing: {fix}")]
    Missing {
        /// What.
        what: String,
        /// What to do.
        fix: String,
    },
    /// A text that is no torque: no number, no unit, or the unit of another quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A figure that has no unit or is no ratio.
    #[error("{text:?} is no {what}: write it like {example}")]
    NotA {
        /// What is wanted.
        what: &'static str,
        /// The text as written.
        text: String,
        /// How it has to look.
        example: &'static str,
    },
    /// The file says one thing and the person another, or the file two things.
    #[error("the {what} is {here} here, and {there} was stated elsewhere; settle which one holds")]
    Contradiction {
        /// Of what.
        what: &'static str,
        /// What stands at this place.
        here: String,
        /// What stands at the other.
        there: String,
    },
    /// The person wants a longer interval than the certificate allows.
    #[error(
        "the certificate asks for a calibration by {stated}; {wanted} is later. A shop may only choose an earlier day"
    )]
    LaterDue {
        /// What the certificate says.
        stated: NaiveDate,
        /// What the person says.
        wanted: NaiveDate,
    },
}

impl CertificateError {
    pub(crate) fn at(place: Place, fault: impl Into<Fault>) -> Self {
        Self {
            place,
            fault: fault.into(),
        }
    }
}
