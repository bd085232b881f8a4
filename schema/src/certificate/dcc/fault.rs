//! Why a Digital Calibration Certificate is not taken.

use crate::quantity::MicroTorque;

/// One of several things that a certificate could mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Its number, counted from 1.
    pub number: usize,
    /// What it is called in the certificate.
    pub name: String,
    /// Its element.
    pub path: String,
}

fn listed(choices: &[Choice]) -> String {
    let shown = choices
        .iter()
        .map(|choice| format!("{} = {} ({})", choice.number, choice.name, choice.path));
    shown.collect::<Vec<_>>().join("; ")
}

/// Why a Digital Calibration Certificate is not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DccFault {
    /// Another encoding, or no text at all.
    #[error("this is no UTF-8 text; ask the laboratory for the certificate as UTF-8")]
    NotUtf8,
    /// A document type declaration can make a small file a huge one, or fetch something.
    #[error(
        "it has a document type declaration (DOCTYPE), which no DCC needs; it is not read for safety"
    )]
    Doctype,
    /// More than any certificate needs.
    #[error("it has more than {most} {what}; that is no certificate")]
    TooComplex {
        /// Of what.
        what: &'static str,
        /// The most that is read.
        most: usize,
    },
    /// Some other XML.
    #[error(
        "{found:?} is not the root of a Digital Calibration Certificate (dcc:digitalCalibrationCertificate, namespace https://ptb.de/dcc)"
    )]
    NotDcc {
        /// The root's name.
        found: String,
    },
    /// A version with other rules.
    #[error("schema version {found:?} is not read here, only 2.x and 3.x")]
    Version {
        /// As stated.
        found: String,
    },
    /// Elements where text is wanted.
    #[error("there are elements where plain text is wanted")]
    NotText,
    /// One element too many.
    #[error("there is more than one {what} here, and nothing says which one holds")]
    Ambiguous {
        /// Of what.
        what: String,
    },
    /// A figure that cannot be read.
    #[error("{text:?} is no figure (NaN and infinity are none either); ask the laboratory")]
    NotANumber {
        /// As written.
        text: String,
    },
    /// The unit of something else, or one that is not in D-SI.
    #[error(
        "{unit:?} is no unit of torque here: \\newton\\metre is, with decimal prefixes. Units outside D-SI, such as pound-force feet, are not converted from a DCC"
    )]
    NotTorque {
        /// As written.
        unit: String,
    },
    /// The unit of a ratio is wanted.
    #[error("{unit:?} is neither a unit of torque nor of a ratio (\\percent, \\one, \\ppm)")]
    NotARatio {
        /// As written.
        unit: String,
    },
    /// A form of value that is not read.
    #[error(
        "{name} is a form of value that is not read here; si:real, si:realListXMLList and si:hybrid are"
    )]
    Form {
        /// The element.
        name: String,
    },
    /// Lists that belong together have different lengths.
    #[error("{found} figures stand here, and {wanted} are wanted")]
    Lengths {
        /// How many there are.
        found: usize,
        /// How many there should be.
        wanted: usize,
    },
    /// The error does not follow from the two values.
    #[error(
        "the error stated here is not measured minus reference within rounding ({measured} and {reference}); the values have changed places, or this is another quantity"
    )]
    ErrorMismatch {
        /// What the tool showed.
        measured: MicroTorque,
        /// What the reference measured.
        reference: MicroTorque,
    },
    /// The errors have the other sign throughout.
    #[error(
        "the errors stated here are reference minus measured (a correction), not measured minus reference; ask the laboratory which column is which"
    )]
    ErrorTurned,
    /// No uncertainty anywhere.
    #[error(
        "neither the error nor the measured value states an expanded uncertainty with its coverage factor; a calibration without uncertainty is none"
    )]
    NoUncertainty,
    /// Only the reference device's own.
    #[error(
        "only the reference value has an uncertainty here; that is the reference device's own and not that of the calibration"
    )]
    OnlyReference,
    /// Another way to state it.
    #[error(
        "the uncertainty is stated as {name}, which is not read here; an expanded one with its coverage factor, or a standard one is"
    )]
    UncertaintyForm {
        /// The element.
        name: String,
    },
    /// A relative uncertainty without the absolute one.
    #[error(
        "a relative uncertainty stands alone here, without the absolute one and its coverage factor"
    )]
    RelativeAlone,
    /// They do not agree.
    #[error(
        "the relative uncertainty stated here does not belong to the absolute one, {expanded} of {reference}"
    )]
    RelativeMismatch {
        /// The absolute one.
        expanded: MicroTorque,
        /// The point's reference.
        reference: MicroTorque,
    },
    /// Several items, and none or more than one of them is meant.
    #[error("{wanted}; the certificate has: {}", listed(choices))]
    ChooseItem {
        /// What was looked for.
        wanted: String,
        /// What there is.
        choices: Vec<Choice>,
    },
    /// Several tables, and nobody said which.
    #[error(
        "the certificate has several tables for this tool; say which one: {}",
        listed(choices)
    )]
    ChooseTable {
        /// What there is.
        choices: Vec<Choice>,
    },
    /// No table at all.
    #[error(
        "no list here holds reference values, measured values and their error (refType basic_referenceValue, basic_measuredValue, basic_measurementError); keep the file and write the points down by hand"
    )]
    NoTable,
}
