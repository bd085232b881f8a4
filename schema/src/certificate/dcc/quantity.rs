//! The values of one `dcc:quantity`, single or as a list, with their unit and uncertainty. What they mean is not judged here.

use super::number::Number;
use super::unit::Unit;
use super::xml::{self, at, child, si_child};
use super::{CertificateError, DccFault};
use roxmltree::Node;

/// Ends of the names of elements that hold lists; those of single values have none.
const LIST: &str = "XMLList";

/// A figure and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figure {
    pub(super) number: Number,
    pub(super) unit: String,
    pub(super) place: String,
}

/// An uncertainty and its coverage factor.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spread {
    pub(super) value: Figure,
    pub(super) factor: Number,
    pub(super) factor_place: String,
}

/// One value of a quantity.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    pub(super) value: Figure,
    pub(super) spread: Option<Spread>,
    pub(super) relative: Option<Figure>,
}

/// The entries of a quantity.
pub(super) fn read(quantity: Node) -> Result<Vec<Entry>, CertificateError> {
    let form = form(quantity)?;
    let values = form.figures(form.node, "value", None)?;
    let spreads = form.spreads(values.len())?;
    let relative = relative(quantity, values.len())?;
    let entries = values.into_iter().enumerate().map(|(n, value)| Entry {
        value,
        spread: nth(&spreads, n),
        relative: nth(&relative, n),
    });
    Ok(entries.collect())
}

/// The n-th of a list, or the only one of a list of one, which stands for all.
fn nth<T: Clone>(list: &[T], n: usize) -> Option<T> {
    match list {
        [one] => Some(one.clone()),
        list => list.get(n).cloned(),
    }
}

/// An element with values, and how its parts are named.
struct Form<'a> {
    node: Node<'a, 'a>,
    end: &'static str,
}

fn form<'a>(quantity: Node<'a, 'a>) -> Result<Form<'a>, CertificateError> {
    let forms = quantity.children().filter(|child| {
        let name = child.tag_name();
        child.is_element()
            && (name.namespace() == Some(xml::SI)
                || matches!(name.name(), "noQuantity" | "charsXMLList"))
    });
    let forms: Vec<Node> = forms.collect();
    let [one] = forms.as_slice() else {
        let what = "value".to_owned();
        let ambiguous = DccFault::Ambiguous { what };
        let missing = super::ReadFault::Missing {
            what: "a value".to_owned(),
            fix: "the laboratory has to state it".to_owned(),
        };
        return Err(if forms.is_empty() {
            at(quantity, missing)
        } else {
            at(quantity, ambiguous)
        });
    };
    if one.has_tag_name((xml::SI, "hybrid")) {
        return hybrid(*one);
    }
    plain(*one)
}

fn plain<'a>(node: Node<'a, 'a>) -> Result<Form<'a>, CertificateError> {
    let end = match (node.tag_name().namespace(), node.tag_name().name()) {
        (Some(xml::SI), "real") => "",
        (Some(xml::SI), "realListXMLList") => LIST,
        _ => {
            let name = xml::shown(node);
            return Err(at(node, DccFault::Form { name }));
        }
    };
    Ok(Form { node, end })
}

/// The same values in several units: the first in a unit that is read here, else the first.
fn hybrid<'a>(node: Node<'a, 'a>) -> Result<Form<'a>, CertificateError> {
    let mut first = None;
    for inner in node.children().filter(Node::is_element) {
        let form = plain(inner)?;
        let unit = si_child(inner, &format!("unit{}", form.end))?;
        let unit = unit.map(xml::text).transpose()?.unwrap_or_default();
        let is_known = unit.split(' ').all(|unit| Unit::read(unit).is_some());
        if is_known {
            return Ok(form);
        }
        first = first.or(Some(form));
    }
    first.ok_or_else(|| {
        let name = xml::shown(node);
        at(node, DccFault::Form { name })
    })
}

impl<'a> Form<'a> {
    fn part(
        &self,
        node: Node<'a, 'a>,
        name: &str,
    ) -> Result<Option<Node<'a, 'a>>, CertificateError> {
        si_child(node, &format!("{name}{}", self.end))
    }

    fn must(&self, node: Node<'a, 'a>, name: &str) -> Result<Node<'a, 'a>, CertificateError> {
        self.part(node, name)?.ok_or_else(|| {
            let what = format!("si:{name}{}", self.end);
            let fix = "the laboratory has to state it".to_owned();
            at(node, super::ReadFault::Missing { what, fix })
        })
    }

    /// The words of a text: one for a single value, several for a list.
    fn words(&self, node: Node) -> Result<Vec<String>, CertificateError> {
        let text = xml::text(node)?;
        if self.end.is_empty() {
            return Ok(vec![text]);
        }
        Ok(text
            .split(' ')
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect())
    }

