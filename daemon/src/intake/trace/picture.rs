//! A trace drawn: torque over time with axes, limits, peak and first peak. Dark on white paper, so that it reads the same on a
//! light page, on a dark one, and printed.

use std::fmt::Write as _;

/// The picture's size in its own units, and where the axes lie.
const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 320.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 540.0;
const TOP: f64 = 24.0;
const BOTTOM: f64 = 266.0;
/// A picture has no more points than this; of the samples between two, the highest is drawn.
const MOST_POINTS: usize = 1200;
const INK: &str = "#16181a";
const QUIET: &str = "#c9c8c1";
const LIMIT: &str = "#9c0019";

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Drawn<'a> {
    /// Time in µs and torque in µN·m.
    pub samples: &'a [(u64, i64)],
    /// Limits with their names, in mN·m.
    pub limits: &'a [(&'a str, i64)],
    /// Where a click tool gave way before the peak, in mN·m.
    pub first_peak: Option<i64>,
}

/// Where torque and time lie in the picture.
struct Axes {
    begin: u64,
    taken: u64,
    top: i64,
}

impl Axes {
    fn of(drawn: &Drawn<'_>) -> Self {
        let begin = drawn.samples.first().map_or(0, |(at, _)| *at);
        let end = drawn.samples.last().map_or(begin, |(at, _)| *at);
        let limits = drawn
            .limits
            .iter()
            .map(|(_, limit)| limit.saturating_mul(1000));
        let torques = drawn
            .samples
            .iter()
            .map(|(_, torque)| torque.saturating_abs());
        let highest = torques.chain(limits).max().unwrap_or(1).max(1);
        Self {
            begin,
            taken: end.saturating_sub(begin).max(1),
            // Room for the words at the peak.
            top: highest.saturating_add(highest / 8),
        }
    }

    fn x(&self, at: u64) -> f64 {
        let past = i64::try_from(at.saturating_sub(self.begin)).unwrap_or(i64::MAX);
        LEFT + (RIGHT - LEFT) * share(past, i64::try_from(self.taken).unwrap_or(i64::MAX))
    }

    fn y(&self, micro: i64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * share(micro.saturating_abs(), self.top)
    }
}

/// Draws a trace.
pub fn draw(drawn: &Drawn<'_>) -> String {
    let axes = Axes::of(drawn);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-label=\"torque over time\" font-family=\"sans-serif\" font-size=\"14\" fill=\"{INK}\">\
         <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>"
    );
    grid(&mut svg, &axes);
    limits(&mut svg, &axes, drawn.limits);
    curve(&mut svg, &axes, drawn.samples);
    peaks(&mut svg, &axes, drawn);
    svg.push_str("</svg>\n");
    svg
}

fn text(svg: &mut String, (x, y): (f64, f64), anchor: &str, words: &str) {
    // writing to a string cannot fail
    let _ = write!(
        svg,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" stroke=\"#ffffff\" stroke-width=\"4\" \
         paint-order=\"stroke\">{words}</text>"
    );
}

/// Both axes with their numbers: seconds, and newton metres.
fn grid(svg: &mut String, axes: &Axes) {
    let torque = step(axes.top, 5);
    for at in (0..)
        .map(|n| n * torque.max(1))
        .take_while(|at| *at <= axes.top)
    {
        let y = axes.y(at);
        let _ = write!(
            svg,
            "<path d=\"M{LEFT} {y:.1}H{RIGHT}\" stroke=\"{QUIET}\" fill=\"none\"/>"
        );
        text(svg, (LEFT - 8.0, y + 5.0), "end", &millionths(at));
    }
    let taken = i64::try_from(axes.taken).unwrap_or(i64::MAX);
    let time = step(taken, 6);
    for at in (0..).map(|n| n * time.max(1)).take_while(|at| *at <= taken) {
        let x = axes.x(axes.begin.saturating_add(at.cast_unsigned()));
        let _ = write!(
            svg,
            "<path d=\"M{x:.1} {BOTTOM}v6\" stroke=\"{INK}\" fill=\"none\"/>"
        );
        text(svg, (x, BOTTOM + 22.0), "middle", &millionths(at));
    }
    let _ = write!(
        svg,
        "<path d=\"M{LEFT} {TOP}V{BOTTOM}H{RIGHT}\" stroke=\"{INK}\" fill=\"none\"/>"
    );
    text(
        svg,
        (f64::midpoint(LEFT, RIGHT), HEIGHT - 8.0),
        "middle",
        "time, s",
    );
    let middle = f64::midpoint(TOP, BOTTOM);
    let _ = write!(
        svg,
        "<text transform=\"translate(16 {middle}) rotate(-90)\" text-anchor=\"middle\">torque, N·m</text>"
    );
}

fn limits(svg: &mut String, axes: &Axes, limits: &[(&str, i64)]) {
    for (name, limit) in limits {
        let micro = limit.saturating_mul(1000);
        let y = axes.y(micro);
        let _ = write!(
            svg,
            "<path class=\"{name}\" d=\"M{LEFT} {y:.1}H{RIGHT}\" stroke=\"{LIMIT}\" stroke-width=\"2.5\" \
             stroke-dasharray=\"9 5\" fill=\"none\"/>"
        );
        text(
            svg,
            (RIGHT + 8.0, y + 5.0),
            "start",
            &format!("{name} {}", millionths(micro)),
        );
    }
}

