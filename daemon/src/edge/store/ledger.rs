//! The append-only file of entries.
//!
//! One row an entry: its canonical JSON, its leaf hash, and the bytes it names by their hash. Triggers refuse every
//! update and delete. What may be on disk: a transaction holds all entries of one decision, and `SQLite` makes it all or
//! nothing; `synchronous = FULL` makes it durable before `append` returns.

use super::{LEDGER, StoreError};
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Entry, Event};
use pullmark_schema::keys::KeyLink;
use pullmark_schema::tree::{Frontier, leaf_hash};
use rusqlite::{Connection, OpenFlags, OptionalExtension as _, params};
use rusqlite_migration::{M, Migrations};
use std::path::Path;

/// "Pull" as a number: marks the file as ours.
const APPLICATION_ID: i32 = 0x5075_6C6C;

/// Migrations only add. Never change one that was released.
const MIGRATIONS: &[M<'static>] = &[M::up(
    "CREATE TABLE entry (
        sequence INTEGER PRIMARY KEY,
        body     BLOB NOT NULL,
        leaf     BLOB NOT NULL CHECK (length(leaf) = 32),
        attached BLOB
    ) STRICT;
    CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
        BEGIN SELECT RAISE(ABORT, 'a ledger entry is never changed'); END;
    CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
        BEGIN SELECT RAISE(ABORT, 'a ledger entry is never deleted'); END;
    CREATE TRIGGER entry_comes_next BEFORE INSERT ON entry
        WHEN NEW.sequence IS NOT (SELECT coalesce(max(sequence) + 1, 0) FROM entry)
        BEGIN SELECT RAISE(ABORT, 'a ledger entry has to come next'); END;",
)];

/// An entry ready to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prepared {
    /// Its sequence number.
    pub sequence: u64,
    /// Its canonical JSON.
    pub body: Vec<u8>,
    /// Its leaf hash.
    pub leaf: Digest32,
    /// The bytes it names.
    pub attached: Option<Vec<u8>>,
}

/// An entry as it was read back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// Its canonical JSON.
    pub body: Vec<u8>,
    /// What it says.
    pub entry: Entry,
    /// Its leaf hash as stored.
    pub leaf: Digest32,
}

/// An entry as it lies on disk.
#[derive(Debug, Clone, Copy)]
pub struct Raw<'a> {
    /// Its canonical JSON.
    pub body: &'a [u8],
    /// Its leaf hash as stored.
    pub leaf: Digest32,
    /// The bytes it names.
    pub attached: Option<&'a [u8]>,
}

/// The one writer.
#[derive(Debug)]
pub struct Ledger {
    connection: Connection,
    frontier: Frontier,
    last_leaf: Digest32,
}

impl Ledger {
    /// Opens or makes the ledger of a folder, and hands every entry to `each`, in order, after checking its hash.
    pub fn open(
        folder: &Path,
        mut each: impl FnMut(Stored) -> Result<(), StoreError>,
    ) -> Result<Self, StoreError> {
        let path = folder.join(LEDGER);
        let mut connection = Connection::open(&path)?;
        claim(&connection, &path)?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        Migrations::from_slice(MIGRATIONS).to_latest(&mut connection)?;
        let mut ledger = Self {
            connection,
            frontier: Frontier::new(),
            last_leaf: Digest32::new([0; 32]),
        };
        let reader = Reader::open(folder)?;
        reader.each(0, |stored| {
            check_link(&stored, ledger.frontier.size(), ledger.last_leaf)?;
            ledger.frontier.append(stored.leaf);
            ledger.last_leaf = stored.leaf;
            each(stored)
        })?;
        Ok(ledger)
    }

    /// For tests that make a write fail.
    #[cfg(test)]
    pub(crate) const fn connection(&self) -> &Connection {
        &self.connection
    }

    /// How many entries there are.
    pub const fn size(&self) -> u64 {
        self.frontier.size()
    }

    /// The tree head over them.
    pub fn root(&self) -> Digest32 {
        self.frontier.root()
    }

    /// The leaf hash of the last entry; zeros if there is none.
    pub const fn last_leaf(&self) -> Digest32 {
        self.last_leaf
    }

    /// Writes entries, all or none. When this returns they are on disk.
    ///
    /// After an error it is not known whether they are: the caller must stop and open the ledger anew.
    pub fn append(&mut self, entries: &[Prepared]) -> Result<(), StoreError> {
        match entries {
            // One statement is a transaction by itself.
            [entry] => insert(&self.connection, entry)?,
            entries => {
                let transaction = self
                    .connection
                    .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
                for entry in entries {
                    insert(&transaction, entry)?;
                }
                transaction.commit()?;
            }
        }
        for entry in entries {
            self.frontier.append(entry.leaf);
            self.last_leaf = entry.leaf;
        }
        Ok(())
    }
}

fn insert(connection: &Connection, entry: &Prepared) -> Result<(), StoreError> {
    let sql = "INSERT INTO entry (sequence, body, leaf, attached) VALUES (?1, ?2, ?3, ?4)";
    let sequence = i64::try_from(entry.sequence).unwrap_or(i64::MAX);
    connection.prepare_cached(sql)?.execute(params![
        sequence,
        entry.body,
        entry.leaf.as_bytes(),
        entry.attached
    ])?;
    Ok(())
}

