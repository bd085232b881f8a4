//! The wrench itself: what it remembers, and the bytes it sends. No port, no clock, no randomness.
//!
//! Every pull gets the next counter, whether or not a cable is plugged in: the counter is the tool's memory. The line
//! format is in [`super::line`].

use thiserror::Error;

use super::display::{DisplayText, Resolution};
use super::line::{Flags, Line, Pull, Shown};
use super::unit::Unit;

/// What a half line and a line with a wrong checksum are about, in N·m. Any value would do.
pub const STAND_IN_NEWTON_METRE: f64 = 5.0;
/// The largest range that can be set, in N·m.
pub const MOST_RANGE_NEWTON_METRE: f64 = 10_000.0;
const MOST_SERIAL: usize = 32;

/// What a wrench cannot be or do.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum WrenchError {
    /// The serial number would break the line.
    #[error("`{0}` cannot be a serial number: use 1 to 32 letters, digits, `-`, `_` or `.`")]
    Serial(String),
    /// The range is no torque.
    #[error("a range of {0} N·m is not possible: give a torque above 0 and at most 10000")]
    Range(f64),
    /// There is no line to send again.
    #[error("nothing was pulled yet, so nothing can be sent again. Pull first")]
    NothingSent,
}

/// A torque wrench with a display and a memory.
#[derive(Debug, Clone)]
pub struct Wrench {
    serial: String,
    unit: Unit,
    resolution: Resolution,
    range_newton_metre: f64,
    counter: u64,
    battery_low: bool,
    last: Option<Pull>,
}

impl Wrench {
    /// A new wrench: shows N·m in steps of 0.01 up to 25 N·m, has a good battery, and has never pulled.
    pub fn new(serial: impl Into<String>) -> Result<Self, WrenchError> {
        let serial = serial.into();
        if !is_serial(&serial) {
            return Err(WrenchError::Serial(serial.chars().take(40).collect()));
        }
        Ok(Self {
            serial,
            unit: Unit::default(),
            resolution: Resolution::default(),
            range_newton_metre: 25.0,
            counter: 0,
            battery_low: false,
            last: None,
        })
    }

    /// Another unit on the display.
    #[must_use]
    pub fn with_unit(mut self, unit: Unit) -> Self {
        self.unit = unit;
        self
    }

    /// Another step of the display. It is in the unit of the display, and stays when the unit changes.
    #[must_use]
    pub fn with_resolution(mut self, resolution: Resolution) -> Self {
        self.resolution = resolution;
        self
    }

    /// Another end of the range, both ways of turning, in N·m. A pull beyond it shows `OL`.
    pub fn with_range(mut self, newton_metre: f64) -> Result<Self, WrenchError> {
        if !(newton_metre > 0.0 && newton_metre <= MOST_RANGE_NEWTON_METRE) {
            return Err(WrenchError::Range(newton_metre));
        }
        self.range_newton_metre = newton_metre;
        Ok(self)
    }

    /// A wrench that has pulled before: the next pull is `pulls` + 1.
    #[must_use]
    pub fn with_counter(mut self, pulls: u64) -> Self {
        self.counter = pulls;
        self
    }

    /// The serial number.
    pub fn serial(&self) -> &str {
        &self.serial
    }

    /// The unit on the display.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// The step of the display.
    pub fn resolution(&self) -> Resolution {
        self.resolution
    }

    /// The end of the range in N·m.
    pub fn range_newton_metre(&self) -> f64 {
        self.range_newton_metre
    }

    /// How often it was pulled in its life.
    pub fn counter(&self) -> u64 {
        self.counter
    }

    /// Turns the display to another unit. Lines sent before stay as they are, also when they are sent again.
    pub fn set_unit(&mut self, unit: Unit) {
        self.unit = unit;
    }

    /// The battery runs down, or is changed.
    pub fn set_battery_low(&mut self, battery_low: bool) {
        self.battery_low = battery_low;
    }

    /// The greeting after power-on.
    pub fn frame_ready(&self) -> Vec<u8> {
        let serial = self.serial.clone();
        Line::Ready { serial }.to_bytes()
    }

    /// A pull. Beyond the range, or not finite, the display shows `OL`.
    pub fn frame_pull(&mut self, torque_newton_metre: f64) -> Vec<u8> {
        self.remember_torque(torque_newton_metre).to_bytes()
    }

    /// A pull of which the display shows just this text, in the unit that is set; the range is not looked at.
    pub fn frame_text(&mut self, text: &DisplayText) -> Vec<u8> {
        self.remember(Shown::Value(text.clone())).to_bytes()
    }

    /// A pull over the range.
    pub fn frame_over_range(&mut self) -> Vec<u8> {
        self.remember(Shown::OverRange).to_bytes()
    }

    /// The last pull once more: same counter, value and unit, with `RP`.
    pub fn frame_again(&self) -> Result<Vec<u8>, WrenchError> {
        let mut pull = self.last.clone().ok_or(WrenchError::NothingSent)?;
        pull.flags.sent_again = true;
        pull.flags.battery_low = self.battery_low;
        Ok(pull.to_bytes())
    }

    /// A pull whose line comes with a wrong checksum. The memory has it right, so it can be sent again.
    pub fn frame_noise(&mut self) -> Vec<u8> {
        self.remember_torque(STAND_IN_NEWTON_METRE)
            .to_spoilt_bytes()
    }

    /// A pull of which only the first half of the line gets out.
    pub fn frame_half(&mut self) -> Vec<u8> {
        let bytes = self.frame_pull(STAND_IN_NEWTON_METRE);
        halves(&bytes).0.to_vec()
    }

