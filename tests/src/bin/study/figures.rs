//! Figures and how they are printed.

use serde_json::{Map, Value};
use std::time::Duration;

/// Named figures in their order.
#[derive(Debug, Default)]
pub(crate) struct Figures(Map<String, Value>);

impl Figures {
    pub(crate) fn add(&mut self, name: &str, value: impl Into<Value>) -> &mut Self {
        self.0.insert(name.to_owned(), value.into());
        self
    }

    #[expect(clippy::print_stdout, reason = "what a study is for")]
    pub(crate) fn print(&self, as_json: bool) {
        if as_json {
            println!("{}", Value::Object(self.0.clone()));
            return;
        }
        for (name, value) in &self.0 {
            println!("{name:<28} {value}");
        }
    }
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
