//! A car as its journal tells it: who it is, its visits, what was found, done and promised.
//!
//! Folding knows no data sheet: it keeps what was said, in the order in which it was said. What it means is worked out
//! elsewhere.

use jiff::{Timestamp, civil::Date};
use journal::{Answer, Entry, EntryId, Known, Seen, When};
use quantity::{Quantity, Unit};
use rust_decimal::Decimal;
use sheet::{
    CheckId, ComponentId, FluidId, ObligationId, OperationId, PartId, Place, SheetId, StateId, VariantId,
    Verdict,
};
use std::collections::{HashMap, HashSet};

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
    pub work: Vec<Work>,
    pub fluids: Vec<FluidMoved>,
    pub obligations: Vec<ObligationDealt>,
    pub answers: Vec<Answered>,
    /// The letter as the owner got it last.
    pub letter: Option<SentLetter>,
    pub closed: Option<Closed>,
}

/// What was seen or measured: one check at one place on one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub entry: EntryId,
    /// Its place in the car's stream, from which comes what was before and after.
    pub seq: u64,
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
    pub seq: u64,
    pub check: CheckId,
    pub place: Place,
    pub verdict: Verdict,
    pub reason: String,
    pub when: Option<When>,
    pub by: String,
}

/// Work that touches parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    pub seq: u64,
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
    pub seq: u64,
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
    pub seq: u64,
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

impl Car {
    /// The car that a stream tells of. The order of arrival counts, whatever order the entries are handed in; an entry handed
    /// in twice counts once, and one that was corrected is left out in favour of its correction.
    ///
    /// `None` when the stream describes no car.
    pub fn fold(id: &str, entries: &[Entry]) -> Option<Car> {
        let mut car = Car { id: id.into(), ..Car::default() };
        let mut described = false;
        for (seq, entry) in effective(entries) {
            car.length = car.length.max(entry.seq);
            match entry.body.known() {
                None => car.unknown += 1,
                Some(Known::Car { title, sheet, tag, variant, first_used, owner, note }) => {
                    described = true;
                    car.title.clone_from(title);
                    car.sheet = Some(sheet.as_str().into());
                    car.tag.clone_from(tag);
                    car.variant = variant.as_deref().map(Into::into);
                    car.first_used = *first_used;
                    car.owner.clone_from(owner);
                    car.note.clone_from(note);
                }
                Some(known) => car.apply(seq, entry, known),
            }
        }
        car.length = entries.iter().map(|entry| entry.seq).max().unwrap_or(0);
        described.then_some(car)
    }

