//! What a car's plan is asked of the planner, and the same with other estimates.

use super::candidates::{self, Candidate};
use super::costs::Costs;
use super::study::Figure;
use super::{NEXT, NOW, OnOccasion, Plan, PlanFailed, Span, Timing, When, Wishes, why};
use crate::assessment::Assessment;
use crate::judge::Judge;
use crate::odometer::NextVisit;
use planner::{
    AccessCost, AccessStep, Choice, Instance, Job, Limits, Occasion, OccasionLimits, Pin, PinRule, PlanError,
    Problem,
};
use rust_decimal::Decimal;
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::hash::{Hash, Hasher};

/// A judged car with what a person wishes.
pub(super) struct Question<'a> {
    pub judge: &'a Judge<'a>,
    pub wishes: &'a Wishes,
    pub next: NextVisit,
    pub span: Span,
    pub costs: Costs<'a>,
    pub candidates: Vec<Candidate<'a>>,
    /// By candidate and level of its life.
    known: Vec<[OnceCell<Known>; LEVELS]>,
}

/// The planner's answer.
pub(super) struct Answer {
    pub instance: Instance,
    pub solved: planner::Plan,
    /// The same without limits.
    pub unlimited: Instance,
    /// Limits as asked for, without the money.
    pub asked_limits: BTreeMap<String, OccasionLimits>,
    pub ceiling: Option<Decimal>,
    pub over_ceiling: bool,
}

/// How long something lasts, as far as timing asks.
#[derive(Debug, Clone, Copy)]
struct Known {
    failed_by_next: f64,
    failed_by_horizon: f64,
    unused_now: f64,
    unused_at_next: f64,
}

/// An estimate is low, as it stands, or high.
pub(super) const LEVELS: usize = 3;
const AS_IT_STANDS: usize = 1;

/// By how much an estimate is off when it is low or high. Common practice, no source: lives by a quarter, costs of
/// failures by half, hours by a fifth.
fn factor(figure: Figure, level: usize) -> f64 {
    let far = match figure {
        Figure::Life => 1.25,
        Figure::Failure => 1.5,
        Figure::Work | Figure::Opening => 1.2,
    };
    match level {
        0 => 1.0 / far,
        AS_IT_STANDS => 1.0,
        _ => far,
    }
}

/// Which estimates are off, and how.
#[derive(Debug, Clone, Copy)]
pub(super) enum Scene {
    AsItStands,
    /// One figure of one candidate.
    One {
        candidate: usize,
        figure: Figure,
        level: usize,
    },
    /// Every figure by itself: each level in a third of the scenes, in a mixture of its own.
    Drawn(u32),
}

impl Scene {
    pub fn of_one(candidate: usize, figure: Figure, level: usize) -> Self {
        Self::One { candidate, figure, level }
    }

    pub fn drawn(n: u32) -> Self {
        Self::Drawn(n)
    }

    /// The level of a figure that goes by a name; `candidate` is whose it is, none for steps that all share.
    fn level(&self, figure: Figure, candidate: Option<usize>, name: &str) -> usize {
        match self {
            Self::AsItStands => AS_IT_STANDS,
            Self::One { candidate: of, figure: moved, level } => {
                let here = *moved == figure && candidate.is_none_or(|candidate| candidate == *of);
                if here { *level } else { AS_IT_STANDS }
            }
            Self::Drawn(n) => {
                // A mixture that depends on names alone: the same car is looked into in the same way each time.
                let mut mixture = Fnv::default();
                (n, figure, name).hash(&mut mixture);
                (mixture.finish() % LEVELS as u64) as usize
            }
        }
    }

    fn factor(&self, figure: Figure, candidate: Option<usize>, name: &str) -> f64 {
        factor(figure, self.level(figure, candidate, name))
    }
}

/// The best plan; clashes that are seen without a search are told like those that are not.
fn solve(instance: &Instance) -> Result<planner::Plan, PlanError> {
    let limits = Limits::default();
    planner::solve(instance, &limits).map_err(|error| match error {
        PlanError::Invalid(problems) if problems.iter().all(Problem::is_clash) => {
            PlanError::Infeasible { clash: planner::smallest_clash(instance, &limits) }
        }
        other => other,
    })
}

