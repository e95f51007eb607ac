//! What steps, work and failures cost, in money of the workshop.

use crate::judge::Judge;
use prognosis::cascade::{Consequences, Harms, Link};
use rust_decimal::{Decimal, prelude::ToPrimitive};
use sheet::{AccessId, Component, ComponentId, ConsequenceId, Operation, PartId};

/// Prices from the data sheet and the workshop's rate.
pub(crate) struct Costs<'a> {
    judge: &'a Judge<'a>,
    rate: f64,
    /// Absent when the consequences on the sheet cannot be followed; nothing is then counted for them.
    harms: Option<Harms>,
}

/// Mean life of a part of which nothing is known, in years. Common practice, no source.
const UNKNOWN_LIFE_YEARS: f64 = 10.0;

impl<'a> Costs<'a> {
    /// At the workshop's own rate, or another one that is asked for.
    pub(crate) fn new(judge: &'a Judge<'a>, rate: Option<Decimal>) -> Self {
        let consequences = &judge.sheet.consequences;
        let money: Vec<f64> =
            consequences.values().map(|consequence| consequence.costs.to_f64().unwrap_or(0.0)).collect();
        let links: Vec<Link> = consequences
            .values()
            .enumerate()
            .flat_map(|(from, consequence)| {
                consequence
                    .then
                    .iter()
                    .filter_map(move |(to, p)| Some(Link { from, to: consequences.get_index_of(to)?, p: *p }))
            })
            .collect();
        Self {
            judge,
            rate: rate.unwrap_or(judge.shop.rate).to_f64().unwrap_or(0.0),
            harms: Harms::new(&money, &links).ok(),
        }
    }

    /// Hours to open a step and to put it back.
    pub(crate) fn step_hours(&self, step: &AccessId) -> f64 {
        let hours = self.judge.sheet.access.get(step).map_or(0.0, |step| step.hours);
        hours * (1.0 + self.judge.sheet.refit)
    }

    /// Money to open a step and to put it back.
    pub(crate) fn step(&self, step: &AccessId) -> f64 {
        self.step_hours(step) * self.rate
    }

    /// Money for everything that must be open.
    pub(crate) fn closure(&self, needs: &[AccessId]) -> f64 {
        self.judge.sheet.access_closure(needs).iter().map(|step| self.step(step)).sum()
    }

    /// Money for an operation itself, at so many places: hours and parts, the steps left out.
    pub(crate) fn operation(&self, operation: &Operation, places: usize) -> f64 {
        let parts: f64 =
            operation.parts.iter().map(|needed| self.price(&needed.part) * f64::from(needed.quantity)).sum();
        (operation.hours * self.rate + parts) * places as f64
    }

    fn price(&self, part: &PartId) -> f64 {
        let newest = self.judge.sheet.successor(part);
        self.judge.sheet.parts.get(newest).and_then(|part| part.price.to_f64()).unwrap_or(0.0)
    }

    /// What a failure of a component is expected to cost beyond its repair.
    pub(crate) fn failure(&self, component: &Component) -> f64 {
        component.fails_as.as_ref().and_then(|start| self.after(start)).map_or(0.0, |after| after.expected)
    }

    /// What follows once a harm has happened; absent when it cannot be followed.
    pub(crate) fn after(&self, start: &ConsequenceId) -> Option<Consequences> {
        self.harms.as_ref()?.after(self.index(start)?).ok()
    }

    /// Money that a harm costs by itself.
    pub(crate) fn of_harm(&self, id: &ConsequenceId) -> f64 {
        self.judge.sheet.consequences.get(id).and_then(|harm| harm.costs.to_f64()).unwrap_or(0.0)
    }

    /// Money an hour.
    pub(crate) fn rate(&self) -> f64 {
        self.rate
    }

    fn index(&self, consequence: &ConsequenceId) -> Option<usize> {
        self.judge.sheet.consequences.get_index_of(consequence)
    }

    /// Mean years that a new part lasts on this car.
    pub(crate) fn years_of_life(&self, id: &ComponentId) -> f64 {
        let sheet = self.judge.sheet;
        let Some(component) = sheet.components.get(id) else { return UNKNOWN_LIFE_YEARS };
        let pace = self.judge.odometer.yearly_km().unwrap_or(sheet.yearly_use.mean_km).max(1.0);
        let by_life = component.life.as_ref().map(|life| {
            let ageing = self.judge.ageing(component);
            // Reference years a year, at this car's pace.
            ageing.median(life) / ageing.age(pace, 1.0).max(0.01)
        });
        let by_interval = || {
            let interval = sheet.checks.values().find_map(|check| match &check.kind {
                sheet::CheckKind::Interval(interval) if check.component == *id => Some(interval),
                _ => None,
            })?;
            let by_km = interval.km.map(|km| km / pace);
            [by_km, interval.years].into_iter().flatten().min_by(f64::total_cmp)
        };
        by_life.or_else(by_interval).unwrap_or(UNKNOWN_LIFE_YEARS).max(0.1)
    }
}
