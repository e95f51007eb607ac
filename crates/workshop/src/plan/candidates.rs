//! Which operations there is a ground for, and what each choice of time would cost.

use super::belief::Belief;
use super::{NEXT, NOW, Wishes, costs::Costs};
use crate::assessment::{Assessment, Judged};
use crate::judge::Judge;
use crate::long_job::{Due, LongJob};
use crate::waiting;
use jiff::civil::Date;
use journal::Answer;
use sheet::{Criticality, Operation, OperationId, PartId, Place, Verdict};
use std::collections::BTreeSet;

/// What is left is opened one day with this probability: its access then costs this share of itself.
const OPENED_ONE_DAY: f64 = 0.5;

/// An operation with a ground on this car.
pub(crate) struct Candidate<'a> {
    /// Of the planner's job: the operation, and the place where it is done place by place.
    pub id: String,
    pub operation_id: &'a OperationId,
    pub operation: &'a Operation,
    pub place: Option<Place>,
    pub grounds: Vec<&'a Judged>,
    /// Money and hours of the work itself.
    pub cash: f64,
    pub hours: f64,
    /// Money that a failure costs beyond what the planned work would.
    pub failure: f64,
    /// Money a year for life thrown away.
    pub cost_a_year: f64,
    /// Money if it is left and does not fail: the access it will need one day.
    pub one_day: f64,
    /// Whether nobody but the owner can put it off.
    pub grave: bool,
    /// The occasion by which it must be done.
    pub by: Option<&'static str>,
    /// The owner has said yes, or not now, on this visit.
    pub agreed: bool,
    pub declined: bool,
    /// A part that it needs and that is not in hand.
    pub lacks: Option<&'a PartId>,
    /// The long job that it is part of, and when that is to be done.
    pub promise: Option<(&'a LongJob, Due)>,
}

impl<'a> Candidate<'a> {
    /// Whether it is not to be done now: the owner or a wish says so, or a part is not in hand.
    pub(crate) fn is_refused(&self, wishes: &Wishes) -> bool {
        self.declined || self.lacks.is_some() || wishes.must_not.contains(self.operation_id)
    }

    /// Probability that at least one of its places has failed by a day.
    pub(crate) fn fails_by(&self, judge: &'a Judge<'a>, day: Date) -> f64 {
        Belief::of(judge, self, None).fails_by(day)
    }

    /// Expected years for which it would still have lasted from so many years ahead on.
    pub(crate) fn unused_years(&self, judge: &'a Judge<'a>, from: f64) -> f64 {
        Belief::of(judge, self, None).unused_years(from)
    }
}

/// The operations with a ground: one for each component that asks for something, and those asked for by name.
pub(crate) fn of<'a>(
    judge: &'a Judge<'a>,
    assessment: &'a Assessment,
    wishes: &Wishes,
    costs: &Costs<'_>,
) -> Vec<Candidate<'a>> {
    // Nothing is offered without a ground: what is sound is left alone, however open the car is.
    let grounds: Vec<&Judged> = assessment
        .findings
        .iter()
        .filter(|judged| judged.is_open() && judged.verdict != Verdict::NotReached)
        .collect();
    let agreed = agreed(judge);
    let mut candidates = Vec::new();
    for (id, operation) in &judge.sheet.operations {
        if !operation.only.includes(judge.car.variant.as_ref()) {
            continue;
        }
        let asked = wishes.must.contains(id) || agreed.contains(id);
        let mine: Vec<&Judged> =
            grounds.iter().copied().filter(|judged| judged.component == operation.component).collect();
        if !asked && (mine.is_empty() || !answers_best(judge, id, operation, costs)) {
            continue;
        }
        if operation.each {
            let mut places: Vec<&Place> = mine.iter().map(|judged| &judged.place).collect();
            places.sort();
            places.dedup();
            if places.is_empty() {
                // Asked for by name, though nothing was found: all of them are meant.
                let component = judge.sheet.components.get(&operation.component);
                places.extend(component.iter().flat_map(|component| &component.places));
            }
            let n = places.len();
            for place in places {
                let here = mine.iter().copied().filter(|judged| judged.place == *place).collect();
                let mut one = candidate(judge, id, operation, Some(place.clone()), here, costs);
                // The access that will be needed one day is needed once for all its places.
                one.one_day /= n as f64;
                candidates.push(one);
            }
        } else {
            candidates.push(candidate(judge, id, operation, None, mine, costs));
        }
    }
    with_mates(judge, &mut candidates, costs);
    for one in &mut candidates {
        one.lacks = wishes.lacks(judge.sheet, one.operation);
        if !one.grave && one.by == Some(NOW) && one.is_refused(wishes) {
            one.by = Some(NEXT);
        }
    }
    candidates
}

/// What the owner has agreed to and is not done yet, now or for later: their word is a ground.
fn agreed(judge: &Judge<'_>) -> BTreeSet<OperationId> {
    let visit = judge.car.open_visit();
    let now = visit.map(|visit| waiting::agreed(judge.sheet, judge.car, visit, judge.today));
    let later = judge.car.promised(judge.today).flat_map(|(job, _)| judge.car.remaining(job)).cloned();
    now.into_iter().flatten().map(|(id, _)| id).chain(later).collect()
}

