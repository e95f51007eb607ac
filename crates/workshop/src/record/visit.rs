//! `[visit]` and everything that was said on it.

use super::{Line, RecordFault, Recorder, Root, Said, Value, calculation, day, id, nearest};
use crate::car::{Car, km};
use crate::judge::Judge;
use crate::keys;
use crate::odometer::Odometer;
use jiff::civil::Date;
use journal::{Answer, Known, Seen, Stream, When};
use quantity::{Quantity, Unit};
use sheet::diagnostic::Span;
use sheet::table::{Shape, dangling};
use sheet::{Check, CheckKind, Place, Sheet, SheetId, Verdict};
use std::sync::Arc;

/// The keys of a file that belong to a visit.
const OF_A_VISIT: [&str; 16] = [
    "readings",
    "looks",
    "reading",
    "look",
    "not-reached",
    "overrule",
    "done",
    "fitted",
    "fluid",
    "met",
    "waived",
    "key-tag",
    "settle",
    "calculation",
    "answer",
    "closed",
];

/// A visit as its own table tells it; the rest of the file follows once visits stand in order.
pub(super) struct Heading<'a, 'r> {
    root: &'r Root<'a>,
    at: Span,
    id: String,
    car: Car,
    sheet: Arc<Sheet>,
    date: Date,
    odometer: Quantity,
    as_read: bool,
    by: String,
    asked_for: Option<String>,
    ceiling: Option<String>,
    /// Whether nothing was wrong in it. If something was, the rest of the file is only looked through for more.
    whole: bool,
}

impl Heading<'_, '_> {
    /// Visits follow each other by their days; on one day by their odometers.
    pub(super) fn order(&self, other: &Self) -> std::cmp::Ordering {
        let by_distance = km(&self.odometer).total_cmp(&km(&other.odometer));
        self.date.cmp(&other.date).then(by_distance).then_with(|| self.id.cmp(&other.id))
    }
}

