//! From what was typed to a measured value with its uncertainty.

use super::{At, Judge};
use crate::car::{Moment, Visit, What};
use crate::words;
use bench::Readings;
use journal::Seen;
use quantity::{Measurement, Quantity};
use sheet::{CheckKind, Derived, Input, InstrumentId, Place, Reading};

/// A measured value and what is to be said of how it came about.
pub(super) struct Made {
    pub measurement: Measurement,
    /// Decimals to show: as fine as the instrument or the formula tells.
    pub decimals: i32,
    pub says: String,
    /// A derived reading: the formula, and its steps in words.
    pub formula: Option<(String, Vec<String>)>,
}

/// Why a reading cannot be worked out.
pub(super) type Unclear = String;

impl<'a> Judge<'a> {
    /// The value of a reading or derived reading on a visit; `None` when it was not taken.
    pub(super) fn made(&self, at: At<'a>, visit: &'a Visit) -> Option<Result<Made, Unclear>> {
        match &at.check.kind {
            CheckKind::Reading(reading) => {
                let finding = super::said_on(visit, at)?;
                let What::Reading { values, instrument, .. } = &finding.what else { return None };
                Some(self.read(reading, values, instrument.as_deref(), visit))
            }
            CheckKind::Derived(derived) => self.derive(derived, at.place, visit),
            CheckKind::Observation(_) | CheckKind::Interval(_) => None,
        }
    }

    fn read(
        &self,
        reading: &Reading,
        values: &[Quantity],
        instrument: Option<&str>,
        visit: &Visit,
    ) -> Result<Made, Unclear> {
        let statement = self.statement(reading, instrument, visit)?;
        let measured = quantity::reading(values, reading.keep, &statement, None)
            .and_then(|measured| Ok(measured.in_unit(reading.unit)?))
            .map_err(|error| error.to_string())?;
        let decimals = values
            .iter()
            .map(|value| if value.unit() == reading.unit { value.decimals() } else { 2 })
            .max()
            .unwrap_or(0);
        let kept = match (values.len(), reading.keep) {
            (1, _) => String::new(),
            (n, sheet::Keep::Mean) => format!(", mean of {n}"),
            (n, sheet::Keep::Min) => format!(", the smallest of {n}"),
            (n, sheet::Keep::Max) => format!(", the largest of {n}"),
        };
        let title = &self.sheet.instruments[self.kind_of(reading, instrument, visit).as_str()].title;
        let says = format!("Measured {measured} with the {}{kept}.", words::lower_first(title));
        Ok(Made { measurement: measured, decimals, says, formula: None })
    }

    /// What to believe of the instrument used: the workshop's own by its id, or a kind from the sheet.
    pub(super) fn statement(
        &self,
        reading: &Reading,
        instrument: Option<&str>,
        visit: &Visit,
    ) -> Result<quantity::Instrument, Unclear> {
        let kind = self.kind_of(reading, instrument, visit);
        let known = self
            .sheet
            .instruments
            .get(&kind)
            .ok_or_else(|| format!("the data sheet does not know the instrument `{kind}`"))?;
        let mut statement = known.statement.clone();
        if let Some(name) = instrument.or_else(|| self.shop.only(&kind)) {
            statement.id = name.into();
            statement.overdue = self.shop.instrument(name, visit.date).1;
        }
        Ok(statement)
    }

    fn kind_of(&self, reading: &Reading, instrument: Option<&str>, visit: &Visit) -> InstrumentId {
        instrument.map_or_else(|| reading.instrument.clone(), |name| self.shop.instrument(name, visit.date).0)
    }

    /// Where in the story a derived reading stands on a visit: where the last of its readings was written. `None` unless all
    /// were taken.
    pub(super) fn derived_at(&self, derived: &Derived, place: &Place, visit: &'a Visit) -> Option<Moment> {
        let mut last = None;
        for input in derived.inputs.values() {
            let Input::Check { check, place: named } = input else { continue };
            let at = self.at(check, named.as_ref().unwrap_or(place))?;
            last = last.max(Some(self.said_at(at, visit)?));
        }
        last
    }

    /// How the worst seen of the readings behind a value was seen.
    pub(super) fn seen_at_worst(&self, at: At<'a>, visit: &'a Visit) -> Option<Seen> {
        let CheckKind::Derived(derived) = &at.check.kind else {
            let What::Reading { seen, .. } = super::said_on(visit, at)?.what else { return None };
            return Some(seen);
        };
        let checks = derived.inputs.values().filter_map(|input| match input {
            Input::Check { check, place } => self.at(check, place.as_ref().unwrap_or(at.place)),
            Input::Value(_) | Input::Word(_) => None,
        });
        checks.filter_map(|at| self.seen_at_worst(at, visit)).max()
    }

    fn derive(&self, derived: &Derived, place: &Place, visit: &'a Visit) -> Option<Result<Made, Unclear>> {
        let mut readings = Readings::new();
        for (key, input) in &derived.inputs {
            readings = match input {
                Input::Word(word) => readings.text(key, word),
                Input::Value(value) => match Measurement::new(value.value(), value.unit()) {
                    Ok(constant) => readings.number(key, constant),
                    Err(error) => return Some(Err(error.to_string())),
                },
                Input::Check { check, place: named } => {
                    let at = self.at(check, named.as_ref().unwrap_or(place))?;
                    match self.made(at, visit)? {
                        Ok(made) => readings.number(key, made.measurement),
                        Err(unclear) => return Some(Err(unclear)),
                    }
                }
            };
        }
        Some(evaluate(derived, &readings))
    }

    /// A check at a place of this car.
    pub(super) fn at(&self, check: &sheet::CheckId, place: &Place) -> Option<At<'a>> {
        let (_, id, check) = self.sheet.checks.get_full(check)?;
        let component = self.sheet.components.get(&check.component)?;
        let place = component.places.iter().find(|known| *known == place)?;
        Some(At { id, check, component, place })
    }
}

/// The result of a formula of the bench over measured values, their uncertainty carried through it.
pub(super) fn evaluate(derived: &Derived, readings: &Readings) -> Result<Made, Unclear> {
    let formula = bench::formula(&derived.formula).map_err(|error| error.to_string())?;
    let assessed = formula.assess(readings).map_err(|error| error.to_string())?;
    let found = assessed.number(&derived.gives).ok_or_else(|| {
        format!("the formula `{}` does not give `{}` from these readings", formula.id, derived.gives)
    })?;
    let measurement = found.measured.in_unit(derived.unit).map_err(|error| error.to_string())?;
    let decimals = quantity::rounding::decimals_for(measurement.u()).clamp(0, 6);
    let title = formula.output(&derived.gives).map_or(formula.title, |output| output.title);
    let says = format!("{title}: {measurement}, from {}.", formula.equation);
    let steps = assessed.steps.iter().map(ToString::to_string).collect();
    Ok(Made { measurement, decimals, says, formula: Some((derived.formula.clone(), steps)) })
}
