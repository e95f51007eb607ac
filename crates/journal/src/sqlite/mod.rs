//! The journal in one SQLite file: the default, needing no server.

mod draw;
mod schema;
mod table;
mod writer;

use crate::{
    Append, Appended, Card, Draw, Entry, EntryId, LifeRow, Person, Redrawn, Store, StoreError, Stream,
    Verified,
};
use rusqlite::Connection;
use std::{
    path::{Path, PathBuf},
    sync::{
        Mutex, PoisonError,
        mpsc::{self, Sender, SyncSender},
    },
    thread::JoinHandle,
};
use table::{COLUMNS, Stored};
use writer::Request;

/// A journal in an SQLite file. One thread writes; readers run beside it.
pub struct SqliteStore {
    path: PathBuf,
    requests: Option<Sender<Request>>,
    writer: Option<JoinHandle<()>>,
    readers: Mutex<Vec<Connection>>,
}

impl SqliteStore {
    /// Opens the journal at `path`, making it if there is none.
    ///
    /// # Errors
    /// [`StoreError::Open`], [`StoreError::NotAJournal`] or [`StoreError::Newer`].
    pub fn open(path: &Path, draw: impl Draw) -> Result<Self, StoreError> {
        let connection = schema::open_writer(path)?;
        let (requests, inbox) = mpsc::channel();
        let writer = std::thread::Builder::new()
            .name("journal".into())
            .spawn(move || writer::run(connection, draw, &inbox))
            .map_err(|_| StoreError::Closed)?;
        Ok(Self {
            path: path.into(),
            requests: Some(requests),
            writer: Some(writer),
            readers: Mutex::default(),
        })
    }

    fn ask<T>(
        &self,
        request: impl FnOnce(SyncSender<Result<T, StoreError>>) -> Request,
    ) -> Result<T, StoreError> {
        let (answer, waiting) = mpsc::sync_channel(1);
        self.requests
            .as_ref()
            .ok_or(StoreError::Closed)?
            .send(request(answer))
            .map_err(|_| StoreError::Closed)?;
        waiting.recv().map_err(|_| StoreError::Closed)?
    }

    /// Runs a reader on a connection of its own.
    fn read<T>(&self, read: impl FnOnce(&Connection) -> Result<T, StoreError>) -> Result<T, StoreError> {
        let idle = self.readers.lock().unwrap_or_else(PoisonError::into_inner).pop();
        let connection = match idle {
            Some(connection) => connection,
            None => schema::open_reader(&self.path)?,
        };
        let result = read(&connection);
        self.readers.lock().unwrap_or_else(PoisonError::into_inner).push(connection);
        result
    }
}

impl Drop for SqliteStore {
    /// Lets the writer finish what it was given. It goes last: only a connection that may write puts everything into the
    /// one file and leaves nothing beside it.
    fn drop(&mut self) {
        self.readers.get_mut().unwrap_or_else(PoisonError::into_inner).clear();
        self.requests.take();
        if let Some(writer) = self.writer.take() {
            _ = writer.join();
        }
    }
}

impl Store for SqliteStore {
    fn append(&self, append: Append) -> Result<Appended, StoreError> {
        self.ask(|answer| Request::Append(append, answer))
    }

    fn stream(&self, stream: &Stream) -> Result<Vec<Entry>, StoreError> {
        self.read(|connection| table::stream(connection, stream))
    }

    fn has(&self, id: EntryId) -> Result<bool, StoreError> {
        self.read(|connection| Ok(table::by_id(connection, id)?.is_some()))
    }

    fn length(&self, stream: &Stream) -> Result<u64, StoreError> {
        self.read(|connection| {
            Ok(table::last(connection, &stream.key())?.map_or(0, |(seq, _)| seq.unsigned_abs()))
        })
    }

    fn streams(&self) -> Result<Vec<Stream>, StoreError> {
        self.read(|connection| {
            let mut statement = connection
                .prepare_cached("SELECT DISTINCT stream FROM entry ORDER BY stream <> 'workshop', stream")?;
            let keys = statement.query_map([], |row| row.get::<_, String>(0))?;
            let mut streams = Vec::new();
            for key in keys {
                streams.extend(Stream::from_key(&key?));
            }
            Ok(streams)
        })
    }

