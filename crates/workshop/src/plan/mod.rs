//! What is worth doing now, what at the next visit, and what is left: the plan of a car.
//!
//! Every finding that still asks for something, or is likely enough to, makes its operation a candidate. What a choice of
//! time costs follows from when the component will fail, what the failure drags with it, and how much life is thrown
//! away; access steps are shared. The planner finds the best plan and proves it.

mod candidates;
mod costs;
mod why;

use crate::assessment::Assessment;
use crate::days::years_after;
use crate::judge::Judge;
use candidates::Candidate;
use costs::Costs;
use jiff::civil::Date;
use planner::{
    AccessCost, AccessStep, Choice, Instance, Job, Limits, Occasion, OccasionLimits, Pin, PinRule,
};
use rust_decimal::{Decimal, prelude::FromPrimitive};
use serde::{Deserialize, Serialize};
use sheet::{AccessId, OperationId, Place};
use std::collections::{BTreeMap, BTreeSet};

/// What a person has decided already.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wishes {
    /// Money that may be spent now; the visit's own ceiling where absent.
    pub budget: Option<Decimal>,
    /// Hours that there are now.
    pub hours: Option<f64>,
    pub must: Vec<OperationId>,
    pub must_not: Vec<OperationId>,
}

/// When an operation is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    Now,
    NextVisit,
    Leave,
}

/// The plan of a car.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    pub today: Date,
    pub next_visit: Option<Date>,
    /// Whether no plan is better, and how far this one may be from the best, as a part of its cost.
    pub proven: bool,
    pub gap: f64,
    /// Money that the plan is expected to cost beyond doing each thing once, at its last useful moment.
    pub expected_cost: f64,
    /// What it would be if nothing were done now.
    pub nothing_now: Option<f64>,
    pub items: Vec<Item>,
    pub occasions: Vec<OnOccasion>,
    /// Money for everything done now: together, and each by itself.
    pub together: f64,
    pub apart: f64,
    /// The ceiling asked for, and whether what must not wait goes beyond it.
    pub ceiling: Option<Decimal>,
    pub over_ceiling: bool,
}

/// One operation of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    pub operation: OperationId,
    /// For an operation done place by place.
    pub place: Option<Place>,
    pub title: String,
    pub when: When,
    /// Money and hours of the work itself; shared steps are counted with the occasion.
    pub cost: f64,
    pub hours: f64,
    /// Must not wait, whatever it costs.
    pub must: bool,
    pub why: String,
    pub shares: Vec<Shared>,
    /// Money that sharing its steps saves against doing it by itself.
    pub sharing_saves: f64,
    /// What waiting would cost in expectation, for what is done now.
    pub waiting_costs: Option<f64>,
    /// Probability of failing before the next visit.
    pub p_next: f64,
    /// The findings that are its ground.
    pub grounds: Vec<(sheet::CheckId, Place)>,
}

/// A step that an item shares with others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shared {
    pub step: AccessId,
    pub with: Vec<OperationId>,
}

