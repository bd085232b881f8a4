//! An instrument that is asked as IEEE 488.2 has it (from memory): `*IDN?`, `READ?`, `FETC?`, `SYST:ERR?`.
//!
//! `READ?` is answered when the next reading is measured, `FETC?` at once with the count and the last value.

use super::locked;
use super::served::{Answers, Served};
use crate::pty::PtyError;
use std::collections::VecDeque;
use std::io;
use std::path::Path;
use std::sync::{Arc, Mutex};

/// How it writes a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// With an exponent: `+5.080E+00`.
    #[default]
    Exponent,
    /// In a block of bytes: `#14` and a binary fraction, the most significant byte first.
    Block,
    /// The same, the least significant byte first.
    BlockLittle,
}

#[derive(Debug, Default)]
struct State {
    identity: String,
    form: Form,
    is_silent: bool,
    last: Option<f32>,
    /// What was measured and not asked for yet.
    waiting: VecDeque<f32>,
    count: u64,
    errors: VecDeque<String>,
    asked: Vec<String>,
    measured: Vec<f32>,
}

/// An instrument.
#[derive(Debug)]
pub struct Instrument {
    state: Arc<Mutex<State>>,
    served: Served,
}

fn fresh(identity: &str) -> (Arc<Mutex<State>>, Listener) {
    let state = Arc::new(Mutex::new(State {
        identity: identity.to_owned(),
        ..State::default()
    }));
    let listener = Listener {
        state: Arc::clone(&state),
        held: String::new(),
        is_read: false,
    };
    (state, listener)
}

impl Instrument {
    /// On a serial port. The identity is what `*IDN?` is answered with.
    pub fn plug(link: &Path, identity: &str) -> Result<Self, PtyError> {
        let (state, listener) = fresh(identity);
        let served = Served::on_pty(link, listener)?;
        Ok(Self { state, served })
    }

    /// On the network.
    pub fn listen(identity: &str) -> io::Result<Self> {
        let (state, listener) = fresh(identity);
        let served = Served::on_tcp(listener)?;
        Ok(Self { state, served })
    }

    /// What a tool's connection names as its port.
    pub fn port(&self) -> String {
        self.served.port()
    }

    /// Somebody measures.
    pub fn measure(&self, value: f32) {
        let mut state = locked(&self.state);
        state.last = Some(value);
        state.count += 1;
        state.waiting.push_back(value);
        state.measured.push(value);
    }

    /// How it writes values from now on.
    pub fn set_form(&self, form: Form) {
        locked(&self.state).form = form;
    }

    /// Whether it answers at all from now on.
    pub fn set_silent(&self, is_silent: bool) {
        locked(&self.state).is_silent = is_silent;
    }

    /// Something goes wrong in it.
    pub fn fail(&self, error: &str) {
        locked(&self.state).errors.push_back(error.to_owned());
    }

    /// Everything that it was asked.
    pub fn asked(&self) -> Vec<String> {
        locked(&self.state).asked.clone()
    }

    /// Every reading that it has measured.
    pub fn tally(&self) -> Vec<f32> {
        locked(&self.state).measured.clone()
    }

    /// Pulls the plug, or closes the connection.
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
    held: String,
    /// `READ?` waits for its answer.
    is_read: bool,
}

impl Answers for Listener {
    fn begin(&mut self) {
        self.held.clear();
        self.is_read = false;
    }

    fn hear(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut state = locked(&self.state);
        self.held.push_str(&String::from_utf8_lossy(bytes));
        let mut all = Vec::new();
        while let Some(end) = self.held.find('\n') {
            let question: String = self.held.drain(..=end).collect();
            let question = question.trim();
            state.asked.push(question.to_owned());
            if state.is_silent {
                continue;
            }
            if question == "READ?" {
                self.is_read = true;
            } else {
                all.extend(state.answer(question));
            }
        }
        if self.is_read
            && !state.is_silent
            && let Some(value) = state.waiting.pop_front()
        {
            self.is_read = false;
            all.extend(state.form.write(value));
            all.push(b'\n');
        }
        all
    }
}

impl State {
    fn answer(&mut self, question: &str) -> Vec<u8> {
        let answer = match question {
            "*IDN?" => self.identity.clone().into_bytes(),
            "SYST:ERR?" => {
                let error = self.errors.pop_front();
                error
                    .unwrap_or_else(|| "0,\"No error\"".to_owned())
                    .into_bytes()
            }
            "FETC?" => {
                let value = self
                    .last
                    .map_or_else(|| b"9.91E37".to_vec(), |value| self.form.write(value));
                [format!("{},", self.count).as_bytes(), &value].concat()
            }
            _ => {
                self.errors
                    .push_back("-113,\"Undefined header\"".to_owned());
                return Vec::new();
            }
        };
        [answer.as_slice(), b"\n"].concat()
    }
}

impl Form {
    fn write(self, value: f32) -> Vec<u8> {
        match self {
            Self::Exponent => exponent(value).into_bytes(),
            Self::Block => [b"#14".as_slice(), &value.to_be_bytes()].concat(),
            Self::BlockLittle => [b"#14".as_slice(), &value.to_le_bytes()].concat(),
        }
    }
}

/// `+5.080E+00`: as many digits as tell one binary fraction from another.
fn exponent(value: f32) -> String {
    let text = format!("{value:+e}");
    let (mantissa, power) = text.split_once('e').unwrap_or((&text, "0"));
    let power: i32 = power.parse().unwrap_or_default();
    format!("{mantissa}E{power:+03}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_answers_when_somebody_has_measured() {
        let (state, mut listener) = fresh("TARN INSTRUMENTS,BT-10,0042,1.3");
        assert_eq!(
            listener.hear(b"*IDN?\nREA"),
            b"TARN INSTRUMENTS,BT-10,0042,1.3\n"
        );
        assert_eq!(listener.hear(b"D?\n"), b"");
        locked(&state).waiting.push_back(5.08);
        assert_eq!(listener.hear(b""), b"+5.08E+00\n");
        assert_eq!(listener.hear(b"FETCH\n"), b"");
        assert_eq!(
            listener.hear(b"SYST:ERR?\nSYST:ERR?\n"),
            b"-113,\"Undefined header\"\n0,\"No error\"\n"
        );
        assert_eq!(exponent(-1177.2), "-1.1772E+03");
        assert_eq!(Form::Block.write(5.0), b"#14\x40\xA0\x00\x00");
    }
}
