//! What is fitted where: the parts that have been in each place, one after the other.

use crate::ageing::Start;
use crate::car::{Car, Moment, Visit, WorkDone, km};
use jiff::civil::Date;
use sheet::{ComponentId, OperationId, PartId, Place, Sheet};
use std::collections::BTreeMap;

/// One part in one place, from when it was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// What is said from this moment on is said of this part.
    pub from: Moment,
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
const ORIGINAL: Fitting = Fitting {
    from: Moment { visit: 0, seq: 0 },
    start: None,
    visit: None,
    operation: None,
    part: None,
    batch: None,
    made: None,
};

impl Fittings {
    /// The parts that a car's work has put in by a day: by operations that renew, and as said of each part.
    pub fn of(car: &Car, sheet: &Sheet, today: Date) -> Self {
        let mut fittings = Self::default();
        let visits = car.visits.iter().filter(|visit| visit.date <= today);
        let mut work: Vec<_> =
            visits.flat_map(|visit| visit.work.iter().map(move |work| (visit, work))).collect();
        // What papers show of a part was so before anything was done to it on that visit.
        let from_papers = |what: &WorkDone| matches!(what, WorkDone::Fitted { since: Some(_), .. });
        work.sort_by_key(|(_, work)| (work.moment.visit, !from_papers(&work.what), work.moment.seq));
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
                        let fitting = fittings.renewed(&operation.component, &place, visit, work.moment);
                        fitting.operation = Some(id.clone());
                    }
                }
                WorkDone::Fitted { component, place, part, batch, made, since, .. } => {
                    let fitting = match since {
                        None => fittings.renewed(component, place, visit, work.moment),
                        Some((date, odometer)) => {
                            let km = odometer.as_ref().map(km).or_else(|| {
                                // Papers without a distance: by even pace from new.
                                let first = car.first_used?;
                                let share = crate::days::years_between(first, *date)
                                    / crate::days::years_between(first, visit.date);
                                Some(share.clamp(0.0, 1.0) * km_in(visit))
                            });
                            let start = Start { date: *date, km: km.unwrap_or(0.0) };
                            let from = car.visits.partition_point(|visit| visit.date < *date);
                            fittings.known_since(component, place, start, Moment { visit: from, seq: 0 })
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

    /// The part that was in a place at a moment.
    pub fn at(&self, component: &ComponentId, place: &Place, moment: Moment) -> &Fitting {
        let all = self.in_place(component, place);
        all.iter().rev().find(|fitting| fitting.from <= moment).unwrap_or(&ORIGINAL)
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
    fn renewed(
        &mut self,
        component: &ComponentId,
        place: &Place,
        visit: &Visit,
        from: Moment,
    ) -> &mut Fitting {
        let list = self.list(component, place);
        if list.last().is_none_or(|last| last.visit.as_ref() != Some(&visit.id)) {
            let start = Some(Start { date: visit.date, km: km_in(visit) });
            list.push(Fitting { from, start, visit: Some(visit.id.clone()), ..ORIGINAL });
        }
        let last = list.len() - 1;
        &mut list[last]
    }

    /// A part that papers show to have been in since before the visit that tells of it. What was said on visits before its
    /// start was said of another part.
    fn known_since(
        &mut self,
        component: &ComponentId,
        place: &Place,
        start: Start,
        from: Moment,
    ) -> &mut Fitting {
        let list = self.list(component, place);
        let last = list.last().map_or(ORIGINAL.from, |last| last.from);
        if from > last || list.last().is_some_and(|last| last.start.is_some()) {
            list.push(Fitting { from: from.max(last), ..ORIGINAL });
        }
        let last = list.len() - 1;
        list[last].start = Some(start);
        &mut list[last]
    }
}

fn km_in(visit: &Visit) -> f64 {
    km(&visit.odometer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{Shelf, Told, told, visit};
    use jiff::civil::date;

    fn disc() -> (ComponentId, Place) {
        ("disc".into(), "front.left".into())
    }

    fn fittings(told: &Told) -> Fittings {
        Fittings::of(&told.car, &told.sheet, Date::MAX)
    }

    /// Start of each part that was in the left front disc's place.
    fn starts(told: &Told) -> Vec<Option<(String, f64)>> {
        let (component, place) = disc();
        let fittings = fittings(told);
        let all = fittings.in_place(&component, &place).iter();
        all.map(|fitting| fitting.start.map(|start| (start.date.to_string(), start.km))).collect()
    }

    #[test]
    fn what_was_never_touched_is_the_original_of_unknown_age() {
        let told = told(&[visit("2024-05-01", 20_000, "")]);
        let (component, place) = disc();
        assert!(fittings(&told).in_place(&component, &place).is_empty());
        assert_eq!(*fittings(&told).current(&component, &place), ORIGINAL);
    }

    #[test]
    fn work_and_papers_tell_what_was_in_a_place_one_after_the_other() {
        let renewed = "[[done]]\noperation = \"renew-discs\"\n";
        let fitted =
            |rest: &str| format!("[[fitted]]\ncomponent = \"disc\"\nplace = \"front.left\"\n{rest}\n");
        let at = |date: &str, km: f64| Some((date.to_owned(), km));
        for (name, visits, expected) in [
            (
                "an operation that renews",
                vec![visit("2024-05-01", 20_000, renewed)],
                vec![None, at("2024-05-01", 20_000.0)],
            ),
            (
                "an operation and its part on one visit are one renewal",
                vec![visit("2024-05-01", 20_000, &format!("{renewed}{}", fitted("part = \"PV-10\"")))],
                vec![None, at("2024-05-01", 20_000.0)],
            ),
            (
                "a part without an operation",
                vec![visit("2024-05-01", 20_000, &fitted(""))],
                vec![None, at("2024-05-01", 20_000.0)],
            ),
            (
                "an operation that does not renew",
                vec![visit("2024-05-01", 20_000, "[[done]]\noperation = \"retension-fan-belt\"")],
                vec![],
            ),
            (
                "papers, on the first visit",
                vec![visit("2024-05-01", 20_000, &fitted("since = 2022-05-01\nodometer = \"12000 km\""))],
                vec![at("2022-05-01", 12_000.0)],
            ),
            (
                "papers, and a renewal on the same visit",
                vec![visit(
                    "2024-05-01",
                    20_000,
                    &format!("{renewed}{}", fitted("since = 2022-05-01\nodometer = \"12000 km\"")),
                )],
                vec![at("2022-05-01", 12_000.0), at("2024-05-01", 20_000.0)],
            ),
            (
                "papers of work elsewhere between two visits",
                vec![
                    visit("2020-05-01", 5_000, ""),
                    visit("2024-05-01", 20_000, &fitted("since = 2022-05-01\nodometer = \"12000 km\"")),
                ],
                vec![None, at("2022-05-01", 12_000.0)],
            ),
            (
                "papers of work elsewhere after our own",
                vec![
                    visit("2020-05-01", 5_000, renewed),
                    visit("2024-05-01", 20_000, &fitted("since = 2022-05-01\nodometer = \"12000 km\"")),
                ],
                vec![None, at("2020-05-01", 5_000.0), at("2022-05-01", 12_000.0)],
            ),
        ] {
            assert_eq!(starts(&told(&visits)), expected, "{name}");
        }
    }

    #[test]
    fn papers_without_a_distance_are_placed_by_even_pace_since_new() {
        // First used on 1 January 2018, 60 000 km on 1 January 2024: half way in time is half way in distance.
        let papers = "[[fitted]]\ncomponent = \"cam-belt\"\nsince = 2021-01-01\n";
        let told = told(&[visit("2024-01-01", 60_000, papers)]);
        let start = fittings(&told).current(&"cam-belt".into(), &"single".into()).start.unwrap();
        assert_eq!(start.date, date(2021, 1, 1));
        assert!((start.km - 30_000.0).abs() < 20.0, "{start:?}");
    }

    #[test]
    fn an_operation_at_one_place_renews_that_place_alone() {
        let told = told(&[visit(
            "2024-05-01",
            20_000,
            "[[done]]\noperation = \"renew-hose\"\nplace = \"front.right\"",
        )]);
        let fittings = fittings(&told);
        let start = |place: &str| fittings.current(&"hose".into(), &place.into()).start;
        assert_eq!(start("front.left"), None);
        assert_eq!(start("front.right").map(|start| start.date), Some(date(2024, 5, 1)));
    }

    #[test]
    fn a_part_carries_what_was_said_of_it() {
        let told = told(&[visit(
            "2024-05-01",
            20_000,
            "[[done]]\noperation = \"renew-fan-belt\"\n[[fitted]]\ncomponent = \"fan-belt\"\npart = \"PV-30\"\nbatch = \"22F\"\nmade = 2023-02-01",
        )]);
        let fittings = fittings(&told);
        let fitting = fittings.current(&"fan-belt".into(), &"single".into());
        assert_eq!(fitting.operation.as_ref().map(|id| id.as_str()), Some("renew-fan-belt"));
        assert_eq!(fitting.part.as_ref().map(|id| id.as_str()), Some("PV-30"));
        assert_eq!((fitting.batch.as_deref(), fitting.made), (Some("22F"), Some(date(2023, 2, 1))));
        assert_eq!(fitting.visit.as_deref(), Some("dora-2024-05-01"));
    }

    /// A visit found in a drawer and written down last: its work happened when it happened.
    #[test]
    fn an_old_visit_written_down_late_changes_only_what_came_after_its_day() {
        let look = |mm: &str| format!("[readings]\ndisc-thickness = {{ \"front.left\" = \"{mm} mm\" }}\n");
        let renewed = "[[done]]\noperation = \"renew-discs\"\n";
        let story = [
            visit("2020-05-01", 20_000, &look("24.6")),
            visit("2022-05-01", 44_000, &format!("{}{renewed}", look("24.1"))),
            visit("2024-05-01", 68_000, &look("24.5")),
        ];
        let old = visit("2018-05-01", 2_000, renewed);
        let in_order = told(&[old.clone(), story[0].clone(), story[1].clone(), story[2].clone()]);

        let mut shelf = Shelf::new();
        for text in story.iter().chain([&old]) {
            shelf.record(&[("visit.toml", text)]).unwrap();
        }
        let late = shelf.told("dora");

        assert_eq!(starts(&late), starts(&in_order));
        for told in [&in_order, &late] {
            let (component, place) = disc();
            let fittings = fittings(told);
            let started = |visit: &str| {
                let moment = told.car.visit(visit).unwrap().findings[0].moment;
                fittings.at(&component, &place, moment).start.map(|start| start.date)
            };
            assert_eq!(started("dora-2020-05-01"), Some(date(2018, 5, 1)));
            assert_eq!(started("dora-2022-05-01"), Some(date(2018, 5, 1)), "looked at before it was renewed");
            assert_eq!(started("dora-2024-05-01"), Some(date(2022, 5, 1)));
        }
    }
}