/// A hash that is the same on every machine and in every version (FNV-1a, stirred at the end as in MurmurHash3; from
/// memory).
struct Fnv(u64);

impl Default for Fnv {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Hasher for Fnv {
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3);
        }
    }

    fn finish(&self) -> u64 {
        let mut mixed = self.0;
        for by in [0xff51_afd7_ed55_8ccd, 0xc4ce_b9fe_1a85_ec53] {
            mixed = (mixed ^ (mixed >> 33)).wrapping_mul(by);
        }
        mixed ^ (mixed >> 33)
    }
}

impl<'a> Question<'a> {
    pub fn new(
        judge: &'a Judge<'a>,
        assessment: &'a Assessment,
        wishes: &'a Wishes,
    ) -> Result<Self, PlanFailed> {
        let next = super::checked(judge, wishes)?;
        let costs = Costs::new(judge);
        let candidates = candidates::of(judge, assessment, wishes, &costs);
        let known = candidates.iter().map(|_| Default::default()).collect();
        let span = Span::new(judge, &next, wishes.horizon);
        Ok(Self { judge, wishes, next, span, costs, candidates, known })
    }

    /// The best plan within the limits asked for.
    pub fn answer(&self) -> Result<Answer, PlanFailed> {
        let visit = self.judge.car.open_visit();
        let ceiling = self.wishes.budget.or_else(|| visit.and_then(|visit| visit.ceiling));
        let ceiling = ceiling.map(super::hundredths);
        let cash = ceiling.and_then(|ceiling| ceiling.to_string().parse().ok());
        let unlimited = self.instance();
        let now = |cash, hours| match (cash, hours) {
            (None, None) => BTreeMap::new(),
            (cash, hours) => BTreeMap::from([(NOW.into(), OccasionLimits { cash, hours })]),
        };
        let mut instance = unlimited.clone();
        instance.limits = now(cash, self.wishes.hours);
        let (solved, over_ceiling) = match solve(&instance) {
            Err(PlanError::Infeasible { .. }) if !instance.limits.is_empty() => {
                // A wish against what must be stays one, however much there is.
                solve(&unlimited)?;
                // What must not wait goes beyond what there is: then it alone is planned, and the plan says so.
                instance = super::only_what_must(&unlimited);
                (solve(&instance)?, true)
            }
            solved => (solved?, false),
        };
        let asked_limits = now(None, self.wishes.hours);
        Ok(Answer { instance, solved, unlimited, asked_limits, ceiling, over_ceiling })
    }

    /// The plan that an answer is, and for each of its items the place of its candidate.
    pub fn plan(&self, answer: &Answer) -> (Plan, Vec<usize>) {
        let (judge, solved) = (self.judge, &answer.solved);
        let nothing_now = super::nothing_now(&answer.unlimited);
        let nothing_now = planner::solve(&nothing_now, &Limits::default()).ok().map(|plan| plan.cost);
        let whys =
            why::Whys { judge, instance: &answer.instance, solved, costs: &self.costs, next: &self.next };
        let told = self.candidates.iter().enumerate();
        let (at, items): (Vec<usize>, Vec<_>) =
            told.filter_map(|(at, candidate)| Some((at, whys.item(candidate)?))).unzip();
        let occasions: Vec<OnOccasion> = [(When::Now, judge.today), (When::NextVisit, self.next.date)]
            .into_iter()
            .zip(&solved.visits)
            .map(|((when, date), visit)| OnOccasion {
                when,
                date,
                access: visit
                    .access
                    .iter()
                    .map(|id| (id.as_str().into(), self.costs.step(&id.as_str().into())))
                    .collect(),
                hours: visit.hours,
                cost: visit.cash,
            })
            .collect();
        let done_now =
            |candidate: &&Candidate<'_>| solved.pick.get(&candidate.id) == Some(&Choice::from(NOW));
        let alone = |one: &Candidate<'_>| one.cash + self.costs.closure(&one.operation.needs);
        let plan = Plan {
            today: judge.today,
            next_visit: Some(self.next.date),
            proven: solved.proven,
            gap: solved.gap(),
            expected_cost: solved.cost,
            nothing_now,
            together: occasions.first().map_or(0.0, |now| now.cost),
            apart: self.candidates.iter().filter(done_now).map(alone).sum(),
            items,
            occasions,
            ceiling: answer.ceiling,
            over_ceiling: answer.over_ceiling,
        };
        (plan, at)
    }

