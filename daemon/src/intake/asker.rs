//! What instruments that are asked have in common, whichever language they speak.

use super::dialect::{Dialect, Reader};
use super::modbus::Poller;
use super::scpi::Talker;
use super::watch::Told;
use std::sync::Arc;

/// Asks an instrument.
#[derive(Debug)]
pub(super) enum Asker {
    /// For registers.
    Registers(Box<Poller>),
    /// With questions.
    Queries(Box<Talker>),
}

macro_rules! both {
    ($self:ident, $asker:ident => $what:expr) => {
        match $self {
            Self::Registers($asker) => $what,
            Self::Queries($asker) => $what,
        }
    };
}

impl Asker {
    pub(super) fn new(dialect: &Dialect) -> Option<Self> {
        match dialect.reader() {
            Reader::Registers(registers) => Some(Self::Registers(Box::new(Poller::new(
                dialect.clone(),
                Arc::clone(registers),
            )))),
            Reader::Queries(queries) => Some(Self::Queries(Box::new(Talker::new(
                dialect.clone(),
                Arc::clone(queries),
            )))),
            _ => None,
        }
    }

    pub(super) fn reopen(&mut self, at: u64) {
        both!(self, asker => asker.reopen(at));
    }

    pub(super) fn due(&self) -> u64 {
        both!(self, asker => asker.due())
    }

    pub(super) fn tick(&mut self, at: u64, out: impl FnMut(&[u8], Told)) {
        both!(self, asker => asker.tick(at, out));
    }

    pub(super) fn feed(&mut self, bytes: &[u8], at: u64, out: impl FnMut(&[u8], Told)) {
        both!(self, asker => asker.feed(bytes, at, out));
    }

    pub(super) fn take_send(&mut self) -> Option<Vec<u8>> {
        both!(self, asker => asker.take_send())
    }

    pub(super) fn partial(&mut self) -> Option<Vec<u8>> {
        both!(self, asker => asker.partial())
    }
}