fn curve(svg: &mut String, axes: &Axes, samples: &[(u64, i64)]) {
    let _ = write!(
        svg,
        "<polyline fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\" stroke-linejoin=\"round\" points=\""
    );
    for bunch in samples.chunks(samples.len().div_ceil(MOST_POINTS).max(1)) {
        if let Some((at, torque)) = bunch
            .iter()
            .max_by_key(|(_, torque)| torque.saturating_abs())
        {
            let _ = write!(svg, "{:.1},{:.1} ", axes.x(*at), axes.y(*torque));
        }
    }
    svg.push_str("\"/>");
}

/// A lozenge at the peak, a disc where a click tool gave way.
fn peaks(svg: &mut String, axes: &Axes, drawn: &Drawn<'_>) {
    let size = |(_, torque): &&(u64, i64)| torque.saturating_abs();
    // The first of the highest.
    let peak = drawn.samples.iter().rev().max_by_key(size);
    let first = drawn.first_peak.and_then(|milli| {
        let micro = milli.saturating_abs().saturating_mul(1000);
        drawn.samples.iter().find(|sample| size(sample) >= micro)
    });
    if let Some(&(at, torque)) = peak {
        let (x, y) = (axes.x(at), axes.y(torque));
        let _ = write!(
            svg,
            "<path class=\"peak\" d=\"M{x:.1} {:.1}l7 8l-7 8l-7 -8z\" fill=\"#ffffff\" stroke=\"{INK}\" stroke-width=\"2\"/>",
            y - 8.0
        );
        let words = format!("peak {}", millionths(torque.saturating_abs()));
        text(
            svg,
            (x.clamp(LEFT + 60.0, RIGHT - 60.0), y - 14.0),
            "middle",
            &words,
        );
    }
    if let Some(&(at, torque)) = first.filter(|first| Some(*first) != peak) {
        let (x, y) = (axes.x(at), axes.y(torque));
        let _ = write!(
            svg,
            "<circle class=\"first-peak\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"#ffffff\" stroke=\"{INK}\" stroke-width=\"2\"/>"
        );
        let words = format!("first peak {}", millionths(torque.saturating_abs()));
        let end = (x - 12.0).max(LEFT + 130.0);
        text(svg, (end, y + 5.0), "end", &words);
    }
}

/// A round step of 1, 2 or 5 of which at most `most` fit.
fn step(to: i64, most: i64) -> i64 {
    let mut ten = 1_i64;
    loop {
        for part in [1, 2, 5] {
            let step = ten.saturating_mul(part);
            if to / step <= most {
                return step;
            }
        }
        ten = ten.saturating_mul(10);
    }
}

/// A number of millionths, to the thousandth, without zeros at its end.
fn millionths(micro: i64) -> String {
    let milli = micro.saturating_add(500).div_euclid(1000);
    let text = format!("{}.{:03}", milli / 1000, milli % 1000);
    let short = text.trim_end_matches('0').trim_end_matches('.');
    short.to_owned()
}

#[expect(clippy::cast_precision_loss, reason = "only drawn")]
fn share(part: i64, whole: i64) -> f64 {
    part as f64 / whole as f64
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_numbers_are_short() {
        assert_eq!(step(5_600_000, 5), 1_000_000);
        assert_eq!(step(6_000_000, 5), 2_000_000);
        assert_eq!(step(5_000_000, 5), 1_000_000);
        assert_eq!(step(0, 5), 1);
        assert_eq!(step(i64::MAX, 5).signum(), 1);
        assert_eq!(millionths(5_500_000), "5.5");
        assert_eq!(millionths(2_000_000), "2");
        assert_eq!(millionths(120_400), "0.12");
        assert_eq!(millionths(0), "0");
    }

    #[test]
    fn axes_limits_and_both_peaks_are_said_with_their_figures() {
        // 1 ms apart: up to 4 N·m, a drop, up to 5 N·m, and back.
        let ramp = [0, 2, 4, 3, 5, 1].map(|newton| newton * 1_000_000_i64);
        let samples: Vec<(u64, i64)> = (0..).step_by(100_000).zip(ramp).collect();
        let svg = draw(&Drawn {
            samples: &samples,
            limits: &[("lower", 4_500), ("upper", 5_500)],
            first_peak: Some(4_000),
        });
        for said in [
            "time, s",
            "torque, N·m",
            ">lower 4.5<",
            ">upper 5.5<",
            ">peak 5<",
            ">first peak 4<",
            ">0.5<",
        ] {
            assert!(svg.contains(said), "{said} is not in {svg}");
        }
        // The peak's lozenge stands at its sample: 0.4 s of 0.5 s.
        let x = LEFT + (RIGHT - LEFT) * 0.8;
        assert!(
            svg.contains(&format!("class=\"peak\" d=\"M{x:.1} ")),
            "{svg}"
        );
        let without = draw(&Drawn {
            samples: &samples,
            limits: &[],
            first_peak: None,
        });
        assert!(!without.contains("first-peak") && !without.contains("upper"));
        let nothing = draw(&Drawn {
            samples: &[],
            limits: &[],
            first_peak: None,
        });
        assert!(
            nothing.ends_with("</svg>\n") && !nothing.contains("NaN"),
            "{nothing}"
        );
    }
}
