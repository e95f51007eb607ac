//! What a car's plan is asked of the planner, and the same with other estimates.

use super::belief::{Belief, factor};
use super::candidates::{self, Candidate};
use super::costs::Costs;
use super::occasion::{Occasion, occasions};
use super::study::Figure;
use super::{NOW, OnOccasion, Plan, PlanFailed, Span, Timing, When, Wishes, why};
use crate::assessment::Assessment;
use crate::judge::Judge;
use crate::long_job::Due;
use crate::odometer::NextVisit;
use planner::{
    AccessCost, AccessStep, Choice, Instance, Job, Limits, OccasionLimits, Pin, PinRule, PlanError, Problem,
};
use prognosis::life::Third;
use rust_decimal::Decimal;
use std::cell::OnceCell;
use std::collections::BTreeMap;

/// A judged car with what a person wishes.
pub(super) struct Question<'a> {
    pub judge: &'a Judge<'a>,
    pub wishes: &'a Wishes,
    pub next: NextVisit,
    pub occasions: Vec<Occasion>,
    pub span: Span,
    pub costs: Costs<'a>,
    pub candidates: Vec<Candidate<'a>>,
    /// How much work each question to the planner may take.
    pub limits: Limits<'a>,
    /// By candidate: of all that is believed of its life, and of each third.
    known: Vec<[OnceCell<Known>; 1 + Third::ALL.len()]>,
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
#[derive(Debug, Clone)]
struct Known {
    /// By occasion.
    failed: Vec<f64>,
    unused: Vec<f64>,
    failed_by_horizon: f64,
    /// Mean life of its kind, as a share of what is believed of it.
    life: f64,
}

/// What a failure costs lies within this factor of the data sheet's estimate in nine of ten. Common practice, no source.
const FAILURES_WITHIN: f64 = 1.8;

/// Which estimates are off, and how.
#[derive(Debug, Clone, Copy)]
pub(super) enum Scene {
    AsItStands,
    /// One figure of one candidate.
    One {
        candidate: usize,
        figure: Figure,
        third: Third,
    },
    /// Every figure by itself: each third in a third of the scenes on average, in a mixture of its own.
    Drawn(u32),
}

impl Scene {
    pub fn of_one(candidate: usize, figure: Figure, third: Third) -> Self {
        Self::One { candidate, figure, third }
    }

    pub fn drawn(n: u32) -> Self {
        Self::Drawn(n)
    }

    /// Which third of what is believed of a figure is so; `None` for all of it. The figure goes by a name; `candidate` is whose
    /// it is, none for steps that all share.
    fn third(&self, figure: Figure, candidate: Option<usize>, name: &str) -> Option<Third> {
        match self {
            Self::AsItStands => None,
            Self::One { candidate: of, figure: moved, third } => {
                let here = *moved == figure && candidate.is_none_or(|candidate| candidate == *of);
                here.then_some(*third)
            }
            Self::Drawn(n) => {
                // A mixture that depends on names alone: the same car is looked into in the same way each time.
                let told = [&n.to_le_bytes()[..], &[figure as u8], name.as_bytes()].concat();
                let nth = mixed(&told) % Third::ALL.len() as u64;
                Third::ALL.get(nth as usize).copied()
            }
        }
    }
}

/// The best plan; clashes that are seen without a search are told like those that are not.
fn solve(instance: &Instance, limits: &Limits<'_>) -> Result<planner::Plan, PlanError> {
    planner::solve(instance, limits).map_err(|error| match error {
        PlanError::Invalid(problems) if problems.iter().all(Problem::is_clash) => {
            PlanError::Infeasible { clash: planner::smallest_clash(instance, limits) }
        }
        other => other,
    })
}

/// Bytes mixed to a number, the same on every machine and in every version (FNV-1a, stirred at the end as in MurmurHash3;
/// from memory).
fn mixed(bytes: &[u8]) -> u64 {
    let told = bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| (sum ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3));
    let stir = |sum: u64, by: u64| (sum ^ (sum >> 33)).wrapping_mul(by);
    let stirred = [0xff51_afd7_ed55_8ccd, 0xc4ce_b9fe_1a85_ec53].into_iter().fold(told, stir);
    stirred ^ (stirred >> 33)
}

