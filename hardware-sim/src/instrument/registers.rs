//! A unit on a serial line that answers questions for its registers (Modbus RTU; frames and CRC from memory).
//!
//! Input registers 0 and 1 hold the value, holding register 8 the number of its unit, holding register 16 the count of its
//! readings. Holding registers 2 and 3 hold the value as a whole number of thousandths.

use super::locked;
use super::served::{Answers, Served};
use crate::pty::PtyError;
use std::path::Path;
use std::sync::{Arc, Mutex};

/// In which order the bytes of the value stand; A is the most significant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// As the protocol has it for each register.
    #[default]
    Abcd,
    /// The lower register first.
    Cdab,
    /// The bytes swapped in each register.
    Badc,
    /// Both.
    Dcba,
}

/// What goes wrong with its answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fault {
    /// Nothing.
    #[default]
    None,
    /// It does not answer.
    Silent,
    /// A bit of each answer is wrong.
    Garbled,
    /// Each answer ends too early.
    Short,
    /// It refuses with this exception.
    Refuses(u8),
    /// Its answers are for another unit.
    Elsewhere,
}

#[derive(Debug, Default)]
struct State {
    address: u8,
    order: Order,
    fault: Fault,
    value: f32,
    unit: u16,
    count: u16,
    asked: u64,
    measured: Vec<f32>,
}

/// A unit.
#[derive(Debug)]
pub struct Unit {
    state: Arc<Mutex<State>>,
    served: Served,
}

impl Unit {
    /// Plugs it in at a link.
    pub fn plug(link: &Path, address: u8) -> Result<Self, PtyError> {
        let state = Arc::new(Mutex::new(State {
            address,
            ..State::default()
        }));
        let listener = Listener {
            state: Arc::clone(&state),
            held: Vec::new(),
        };
        Ok(Self {
            state,
            served: Served::on_pty(link, listener)?,
        })
    }

    /// What a tool's connection names as its port.
    pub fn port(&self) -> String {
        self.served.port()
    }

    /// A new reading: the count goes on.
    pub fn measure(&self, value: f32) {
        let mut state = locked(&self.state);
        state.value = value;
        state.count = state.count.wrapping_add(1);
        state.measured.push(value);
    }

    /// The value changes, and nothing is counted: a sample, or a peak that is held.
    pub fn show(&self, value: f32) {
        locked(&self.state).value = value;
    }

    /// In which order the bytes of the value stand from now on.
    pub fn set_order(&self, order: Order) {
        locked(&self.state).order = order;
    }

    /// What goes wrong from now on.
    pub fn set_fault(&self, fault: Fault) {
        locked(&self.state).fault = fault;
    }

    /// The number in the register of its unit.
    pub fn set_unit(&self, unit: u16) {
        locked(&self.state).unit = unit;
    }

    /// It is switched off and on: the count begins anew.
    pub fn restart(&self) {
        locked(&self.state).count = 0;
    }

    /// How often it was asked.
    pub fn asked(&self) -> u64 {
        locked(&self.state).asked
    }

    /// Every reading that it has measured.
    pub fn tally(&self) -> Vec<f32> {
        locked(&self.state).measured.clone()
    }

    /// Pulls the plug.
    pub fn unplug(&self) {
        self.served.unplug();
    }

    /// Plugs it in again.
    pub fn replug(&self) {
        self.served.replug();
    }
}

struct Listener {
    state: Arc<Mutex<State>>,
    held: Vec<u8>,
}

impl Answers for Listener {
    fn begin(&mut self) {
        self.held.clear();
    }

    fn hear(&mut self, bytes: &[u8]) -> Vec<u8> {
        self.held.extend_from_slice(bytes);
        let mut state = locked(&self.state);
        let mut all = Vec::new();
        // A question is eight bytes and is proved by its CRC.
        while let Some(question) = self.held.get(..8) {
            let (body, sum) = question.split_at(6);
            if crc(body) == sum {
                all.extend(state.answer(body));
                self.held.drain(..8);
            } else {
                self.held.remove(0);
            }
        }
        all
    }
}

impl State {
    fn answer(&mut self, question: &[u8]) -> Vec<u8> {
        let [address, function, at_high, at_low, _, count] = *question else {
            return Vec::new();
        };
        if address != self.address {
            return Vec::new();
        }
        self.asked += 1;
        let registers = self.registers(function, u16::from_be_bytes([at_high, at_low]), count);
        let body = match (self.fault, registers) {
            (Fault::Silent, _) => return Vec::new(),
            (Fault::Refuses(code), _) => vec![address, function | 0x80, code],
            (_, None) => vec![address, function | 0x80, 2],
            (fault, Some(data)) => {
                let from = if fault == Fault::Elsewhere {
                    address.wrapping_add(1)
                } else {
                    address
                };
                let length = u8::try_from(data.len()).unwrap_or(u8::MAX);
                [&[from, function, length], data.as_slice()].concat()
            }
        };
        let mut frame = [body.as_slice(), &crc(&body)].concat();
        match self.fault {
            Fault::Garbled => {
                if let Some(byte) = frame.get_mut(2) {
                    *byte ^= 0x10;
                }
            }
            Fault::Short => frame.truncate(frame.len() - 3),
            _ => {}
        }
        frame
    }

    fn registers(&self, function: u8, at: u16, count: u8) -> Option<Vec<u8>> {
        match (function, at, count) {
            (4, 0, 2) => Some(self.ordered(self.value.to_be_bytes())),
            (3, 2, 2) => Some(self.ordered(thousandths(self.value).to_be_bytes())),
            (3, 8, 1) => Some(self.unit.to_be_bytes().to_vec()),
            (3, 16, 1) => Some(self.count.to_be_bytes().to_vec()),
            _ => None,
        }
    }

    fn ordered(&self, [a, b, c, d]: [u8; 4]) -> Vec<u8> {
        match self.order {
            Order::Abcd => vec![a, b, c, d],
            Order::Cdab => vec![c, d, a, b],
            Order::Badc => vec![b, a, d, c],
            Order::Dcba => vec![d, c, b, a],
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "`as` saturates, and what a bench instrument shows is far below"
)]
fn thousandths(value: f32) -> i32 {
    (f64::from(value) * 1000.0).round() as i32
}

fn crc(bytes: &[u8]) -> [u8; 2] {
    let all = bytes.iter().fold(0xFFFF_u16, |sum, byte| {
        (0..8).fold(sum ^ u16::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                sum >> 1 ^ 0xA001
            } else {
                sum >> 1
            }
        })
    });
    all.to_le_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_answers_as_the_published_frames_do() {
        assert_eq!(crc(b"123456789"), [0x37, 0x4B]);
        let mut state = State {
            address: 7,
            value: 5.08,
            ..State::default()
        };
        let question = [7, 4, 0, 0, 0, 2];
        assert_eq!(crc(&question), [0x71, 0xAD]);
        assert_eq!(
            state.answer(&question),
            [7, 4, 4, 0x40, 0xA2, 0x8F, 0x5C, 0x4D, 0xAF]
        );
        assert_eq!(state.answer(&[7, 4, 0, 9, 0, 2]), [7, 0x84, 2, 0x22, 0xC0]);
        assert!(state.answer(&[8, 4, 0, 0, 0, 2]).is_empty());
        state.order = Order::Dcba;
        assert_eq!(
            state.answer(&question).get(3..7),
            Some([0x5C, 0x8F, 0xA2, 0x40].as_slice())
        );
    }
}
