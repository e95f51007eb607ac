//! The tables, and opening them.

use crate::StoreError;
use rusqlite::{Connection, OpenFlags};
use std::{path::Path, time::Duration};

/// Marks the file as a journal of ours: "WMrk".
const APPLICATION: i64 = 0x574D_726B;
/// The form of the tables.
const FORM: i64 = 1;

const TABLES: &str = "
CREATE TABLE entry (
    position INTEGER PRIMARY KEY,
    stream   TEXT    NOT NULL,
    seq      INTEGER NOT NULL,
    id       BLOB    NOT NULL UNIQUE,
    at       TEXT    NOT NULL,
    signer   TEXT    NOT NULL,
    device   TEXT    NOT NULL,
    replaces BLOB,
    body     TEXT    NOT NULL,
    chain    BLOB    NOT NULL,
    UNIQUE (stream, seq)
) STRICT;
CREATE TRIGGER entry_stays_as_it_is BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
    BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;
CREATE TABLE card (car TEXT PRIMARY KEY, row TEXT NOT NULL) STRICT;
CREATE TABLE life (
    car       TEXT    NOT NULL,
    component TEXT    NOT NULL,
    place     TEXT    NOT NULL,
    number    INTEGER NOT NULL,
    sheet     TEXT    NOT NULL,
    row       TEXT    NOT NULL,
    PRIMARY KEY (car, component, place, number)
) STRICT;
CREATE INDEX life_of_sheet ON life (sheet);
CREATE TABLE person (id TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL) STRICT;
";

/// Opens the writing connection, making the tables in a new file.
pub(super) fn open_writer(path: &Path) -> Result<Connection, StoreError> {
    let shown = path.display().to_string();
    let open = || -> rusqlite::Result<Connection> {
        let connection = Connection::open(path)?;
        connection.busy_timeout(Duration::from_secs(10))?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        // FULL: a commit that was acknowledged outlives a power cut.
        connection.pragma_update(None, "synchronous", "FULL")?;
        Ok(connection)
    };
    let mut connection = open().map_err(|source| match source.sqlite_error_code() {
        Some(rusqlite::ErrorCode::NotADatabase) => StoreError::NotAJournal { path: shown.clone() },
        _ => StoreError::Open { path: shown.clone(), source },
    })?;
    let transaction = connection.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
    let empty: bool =
        transaction.query_row("SELECT NOT EXISTS (SELECT 1 FROM sqlite_schema)", [], |row| row.get(0))?;
    if empty {
        transaction.execute_batch(TABLES)?;
        transaction.pragma_update(None, "application_id", APPLICATION)?;
        transaction.pragma_update(None, "user_version", FORM)?;
    }
    let application: i64 = transaction.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let form: i64 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
    transaction.commit()?;
    if application != APPLICATION {
        return Err(StoreError::NotAJournal { path: shown });
    }
    if form > FORM {
        return Err(StoreError::Newer { path: shown, found: form, known: FORM });
    }
    Ok(connection)
}

/// Opens a connection that can only read.
pub(super) fn open_reader(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags)
        .map_err(|source| StoreError::Open { path: path.display().to_string(), source })?;
    connection.busy_timeout(Duration::from_secs(10))?;
    Ok(connection)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// That the machine's own power cut loses nothing cannot be tried here; that every commit waits for the disk can be seen.
    #[test]
    fn a_commit_waits_for_the_disk() {
        let folder = tempfile::tempdir().unwrap();
        let connection = open_writer(&folder.path().join("journal.db")).unwrap();
        let says = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0)).unwrap();
        const FULL: i64 = 2; // https://www.sqlite.org/pragma.html#pragma_synchronous
        assert_eq!(says("synchronous"), FULL);
        let mode: String = connection.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
        assert_eq!(mode, "wal");
    }
}