    fn follow(&self, after: i64, limit: usize) -> Result<Vec<(i64, Entry)>, StoreError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM entry WHERE position > ?1 ORDER BY position LIMIT ?2"
            ))?;
            let limit = i64::try_from(limit).unwrap_or(i64::MAX);
            let rows = statement.query_map([after, limit], Stored::from_row)?;
            rows.map(|row| {
                let row = row?;
                Ok((row.position, row.entry()?))
            })
            .collect()
        })
    }

    fn cards(&self) -> Result<Vec<Card>, StoreError> {
        self.read(|connection| rows(connection, "SELECT row FROM card ORDER BY car", []))
    }

    fn lives(&self, sheet: &str) -> Result<Vec<LifeRow>, StoreError> {
        self.read(|connection| {
            rows(
                connection,
                "SELECT row FROM life WHERE sheet = ?1 ORDER BY car, component, place, number",
                [sheet],
            )
        })
    }

    fn people(&self) -> Result<Vec<Person>, StoreError> {
        self.read(|connection| {
            let mut statement = connection.prepare_cached("SELECT id, name, role FROM person ORDER BY id")?;
            let people = statement
                .query_map([], |row| Ok(Person { id: row.get(0)?, name: row.get(1)?, role: row.get(2)? }))?
                .collect::<rusqlite::Result<_>>()?;
            Ok(people)
        })
    }

    fn put_person(&self, person: Person) -> Result<(), StoreError> {
        self.ask(|answer| Request::Person(person, answer))
    }

    fn verify(&self) -> Result<Verified, StoreError> {
        let mut verified = self.read(verify_entries)?;
        verified.problems.extend(self.ask(Request::Verify)?);
        Ok(verified)
    }

    fn redraw(&self) -> Result<Redrawn, StoreError> {
        self.ask(Request::Redraw)
    }
}

/// Rows kept as JSON texts.
fn rows<T: serde::de::DeserializeOwned>(
    connection: &Connection,
    sql: &str,
    params: impl rusqlite::Params,
) -> Result<Vec<T>, StoreError> {
    let mut statement = connection.prepare_cached(sql)?;
    let texts = statement.query_map(params, |row| row.get::<_, String>(0))?;
    texts
        .map(|text| serde_json::from_str(&text?).map_err(|error| StoreError::Rows(error.to_string())))
        .collect()
}

/// Walks every stream: no gap, no altered entry, every body readable, and the file itself sound.
fn verify_entries(connection: &Connection) -> Result<Verified, StoreError> {
    let mut verified = Verified::default();
    let sound: String = connection.query_row("PRAGMA integrity_check", [], |row| row.get(0))?;
    if sound != "ok" {
        verified.problems.push(format!("the file is damaged: {sound}"));
    }
    let mut statement = connection.prepare(&format!("SELECT {COLUMNS} FROM entry ORDER BY stream, seq"))?;
    let mut before: Option<Stored> = None;
    for row in statement.query_map([], Stored::from_row)? {
        let row = row?;
        let same = before.as_ref().filter(|before| before.stream == row.stream);
        let (seq, chain) = same.map_or((0, &[][..]), |before| (before.seq, &before.chain[..]));
        verified.streams += usize::from(same.is_none());
        verified.entries += 1;
        if row.seq != seq + 1 {
            verified.problems.push(format!(
                "{}: entry {} follows {seq}, so {} missing",
                row.stream,
                row.seq,
                if row.seq == seq + 2 { "one is" } else { "some are" }
            ));
        }
        if row.link(chain) != row.chain {
            verified
                .problems
                .push(format!("{}: entry {} was altered after it was written", row.stream, row.seq));
        }
        if serde_json::from_str::<crate::Body>(&row.body).is_err() {
            verified.problems.push(format!("{}: entry {} cannot be read", row.stream, row.seq));
        }
        before = Some(row);
    }
    Ok(verified)
}