/// Refuses a file of another program or of a newer version before anything is written to it.
fn claim(connection: &Connection, path: &Path) -> Result<(), StoreError> {
    let id: i32 = connection
        .pragma_query_value(None, "application_id", |row| row.get(0))
        .map_err(|error: rusqlite::Error| {
            let is_no_database =
                error.sqlite_error_code() == Some(rusqlite::ErrorCode::NotADatabase);
            if is_no_database {
                StoreError::NotALedger {
                    path: path.to_owned(),
                }
            } else {
                error.into()
            }
        })?;
    let version: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    if id == 0 && tables == 0 {
        connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    } else if id != APPLICATION_ID {
        return Err(StoreError::NotALedger {
            path: path.to_owned(),
        });
    }
    if version > known {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            found: version,
            known,
        });
    }
    Ok(())
}

pub(super) fn check_link(stored: &Stored, size: u64, previous: Digest32) -> Result<(), StoreError> {
    let damaged = |what: &str| StoreError::Damaged {
        sequence: size,
        what: what.to_owned(),
    };
    if leaf_hash(&stored.body) != stored.leaf {
        return Err(damaged("its bytes are not those that were hashed"));
    }
    if stored.entry.sequence != size {
        return Err(damaged(
            "it has another sequence number, so one is missing or was moved",
        ));
    }
    if stored.entry.previous != previous {
        return Err(damaged("it names another entry before it"));
    }
    Ok(())
}

/// Reads a ledger beside its writer.
#[derive(Debug)]
pub struct Reader(Connection);

