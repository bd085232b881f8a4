//! From where a request comes. The guard at each door says so; a request that no guard has seen is answered nothing.

use super::{Answer, problem};
use axum::http::StatusCode;

/// From where a request comes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Caller {
    /// The command line, over the socket that only its owner can use.
    Prompt,
    /// The page on loopback.
    Bench,
    /// A paired device on the network.
    Device(String),
}

impl Caller {
    /// Whose tries at PINs are counted together.
    pub(super) fn key(&self) -> &str {
        match self {
            Self::Prompt | Self::Bench => "bench",
            Self::Device(id) => id,
        }
    }

    /// The device, where it is one.
    pub(super) fn device(&self) -> Option<String> {
        match self {
            Self::Prompt | Self::Bench => None,
            Self::Device(id) => Some(id.clone()),
        }
    }

    /// From where, in the log.
    pub(super) fn named(&self) -> &str {
        match self {
            Self::Prompt | Self::Bench => "at the bench",
            Self::Device(id) => id,
        }
    }

    /// Whether it is on the bench's own machine; the answer to others. The log says that they tried, and `what`.
    pub(super) fn at_the_bench(&self, what: &'static str) -> Answer<()> {
        match self {
            Self::Prompt | Self::Bench => Ok(()),
            Self::Device(device) => {
                tracing::warn!(
                    device,
                    what,
                    "refused what is done on the bench's own machine alone"
                );
                let detail = "this is done on the bench's own machine: its page there, or `pullmark` at a prompt";
                Err(problem(StatusCode::FORBIDDEN, "access/bench-only", detail).into())
            }
        }
    }

    /// Whether it is the user that the daemon runs as: only they can open the socket. Loopback says no more than that it is
    /// somebody with an account on this machine.
    pub(super) const fn is_prompt(&self) -> bool {
        matches!(self, Self::Prompt)
    }
}
