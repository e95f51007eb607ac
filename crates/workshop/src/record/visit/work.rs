//! What was done on a visit, and what the work asks for before the keys go back.

use super::Lines;
use crate::car::km;
use crate::days::years_between;
use crate::keys;
use crate::record::{RecordFault, Root, Said, Value, day};
use journal::Known;
use quantity::Unit;
use sheet::table::dangling;

/// A car is built, and its parts are fitted, at most so long before it is first used. Common practice, no source.
const BUILT_BEFORE_YEARS: f64 = 1.0;

impl<'a> Lines<'_, 'a, '_> {
    pub(super) fn operation(&self, value: Value<'a>) -> Option<&sheet::Operation> {
        let (sheet, id) = (self.sheet(), value.str()?);
        let Some(operation) = sheet.operations.get(id) else {
            value.fault(dangling("operation", id, sheet.operations.keys()));
            return None;
        };
        if !operation.only.includes(self.car.variant.as_ref()) {
            value.fault(RecordFault::OperationVariant { operation: id.into() });
            return None;
        }
        Some(operation)
    }

    pub(super) fn done(&self, t: &Root<'a>) -> Option<Said> {
        let operation = t.need("operation", |v| self.operation(v).zip(v.str()));
        let place = t.may("place", |v| {
            let place = self.place_of(v.str()?, &operation?.0.component, &v.span())?;
            Some(place.to_string())
        });
        if let Some((known, id)) = operation
            && known.each
            && t.get("place").is_none()
        {
            let places = self.sheet().components.get(&known.component)?.places.clone();
            if places.len() > 1 {
                t.fault(RecordFault::PlaceMissing { of: id.to_owned(), places });
            }
        }
        let known = Known::Done { visit: self.visit(), operation: operation?.1.to_owned(), place };
        Some(self.said(t, known))
    }

