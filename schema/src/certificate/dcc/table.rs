//! Finding the tables of a certificate: lists that hold reference values, measured values and their error.

use super::items::Item;
use super::xml::{self, at, child, children};
use super::{CertificateError, Choice, DccFault, ReadFault};
use roxmltree::Node;

/// As many choices are shown at most.
const MOST_SHOWN: usize = 20;

/// A table of calibration points.
pub(super) struct Table<'a> {
    /// The measurement result that it is part of.
    pub(super) result: Node<'a, 'a>,
    /// The element that holds it.
    pub(super) node: Node<'a, 'a>,
    /// Its rows of quantities: one for lists of values, one a point for single values.
    pub(super) triples: Vec<Triple<'a>>,
    name: String,
    is_single: bool,
}

/// What belongs together in one list.
pub(super) struct Triple<'a> {
    /// The list.
    pub(super) node: Node<'a, 'a>,
    reference: Vec<Node<'a, 'a>>,
    measured: Vec<Node<'a, 'a>>,
    error: Vec<Node<'a, 'a>>,
}

/// The tables of an item. If there are several, `number` says which, counted from 1.
pub(super) fn choose<'a>(
    root: Node<'a, 'a>,
    item: &Item<'_>,
    number: Option<usize>,
) -> Result<Table<'a>, CertificateError> {
    let Some(results) = child(root, "measurementResults")? else {
        let what = "dcc:measurementResults".to_owned();
        let fix =
            "this certificate states no results; keep the file and write the points down by hand";
        let fix = fix.to_owned();
        return Err(at(root, ReadFault::Missing { what, fix }));
    };
    let mut tables = Vec::new();
    for result in children(results, "measurementResult").filter(|result| item.owns(*result)) {
        collect(result, &mut tables)?;
    }
    let wanted = match (tables.len(), number) {
        (0, _) => return Err(at(results, DccFault::NoTable)),
        (1, None) => Some(0),
        (_, number) => number.and_then(|number| number.checked_sub(1)),
    };
    if wanted.is_none_or(|n| n >= tables.len()) {
        let choices = (1..)
            .zip(tables.iter().take(MOST_SHOWN))
            .map(|(number, table)| Choice {
                number,
                name: table.name.clone(),
                path: xml::path(table.node),
            });
        let choices = choices.collect();
        return Err(at(results, DccFault::ChooseTable { choices }));
    }
    Ok(tables.swap_remove(wanted.unwrap_or(0)))
}

fn collect<'a>(
    measurement: Node<'a, 'a>,
    tables: &mut Vec<Table<'a>>,
) -> Result<(), CertificateError> {
    let Some(results) = child(measurement, "results")? else {
        return Ok(());
    };
    for result in children(results, "result") {
        let names = [measurement, result].map(|node| xml::in_words(node, "name"));
        let [outer, inner] = names;
        let name = format!(
            "{} / {}",
            outer?.unwrap_or_default(),
            inner?.unwrap_or_default()
        );
        if let Some(data) = child(result, "data")? {
            search(measurement, data, &name, tables)?;
        }
    }
    Ok(())
}

/// Looks into a list and the lists in it. How deep they lie is bounded when the file is parsed.
fn search<'a>(
    measurement: Node<'a, 'a>,
    list: Node<'a, 'a>,
    name: &str,
    tables: &mut Vec<Table<'a>>,
) -> Result<(), CertificateError> {
    let triple = Triple::of(list);
    if !triple.reference.is_empty() && !triple.measured.is_empty() {
        add(measurement, triple, name, tables);
    }
    for inner in children(list, "list") {
        let own = xml::in_words(inner, "name")?;
        let name = own.map_or(name.to_owned(), |own| format!("{name} / {own}"));
        search(measurement, inner, &name, tables)?;
    }
    Ok(())
}

/// Lists of single values beside each other are the points of one table.
fn add<'a>(measurement: Node<'a, 'a>, triple: Triple<'a>, name: &str, tables: &mut Vec<Table<'a>>) {
    let is_single = triple.measured.iter().all(is_single);
    let around = triple.node.parent();
    let is_list = triple.node.has_tag_name((xml::DCC, "list"));
    if let (Some(last), Some(around)) = (tables.last_mut(), around)
        && is_single
        && is_list
        && last.is_single
        && (last.node == around || last.node.parent() == Some(around))
        && last
            .triples
            .iter()
            .all(|other| other.node.parent() == Some(around))
    {
        last.node = around;
        last.triples.push(triple);
        return;
    }
    tables.push(Table {
        result: measurement,
        node: triple.node,
        triples: vec![triple],
        name: name.to_owned(),
        is_single: is_single && is_list,
    });
}

fn is_single(quantity: &Node) -> bool {
    let real = (xml::SI, "real");
    quantity.children().any(|child| {
        child.has_tag_name(real)
            || (child.has_tag_name((xml::SI, "hybrid"))
                && child
                    .first_element_child()
                    .is_some_and(|first| first.has_tag_name(real)))
    })
}

impl<'a> Triple<'a> {
    fn of(list: Node<'a, 'a>) -> Self {
        let of = |role| {
            children(list, "quantity")
                .filter(|node| xml::has_word(*node, "refType", role))
                .collect()
        };
        Self {
            node: list,
            reference: of("basic_referenceValue"),
            measured: of("basic_measuredValue"),
            error: of("basic_measurementError"),
        }
    }

    /// The reference values, the measured values and their error, each exactly once.
    pub(super) fn parts(&self) -> Result<[Node<'a, 'a>; 3], CertificateError> {
        let one = |found: &[Node<'a, 'a>], role: &str| match found {
            [one] => Ok(*one),
            [] => {
                let what = format!("a quantity of refType {role}");
                let fix =
                    "without it nothing proves which value is which; write the points down by hand";
                let fix = fix.to_owned();
                Err(at(self.node, ReadFault::Missing { what, fix }))
            }
            _ => {
                let what = format!("quantity of refType {role}");
                Err(at(self.node, DccFault::Ambiguous { what }))
            }
        };
        Ok([
            one(&self.reference, "basic_referenceValue")?,
            one(&self.measured, "basic_measuredValue")?,
            one(&self.error, "basic_measurementError")?,
        ])
    }
}
