//! What is written down: dated, signed entries that are never changed.

use crate::body::Body;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt;
use uuid::Uuid;

/// The name of an entry, made by whoever writes it, so that sending twice is harmless.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct EntryId(pub Uuid);

impl EntryId {
    /// The id of the `nth` entry that is made of a message: the same message has the same ids, however often it arrives.
    pub fn of_message(message: &[u8], nth: usize) -> Self {
        let mut digest = Sha256::new();
        digest.update((nth as u64).to_be_bytes());
        digest.update(message);
        let digest = digest.finalize();
        let mut bytes = [0; 16];
        bytes.copy_from_slice(&digest[..16]);
        Self(Uuid::new_v8(bytes))
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Whose story an entry belongs to: one car, or the workshop.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stream {
    Workshop,
    Car(String),
}

impl Stream {
    /// The name the stores keep: `workshop` or `car:` and the car's id.
    pub fn key(&self) -> String {
        match self {
            Self::Workshop => "workshop".into(),
            Self::Car(car) => format!("car:{car}"),
        }
    }

    /// The stream with this stored name, if it is one.
    pub fn from_key(key: &str) -> Option<Self> {
        match key.strip_prefix("car:") {
            Some(car) => Some(Self::Car(car.into())),
            None => (key == "workshop").then_some(Self::Workshop),
        }
    }

    /// The car's id, when the stream is a car's.
    pub fn car(&self) -> Option<&str> {
        match self {
            Self::Workshop => None,
            Self::Car(car) => Some(car),
        }
    }
}

impl fmt::Display for Stream {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Workshop => f.write_str("the workshop"),
            Self::Car(car) => write!(f, "car {car}"),
        }
    }
}

/// An entry as it is handed to a store.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    pub id: EntryId,
    pub stream: Stream,
    /// When it was written, by the writer's clock.
    pub at: Timestamp,
    /// The person who signs it, by id.
    pub by: String,
    /// What it was written on: `desk`, `phone`, `file`.
    pub device: String,
    /// The earlier entry that this one corrects.
    pub replaces: Option<EntryId>,
    pub body: Body,
}

/// An entry as a store keeps it.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub draft: Draft,
    /// Its place in its stream, from 1 without gaps: the order of arrival, whatever a phone's clock says.
    pub seq: u64,
}

impl std::ops::Deref for Entry {
    type Target = Draft;

    fn deref(&self) -> &Draft {
        &self.draft
    }
}