/// What an occasion is used for.
#[derive(Debug, Clone, PartialEq)]
pub struct OnOccasion {
    pub when: When,
    pub date: Date,
    /// Steps opened, each once, in an order in which they can be.
    pub access: Vec<(AccessId, f64)>,
    pub hours: f64,
    pub cost: f64,
}

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum PlanFailed {
    #[error("the car has no visit yet: there is nothing to plan from")]
    NoVisit,
    #[error("the data sheet has no operation `{}` for this car", .0.join("`, `"))]
    UnknownOperations(Vec<String>),
    #[error(transparent)]
    Planner(#[from] planner::PlanError),
}

/// Money that a sum of the planner stands for, to the hundredth.
pub fn money(amount: f64) -> Decimal {
    let money = Decimal::from_f64(amount).unwrap_or_default().round_dp(2);
    if money.is_zero() { Decimal::ZERO } else { money } // a sum just below nothing is nothing, without a sign
}

/// Plans a judged car.
///
/// # Errors
/// [`PlanFailed`].
pub fn plan(judge: &Judge<'_>, assessment: &Assessment, wishes: &Wishes) -> Result<Plan, PlanFailed> {
    let next = judge.next_visit.as_ref().ok_or(PlanFailed::NoVisit)?;
    let unknown: Vec<String> = wishes
        .must
        .iter()
        .chain(&wishes.must_not)
        .filter(|asked| {
            let known = judge.sheet.operations.get(*asked);
            !known.is_some_and(|operation| operation.only.includes(judge.car.variant.as_ref()))
        })
        .map(ToString::to_string)
        .collect();
    if !unknown.is_empty() {
        return Err(PlanFailed::UnknownOperations(unknown));
    }
    let costs = Costs::new(judge);
    let candidates = candidates::of(judge, assessment, wishes, &costs);
    let ceiling = wishes.budget.or_else(|| judge.car.open_visit().and_then(|visit| visit.ceiling));
    let mut instance = instance(judge, &candidates, &costs, wishes);
    let unlimited = instance.clone();
    let cash = ceiling.and_then(|ceiling| ceiling.to_string().parse().ok());
    if cash.is_some() || wishes.hours.is_some() {
        instance.limits = BTreeMap::from([(NOW.into(), OccasionLimits { cash, hours: wishes.hours })]);
    }
    let limits = Limits::default();
    let (solved, over_ceiling) = match planner::solve(&instance, &limits) {
        Err(planner::PlanError::Infeasible { .. }) if !instance.limits.is_empty() => {
            // What must not wait goes beyond what there is: then it alone is planned, and the plan says so.
            instance = only_what_must(&unlimited);
            (planner::solve(&instance, &limits)?, true)
        }
        solved => (solved?, false),
    };
    let nothing_now = planner::solve(&nothing_now(&unlimited), &limits).ok().map(|plan| plan.cost);
    let whys = why::Whys { judge, instance: &instance, solved: &solved, costs: &costs, next };
    let items: Vec<Item> = candidates.iter().filter_map(|candidate| whys.item(candidate)).collect();
    let occasions = [(When::Now, judge.today), (When::NextVisit, next.date)]
        .into_iter()
        .zip(&solved.visits)
        .map(|((when, date), visit)| OnOccasion {
            when,
            date,
            access: visit
                .access
                .iter()
                .map(|id| (id.as_str().into(), costs.step(&id.as_str().into())))
                .collect(),
            hours: visit.hours,
            cost: visit.cash,
        })
        .collect::<Vec<_>>();
    let apart = candidates
        .iter()
        .filter(|candidate| solved.pick.get(&candidate.id) == Some(&Choice::from(NOW)))
        .map(|candidate| candidate.cash + costs.closure(&candidate.operation.needs))
        .sum();
    Ok(Plan {
        today: judge.today,
        next_visit: Some(next.date),
        proven: solved.proven,
        gap: solved.gap(),
        expected_cost: solved.cost,
        nothing_now,
        together: occasions.first().map_or(0.0, |now| now.cost),
        apart,
        items,
        occasions,
        ceiling,
        over_ceiling,
    })
}

const NOW: &str = "now";
const NEXT: &str = "next-visit";

fn instance(judge: &Judge<'_>, candidates: &[Candidate<'_>], costs: &Costs<'_>, wishes: &Wishes) -> Instance {
    let years = judge.next_visit.as_ref().map_or(1.0, |next| next.years);
    let horizon_years = years + judge.shop.gap_years;
    let horizon = years_after(judge.today, horizon_years);
    let next = years_after(judge.today, years);
    let jobs = candidates
        .iter()
        .map(|candidate| {
            let fails_by_next = candidate.fails_by(judge, next);
            let fails_by_horizon = candidate.fails_by(judge, horizon);
            let unused = |from: f64| candidate.unused_years(judge, from);
            let cost = BTreeMap::from([
                (NOW.into(), candidate.cost_a_year * unused(0.0)),
                (NEXT.into(), candidate.failure * fails_by_next + candidate.cost_a_year * unused(years)),
                (
                    planner::LEAVE.into(),
                    candidate.failure * fails_by_horizon + candidate.one_day * (1.0 - fails_by_horizon),
                ),
            ]);
            Job {
                id: candidate.id.clone(),
                needs: candidate.operation.needs.iter().map(ToString::to_string).collect(),
                cost,
                cash: candidate.cash,
                hours: candidate.hours,
                by: candidate.by.map(Into::into),
            }
        })
        .collect();
    let used = judge.sheet.access_closure(
        &candidates.iter().flat_map(|candidate| candidate.operation.needs.clone()).collect::<Vec<_>>(),
    );
    let access = used
        .iter()
        .filter_map(|id| {
            let step = judge.sheet.access.get(*id)?;
            Some(AccessStep {
                id: id.to_string(),
                cost: AccessCost::Always(costs.step(id)),
                hours: costs.step_hours(id),
                needs: step.needs.iter().map(ToString::to_string).collect(),
                open: vec![],
            })
        })
        .collect();
    let pin = |candidate: &Candidate<'_>, rule| Pin { job: candidate.id.clone(), choice: NOW.into(), rule };
    let pins = candidates
        .iter()
        .filter_map(|candidate| {
            if wishes.must.contains(candidate.operation_id) || candidate.agreed {
                Some(pin(candidate, PinRule::Must))
            } else if candidate.declined || wishes.must_not.contains(candidate.operation_id) {
                Some(pin(candidate, PinRule::MustNot))
            } else {
                None
            }
        })
        .collect();
    Instance {
        occasions: vec![Occasion { id: NOW.into(), at: 0.0 }, Occasion { id: NEXT.into(), at: years }],
        access,
        jobs,
        before: candidates::company(candidates, wishes),
        pins,
        ..Instance::default()
    }
}

