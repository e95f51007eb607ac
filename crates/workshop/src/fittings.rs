//! What is fitted where: the parts that have been in each place, one after the other.

use crate::ageing::Start;
use crate::car::{Car, Visit, WorkDone, km};
use jiff::civil::Date;
use sheet::{ComponentId, OperationId, PartId, Place, Sheet};
use std::collections::BTreeMap;

/// One part in one place, from when it was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// Entries from this one on speak of this part.
    pub from_seq: u64,
    /// When it was new in this place; `None` for what was in when the car first came and no paper shows its age.
    pub start: Option<Start>,
    /// The visit on which the workshop fitted it.
    pub visit: Option<String>,
    pub operation: Option<OperationId>,
    pub part: Option<PartId>,
    pub batch: Option<String>,
    pub made: Option<Date>,
}

/// The parts that have been in each place of a car.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fittings(BTreeMap<(ComponentId, Place), Vec<Fitting>>);

/// What was in when the car first came.
const ORIGINAL: Fitting =
    Fitting { from_seq: 0, start: None, visit: None, operation: None, part: None, batch: None, made: None };

impl Fittings {
    /// The parts that a car's work has put in: by operations that renew, and as said of each part.
    pub fn of(car: &Car, sheet: &Sheet) -> Self {
        let mut fittings = Self::default();
        let mut work: Vec<_> =
            car.visits.iter().flat_map(|visit| visit.work.iter().map(move |work| (visit, work))).collect();
        // Old visits may be written down late, so the day counts before the order of writing; and what papers show of a
        // part was so before anything was done to it on that day.
        let from_papers = |what: &WorkDone| matches!(what, WorkDone::Fitted { since: Some(_), .. });
        work.sort_by_key(|(visit, work)| (visit.date, !from_papers(&work.what), work.seq));
        for (visit, work) in work {
            match &work.what {
                WorkDone::Operation { operation: id, place } => {
                    let Some(operation) = sheet.operations.get(id).filter(|operation| operation.renews)
                    else {
                        continue;
                    };
                    let places = match (place, sheet.components.get(&operation.component)) {
                        (Some(place), _) => vec![place.clone()],
                        (None, Some(component)) => component.places.clone(),
                        (None, None) => vec![],
                    };
                    for place in places {
                        let fitting = fittings.renewed(&operation.component, &place, visit, work.seq);
                        fitting.operation = Some(id.clone());
                    }
                }
                WorkDone::Fitted { component, place, part, batch, made, since, .. } => {
                    let fitting = match since {
                        None => fittings.renewed(component, place, visit, work.seq),
                        Some((date, odometer)) => {
                            let km = odometer.as_ref().map(km).or_else(|| {
                                // Papers without a distance: by even pace from new.
                                let first = car.first_used?;
                                let share = crate::days::years_between(first, *date)
                                    / crate::days::years_between(first, visit.date);
                                Some(share.clamp(0.0, 1.0) * km_in(visit))
                            });
                            let km = km.unwrap_or(0.0);
                            fittings.known_since(component, place, Start { date: *date, km }, work.seq)
                        }
                    };
                    fitting.part.clone_from(part);
                    fitting.batch.clone_from(batch);
                    fitting.made = *made;
                }
            }
        }
        fittings
    }

    /// The part in a place now.
    pub fn current(&self, component: &ComponentId, place: &Place) -> &Fitting {
        self.in_place(component, place).last().unwrap_or(&ORIGINAL)
    }

    /// The part that was in a place when an entry was written.
    pub fn at(&self, component: &ComponentId, place: &Place, seq: u64) -> &Fitting {
        let all = self.in_place(component, place);
        all.iter().rev().find(|fitting| fitting.from_seq <= seq).unwrap_or(&ORIGINAL)
    }

    /// All parts that have been in a place, the first one first; empty when nothing was ever fitted there.
    pub fn in_place(&self, component: &ComponentId, place: &Place) -> &[Fitting] {
        // A pair of owned ids is the key, and cloning two ids is cheap.
        self.0.get(&(component.clone(), place.clone())).map_or(&[], Vec::as_slice)
    }

    fn list(&mut self, component: &ComponentId, place: &Place) -> &mut Vec<Fitting> {
        let list = self.0.entry((component.clone(), place.clone())).or_default();
        if list.is_empty() {
            list.push(ORIGINAL);
        }
        list
    }

    /// A new part on a visit. An operation and what is said of its part on the same visit are one renewal.
    fn renewed(&mut self, component: &ComponentId, place: &Place, visit: &Visit, seq: u64) -> &mut Fitting {
        let list = self.list(component, place);
        if list.last().is_none_or(|last| last.visit.as_ref() != Some(&visit.id)) {
            let start = Some(Start { date: visit.date, km: km_in(visit) });
            list.push(Fitting { from_seq: seq, start, visit: Some(visit.id.clone()), ..ORIGINAL });
        }
        let last = list.len() - 1;
        &mut list[last]
    }

    /// A part that papers show to have been in for longer.
    fn known_since(
        &mut self,
        component: &ComponentId,
        place: &Place,
        start: Start,
        seq: u64,
    ) -> &mut Fitting {
        let list = self.list(component, place);
        if list.last().is_some_and(|last| last.start.is_some()) {
            list.push(Fitting { from_seq: seq, ..ORIGINAL });
        }
        let last = list.len() - 1;
        list[last].start = Some(start);
        &mut list[last]
    }
}

fn km_in(visit: &Visit) -> f64 {
    km(&visit.odometer)
}