    fn remember_torque(&mut self, torque_newton_metre: f64) -> Pull {
        let is_inside = torque_newton_metre.abs() <= self.range_newton_metre;
        let shown = self
            .resolution
            .show(torque_newton_metre / self.unit.newton_metre())
            .filter(|_| is_inside)
            .map_or(Shown::OverRange, Shown::Value);
        self.remember(shown)
    }

    fn remember(&mut self, value: Shown) -> Pull {
        self.counter = self.counter.saturating_add(1);
        let pull = Pull {
            counter: self.counter,
            value,
            unit: self.unit,
            flags: Flags {
                battery_low: self.battery_low,
                sent_again: false,
            },
        };
        self.last = Some(pull.clone());
        pull
    }
}

/// A line cut in the middle.
pub(super) fn halves(line: &[u8]) -> (&[u8], &[u8]) {
    line.split_at_checked(line.len() / 2).unwrap_or((line, &[]))
}

fn is_serial(text: &str) -> bool {
    let is_safe = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.');
    (1..=MOST_SERIAL).contains(&text.len()) && text.bytes().all(is_safe)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use proptest::prelude::*;

    fn wrench() -> Wrench {
        Wrench::new("W-0042").unwrap()
    }

    fn text(bytes: Vec<u8>) -> String {
        String::from_utf8(bytes).unwrap()
    }

    #[test]
    fn a_day_of_lines_is_as_the_page_says() {
        // The checksums were worked out apart from this code, with another program.
        let mut wrench = wrench();
        assert_eq!(text(wrench.frame_ready()), "#READY W-0042\r\n");
        assert_eq!(text(wrench.frame_pull(5.08)), "$PULL,1,5.08,N.m*06\r\n");
        wrench.set_unit(Unit::PoundForceInch);
        assert_eq!(text(wrench.frame_pull(5.08)), "$PULL,2,44.96,lbf.in*7B\r\n");
        wrench.set_battery_low(true);
        assert_eq!(
            text(wrench.frame_over_range()),
            "$PULL,3,OL,lbf.in,LB*7A\r\n"
        );
        wrench.set_unit(Unit::NewtonMetre);
        assert_eq!(
            text(wrench.frame_again().unwrap()),
            "$PULL,3,OL,lbf.in,LB+RP*53\r\n"
        );
        assert_eq!(wrench.counter(), 3);
        wrench.set_battery_low(false);
        let exact = "5.080".parse().unwrap();
        assert_eq!(text(wrench.frame_text(&exact)), "$PULL,4,5.080,N.m*33\r\n");
        assert_eq!(text(wrench.frame_half()), "$PULL,5,5.");
    }

    #[test]
    fn beyond_the_range_there_is_no_number() {
        let mut wrench = wrench().with_range(10.0).unwrap();
        for (torque, field) in [
            (10.0, "10.00"),
            (10.004, "OL"),
            (-10.0, "-10.00"),
            (-11.0, "OL"),
            (f64::INFINITY, "OL"),
            (f64::NAN, "OL"),
        ] {
            let line = text(wrench.frame_pull(torque));
            assert_eq!(line.split(',').nth(2), Some(field), "{torque}");
        }
    }

    #[test]
    fn wrong_serial_numbers_ranges_and_repeats_are_refused() {
        for serial in ["", "a b", "a*b", "ü", &"x".repeat(33)] {
            assert!(Wrench::new(serial).is_err(), "{serial}");
        }
        for range in [0.0, -1.0, f64::NAN, f64::INFINITY, 10_001.0] {
            assert!(wrench().with_range(range).is_err(), "{range}");
        }
        assert_eq!(wrench().frame_again(), Err(WrenchError::NothingSent));
    }

    #[test]
    fn a_spoilt_pull_counts_and_can_be_sent_again_well() {
        let mut wrench = wrench().with_counter(100);
        assert!(Line::parse(&wrench.frame_noise()).is_err());
        let Line::Pull(again) = Line::parse(&wrench.frame_again().unwrap()).unwrap() else {
            panic!("a pull was sent");
        };
        assert_eq!((again.counter, again.flags.sent_again), (101, true));
    }

    proptest! {
        #[test]
        fn any_torque_in_range_gives_a_line_that_reads_back(
            torque in -25.0..=25.0, unit in 0_usize..5, battery_low: bool, before in 0_u64..u64::MAX
        ) {
            let unit = Unit::ALL[unit];
            let mut wrench = wrench().with_unit(unit).with_counter(before);
            wrench.set_battery_low(battery_low);
            let Line::Pull(pull) = Line::parse(&wrench.frame_pull(torque)).unwrap() else {
                panic!("not a pull");
            };
            prop_assert_eq!(pull.counter, before + 1);
            prop_assert_eq!(pull.unit, unit);
            prop_assert_eq!(pull.flags, Flags { battery_low, sent_again: false });
            let Shown::Value(shown) = pull.value else { panic!("in range, yet OL") };
            let value: f64 = shown.as_str().parse().unwrap();
            prop_assert!((value * unit.newton_metre() - torque).abs() <= 0.005 * unit.newton_metre() + 1e-9);
        }

        #[test]
        fn any_number_at_all_gives_a_line(torque: f64) {
            let torques = [torque, f64::from_bits(torque.to_bits() ^ (0x7FF << 52))];
            for torque in torques {
                prop_assert!(Line::parse(&wrench().frame_pull(torque)).is_ok());
            }
        }
    }
}
