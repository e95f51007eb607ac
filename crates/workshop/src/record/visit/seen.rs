//! What was read and seen on a visit, and what a person made of it.

use super::{Lines, when};
use crate::marking::marking_of;
use crate::record::{RecordFault, Root, Said, Value, nearest};
use journal::{Known, Seen};
use quantity::Quantity;
use sheet::diagnostic::Span;
use sheet::table::{Shape, dangling};
use sheet::{Check, CheckKind, Place, Verdict};

impl<'a> Lines<'_, 'a, '_> {
    /// `[readings]`: check = value, values, or either by place.
    pub(super) fn readings(&self, root: &Root<'a>) -> Vec<Said> {
        self.short(root, "readings", |check, place, value| {
            let values = self.values(check, value, false)?;
            Some(Known::Reading {
                visit: self.visit(),
                check: check.0.into(),
                place,
                values,
                instrument: None,
                seen: Seen::Clear,
                note: None,
            })
        })
    }

    /// `[looks]`: check = state, or state by place.
    pub(super) fn looks(&self, root: &Root<'a>) -> Vec<Said> {
        self.short(root, "looks", |check, place, value| {
            let state = self.state(check, value)?;
            let (visit, check) = (self.visit(), check.0.into());
            Some(Known::Look { visit, check, place, state, seen: Seen::Clear, note: None })
        })
    }

    /// A table of checks, each with one thing or with several by place.
    fn short(
        &self,
        root: &Root<'a>,
        key: &'static str,
        read: impl Fn((&str, &Check), String, Value<'a>) -> Option<Known>,
    ) -> Vec<Said> {
        let mut said = Vec::new();
        let mut line = |check: (&str, &Check), place: Option<Place>, value: Value<'a>| {
            let at = value.span();
            // Also where the place is wrong: the value may be as well.
            let known = read(check, place.as_ref().map(ToString::to_string).unwrap_or_default(), value);
            if let Some(known) = known.filter(|_| place.is_some()) {
                said.push(Said { known, by: None, at });
            }
        };
        root.may(key, |value| {
            value.named(key).table(|t| {
                for (name, at, value) in t.entries() {
                    let Some(check) = self.check_named(name, &at) else { continue };
                    if value.shape() == Shape::Table {
                        value.table(|places| {
                            for (place, at, value) in places.entries() {
                                line(check, self.place_named(place, check.1, &at), value);
                            }
                            Some(())
                        });
                    } else {
                        line(check, self.only_place(check, &at), value);
                    }
                }
                Some(())
            })
        });
        said
    }

    pub(super) fn reading(&self, t: &Root<'a>) -> Option<(bool, Said)> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
        let as_read = t.may("as-read", Value::flag).unwrap_or(false);
        let values = t.need("values", |v| self.values(check?, v, as_read));
        let instrument = t.may("instrument", |v| self.instrument(check?, v));
        let (seen, note, after) = self.how(t);
        let by = self.signer(t);
        let known = Known::Reading {
            visit: self.visit(),
            check: check?.0.into(),
            place: place?,
            values: values?,
            instrument,
            seen,
            note,
        };
        Some((after, Said { known, by, at: t.span() }))
    }

    pub(super) fn look(&self, t: &Root<'a>) -> Option<(bool, Said)> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
        let state = t.need("state", |v| self.state(check?, v));
        let (seen, note, after) = self.how(t);
        let by = self.signer(t);
        let (visit, check) = (self.visit(), check?.0.into());
        let known = Known::Look { visit, check, place: place?, state: state?, seen, note };
        Some((after, Said { known, by, at: t.span() }))
    }

    pub(super) fn not_reached(&self, t: &Root<'a>) -> Option<Said> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
        let reason = t.need("reason", Value::text);
        let (visit, check) = (self.visit(), check.map(|check| check.0.to_owned()));
        let by = self.signer(t);
        let known = Known::NotReached { visit, check: check?, place: place?, reason: reason? };
        Some(Said { known, by, at: t.span() })
    }

