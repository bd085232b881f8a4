//! Which of the calibrated items is the tool.

use super::super::imported::{Places, Subject};
use super::super::{CertificateError, CheckFault, Place, ReadFault};
use super::xml::{self, at, child, children, needed};
use super::{Choice, DccFault};
use roxmltree::Node;

/// As many choices are shown at most.
const MOST_SHOWN: usize = 20;

/// One calibrated item.
pub(super) struct Item<'a> {
    node: Node<'a, 'a>,
    marks: Vec<Mark<'a>>,
    /// The serial number that it was found by, or that it states.
    serial: Option<Mark<'a>>,
    /// Whether it is the only one, so that results without a reference are its own.
    is_alone: bool,
}

/// A number that an item is known by.
#[derive(Clone)]
struct Mark<'a> {
    node: Node<'a, 'a>,
    is_makers: bool,
    text: String,
}

/// Finds the item with a serial number; without one, the only item.
pub(super) fn choose<'a>(
    root: Node<'a, 'a>,
    serial: Option<&str>,
) -> Result<Item<'a>, CertificateError> {
    let fix = "a certificate without an item calibrates nothing";
    let data = needed(root, "administrativeData", fix)?;
    let list = needed(data, "items", fix)?;
    let nodes = list
        .descendants()
        .filter(|node| node.is_element() && node.has_tag_name((xml::DCC, "item")));
    let mut items: Vec<Item> = nodes.map(item).collect::<Result<_, _>>()?;
    let Some(wanted) = serial.map(str::trim) else {
        return only(
            list,
            items,
            "it calibrates several items; say which serial number is meant",
        );
    };
    let (known, others): (Vec<_>, Vec<_>) = items
        .drain(..)
        .partition(|item| item.marks.iter().any(|mark| mark.text == wanted));
    let is_alone = known.len() + others.len() == 1;
    if known.is_empty() {
        return unknown(list, others, wanted);
    }
    let mut item = only(
        list,
        known,
        &format!("several items have the number {wanted:?}"),
    )?;
    item.is_alone = is_alone;
    item.serial = item.marks.iter().find(|mark| mark.text == wanted).cloned();
    Ok(item)
}

/// No item has the number: only an item that has none at all may still be meant.
fn unknown<'a>(
    list: Node<'a, 'a>,
    items: Vec<Item<'a>>,
    wanted: &str,
) -> Result<Item<'a>, CertificateError> {
    let none = format!("no item has the number {wanted:?}");
    let item = only(list, items, &none)?;
    match item.serial.as_ref().or(item.marks.first()) {
        Some(mark) => {
            let (found, wanted) = (mark.text.clone(), wanted.to_owned());
            Err(at(mark.node, CheckFault::WrongSerial { found, wanted }))
        }
        None => Ok(item),
    }
}

fn only<'a>(
    list: Node<'a, 'a>,
    mut items: Vec<Item<'a>>,
    wanted: &str,
) -> Result<Item<'a>, CertificateError> {
    let count = items.len();
    match items.pop() {
        Some(mut item) if count == 1 => {
            item.is_alone = true;
            Ok(item)
        }
        Some(item) => {
            items.push(item);
            let choices = (1..)
                .zip(items.iter().take(MOST_SHOWN))
                .map(|(number, item)| item.choice(number));
            let choices = choices.collect::<Result<_, _>>()?;
            let wanted = wanted.to_owned();
            Err(at(list, DccFault::ChooseItem { wanted, choices }))
        }
        None => {
            let what = "dcc:item".to_owned();
            let fix = "a certificate without an item calibrates nothing".to_owned();
            Err(at(list, ReadFault::Missing { what, fix }))
        }
    }
}

fn item<'a>(node: Node<'a, 'a>) -> Result<Item<'a>, CertificateError> {
    let mut marks = Vec::new();
    if let Some(list) = child(node, "identifications")? {
        for identification in children(list, "identification") {
            let Some(value) = child(identification, "value")? else {
                continue;
            };
            let issuer = child(identification, "issuer")?
                .map(xml::text)
                .transpose()?;
            marks.push(Mark {
                node: value,
                is_makers: issuer.as_deref() == Some("manufacturer"),
                text: xml::text(value)?,
            });
        }
    }
    // The maker's number if there is one; the only number if there is just one; else none can be told to be it.
    let makers: Vec<&Mark> = marks.iter().filter(|mark| mark.is_makers).collect();
    let serial = match (makers.as_slice(), marks.as_slice()) {
        ([one], _) => Some((*one).clone()),
        (_, [one]) => Some(one.clone()),
        _ => None,
    };
    Ok(Item {
        node,
        marks,
        serial,
        is_alone: false,
    })
}

impl Item<'_> {
    /// The serial number, with its place noted.
    pub(super) fn note(&self, places: &mut Places) -> Option<String> {
        let mark = self.serial.as_ref()?;
        places.put(Subject::Serial, Place::Element(xml::path(mark.node)));
        Some(mark.text.clone())
    }

    /// Whether a measurement result is this item's. One without a reference belongs to all items together.
    pub(super) fn owns(&self, result: Node) -> bool {
        match (result.attribute("refId"), self.node.attribute("id")) {
            (None, _) => self.is_alone,
            (Some(_), Some(id)) => xml::has_word(result, "refId", id),
            (Some(_), None) => false,
        }
    }

    fn choice(&self, number: usize) -> Result<Choice, CertificateError> {
        let name = xml::in_words(self.node, "name")?.unwrap_or_default();
        let marks: Vec<&str> = self.marks.iter().map(|mark| mark.text.as_str()).collect();
        Ok(Choice {
            number,
            name: format!("{name}, {}", marks.join(", ")),
            path: xml::path(self.node),
        })
    }
}
