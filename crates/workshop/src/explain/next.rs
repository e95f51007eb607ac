//! Which check to make next: the one that is expected to tell most for its minutes, or none.

use super::At;
use super::expects::{Otherwise, Row};
use super::question::Case;
use super::words;
use crate::car::What;
use crate::judge;
use prognosis::diagnosis::{self, Causes, Check, SURE_ENOUGH};
use sheet::{AccessId, CheckId, CheckKind, Input, OperationId, Place, Sheet};
use std::collections::HashSet;

/// Minutes that a check takes where the data sheet does not say. Common practice, no source.
pub const USUAL_MINUTES: f64 = 5.0;

/// What to do next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// Make this check.
    Look(Box<Look>),
    /// One explanation is sure enough.
    SureEnough,
    /// Whichever of the likely ones it is, the same work puts it right.
    SameWork { operation: OperationId, title: String },
    /// No check that is left tells enough to be worth making.
    NothingToLearn,
}

/// A check that is worth making.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    pub at: At,
    /// What it is expected to tell, in bits.
    pub bits: f64,
    pub minutes: f64,
    /// Whether the data sheet states the minutes.
    pub minutes_stated: bool,
    /// To open what it needs and to close it again; what is open on this visit is not counted.
    pub set_up_minutes: f64,
    /// What has to be opened first.
    pub opens: Vec<String>,
    /// In which state the car is to be.
    pub when: Option<String>,
    pub how: Option<String>,
    pub caution: Option<String>,
    /// Why this one.
    pub why: String,
}

/// A check that was not made, or told nothing.
pub(super) struct Open<'a> {
    pub at: judge::At<'a>,
    pub row: Row,
}

pub(super) fn next<'a>(case: &Case<'a, '_>, after: &Causes, open: &[Open<'a>]) -> Next {
    let listed = after.probabilities().split_last().map_or(&[][..], |(_, listed)| listed);
    if listed.iter().any(|p| *p >= SURE_ENOUGH) {
        return Next::SureEnough;
    }
    if let Some((operation, title)) = same_work(case, after) {
        return Next::SameWork { operation, title };
    }
    let open_now = open_now(case);
    let offers: Vec<Offer> = open.iter().filter_map(|open| Offer::of(case, open, &open_now)).collect();
    let checks: Vec<(&Check, f64)> = offers.iter().map(|offer| (&offer.check, offer.set_up)).collect();
    match after.next(&checks) {
        Ok(diagnosis::Next::Look { check, bits }) => {
            Next::Look(Box::new(offers[check].look(case, bits, offers.len())))
        }
        Ok(diagnosis::Next::Found(_)) => Next::SureEnough,
        Ok(diagnosis::Next::NothingToLearn) | Err(_) => Next::NothingToLearn,
    }
}

/// The work that all the likely explanations have in common.
fn same_work(case: &Case<'_, '_>, after: &Causes) -> Option<(OperationId, String)> {
    let best = case.explanations.get(after.best())?.1;
    let work = case.put_right(best)?;
    let together: f64 = case
        .explanations
        .iter()
        .zip(after.probabilities())
        .filter(|((_, explanation), _)| explanation.put_right.as_ref() == Some(&work.0))
        .map(|(_, p)| p)
        .sum();
    (together >= SURE_ENOUGH).then_some(work)
}

/// A check that could be made, what it would show and what it takes.
struct Offer<'a> {
    at: judge::At<'a>,
    check: Check,
    minutes: f64,
    stated: bool,
    set_up: f64,
    opens: Vec<&'a str>,
    cautions: Vec<&'a str>,
}

