//! What the loop can be told.

use super::{Heart, Refusal};
use crate::core::Input;
use crate::core::acts::Picture;
use crate::core::people::{HouseAct, PinGiven};
use crate::edge::store::Projections;
use crate::intake::seen::Seen;
use pullmark_schema::api::{Act, Done};
use tokio::sync::oneshot;

/// What the loop is told.
pub enum Message {
    /// A tool or its port did something.
    Tool(Input),
    /// What a tool shows during a pull, for the eye alone; nothing once the pull is over.
    Live(String, Option<Seen>),
    /// A person asks for something.
    Act(Box<Act>, oneshot::Sender<Result<Done, Refusal>>),
    /// The same with a PIN that was right.
    Confirmed(Box<Act>, PinGiven, oneshot::Sender<Result<Done, Refusal>>),
    /// Something about people or devices, whose secret is in order.
    House(HouseAct, oneshot::Sender<Result<Done, Refusal>>),
    /// A person notes something with a photograph.
    Photo(Box<Picture>, oneshot::Sender<Result<Done, Refusal>>),
    /// Somebody wants to look at the bench.
    Look(Box<dyn FnOnce(&Heart) + Send>),
    /// Somebody wants to ask the tables.
    Query(Box<dyn FnOnce(&Projections) + Send>),
    /// The daemon is going down.
    Stop,
}

impl std::fmt::Debug for Message {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Tool(_) => "Tool",
            Self::Live(..) => "Live",
            Self::Act(..) => "Act",
            Self::Confirmed(..) => "Confirmed",
            Self::House(..) => "House",
            Self::Photo(..) => "Photo",
            Self::Look(_) => "Look",
            Self::Query(_) => "Query",
            Self::Stop => "Stop",
        })
    }
}
