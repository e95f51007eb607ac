//! What would decide a measurement that cannot: more repeats, or a finer instrument that the workshop owns.

use super::reading::{Point, accepted_risk};
use super::{At, Judge};
use crate::car::{Finding, Visit, What};
use crate::words;
use quantity::{
    Bounds, Measurement,
    remeasure::{spread_of_one, what_would_settle},
};
use sheet::{CheckKind, InstrumentId, Reading};

/// More repeats than this nobody takes. Common practice, no source.
const MOST_REPEATS: u32 = 10;

impl<'a> Judge<'a> {
    /// What would decide it, in a sentence; `None` when neither repeats nor an instrument at hand would.
    pub(super) fn settled_by(&self, at: At<'a>, point: &Point, finding: Option<&Finding>) -> Option<String> {
        // A derived reading is decided by its own readings.
        let CheckKind::Reading(reading) = &at.check.kind else { return None };
        let What::Reading { values, instrument, .. } = &finding?.what else { return None };
        let limit = reading.scale.limit.as_ref()?;
        let bounds =
            Bounds::new(limit.min.unwrap_or(f64::NEG_INFINITY), limit.max.unwrap_or(f64::INFINITY)).ok()?;
        let accepted = accepted_risk(at.component.criticality);
        let measured = &point.made.measurement;
        let repeats = averaged(reading, values.len());
        let one = spread_of_one(measured, repeats);
        let settle = what_would_settle(measured, one, repeats, &bounds, accepted).ok()?;
        if reading.keep == sheet::Keep::Mean
            && let Some(more) = settle.more_readings.filter(|more| (1..=MOST_REPEATS).contains(more))
        {
            return Some(format!(
                "{} would decide it.",
                words::count(more as usize, "more reading", "more readings")
            ));
        }
        let used = instrument
            .as_deref()
            .map_or_else(|| reading.instrument.clone(), |name| self.shop.instrument(name, point.date).0);
        let finer = self.finer(reading, &used, measured, settle.u_needed, |one| Some(one.u()))?;
        let title = &self.sheet.instruments.get(&finer)?.title;
        Some(format!("Measured again with the {}, it would be decided.", title.to_lowercase()))
    }

    /// What would decide how far two readings of a visit lie apart, in a sentence.
    pub(super) fn difference_settled_by(
        &self,
        here: At<'a>,
        there: At<'a>,
        visit: &Visit,
        apart: &Measurement,
        bounds: &Bounds,
    ) -> Option<String> {
        let CheckKind::Reading(reading) = &here.check.kind else { return None };
        let typed = |at| match &super::said_on(visit, at)?.what {
            What::Reading { values, instrument, .. } => Some((values.len(), instrument.as_deref())),
            _ => None,
        };
        let ((n, first), (m, second)) = (typed(here)?, typed(there)?);
        let repeats = averaged(reading, n.min(m));
        let accepted = accepted_risk(here.component.criticality);
        let one = spread_of_one(apart, repeats);
        let settle = what_would_settle(apart, one, repeats, bounds, accepted).ok()?;
        if n == m
            && reading.keep == sheet::Keep::Mean
            && let Some(more) = settle.more_readings.filter(|more| (1..=MOST_REPEATS).contains(more))
        {
            return Some(format!(
                "{} at both places would decide it.",
                words::count(more as usize, "more reading", "more readings")
            ));
        }
        let kind = |name: Option<&str>| {
            name.map_or_else(|| reading.instrument.clone(), |name| self.shop.instrument(name, visit.date).0)
        };
        let used = kind(first);
        if used != kind(second) {
            return None; // read again with one instrument, its own error would cancel; how far that goes nobody knows yet
        }
        let both = |one: &Measurement| quantity::difference(one, one).ok().map(|d| d.u());
        let finer = self.finer(reading, &used, apart, settle.u_needed, both)?;
        let title = &self.sheet.instruments.get(&finer)?.title;
        Some(format!("Measured again at both places with the {}, it would be decided.", title.to_lowercase()))
    }

    /// Another instrument for this reading that the workshop owns and that is fine enough.
    fn finer(
        &self,
        reading: &Reading,
        used: &InstrumentId,
        measured: &Measurement,
        u_needed: f64,
        u_of: impl Fn(&Measurement) -> Option<f64>,
    ) -> Option<InstrumentId> {
        let value = quantity::Quantity::new(measured.value(), reading.unit).ok()?;
        let u_with = |kind: &InstrumentId| {
            let statement = &self.sheet.instruments.get(kind)?.statement;
            let one = quantity::reading(std::slice::from_ref(&value), quantity::Keep::Mean, statement, None)
                .ok()?;
            u_of(&one)
        };
        let mut candidates: Vec<(f64, &InstrumentId)> = std::iter::once(&reading.instrument)
            .chain(&reading.also)
            .filter(|kind| *kind != used && self.shop.owns(kind))
            .filter_map(|kind| Some((u_with(kind)?, kind)))
            .filter(|(u, _)| *u <= u_needed && *u < measured.u())
            .collect();
        candidates.sort_by(|a, b| a.0.total_cmp(&b.0));
        candidates.first().map(|(_, kind)| (*kind).clone())
    }
}

/// How many readings stand behind a value; of several of which one is kept, one.
fn averaged(reading: &Reading, readings: usize) -> u32 {
    if reading.keep == sheet::Keep::Mean { u32::try_from(readings).unwrap_or(u32::MAX) } else { 1 }
}