impl<'a> Recorder<'a> {
    pub(super) fn read_heading<'r>(&mut self, root: &'r Root<'a>) -> Option<Heading<'a, 'r>> {
        let Some(value) = root.get("visit") else {
            self.without_visit(root);
            return None;
        };
        let at = value.span();
        let mut heading = None;
        let whole = value.named("the visit").table(|t| {
            let car = t.need("car", |v| self.known_car(v));
            let date = t.need("date", day);
            let odometer = t.need("odometer", Value::odometer);
            let as_read = t.may("odometer-as-read", Value::flag).unwrap_or(false);
            let by = t.need("by", |v| self.person(v));
            let asked_for = t.may("asked-for", Value::text);
            let ceiling = t.may("ceiling", Value::money).map(|money| money.to_string());
            let own_id = t.may("id", id);
            let (car, sheet) = car?;
            let id = own_id.or(date.map(|date| format!("{}-{date}", car.id))).unwrap_or_default();
            // A visit that the book knows is read by the data sheet that judges it.
            let sheet = car
                .visit(&id)
                .and_then(|visit| self.shop.sheet_at(&sheet.id, &visit.revision))
                .unwrap_or(sheet);
            // What could not be read is such that nothing else is wrong for its sake.
            let date = date.unwrap_or(Date::MAX);
            let odometer = odometer.or_else(|| Quantity::new(0.0, Unit::KM).ok())?;
            let by = by.unwrap_or_default();
            let whole = false;
            heading = Some(Heading {
                root,
                at,
                id,
                car,
                sheet,
                date,
                odometer,
                as_read,
                by,
                asked_for,
                ceiling,
                whole,
            });
            Some(())
        });
        if heading.is_none() {
            // Without the car and its data sheet nothing else can be read; its keys are not unknown for that.
            OF_A_VISIT.iter().for_each(|key| _ = root.get(key));
        }
        heading.map(|heading| Heading { whole: whole.is_some(), ..heading })
    }

    fn without_visit(&self, root: &Root<'a>) {
        let mut any = ["workshop", "person", "instrument", "car"].iter().any(|key| root.get(key).is_some());
        for what in OF_A_VISIT {
            if let Some(value) = root.get(what) {
                any = true;
                value.fault(RecordFault::WithoutVisit { what });
            }
        }
        if !any {
            root.fault(RecordFault::Nothing);
        }
    }

    /// A car with the data sheet it is of.
    fn known_car(&mut self, value: Value<'a>) -> Option<(Car, Arc<Sheet>)> {
        let id = value.str()?;
        let Some(car) = self.car(id) else {
            if self.unread.contains(id) {
                return None;
            }
            let mut known = self.book.cars();
            known.extend(self.cars.keys().cloned());
            let nearest = nearest(id, known.iter().map(String::as_str));
            value.fault(RecordFault::NoCar { id: id.to_owned(), nearest });
            return None;
        };
        let sheet: &SheetId = car.sheet.as_ref()?;
        match self.shop.sheet(sheet) {
            Some(sheet) => Some((car, sheet)),
            None => {
                value.fault(RecordFault::NoSheet { id: sheet.to_string(), some: vec![] });
                None
            }
        }
    }

    pub(super) fn read_visit(&mut self, heading: Heading<'a, '_>) {
        let stream = Stream::Car(heading.car.id.clone());
        // Visits of other files may have been added since the heading was read.
        let car = self.car(&heading.car.id).unwrap_or_else(|| heading.car.clone());
        if self.shop.title.is_empty() && !self.unread.contains(super::shop::TABLE) {
            self.reader.fault(RecordFault::NoWorkshop, heading.at.clone());
        }
        let fits = heading.whole && self.fits_the_book(&heading, &car);
        let opened = Known::Visit {
            visit: heading.id.clone(),
            date: heading.date,
            odometer: heading.odometer.clone(),
            revision: car
                .visit(&heading.id)
                .map_or_else(|| heading.sheet.revision.clone(), |visit| visit.revision.clone()),
            asked_for: heading.asked_for.clone(),
            ceiling: heading.ceiling.clone(),
        };
        let reader = self.reader;
        let (mut said, mut end) = (vec![], None);
        let whole = reader.whole(|| {
            said = Lines { recorder: self, heading: &heading, car: &car }.read();
            end = heading.root.may("closed", |value| closed(value, &heading));
            Some(())
        });
        if !heading.whole {
            return;
        }
        let (date, by) = (heading.date, heading.by.clone());
        if fits {
            self.say(&stream, date, &by, [opened.into()]);
        }
        let obligations: Vec<(Span, Known)> = said
            .iter()
            .filter(|said| matches!(said.known, Known::Met { .. } | Known::Waived { .. }))
            .map(|said| (said.at.clone(), said.known.clone()))
            .collect();
        for Said { known, by: own, at } in said {
            let line = Line { known, at: fits.then_some(at) };
            self.say(&stream, date, own.as_deref().unwrap_or(&by), [line]);
        }
        // What the visit as a whole lacks is not asked while a line of it is still to be put right.
        if whole.is_none() {
            return;
        }
        self.dealt_were_raised(&heading, &obligations);
        if let Some((at, known)) = end {
            self.close(&heading, at, known);
        }
    }

    /// Whether a visit that is told again is told as before. An odometer does not run back, and a visit is told once.
    fn fits_the_book(&self, heading: &Heading<'a, '_>, car: &Car) -> bool {
        if let Some(there) = car.visit(&heading.id) {
            let ceiling = heading.ceiling.as_ref().and_then(|ceiling| ceiling.parse().ok());
            let same = (there.date, &there.odometer, &there.by)
                == (heading.date, &heading.odometer, &heading.by)
                && (&there.asked_for, there.ceiling) == (&heading.asked_for, ceiling);
            let in_these_files = self.recording.drafts.iter().any(|draft| {
                matches!(draft.body.known(), Some(Known::Visit { visit, .. }) if *visit == heading.id)
            });
            let visit = heading.id.clone();
            if in_these_files {
                self.reader.fault(RecordFault::VisitTwice { visit }, heading.at.clone());
            } else if !same {
                let there = format!("{} at {}, by `{}`", there.date, there.odometer, there.by);
                self.reader.fault(RecordFault::VisitDiffers { visit, there }, heading.at.clone());
            }
            return same && !in_these_files;
        }
        if heading.as_read {
            return true;
        }
        let found = km(&heading.odometer);
        for other in &car.visits {
            let (earlier, later) = (other.date < heading.date, other.date > heading.date);
            if (earlier && other.km() > found + 0.5) || (later && km(&other.odometer) < found - 0.5) {
                let known = Odometer::of(car, &heading.sheet.yearly_use, heading.date);
                let fault = RecordFault::OdometerBack {
                    found: heading.odometer.to_string(),
                    date: heading.date,
                    other: other.odometer.to_string(),
                    other_date: other.date,
                    meant: known.may_mean(heading.date, &heading.odometer),
                };
                self.reader.fault(fault, heading.at.clone());
                break;
            }
        }
        true
    }

    /// What is met or waived must have been raised by the work.
    fn dealt_were_raised(&mut self, heading: &Heading<'a, '_>, dealt: &[(Span, Known)]) {
        let Some(car) = self.car(&heading.car.id) else { return };
        let Some(visit) = car.visit(&heading.id) else { return };
        let raised: Vec<_> =
            keys::obligations(&heading.sheet, visit).into_iter().map(|obliged| obliged.id.clone()).collect();
        for (at, known) in dealt {
            let (Known::Met { obligation, .. } | Known::Waived { obligation, .. }) = known else { continue };
            if !raised.iter().any(|id| id.as_str() == obligation) {
                let fault = RecordFault::NotRaised {
                    obligation: obligation.as_str().into(),
                    raised: raised.iter().map(ToString::to_string).collect(),
                };
                self.reader.fault(fault, at.clone());
            }
        }
    }

    /// The keys go back, with the promises that the work makes tied to them, if nothing holds them.
    fn close(&mut self, heading: &Heading<'a, '_>, at: Span, known: Known) {
        let stream = Stream::Car(heading.car.id.clone());
        let Some(car) = self.car(&heading.car.id) else { return };
        let Some(visit) = car.visit(&heading.id) else { return };
        let judge = Judge::new(&self.shop, &heading.sheet, &car, heading.date);
        for held in keys::held(&heading.sheet, &car, visit, &judge.assess()) {
            self.reader.fault(RecordFault::Held(held), at.clone());
        }
        let promises = closing(&heading.sheet, &car, &heading.id);
        let promises = promises.into_iter().map(Line::from);
        self.say(&stream, heading.date, &heading.by, promises.chain([Line { known, at: Some(at) }]));
    }
}

