//! The bike map: our own line drawings of bikes, and where on them each place lies that a plan can name.
//!
//! A drawing is data: lines as SVG paths (SVG 2, chapter 9), and points. The bench page draws it, and whatever else
//! wants to show a bike can draw the same. Which places there are is said in one table, [`places`](PLACES); `plan check`
//! goes by it too.

mod drawing;
mod picture;
mod places;

pub use picture::{Spot, picture};
pub use places::{PLACES, Place};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The kind of frame that a plan is for: which drawing is shown, and which places there are on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FrameKind {
    /// A bike with drop bars.
    #[default]
    Road,
    /// A bike with a flat bar: city, touring, trail, with suspension or without.
    FlatBar,
    /// A cargo bike with its box in front of the rider.
    Cargo,
    /// A bike for two, one behind the other.
    Tandem,
    /// A cycle on four wheels, seen from above.
    FourWheel,
}

impl FrameKind {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Road,
        Self::FlatBar,
        Self::Cargo,
        Self::Tandem,
        Self::FourWheel,
    ];

    /// The kind that a word names.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// The word for it in a plan.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Road => "road",
            Self::FlatBar => "flat-bar",
            Self::Cargo => "cargo",
            Self::Tandem => "tandem",
            Self::FourWheel => "four-wheel",
        }
    }

    /// Whether it is what a plan means that says nothing.
    pub fn is_default(&self) -> bool {
        *self == Self::default()
    }

    /// Whether there is a place of that name on it.
    pub fn has(self, name: &str) -> bool {
        PLACES
            .iter()
            .any(|place| place.name == name && place.on(self).is_some())
    }

    /// The names of places on it that are most like a word, the likest first; at most so many.
    pub fn like(self, word: &str, most: usize) -> Vec<&'static str> {
        let mut near: Vec<(usize, &'static str)> = PLACES
            .iter()
            .filter(|place| place.on(self).is_some())
            .map(|place| (changes(word, place.name), place.name))
            .collect();
        near.sort_unstable();
        near.into_iter().take(most).map(|(_, name)| name).collect()
    }
}

impl fmt::Display for FrameKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// How many letters have to be changed, put in or taken out to make one word of the other.
fn changes(one: &str, other: &str) -> usize {
    let mut row: Vec<usize> = (0..=other.chars().count()).collect();
    for (i, a) in one.chars().enumerate() {
        let mut before = i;
        let mut left = i + 1;
        for (b, above) in other.chars().zip(row.iter_mut().skip(1)) {
            let best = (before + usize::from(a != b)).min(left + 1).min(*above + 1);
            before = std::mem::replace(above, best);
            left = best;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or_default()
}

/// A drawing with its places.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BikeMap {
    /// Which kind of frame.
    pub frame: FrameKind,
    /// What is drawn, in words.
    pub title: String,
    /// How wide the drawing is, in its own units; the first point is at its upper left.
    pub width: u16,
    /// How high.
    pub height: u16,
    /// What is drawn, the furthest first.
    pub lines: Vec<MapLine>,
    /// The places on it.
    pub places: Vec<MapPlace>,
}

/// A line of a drawing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MapLine {
    /// What it shows.
    pub what: LineKind,
    /// An SVG path.
    pub path: String,
}

/// What a line shows; how thick it is drawn goes by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LineKind {
    /// A tyre.
    Wheel,
    /// A tube of the frame or of the fork.
    Tube,
    /// A part: bar, saddle, crank.
    Part,
    /// Something that is there for the eye alone: the ground, a box.
    Faint,
}

/// A place on a drawing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MapPlace {
    /// As a plan names it.
    pub name: String,
    /// For people.
    pub title: String,
    /// From the left, in the drawing's units.
    pub x: u16,
    /// From above.
    pub y: u16,
}

/// The drawing of one kind of frame.
pub fn map(frame: FrameKind) -> BikeMap {
    let (title, width, lines) = drawing::drawing(frame);
    let places = PLACES.iter().filter_map(|place| {
        let (x, y) = place.on(frame)?;
        Some(MapPlace {
            name: place.name.to_owned(),
            title: place.title.to_owned(),
            x,
            y,
        })
    });
    BikeMap {
        frame,
        title: title.to_owned(),
        width,
        height: drawing::HEIGHT,
        lines,
        places: places.collect(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_place_lies_inside_of_its_drawing_and_no_two_on_the_same_point() {
        for frame in FrameKind::ALL {
            let map = map(frame);
            assert!(map.places.len() > 30, "{frame}");
            for (index, place) in map.places.iter().enumerate() {
                let inside = (20..=map.width - 20).contains(&place.x)
                    && (20..=map.height - 20).contains(&place.y);
                assert!(inside, "{frame} {}", place.name);
                for other in map.places.iter().skip(index + 1) {
                    assert_ne!(place.name, other.name, "{frame}");
                    assert_ne!(place.title, other.title, "{frame}");
                    let apart = (place.x, place.y) != (other.x, other.y);
                    assert!(apart, "{frame} {} {}", place.name, other.name);
                }
            }
        }
    }

    #[test]
    fn every_place_is_on_some_frame_and_has_a_name_that_an_id_could_have() {
        for place in &PLACES {
            assert!(
                FrameKind::ALL.iter().any(|kind| place.on(*kind).is_some()),
                "{}",
                place.name
            );
            let is_word = |b: u8| b.is_ascii_lowercase() || b == b'-';
            assert!(place.name.bytes().all(is_word), "{}", place.name);
        }
    }

    #[test]
    fn lines_begin_with_a_point_and_stay_inside() {
        for frame in FrameKind::ALL {
            let map = map(frame);
            assert!(map.lines.iter().any(|line| line.what == LineKind::Tube));
            assert!(
                map.lines
                    .iter()
                    .filter(|line| line.what == LineKind::Wheel)
                    .count()
                    >= 2
            );
            for line in &map.lines {
                assert!(line.path.starts_with('M'), "{}", line.path);
                let is_path = |c: char| c.is_ascii_digit() || "MmLlHhVvCcQqAaZz -,".contains(c);
                assert!(line.path.chars().all(is_path), "{}", line.path);
            }
        }
    }

    #[test]
    fn words_name_kinds_and_what_is_nearly_a_place_finds_it() {
        for kind in FrameKind::ALL {
            assert_eq!(FrameKind::named(kind.word()), Some(kind));
            assert_eq!(
                serde_json::to_value(kind).unwrap(),
                serde_json::json!(kind.word())
            );
        }
        assert_eq!(FrameKind::named("unicycle"), None);
        assert_eq!(FrameKind::Road.like("seat-clam", 1), ["seat-clamp"]);
        assert_eq!(FrameKind::Road.like("caliper-front", 1), ["calliper-front"]);
        assert!(FrameKind::Road.has("saddle") && !FrameKind::Road.has("box"));
        assert!(FrameKind::Tandem.has("saddle-stoker"));
        assert_eq!(changes("", "abc"), 3);
        assert_eq!(changes("kitten", "sitting"), 3);
    }
}
