//! A desktop that takes notifications (Desktop Notifications Specification 1.2), on a message bus of its own.

use crate::bluez::{BluezError, Bus};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use zbus::OwnedVariant;

/// A notification that stands on the desktop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// Its number.
    pub id: u32,
    /// The program that sent it.
    pub app: String,
    /// The name of its icon.
    pub icon: String,
    /// What can be pressed on it.
    pub actions: Vec<String>,
    /// Its first line.
    pub summary: String,
    /// The rest.
    pub body: String,
    /// How urgent: 0 to 2.
    pub urgency: Option<u8>,
    /// After how many milliseconds it goes away; 0 is never.
    pub expires: i32,
}

#[derive(Debug, Default)]
struct Shown {
    last: u32,
    notices: Vec<Notice>,
}

struct Notifications(Arc<Mutex<Shown>>);

#[zbus::interface(name = "org.freedesktop.Notifications")]
impl Notifications {
    #[expect(clippy::too_many_arguments, reason = "the specification has as many")]
    fn notify(
        &self,
        app: String,
        replaces: u32,
        icon: String,
        summary: String,
        body: String,
        actions: Vec<String>,
        hints: HashMap<String, OwnedVariant>,
        expires: i32,
    ) -> u32 {
        let mut shown = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let id = if replaces == 0 {
            shown.last += 1;
            shown.last
        } else {
            shown.notices.retain(|notice| notice.id != replaces);
            replaces
        };
        let urgency = hints
            .into_iter()
            .find(|(name, _)| name == "urgency")
            .and_then(|(_, value)| u8::try_from(value).ok());
        shown.notices.push(Notice {
            id,
            app,
            icon,
            actions,
            summary,
            body,
            urgency,
            expires,
        });
        id
    }

    fn close_notification(&self, id: u32) {
        let mut shown = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        shown.notices.retain(|notice| notice.id != id);
    }
}

/// A desktop. Dropping it takes it off the bus.
#[derive(Debug)]
pub struct Desktop {
    shown: Arc<Mutex<Shown>>,
    _connection: zbus::Connection,
    _runtime: tokio::runtime::Runtime,
}

impl Desktop {
    /// On a bus.
    pub fn start(bus: &Bus) -> Result<Self, BluezError> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .enable_all()
            .build()
            .map_err(BluezError::Bus)?;
        let shown = Arc::new(Mutex::new(Shown::default()));
        let notifications = Notifications(Arc::clone(&shown));
        let connection = runtime.block_on(async {
            zbus::connection::Builder::address(bus.address())
                .serve_at("/org/freedesktop/Notifications", notifications)
                .name("org.freedesktop.Notifications")
                .build()
                .await
        })?;
        Ok(Self {
            shown,
            _connection: connection,
            _runtime: runtime,
        })
    }

    /// What stands on it now.
    pub fn notices(&self) -> Vec<Notice> {
        let shown = self.shown.lock().unwrap_or_else(PoisonError::into_inner);
        shown.notices.clone()
    }
}