    /// Figures below a node, each with the value's unit.
    fn figures(
        &self,
        node: Node<'a, 'a>,
        name: &str,
        wanted: Option<usize>,
    ) -> Result<Vec<Figure>, CertificateError> {
        let numbers = self.numbers(node, name, wanted)?;
        let unit = self.must(self.node, "unit")?;
        let units = self.words(unit)?;
        fits(unit, units.len(), Some(wanted.unwrap_or(numbers.len())))?;
        // One figure for all values would have several units.
        if numbers.len() < units.len() && units.iter().any(|other| Some(other) != units.first()) {
            let (found, wanted) = (numbers.len(), units.len());
            return Err(at(node, DccFault::Lengths { found, wanted }));
        }
        let figures = numbers.into_iter().enumerate();
        let figure = |(n, (number, place))| Figure {
            number,
            unit: nth(&units, n).unwrap_or_default(),
            place,
        };
        Ok(figures.map(figure).collect())
    }

    fn numbers(
        &self,
        node: Node<'a, 'a>,
        name: &str,
        wanted: Option<usize>,
    ) -> Result<Vec<(Number, String)>, CertificateError> {
        let part = self.must(node, name)?;
        let path = xml::path(part);
        let words = self.words(part)?;
        fits(part, words.len(), wanted)?;
        let is_list = !self.end.is_empty();
        let number = |(n, word): (usize, &String)| {
            let place = if is_list {
                format!("{path} (value {n})")
            } else {
                path.clone()
            };
            Ok((Number::parse(word, &place)?, place))
        };
        (1..).zip(&words).map(number).collect()
    }

    /// The uncertainties: none, one for all, or one for each of `count` values.
    fn spreads(&self, count: usize) -> Result<Vec<Spread>, CertificateError> {
        for (outer, inner, value, factor) in WAYS {
            let Some(holder) = self.part(self.node, outer)? else {
                continue;
            };
            let holder = match inner {
                Some(inner) => match self.part(holder, inner)? {
                    Some(holder) => holder,
                    None => continue,
                },
                None => holder,
            };
            return self.spread(holder, value, *factor, count);
        }
        // Whatever else an uncertainty can be stated as, standing alone.
        let is_other = |node: &Node| {
            let name = node.tag_name().name();
            node.is_element()
                && (name.starts_with("measurementUncertainty")
                    || name.starts_with("coverageInterval"))
        };
        match self.node.children().find(is_other) {
            Some(other) => {
                let inner = other.first_element_child().unwrap_or(other);
                let name = xml::shown(inner);
                Err(at(other, DccFault::UncertaintyForm { name }))
            }
            None => Ok(Vec::new()),
        }
    }

    fn spread(
        &self,
        holder: Node<'a, 'a>,
        value: &str,
        factor: Option<&str>,
        count: usize,
    ) -> Result<Vec<Spread>, CertificateError> {
        let values = self.figures(holder, value, Some(count))?;
        let factors = match factor {
            Some(factor) => self.numbers(holder, factor, Some(count))?,
            // A standard uncertainty is an expanded one with the coverage factor 1.
            None => vec![(Number::ONE, xml::path(holder))],
        };
        let how_many = values.len().max(factors.len());
        let pair = |n| {
            let (factor, factor_place) = nth(&factors, n)?;
            Some(Spread {
                value: nth(&values, n)?,
                factor,
                factor_place,
            })
        };
        Ok((0..how_many).filter_map(pair).collect())
    }
}

/// The ways to state an uncertainty: outer element, inner element, value, coverage factor.
const WAYS: &[(&str, Option<&str>, &str, Option<&str>)] = &[
    (
        "measurementUncertaintyUnivariate",
        Some("expandedMU"),
        "valueExpandedMU",
        Some("coverageFactor"),
    ),
    ("expandedUnc", None, "uncertainty", Some("coverageFactor")),
    (
        "measurementUncertaintyUnivariate",
        Some("standardMU"),
        "valueStandardMU",
        None,
    ),
];

/// A list has as many entries as are wanted, or one that stands for all.
fn fits(node: Node, found: usize, wanted: Option<usize>) -> Result<(), CertificateError> {
    match wanted {
        Some(wanted) if found != wanted && found != 1 => {
            Err(at(node, DccFault::Lengths { found, wanted }))
        }
        None if found == 0 => Err(at(node, DccFault::Lengths { found, wanted: 1 })),
        _ => Ok(()),
    }
}

/// The relative uncertainties beside the values.
fn relative(quantity: Node, count: usize) -> Result<Vec<Figure>, CertificateError> {
    let Some(holder) = child(quantity, "relativeUncertainty")? else {
        return Ok(Vec::new());
    };
    for (name, end) in [
        ("relativeUncertaintySingle", ""),
        // The schema spells it so; the other spelling is announced for version 4.
        ("relativeUncertaintyXmlList", LIST),
    ] {
        if let Some(node) = child(holder, name)? {
            return Form { node, end }.figures(node, "value", Some(count));
        }
    }
    let name = xml::shown(holder);
    Err(at(holder, DccFault::UncertaintyForm { name }))
}
