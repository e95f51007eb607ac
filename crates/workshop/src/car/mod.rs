//! A car as its journal tells it: who it is, its visits, what was found, done and promised.
//!
//! Folding knows no data sheet: it keeps what was said, in the order in which it was said. What it means is worked out
//! elsewhere.

mod fold;

use crate::long_job::LongJob;
use jiff::{Timestamp, civil::Date};
use journal::{Answer, Computed, EntryId, Seen, When};
use quantity::{Quantity, Unit};
use rust_decimal::Decimal;
use sheet::{
    CheckId, ComponentId, FluidId, ObligationId, OperationId, PartId, Place, SheetId, StateId, VariantId,
    Verdict,
};
use std::collections::BTreeMap;

/// One car with everything that was written of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Car {
    pub id: String,
    pub title: String,
    pub tag: Option<String>,
    pub sheet: Option<SheetId>,
    pub variant: Option<VariantId>,
    pub first_used: Option<Date>,
    /// The owner, as a person's id.
    pub owner: Option<String>,
    pub note: Option<String>,
    /// In the order in which they began.
    pub visits: Vec<Visit>,
    pub tags: Vec<Tag>,
    /// Work agreed for later, in the order in which it was agreed.
    pub long_jobs: Vec<LongJob>,
    /// What was worked out on the bench, in the order in which it was kept.
    pub calculations: Vec<Calculation>,
    /// Entries of kinds that only a newer version of the program knows.
    pub unknown: usize,
    /// How many entries the stream has.
    pub length: u64,
}

/// One stay of the car.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    pub id: String,
    pub date: Date,
    pub odometer: Quantity,
    /// The revision of the data sheet that judges this visit.
    pub revision: String,
    pub asked_for: Option<String>,
    /// What the owner is ready to spend, if said.
    pub ceiling: Option<Decimal>,
    pub by: String,
    pub findings: Vec<Finding>,
    pub overrules: Vec<Overrule>,
    pub markings: Vec<Marking>,
    pub work: Vec<Work>,
    pub fluids: Vec<FluidMoved>,
    pub obligations: Vec<ObligationDealt>,
    pub answers: Vec<Answered>,
    /// The letter as the owner got it last.
    pub letter: Option<SentLetter>,
    pub closed: Option<Closed>,
}

/// A moment of a car's story. Visits stand in the order of their days, for an old one may be written down late; within a
/// visit what arrived first was first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Moment {
    /// The how-manieth visit, from 0.
    pub visit: usize,
    /// The place in the car's stream; 0 is before anything on the visit.
    pub seq: u64,
}

/// What was seen or measured: one check at one place on one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub entry: EntryId,
    pub moment: Moment,
    pub check: CheckId,
    pub place: Place,
    pub by: String,
    pub at: Timestamp,
    pub note: Option<String>,
    pub what: What,
}

#[derive(Debug, Clone, PartialEq)]
pub enum What {
    Reading { values: Vec<Quantity>, instrument: Option<String>, seen: Seen },
    Look { state: StateId, seen: Seen },
    NotReached { reason: String },
}

/// A person's decision against the computed verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Overrule {
    pub moment: Moment,
    pub check: CheckId,
    pub place: Place,
    pub verdict: Verdict,
    pub reason: String,
    pub when: Option<When>,
    pub by: String,
}

/// What was read on a part that was seen in a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Marking {
    pub moment: Moment,
    pub component: ComponentId,
    pub place: Place,
    /// As it reads.
    pub reads: String,
    /// Which part it is, where a person said so.
    pub part: Option<PartId>,
    pub by: String,
    pub note: Option<String>,
}

/// Work that touches parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    pub moment: Moment,
    pub by: String,
    pub what: WorkDone,
}

