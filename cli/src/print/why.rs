//! Why a reading was placed where it is: each thing it might have been, its probability, and the three parts whose
//! product it is (divided by the sum of all products). What is printed can be checked with a pocket calculator.

use super::padded;
use pullmark_schema::entry::Pulled;
use pullmark_schema::placement::{Candidate, Place, Placement, PullKind, Why};

/// Where the lines begin, below the reading that they explain.
const INDENT: &str = "          ";

/// One candidate, ready to be lined up with the others.
struct Row {
    probability: String,
    kind: String,
    place: String,
    parts: String,
}

/// What decided about a reading at the moment it came.
pub(crate) fn why(pulled: &Pulled) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(gap) = pulled.gap_ms {
        lines.push(format!("{} after the last pull", gap_in_words(gap)));
    }
    match &pulled.placement {
        Placement::ByOrder {
            place,
            kind,
            probability_millionths,
            why,
            others,
        } => {
            let taken = row(*probability_millionths, *kind, Some(place), *why);
            lines.extend(table(
                std::iter::once(taken).chain(others.iter().map(candidate)),
            ));
        }
        Placement::Held {
            because,
            candidates,
        } => {
            lines.push(format!("held: {because}"));
            lines.extend(table(candidates.iter().map(candidate)));
        }
        Placement::ByChoice { by, .. } => lines.push(format!("{by} said so")),
        Placement::Nowhere { by, reason } => lines.push(format!("{by}: {reason}")),
    }
    lines.iter().map(|line| format!("{INDENT}{line}")).collect()
}

fn candidate(candidate: &Candidate) -> Row {
    row(
        candidate.probability_millionths,
        candidate.kind,
        candidate.place.as_ref(),
        candidate.why,
    )
}

fn row(millionths: u32, kind: PullKind, place: Option<&Place>, why: Option<Why>) -> Row {
    Row {
        probability: percent(millionths),
        kind: kind.to_string(),
        place: place.map_or_else(
            || "no fastener".to_owned(),
            |place| format!("{}, pass {}", place.fastener, u16::from(place.pass) + 1),
        ),
        parts: why.map(parts).unwrap_or_default(),
    }
}

/// Candidates one below the other, each part where the one above has it.
fn table(rows: impl Iterator<Item = Row>) -> Vec<String> {
    let rows: Vec<Row> = rows.collect();
    let widest = |part: fn(&Row) -> &str| {
        rows.iter()
            .map(|row| part(row).chars().count())
            .max()
            .unwrap_or(0)
    };
    let (kind, place) = (widest(|row| &row.kind), widest(|row| &row.place));
    rows.iter()
        .map(|row| {
            let line = format!(
                "{} %  {}  {}  {}",
                row.probability,
                padded(&row.kind, kind),
                padded(&row.place, place),
                row.parts
            );
            line.trim_end().to_owned()
        })
        .collect()
}

fn parts(why: Why) -> String {
    format!(
        "order {} x time {}/s x value {}/N·m",
        figure(why.order),
        figure(why.time),
        figure(why.value)
    )
}

/// A probability in percent, cut, so that none is shown as certain that is not.
pub(super) fn percent(millionths: u32) -> String {
    format!(
        "{:>3}.{:02}",
        millionths / 10_000,
        millionths % 10_000 / 100
    )
}

/// The time since the last pull, as a person would say it.
fn gap_in_words(milliseconds: u64) -> String {
    let tenths = milliseconds.saturating_add(50) / 100;
    let seconds = tenths / 10;
    match seconds {
        0..=119 => format!("{seconds}.{} s", tenths % 10),
        120..=7_199 => format!("{} min {} s", seconds / 60, seconds % 60),
        _ => format!("{} h {} min", seconds / 3600, seconds % 3600 / 60),
    }
}

