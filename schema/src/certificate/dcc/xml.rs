//! Reading XML with bounds, and finding one's way in it.
//!
//! The bounds are looked after before the parser sees the text: it has none of its own for namespaces and attributes,
//! where a small hostile file could cost much time and memory.

use super::super::{CertificateError, Fault, Place, ReadFault};
use super::DccFault;
use roxmltree::{Document, Node, ParsingOptions};

/// Of certificates.
pub(super) const DCC: &str = "https://ptb.de/dcc";
/// Of quantities.
pub(super) const SI: &str = "https://ptb.de/si";
/// Of signatures.
pub(super) const DS: &str = "http://www.w3.org/2000/09/xmldsig#";

const MOST_DEPTH: usize = 64;
const MOST_ATTRIBUTES: usize = 128;
const MOST_NAMESPACES: usize = 256;
const MOST_NODES: u32 = 100_000;

/// Parses a document that keeps within the bounds and has no document type declaration.
pub(super) fn parse(text: &str) -> Result<Document<'_>, CertificateError> {
    bounds(text).map_err(|fault| CertificateError::at(Place::File, fault))?;
    let options = ParsingOptions {
        allow_dtd: false,
        nodes_limit: MOST_NODES,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(text, options).map_err(|error| match error {
        roxmltree::Error::DtdDetected => CertificateError::at(Place::File, DccFault::Doctype),
        roxmltree::Error::NodesLimitReached => {
            let (what, most) = ("elements and texts", MOST_NODES as usize);
            CertificateError::at(Place::File, DccFault::TooComplex { what, most })
        }
        error => {
            let line = usize::try_from(error.pos().row).unwrap_or(1);
            CertificateError::at(Place::Line(line), ReadFault::Syntax(error.to_string()))
        }
    })
}

/// Whether this is a certificate of a version that is read.
pub(super) fn recognise(root: Node) -> Result<(), CertificateError> {
    if !root.has_tag_name((DCC, "digitalCalibrationCertificate")) {
        let found = root.tag_name().name().to_owned();
        return Err(CertificateError::at(
            Place::File,
            DccFault::NotDcc { found },
        ));
    }
    let version = root.attribute("schemaVersion").unwrap_or_default();
    if version.starts_with("2.") || version.starts_with("3.") {
        return Ok(());
    }
    let found = version.to_owned();
    Err(at(root, DccFault::Version { found }))
}

/// Walks over the tags without understanding them. Text that is no XML is left to the parser.
fn bounds(text: &str) -> Result<(), DccFault> {
    let too = |what, most| Err(DccFault::TooComplex { what, most });
    if text.matches("xmlns").count() > MOST_NAMESPACES {
        return too("namespaces", MOST_NAMESPACES);
    }
    let (mut rest, mut depth) = (text, 0_usize);
    while let Some(begin) = rest.find('<') {
        rest = rest.get(begin..).unwrap_or_default();
        if let Some(end) = skipped(rest) {
            rest = rest.get(end..).unwrap_or_default();
            continue;
        }
        if rest.starts_with("<!") {
            return Err(DccFault::Doctype);
        }
        let tag = Tag::of(rest);
        if tag.attributes > MOST_ATTRIBUTES {
            return too("attributes in one element", MOST_ATTRIBUTES);
        }
        depth = if tag.closes {
            depth.saturating_sub(1)
        } else {
            depth + usize::from(tag.opens)
        };
        if depth > MOST_DEPTH {
            return too("elements in one another", MOST_DEPTH);
        }
        rest = rest.get(tag.length..).unwrap_or_default();
    }
    Ok(())
}

/// The length of a comment, a literal text or an instruction.
fn skipped(text: &str) -> Option<usize> {
    let kinds = [("<!--", "-->"), ("<![CDATA[", "]]>"), ("<?", "?>")];
    let (begin, end) = kinds.iter().find(|(begin, _)| text.starts_with(begin))?;
    let inside = text.get(begin.len()..)?;
    Some(
        inside
            .find(end)
            .map_or(text.len(), |at| begin.len() + at + end.len()),
    )
}

struct Tag {
    length: usize,
    attributes: usize,
    opens: bool,
    closes: bool,
}

impl Tag {
    fn of(text: &str) -> Self {
        let (mut quote, mut attributes, mut last, mut length) = (None, 0, b' ', text.len());
        for (at, byte) in text.bytes().enumerate() {
            match (quote, byte) {
                (Some(open), byte) if open == byte => quote = None,
                (None, b'"' | b'\'') => quote = Some(byte),
                (None, b'=') => attributes += 1,
                (None, b'>') => {
                    length = at + 1;
                    break;
                }
                (Some(_) | None, _) => {}
            }
            last = byte;
        }
        let closes = text.starts_with("</");
        Self {
            length,
            attributes,
            opens: !closes && last != b'/',
            closes,
        }
    }
}

