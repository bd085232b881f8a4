//! Whether an instrument that is asked over and over answers: told when it stops, in words, and when it goes on.
//!
//! One answer that fails is kept, and asked for again; only several in a row mean that the instrument is gone.

use super::dialect::Line;

/// So many faults in a row mean that it is gone, and so many good answers that it is back.
const FEW: u32 = 3;
/// Bytes of an answer that fails are kept at most this often: it is asked many times a second.
const KEEP_EVERY_US: u64 = 10_000_000;

/// What an instrument says about itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Identity {
    /// Its serial number.
    pub serial: Option<String>,
    /// Maker, model and firmware.
    pub what: Option<String>,
}

/// What comes out of asking.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Told {
    /// A value, or why there is none.
    Line(Line),
    /// It does not answer as it should, and what to do.
    Gone(String),
    /// It answers.
    Back,
    /// It says who it is.
    Identity(Identity),
}

/// Follows how well an instrument answers.
#[derive(Debug, Default)]
pub(super) struct Watch {
    state: State,
    faults: u32,
    goods: u32,
    keep_next: u64,
}

#[derive(Debug, Default, PartialEq, Eq, Clone, Copy)]
enum State {
    #[default]
    Unknown,
    Here,
    Gone,
}

impl Watch {
    /// It answered as it should. Whether that is news.
    pub(super) fn good(&mut self) -> bool {
        self.faults = 0;
        self.goods = self.goods.saturating_add(1);
        let is_news = match self.state {
            State::Unknown => true,
            State::Here => false,
            State::Gone => self.goods >= FEW,
        };
        if is_news {
            self.state = State::Here;
        }
        is_news
    }

    /// It has given something new. Whether it is news that it is there.
    pub(super) fn gives(&mut self) -> bool {
        self.faults = 0;
        std::mem::replace(&mut self.state, State::Here) != State::Here
    }

    /// It did not. Whether that is news.
    pub(super) fn fault(&mut self) -> bool {
        self.goods = 0;
        self.faults = self.faults.saturating_add(1);
        let is_news = self.faults >= FEW && self.state != State::Gone;
        if is_news {
            self.state = State::Gone;
        }
        is_news
    }

    /// It says that something is wrong; there is nothing to wait for. Whether that is news.
    pub(super) fn complains(&mut self) -> bool {
        self.faults = FEW;
        self.fault()
    }

    /// Whether bytes that fail are kept now.
    pub(super) fn keeps(&mut self, at: u64) -> bool {
        let is_due = at >= self.keep_next;
        if is_due {
            self.keep_next = at.saturating_add(KEEP_EVERY_US);
        }
        is_due
    }

    /// The port was opened anew.
    pub(super) const fn reopen(&mut self) {
        self.state = State::Unknown;
        self.faults = 0;
        self.goods = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_bad_answer_is_not_told_and_three_are_once() {
        let mut watch = Watch::default();
        assert!(watch.good());
        assert!(!watch.good());
        let faults = [watch.fault(), watch.fault(), watch.fault(), watch.fault()];
        assert_eq!(faults, [false, false, true, false]);
        assert_eq!(
            [watch.good(), watch.good(), watch.good(), watch.good()],
            [false, false, true, false]
        );
        assert!(watch.keeps(0) && !watch.keeps(9_999_999) && watch.keeps(10_000_000));
        watch.reopen();
        assert!(watch.good());
        assert!(watch.complains() && watch.gives() && !watch.gives() && !watch.good());
    }
}