/// The number whose natural logarithm is given in thousandths, with three figures. The power of ten is taken from the
/// logarithm: the number itself may be smaller than a float can be.
fn figure(thousandths: i32) -> String {
    let tens = f64::from(thousandths) / 1000.0 / std::f64::consts::LN_10;
    let mut power = tens.floor();
    let mut lead = 10f64.powf(tens - power);
    if lead >= 9.995 {
        lead = 1.0;
        power += 1.0;
    }
    let number = lead * 10f64.powf(power);
    if !(-3.0..=3.0).contains(&power) {
        format!("{lead:.2}e{power:.0}")
    } else if power < 0.0 {
        match power.abs() {
            x if x < 1.5 => format!("{number:.3}"),
            x if x < 2.5 => format!("{number:.4}"),
            _ => format!("{number:.5}"),
        }
    } else if power < 0.5 {
        format!("{number:.2}")
    } else if power < 1.5 {
        format!("{number:.1}")
    } else {
        format!("{number:.0}")
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use pullmark_schema::placement::HeldBecause;
    use pullmark_schema::quantity::Torque;
    use pullmark_schema::reading::{Origin, Reading};

    fn thousandths(number: f64) -> i32 {
        format!("{:.0}", number.ln() * 1000.0).parse().unwrap()
    }

    fn pulled(gap_ms: Option<u64>, placement: Placement) -> Pulled {
        Pulled {
            reading: Reading {
                adapter: None,
                worth: None,
                tool: "w1".to_owned(),
                origin: Origin::Attested {
                    by: "Mara".to_owned(),
                },
                displayed: None,
                applied: Some(Torque::from_small_units(5_000)),
                counter: None,
                flags: Vec::new(),
                trace: None,
            },
            build: None,
            expected: None,
            gap_ms,
            placement,
            verdict: None,
            alarm: None,
        }
    }

    fn stem(bolt: u8) -> Place {
        Place {
            fastener: format!("stem.{bolt}"),
            pass: 0,
        }
    }

    #[test]
    fn each_candidate_shows_its_probability_and_the_three_parts_of_it() {
        let why = |order, time, value| {
            Some(Why {
                order: thousandths(order),
                time: thousandths(time),
                value: thousandths(value),
            })
        };
        let placement = Placement::ByOrder {
            place: stem(3),
            kind: PullKind::Next,
            probability_millionths: 987_012,
            why: why(0.88, 0.071, 2.43),
            others: vec![
                Candidate {
                    kind: PullKind::Repeat,
                    place: Some(stem(2)),
                    probability_millionths: 12_900,
                    why: why(0.08, 0.000_21, 2.41),
                },
                Candidate {
                    kind: PullKind::OtherBuild,
                    place: None,
                    probability_millionths: 88,
                    why: None,
                },
            ],
        };
        assert_eq!(
            super::why(&pulled(Some(7_180), placement)),
            [
                "          7.2 s after the last pull",
                "           98.70 %  next of the plan             stem.3, pass 1  order 0.880 x time 0.0710/s x value 2.43/N·m",
                "            1.29 %  the same fastener once more  stem.2, pass 1  order 0.0800 x time 2.10e-4/s x value 2.41/N·m",
                "            0.00 %  another bike                 no fastener",
            ]
        );
    }

    #[test]
    fn what_was_held_says_why_and_an_unknown_time_is_not_invented() {
        let placement = Placement::Held {
            because: HeldBecause::OtherUnit,
            candidates: Vec::new(),
        };
        assert_eq!(
            super::why(&pulled(None, placement)),
            ["          held: the numbers fit only in another unit: look at the display"]
        );
    }

    #[test]
    fn a_figure_has_three_places_and_never_reads_as_nothing() {
        for (number, text) in [
            (0.88, "0.880"),
            (0.071, "0.0710"),
            (0.0012, "0.00120"),
            (0.000_999_9, "0.00100"),
            (0.000_5, "5.00e-4"),
            (1.0, "1.00"),
            (2.43, "2.43"),
            (13.3, "13.3"),
            (999.9, "1000"),
            (4_000.0, "4000"),
            (441_529.0, "4.42e5"),
        ] {
            assert_eq!(figure(thousandths(number)), text, "{number}");
        }
        assert_eq!(figure(-2_000_000), "2.58e-869");
        assert_eq!(figure(i32::MAX), "1.99e932640");
    }

    #[test]
    fn times_are_said_as_people_say_them() {
        for (gap, text) in [
            (0, "0.0 s"),
            (949, "0.9 s"),
            (950, "1.0 s"),
            (7_180, "7.2 s"),
            (150_000, "2 min 30 s"),
            (7_260_000, "2 h 1 min"),
        ] {
            assert_eq!(gap_in_words(gap), text);
        }
    }
}
