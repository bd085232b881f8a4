//! The first page of a Digital Calibration Certificate: number, laboratory, dates, method, surroundings.

use super::super::head::Head;
use super::super::imported::{Places, Subject};
use super::super::{CertificateError, Place, figures};
use super::unit;
use super::xml::{self, at, child, children, needed};
use chrono::NaiveDate;
use roxmltree::Node;

const ASK: &str = "the laboratory has to state it";
/// Longer descriptions of the surroundings are cut, in characters.
const LONGEST: usize = 390;

/// Reads what stands in `dcc:administrativeData`.
pub(super) fn read(root: Node, places: &mut Places) -> Result<Head, CertificateError> {
    let data = needed(root, "administrativeData", ASK)?;
    let core = needed(data, "coreData", ASK)?;
    let number = needed(core, "uniqueIdentifier", ASK)?;
    let performed = needed(core, "endPerformanceDate", ASK)?;
    places.put(Subject::Number, Place::Element(xml::path(number)));
    places.put(Subject::Date, Place::Element(xml::path(performed)));
    Ok(Head {
        number: Some(xml::text(number)?),
        laboratory: Some(laboratory(data, places)?),
        date: Some(day(performed)?),
        due: due(data, places)?,
        ..Head::default()
    })
}

/// The laboratory's name, and its code where it has one.
fn laboratory(data: Node, places: &mut Places) -> Result<String, CertificateError> {
    let laboratory = needed(data, "calibrationLaboratory", ASK)?;
    places.put(Subject::Laboratory, Place::Element(xml::path(laboratory)));
    let contact = needed(laboratory, "contact", ASK)?;
    let name = xml::in_words(contact, "name")?.unwrap_or_default();
    let code = child(laboratory, "calibrationLaboratoryCode")?
        .map(xml::text)
        .transpose()?;
    Ok(match code.filter(|code| !code.is_empty()) {
        Some(code) => format!("{name}, {code}"),
        None => name,
    })
}

/// The day by which the certificate asks for the next calibration. Several have to agree.
fn due(data: Node, places: &mut Places) -> Result<Option<NaiveDate>, CertificateError> {
    let mut found: Option<NaiveDate> = None;
    let Some(statements) = child(data, "statements")? else {
        return Ok(None);
    };
    let is_due = |node: &Node| xml::has_word(*node, "refType", "basic_recalibration");
    for statement in children(statements, "statement").filter(is_due) {
        let Some(stated) = child(statement, "date")? else {
            continue;
        };
        let due = day(stated)?;
        if let Some(there) = found.filter(|other| *other != due) {
            let (here, there) = (due.to_string(), there.to_string());
            let what = "due date";
            let fault = super::ReadFault::Contradiction { what, here, there };
            return Err(at(stated, fault));
        }
        if found.is_none() {
            places.put(Subject::Due, Place::Element(xml::path(stated)));
        }
        found = Some(due);
    }
    Ok(found)
}

/// A day as XML Schema writes it: a time zone may follow, and does not change the day.
fn day(node: Node) -> Result<NaiveDate, CertificateError> {
    let text = xml::text(node)?;
    let (day, zone) = text.split_at_checked(10).unwrap_or((&text, ""));
    let is_zone = zone.is_empty()
        || zone == "Z"
        || (zone.len() == 6
            && zone.starts_with(['+', '-'])
            && zone
                .bytes()
                .skip(1)
                .all(|byte| byte.is_ascii_digit() || byte == b':'));
    let wanted = if is_zone { day } else { &text };
    figures::day(wanted).map_err(|fault| at(node, fault))
}

/// The standards that a result was measured after.
pub(super) fn method(
    result: Node,
    places: &mut Places,
) -> Result<Option<String>, CertificateError> {
    let Some(methods) = child(result, "usedMethods")? else {
        return Ok(None);
    };
    places.put(Subject::Method, Place::Element(xml::path(methods)));
    let mut norms: Vec<String> = Vec::new();
    for method in children(methods, "usedMethod") {
        for norm in children(method, "norm") {
            let norm = xml::text(norm)?;
            if !norms.contains(&norm) {
                norms.push(norm);
            }
        }
    }
    Ok((!norms.is_empty()).then(|| norms.join("; ")))
}

/// The surroundings, as a text for people: nothing is reckoned with them.
pub(super) fn conditions(
    result: Node,
    places: &mut Places,
) -> Result<Option<String>, CertificateError> {
    let Some(all) = child(result, "influenceConditions")? else {
        return Ok(None);
    };
    places.put(Subject::Conditions, Place::Element(xml::path(all)));
    let mut said = Vec::new();
    for condition in children(all, "influenceCondition") {
        let name = xml::in_words(condition, "name")?.unwrap_or_default();
        let quantities = condition
            .descendants()
            .filter(|node| node.is_element() && node.has_tag_name((xml::DCC, "quantity")));
        let values: Vec<String> = quantities.map(condition_value).collect::<Result<_, _>>()?;
        said.push(format!("{name}: {}", values.join(", ")));
    }
    let whole = said.join("; ");
    if whole.chars().count() > LONGEST {
        let cut: String = whole.chars().take(LONGEST).collect();
        return Ok(Some(format!("{cut}…")));
    }
    Ok((!whole.is_empty()).then_some(whole))
}

/// "temperature min 293 K"; a value in another form than a single one is left to the certificate itself.
fn condition_value(quantity: Node) -> Result<String, CertificateError> {
    let name = xml::in_words(quantity, "name")?.unwrap_or_default();
    let real = match xml::si_child(quantity, "hybrid")? {
        Some(hybrid) => hybrid.first_element_child(),
        None => xml::si_child(quantity, "real")?,
    };
    let Some(real) = real.filter(|node| node.has_tag_name((xml::SI, "real"))) else {
        return Ok(format!("{name} (see the certificate)"));
    };
    let part = |name| xml::si_child(real, name)?.map_or(Ok(String::new()), xml::text);
    let (value, unit) = (part("value")?, part("unit")?);
    let words = [name.as_str(), value.as_str(), unit::symbol(&unit)];
    let words = words.into_iter().filter(|word| !word.is_empty());
    Ok(words.collect::<Vec<_>>().join(" "))
}