impl<'a> Offer<'a> {
    fn of(case: &Case<'a, '_>, open: &Open<'a>, open_now: &HashSet<&'a AccessId>) -> Option<Self> {
        let (sheet, at) = (case.judge.sheet, open.at);
        let made = made_of(sheet, at);
        let stated = |check: &sheet::Check| check.minutes.filter(|minutes| *minutes > 0.0);
        // What the sheet says of the whole counts before the sum of its readings.
        let (minutes, is_stated) = match stated(at.check) {
            Some(minutes) => (minutes, true),
            None => (
                made.iter().map(|check| stated(check).unwrap_or(USUAL_MINUTES)).sum(),
                made.iter().all(|check| stated(check).is_some()),
            ),
        };
        let needs: Vec<AccessId> =
            at.check.needs.iter().chain(made.iter().flat_map(|check| &check.needs)).cloned().collect();
        let near = match open.row.otherwise {
            Otherwise::States(_) => 0.0,
            Otherwise::Between { from, to } => f64::midpoint(from, to),
        };
        let table = open.row.table(case.judge.u_to_expect(at, near), &case.beforehand);
        let steps = sheet.access_closure(&needs).into_iter().filter(|step| !open_now.contains(step));
        let steps: Vec<_> = steps.filter_map(|step| sheet.access.get(step)).collect();
        let hours = steps.iter().fold(0.0, |sum, step| sum + step.hours);
        Some(Self {
            at,
            check: Check::new(&table, minutes).ok()?,
            minutes,
            stated: is_stated,
            cautions: cautions(at.check, &made),
            set_up: hours * 60.0 * (1.0 + sheet.refit),
            opens: steps.iter().map(|step| step.title.as_str()).collect(),
        })
    }

    fn look(&self, case: &Case<'_, '_>, bits: f64, of: usize) -> Look {
        let check = self.at.check;
        Look {
            at: case.named(self.at),
            bits,
            minutes: self.minutes,
            minutes_stated: self.stated,
            set_up_minutes: self.set_up,
            opens: self.opens.iter().map(|title| (*title).to_owned()).collect(),
            when: check.when.clone(),
            how: check.how.clone(),
            caution: (!self.cautions.is_empty()).then(|| self.cautions.join(" ")),
            why: words::why_next(bits, self.minutes + self.set_up, of),
        }
    }
}

/// The checks that are made for one: the readings that a derived check is worked out from, each once, or itself.
fn made_of<'a>(sheet: &'a Sheet, at: judge::At<'a>) -> Vec<&'a sheet::Check> {
    let mut made: Vec<(&CheckId, &Place, &sheet::Check)> = vec![];
    gather(sheet, (at.id, at.place, at.check), &mut vec![], &mut made);
    made.into_iter().map(|(_, _, check)| check).collect()
}

fn gather<'a>(
    sheet: &'a Sheet,
    of: (&'a CheckId, &'a Place, &'a sheet::Check),
    within: &mut Vec<&'a CheckId>,
    made: &mut Vec<(&'a CheckId, &'a Place, &'a sheet::Check)>,
) {
    let (id, place, check) = of;
    let CheckKind::Derived(derived) = &check.kind else {
        if !made.iter().any(|(known, at, _)| (*known, *at) == (id, place)) {
            made.push(of);
        }
        return;
    };
    if within.contains(&id) {
        return;
    }
    within.push(id);
    for input in derived.inputs.values() {
        let Input::Check { check, place: at } = input else { continue };
        if let Some((id, check)) = sheet.checks.get_key_value(check) {
            gather(sheet, (id, at.as_ref().unwrap_or(place), check), within, made);
        }
    }
    within.pop();
}

/// Every caution that making it calls for, each once.
fn cautions<'a>(check: &'a sheet::Check, made: &[&'a sheet::Check]) -> Vec<&'a str> {
    let all = std::iter::once(check).chain(made.iter().copied());
    let mut cautions: Vec<&str> = vec![];
    for caution in all.filter_map(|check| check.caution.as_deref()) {
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    cautions
}

/// Steps that stand open on this visit, as far as is known: something that needs them was looked at on it, and the keys have not
/// gone back.
fn open_now<'a>(case: &Case<'a, '_>) -> HashSet<&'a AccessId> {
    let sheet = case.judge.sheet;
    let visit = case.judge.visits().next_back().filter(|visit| visit.closed.is_none());
    let found = visit.into_iter().flat_map(|visit| &visit.findings);
    let reached = found.filter(|finding| !matches!(finding.what, What::NotReached { .. }));
    let checks = reached.filter_map(|finding| sheet.checks.get(&finding.check));
    checks.flat_map(|check| sheet.access_closure(&check.needs)).collect()
}
