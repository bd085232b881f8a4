//! The trade-off as a picture: questions against silent errors, both per reading, on logarithmic axes. One SVG file
//! that needs nothing else, and is readable on a light and on a dark ground.

use std::fmt::Write as _;

/// A rate with its interval.
type Rate = (f64, f64, f64);

/// The study at one value of clear.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    /// From which probability on a reading is placed by itself.
    pub(super) clear: f64,
    pub(super) questions: Rate,
    pub(super) silent: Rate,
}

/// What the rates have to stay below.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    pub(super) silent: f64,
    pub(super) questions: f64,
}

/// The size of the picture and of the field in it.
const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 520.0;
const LEFT: f64 = 132.0;
const RIGHT: f64 = WIDTH - 32.0;
const TOP: f64 = 76.0;
const BOTTOM: f64 = HEIGHT - 72.0;

/// What the numbers at the points are.
const NOTE: &str = "at each point: from which probability on a reading is placed by itself";

/// Ink on paper, and the other way round.
const STYLE: &str = "
  .paper { fill: #fbfaf7 } .ink { fill: #23262a } .soft { fill: #676d75 }
  .grid { stroke: #dedcd5 } .fine { stroke: #eeece6 } .frame { stroke: #a9a7a1 } .limit { stroke: #b3541e } .limit-word { fill: #b3541e }
  .good { fill: #2f7d5b; opacity: .09 } .line { stroke: #1f5f8b } .dot { fill: #1f5f8b } .bar { stroke: #1f5f8b; opacity: .45 }
  @media (prefers-color-scheme: dark) {
    .paper { fill: #16181b } .ink { fill: #eceae4 } .soft { fill: #a2a8b0 }
    .grid { stroke: #33383e } .fine { stroke: #22262a } .frame { stroke: #646a72 } .limit { stroke: #f0986a } .limit-word { fill: #f0986a }
    .good { fill: #67c39b; opacity: .11 } .line { stroke: #7fbde6 } .dot { fill: #7fbde6 } .bar { stroke: #7fbde6 }
  }
  text { font: 13px system-ui, sans-serif } .title { font-size: 17px; font-weight: 600 } .small { font-size: 12px }
  .grid, .fine, .frame, .line, .bar, .limit { fill: none } .line { stroke-width: 2 } .limit { stroke-width: 1.5; stroke-dasharray: 6 4 }
";

/// A logarithmic axis over whole decades.
#[derive(Debug, Clone, Copy)]
struct Axis {
    /// The exponents at its ends.
    least: i32,
    most: i32,
    /// Where they are in the picture.
    from: f64,
    to: f64,
}

impl Axis {
    /// Over everything that is above zero, with room.
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of a rate")]
    fn over(values: impl Iterator<Item = f64>, from: f64, to: f64) -> Self {
        let exponents = values.filter(|value| *value > 0.0).map(f64::log10);
        let (least, most) = exponents.fold((-2.0_f64, -4.0_f64), |(least, most), exponent| {
            (least.min(exponent), most.max(exponent))
        });
        let (least, most) = (least.floor().max(-8.0) as i32, most.ceil().min(1.0) as i32);
        Self {
            least,
            most: most.max(least + 1),
            from,
            to,
        }
    }

    /// Where a value is; zero is at the end.
    fn at(&self, value: f64) -> f64 {
        let (least, most) = (f64::from(self.least), f64::from(self.most));
        let exponent = if value > 0.0 { value.log10() } else { least };
        let part = (exponent.clamp(least, most) - least) / (most - least);
        self.from + part * (self.to - self.from)
    }

    fn decades(self) -> impl Iterator<Item = (f64, i32)> {
        (self.least..=self.most).map(move |exponent| (self.at(10_f64.powi(exponent)), exponent))
    }
}

/// The picture.
pub(super) fn svg(points: &[Point], limits: &Limits, said: &str) -> String {
    let questions = points
        .iter()
        .flat_map(|point| [point.questions.1, point.questions.2]);
    let silent = points
        .iter()
        .flat_map(|point| [point.silent.1, point.silent.2]);
    let x = Axis::over(questions.chain([limits.questions]), LEFT, RIGHT);
    let y = Axis::over(silent.chain([limits.silent / 2.0]), BOTTOM, TOP);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-labelledby=\"title said\">\n\
         <title id=\"title\">Questions against silent errors</title>\n<desc id=\"said\">{}</desc>\n\
         <style>{STYLE}</style>\n<rect class=\"paper\" width=\"{WIDTH}\" height=\"{HEIGHT}\" rx=\"8\"/>\n\
         <text class=\"ink title\" x=\"24\" y=\"34\">Fewer questions, or fewer silent errors</text>\n\
         <text class=\"soft small\" x=\"24\" y=\"54\">{}</text>\n",
        escaped(&words(points)),
        escaped(said)
    );
    axes(&mut text, x, y);
    limit_lines(&mut text, x, y, limits);
    curve(&mut text, x, y, points);
    text.push_str("</svg>\n");
    text
}

/// The picture in words, for whoever cannot see it.
fn words(points: &[Point]) -> String {
    let each = points.iter().map(|point| {
        format!(
            "clear from {}: {} questions and {} silent errors per reading",
            point.clear, point.questions.0, point.silent.0
        )
    });
    each.collect::<Vec<_>>().join("; ")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

fn fine_lines(text: &mut String, x: Axis, y: Axis) {
    let between = |axis: Axis| {
        (axis.least..axis.most).flat_map(move |exponent| {
            (2..10_u8).map(move |digit| axis.at(f64::from(digit) * 10_f64.powi(exponent)))
        })
    };
    let mut path = String::new();
    for at in between(x) {
        let _ = write!(path, "M{at:.1} {TOP}V{BOTTOM}");
    }
    for at in between(y) {
        let _ = write!(path, "M{LEFT} {at:.1}H{RIGHT}");
    }
    let _ = writeln!(text, "<path class=\"fine\" d=\"{path}\"/>");
}

fn axes(text: &mut String, x: Axis, y: Axis) {
    fine_lines(text, x, y);
    // writing to a string cannot fail
    for (at, exponent) in x.decades() {
        let _ = write!(
            text,
            "<path class=\"grid\" d=\"M{at:.1} {TOP}V{BOTTOM}\"/>\n\
             <text class=\"soft\" x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>\n",
            BOTTOM + 20.0,
            one_in(exponent)
        );
    }
    for (at, exponent) in y.decades() {
        let _ = write!(
            text,
            "<path class=\"grid\" d=\"M{LEFT} {at:.1}H{RIGHT}\"/>\n\
             <text class=\"soft\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n",
            LEFT - 10.0,
            at + 4.5,
            one_in(exponent)
        );
    }
    let (middle_x, middle_y) = (f64::midpoint(LEFT, RIGHT), f64::midpoint(TOP, BOTTOM));
    let _ = write!(
        text,
        "<text class=\"soft small\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{NOTE}</text>\n\
         <rect class=\"frame\" x=\"{LEFT}\" y=\"{TOP}\" width=\"{:.1}\" height=\"{:.1}\"/>\n\
         <text class=\"ink\" x=\"{middle_x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">questions per reading</text>\n\
         <text class=\"ink\" transform=\"translate(24 {middle_y:.1}) rotate(-90)\" \
         text-anchor=\"middle\">silent errors per reading</text>\n",
        RIGHT - 8.0,
        TOP + 20.0,
        RIGHT - LEFT,
        BOTTOM - TOP,
        BOTTOM + 50.0,
    );
}

/// A power of ten as people say it: 10 %, 1 %, 1 in 1000.
fn one_in(exponent: i32) -> String {
    match exponent {
        0.. => format!("{} %", 10_i64.pow(exponent.unsigned_abs() + 2)),
        -2..=-1 => format!("{} %", 10_i64.pow((exponent + 2).unsigned_abs())),
        _ => {
            // a narrow space between groups of three zeros
            let zeros = exponent.unsigned_abs();
            let groups = usize::try_from(zeros / 3).unwrap_or_default();
            format!(
                "1 in {}{}",
                10_u32.pow(zeros % 3),
                "\u{202f}000".repeat(groups)
            )
        }
    }
}

fn limit_lines(text: &mut String, x: Axis, y: Axis, limits: &Limits) {
    let (at_x, at_y) = (x.at(limits.questions), y.at(limits.silent));
    let _ = write!(
        text,
        "<rect class=\"good\" x=\"{LEFT}\" y=\"{at_y:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>\n\
         <path class=\"limit\" d=\"M{at_x:.1} {TOP}V{BOTTOM}\"/>\n<path class=\"limit\" d=\"M{LEFT} {at_y:.1}H{RIGHT}\"/>\n\
         <text class=\"limit-word small\" x=\"{:.1}\" y=\"{:.1}\">limit {} %</text>\n\
         <text class=\"limit-word small\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">limit 1 in {:.0}</text>\n",
        at_x - LEFT,
        BOTTOM - at_y,
        at_x + 6.0,
        TOP + 16.0,
        limits.questions * 100.0,
        RIGHT - 6.0,
        at_y - 6.0,
        1.0 / limits.silent,
    );
}

fn curve(text: &mut String, x: Axis, y: Axis, points: &[Point]) {
    let places: Vec<(f64, f64)> = points
        .iter()
        .map(|point| (x.at(point.questions.0), y.at(point.silent.0)))
        .collect();
    let path: Vec<String> = places
        .iter()
        .map(|(x, y)| format!("{x:.1} {y:.1}"))
        .collect();
    let _ = writeln!(text, "<path class=\"line\" d=\"M{}\"/>", path.join("L"));
    for (point, (at_x, at_y)) in points.iter().zip(&places) {
        let _ = write!(
            text,
            "<path class=\"bar\" d=\"M{at_x:.1} {:.1}V{:.1}M{:.1} {at_y:.1}H{:.1}\"/>\n\
             <circle class=\"dot\" cx=\"{at_x:.1}\" cy=\"{at_y:.1}\" r=\"4.5\"/>\n",
            y.at(point.silent.1),
            y.at(point.silent.2),
            x.at(point.questions.1),
            x.at(point.questions.2),
        );
    }
    labels(text, points, &places);
}

/// One label a place: points that lie on each other share it.
fn labels(text: &mut String, points: &[Point], places: &[(f64, f64)]) {
    let mut said: Vec<(f64, f64, String)> = Vec::new();
    for (point, (x, y)) in points.iter().zip(places) {
        let clear = point.clear.to_string();
        match said.last_mut() {
            Some((last_x, last_y, label)) if (*last_x - x).hypot(*last_y - y) < 14.0 => {
                let _ = write!(label, ", {clear}");
            }
            _ => said.push((*x, *y, clear)),
        }
    }
    for (x, y, label) in said {
        let _ = writeln!(
            text,
            "<text class=\"ink small\" x=\"{:.1}\" y=\"{:.1}\">{label}</text>",
            x + 9.0,
            y - 8.0
        );
    }
}