/// What is not worth doing apart comes along, though it has no ground of its own.
fn with_mates<'a>(judge: &'a Judge<'a>, candidates: &mut Vec<Candidate<'a>>, costs: &Costs<'_>) {
    let mut next = 0;
    while let Some(candidate) = candidates.get(next) {
        next += 1;
        for mate in candidate.operation.with.clone() {
            let Some((_, id, operation)) = judge.sheet.operations.get_full(&mate) else { continue };
            let there = candidates.iter().any(|other| other.operation_id == id);
            if there || !operation.only.includes(judge.car.variant.as_ref()) {
                continue;
            }
            candidates.push(candidate_without_ground(judge, id, operation, costs));
        }
    }
}

fn candidate_without_ground<'a>(
    judge: &'a Judge<'a>,
    id: &'a OperationId,
    operation: &'a Operation,
    costs: &Costs<'_>,
) -> Candidate<'a> {
    Candidate { failure: 0.0, one_day: 0.0, ..candidate(judge, id, operation, None, vec![], costs) }
}

/// Where several operations answer for one component, the one that renews it counts, and of those the cheapest by
/// itself; a person can still ask for another by name.
fn answers_best(judge: &Judge<'_>, id: &OperationId, operation: &Operation, costs: &Costs<'_>) -> bool {
    let rank = |operation: &Operation| {
        (!operation.renews, costs.operation(operation, 1) + costs.closure(&operation.needs))
    };
    let better = |a: (bool, f64), b: (bool, f64)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).is_lt();
    !judge.sheet.operations.iter().any(|(other_id, other)| {
        other_id != id
            && other.component == operation.component
            && other.only.includes(judge.car.variant.as_ref())
            && better(rank(other), rank(operation))
    })
}

fn candidate<'a>(
    judge: &'a Judge<'a>,
    operation_id: &'a OperationId,
    operation: &'a Operation,
    place: Option<Place>,
    grounds: Vec<&'a Judged>,
    costs: &Costs<'_>,
) -> Candidate<'a> {
    let component = judge.sheet.components.get(&operation.component);
    let criticality = component.map_or(Criticality::Comfort, |component| component.criticality);
    let worst = grounds.iter().map(|judged| judged.verdict).max().unwrap_or(Verdict::Sound);
    let answer =
        judge.car.open_visit().and_then(|visit| visit.answer(operation_id)).map(|answer| answer.says);
    let declined = answer == Some(Answer::NotNow);
    let promise =
        judge.car.promised(judge.today).find(|(job, _)| judge.car.remaining(job).contains(&operation_id));
    let grave =
        worst == Verdict::StaysPut || (worst == Verdict::BeforeLeaving && criticality == Criticality::Safety);
    let closure = costs.closure(&operation.needs);
    let cash = costs.operation(operation, 1);
    let expected = component.map_or(0.0, |component| costs.failure(component));
    Candidate {
        id: place
            .as_ref()
            .map_or_else(|| operation_id.to_string(), |place| format!("{operation_id}@{place}")),
        operation_id,
        operation,
        place,
        grounds,
        cash,
        hours: operation.hours,
        failure: closure + expected,
        cost_a_year: cash / costs.years_of_life(&operation.component),
        one_day: OPENED_ONE_DAY * closure,
        grave,
        by: match worst {
            _ if declined => None,
            _ if grave => Some(NOW),
            // The keys wait for it; what the owner has agreed to for a later day is an answer.
            Verdict::BeforeLeaving if promise.is_none() => Some(NOW),
            // What is to be planned has a window that the next visit closes.
            Verdict::Plan | Verdict::BeforeLeaving => Some(NEXT),
            _ => None,
        },
        agreed: answer == Some(Answer::Yes) || !declined && promise.is_some_and(|(_, due)| due == Due::Now),
        declined,
        lacks: None,
        promise,
    }
}

/// What is not worth doing apart, among the candidates: pairs of which the second is done with or after the first. A mate
/// may be done alone, but the operation that wants it not before it; a mate that nothing else asks for is left unless one of
/// those is done. Where a person wants one of the two not now, or has `decided` on different occasions, they part.
pub(crate) fn company<'d>(
    candidates: &[Candidate<'_>],
    wishes: &Wishes,
    decided: impl Fn(&Candidate<'_>) -> Option<&'d str>,
) -> Vec<(String, String)> {
    let refused = |one: &Candidate<'_>| one.is_refused(wishes);
    let parted = |one: &Candidate<'_>, other: &Candidate<'_>| {
        let both = decided(one).zip(decided(other));
        both.is_some_and(|(one, other)| one != other)
    };
    let mut pairs = Vec::new();
    for candidate in candidates {
        for with in &candidate.operation.with {
            let mates = candidates.iter().filter(|other| {
                other.operation_id == with
                    && !(refused(other) || refused(candidate) || parted(other, candidate))
                    && (other.place == candidate.place || other.place.is_none() || candidate.place.is_none())
            });
            pairs.extend(mates.map(|mate| (mate.id.clone(), candidate.id.clone())));
        }
    }
    pairs
}
