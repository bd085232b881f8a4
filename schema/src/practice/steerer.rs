//! How far a steerer is cut under the line that the stem gives it.
//!
//! The line is the top edge of the stem, or of the spacer above it. The steerer ends below it, so that the cap can
//! press on the stem and take up the play. Common practice, no source: about 5 mm under the line, 2 mm of which are for the
//! flange of the expander plug. ISO 4210-2:2014, 4.7.4 (read in an excerpt): at most 5 mm between the top of a clamping
//! stem and the top of the steerer, so that the clamp holds over its height.

use crate::quantity::Length;

/// Usual cut under the line: 5 mm. Common practice, no source.
pub const STEERER_CUT_UNDER: Length = Length::from_small_units(5_000);

/// What the flange of an expander plug takes of that: 2 mm. Common practice, no source.
pub const PLUG_FLANGE: Length = Length::from_small_units(2_000);

/// The least that has to be free under the cap. Usual are 5 mm less the flange; 1 mm is left for what is sawn and filed.
pub const ROOM_FOR_THE_CAP: Length = Length::from_small_units(2_000);

/// The most between the top of the stem and the top of the steerer: 5 mm (ISO 4210-2:2014, 4.7.4).
pub const STEERER_MOST_UNDER: Length = Length::from_small_units(5_000);

/// What is wrong with a steerer that ends `cut_under` below the line, with a plug whose flange is as thick as `flange`
/// (zero where the plug sits inside). A negative `cut_under` stands above the line.
pub fn steerer_under_line(cut_under: Length, flange: Length) -> Option<String> {
    if cut_under > STEERER_MOST_UNDER {
        return Some(format!(
            "the steerer ends {} under the top of the stem, and ISO 4210-2:2014, 4.7.4 allows at most {}: put a thinner spacer above the stem, or none",
            millimetres(cut_under),
            millimetres(STEERER_MOST_UNDER)
        ));
    }
    let room = Length::from_small_units(
        cut_under
            .small_units()
            .saturating_sub(flange.small_units().max(0)),
    );
    if room >= ROOM_FOR_THE_CAP {
        return None;
    }
    let left = if room.small_units() > 0 {
        format!("only {} are left", millimetres(room))
    } else {
        "nothing is left".to_owned()
    };
    Some(format!(
        "{left} under the cap before it touches {}: it cannot take up the play. Cut the steerer about {} under the line (common practice, no source), or add a thin spacer",
        if flange.small_units() > 0 {
            "the plug"
        } else {
            "the steerer"
        },
        millimetres(STEERER_CUT_UNDER)
    ))
}

fn millimetres(length: Length) -> String {
    let micrometre = length.small_units();
    let sign = if micrometre < 0 { "-" } else { "" };
    let (whole, rest) = (
        micrometre.unsigned_abs() / 1000,
        micrometre.unsigned_abs() % 1000,
    );
    let text = format!("{sign}{whole}.{rest:03}");
    format!("{} mm", text.trim_end_matches('0').trim_end_matches('.'))
}