    /// The same car, had this been found on a visit: to say at once what it would mean.
    pub fn supposing(&self, visit: &str, check: CheckId, place: Place, what: What) -> Car {
        let mut car = self.clone();
        if let Some(visit) = car.visits.iter_mut().find(|known| known.id == visit) {
            visit.findings.push(Finding {
                entry: EntryId(uuid::Uuid::nil()),
                seq: self.length + 1,
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

    fn apply(&mut self, seq: u64, entry: &Entry, known: &Known) {
        let by = entry.by.clone();
        if let Known::Visit { visit, date, odometer, revision, asked_for, ceiling } = known {
            let begun = Visit {
                id: visit.clone(),
                date: *date,
                odometer: odometer.clone(),
                revision: revision.clone(),
                asked_for: asked_for.clone(),
                ceiling: ceiling.as_deref().and_then(|ceiling| ceiling.parse().ok()),
                by,
                findings: vec![],
                overrules: vec![],
                work: vec![],
                fluids: vec![],
                obligations: vec![],
                answers: vec![],
                letter: None,
                closed: None,
            };
            // Visits stand in the order of their dates: old ones may be written down late.
            let at = self.visits.partition_point(|other| other.date <= begun.date);
            self.visits.insert(at, begun);
            return;
        }
        if let Known::Tag { tag, visit, what, why, when, check, place } = known {
            let Some((tied, tied_km)) = self.visit(visit).map(|visit| (visit.date, km(&visit.odometer)))
            else {
                return;
            };
            self.tags.retain(|other| other.id != *tag);
            self.tags.push(Tag {
                id: tag.clone(),
                visit: visit.clone(),
                tied,
                tied_km,
                what: what.clone(),
                why: why.clone(),
                when: when.clone(),
                check: check.as_deref().map(Into::into),
                place: place.as_deref().map(Into::into),
                settled: None,
            });
            return;
        }
        if let Known::TagSettled { tag, reason, .. } = known {
            for waiting in self.tags.iter_mut().filter(|waiting| waiting.id == *tag) {
                waiting.settled = Some(reason.clone());
            }
            return;
        }
        let Some(visit) = visit_of(known).and_then(|id| self.visits.iter_mut().find(|visit| visit.id == id))
        else {
            return;
        };
        visit.apply(seq, entry, known);
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

    fn apply(&mut self, seq: u64, entry: &Entry, known: &Known) {
        let (by, at) = (entry.by.clone(), entry.at);
        let mut found = |check: &str, place: &str, note: &Option<String>, what| {
            self.findings.push(Finding {
                entry: entry.id,
                seq,
                check: check.into(),
                place: place.into(),
                by: by.clone(),
                at,
                note: note.clone(),
                what,
            });
        };
        match known {
            Known::Reading { check, place, values, instrument, seen, note, .. } => {
                let (values, instrument) = (values.clone(), instrument.clone());
                found(check, place, note, What::Reading { values, instrument, seen: *seen });
            }
            Known::Look { check, place, state, seen, note, .. } => {
                found(check, place, note, What::Look { state: state.as_str().into(), seen: *seen });
            }
            Known::NotReached { check, place, reason, .. } => {
                found(check, place, &None, What::NotReached { reason: reason.clone() });
            }
            Known::Overrule { check, place, verdict, reason, when, .. } => {
                let Some(verdict) = Verdict::ALL.iter().copied().find(|known| known.id() == verdict) else {
                    return;
                };
                let (check, place) = (check.as_str().into(), place.as_str().into());
                let (reason, when) = (reason.clone(), when.clone());
                self.overrules.push(Overrule { seq, check, place, verdict, reason, when, by });
            }
            Known::Done { operation, place, .. } => {
                let operation = operation.as_str().into();
                let place = place.as_deref().map(Into::into);
                self.work.push(Work { seq, by, what: WorkDone::Operation { operation, place } });
            }
            Known::Fitted { component, place, part, batch, made, since, odometer, note, .. } => {
                let what = WorkDone::Fitted {
                    component: component.as_str().into(),
                    place: place.as_str().into(),
                    part: part.as_deref().map(Into::into),
                    batch: batch.clone(),
                    made: *made,
                    since: since.map(|since| (since, odometer.clone())),
                    note: note.clone(),
                };
                self.work.push(Work { seq, by, what });
            }
            Known::Fluid { fluid, drained, filled, lot, note, .. } => self.fluids.push(FluidMoved {
                fluid: fluid.as_str().into(),
                drained: drained.clone(),
                filled: filled.clone(),
                lot: lot.clone(),
                note: note.clone(),
            }),
            Known::Met { obligation, value, note, .. } => {
                let how = Dealt::Met { value: value.clone(), note: note.clone() };
                self.obligations.push(ObligationDealt {
                    seq,
                    obligation: obligation.as_str().into(),
                    by,
                    how,
                });
            }
            Known::Waived { obligation, reason, .. } => {
                let how = Dealt::Waived { reason: reason.clone() };
                self.obligations.push(ObligationDealt {
                    seq,
                    obligation: obligation.as_str().into(),
                    by,
                    how,
                });
            }
            Known::Letter { html, .. } => self.letter = Some(SentLetter { at, by, html: html.clone() }),
            Known::Answer { operation, says, name, words, .. } => self.answers.push(Answered {
                seq,
                operation: operation.as_str().into(),
                says: *says,
                name: name.clone(),
                words: words.clone(),
                at,
            }),
            Known::Closed { odometer, .. } => {
                self.closed = Some(Closed { odometer: odometer.clone(), at, by });
            }
            _ => {}
        }
    }
}

/// A distance in km; what is not a distance cannot be written as an odometer.
pub(crate) fn km(distance: &Quantity) -> f64 {
    distance.value_in(Unit::KM).unwrap_or(0.0)
}

/// The visit that an entry belongs to.
fn visit_of(known: &Known) -> Option<&str> {
    match known {
        Known::Reading { visit, .. }
        | Known::Look { visit, .. }
        | Known::NotReached { visit, .. }
        | Known::Overrule { visit, .. }
        | Known::Fitted { visit, .. }
        | Known::Fluid { visit, .. }
        | Known::Done { visit, .. }
        | Known::Met { visit, .. }
        | Known::Waived { visit, .. }
        | Known::Letter { visit, .. }
        | Known::Answer { visit, .. }
        | Known::Closed { visit, .. } => Some(visit),
        _ => None,
    }
}

/// The entries that count, each with its place in the story: a correction stands where what it corrects stood.
fn effective(entries: &[Entry]) -> Vec<(u64, &Entry)> {
    let seqs: HashMap<EntryId, (u64, Option<EntryId>)> =
        entries.iter().map(|entry| (entry.id, (entry.seq, entry.replaces))).collect();
    let replaced: HashSet<EntryId> = entries.iter().filter_map(|entry| entry.replaces).collect();
    let mut kept: Vec<(u64, &Entry)> = entries
        .iter()
        .filter(|entry| !replaced.contains(&entry.id))
        .map(|entry| {
            let (mut seq, mut replaces) = (entry.seq, entry.replaces);
            // An entry can only replace an earlier one, so this goes down and ends.
            while let Some((before, further)) =
                replaces.and_then(|id| seqs.get(&id)).filter(|(at, _)| *at < seq)
            {
                (seq, replaces) = (*before, *further);
            }
            (seq, entry)
        })
        .collect();
    kept.sort_by_key(|(seq, entry)| (*seq, entry.seq));
    kept.dedup_by_key(|(_, entry)| entry.id);
    kept
}