/// The key tags that closing a visit ties: what its work promises for later and is not tied yet.
pub(crate) fn closing(sheet: &Sheet, car: &Car, visit: &str) -> Vec<Known> {
    let Some(visit) = car.visit(visit) else { return vec![] };
    keys::untied(sheet, car, visit)
        .into_iter()
        .map(|promise| Known::Tag {
            tag: promise.tag(visit),
            visit: visit.id.clone(),
            what: promise.what.to_owned(),
            why: promise.why,
            when: promise.when,
            check: None,
            place: None,
        })
        .collect()
}

fn closed(value: Value<'_>, heading: &Heading<'_, '_>) -> Option<(Span, Known)> {
    let at = value.span();
    value.named("the closing").table(|t| {
        let odometer = t.may("odometer", |v| {
            let out = v.odometer()?;
            if km(&out) < km(&heading.odometer) - 0.5 {
                v.fault(RecordFault::OdometerBack {
                    found: out.to_string(),
                    date: heading.date,
                    other: heading.odometer.to_string(),
                    other_date: heading.date,
                    meant: None,
                });
                return None;
            }
            Some(out)
        });
        let odometer = odometer.unwrap_or_else(|| heading.odometer.clone());
        Some((at, Known::Closed { visit: heading.id.clone(), odometer }))
    })
}

/// The lines of one visit.
struct Lines<'x, 'a, 'r> {
    recorder: &'x Recorder<'a>,
    heading: &'x Heading<'a, 'r>,
    car: &'x Car,
}

