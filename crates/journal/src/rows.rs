//! The rows that lists and searches read, and how they are drawn.

use crate::{Entry, StoreError, Stream};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a list needs to know of one car, as of its last entry.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Card {
    pub car: String,
    pub title: String,
    pub tag: Option<String>,
    pub sheet: String,
    pub odometer_km: Option<f64>,
    pub last_visit: Option<Date>,
    /// The visit whose keys have not gone back.
    pub open_visit: Option<String>,
    /// Findings of the last visit by verdict id, judged on its day.
    pub verdicts: BTreeMap<String, u32>,
    /// Key tags that wait.
    pub tags: u32,
    /// Long jobs that are carried, and the first day that one is agreed for.
    #[serde(default, skip_serializing_if = "is_none")]
    pub long_jobs: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agreed_for: Option<Date>,
}

fn is_none(count: &u32) -> bool {
    *count == 0
}

/// What one fitted part has told about how long such parts last.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LifeRow {
    pub car: String,
    pub sheet: String,
    pub component: String,
    pub place: String,
    /// The how-manieth part in this place, from 1.
    pub number: u32,
    /// Known good at this distance and age since new; `None` when it was found bad at the first look.
    pub lower: Option<Age>,
    /// Known bad by then; `None` while good or renewed while good.
    pub upper: Option<Age>,
    /// Where watching began: distance and age of the part at the first sighting.
    pub entry: Age,
}

/// Distance and time since a part was new.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Age {
    pub km: f64,
    pub years: f64,
}

/// The rows of one car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rows {
    pub card: Option<Card>,
    pub lives: Vec<LifeRow>,
}

/// What a drawer may read, inside the transaction that keeps its rows.
pub trait Source {
    /// All entries of a stream, in order.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn entries(&self, stream: &Stream) -> Result<Vec<Entry>, StoreError>;

    /// How many entries a stream has.
    ///
    /// # Errors
    /// [`StoreError`] when the store cannot be read.
    fn length(&self, stream: &Stream) -> Result<u64, StoreError>;
}

/// Draws the rows of a car from its entries and the workshop's. The same entries always give the same rows.
pub trait Draw: Send + 'static {
    /// The rows of one car's stream.
    ///
    /// # Errors
    /// [`StoreError`] when the source cannot be read.
    fn rows(&mut self, car: &str, source: &dyn Source) -> Result<Rows, StoreError>;
}

/// Draws nothing: for a journal without lists.
pub struct NoRows;

impl Draw for NoRows {
    fn rows(&mut self, _: &str, _: &dyn Source) -> Result<Rows, StoreError> {
        Ok(Rows::default())
    }
}