/// The children of a name in the certificate's namespace.
pub(super) fn children<'a, 'i>(
    node: Node<'a, 'i>,
    name: &'static str,
) -> impl Iterator<Item = Node<'a, 'i>> {
    named(node, DCC, name)
}

fn named<'a, 'i, 's>(
    node: Node<'a, 'i>,
    space: &'s str,
    name: &'s str,
) -> impl Iterator<Item = Node<'a, 'i>> + use<'a, 'i, 's> {
    node.children()
        .filter(move |child| child.is_element() && child.has_tag_name((space, name)))
}

/// The only child of a name in the certificate's namespace; nothing if there is none.
pub(super) fn child<'a, 'i>(
    node: Node<'a, 'i>,
    name: &str,
) -> Result<Option<Node<'a, 'i>>, CertificateError> {
    only(node, DCC, name)
}

/// The same in the namespace of quantities.
pub(super) fn si_child<'a, 'i>(
    node: Node<'a, 'i>,
    name: &str,
) -> Result<Option<Node<'a, 'i>>, CertificateError> {
    only(node, SI, name)
}

fn only<'a, 'i>(
    node: Node<'a, 'i>,
    space: &str,
    name: &str,
) -> Result<Option<Node<'a, 'i>>, CertificateError> {
    let mut found = named(node, space, name);
    let first = found.next();
    match found.next() {
        Some(second) => {
            let what = shown(second);
            Err(at(node, DccFault::Ambiguous { what }))
        }
        None => Ok(first),
    }
}

/// The one child of a name in the certificate's namespace; an error with what to do if it is missing.
pub(super) fn needed<'a, 'i>(
    node: Node<'a, 'i>,
    name: &str,
    fix: &str,
) -> Result<Node<'a, 'i>, CertificateError> {
    child(node, name)?.ok_or_else(|| {
        let (what, fix) = (format!("dcc:{name}"), fix.to_owned());
        at(node, ReadFault::Missing { what, fix })
    })
}

/// The text of an element that holds nothing else, white space made one blank.
pub(super) fn text(node: Node) -> Result<String, CertificateError> {
    if node.children().any(|child| child.is_element()) {
        return Err(at(node, DccFault::NotText));
    }
    let pieces = node.children().filter(Node::is_text);
    let whole: String = pieces.filter_map(|piece| piece.text()).collect();
    Ok(whole.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A text in several languages: the English one, else one without a language, else the first.
pub(super) fn in_words(node: Node, name: &str) -> Result<Option<String>, CertificateError> {
    let contents: Vec<Node> = child(node, name)?
        .map(|node| children(node, "content").collect())
        .unwrap_or_default();
    let by = |wanted: Option<&str>| {
        let has = move |content: &&Node| content.attribute("lang") == wanted;
        contents.iter().find(has)
    };
    let chosen = by(Some("en")).or_else(|| by(None)).or(contents.first());
    let words = chosen.map(|content| text(*content)).transpose()?;
    Ok(words.filter(|words| !words.is_empty()))
}

/// Whether an attribute that is a list of words holds one.
pub(super) fn has_word(node: Node, attribute: &str, word: &str) -> bool {
    let words = node.attribute(attribute).unwrap_or_default();
    words.split_ascii_whitespace().any(|other| other == word)
}

/// An error at an element.
pub(super) fn at(node: Node, fault: impl Into<Fault>) -> CertificateError {
    CertificateError::at(Place::Element(path(node)), fault)
}

/// The path of an element from the root, with a number where it has siblings of its name.
pub(super) fn path(node: Node) -> String {
    let mut steps: Vec<String> = node
        .ancestors()
        .filter(Node::is_element)
        .map(step)
        .collect();
    steps.reverse();
    steps.concat()
}

fn step(node: Node) -> String {
    let name = shown(node);
    let is_same = |other: &Node| other.is_element() && other.tag_name() == node.tag_name();
    let before = node.prev_siblings().skip(1).filter(is_same).count();
    let after = node.next_siblings().skip(1).any(|other| is_same(&other));
    if before > 0 || after {
        format!("/{name}[{}]", before + 1)
    } else {
        format!("/{name}")
    }
}

/// An element's name with the usual prefix of its namespace, whatever the file calls it.
pub(super) fn shown(node: Node) -> String {
    let tag = node.tag_name();
    let prefix = match tag.namespace() {
        Some(DCC) => "dcc:",
        Some(SI) => "si:",
        Some(DS) => "ds:",
        Some(_) => "other:",
        None => "",
    };
    format!("{prefix}{}", tag.name())
}
