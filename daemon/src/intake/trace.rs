//! A pull's samples in few bytes, as they are kept in the ledger, and drawn.
//!
//! The form: the bytes `PMT1`, the number of samples, then for each its time and its torque. Numbers are variable-length
//! integers of seven bits a byte, the lowest first; signed ones are written as 2n, or -2n-1 where negative. Times are µs
//! and given as the change of the step to the sample before; torques are µN·m as they came, as the step to the sample
//! before. Before the first sample everything is zero.

mod picture;

pub use picture::{Drawn, draw};

use super::pull::{Pull, Sample};

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
