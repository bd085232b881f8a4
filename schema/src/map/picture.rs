//! A bike map as an SVG picture for paper: every fastener's number at its place, its standing by the form around it.

use super::{FrameKind, LineKind, MapPlace, map};
use crate::build::Standing;
use crate::record::Subject;
use std::fmt::Write as _;

/// A fastener on the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot<'a> {
    /// The place that the plan names.
    pub at: &'a str,
    /// Its number in the record.
    pub number: usize,
    /// How it stands.
    pub standing: Standing,
}

impl<'a> Spot<'a> {
    /// The fasteners of a record that have a place, each with its number there.
    pub fn all(subject: &'a Subject) -> Vec<Self> {
        let numbered = (1..).zip(&subject.fasteners);
        numbered
            .filter_map(|(number, fastener)| {
                Some(Self {
                    at: fastener.at.as_deref()?,
                    number,
                    standing: fastener.standing,
                })
            })
            .collect()
    }
}

/// How far apart fasteners of one place stand.
const STEP: u16 = 56;
/// So many stand in a row.
const ROW: u16 = 3;
const INK: &str = "#16202a";
const ALARM: &str = "#a3161f";

/// The picture, and what it shows in words; nothing where no fastener has a place on it.
pub fn picture(frame: FrameKind, spots: &[Spot<'_>]) -> Option<(String, String)> {
    let drawing = map(frame);
    let mut marks = String::new();
    let mut shown = 0_usize;
    for place in &drawing.places {
        let here = spots.iter().filter(|spot| spot.at == place.name);
        for (turn, spot) in (0..).zip(here) {
            mark(&mut marks, place, turn, *spot);
            shown += 1;
        }
    }
    if shown == 0 {
        return None;
    }
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" font-family=\"Inter\" font-size=\"33\">",
        drawing.width, drawing.height
    );
    for line in &drawing.lines {
        let (width, colour) = match line.what {
            LineKind::Wheel => (7, "#98a3ad"),
            LineKind::Tube => (9, "#6b7782"),
            LineKind::Part => (5, "#98a3ad"),
            LineKind::Faint => (2, "#c9d0d6"),
        };
        // writing to a string cannot fail
        let _ = write!(
            svg,
            "<path d=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/>",
            line.path
        );
    }
    svg.push_str(&marks);
    svg.push_str("</svg>");
    let words = format!(
        "{}, with the numbers of {shown} fasteners at their places",
        drawing.title
    );
    Some((svg, words))
}

fn mark(svg: &mut String, place: &MapPlace, turn: u16, spot: Spot<'_>) {
    let (x, y) = (place.x + turn % ROW * STEP, place.y + turn / ROW * STEP);
    let (colour, width, dash) = match spot.standing {
        Standing::Over | Standing::OverKept => (ALARM, 7, ""),
        Standing::Within => (INK, 3, ""),
        _ => (INK, 4, " stroke-dasharray=\"8 6\""),
    };
    // writing to a string cannot fail
    let _ = write!(
        svg,
        "<circle cx=\"{x}\" cy=\"{y}\" r=\"26\" fill=\"#ffffff\" stroke=\"{colour}\" stroke-width=\"{width}\"{dash}/>\
         <text x=\"{x}\" y=\"{}\" text-anchor=\"middle\" fill=\"{INK}\">{}</text>",
        y + 12,
        spot.number
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_fastener_with_a_place_has_its_number_and_none_lies_on_another() {
        let spot = |at, number, standing| Spot {
            at,
            number,
            standing,
        };
        let spots = [
            spot("seat-clamp", 1, Standing::OverKept),
            spot("saddle", 2, Standing::Within),
            spot("saddle", 3, Standing::Deferred),
            spot("nowhere", 4, Standing::Within),
        ];
        let (svg, words) = picture(FrameKind::Road, &spots).unwrap();
        for number in [1, 2, 3] {
            assert!(svg.contains(&format!(">{number}</text>")), "{number}");
        }
        assert!(!svg.contains(">4</text>"));
        assert_eq!(svg.matches("<circle cx").count(), 3);
        assert_eq!(svg.matches(ALARM).count(), 1);
        assert!(words.contains("3 fasteners"), "{words}");
        let centres: std::collections::BTreeSet<&str> = svg
            .split("<circle ")
            .skip(1)
            .filter_map(|rest| rest.split(" r=").next())
            .collect();
        assert_eq!(centres.len(), 3);
        assert!(picture(FrameKind::Road, &spots[3..]).is_none());
    }
}
