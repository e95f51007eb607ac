//! What every store can do, whatever keeps it.

use crate::{Card, Draft, Entry, EntryId, LifeRow, StoreError, Stream};
use serde::{Deserialize, Serialize};

/// Entries to be written together: all of them or none.
#[derive(Debug, Clone, PartialEq)]
pub struct Append {
    pub drafts: Vec<Draft>,
    /// Write only if the stream still has this many entries; for acts that depend on all that was said before.
    pub at_length: Option<(Stream, u64)>,
}

impl Append {
    /// Entries that may be written whatever has come in meanwhile.
    pub fn of(drafts: Vec<Draft>) -> Self {
        Self { drafts, at_length: None }
    }
}

/// What an append did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Appended {
    pub written: usize,
    /// Entries that were there already.
    pub known: usize,
}

/// What is known of a person. It is kept apart from the journal, which knows ids only, so that it can be erased.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    pub id: String,
    pub name: String,
    /// `technician`, `apprentice` or `owner`.
    pub role: String,
}

/// What a look over the whole journal found.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Verified {
    pub streams: usize,
    pub entries: usize,
    /// What is not as it must be, in words; empty when the journal is whole.
    pub problems: Vec<String>,
}

/// What drawing all rows again did.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Redrawn {
    pub cards: usize,
    pub lives: usize,
    /// Cars whose rows had to change; empty when they were right.
    pub changed: Vec<String>,
}

/// A store of a journal.
pub trait Store: Send + Sync {
    /// Writes entries. When it answers, they are on disk.
    ///
    /// # Errors
    /// Any [`StoreError`]; nothing is kept then.
    fn append(&self, append: Append) -> Result<Appended, StoreError>;

    /// All entries of a stream, in order.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn stream(&self, stream: &Stream) -> Result<Vec<Entry>, StoreError>;

    /// Whether there is an entry of this id, in any stream.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn has(&self, id: EntryId) -> Result<bool, StoreError>;

    /// How many entries a stream has.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn length(&self, stream: &Stream) -> Result<u64, StoreError>;

    /// All streams, the workshop's first, then cars by id.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn streams(&self) -> Result<Vec<Stream>, StoreError>;

    /// Entries of all streams after a position, with their positions, in order of arrival; at most `limit`.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn follow(&self, after: i64, limit: usize) -> Result<Vec<(i64, Entry)>, StoreError>;

    /// The cards of all cars, by id.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn cards(&self) -> Result<Vec<Card>, StoreError>;

    /// The service-life rows of a data sheet's cars.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn lives(&self, sheet: &str) -> Result<Vec<LifeRow>, StoreError>;

    /// Everyone the book knows.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn people(&self) -> Result<Vec<Person>, StoreError>;

    /// Writes a person, or changes what is known of one.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be written.
    fn put_person(&self, person: Person) -> Result<(), StoreError>;

    /// Looks over the whole journal: every entry there, in order, unaltered, and every row as it would be drawn now.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read at all.
    fn verify(&self) -> Result<Verified, StoreError>;

    /// Throws all rows away and draws them again.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be written.
    fn redraw(&self) -> Result<Redrawn, StoreError>;
}
