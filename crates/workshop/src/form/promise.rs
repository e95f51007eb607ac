//! What is promised for later: key tags and long jobs.

use super::{FromForm, free_id, in_months, problem, typed};
use crate::car::{Car, Visit};
use jiff::civil::Date;
use journal::{Known, When};
use sheet::OperationId;

/// A key tag.
///
/// # Errors
/// What is wrong with the fields `what`, `why`, `months`.
pub fn tag(
    car: &Car,
    visit: &Visit,
    what: &str,
    why: &str,
    months: &str,
    next_visit: bool,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let what = typed(what);
    if what.is_none() {
        problems.push(problem("what", "Say what to look at."));
    }
    let why = typed(why);
    if why.is_none() {
        problems.push(problem("why", "Say why: in a year nobody remembers."));
    }
    let years = in_months(months).unwrap_or_else(|found| {
        problems.push(found);
        None
    });
    let when = When { next_visit, years, ..When::default() };
    if when.is_never() && problems.iter().all(|found| found.field != "months") {
        problems.push(problem("months", "Say when: at the next visit, or in so many months."));
    }
    match (what, why) {
        (Some(what), Some(why)) if problems.is_empty() => {
            let taken = |id: &str| car.tags.iter().any(|tag| tag.id == id);
            let id = free_id(|n| format!("{}-tag-{n}", visit.id), taken);
            Ok(Known::Tag { tag: id, visit: visit.id.clone(), what, why, when, check: None, place: None })
        }
        _ => Err(problems),
    }
}

/// A key tag settled.
///
/// # Errors
/// What is wrong with the fields `tag`, `reason`.
pub fn tag_settled(car: &Car, visit: &Visit, tag: &str, reason: &str) -> FromForm<Known> {
    if !car.open_tags().any(|known| known.id == tag) {
        return Err(vec![problem("tag", "This key tag does not wait any more.")]);
    }
    let reason = typed(reason).ok_or_else(|| vec![problem("reason", "Say how it was settled.")])?;
    Ok(Known::TagSettled { tag: tag.to_owned(), visit: visit.id.clone(), reason })
}

/// Work agreed for a later visit: on a day, or whenever the car comes next.
///
/// # Errors
/// What is wrong with the fields `operations`, `on`, `name`.
pub fn long_job(
    judge: &crate::Judge<'_>,
    operations: &[OperationId],
    on: &str,
    name: &str,
    words: &str,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let Some(visit) = judge.car.open_visit().or(judge.car.last_visit()) else {
        return Err(vec![problem("operations", "The car was never in: begin a visit first.")]);
    };
    if operations.is_empty() {
        problems.push(problem("operations", "Tick at least one piece of work."));
    }
    let known = |id: &OperationId| {
        let operation = judge.sheet.operations.get(id);
        operation.is_some_and(|operation| operation.only.includes(judge.car.variant.as_ref()))
    };
    if !operations.iter().all(known) {
        problems.push(problem("operations", "The plan has changed meanwhile: please look at it again."));
    }
    let promised = |id: &OperationId| judge.car.carried().any(|job| judge.car.remaining(job).contains(&id));
    if operations.iter().any(promised) {
        problems.push(problem("operations", "Some of this is agreed already: settle that first."));
    }
    let on = typed(on).and_then(|text| match text.parse::<Date>() {
        Ok(day) if day > judge.today && day > visit.date => Some(day),
        Ok(_) => {
            problems.push(problem("on", "Write a day that is still to come."));
            None
        }
        Err(_) => {
            problems.push(problem("on", "Write the day as 2026-09-30, or leave it empty."));
            None
        }
    });
    let name = typed(name);
    if name.is_none() {
        problems.push(problem("name", "Say who agreed, such as “the owner, by telephone”."));
    }
    let Some(name) = name.filter(|_| problems.is_empty()) else { return Err(problems) };
    let taken = |id: &str| judge.car.long_jobs.iter().any(|known| known.id == id);
    let job = free_id(|n| format!("{}-job-{n}", visit.id), taken);
    let operations = operations.iter().map(ToString::to_string).collect();
    Ok(Known::LongJob { job, visit: visit.id.clone(), operations, on, name, words: typed(words) })
}

/// A long job that waits no longer.
///
/// # Errors
/// What is wrong with the fields `job`, `reason`.
pub fn long_job_settled(car: &Car, job: &str, reason: &str) -> FromForm<Known> {
    let visit = car.open_visit().or(car.last_visit());
    let Some(visit) = visit.filter(|_| car.carried().any(|known| known.id == job)) else {
        return Err(vec![problem("job", "This work does not wait any more.")]);
    };
    let reason = typed(reason).ok_or_else(|| vec![problem("reason", "Say why it will not be done.")])?;
    Ok(Known::LongJobSettled { job: job.to_owned(), visit: visit.id.clone(), reason })
}
