//! `[visit]` and everything that was said on it.

use super::{Line, MarkingRead, RecordFault, Recorder, Root, Said, Value, calculation, day, id, nearest};
use crate::car::{Car, km};
use crate::judge::Judge;
use crate::keys;
use crate::marking::Seat;
use crate::odometer::{MOST_KM, Odometer};
use jiff::civil::Date;
use journal::{Known, Stream, When};
use quantity::{Quantity, Unit};
use sheet::diagnostic::Span;
use sheet::{ComponentId, Marked, PartId, Place, Sheet, SheetId};
use std::sync::Arc;

mod promises;
mod seen;
mod work;

/// The keys of a file that belong to a visit.
const OF_A_VISIT: [&str; 18] = [
    "readings",
    "looks",
    "reading",
    "look",
    "not-reached",
    "overrule",
    "marking",
    "done",
    "fitted",
    "fluid",
    "met",
    "waived",
    "key-tag",
    "long-job",
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
            self.tell_marking(&heading, &car, &known);
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
        let found = km(&heading.odometer);
        if found > MOST_KM {
            let fault = RecordFault::OdometerNever { found: heading.odometer.to_string() };
            self.reader.fault(fault, heading.at.clone());
            return true;
        }
        if heading.as_read {
            return true;
        }
        let known = Odometer::of(car, &heading.sheet.yearly_use, heading.date);
        for other in &car.visits {
            let (earlier, later) = (other.date < heading.date, other.date > heading.date);
            if (earlier && other.km() > found + 0.5) || (later && km(&other.odometer) < found - 0.5) {
                let fault = RecordFault::OdometerBack {
                    found: heading.odometer.to_string(),
                    date: heading.date,
                    other: other.odometer.to_string(),
                    other_date: other.date,
                    meant: known.may_mean(heading.date, &heading.odometer),
                };
                self.reader.fault(fault, heading.at.clone());
                return true;
            }
        }
        // It runs on, and something is likelier than that the car went so far.
        if let Some((other_date, other)) = known.last().filter(|(date, _)| *date < heading.date)
            && let Some(meant) = known.leaps(heading.date, &heading.odometer)
        {
            let fault = RecordFault::OdometerLeaps {
                found: heading.odometer.to_string(),
                date: heading.date,
                other: crate::words::km(other),
                other_date,
                meant,
            };
            self.reader.fault(fault, heading.at.clone());
        }
        true
    }

    /// What a marking tells, for who wrote it down.
    fn tell_marking(&mut self, heading: &Heading<'a, '_>, car: &Car, known: &Known) {
        let Known::Marking { component, place, reads, part, .. } = known else { return };
        let (id, place) = (ComponentId::from(component.as_str()), Place::from(place.as_str()));
        let sheet = &heading.sheet;
        let Some(component) = sheet.components.get(&id) else { return };
        let variant = car.variant.as_ref();
        let seat = Seat { sheet, variant, id: &id, component, place: &place };
        let seen = seat.seen(reads, part.as_deref().map(PartId::from).as_ref());
        let at = match sheet.place_title(&place) {
            "" => component.title.clone(),
            title => format!("{}, {title}", component.title),
        };
        self.recording.markings.push(MarkingRead {
            car: car.id.clone(),
            visit: heading.id.clone(),
            at,
            part: match seen.marked {
                Marked::One(part) => Some(part.clone()),
                _ => None,
            },
            fits: seen.misfit.is_none(),
            newest: seen.newest.cloned(),
            says: seen.reasons.into_iter().map(|reason| reason.says).collect(),
        });
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
        let mut said = self.readings(root);
        said.extend(self.looks(root));
        let seen = self.long(root, "reading", |t| self.reading(t)).into_iter();
        let seen = seen.chain(self.long(root, "look", |t| self.look(t)));
        let (before, mut after): (Vec<_>, Vec<_>) = seen
            .chain(self.long(root, "marking", |t| self.marking(t)))
            .partition(|(after_work, _)| !after_work);
        said.extend(before.into_iter().map(|(_, said)| said));
        said.extend(self.long(root, "not-reached", |t| self.not_reached(t)));
        let (before, decided_after): (Vec<_>, Vec<_>) = self
            .long(root, "overrule", |t| self.overrule(t))
            .into_iter()
            .partition(|(after_work, _)| !after_work);
        after.extend(decided_after);
        said.extend(before.into_iter().map(|(_, said)| said));
        said.extend(self.long(root, "done", |t| self.done(t)));
        said.extend(self.long(root, "fitted", |t| self.fitted(t)));
        said.extend(self.long(root, "fluid", |t| self.fluid(t)));
        said.extend(after.into_iter().map(|(_, said)| said));
        said.extend(self.long(root, "met", |t| self.met(t)));
        said.extend(self.long(root, "waived", |t| self.waived(t)));
        said.extend(self.long(root, "key-tag", |t| self.key_tag(t)));
        said.extend(self.long(root, "long-job", |t| self.long_job(t)));
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
}

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