/// The same with nothing now but what must not wait, and what has to come with it or before it.
fn only_what_must(instance: &Instance) -> Instance {
    let pinned = |job: &Job| instance.pins.iter().any(|pin| pin.job == job.id && pin.rule == PinRule::Must);
    let must = instance.jobs.iter().filter(|job| job.by.as_deref() == Some(NOW) || pinned(job));
    let mut forced: BTreeSet<&str> = must.map(|job| job.id.as_str()).collect();
    loop {
        let groups = instance.together.iter().filter(|group| group.iter().any(|job| forced.contains(&**job)));
        let firsts =
            instance.before.iter().filter(|(_, then)| forced.contains(&**then)).map(|(first, _)| first);
        let more: Vec<&str> = groups.flatten().chain(firsts).map(String::as_str).collect();
        let known = forced.len();
        forced.extend(more);
        if forced.len() == known {
            break;
        }
    }
    let mut only = instance.clone();
    only.pins.retain(|pin| pin.rule == PinRule::Must);
    let others = instance.jobs.iter().filter(|job| !forced.contains(&*job.id));
    only.pins.extend(others.map(|job| Pin {
        job: job.id.clone(),
        choice: NOW.into(),
        rule: PinRule::MustNot,
    }));
    only
}

/// The same with nothing at all done now.
fn nothing_now(instance: &Instance) -> Instance {
    let mut nothing = instance.clone();
    nothing.pins = instance
        .jobs
        .iter()
        .map(|job| Pin { job: job.id.clone(), choice: NOW.into(), rule: PinRule::MustNot })
        .collect();
    for job in nothing.jobs.iter_mut().filter(|job| job.by.as_deref() == Some(NOW)) {
        job.by = Some(NEXT.into()); // what must not wait is what such a plan puts off
    }
    nothing
}
