//! Entries in and out of the table, and the chain that ties each to the one before it.

use crate::{Draft, Entry, EntryId, StoreError, Stream};
use rusqlite::{Connection, OptionalExtension, Row, params};
use sha2::{Digest, Sha256};

pub(super) const COLUMNS: &str = "position, stream, seq, id, at, signer, device, replaces, body, chain";

/// A row of the table as it stands there.
pub(super) struct Stored {
    pub position: i64,
    pub stream: String,
    pub seq: i64,
    pub id: uuid::Uuid,
    pub at: String,
    pub signer: String,
    pub device: String,
    pub replaces: Option<uuid::Uuid>,
    pub body: String,
    pub chain: Vec<u8>,
}

impl Stored {
    pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            position: row.get(0)?,
            stream: row.get(1)?,
            seq: row.get(2)?,
            id: row.get(3)?,
            at: row.get(4)?,
            signer: row.get(5)?,
            device: row.get(6)?,
            replaces: row.get(7)?,
            body: row.get(8)?,
            chain: row.get(9)?,
        })
    }

    /// The row that a draft becomes behind the last one of its stream.
    pub(super) fn from_draft(draft: &Draft, last: Option<(i64, Vec<u8>)>) -> Result<Self, StoreError> {
        let (seq, chain) = last.unwrap_or_default();
        let mut row = Self {
            position: 0,
            stream: draft.stream.key(),
            seq: seq + 1,
            id: draft.id.0,
            at: draft.at.to_string(),
            signer: draft.by.clone(),
            device: draft.device.clone(),
            replaces: draft.replaces.map(|id| id.0),
            body: serde_json::to_string(&draft.body).map_err(|error| StoreError::Rows(error.to_string()))?,
            chain: vec![],
        };
        row.chain = row.link(&chain);
        Ok(row)
    }

    /// The digest over the chain before and everything this row says.
    pub(super) fn link(&self, before: &[u8]) -> Vec<u8> {
        let mut digest = Sha256::new();
        let replaces = self.replaces.map(|id| id.into_bytes().to_vec()).unwrap_or_default();
        let parts: [&[u8]; 8] = [
            before,
            self.stream.as_bytes(),
            self.id.as_bytes(),
            self.at.as_bytes(),
            self.signer.as_bytes(),
            self.device.as_bytes(),
            &replaces,
            self.body.as_bytes(),
        ];
        for part in parts {
            // The length goes in too, so that no two rows of different parts read alike.
            digest.update((part.len() as u64).to_be_bytes());
            digest.update(part);
        }
        digest.finalize().to_vec()
    }

    /// Whether a draft says the same as this row. When it was sent the second time does not matter: the first counts.
    pub(super) fn says(&self, draft: &Stored) -> bool {
        self.stream == draft.stream
            && self.signer == draft.signer
            && self.replaces == draft.replaces
            && self.body == draft.body
    }

    pub(super) fn entry(self) -> Result<Entry, StoreError> {
        let unreadable = |cause: String| StoreError::Unreadable { position: self.position, cause };
        Ok(Entry {
            seq: self.seq.unsigned_abs(),
            draft: Draft {
                id: EntryId(self.id),
                stream: Stream::from_key(&self.stream)
                    .ok_or_else(|| unreadable(format!("stream `{}`", self.stream)))?,
                at: self.at.parse().map_err(|error: jiff::Error| unreadable(error.to_string()))?,
                by: self.signer,
                device: self.device,
                replaces: self.replaces.map(EntryId),
                body: serde_json::from_str(&self.body).map_err(|error| unreadable(error.to_string()))?,
            },
        })
    }
}

pub(super) fn insert(connection: &Connection, row: &Stored) -> rusqlite::Result<()> {
    connection
        .prepare_cached(
            "INSERT INTO entry (stream, seq, id, at, signer, device, replaces, body, chain)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        )?
        .execute(params![
            row.stream,
            row.seq,
            row.id,
            row.at,
            row.signer,
            row.device,
            row.replaces,
            row.body,
            row.chain
        ])?;
    Ok(())
}

/// The last place and chain of a stream.
pub(super) fn last(connection: &Connection, stream: &str) -> rusqlite::Result<Option<(i64, Vec<u8>)>> {
    connection
        .prepare_cached("SELECT seq, chain FROM entry WHERE stream = ?1 ORDER BY seq DESC LIMIT 1")?
        .query_row([stream], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()
}

pub(super) fn by_id(connection: &Connection, id: EntryId) -> rusqlite::Result<Option<Stored>> {
    connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM entry WHERE id = ?1"))?
        .query_row([id.0], Stored::from_row)
        .optional()
}

pub(super) fn stream(connection: &Connection, stream: &Stream) -> Result<Vec<Entry>, StoreError> {
    let mut statement =
        connection.prepare_cached(&format!("SELECT {COLUMNS} FROM entry WHERE stream = ?1 ORDER BY seq"))?;
    let rows = statement.query_map([stream.key()], Stored::from_row)?;
    rows.map(|row| row?.entry()).collect()
}
