//! Tells systemd that the daemon is ready, alive, or stopping. Without systemd it does nothing.

use sd_notify::NotifyState;
use std::time::Duration;

/// The service is up.
pub fn ready() {
    tell(&[NotifyState::Ready]);
}

/// The service is going down.
pub fn stopping() {
    tell(&[NotifyState::Stopping]);
}

/// The service is alive.
pub fn alive() {
    tell(&[NotifyState::Watchdog]);
}

/// How often systemd wants to hear that the service is alive: half of what it was set to.
pub fn watchdog_interval() -> Option<Duration> {
    sd_notify::watchdog_enabled().map(|limit| limit / 2)
}

fn tell(states: &[NotifyState<'_>]) {
    if let Err(error) = sd_notify::notify(states) {
        tracing::debug!(%error, "systemd was not told");
    }
}
