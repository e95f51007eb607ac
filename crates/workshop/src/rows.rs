//! The rows that lists read, drawn from a car's entries and the workshop's: its card, and what its parts tell of lives.

use crate::car::{Car, Finding, Moment, What, km};
use crate::days::years_between;
use crate::judge::Judge;
use crate::shop::Shop;
use jiff::civil::Date;
use journal::{Age, Card, Draw, LifeRow, Rows, Source, StoreError, Stream};
use quantity::Unit;
use sheet::{CheckKind, Component, ComponentId, Place, Sheet, Verdict};
use std::{collections::BTreeMap, sync::Arc};

/// Draws the rows of cars; keeps the workshop as long as its stream has not grown.
#[derive(Default)]
pub struct Drawer {
    shop: Option<(u64, Shop)>,
}

impl Draw for Drawer {
    fn rows(&mut self, car: &str, source: &dyn Source) -> Result<Rows, StoreError> {
        let length = source.length(&Stream::Workshop)?;
        if self.shop.as_ref().is_none_or(|(known, _)| *known != length) {
            self.shop = Some((length, Shop::fold(&source.entries(&Stream::Workshop)?)));
        }
        let entries = source.entries(&Stream::Car(car.into()))?;
        let shop = self.shop.as_ref().map(|(_, shop)| shop);
        Ok(shop.and_then(|shop| Some(rows(shop, &Car::fold(car, &entries)?))).unwrap_or_default())
    }
}

/// The rows of one car, judged on the day of its last visit.
pub fn rows(shop: &Shop, car: &Car) -> Rows {
    let (Some(sheet), Some(last)) = (sheet_of(shop, car), car.last_visit()) else {
        return Rows { card: Some(unjudged(car)), lives: vec![] };
    };
    let judge = Judge::new(shop, &sheet, car, last.date);
    Rows { card: Some(judged(&judge)), lives: lives(&judge, &sheet, car) }
}

/// The card of one car as it is judged on a day.
pub fn card_on(shop: &Shop, car: &Car, day: Date) -> Card {
    match sheet_of(shop, car) {
        Some(sheet) => judged(&Judge::new(shop, &sheet, car, day)),
        None => unjudged(car),
    }
}

/// The data sheet that judges a car's last visit.
fn sheet_of(shop: &Shop, car: &Car) -> Option<Arc<Sheet>> {
    shop.sheet_at(car.sheet.as_ref()?, &car.last_visit()?.revision)
}

fn judged(judge: &Judge<'_>) -> Card {
    let mut card = unjudged(judge.car);
    for judged in judge.assess().findings.iter().filter(|judged| judged.put_right.is_none()) {
        *card.verdicts.entry(judged.verdict.id().into()).or_default() += 1;
    }
    card
}

fn unjudged(car: &Car) -> Card {
    let last = car.last_visit();
    Card {
        car: car.id.clone(),
        title: car.title.clone(),
        tag: car.tag.clone(),
        sheet: car.sheet.as_ref().map(ToString::to_string).unwrap_or_default(),
        odometer_km: last.map(|visit| visit.km()),
        last_visit: last.map(|visit| visit.date),
        open_visit: car.open_visit().map(|visit| visit.id.clone()),
        verdicts: BTreeMap::new(),
        tags: car.open_tags().count() as u32,
        long_jobs: car.carried().count() as u32,
        agreed_for: car.carried().filter_map(|job| job.on).min(),
    }
}

/// A look at a part: good or gone.
struct Seen {
    moment: Moment,
    date: Date,
    km: f64,
    gone: bool,
}

fn lives(judge: &Judge<'_>, sheet: &Sheet, car: &Car) -> Vec<LifeRow> {
    let mut rows = Vec::new();
    for (id, component) in &sheet.components {
        if component.life.is_none() || !component.only.includes(car.variant.as_ref()) {
            continue;
        }
        for place in &component.places {
            let looks = looks(sheet, car, id, place);
            rows.extend(lives_in(judge, car, (id, component), place, &looks));
        }
    }
    rows
}

