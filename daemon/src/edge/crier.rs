//! The over alarm where no bench page is open: the bell of the daemon's terminal, and a notification on the desktop
//! (Desktop Notifications Specification 1.2, over D-Bus). Both go on until the alarm is acknowledged; neither can do that.

use crate::core::build_view;
use crate::run::Handle;
use dbus::arg::{PropMap, RefArg, Variant};
use dbus::blocking::Connection;
use pullmark_schema::api::BuildView;
use pullmark_schema::build::Build;
use pullmark_schema::quantity::Torque;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{IsTerminal as _, Write as _};
use std::time::Duration;
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::watch;

/// How often the bell rings while an alarm waits, and a page that was closed is noticed.
const AGAIN: Duration = Duration::from_secs(2);
/// A desktop that does not answer is not waited for.
const PATIENCE: Duration = Duration::from_secs(2);
const NAME: &str = "org.freedesktop.Notifications";
const PATH: &str = "/org/freedesktop/Notifications";
/// The urgency that a desktop does not let vanish by itself.
const CRITICAL: u8 = 2;

/// What is used.
#[derive(Debug, Clone, Copy, Default)]
pub struct Means {
    /// The bell of the terminal that the daemon was started in.
    pub bell: bool,
    /// Notifications on the desktop of who started it.
    pub desktop: bool,
}

/// An alarm that nobody has acknowledged, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Cry {
    title: String,
    text: String,
}

/// Calls out alarms until the daemon ends.
pub async fn cry(handle: Handle, means: Means, mut stopped: watch::Receiver<bool>) {
    let bell = means.bell && std::io::stderr().is_terminal();
    if !bell && !means.desktop {
        return;
    }
    let mut entries = handle.followed.subscribe();
    let mut desktop = means.desktop.then(Desktop::default);
    loop {
        // An open page shows it and sounds; whoever looks at one is listening to what tools show.
        let is_seen = handle.live.receiver_count() > 0;
        let open = if is_seen {
            BTreeMap::new()
        } else {
            let Ok(open) = open_alarms(&handle).await else {
                return;
            };
            open
        };
        if bell && !open.is_empty() {
            ring();
        }
        let is_waiting = !open.is_empty() || (is_seen && desktop.is_some());
        if let Some(known) = desktop.take() {
            desktop = tokio::task::spawn_blocking(move || known.show(open))
                .await
                .ok();
        }
        tokio::select! {
            entry = entries.recv() => if matches!(entry, Err(RecvError::Closed)) { return },
            () = tokio::time::sleep(AGAIN), if is_waiting => {}
            _ = stopped.wait_for(|stopped| *stopped) => return,
        }
    }
}

fn ring() {
    // Where nobody sees the terminal, nobody hears it.
    let _ = std::io::stderr().write_all(b"\x07");
}

async fn open_alarms(handle: &Handle) -> Result<BTreeMap<u64, Cry>, crate::run::Gone> {
    let look = handle.look(|heart| {
        let open = heart
            .bench
            .builds
            .values()
            .filter(|build| build.finished.is_none());
        let is_over_now = |id: &str| heart.bench.over_now(id).next().is_some();
        let is_open = |build: &&Build| {
            build.open_alarms().next().is_some()
                || build.checks.open_alarms().next().is_some()
                || is_over_now(&build.id)
        };
        open.filter(is_open)
            .map(|build| build_view(&heart.bench, build))
            .collect::<Vec<_>>()
    });
    let builds = look.await?;
    let mut cries: BTreeMap<u64, Cry> = BTreeMap::new();
    let each = builds.iter().flat_map(cries_of);
    // One entry that changed the plan may have raised several; they are called out as one.
    for (sequence, cry) in each {
        cries
            .entry(sequence)
            .and_modify(|known| {
                known.title = format!("{}, {}", known.title, cry.title);
                known.text = format!("{}\n{}", known.text, cry.text);
            })
            .or_insert(cry);
    }
    Ok(cries)
}

fn cries_of(build: &BuildView) -> Vec<(u64, Cry)> {
    let bike = build.bike.label.as_ref().unwrap_or(&build.bike.frame);
    let cry = |title: &str, shown: Option<&str>, upper: &str| Cry {
        title: format!("OVER: {title}"),
        text: format!(
            "{}, the limit is {upper}. {bike}. Acknowledge it on the bench page.",
            shown.unwrap_or("more than the tool can show")
        ),
    };
    let torques = build.alarms.iter().map(|alarm| {
        let upper = Torque::from_small_units(alarm.upper_millinewton_metre).to_string();
        let cry = cry(&alarm.title, alarm.displayed.as_deref(), &upper);
        (alarm.sequence, cry)
    });
    let checks = build.check_alarms.iter().map(|alarm| {
        let shown = alarm.displayed.as_deref();
        let cry = cry(&alarm.title, shown, &alarm.upper_text);
        (alarm.sequence, cry)
    });
    torques.chain(checks).collect()
}

/// What stands on the desktop: the notification of each alarm.
#[derive(Debug, Default)]
struct Desktop {
    shown: BTreeMap<u64, u32>,
    /// What was said about why there is none; the same is not said twice.
    said: Option<String>,
}

impl Desktop {
    /// Shows what is open and takes away what is not.
    fn show(mut self, open: BTreeMap<u64, Cry>) -> Self {
        let known: BTreeSet<u64> = self.shown.keys().copied().collect();
        let is_as_shown =
            open.keys().all(|alarm| known.contains(alarm)) && known.len() == open.len();
        if is_as_shown {
            return self;
        }
        if let Err(error) = self.change(open) {
            let why = error.to_string();
            if self.said.as_ref() != Some(&why) {
                tracing::warn!(why, "the desktop is not told of the over alarm");
                self.said = Some(why);
            }
        }
        self
    }

    fn change(&mut self, open: BTreeMap<u64, Cry>) -> Result<(), dbus::Error> {
        let connection = Connection::new_session()?;
        let desktop = connection.with_proxy(NAME, PATH, PATIENCE);
        let gone: Vec<u64> = self
            .shown
            .keys()
            .filter(|alarm| !open.contains_key(alarm))
            .copied()
            .collect();
        for alarm in gone {
            if let Some(id) = self.shown.remove(&alarm) {
                // Somebody may have closed it by hand.
                let _: Result<(), _> = desktop.method_call(NAME, "CloseNotification", (id,));
            }
        }
        for (alarm, cry) in open {
            if self.shown.contains_key(&alarm) {
                continue;
            }
            let (id,): (u32,) = desktop.method_call(
                NAME,
                "Notify",
                (
                    "Pullmark",
                    0_u32,
                    "dialog-warning",
                    cry.title,
                    plain(&cry.text),
                    Vec::<String>::new(),
                    hints(),
                    0_i32, // it does not go away by itself
                ),
            )?;
            self.shown.insert(alarm, id);
            self.said = None;
        }
        Ok(())
    }
}

fn hints() -> PropMap {
    let urgency: Variant<Box<dyn RefArg>> = Variant(Box::new(CRITICAL));
    [("urgency".to_owned(), urgency)].into_iter().collect()
}

/// The text of a notification may be read as markup.
fn plain(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn a_title_cannot_become_markup() {
        assert_eq!(plain("<b>A & B</b>"), "&lt;b&gt;A &amp; B&lt;/b&gt;");
    }
}