    pub(super) fn fitted(&self, t: &Root<'a>) -> Option<Said> {
        let (component, place) = self.seat(t, "component");
        let part = t.may("part", |v| self.part(v));
        let batch = t.may("batch", Value::text);
        let before = |v: Value<'a>| {
            let date = day(v)?;
            if date > self.heading.date {
                v.fault(RecordFault::LiesAhead { date });
                return None;
            }
            Some(date)
        };
        let made = t.may("made", before);
        // A part may be older than the car; it was not on it before.
        let since = t.may("since", |v| {
            let date = before(v)?;
            match self.heading.car.first_used.filter(|first| years_between(date, *first) > BUILT_BEFORE_YEARS)
            {
                Some(first_used) => {
                    v.fault(RecordFault::BeforeTheCar { date, first_used });
                    None
                }
                None => Some(date),
            }
        });
        let odometer = t.may("odometer", |v| {
            let (odometer, visit) = (v.odometer()?, &self.heading.odometer);
            if km(&odometer) > km(visit) + 0.5 && !self.heading.as_read {
                v.fault(RecordFault::BeyondTheVisit {
                    found: odometer.to_string(),
                    visit: visit.to_string(),
                });
                return None;
            }
            Some(odometer)
        });
        if odometer.is_some() && t.get("since").is_none() {
            t.fault(RecordFault::NoSince);
        }
        let note = t.may("note", Value::text);
        let known = Known::Fitted {
            visit: self.visit(),
            component: component?.0.to_owned(),
            place: place?.to_string(),
            part,
            batch,
            made,
            since,
            odometer,
            note,
        };
        Some(self.said(t, known))
    }

    /// A component of this car and the place that is meant, which need not be said where there is only one.
    pub(super) fn seat(
        &self,
        t: &Root<'a>,
        key: &'static str,
    ) -> (Option<(&'a str, &sheet::Component)>, Option<sheet::Place>) {
        let sheet = self.sheet();
        let component = t.need(key, |v| {
            let id = v.str()?;
            let Some(component) = sheet.components.get(id) else {
                v.fault(dangling("component", id, sheet.components.keys()));
                return None;
            };
            if !component.only.includes(self.car.variant.as_ref()) {
                v.fault(RecordFault::ComponentVariant { component: id.into() });
                return None;
            }
            Some((id, component))
        });
        let place = match t.get("place") {
            Some(_) => t.may("place", |v| self.place_of(v.str()?, &component?.0.into(), &v.span())),
            None => component.and_then(|(id, component)| match &component.places[..] {
                [only] => Some(only.clone()),
                places => {
                    let places = places.to_vec();
                    t.fault(RecordFault::PlaceMissing { of: id.to_owned(), places });
                    None
                }
            }),
        };
        (component, place)
    }

    fn part(&self, value: Value<'a>) -> Option<String> {
        let (sheet, id) = (self.sheet(), value.str()?);
        if sheet.parts.contains_key(id) {
            return Some(id.to_owned());
        }
        value.fault(dangling("part", id, sheet.parts.keys()));
        None
    }

    /// What was read on a part; what could be several, or is nearly another, is asked.
    pub(super) fn marking(&self, t: &Root<'a>) -> Option<(bool, Said)> {
        let (component, place) = self.seat(t, "component");
        let part = t.may("part", |v| self.part(v));
        let as_read = t.may("as-read", Value::flag).unwrap_or(false);
        let reads = t.need("reads", |v| {
            let reads = v.text()?;
            if as_read || t.get("part").is_some() {
                return Some(reads);
            }
            let found = component.map(|(id, _)| self.sheet().marked(&reads, Some(&id.into())));
            match found {
                Some(sheet::Marked::Several(parts)) => {
                    let parts = parts.iter().map(|part| format!("`{part}`")).collect();
                    v.fault(RecordFault::OnSeveralParts { reads, parts });
                    None
                }
                Some(sheet::Marked::Perhaps(part, nearest)) => {
                    let (part, nearest) = (part.to_string(), nearest.to_owned());
                    v.fault(RecordFault::OnNoPart { reads, nearest, part });
                    None
                }
                _ => Some(reads),
            }
        });
        let note = t.may("note", Value::text);
        let after = t.may("after-work", Value::flag).unwrap_or(false);
        let by = self.signer(t);
        let known = Known::Marking {
            visit: self.visit(),
            component: component?.0.to_owned(),
            place: place?.to_string(),
            reads: reads?,
            part,
            note,
        };
        Some((after, Said { known, by, at: t.span() }))
    }

    pub(super) fn fluid(&self, t: &Root<'a>) -> Option<Said> {
        let sheet = self.sheet();
        let fluid = t.need("fluid", |v| {
            let id = v.str()?;
            if sheet.fluids.contains_key(id) {
                return Some(id.to_owned());
            }
            v.fault(dangling("fluid", id, sheet.fluids.keys()));
            None
        });
        let volume = |v: Value<'a>, what: &'static str| {
            let quantity = v.quantity()?;
            if quantity.value_in(Unit::L).is_err() {
                v.fault(RecordFault::NotAVolume { what, found: quantity.unit().to_string() });
                return None;
            }
            Some(quantity)
        };
        let drained = t.may("drained", |v| volume(v, "drained"));
        let filled = t.may("filled", |v| volume(v, "filled"));
        if t.get("drained").is_none() && t.get("filled").is_none() {
            t.fault(RecordFault::NoAmount);
        }
        let lot = t.may("lot", Value::text);
        let note = t.may("note", Value::text);
        let known = Known::Fluid { visit: self.visit(), fluid: fluid?, drained, filled, lot, note };
        Some(self.said(t, known))
    }

    pub(super) fn obligation(&self, value: Value<'a>) -> Option<(&'a str, &sheet::Obligation)> {
        let (sheet, id) = (self.sheet(), value.str()?);
        match sheet.obligations.get(id) {
            Some(obligation) => Some((id, obligation)),
            None => {
                value.fault(dangling("obligation", id, sheet.obligations.keys()));
                None
            }
        }
    }

    pub(super) fn met(&self, t: &Root<'a>) -> Option<Said> {
        let obligation = t.need("obligation", |v| self.obligation(v));
        let wanted = obligation.and_then(|(_, obligation)| obligation.value.as_ref());
        let value = t.may("value", |v| match wanted {
            Some(wanted) => v.measure(&[wanted.unit.kind()]),
            None => v.quantity(),
        });
        if let (Some((id, _)), Some(wanted), None) = (obligation, wanted, t.get("value")) {
            let wanted = keys::wanted_words(wanted);
            t.fault(RecordFault::NoValue { obligation: id.into(), wanted });
        }
        let note = t.may("note", Value::text);
        let known = Known::Met { visit: self.visit(), obligation: obligation?.0.to_owned(), value, note };
        Some(self.said(t, known))
    }

    pub(super) fn waived(&self, t: &Root<'a>) -> Option<Said> {
        let obligation = t.need("obligation", |v| {
            let (id, obligation) = self.obligation(v)?;
            if let Some(guards) = obligation.guards {
                let held = keys::Held::NeverWaived {
                    obligation: id.into(),
                    title: obligation.title.clone(),
                    guards: guards.id(),
                };
                v.fault(RecordFault::Held(held));
                return None;
            }
            Some(id)
        });
        let reason = t.need("reason", Value::text);
        let known =
            Known::Waived { visit: self.visit(), obligation: obligation?.to_owned(), reason: reason? };
        Some(self.said(t, known))
    }
}
