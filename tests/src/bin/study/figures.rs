//! Figures and how they are printed.

use serde::ser::{Serialize, SerializeMap as _, Serializer};
use serde_json::Value;
use std::fmt::Write as _;
use std::time::Duration;

/// Named figures in their order.
#[derive(Debug, Default)]
pub(crate) struct Figures(Vec<(String, Figure)>);

#[derive(Debug)]
enum Figure {
    One(Value),
    Part(Figures),
}

impl Figures {
    pub(crate) fn add(&mut self, name: &str, value: impl Into<Value>) -> &mut Self {
        self.0.push((name.to_owned(), Figure::One(value.into())));
        self
    }

    /// Figures of a part, under a name of their own.
    pub(crate) fn nest(&mut self, name: &str, part: Self) -> &mut Self {
        self.0.push((name.to_owned(), Figure::Part(part)));
        self
    }

    /// How often of how many, with the interval in which the true rate lies, and the limit it has to keep.
    pub(crate) fn rate(&mut self, name: &str, count: u64, of: u64, limit: f64) -> &mut Self {
        let (rate, low, high) = wilson(count, of);
        self.add(&format!("{name}_rate"), rate)
            .add(&format!("{name}_low"), low)
            .add(&format!("{name}_high"), high)
            .add(&format!("{name}_limit"), limit)
    }

    #[expect(clippy::print_stdout, reason = "what a study is for")]
    pub(crate) fn print(&self, as_json: bool) {
        if as_json {
            println!("{}", serde_json::to_string(self).unwrap_or_default());
        } else {
            print!("{}", self.lines());
        }
    }

    /// One line a figure. A part has one line for itself where its figures are counts, without those that are zero;
    /// else one for each of its own, moved in.
    fn lines(&self) -> String {
        let mut text = String::new();
        for (name, figure) in &self.0 {
            // writing to a string cannot fail
            let _ = match figure {
                Figure::One(value) => writeln!(text, "{name:<28} {value}"),
                Figure::Part(part) if part.0.is_empty() => continue,
                Figure::Part(part) => {
                    if let Some(counts) = part.counts() {
                        writeln!(text, "{name:<20} {counts}")
                    } else {
                        let lines = part.lines();
                        writeln!(text, "{name}\n  {}", lines.trim_end().replace('\n', "\n  "))
                    }
                }
            };
        }
        text
    }

    fn counts(&self) -> Option<String> {
        let mut list = Vec::new();
        for (name, figure) in &self.0 {
            match figure {
                Figure::One(value) if value.as_u64() == Some(0) => {}
                Figure::One(value) if value.is_u64() => list.push(format!("{name} {value}")),
                _ => return None,
            }
        }
        Some(list.join(", "))
    }
}

impl Serialize for Figures {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (name, figure) in &self.0 {
            match figure {
                Figure::One(value) => map.serialize_entry(name, value)?,
                Figure::Part(part) => map.serialize_entry(name, part)?,
            }
        }
        map.end()
    }
}

/// A rate and its 95 % interval after Wilson (E. B. Wilson, "Probable inference, the law of succession, and statistical
/// inference", J. Am. Stat. Assoc. 22 (1927) 209-212), each to four digits.
#[expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]
pub(crate) fn wilson(count: u64, of: u64) -> (f64, f64, f64) {
    /// The quantile of the normal distribution at 97.5 %.
    const Z: f64 = 1.959_964;
    if of == 0 {
        return (0.0, 0.0, 1.0);
    }
    let (k, n) = (count as f64, of as f64);
    let rate = k / n;
    let scale = 1.0 + Z * Z / n;
    let middle = (rate + Z * Z / (2.0 * n)) / scale;
    let half = Z / scale * (rate * (1.0 - rate) / n + Z * Z / (4.0 * n * n)).sqrt();
    let low = if count == 0 { 0.0 } else { middle - half };
    let high = if count == of { 1.0 } else { middle + half };
    (four_digits(rate), four_digits(low), four_digits(high))
}

fn four_digits(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}

/// The quantile of a sample, by the nearest rank; zero of an empty one.
pub(crate) fn quantile(sample: &mut [Duration], part: f64) -> Duration {
    sample.sort_unstable();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "an index"
    )]
    let rank = ((sample.len() as f64) * part).ceil() as usize;
    sample
        .get(rank.saturating_sub(1))
        .copied()
        .unwrap_or_default()
}

/// In whole tenths of a microsecond, as a number of microseconds.
pub(crate) fn microseconds(time: Duration) -> f64 {
    (time.as_secs_f64() * 1e7).round() / 10.0
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::float_cmp)]
mod tests {
    use super::*;

    /// The four examples of R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Stat. Med. 17 (1998)
    /// 857-872, table I, method 3, quoted from memory; and the ends.
    #[test]
    fn the_interval_is_as_published() {
        for (count, of, published) in [
            (81, 263, "0.2553 to 0.3662"),
            (15, 148, "0.0624 to 0.1605"),
            (0, 20, "0.0000 to 0.1611"),
            (1, 29, "0.0061 to 0.1718"),
        ] {
            let (_, low, high) = wilson(count, of);
            assert_eq!(format!("{low:.4} to {high:.4}"), published);
        }
        assert_eq!(wilson(0, 0), (0.0, 0.0, 1.0));
        assert_eq!(wilson(20, 20), (1.0, 0.8389, 1.0));
    }

    #[test]
    fn figures_keep_their_order_and_parts_of_counts_have_one_line() {
        let mut part = Figures::default();
        part.add("readings", 7_u64)
            .add("zero", 0_u64)
            .add("asked", 2_u64);
        let mut mixed = Figures::default();
        mixed.add("rate", 0.5).nest("one", part);
        let mut all = Figures::default();
        all.add("z", 1).nest("part", mixed).add("a", 2);
        assert_eq!(
            serde_json::to_string(&all).unwrap(),
            r#"{"z":1,"part":{"rate":0.5,"one":{"readings":7,"zero":0,"asked":2}},"a":2}"#
        );
        let lines: Vec<String> = all.lines().lines().map(str::to_owned).collect();
        assert_eq!(lines.len(), 5, "{lines:?}");
        assert_eq!(lines[1], "part");
        assert!(
            lines[3].starts_with("  one") && lines[3].ends_with("readings 7, asked 2"),
            "{lines:?}"
        );
    }

    #[test]
    fn the_quantile_is_the_nearest_rank() {
        let mut sample: Vec<Duration> = (1..=100).rev().map(Duration::from_micros).collect();
        assert_eq!(quantile(&mut sample, 0.5), Duration::from_micros(50));
        assert_eq!(quantile(&mut sample, 0.99), Duration::from_micros(99));
        assert_eq!(quantile(&mut [], 0.99), Duration::ZERO);
    }
}
