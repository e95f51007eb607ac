//! The journal: dated, signed entries in streams, and the stores that keep them.
//!
//! A journal only grows. Appending is idempotent by the entry's id (a phone may send twice), all or nothing, and durable
//! before it is acknowledged; a correction is a new entry that names the one it replaces. Each stream is chained by
//! digests, so that a lost or altered entry is found. Beside the entries a store keeps **rows** that lists and searches
//! read: one card a car, and one service-life row a fitted part. They are drawn from the entries by a [`Draw`] in the same
//! transaction, and can be thrown away and drawn again at any time.
//!
//! ```
//! use journal::{Append, Draft, EntryId, Known, NoRows, SqliteStore, Store, Stream};
//!
//! # let folder = tempfile::tempdir().unwrap();
//! let store = SqliteStore::open(&folder.path().join("journal.db"), NoRows).unwrap();
//! let draft = Draft {
//!     id: EntryId(uuid::Uuid::from_u128(1)),
//!     stream: Stream::Car("bracken".into()),
//!     at: "2026-05-18T07:50:00Z".parse().unwrap(),
//!     by: "technician".into(),
//!     device: "desk".into(),
//!     replaces: None,
//!     body: Known::NotReached {
//!         visit: "bracken-2026-05-18".into(),
//!         check: "inner-sill".into(),
//!         place: "left".into(),
//!         reason: "plug rusted in".into(),
//!     }
//!     .into(),
//! };
//! store.append(Append::of(vec![draft.clone()])).unwrap();
//! store.append(Append::of(vec![draft])).unwrap(); // sent twice, kept once
//! assert_eq!(store.stream(&Stream::Car("bracken".into())).unwrap().len(), 1);
//! ```
//!
//! **Adding a kind of entry:** a variant of [`Known`] with its fields, optional ones skipped when absent; an older program
//! keeps it as [`Body::Unknown`]. Changing a kind that is already written needs a new version in `body.rs`.

mod body;
mod entry;
mod error;
mod rows;
mod sqlite;
mod store;

pub use body::{Answer, Body, Computed, Known, Seen, When, Worked};
pub use entry::{Draft, Entry, EntryId, Stream};
pub use error::StoreError;
pub use rows::{Age, Card, Draw, LifeRow, NoRows, Rows, Source};
pub use sqlite::SqliteStore;
pub use store::{Append, Appended, Person, Redrawn, Store, Verified};
