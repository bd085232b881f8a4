//! A pull's samples in few bytes, as they are kept in the ledger, and drawn.
//!
//! The form: the bytes `PMT1`, the number of samples, then for each its time and its torque. Numbers are variable-length
//! integers of seven bits a byte, the lowest first; signed ones are written as 2n, or -2n-1 where negative. Times are µs
//! and given as the change of the step to the sample before; torques are µN·m as they came, as the step to the sample
//! before. Before the first sample everything is zero.

use super::pull::{Pull, Sample};
use std::fmt::Write as _;

const MAGIC: &[u8; 4] = b"PMT1";

/// Writes samples down.
pub fn pack(samples: &[Sample]) -> Vec<u8> {
    let mut bytes = MAGIC.to_vec();
    unsigned(&mut bytes, u64::try_from(samples.len()).unwrap_or(u64::MAX));
    let (mut at, mut step, mut torque) = (0_i64, 0_i64, 0_i64);
    for sample in samples {
        let now = i64::try_from(sample.at).unwrap_or(i64::MAX);
        let new_step = now.wrapping_sub(at);
        signed(&mut bytes, new_step.wrapping_sub(step));
        signed(&mut bytes, sample.raw.wrapping_sub(torque));
        (at, step, torque) = (now, new_step, sample.raw);
    }
    bytes
}

/// Reads them back: time in µs and torque in µN·m; nothing where the bytes are no trace.
pub fn unpack(bytes: &[u8]) -> Option<Vec<(u64, i64)>> {
    let mut rest = bytes.strip_prefix(MAGIC)?;
    let count = usize::try_from(take(&mut rest)?).ok()?;
    // A sample takes two bytes at least.
    if count > rest.len() / 2 {
        return None;
    }
    let mut samples = Vec::with_capacity(count);
    let (mut at, mut step, mut torque) = (0_i64, 0_i64, 0_i64);
    for _ in 0..count {
        step = step.wrapping_add(unfold(take(&mut rest)?));
        at = at.wrapping_add(step);
        torque = torque.wrapping_add(unfold(take(&mut rest)?));
        samples.push((u64::try_from(at).ok()?, torque));
    }
    rest.is_empty().then_some(samples)
}

fn unsigned(bytes: &mut Vec<u8>, mut value: u64) {
    loop {
        let low = u8::try_from(value & 0x7F).unwrap_or_default();
        value >>= 7;
        if value == 0 {
            bytes.push(low);
            return;
        }
        bytes.push(low | 0x80);
    }
}

fn signed(bytes: &mut Vec<u8>, value: i64) {
    unsigned(bytes, (value << 1 ^ value >> 63).cast_unsigned());
}

const fn unfold(value: u64) -> i64 {
    (value >> 1).cast_signed() ^ -((value & 1).cast_signed())
}

fn take(bytes: &mut &[u8]) -> Option<u64> {
    let mut value = 0_u64;
    for shift in (0..64).step_by(7) {
        let (&byte, rest) = bytes.split_first()?;
        *bytes = rest;
        value |= u64::from(byte & 0x7F).checked_shl(shift)?;
        if byte & 0x80 == 0 {
            return Some(value);
        }
    }
    None
}

impl Pull {
    /// Its samples in few bytes.
    pub fn pack(&self) -> Vec<u8> {
        pack(&self.samples)
    }
}

/// The picture's size in its own units.
const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 200.0;
/// A picture has no more points than this; of the samples between two, the highest is drawn.
const MOST_POINTS: usize = 1200;

/// Draws a trace: torque over time, with lines at limits (in mN·m). No text but what is given; its colours are seen on a light page and on a dark one.
pub fn draw(samples: &[(u64, i64)], limits: &[(&str, i64)]) -> String {
    let begin = samples.first().map_or(0, |(at, _)| *at);
    let taken = samples
        .last()
        .map_or(1, |(at, _)| at.saturating_sub(begin).max(1));
    let top = samples
        .iter()
        .map(|(_, torque)| torque.saturating_abs())
        .chain(limits.iter().map(|(_, limit)| limit.saturating_mul(1000)))
        .max()
        .unwrap_or(1)
        .max(1);
    let y = |micro: i64| HEIGHT - HEIGHT * 0.95 * share(micro.saturating_abs(), top);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" \
         aria-label=\"torque over time\" preserveAspectRatio=\"none\">"
    );
    for (name, limit) in limits {
        let at = y(limit.saturating_mul(1000));
        // writing to a string cannot fail
        let _ = write!(
            svg,
            "<line class=\"{name}\" x1=\"0\" x2=\"{WIDTH}\" y1=\"{at:.1}\" y2=\"{at:.1}\" stroke=\"#808080\" \
             stroke-dasharray=\"6 4\" opacity=\"0.6\"/>"
        );
    }
    svg.push_str("<polyline fill=\"none\" stroke=\"#3f7fc4\" stroke-width=\"2\" points=\"");
    for bunch in samples.chunks(samples.len().div_ceil(MOST_POINTS).max(1)) {
        if let Some((at, torque)) = bunch
            .iter()
            .max_by_key(|(_, torque)| torque.saturating_abs())
        {
            let past = i64::try_from(at.saturating_sub(begin)).unwrap_or(i64::MAX);
            let x = WIDTH * share(past, i64::try_from(taken).unwrap_or(i64::MAX));
            let _ = write!(svg, "{x:.1},{:.1} ", y(*torque));
        }
    }
    svg.push_str("\"/></svg>\n");
    svg
}

#[expect(clippy::cast_precision_loss, reason = "only drawn")]
fn share(part: i64, whole: i64) -> f64 {
    part as f64 / whole as f64
}