impl<'a> Lines<'_, 'a, '_> {
    /// Everything that was said, in the order of a visit: looks, decisions, work, looks after the work, promises, the
    /// owner's word.
    fn read(&self) -> Vec<Said> {
        let root = self.heading.root;
        let (before, after): (Vec<_>, Vec<_>) = self
            .long(root, "reading", |t| self.reading(t))
            .into_iter()
            .chain(self.long(root, "look", |t| self.look(t)))
            .partition(|(after_work, _)| !after_work);
        let mut said = self.readings(root);
        said.extend(self.looks(root));
        said.extend(before.into_iter().map(|(_, said)| said));
        said.extend(self.long(root, "not-reached", |t| self.not_reached(t)));
        said.extend(self.long(root, "overrule", |t| self.overrule(t)));
        said.extend(self.long(root, "done", |t| self.done(t)));
        said.extend(self.long(root, "fitted", |t| self.fitted(t)));
        said.extend(self.long(root, "fluid", |t| self.fluid(t)));
        said.extend(after.into_iter().map(|(_, said)| said));
        said.extend(self.long(root, "met", |t| self.met(t)));
        said.extend(self.long(root, "waived", |t| self.waived(t)));
        said.extend(self.long(root, "key-tag", |t| self.key_tag(t)));
        said.extend(self.long(root, "settle", |t| self.settle(t)));
        said.extend(self.long(root, "calculation", |t| {
            let known = calculation::read(t, &self.heading.id, self.heading.date)?;
            Some(self.said(t, known))
        }));
        said.extend(self.long(root, "answer", |t| self.answer(t)));
        said
    }

