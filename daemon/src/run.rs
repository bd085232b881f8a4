//! The loop between deciding and doing: event in, decision, ledger first, then everybody hears of it.
//!
//! One thread owns the bench and the ledger's writer. Tools are read and listeners are told on the same thread, so that
//! between a tool's last byte and a listener's news no other thread has to wake up. What exists after each step:
//! 1. decided: nothing yet;
//! 2. appended: the entries are on disk, all or none;
//! 3. published: listeners hear of them;
//! 4. applied: the bench in memory has them, the daemon's own parts hear of them, and whoever asked gets an answer;
//! 5. projected: the tables for queries have them. A crash before this is made good at the next start.
//!
//! If step 2 fails it is not known what is on disk, so the thread ends and with it the daemon; the next start reads
//! the ledger anew, and nothing that was acknowledged is missing.

mod handle;
mod log;
mod message;
mod signing;
mod thread;

pub use handle::{Gone, Handle};
pub use message::Message;
pub use signing::{KeyChange, Recovery, change_key};
pub use thread::start;

use crate::core::acts::{Picture, decide_act, photo};
use crate::core::history::said;
use crate::core::people::{PinGiven, admit, admit_name, confirm, decide_house};
use crate::core::place::habits::Habits;
use crate::core::recall::{Asked, recall, tool_of};
use crate::core::{Bench, Decided, Input, Refusal, decide, live_value};
use crate::edge::access::AccessError;
use crate::edge::clock::Clock;
use crate::edge::keys::{self, KeyError, Wanted};
use crate::edge::store::{Ledger, Lock, Prepared, Projections, Reader, StoreError, rebuild};
use crate::intake::seen::Seen;
use log::log;
use pullmark_schema::SigningKey;
use pullmark_schema::api::{Act, Done, LiveValue};
use pullmark_schema::canonical::{self, Digest32};
use pullmark_schema::entry::{ENTRY_VERSION, Entry, Event, Now, to_text};
use pullmark_schema::multikey::DidKey;
use pullmark_schema::plan::{self, Plan};
use pullmark_schema::tree::leaf_hash;
use std::collections::{BTreeMap, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::mpsc::UnboundedReceiver;
use tokio::sync::{broadcast, oneshot, watch};

/// A wall clock that departs from the time since boot by more than this was moved.
const CLOCK_SLACK_MS: i64 = 2_000;
/// How many entries a listener may lag behind before it is dropped; it resumes by sequence number.
const LISTENER_LAG: usize = 4_096;
/// The tables for queries are written when nothing was to be done for this long, or so many entries wait for it.
const IDLE: Duration = Duration::from_millis(50);
const UNPROJECTED_MOST: usize = 1_000;
/// Where nothing happens, it is looked so often whether the daily head is due.
const LOOK_FOR_HEAD: Duration = Duration::from_mins(15);

/// An entry that is on disk.
#[derive(Debug)]
pub struct Published {
    /// Its sequence number.
    pub sequence: u64,
    /// The word of its kind.
    pub kind: &'static str,
    /// Its canonical JSON.
    pub body: Vec<u8>,
}

/// What tools show during a pull, the oldest first: the newest few, so that it does not grow for a listener that is slow.
pub type LiveValues = VecDeque<LiveValue>;
/// About half a second of one tool.
const LIVE_MOST: usize = 32;

/// An entry that is on disk and not in the bench yet.
struct Written {
    entry: Entry,
    published: Arc<Published>,
    plan: Option<Plan>,
}

/// Why the daemon cannot start, or had to end.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The key.
    #[error(transparent)]
    Key(#[from] KeyError),
    /// An entry cannot be written in canonical form; it is a fault of this program.
    #[error("an entry cannot be written: {0}. This is a fault of the program; please report it")]
    Canonical(#[from] canonical::CanonicalError),
    /// What is kept about PINs and devices.
    #[error(transparent)]
    Access(#[from] AccessError),
    /// A key cannot be changed, or a head cannot be signed.
    #[error("{0}")]
    Signing(String),
}

/// How a bench is opened.
#[derive(Debug, Clone)]
pub struct Settings {
    /// The data folder.
    pub folder: PathBuf,
    /// The bench's name.
    pub bench: String,
    /// Where time comes from.
    pub clock: Clock,
    /// What the shop has set for the placing.
    pub habits: Habits,
}

/// The bench, its ledger and its key: all that the one thread owns.
#[derive(Debug)]
pub struct Heart {
    /// The state.
    pub bench: Bench,
    /// The bench's name.
    pub name: String,
    folder: PathBuf,
    ledger: Ledger,
    projections: Projections,
    /// Entries that are on disk and not in the tables yet.
    unprojected: Vec<Entry>,
    clock: Clock,
    key: SigningKey,
    last_now: Option<Now>,
    published: broadcast::Sender<Arc<Published>>,
    followed: broadcast::Sender<Arc<Published>>,
    live: watch::Sender<LiveValues>,
    _lock: Lock,
}

/// The plan that a `build-started` or `plan-changed` entry pins, read from the bytes kept beside it.
pub(crate) fn plan_of(reader: &Reader, entry: &Entry) -> Result<Option<Plan>, StoreError> {
    let Some(pin) = entry.event.plan() else {
        return Ok(None);
    };
    let bytes = reader.attached(entry.sequence)?.unwrap_or_default();
    let plan = plan::read_pinned(&String::from_utf8_lossy(&bytes))
        .plan
        .filter(|plan| plan.sha256 == pin.sha256);
    plan.map(Some).ok_or_else(|| StoreError::Damaged {
        sequence: entry.sequence,
        what: "the plan that it names is missing or was changed".to_owned(),
    })
}

fn open_tables(folder: &Path) -> Result<(Projections, u64), StoreError> {
    let tables = Projections::open(folder)?;
    let next = tables.next_sequence()?;
    Ok((tables, next))
}

impl Heart {
    /// Opens a bench: takes the folder, checks and folds the ledger, catches the tables up, says that it started.
    pub fn open(settings: Settings) -> Result<Self, RunError> {
        let mut heart = Self::open_with(settings, |folder, bench| {
            let next = bench.links.last().map(|(_, link)| link.next);
            let wanted = bench.present_key().map(|key| Wanted { key, next });
            Ok(keys::open(folder, wanted)?)
        })?;
        let is_new = heart.ledger.size() == 0;
        heart.say_started()?;
        heart.begin_history(is_new)?;
        heart.sign_what_is_due()?;
        Ok(heart)
    }

    /// The same with a key from elsewhere; nothing is said yet.
    fn open_with(
        settings: Settings,
        key: impl FnOnce(&Path, &Bench) -> Result<SigningKey, RunError>,
    ) -> Result<Self, RunError> {
        let folder = settings.folder;
        let lock = Lock::take(&folder)?;
        let mut tables = None;
        let mut unprojected = Vec::new();
        let mut bench = Bench::new(settings.habits);
        let reader = std::cell::OnceCell::new();
        let ledger = Ledger::open(&folder, |stored| {
            if reader.get().is_none() {
                let _ = reader.set(Reader::open(&folder)?);
            }
            let plan = reader
                .get()
                .map_or(Ok(None), |reader| plan_of(reader, &stored.entry))?;
            bench.apply(&stored.entry, plan.as_ref());
            // Only now is the ledger known to be ours, and the tables beside it may be made anew.
            if tables.is_none() {
                tables = Some(open_tables(&folder)?);
            }
            if tables
                .as_ref()
                .is_some_and(|(_, next)| stored.entry.sequence >= *next)
            {
                unprojected.push(stored.entry);
            }
            if unprojected.len() >= UNPROJECTED_MOST
                && let Some((tables, _)) = &mut tables
            {
                tables.apply(&unprojected, &bench)?;
                unprojected.clear();
            }
            Ok(())
        })?;
        let (mut projections, projected) = tables.map_or_else(|| open_tables(&folder), Ok)?;
        if projected > ledger.size() {
            // The ledger is a backup that was put back; the tables are ahead of it.
            drop(projections);
            rebuild(&folder)?;
            projections = Projections::open(&folder)?;
        }
        projections.apply(&unprojected, &bench)?;
        unprojected.clear();
        let key = key(&folder, &bench)?;
        let (published, _) = broadcast::channel(LISTENER_LAG);
        let (followed, _) = broadcast::channel(LISTENER_LAG);
        let clock = settings.clock;
        let name = settings.bench;
        // A clock that was moved while no daemon ran shows too, as long as the machine was not started anew. A practice
        // clock begins anew each time.
        let is_same_boot = bench.boot == clock.boot() && clock.practice_speed().is_none();
        let last_now = bench.last_now.filter(|_| is_same_boot && !bench.practice);
        Ok(Self {
            bench,
            name,
            folder,
            ledger,
            projections,
            unprojected,
            clock,
            key,
            last_now,
            published,
            followed,
            live: watch::Sender::default(),
            _lock: lock,
        })
    }

    fn say_started(&mut self) -> Result<(), RunError> {
        let event = Event::Started {
            program: format!("pullmark {}", env!("CARGO_PKG_VERSION")),
            key: DidKey::of(&self.key).multikey(),
            boot: self.clock.boot().to_owned(),
            practice_speed: self.clock.practice_speed(),
        };
        let now = self.tick()?;
        self.commit(vec![event.into()], now)?;
        self.project()
    }

    /// Where new entries can be heard.
    pub fn listen(&self) -> broadcast::Receiver<Arc<Published>> {
        self.published.subscribe()
    }

    /// The sender of what is heard, for making more listeners.
    pub fn publisher(&self) -> broadcast::Sender<Arc<Published>> {
        self.published.clone()
    }

    /// The data folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// How many entries there are, and their root.
    pub fn head(&self) -> (u64, Digest32) {
        (self.ledger.size(), self.ledger.root())
    }

    /// What both clocks say.
    pub fn now(&self) -> Now {
        self.clock.now()
    }

    /// The public key.
    pub fn key(&self) -> DidKey {
        DidKey::of(&self.key)
    }

    /// Works until it is told to stop or the ledger can no longer be trusted. The tables for queries are written when
    /// nothing else is to be done, or before somebody asks them.
    pub async fn run(mut self, mut messages: UnboundedReceiver<Message>) -> Result<(), RunError> {
        loop {
            let message = if self.unprojected.is_empty() {
                let Ok(message) = tokio::time::timeout(LOOK_FOR_HEAD, messages.recv()).await else {
                    self.sign_what_is_due()?;
                    continue;
                };
                message
            } else {
                let Ok(message) = tokio::time::timeout(IDLE, messages.recv()).await else {
                    self.project()?;
                    continue;
                };
                message
            };
            match message {
                None | Some(Message::Stop) => return self.project(),
                Some(Message::Look(look)) => look(&self),
                Some(Message::Query(query)) => {
                    self.project()?;
                    query(&self.projections);
                }
                Some(Message::Tool(input)) => self.tool(input).await?,
                Some(Message::Live(tool, seen)) => self.show(&tool, seen),
                Some(Message::Act(act, answer)) => self.act(*act, None, answer).await?,
                Some(Message::Confirmed(act, given, answer)) => {
                    self.act(*act, Some(given), answer).await?;
                }
                Some(Message::House(act, answer)) => {
                    let now = self.tick()?;
                    let decided = decide_house(&self.bench, act);
                    self.answer(decided, now, answer).await?;
                }
                Some(Message::Photo(mut picture, answer)) => {
                    let now = self.tick()?;
                    let by = std::mem::take(&mut picture.by);
                    let decided = admit_name(&self.bench, by)
                        .and_then(|by| photo(&self.bench, Picture { by, ..*picture }));
                    self.answer(decided, now, answer).await?;
                }
            }
            if self.unprojected.len() >= UNPROJECTED_MOST {
                self.project()?;
            }
        }
    }

    async fn tool(&mut self, input: Input) -> Result<(), RunError> {
        let now = self.tick()?;
        let decided = decide(&self.bench, input, now);
        self.commit_and_tell(decided, now).await?;
        self.sign_what_is_due()
    }

    /// Told to whoever looks, and kept nowhere.
    fn show(&self, tool: &str, seen: Option<Seen>) {
        if self.live.receiver_count() == 0 {
            return;
        }
        let mut value = live_value(&self.bench, tool, seen);
        self.live.send_modify(|values| {
            value.number = values.back().map_or(0, |newest| newest.number) + 1;
            values.push_back(value);
            if values.len() > LIVE_MOST {
                values.pop_front();
            }
        });
    }

    async fn act(
        &mut self,
        act: Act,
        given: Option<PinGiven>,
        answer: oneshot::Sender<Result<Done, Refusal>>,
    ) -> Result<(), RunError> {
        let now = self.tick()?;
        let mut decided = match admit(&self.bench, act, given.as_ref()) {
            Ok(act) => self.decide(act, now)?,
            Err(refusal) => Err(refusal),
        };
        if let Ok(decided) = &mut decided {
            confirm(decided, given.as_ref());
        }
        self.answer(decided, now, answer).await
    }

    fn decide(&mut self, act: Act, now: Now) -> Result<Result<Vec<Decided>, Refusal>, RunError> {
        Ok(match act {
            Act::Seal { build, by } => self.seal(&build, by, None, now),
            Act::Amend { build, by, reason } => self.seal(&build, by, Some(reason), now),
            Act::Recall {
                serial,
                format,
                text,
                head,
                drift,
                by,
            } => {
                // The tables are asked, so they have to be as far as the bench is.
                self.project()?;
                let asked = Asked {
                    serial,
                    format,
                    text,
                    head,
                    drift,
                    by,
                };
                self.recall(asked, now)
            }
            act => decide_act(&self.bench, act, now),
        })
    }

    /// Writes what was decided and says so, or why not.
    async fn answer(
        &mut self,
        decided: Result<Vec<Decided>, Refusal>,
        now: Now,
        answer: oneshot::Sender<Result<Done, Refusal>>,
    ) -> Result<(), RunError> {
        let decided = match decided {
            Ok(decided) => decided,
            Err(refusal) => {
                tracing::info!(code = refusal.code(), "refused");
                // Whoever asked may have gone away; then nobody wants the answer.
                let _ = answer.send(Err(refusal));
                return Ok(());
            }
        };
        let done = self.commit_and_tell(decided, now).await?;
        self.sign_what_is_due()?;
        let _ = answer.send(Ok(done));
        Ok(())
    }

    fn recall(&self, asked: Asked, now: Now) -> Result<Vec<Decided>, Refusal> {
        let tool = tool_of(&self.bench, &asked.serial)?;
        let readings = self
            .projections
            .judged(&tool.id)
            .map_err(|error| Refusal::Recall(error.to_string()))?;
        recall(&self.bench, asked, &readings, now)
    }

    /// Reads the clock; where it was moved, that becomes an entry of its own and nothing is corrected.
    fn tick(&mut self) -> Result<Now, RunError> {
        let now = self.clock.now();
        if let Some(by_ms) = self.last_now.and_then(|last| clock_moved(last, now)) {
            self.commit(vec![Event::ClockChanged { by_ms }.into()], now)?;
        }
        self.last_now = Some(now);
        Ok(now)
    }

    /// Steps 2 to 4. Between the last two, those who listen on this thread are told; nobody else gets at the bench.
    async fn commit_and_tell(&mut self, decided: Vec<Decided>, now: Now) -> Result<Done, RunError> {
        let written = self.write(decided, now)?;
        thread::behind_others().await;
        // What was just sent has woken a program that may wait for this very processor: it shows it first.
        std::thread::yield_now();
        Ok(self.take_in(written))
    }

    /// The same at once.
    fn commit(&mut self, decided: Vec<Decided>, now: Now) -> Result<Done, RunError> {
        let written = self.write(decided, now)?;
        Ok(self.take_in(written))
    }

    /// Steps 2 and 3.
    fn write(&mut self, decided: Vec<Decided>, now: Now) -> Result<Vec<Written>, RunError> {
        let mut entries = Vec::with_capacity(decided.len());
        let mut prepared = Vec::with_capacity(decided.len());
        let mut previous = self.ledger.last_leaf();
        let mut counted = BTreeMap::new();
        for (sequence, decided) in (self.ledger.size()..).zip(decided) {
            let entry = Entry {
                version: ENTRY_VERSION,
                sequence,
                time: to_text(now.wall),
                since_boot_ms: now.since_boot_ms,
                bench: self.name.clone(),
                previous,
                in_build: self.in_build(&decided.event, &mut counted),
                practice: self.clock.practice_speed().is_some(),
                event: decided.event,
            };
            let body = canonical::to_canonical_of(&entry)?;
            let leaf = leaf_hash(&body);
            previous = leaf;
            prepared.push(Prepared {
                sequence,
                body,
                leaf,
                attached: decided.attached,
            });
            entries.push(entry);
        }
        self.ledger.append(&prepared)?;
        let written = entries.into_iter().zip(prepared).map(|(entry, prepared)| {
            let plan = pinned_plan(&entry, prepared.attached.as_deref());
            // It is on disk, so everybody may hear of it; whoever then looks at the bench is answered by this thread,
            // after the bench has it. Nobody listening is no error.
            let published = Arc::new(Published {
                sequence: entry.sequence,
                kind: entry.event.kind(),
                body: prepared.body,
            });
            let _ = self.published.send(Arc::clone(&published));
            Written {
                entry,
                published,
                plan,
            }
        });
        Ok(written.collect())
    }

    /// Step 4.
    fn take_in(&mut self, written: Vec<Written>) -> Done {
        let mut done = Done {
            entries: Vec::with_capacity(written.len()),
            build: None,
            said: Vec::new(),
        };
        for Written {
            entry,
            published,
            plan,
        } in written
        {
            self.bench.apply(&entry, plan.as_ref());
            // Nobody following is no error.
            let _ = self.followed.send(published);
            log(&entry);
            done.said.extend(said(&self.bench, &entry));
            done.entries.push(entry.sequence);
            done.build = done.build.or(entry.event.build().map(str::to_owned));
            self.unprojected.push(entry);
        }
        done
    }

    /// Step 5.
    fn project(&mut self) -> Result<(), RunError> {
        self.projections.apply(&self.unprojected, &self.bench)?;
        self.unprojected.clear();
        Ok(())
    }
}

fn pinned_plan(entry: &Entry, attached: Option<&[u8]>) -> Option<Plan> {
    entry.event.plan()?;
    plan::read_pinned(&String::from_utf8_lossy(attached?)).plan
}

/// How far the wall clock was moved between two moments, where it was.
fn clock_moved(last: Now, now: Now) -> Option<i64> {
    let wall = now.wall.signed_duration_since(last.wall).num_milliseconds();
    let passed =
        i64::try_from(now.since_boot_ms.saturating_sub(last.since_boot_ms)).unwrap_or(i64::MAX);
    let by = wall.saturating_sub(passed);
    (by.abs() > CLOCK_SLACK_MS).then_some(by)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