    /// An instance of this question with other estimates; its rules and limits stay.
    pub fn under(&self, instance: &Instance, scene: &Scene) -> Instance {
        let mut other = instance.clone();
        for (at, job) in other.jobs.iter_mut().enumerate() {
            let moved = self.job(at, scene);
            (job.cost, job.cash, job.hours) = (moved.cost, moved.cash, moved.hours);
        }
        for step in &mut other.access {
            let factor = scene.factor(Figure::Opening, None, &step.id);
            step.hours *= factor;
            if let AccessCost::Always(cost) = &mut step.cost {
                *cost *= factor;
            }
        }
        other
    }

    fn known(&self, at: usize, level: usize) -> Known {
        let known = || {
            let (candidate, judge, span) = (&self.candidates[at], self.judge, &self.span);
            let stretch = factor(Figure::Life, level);
            // A life that is so much longer reaches a day as the estimate would reach an earlier one.
            let failed = |years: f64| {
                candidate.fails_by(judge, crate::days::years_after(judge.today, years / stretch))
            };
            let unused = |years: f64| stretch * candidate.unused_years(judge, years / stretch);
            Known {
                failed_by_next: failed(span.next_years),
                failed_by_horizon: failed(span.horizon_years),
                unused_now: unused(0.0),
                unused_at_next: unused(span.next_years),
            }
        };
        *self.known[at][level.min(LEVELS - 1)].get_or_init(known)
    }

    fn job(&self, at: usize, scene: &Scene) -> Job {
        let (candidate, span) = (&self.candidates[at], &self.span);
        let factor = |figure: Figure| scene.factor(figure, Some(at), &candidate.id);
        let known = self.known(at, scene.level(Figure::Life, Some(at), &candidate.id));
        let hours = candidate.hours * factor(Figure::Work);
        let cash = candidate.cash + (hours - candidate.hours) * self.costs.rate();
        let timing = Timing {
            planned: cash,
            surprise: candidate.failure * factor(Figure::Failure),
            life: candidate.cost_a_year * if candidate.cash > 0.0 { cash / candidate.cash } else { 1.0 }
                / factor(Figure::Life),
            unused_now: known.unused_now,
            one_day: candidate.one_day,
            worth: span.worth,
        };
        let mut cost: BTreeMap<String, f64> = BTreeMap::from([
            (NOW.into(), timing.done(0.0, known.unused_now)),
            (planner::LEAVE.into(), timing.left(known.failed_by_horizon)),
        ]);
        if !span.without_next {
            cost.insert(NEXT.into(), timing.done(known.failed_by_next, known.unused_at_next));
        }
        // What is to be done by a visit that does not come is for the next owner to decide.
        let by = candidate.by.filter(|by| *by == NOW || !span.without_next);
        Job {
            id: candidate.id.clone(),
            needs: candidate.operation.needs.iter().map(ToString::to_string).collect(),
            cost,
            cash,
            hours,
            by: by.map(Into::into),
        }
    }

    fn instance(&self) -> Instance {
        let (judge, wishes, costs) = (self.judge, self.wishes, &self.costs);
        let jobs = (0..self.candidates.len()).map(|at| self.job(at, &Scene::AsItStands)).collect();
        let needs: Vec<_> =
            self.candidates.iter().flat_map(|candidate| candidate.operation.needs.clone()).collect();
        let access = judge
            .sheet
            .access_closure(&needs)
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
        let pin =
            |candidate: &Candidate<'_>, rule| Pin { job: candidate.id.clone(), choice: NOW.into(), rule };
        let pins = self
            .candidates
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
            occasions: vec![
                Occasion { id: NOW.into(), at: 0.0 },
                Occasion { id: NEXT.into(), at: self.span.next_years },
            ],
            access,
            jobs,
            before: candidates::company(&self.candidates, wishes),
            pins,
            ..Instance::default()
        }
    }
}
