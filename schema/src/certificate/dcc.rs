//! Calibration certificates as XML: the Digital Calibration Certificate (DCC), schema versions 2.x and 3.x, with values in
//! the Digital System of Units (D-SI).
//!
//! Source: `dcc.xsd` 3.3.0 and D-SI 2.2.1, Physikalisch-Technische Bundesanstalt. No schema is loaded when a certificate is
//! read; nothing is fetched. A signature inside is seen and not checked.
//!
//! There is no agreed form for a torque tool, so a table is taken by its structure and by arithmetic, never by names
//! alone: a list has to hold the values of the reference, the values of the tool and their difference, and
//! *measured minus reference* has to come out within rounding, with that sign. Whatever is not understood is refused with
//! the path of its element.

mod fault;
mod items;
mod number;
mod page;
mod points;
mod quantity;
mod table;
mod unit;
mod xml;

pub use fault::{Choice, DccFault};

use super::head::Head;
use super::imported::{Imported, Places};
use super::{CertificateError, Format, OriginalFile, Place, ReadFault, Signature};
use roxmltree::Node;
use xml::DS;

/// The longest file that is read: 8 MiB.
const MOST_BYTES: usize = 8 * 1024 * 1024;

/// Reads a Digital Calibration Certificate. Where it has several items, the one with the serial number in `given` is taken;
/// where it has several tables for it, `table` says which, counted from 1. What it says is not checked yet: see
/// [`Imported::check`].
pub fn read_dcc(
    bytes: &[u8],
    given: &Head,
    table: Option<usize>,
) -> Result<Imported, CertificateError> {
    let (length, most) = (bytes.len(), MOST_BYTES);
    if length > most {
        let fault = ReadFault::TooLong {
            bytes: length,
            most,
        };
        return Err(CertificateError::at(Place::File, fault));
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|_| CertificateError::at(Place::File, DccFault::NotUtf8))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let document = xml::parse(text)?;
    let root = document.root_element();
    xml::recognise(root)?;
    let mut original = OriginalFile::of(Format::Dcc, bytes);
    let is_signature = |node: Node| node.is_element() && node.has_tag_name((DS, "Signature"));
    if root.children().any(is_signature) {
        original.signature = Some(Signature::PresentNotChecked);
    }
    assemble(root, original, given, table)
}

fn assemble(
    root: Node,
    original: OriginalFile,
    given: &Head,
    table: Option<usize>,
) -> Result<Imported, CertificateError> {
    let mut places = Places::default();
    let mut head = page::read(root, &mut places)?;
    let item = items::choose(root, given.serial.as_deref())?;
    head.serial = item.note(&mut places);
    let table = table::choose(root, &item, table)?;
    head.method = page::method(table.result, &mut places)?;
    head.conditions = page::conditions(table.result, &mut places)?;
    let points = points::of(&table, &mut places)?;
    // A serial number that only the person knows is nothing that the certificate states.
    let given = Head {
        serial: None,
        ..given.clone()
    };
    let certificate = head.join(&given, points, original, &places)?;
    Ok(Imported {
        certificate,
        places,
    })
}