impl<'a> Question<'a> {
    pub fn new(
        judge: &'a Judge<'a>,
        assessment: &'a Assessment,
        wishes: &'a Wishes,
        limits: Limits<'a>,
    ) -> Result<Self, PlanFailed> {
        let next = super::checked(judge, wishes)?;
        let costs = Costs::new(judge, wishes.rate);
        let occasions = occasions(judge, &next, wishes.horizon);
        let candidates = candidates::of(judge, assessment, wishes, &costs);
        let known = candidates.iter().map(|_| Default::default()).collect();
        let last = occasions.last().map_or(next.years, |last| last.years.max(next.years));
        let span = Span::new(judge, last, wishes.horizon);
        Ok(Self { judge, wishes, next, occasions, span, costs, candidates, limits, known })
    }

    /// When a choice of the planner is.
    pub fn when(&self, choice: &Choice) -> When {
        match choice {
            Choice::On(id) => {
                let on = self.occasions.iter().find(|occasion| occasion.id == *id);
                on.map_or(When::NextVisit, |occasion| occasion.when)
            }
            Choice::Leave => When::Leave,
        }
    }

    /// The occasion for which the owner has agreed to a candidate; none where it must not wait for it.
    fn promised(&self, candidate: &Candidate<'_>) -> Option<&Occasion> {
        let due = candidate.promise.filter(|_| candidate.by != Some(NOW) && !candidate.declined)?.1;
        self.occasions.iter().find(|occasion| match due {
            Due::Now => occasion.when == When::Now,
            Due::On(day) => occasion.date == day,
            Due::NextVisit => occasion.when == When::NextVisit,
        })
    }

    /// Whether it is to be tried without it now.
    fn refused(&self, candidate: &Candidate<'_>) -> bool {
        candidate.is_refused(self.wishes)
    }

    /// The occasion that a person has decided on for a candidate. What is wished for now counts before what was agreed.
    fn decided(&self, candidate: &Candidate<'_>) -> Option<&str> {
        let refused = self.refused(candidate);
        if self.wishes.must.contains(candidate.operation_id) || candidate.agreed && !refused {
            return Some(NOW);
        }
        let promised = self.promised(candidate);
        promised.filter(|on| !(refused && on.when == When::Now)).map(|on| on.id.as_str())
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
        let (solved, over_ceiling) = match solve(&instance, &self.limits) {
            Err(PlanError::Infeasible { .. }) if !instance.limits.is_empty() => {
                // A wish against what must be stays one, however much there is.
                solve(&unlimited, &self.limits)?;
                // What must not wait goes beyond what there is: then it alone is planned, and the plan says so.
                instance = super::only_what_must(&unlimited);
                (solve(&instance, &self.limits)?, true)
            }
            solved => (solved?, false),
        };
        let asked_limits = now(None, self.wishes.hours);
        Ok(Answer { instance, solved, unlimited, asked_limits, ceiling, over_ceiling })
    }

