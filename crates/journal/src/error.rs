//! What can go wrong with a store.

use crate::entry::{EntryId, Stream};

/// A refusal or failure of a store. After any of them nothing of the append is kept.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    #[error("entry {id} is already written in {stream} with other words: an id names one entry for good")]
    IdReused { id: EntryId, stream: Stream },
    #[error("entry {id} replaces {replaces}, which {stream} does not have")]
    ReplacesNothing { id: EntryId, replaces: EntryId, stream: Stream },
    #[error("{stream} has grown to {found} entries since it was read at {expected}: look again and repeat")]
    Moved { stream: Stream, expected: u64, found: u64 },
    #[error(
        "the book at {path} was written by a newer version (form {found}, this version reads up to {known}): update the program"
    )]
    Newer { path: String, found: i64, known: i64 },
    #[error("{path} is not the journal of a book")]
    NotAJournal { path: String },
    #[error("entry {position} of the journal cannot be read: {cause}")]
    Unreadable { position: i64, cause: String },
    #[error("the rows could not be drawn: {0}")]
    Rows(String),
    #[error("nothing was kept: {cause}")]
    NotKept { cause: String },
    #[error("the journal is closed")]
    Closed,
    #[error("the journal cannot be opened at {path}")]
    Open { path: String, source: rusqlite::Error },
    #[error("the journal cannot be read or written")]
    Sqlite(#[from] rusqlite::Error),
}
