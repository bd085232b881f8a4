//! Reaching the loop from elsewhere.

use super::{Heart, LiveValues, Message, Published};
use crate::core::Refusal;
use crate::core::acts::Picture;
use crate::core::people::{HouseAct, PinGiven};
use crate::edge::access::Access;
use crate::edge::shelf::Shelf;
use crate::edge::store::Projections;
use crate::shop::Shop;
use pullmark_schema::api::{Act, Done};
use std::path::Path;
use std::sync::Arc;
use tokio::sync::mpsc::UnboundedSender;
use tokio::sync::{broadcast, oneshot, watch};

/// A way to reach the loop from anywhere.
#[derive(Debug, Clone)]
pub struct Handle {
    /// Where messages go.
    pub messages: UnboundedSender<Message>,
    /// Where entries are heard.
    pub published: broadcast::Sender<Arc<Published>>,
    /// Where parts of the daemon itself hear of entries: after those who show them, and once the bench has them.
    pub followed: broadcast::Sender<Arc<Published>>,
    /// Where it is seen what tools show during a pull.
    pub live: watch::Sender<LiveValues>,
    /// The data folder.
    pub folder: Arc<Path>,
    /// The shop's plans and templates.
    pub shelf: Arc<Shelf>,
    /// The runtime of the loop's thread: who is told of entries is best served there.
    pub runtime: tokio::runtime::Handle,
    /// PINs, devices and what guards them.
    pub access: Arc<Access>,
    /// What the shop has chosen for its bench pages.
    pub shop: Arc<Shop>,
}

/// The loop has ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the daemon is going down; ask again when it is back")]
pub struct Gone;

impl Handle {
    /// Asks for an act and waits until it is on disk, or refused.
    pub async fn act(&self, act: Act) -> Result<Result<Done, Refusal>, Gone> {
        let (answer, answered) = oneshot::channel();
        self.messages
            .send(Message::Act(Box::new(act), answer))
            .map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }

    /// Asks for an act with a PIN that was right.
    pub async fn confirmed(
        &self,
        act: Act,
        given: PinGiven,
    ) -> Result<Result<Done, Refusal>, Gone> {
        let (answer, answered) = oneshot::channel();
        self.messages
            .send(Message::Confirmed(Box::new(act), given, answer))
            .map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }

    /// Asks for something about people or devices.
    pub async fn house(&self, act: HouseAct) -> Result<Result<Done, Refusal>, Gone> {
        let (answer, answered) = oneshot::channel();
        self.messages
            .send(Message::House(act, answer))
            .map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }

    /// Asks to note something with a photograph, and waits until it is on disk, or refused.
    pub async fn photo(&self, picture: Picture) -> Result<Result<Done, Refusal>, Gone> {
        let (answer, answered) = oneshot::channel();
        self.messages
            .send(Message::Photo(Box::new(picture), answer))
            .map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }

    /// Asks the tables.
    pub async fn query<T: Send + 'static>(
        &self,
        query: impl FnOnce(&Projections) -> T + Send + 'static,
    ) -> Result<T, Gone> {
        let (answer, answered) = oneshot::channel();
        let query = Box::new(move |tables: &Projections| {
            // Whoever asked may have gone away.
            let _ = answer.send(query(tables));
        });
        self.messages
            .send(Message::Query(query))
            .map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }

    /// Looks at the bench.
    pub async fn look<T: Send + 'static>(
        &self,
        look: impl FnOnce(&Heart) -> T + Send + 'static,
    ) -> Result<T, Gone> {
        let (answer, answered) = oneshot::channel();
        let look = Box::new(move |heart: &Heart| {
            // Whoever asked may have gone away.
            let _ = answer.send(look(heart));
        });
        self.messages.send(Message::Look(look)).map_err(|_| Gone)?;
        answered.await.map_err(|_| Gone)
    }
}