#[derive(Debug, Clone, PartialEq)]
pub enum WorkDone {
    Operation {
        operation: OperationId,
        /// One place, or all when the operation is done at once.
        place: Option<Place>,
    },
    Fitted {
        component: ComponentId,
        place: Place,
        part: Option<PartId>,
        batch: Option<String>,
        made: Option<Date>,
        /// Papers show that it has been in since then, at that distance.
        since: Option<(Date, Option<Quantity>)>,
        note: Option<String>,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct FluidMoved {
    pub fluid: FluidId,
    pub drained: Option<Quantity>,
    pub filled: Option<Quantity>,
    pub lot: Option<String>,
    pub note: Option<String>,
}

/// An obligation met or waived.
#[derive(Debug, Clone, PartialEq)]
pub struct ObligationDealt {
    pub moment: Moment,
    pub obligation: ObligationId,
    pub by: String,
    pub how: Dealt,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Dealt {
    Met { value: Option<Quantity>, note: Option<String> },
    Waived { reason: String },
}

/// The owner's word on one line of the letter.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    pub moment: Moment,
    pub operation: OperationId,
    pub says: Answer,
    pub name: String,
    pub words: Option<String>,
    pub at: Timestamp,
}

#[derive(Debug, Clone, PartialEq)]
pub struct SentLetter {
    pub at: Timestamp,
    pub by: String,
    pub html: String,
}

/// The keys went back.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed {
    pub odometer: Quantity,
    pub at: Timestamp,
    pub by: String,
}

/// A formula of the bench on numbers of this car, as it was worked out then.
#[derive(Debug, Clone, PartialEq)]
pub struct Calculation {
    /// The visit it was kept with, if with one.
    pub visit: Option<String>,
    pub on: Date,
    pub by: String,
    pub formula: String,
    /// As typed, by the formula's names of its inputs.
    pub inputs: BTreeMap<String, String>,
    pub results: Vec<Computed>,
    pub note: Option<String>,
}

/// A promise to look again, tied to this car.
#[derive(Debug, Clone, PartialEq)]
pub struct Tag {
    pub id: String,
    pub visit: String,
    /// The day it was tied and the odometer then.
    pub tied: Date,
    pub tied_km: f64,
    pub what: String,
    pub why: String,
    pub when: When,
    pub check: Option<CheckId>,
    pub place: Option<Place>,
    pub settled: Option<String>,
}

impl Moment {
    /// After everything that was said.
    pub(crate) const LAST: Self = Self { visit: usize::MAX, seq: u64::MAX };
}

impl Car {
    /// The same car, had this been found on a visit: to say at once what it would mean.
    pub fn supposing(&self, visit: &str, check: CheckId, place: Place, what: What) -> Car {
        let mut car = self.clone();
        if let Some((n, visit)) = car.visits.iter_mut().enumerate().find(|(_, known)| known.id == visit) {
            visit.findings.push(Finding {
                entry: EntryId(uuid::Uuid::nil()),
                moment: Moment { visit: n, seq: self.length + 1 },
                check,
                place,
                by: String::new(),
                at: Timestamp::UNIX_EPOCH,
                note: None,
                what,
            });
        }
        car
    }

    /// The visit whose keys have not gone back; the latest, should there be several.
    pub fn open_visit(&self) -> Option<&Visit> {
        self.visits.iter().rev().find(|visit| visit.closed.is_none())
    }

    /// The visit that began last.
    pub fn last_visit(&self) -> Option<&Visit> {
        self.visits.last()
    }

    pub fn visit(&self, id: &str) -> Option<&Visit> {
        self.visits.iter().find(|visit| visit.id == id)
    }

    /// Key tags that wait, in the order in which they were tied.
    pub fn open_tags(&self) -> impl Iterator<Item = &Tag> {
        self.tags.iter().filter(|tag| tag.settled.is_none())
    }
}

impl Visit {
    /// Odometer at the end of the visit, in km: the car may have been driven.
    pub fn km(&self) -> f64 {
        let out = self.closed.as_ref().map_or(&self.odometer, |closed| &closed.odometer);
        km(out)
    }

    /// The last word of the owner on an operation.
    pub fn answer(&self, operation: &OperationId) -> Option<&Answered> {
        self.answers.iter().rev().find(|answered| answered.operation == *operation)
    }
}

/// A distance in km; what is not a distance cannot be written as an odometer.
pub(crate) fn km(distance: &Quantity) -> f64 {
    distance.value_in(Unit::KM).unwrap_or(0.0)
}