/// One row for each part that has been in a place and was seen there.
fn lives_in(
    judge: &Judge<'_>,
    car: &Car,
    (id, _): (&ComponentId, &Component),
    place: &Place,
    looks: &[Seen],
) -> Vec<LifeRow> {
    let fittings = judge.fittings.in_place(id, place);
    let parts = fittings.len().max(1);
    let mut rows = Vec::new();
    for n in 0..parts {
        let from = fittings.get(n).map_or(Moment::default(), |fitting| fitting.from);
        let next = fittings.get(n + 1);
        let before_next = |look: &&Seen| next.is_none_or(|next| look.moment < next.from);
        let mine: Vec<&Seen> = looks.iter().filter(|look| from <= look.moment).filter(before_next).collect();
        let known = fittings.get(n).and_then(|fitting| fitting.start);
        let (start_date, start_km) = match (known, car.first_used) {
            (Some(start), _) => (start.date, start.km),
            // Unknown: it may have been in since the car was new; watching begins at the first sighting.
            (None, Some(first_used)) => (first_used, 0.0),
            (None, None) => continue,
        };
        let age = |date: Date, km: f64| Age {
            km: (km - start_km).max(0.0),
            years: years_between(start_date, date).max(0.0),
        };
        let Some(first) = mine.first() else { continue };
        let fitted_here = fittings.get(n).is_some_and(|fitting| fitting.visit.is_some());
        let entry = if fitted_here { Age { km: 0.0, years: 0.0 } } else { age(first.date, first.km) };
        let gone = mine.iter().find(|look| look.gone);
        let good = mine.iter().take_while(|look| !look.gone).last();
        // Renewed while good: it was good up to then.
        let renewed = next.and_then(|next| next.start).filter(|_| gone.is_none());
        let lower = match (renewed, good) {
            (Some(start), _) => Some(age(start.date, start.km)),
            (None, Some(look)) => Some(age(look.date, look.km)),
            (None, None) => None,
        };
        rows.push(LifeRow {
            car: car.id.clone(),
            sheet: car.sheet.as_ref().map(ToString::to_string).unwrap_or_default(),
            component: id.to_string(),
            place: place.to_string(),
            number: n as u32 + 1,
            lower,
            upper: gone.map(|look| age(look.date, look.km)),
            entry,
        });
    }
    rows
}

/// Every look at a component in a place that could tell, in order.
fn looks(sheet: &Sheet, car: &Car, component: &ComponentId, place: &Place) -> Vec<Seen> {
    let mut looks: Vec<Seen> = car
        .visits
        .iter()
        .flat_map(|visit| visit.findings.iter().map(move |finding| (visit, finding)))
        .filter(|(_, finding)| finding.place == *place)
        .filter_map(|(visit, finding)| {
            let check = sheet.checks.get(&finding.check).filter(|check| check.component == *component)?;
            let gone = is_gone(&check.kind, finding)?;
            Some(Seen { moment: finding.moment, date: visit.date, km: km(&visit.odometer), gone })
        })
        .collect();
    looks.sort_by_key(|look| look.moment);
    looks
}

/// Whether a part is gone: it needs doing, by its state or by its value. `None` when the finding cannot tell.
fn is_gone(kind: &CheckKind, finding: &Finding) -> Option<bool> {
    match (&finding.what, kind) {
        (What::Look { state, .. }, CheckKind::Observation(states)) => {
            let state = states.iter().find(|known| known.id == *state)?;
            Some(matches!(state.means, Verdict::Plan | Verdict::BeforeLeaving | Verdict::StaysPut))
        }
        (What::Reading { values, .. }, CheckKind::Reading(reading)) => {
            let limit = reading.scale.limit.as_ref()?;
            let unit: Unit = reading.unit;
            let numbers: Vec<f64> = values.iter().filter_map(|value| value.value_in(unit).ok()).collect();
            let low = numbers.iter().copied().reduce(f64::min)?;
            let high = numbers.iter().copied().reduce(f64::max)?;
            Some(limit.min.is_some_and(|min| low < min) || limit.max.is_some_and(|max| high > max))
        }
        _ => None,
    }
}