    /// The plan that an answer is, and for each of its items the place of its candidate; `waiting` tells what not doing
    /// something now would cost more.
    pub fn plan(&self, answer: &Answer, waiting: &BTreeMap<String, f64>) -> (Plan, Vec<usize>) {
        let (judge, solved) = (self.judge, &answer.solved);
        let nothing_now = super::nothing_now(&answer.unlimited);
        let nothing_now = planner::solve(&nothing_now, &self.limits).ok().map(|plan| plan.cost);
        let over = answer.over_ceiling;
        let whys = why::Whys { question: self, instance: &answer.instance, solved, waiting, over };
        let told = self.candidates.iter().enumerate();
        let (at, items): (Vec<usize>, Vec<_>) =
            told.filter_map(|(at, candidate)| Some((at, whys.item(candidate)?))).unzip();
        let occasions: Vec<OnOccasion> = self
            .occasions
            .iter()
            .zip(&solved.visits)
            .map(|(occasion, visit)| OnOccasion {
                when: occasion.when,
                date: occasion.date,
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
            let Some(third) = scene.third(Figure::Opening, None, &step.id) else { continue };
            let factor = self.factor(Figure::Opening, third);
            step.hours *= factor;
            if let AccessCost::Always(cost) = &mut step.cost {
                *cost *= factor;
            }
        }
        other
    }

    /// A third of what is believed of a figure, as a share of it.
    pub fn factor(&self, figure: Figure, third: Third) -> f64 {
        let within = match figure {
            Figure::Failure => FAILURES_WITHIN,
            Figure::Work | Figure::Opening => self.judge.sheet.hours_within(),
            Figure::Life => return 1.0, // not one figure but a distribution
        };
        factor(within, third)
    }

    fn known(&self, at: usize, third: Option<Third>) -> &Known {
        let level = third.map_or(0, |third| 1 + Third::ALL.iter().position(|one| *one == third).unwrap_or(0));
        let known = || {
            let (candidate, judge) = (&self.candidates[at], self.judge);
            let belief = Belief::of(judge, candidate, third);
            let day = |years: f64| crate::days::years_after(judge.today, years);
            let unused: Vec<f64> =
                self.occasions.iter().map(|occasion| belief.unused_years(occasion.years)).collect();
            let life = match third {
                None => 1.0,
                Some(_) => {
                    let whole = self.known(at, None).unused.first().copied().unwrap_or(0.0);
                    let used = belief.years_in();
                    (used + unused.first().copied().unwrap_or(0.0)) / (used + whole).max(0.01)
                }
            };
            Known {
                failed: self.occasions.iter().map(|occasion| belief.fails_by(occasion.date)).collect(),
                unused,
                failed_by_horizon: belief.fails_by(day(self.span.horizon_years)),
                life: life.max(0.01),
            }
        };
        self.known[at][level].get_or_init(known)
    }

    /// What is asked about one candidate.
    pub fn job(&self, at: usize, scene: &Scene) -> Job {
        let (candidate, span) = (&self.candidates[at], &self.span);
        let third = |figure: Figure| scene.third(figure, Some(at), &candidate.id);
        let factor = |figure: Figure| third(figure).map_or(1.0, |third| self.factor(figure, third));
        let known = self.known(at, third(Figure::Life));
        let hours = candidate.hours * factor(Figure::Work);
        let cash = candidate.cash + (hours - candidate.hours) * self.costs.rate();
        let timing = Timing {
            planned: cash,
            surprise: candidate.failure * factor(Figure::Failure),
            life: candidate.cost_a_year * if candidate.cash > 0.0 { cash / candidate.cash } else { 1.0 }
                / known.life,
            unused_now: known.unused.first().copied().unwrap_or(0.0),
            one_day: candidate.one_day,
            worth: span.worth,
        };
        let mut cost: BTreeMap<String, f64> =
            BTreeMap::from([(planner::LEAVE.into(), timing.left(known.failed_by_horizon))]);
        for (occasion, (failed, unused)) in self.occasions.iter().zip(known.failed.iter().zip(&known.unused))
        {
            // What is worn out now is done now: its chance of failing today belongs to every later choice.
            let failed = if occasion.when == When::Now { 0.0 } else { *failed };
            cost.insert(occasion.id.clone(), timing.done(failed, *unused));
        }
        // What is to be done by a visit that does not come is for the next owner to decide, and what is agreed for later is
        // done then.
        let waits = self.promised(candidate).is_some_and(|occasion| occasion.when != When::Now);
        let comes = |by: &&str| self.occasions.iter().any(|occasion| occasion.id == **by);
        let by = candidate.by.filter(|by| *by == NOW || !waits).filter(comes);
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
        let pin = |candidate: &Candidate<'_>, on: &str, rule| Pin {
            job: candidate.id.clone(),
            choice: on.into(),
            rule,
        };
        let pins = self
            .candidates
            .iter()
            .filter_map(|candidate| {
                let must = self.decided(candidate).map(|on| pin(candidate, on, PinRule::Must));
                let must_not = || self.refused(candidate).then(|| pin(candidate, NOW, PinRule::MustNot));
                must.or_else(must_not)
            })
            .collect();
        Instance {
            occasions: self
                .occasions
                .iter()
                .map(|on| planner::Occasion { id: on.id.clone(), at: on.years })
                .collect(),
            access,
            jobs,
            before: candidates::company(&self.candidates, wishes, |one| self.decided(one)),
            pins,
            ..Instance::default()
        }
    }
}