    pub(super) fn overrule(&self, t: &Root<'a>) -> Option<(bool, Said)> {
        let (check, place) = if t.get("marking-of").is_some() {
            let (component, place) = self.seat(t, "marking-of");
            (
                component.map(|(id, _)| marking_of(&id.into()).to_string()),
                place.map(|place| place.to_string()),
            )
        } else {
            let check = t.need("check", |v| self.check(v));
            (check.map(|(id, _)| id.to_owned()), self.place(t, check))
        };
        let verdict = t.need("verdict", |v| {
            let verdict = v.word(Verdict::WORDS)?;
            if matches!(verdict, Verdict::TooClose | Verdict::NotReached) {
                v.fault(RecordFault::NotDecided { verdict: verdict.id() });
                return None;
            }
            Some(verdict)
        });
        let reason = t.need("reason", Value::text);
        let when = t.may("when", when);
        let after = t.may("after-work", Value::flag).unwrap_or(false);
        let by = self.signer(t);
        if let Some(verdict @ (Verdict::LookAgain | Verdict::Plan)) = verdict
            && t.get("when").is_none()
        {
            t.fault(RecordFault::NoWhen { verdict: verdict.id() });
        }
        let known = Known::Overrule {
            visit: self.visit(),
            check: check?,
            place: place?,
            verdict: verdict?.id().into(),
            reason: reason?,
            when,
        };
        Some((after, Said { known, by, at: t.span() }))
    }

    /// How well it was seen, what else is to be said, and whether after the work.
    fn how(&self, t: &Root<'a>) -> (Seen, Option<String>, bool) {
        let seen = t.may("seen", |v| v.word(&SEEN)).unwrap_or(Seen::Clear);
        let note = t.may("note", Value::text);
        let after = t.may("after-work", Value::flag).unwrap_or(false);
        (seen, note, after)
    }

    pub(super) fn signer(&self, t: &Root<'a>) -> Option<String> {
        t.may("by", |v| self.recorder.person(v))
    }

    pub(super) fn check(&self, value: Value<'a>) -> Option<(&'a str, &Check)> {
        self.check_named(value.str()?, &value.span())
    }

