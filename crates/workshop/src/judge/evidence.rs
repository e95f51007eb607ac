//! What the last finding of a check at a place tells of what may be behind it, and why it may tell nothing.

use super::measure::{Unclear, evaluate};
use super::{At, Judge, said_on, seen_words};
use crate::Start;
use crate::assessment::Judged;
use crate::car::{Moment, Visit, What, WorkDone, km};
use crate::days::{years_after, years_between};
use bench::Readings;
use jiff::civil::Date;
use journal::Seen;
use prognosis::life::{self, Law, OwnRecord};
use quantity::{Measurement, Quantity};
use sheet::{CheckKind, ComponentId, Derived, Input, Place, Scale, Verdict};

/// What was last found of a check at a place.
pub(crate) struct Evidence<'a> {
    pub at: At<'a>,
    pub visit: &'a Visit,
    pub moment: Moment,
    pub tells: Result<Tells, Mute>,
}

/// Why a finding tells nothing.
pub(crate) struct Mute {
    /// In words that follow its name.
    pub why: String,
    /// What was seen all the same, though not well enough to weigh.
    pub dimly: Option<Tells>,
}

/// What a finding tells.
pub(crate) enum Tells {
    /// The described state, by its turn.
    State(usize),
    /// A value in the unit of the check, and the decimals to show.
    Value(Measurement, i32),
}

/// How likely it was beforehand that a component has failed.
pub(crate) struct Failed {
    pub p: f64,
    /// "last seen good in May 2024".
    pub since: String,
}

