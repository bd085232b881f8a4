//! The thread that the loop has for itself, and how it shares it with those who read tools and serve listeners.

use super::{Handle, Heart, Message, RunError, Settings};
use crate::edge::access::Access;
use crate::edge::shelf::Shelf;
use crate::edge::store::StoreError;
use std::path::PathBuf;
use std::sync::Arc;
use std::task::Poll;
use tokio::runtime::Runtime;
use tokio::sync::mpsc::{UnboundedReceiver, unbounded_channel};

/// Opens a bench and starts its thread.
pub fn start(
    settings: Settings,
) -> Result<(Handle, std::thread::JoinHandle<Result<(), RunError>>), RunError> {
    let clock = settings.clock.clone();
    let heart = Heart::open(settings)?;
    let access = Access::open(heart.folder(), clock, &heart.bench.people)?;
    let no_thread = |error| StoreError::Folder {
        path: PathBuf::new(),
        error,
    };
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(no_thread)?;
    let (messages, receiver) = unbounded_channel();
    let handle = Handle {
        messages,
        published: heart.publisher(),
        followed: heart.followed.clone(),
        live: heart.live.clone(),
        folder: Arc::from(heart.folder()),
        shelf: Arc::new(Shelf::new(heart.folder().join("plans"), None)),
        runtime: runtime.handle().clone(),
        access: Arc::new(access),
        shop: Arc::default(),
    };
    let thread = std::thread::Builder::new()
        .name("ledger".to_owned())
        .spawn(move || loop_of(&runtime, heart, receiver))
        .map_err(no_thread)?;
    Ok((handle, thread))
}

/// The loop is a task like those that it works with: what one of them sends it is taken up at once, where the runtime's own
/// future would first be woken through the kernel.
fn loop_of(
    runtime: &Runtime,
    heart: Heart,
    messages: UnboundedReceiver<Message>,
) -> Result<(), RunError> {
    match runtime.block_on(runtime.spawn(heart.run(messages))) {
        Ok(ended) => ended,
        Err(failed) => match failed.try_into_panic() {
            Ok(panic) => std::panic::resume_unwind(panic),
            // Nobody cancels it.
            Err(_) => Ok(()),
        },
    }
}

/// Lets those go first who were just woken, and goes on before the runtime looks what else there is.
pub(super) async fn behind_others() {
    let mut is_behind = false;
    std::future::poll_fn(|context| {
        if std::mem::replace(&mut is_behind, true) {
            return Poll::Ready(());
        }
        context.waker().wake_by_ref();
        Poll::Pending
    })
    .await;
}