    fn long<T>(
        &self,
        root: &Root<'a>,
        key: &'static str,
        read: impl Fn(&super::Root<'a>) -> Option<T>,
    ) -> Vec<T> {
        root.list(key, |value| value.named(key).table(&read))
    }

    fn visit(&self) -> String {
        self.heading.id.clone()
    }

    fn sheet(&self) -> &Sheet {
        &self.heading.sheet
    }

    /// A line with its signer.
    fn said(&self, t: &Root<'a>, known: Known) -> Said {
        let by = t.may("by", |v| self.recorder.person(v));
        Said { known, by, at: t.span() }
    }

    // ---- readings and looks

    /// `[readings]`: check = value, values, or either by place.
    fn readings(&self, root: &Root<'a>) -> Vec<Said> {
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
    fn looks(&self, root: &Root<'a>) -> Vec<Said> {
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

    fn reading(&self, t: &Root<'a>) -> Option<(bool, Said)> {
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

    fn look(&self, t: &Root<'a>) -> Option<(bool, Said)> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
        let state = t.need("state", |v| self.state(check?, v));
        let (seen, note, after) = self.how(t);
        let by = self.signer(t);
        let (visit, check) = (self.visit(), check?.0.into());
        let known = Known::Look { visit, check, place: place?, state: state?, seen, note };
        Some((after, Said { known, by, at: t.span() }))
    }

    fn not_reached(&self, t: &Root<'a>) -> Option<Said> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
        let reason = t.need("reason", Value::text);
        let (visit, check) = (self.visit(), check.map(|check| check.0.to_owned()));
        let by = self.signer(t);
        let known = Known::NotReached { visit, check: check?, place: place?, reason: reason? };
        Some(Said { known, by, at: t.span() })
    }

    fn overrule(&self, t: &Root<'a>) -> Option<Said> {
        let check = t.need("check", |v| self.check(v));
        let place = self.place(t, check);
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
        let by = self.signer(t);
        if let Some(verdict @ (Verdict::LookAgain | Verdict::Plan)) = verdict
            && t.get("when").is_none()
        {
            t.fault(RecordFault::NoWhen { verdict: verdict.id() });
        }
        let known = Known::Overrule {
            visit: self.visit(),
            check: check?.0.into(),
            place: place?,
            verdict: verdict?.id().into(),
            reason: reason?,
            when,
        };
        Some(Said { known, by, at: t.span() })
    }

    /// How well it was seen, what else is to be said, and whether after the work.
    fn how(&self, t: &Root<'a>) -> (Seen, Option<String>, bool) {
        let seen = t.may("seen", |v| v.word(&SEEN)).unwrap_or(Seen::Clear);
        let note = t.may("note", Value::text);
        let after = t.may("after-work", Value::flag).unwrap_or(false);
        (seen, note, after)
    }

    fn signer(&self, t: &Root<'a>) -> Option<String> {
        t.may("by", |v| self.recorder.person(v))
    }

    fn check(&self, value: Value<'a>) -> Option<(&'a str, &Check)> {
        self.check_named(value.str()?, &value.span())
    }

    fn check_named<'n>(&self, name: &'n str, at: &Span) -> Option<(&'n str, &Check)> {
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
    fn place(&self, t: &Root<'a>, check: Option<(&str, &Check)>) -> Option<String> {
        let named = t.may("place", |v| {
            let place = self.place_named(v.str()?, check?.1, &v.span())?;
            Some(place.to_string())
        });
        match t.get("place") {
            Some(_) => named,
            None => self.only_place(check?, &t.span()).map(|place| place.to_string()),
        }
    }

    fn place_named(&self, place: &str, check: &Check, at: &Span) -> Option<Place> {
        self.place_of(place, &check.component, at)
    }

    fn place_of(&self, place: &str, component: &sheet::ComponentId, at: &Span) -> Option<Place> {
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

    fn only_place(&self, (name, check): (&str, &Check), at: &Span) -> Option<Place> {
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
            if let Some(meant) = crate::slip::meant(reading, &typed).filter(|_| !as_read) {
                value.fault(RecordFault::Slip { check: name.into(), found: typed.to_string(), meant });
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

    // ---- work

    fn operation(&self, value: Value<'a>) -> Option<&sheet::Operation> {
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

    fn done(&self, t: &Root<'a>) -> Option<Said> {
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

    fn fitted(&self, t: &Root<'a>) -> Option<Said> {
        let sheet = self.sheet();
        let component = t.need("component", |v| {
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
        let part = t.may("part", |v| {
            let id = v.str()?;
            if sheet.parts.contains_key(id) {
                return Some(id.to_owned());
            }
            v.fault(dangling("part", id, sheet.parts.keys()));
            None
        });
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
        let since = t.may("since", before);
        let odometer = t.may("odometer", Value::odometer);
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

    fn fluid(&self, t: &Root<'a>) -> Option<Said> {
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

    fn obligation(&self, value: Value<'a>) -> Option<(&'a str, &sheet::Obligation)> {
        let (sheet, id) = (self.sheet(), value.str()?);
        match sheet.obligations.get(id) {
            Some(obligation) => Some((id, obligation)),
            None => {
                value.fault(dangling("obligation", id, sheet.obligations.keys()));
                None
            }
        }
    }

    fn met(&self, t: &Root<'a>) -> Option<Said> {
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

    fn waived(&self, t: &Root<'a>) -> Option<Said> {
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

    // ---- promises and answers

    fn key_tag(&self, t: &Root<'a>) -> Option<Said> {
        let id = t.need("id", id);
        let what = t.need("what", Value::text);
        let why = t.need("why", Value::text);
        let when = t.need("when", when);
        let check = t.may("check", |v| self.check(v));
        let place = match check {
            Some(_) => self.place(t, check),
            None => t.may("place", Value::text),
        };
        let known = Known::Tag {
            tag: id?,
            visit: self.visit(),
            what: what?,
            why: why?,
            when: when?,
            check: check.map(|(id, _)| id.to_owned()),
            place,
        };
        Some(self.said(t, known))
    }

    fn settle(&self, t: &Root<'a>) -> Option<Said> {
        let tag = t.need("tag", |v| {
            let id = v.str()?;
            if self.car.tags.iter().any(|tag| tag.id == id) {
                return Some(id.to_owned());
            }
            let nearest = nearest(id, self.car.tags.iter().map(|tag| tag.id.as_str()));
            v.fault(RecordFault::NoTag { tag: id.to_owned(), nearest });
            None
        });
        let reason = t.need("reason", Value::text);
        let known = Known::TagSettled { tag: tag?, visit: self.visit(), reason: reason? };
        Some(self.said(t, known))
    }

    fn answer(&self, t: &Root<'a>) -> Option<Said> {
        let operation = t.need("operation", |v| self.operation(v).and(v.str()));
        let says = t.need("says", |v| {
            v.word(&[("yes", Answer::Yes), ("not-now", Answer::NotNow), ("ask-me", Answer::AskMe)])
        });
        let name = t.need("name", Value::text);
        let words = t.may("words", Value::text);
        let known = Known::Answer {
            visit: self.visit(),
            operation: operation?.to_owned(),
            says: says?,
            name: name?,
            words,
        };
        Some(self.said(t, known))
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

fn when(value: Value<'_>) -> Option<When> {
    let said = value.table(|t| {
        Some(When {
            next_visit: t.may("next-visit", Value::flag).unwrap_or(false),
            date: t.may("date", day),
            km: t.may("km", |v| v.plain_or_in(Unit::KM)),
            years: t.may("years", |v| v.plain_or_in(Unit::YEAR)),
            event: t.may("event", Value::text),
        })
    })?;
    if said.is_never() {
        value.fault(RecordFault::Never);
        return None;
    }
    Some(said)
}

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