impl Reader {
    /// Opens the ledger of a folder for reading.
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        let path = folder.join(LEDGER);
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(&path, flags)?;
        let id: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
        if id == APPLICATION_ID {
            Ok(Self(connection))
        } else {
            Err(StoreError::NotALedger { path })
        }
    }

    /// Hands every entry from a sequence number on to `each`.
    pub fn each(
        &self,
        from: u64,
        mut each: impl FnMut(Stored) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let mut query = self.0.prepare_cached(
            "SELECT sequence, body, leaf FROM entry WHERE sequence >= ?1 ORDER BY sequence",
        )?;
        let mut rows = query.query([i64::try_from(from).unwrap_or(i64::MAX)])?;
        while let Some(row) = rows.next()? {
            each(stored(row)?)?;
        }
        Ok(())
    }

    /// The canonical JSON of at most `most` entries after a sequence number, with their numbers and kinds.
    pub fn bodies_after(
        &self,
        after: Option<u64>,
        most: u32,
    ) -> Result<Vec<(u64, Vec<u8>)>, StoreError> {
        let after = after.map_or(-1, |after| i64::try_from(after).unwrap_or(i64::MAX));
        let sql = "SELECT sequence, body FROM entry WHERE sequence > ?1 ORDER BY sequence LIMIT ?2";
        let mut query = self.0.prepare_cached(sql)?;
        let rows = query.query_map(params![after, most], |row| {
            Ok((row.get::<_, i64>(0)?, row.get(1)?))
        })?;
        rows.map(
            |row| Ok(row.map(|(sequence, body)| (u64::try_from(sequence).unwrap_or(0), body))?),
        )
        .collect()
    }

    /// The entries with these sequence numbers.
    pub fn some(&self, sequences: &[u64]) -> Result<Vec<Entry>, StoreError> {
        let mut query = self
            .0
            .prepare_cached("SELECT sequence, body, leaf FROM entry WHERE sequence = ?1")?;
        let mut entries = Vec::with_capacity(sequences.len());
        for sequence in sequences {
            let mut rows = query.query([i64::try_from(*sequence).unwrap_or(i64::MAX)])?;
            if let Some(row) = rows.next()? {
                entries.push(stored(row)?.entry);
            }
        }
        Ok(entries)
    }

    /// What the bench calls itself in the last entry.
    pub fn bench(&self) -> Result<Option<String>, StoreError> {
        let last = self.last_sequence()?;
        let entries = self.some(last.as_slice())?;
        Ok(entries.into_iter().next().map(|entry| entry.bench))
    }

    /// The sequence number of the last entry.
    pub fn last_sequence(&self) -> Result<Option<u64>, StoreError> {
        let last: Option<i64> = self
            .0
            .query_row("SELECT max(sequence) FROM entry", [], |row| row.get(0))?;
        Ok(last.and_then(|last| u64::try_from(last).ok()))
    }

    /// The bytes that an entry names.
    pub fn attached(&self, sequence: u64) -> Result<Option<Vec<u8>>, StoreError> {
        let sequence = i64::try_from(sequence).unwrap_or(i64::MAX);
        let mut query = self
            .0
            .prepare_cached("SELECT attached FROM entry WHERE sequence = ?1")?;
        Ok(query
            .query_row([sequence], |row| row.get(0))
            .optional()?
            .flatten())
    }

    /// Hands at most `most` entries from a sequence number on to `each`, as they lie on disk.
    pub fn each_raw(
        &self,
        from: u64,
        most: u64,
        mut each: impl FnMut(Raw<'_>) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let mut query = self.0.prepare_cached(
            "SELECT body, leaf, attached FROM entry WHERE sequence >= ?1 AND sequence < ?2 ORDER BY sequence",
        )?;
        let from = i64::try_from(from).unwrap_or(i64::MAX);
        let to = from.saturating_add(i64::try_from(most).unwrap_or(i64::MAX));
        let mut rows = query.query([from, to])?;
        while let Some(row) = rows.next()? {
            let blob = |error: rusqlite::types::FromSqlError| rusqlite::Error::from(error);
            each(Raw {
                body: row.get_ref(0)?.as_blob().map_err(blob)?,
                leaf: Digest32::new(row.get(1)?),
                attached: row.get_ref(2)?.as_blob_or_null().map_err(blob)?,
            })?;
        }
        Ok(())
    }

    /// The canonical JSON of one entry.
    pub fn body(&self, sequence: u64) -> Result<Option<Vec<u8>>, StoreError> {
        let sequence = i64::try_from(sequence).unwrap_or(i64::MAX);
        let sql = "SELECT body FROM entry WHERE sequence = ?1";
        let mut query = self.0.prepare_cached(sql)?;
        Ok(query.query_row([sequence], |row| row.get(0)).optional()?)
    }

    /// The leaf hashes of the first entries.
    pub fn leaves(&self, size: u64) -> Result<Vec<Digest32>, StoreError> {
        let size = i64::try_from(size).unwrap_or(i64::MAX);
        let sql = "SELECT leaf FROM entry WHERE sequence < ?1 ORDER BY sequence";
        let mut query = self.0.prepare_cached(sql)?;
        let rows = query.query_map([size], |row| Ok(Digest32::new(row.get(0)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The bench's key history.
    pub fn links(&self) -> Result<Vec<KeyLink>, StoreError> {
        let mut links = Vec::new();
        for (sequence, body) in self.of_kinds(&["key-linked"], "")? {
            match read_entry(sequence, &body)?.event {
                Event::KeyLinked(link) => links.push(*link),
                _ => return Err(mistaken(sequence)),
            }
        }
        Ok(links)
    }

    /// The last signed head of the tree: how many entries it covers, and its text.
    pub fn last_head(&self) -> Result<Option<(u64, String)>, StoreError> {
        let kinds = ["head-signed", "record-sealed"];
        let Some((sequence, body)) = self.of_kinds(&kinds, "DESC LIMIT 1")?.pop() else {
            return Ok(None);
        };
        match read_entry(sequence, &body)?.event {
            Event::RecordSealed { checkpoint, .. } => Ok(Some((sequence, checkpoint))),
            Event::HeadSigned(head) => Ok(Some((sequence, head.checkpoint))),
            _ => Err(mistaken(sequence)),
        }
    }

    /// Entries of some kinds. In canonical form a kind stands between a body and the rest in one way only; what a person
    /// typed has its quotes escaped.
    fn of_kinds(&self, kinds: &[&str], order: &str) -> Result<Vec<(u64, Vec<u8>)>, StoreError> {
        let has: Vec<String> = kinds
            .iter()
            .map(|kind| {
                format!("instr(body, CAST(',\"kind\":\"{kind}\",\"previous\":\"' AS BLOB)) > 0")
            })
            .collect();
        let sql = format!(
            "SELECT sequence, body FROM entry WHERE {} ORDER BY sequence {order}",
            has.join(" OR ")
        );
        let mut query = self.0.prepare_cached(&sql)?;
        let rows = query.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get(1)?)))?;
        rows.map(|row| {
            let (sequence, body) = row?;
            Ok((u64::try_from(sequence).unwrap_or(0), body))
        })
        .collect()
    }

    /// Copies the whole ledger to a new file while it is in use.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        let mut target = Connection::open(to)?;
        let backup = rusqlite::backup::Backup::new(&self.0, &mut target)?;
        Ok(backup.run_to_completion(1024, std::time::Duration::ZERO, None)?)
    }
}

fn read_entry(sequence: u64, body: &[u8]) -> Result<Entry, StoreError> {
    serde_json::from_slice(body).map_err(|error| StoreError::Damaged {
        sequence,
        what: format!("it cannot be read: {error}"),
    })
}

fn mistaken(sequence: u64) -> StoreError {
    StoreError::Damaged {
        sequence,
        what: "it is not what it looks like".to_owned(),
    }
}

fn stored(row: &rusqlite::Row<'_>) -> Result<Stored, StoreError> {
    let sequence = u64::try_from(row.get::<_, i64>(0)?).unwrap_or(u64::MAX);
    let damaged = |what: String| StoreError::Damaged { sequence, what };
    let body: Vec<u8> = row.get(1)?;
    let leaf: [u8; 32] = row.get(2)?;
    let entry = serde_json::from_slice(&body)
        .map_err(|error| damaged(format!("it cannot be read: {error}")))?;
    Ok(Stored {
        body,
        entry,
        leaf: Digest32::new(leaf),
    })
}