    pub(super) fn check_named<'n>(&self, name: &'n str, at: &Span) -> Option<(&'n str, &Check)> {
        let sheet = self.sheet();
        let Some(check) = sheet.checks.get(name) else {
            self.recorder.reader.fault(dangling("check", name, sheet.checks.keys()), at.clone());
            return None;
        };
        let variant = self.car.variant.as_ref();
        let component = sheet.components.get(&check.component)?;
        if !check.only.includes(variant) || !component.only.includes(variant) {
            self.recorder.reader.fault(RecordFault::OtherVariant { check: name.into() }, at.clone());
            return None;
        }
        Some((name, check))
    }

    /// The place of a line: as said, or the only one there is.
    pub(super) fn place(&self, t: &Root<'a>, check: Option<(&str, &Check)>) -> Option<String> {
        let named = t.may("place", |v| {
            let place = self.place_named(v.str()?, check?.1, &v.span())?;
            Some(place.to_string())
        });
        match t.get("place") {
            Some(_) => named,
            None => self.only_place(check?, &t.span()).map(|place| place.to_string()),
        }
    }

    pub(super) fn place_named(&self, place: &str, check: &Check, at: &Span) -> Option<Place> {
        self.place_of(place, &check.component, at)
    }

    pub(super) fn place_of(&self, place: &str, component: &sheet::ComponentId, at: &Span) -> Option<Place> {
        let places = &self.sheet().components.get(component)?.places;
        let known = places.iter().find(|known| known.as_str() == place).cloned();
        if known.is_none() {
            let fault = RecordFault::NoPlace {
                place: place.to_owned(),
                of: component.to_string(),
                nearest: nearest(place, places.iter().map(Place::as_str)),
                places: places.clone(),
            };
            self.recorder.reader.fault(fault, at.clone());
        }
        known
    }

    pub(super) fn only_place(&self, (name, check): (&str, &Check), at: &Span) -> Option<Place> {
        let places = &self.sheet().components.get(&check.component)?.places;
        match &places[..] {
            [only] => Some(only.clone()),
            _ => {
                let fault = RecordFault::PlaceMissing { of: name.to_owned(), places: places.clone() };
                self.recorder.reader.fault(fault, at.clone());
                None
            }
        }
    }

    /// One value or several, fit for the check.
    fn values(
        &self,
        (name, check): (&str, &Check),
        value: Value<'a>,
        as_read: bool,
    ) -> Option<Vec<Quantity>> {
        let CheckKind::Reading(reading) = &check.kind else {
            value.fault(RecordFault::OtherKind {
                check: name.into(),
                found: kind(&check.kind),
                wanted: "a reading",
            });
            return None;
        };
        let one = |value: Value<'a>| {
            let typed = value.quantity()?;
            if typed.value_in(reading.unit).is_err() {
                value.fault(RecordFault::ReadingUnit {
                    check: name.into(),
                    found: typed.to_string(),
                    found_kind: typed.kind(),
                    wanted: reading.unit,
                });
                return None;
            }
            if let Some(doubt) = crate::slip::doubt(reading, &typed).filter(|_| !as_read) {
                value.fault(RecordFault::Slip { check: name.into(), found: typed.to_string(), doubt });
                return None;
            }
            Some(typed)
        };
        if value.shape() != Shape::List {
            return one(value).map(|value| vec![value]);
        }
        let values = value.list(one)?;
        if values.is_empty() {
            value.fault(RecordFault::NoValues);
            return None;
        }
        Some(values)
    }

    fn state(&self, (name, check): (&str, &Check), value: Value<'a>) -> Option<String> {
        let CheckKind::Observation(states) = &check.kind else {
            value.fault(RecordFault::OtherKind {
                check: name.into(),
                found: kind(&check.kind),
                wanted: "an observation",
            });
            return None;
        };
        let found = value.str()?;
        if states.iter().any(|state| state.id.as_str() == found) {
            return Some(found.to_owned());
        }
        let ids: Vec<_> = states.iter().map(|state| state.id.clone()).collect();
        value.fault(RecordFault::NoState {
            check: name.into(),
            state: found.to_owned(),
            nearest: nearest(found, ids.iter().map(|id| id.as_str())).map(Into::into),
            states: ids,
        });
        None
    }

    /// An instrument that reads what the check wants.
    fn instrument(&self, (_, check): (&str, &Check), value: Value<'a>) -> Option<String> {
        let CheckKind::Reading(reading) = &check.kind else { return value.text() };
        let name = value.str()?;
        let (kind, _) = self.recorder.shop.instrument(name, self.heading.date);
        let Some(known) = self.sheet().instruments.get(&kind) else {
            let owned = self.recorder.shop.instruments.keys().map(String::as_str);
            let kinds = self.sheet().instruments.keys().map(|kind| kind.as_str());
            let nearest = nearest(name, owned.chain(kinds));
            value.fault(RecordFault::NoInstrument { id: name.to_owned(), nearest });
            return None;
        };
        if known.statement.kind() != reading.unit.kind()
            && known.statement.resolution_in(reading.unit).is_err()
        {
            let wanted = reading.unit;
            value.fault(RecordFault::InstrumentUnit { instrument: name.to_owned(), wanted });
            return None;
        }
        Some(name.to_owned())
    }
}

const SEEN: [(&str, Seen); 6] = [
    ("open", Seen::Open),
    ("clear", Seen::Clear),
    ("part", Seen::Part),
    ("dirt", Seen::Dirt),
    ("feel", Seen::Feel),
    ("told", Seen::Told),
];

/// What a kind of check is called, and where it is written.
fn kind(kind: &CheckKind) -> (&'static str, &'static str) {
    match kind {
        CheckKind::Reading(_) => ("a reading", "write it under `[readings]`"),
        CheckKind::Observation(_) => ("an observation", "write it under `[looks]`"),
        CheckKind::Derived(_) => ("worked out by a formula", "leave it out: it follows from other readings"),
        CheckKind::Interval(_) => {
            ("looked up in the record", "leave it out: it follows from what was done and fitted")
        }
    }
}