impl<'a> Judge<'a> {
    /// A check at each of its places; none where this car does not have it.
    pub(crate) fn places(&self, check: &sheet::CheckId) -> Vec<At<'a>> {
        let variant = self.car.variant.as_ref();
        let known = self.sheet.checks.get_key_value(check).and_then(|(id, check)| {
            let component = self.sheet.components.get(&check.component)?;
            let has = check.only.includes(variant) && component.only.includes(variant);
            has.then_some((id, check, component))
        });
        let at = |(id, check, component): (_, _, &'a sheet::Component)| {
            component.places.iter().map(move |place| At { id, check, component, place })
        };
        known.into_iter().flat_map(at).collect()
    }

    /// The last finding of a check at a place; `None` when it was never made.
    pub(crate) fn evidence(&self, at: At<'a>) -> Option<Evidence<'a>> {
        let (visit, moment) = self.last_word(at)?;
        Some(Evidence { at, visit, moment, tells: self.tells(at, visit, moment) })
    }

    /// The same finding judged; `None` when it speaks of a part that is gone.
    pub(crate) fn judged_at(&self, at: At<'a>) -> Option<Judged> {
        self.finding(at)
    }

    fn tells(&self, at: At<'a>, visit: &'a Visit, moment: Moment) -> Result<Tells, Mute> {
        let mute = |why: String| Mute { why, dimly: None };
        if self.fittings.current(&at.check.component, at.place).from > moment {
            return Err(mute("found on a part that was renewed since".into()));
        }
        if let Some(done) = self.worked_on_since(at, moment) {
            return Err(mute(format!("found before this was done: {done}")));
        }
        let (tells, seen) = self.seen(at, visit).map_err(mute)?;
        match seen {
            None | Some(Seen::Open | Seen::Clear) => Ok(tells),
            Some(seen) => Err(Mute { why: format!("seen {}", seen_words(seen)), dimly: Some(tells) }),
        }
    }

    /// What was found on a visit, and how well it was seen.
    fn seen(&self, at: At<'a>, visit: &'a Visit) -> Result<(Tells, Option<Seen>), String> {
        match (&at.check.kind, said_on(visit, at).map(|finding| &finding.what)) {
            (_, Some(What::NotReached { reason })) => Err(format!("not reached: {reason}")),
            (CheckKind::Observation(states), Some(What::Look { state, seen })) => {
                let known = states.iter().position(|known| known.id == *state);
                let known = known.ok_or("a state that the data sheet no longer describes")?;
                Ok((Tells::State(known), Some(*seen)))
            }
            (CheckKind::Reading(_) | CheckKind::Derived(_), _) => match self.made(at, visit) {
                Some(Ok(made)) => {
                    let value = Tells::Value(made.measurement, made.decimals);
                    Ok((value, self.seen_at_worst(at, visit)))
                }
                Some(Err(unclear)) => Err(format!("it cannot be worked out: {unclear}")),
                None => Err("it was not read".into()),
            },
            _ => Err("what was written is not what the data sheet describes".into()),
        }
    }

    /// Work on the component after a moment, whether or not it renewed anything.
    fn worked_on_since(&self, at: At<'a>, moment: Moment) -> Option<&'a str> {
        let mut work = self.visits().flat_map(|visit| &visit.work).filter(|work| work.moment > moment);
        work.find_map(|work| match &work.what {
            WorkDone::Operation { operation, place } => {
                let known = self.sheet.operations.get(operation)?;
                let here = place.as_ref().is_none_or(|place| place == at.place);
                (known.component == at.check.component && here).then_some(known.title.as_str())
            }
            WorkDone::Fitted { .. } => None,
        })
    }

    /// What a formula makes of this car's last readings and of constants, its uncertainty included. `None` while one of the
    /// readings is wanting, or when the formula does not go with them.
    pub(crate) fn worked_out(&self, at: At<'a>, by: &Derived) -> Option<Measurement> {
        let mut readings = Readings::new();
        for (key, input) in &by.inputs {
            readings = match input {
                Input::Word(word) => readings.text(key, word),
                Input::Value(value) => {
                    readings.number(key, Measurement::new(value.value(), value.unit()).ok()?)
                }
                Input::Check { check, place } => {
                    let read = self.evidence(self.at(check, place.as_ref().unwrap_or(at.place))?)?;
                    match read.tells.ok()? {
                        Tells::Value(measured, _) => readings.number(key, measured),
                        Tells::State(_) => return None,
                    }
                }
            };
        }
        evaluate(by, &readings).ok().map(|made| made.measurement)
    }

    /// The standard uncertainty to expect of a reading near a value, with the instrument that the sheet names; 0 where nothing
    /// is known of it.
    pub(crate) fn u_to_expect(&self, at: At<'a>, near: f64) -> f64 {
        let CheckKind::Reading(reading) = &at.check.kind else { return 0.0 };
        let u = |visit: &Visit| -> Result<f64, Unclear> {
            let statement = self.statement(reading, None, visit)?;
            let read = Quantity::new(near, reading.unit).map_err(|error| error.to_string())?;
            let measured = quantity::reading(&[read], reading.keep, &statement, None);
            Ok(measured.map_err(|error| error.to_string())?.u())
        };
        self.visits().next_back().and_then(|visit| u(visit).ok()).unwrap_or(0.0)
    }

    /// The chance that a component has failed, at any of its places, since it was last seen good before a visit.
    pub(crate) fn failed_since_good(&self, id: &ComponentId, before: Option<&Visit>) -> Option<Failed> {
        let component = self.sheet.components.get(id)?;
        let stated = component.life.as_ref()?;
        let ageing = self.ageing(component);
        let prior = life::Prior { median: ageing.median(stated), spread: stated.spread, sure: stated.sure };
        let posterior = life::posterior(Law::Weibull, &prior, &[]).ok()?;
        let now = before.map_or(self.today, |visit| visit.date);
        let km_now = before.map(|visit| km(&visit.odometer)).or_else(|| self.odometer.km_on(now))?;
        let mut all_good = 1.0;
        let mut oldest_look: Option<Option<Date>> = None;
        for place in &component.places {
            let fitting = match before
                .and_then(|visit| self.car.visits.iter().position(|known| known.id == visit.id))
            {
                // What was in when the car came, whatever was renewed on that visit.
                Some(visit) => self.fittings.at(id, place, Moment { visit, seq: 0 }),
                None => self.fittings.current(id, place),
            };
            let start = fitting.start.unwrap_or_else(|| self.since_new(now, km_now));
            let seen = self.last_seen_good(id, place, fitting.from, now);
            let age = seen.map_or(0.0, |(date, km)| ageing.since(start, date, km));
            let alive = posterior.alive_at(age, OwnRecord::LeftOut);
            all_good *= 1.0 - alive.fails_by(ageing.since(start, now, km_now));
            let look = seen.map(|(date, _)| date);
            // A place that was never seen good is older than any look.
            oldest_look = Some(oldest_look.map_or(look, |oldest| oldest.min(look)));
        }
        let since = match oldest_look.flatten() {
            Some(date) => format!("last seen good in {}", crate::words::month(date)),
            None => "not known to have been seen good".into(),
        };
        Some(Failed { p: 1.0 - all_good, since })
    }

    /// What is as old as the car: by its first use, or else by its distance at the usual pace.
    fn since_new(&self, now: Date, km_now: f64) -> Start {
        let usual = || years_after(now, -km_now / self.sheet.yearly_use.mean_km);
        Start { date: self.car.first_used.unwrap_or_else(usual), km: 0.0 }
    }

    /// The last visit before a day on which a part was clearly seen to be good, or measured within its limit.
    fn last_seen_good(
        &self,
        component: &ComponentId,
        place: &Place,
        from: Moment,
        before: Date,
    ) -> Option<(Date, f64)> {
        let good = |visit: &'a Visit| {
            visit.findings.iter().filter(|finding| finding.place == *place && finding.moment >= from).any(
                |finding| {
                    let check =
                        self.sheet.checks.get(&finding.check).filter(|check| check.component == *component);
                    match (check.map(|check| &check.kind), &finding.what) {
                        (
                            Some(CheckKind::Observation(states)),
                            What::Look { state, seen: Seen::Open | Seen::Clear },
                        ) => states.iter().any(|known| known.id == *state && known.means <= Verdict::Settled),
                        (
                            Some(CheckKind::Reading(reading)),
                            What::Reading { values, seen: Seen::Open | Seen::Clear, .. },
                        ) => reading.scale.limit.as_ref().is_some_and(|limit| {
                            let inside = |at: f64| {
                                limit.min.is_none_or(|min| at >= min) && limit.max.is_none_or(|max| at <= max)
                            };
                            values.iter().all(|value| value.value_in(reading.unit).is_ok_and(inside))
                        }),
                        _ => false,
                    }
                },
            )
        };
        let mut earlier = self.visits().rev().filter(|visit| years_between(visit.date, before) > 0.0);
        earlier.find(|visit| good(visit)).map(|visit| (visit.date, km(&visit.odometer)))
    }
}

/// A formula with what it is given, as a derived reading of a check would have it.
pub(crate) fn call(
    formula: &str,
    gives: &str,
    inputs: &indexmap::IndexMap<String, Input>,
    unit: quantity::Unit,
) -> Derived {
    let (formula, gives, inputs) = (formula.to_owned(), gives.to_owned(), inputs.clone());
    Derived { formula, gives, unit, inputs, scale: Scale::default() }
}
