//! What is worth doing now, what at the next visit, and what is left: the plan of a car.
//!
//! Every finding that still asks for something, or is likely enough to, makes its operation a candidate. What a choice of
//! time costs follows from when the component will fail, what the failure drags with it, and how much life is thrown
//! away; access steps are shared. The planner finds the best plan and proves it.

mod belief;
mod candidates;
mod cascade;
mod clash;
mod costs;
mod occasion;
mod question;
mod study;
mod why;

pub use cascade::{Cascade, Harm};
pub use occasion::When;
pub use planner::PlanError;
pub use study::{Corner, Decision, FIRM, Figure, Matter, Study, TOSS_UP, study};

use crate::assessment::Assessment;
use crate::days::years_between;
use crate::judge::Judge;
use crate::long_job::Due;
use crate::odometer::{NextVisit, ONE_ERRAND_YEARS};
use jiff::civil::Date;
use planner::{Instance, Job, Limits, Pin, PinRule};
use question::Question;
use rust_decimal::{Decimal, prelude::FromPrimitive};
use serde::Serialize;
use sheet::{AccessId, Operation, OperationId, PartId, Place, Sheet};
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

/// What a person has decided already.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wishes {
    /// Money that may be spent now; the visit's own ceiling where absent.
    pub budget: Option<Decimal>,
    /// Hours that there are now.
    pub hours: Option<f64>,
    pub must: Vec<OperationId>,
    pub must_not: Vec<OperationId>,
    /// Parts that are not in hand: what needs one, or what has replaced it, is not done now.
    pub lacking: Vec<PartId>,
    /// The day on which the owner parts with the car; kept for good where absent.
    pub horizon: Option<Date>,
    /// The day of the next visit; as forecast where absent.
    pub next_visit: Option<Date>,
    /// Money for an hour of work; the workshop's own rate where absent.
    pub rate: Option<Decimal>,
}

impl Wishes {
    /// A part that an operation needs and that is not in hand; by whichever number of its chain it was said.
    pub(crate) fn lacks<'s>(&self, sheet: &Sheet, operation: &'s Operation) -> Option<&'s PartId> {
        let lacking: Vec<_> = self.lacking.iter().map(|part| sheet.successor(part)).collect();
        operation
            .parts
            .iter()
            .map(|needed| &needed.part)
            .find(|part| lacking.contains(&sheet.successor(part)))
    }
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
    /// The same, as the owner is told.
    pub why_to_owner: String,
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
    #[error("{what} is to be on {day}, which is not after {today}")]
    NotAhead { what: &'static str, day: Date, today: Date },
    #[error("the data sheet has no operation `{}` for this car", .0.join("`, `"))]
    UnknownOperations(Vec<String>),
    #[error("the data sheet has no part `{}`", .0.join("`, `"))]
    UnknownParts(Vec<String>),
    #[error(
        "`{operation}` is wished for now, and needs `{part}`, which is not in hand; leave one of the two out"
    )]
    Lacking { operation: OperationId, part: PartId },
    #[error("both wished for and wished away: `{}`; say one of them", .0.join("`, `"))]
    BothWays(Vec<String>),
    #[error(transparent)]
    Planner(#[from] planner::PlanError),
}

/// Money that a sum of the planner stands for, to the hundredth.
pub fn money(amount: f64) -> Decimal {
    hundredths(Decimal::from_f64(amount).unwrap_or_default())
}

/// Money with two decimals, whatever they are.
fn hundredths(money: Decimal) -> Decimal {
    let mut money = money.round_dp(2);
    if money.is_zero() {
        money = Decimal::ZERO; // a sum just below nothing is nothing, without a sign
    }
    money.rescale(2);
    money
}

/// Plans a judged car.
///
/// # Errors
/// [`PlanFailed`].
pub fn plan(judge: &Judge<'_>, assessment: &Assessment, wishes: &Wishes) -> Result<Plan, PlanFailed> {
    planned(judge, assessment, wishes, Limits::default())
}

/// The best plan that is found in about so much time, for somebody who waits; it says how far it may be from the best.
///
/// # Errors
/// [`PlanFailed`]; [`PlanError::CutShort`] where none was found in time.
pub fn plan_within(
    judge: &Judge<'_>,
    assessment: &Assessment,
    wishes: &Wishes,
    time: Duration,
) -> Result<Plan, PlanFailed> {
    let begun = Instant::now();
    let stop = || begun.elapsed() >= time;
    planned(judge, assessment, wishes, Limits { stop: Some(&stop), ..Limits::default() })
}

fn planned(
    judge: &Judge<'_>,
    assessment: &Assessment,
    wishes: &Wishes,
    limits: Limits<'_>,
) -> Result<Plan, PlanFailed> {
    let question = Question::new(judge, assessment, wishes, limits)?;
    let answer = question.answer()?;
    let waiting = planner::waiting(&answer.instance, &answer.solved, &limits)?;
    Ok(question.plan(&answer, &waiting).0)
}

const NOW: &str = "now";
const NEXT: &str = "next-visit";

/// The next visit that wishes plan for, once all that they name can be.
fn checked(judge: &Judge<'_>, wishes: &Wishes) -> Result<NextVisit, PlanFailed> {
    let today = judge.today;
    for (what, day) in [("parting with the car", wishes.horizon), ("the next visit", wishes.next_visit)] {
        if let Some(day) = day.filter(|day| *day <= today) {
            return Err(PlanFailed::NotAhead { what, day, today });
        }
    }
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
    let parts = wishes.lacking.iter().filter(|part| !judge.sheet.parts.contains_key(*part));
    let unknown: Vec<String> = parts.map(ToString::to_string).collect();
    if !unknown.is_empty() {
        return Err(PlanFailed::UnknownParts(unknown));
    }
    let wanting = wishes.must.iter().find_map(|id| {
        let part = wishes.lacks(judge.sheet, judge.sheet.operations.get(id)?)?;
        Some(PlanFailed::Lacking { operation: id.clone(), part: part.clone() })
    });
    if let Some(failed) = wanting {
        return Err(failed);
    }
    let both = wishes.must.iter().filter(|wished| wishes.must_not.contains(wished));
    let both: Vec<String> = both.map(ToString::to_string).collect();
    if !both.is_empty() {
        return Err(PlanFailed::BothWays(both));
    }
    next_visit(judge, wishes).ok_or(PlanFailed::NoVisit)
}

/// The next visit as wished for, as agreed, or as forecast; `None` for a car without a reading of its odometer.
fn next_visit(judge: &Judge<'_>, wishes: &Wishes) -> Option<NextVisit> {
    let forecast = judge.next_visit.as_ref();
    let agreed = judge.car.promised(judge.today).filter_map(|(_, due)| match due {
        Due::On(day) => Some(day),
        _ => None,
    });
    // A day agreed for about then is that visit.
    let near = agreed
        .filter(|day| forecast.is_some_and(|next| years_between(next.date, *day).abs() < ONE_ERRAND_YEARS))
        .min();
    match wishes.next_visit.or(near) {
        None => forecast.cloned(),
        Some(date) => {
            let years = years_between(judge.today, date);
            Some(NextVisit { date, years, km: judge.odometer.quantiles_on(date)? })
        }
    }
}

/// How far a plan looks, and what is left of a part's life then is worth.
struct Span {
    horizon_years: f64,
    /// The share of the life left on the horizon that the owner gets the worth of.
    worth: f64,
}

/// What is left of a part's life when the car changes hands fetches this share of what it cost. Common practice, no
/// source.
const WORTH_AT_SALE: f64 = 0.5;

impl Span {
    /// A car that is kept is looked after one usual gap beyond the last occasion, and nothing of a part's life is lost.
    fn new(judge: &Judge<'_>, last_years: f64, parts_on: Option<Date>) -> Self {
        Self {
            horizon_years: parts_on
                .map_or(last_years + judge.shop.gap_years, |day| years_between(judge.today, day)),
            worth: if parts_on.is_some() { WORTH_AT_SALE } else { 1.0 },
        }
    }
}

/// `e(τ) = p (1 − ρ) + X F(τ) + ρ v E[(T − τ)⁺]` for doing it at `τ`, `(X + p (1 − ρ)) F(H) + ρ κ (1 − F(H))` for leaving
/// it: what is paid until the horizon `H`, less the share `ρ` of the life that is left there; what both have in common
/// is taken off. Kept for good, `ρ` is one, and it is the timing cost of the planner's room. Derived; checked by
/// `what_is_left_at_the_horizon_is_counted_once`.
struct Timing {
    planned: f64,
    surprise: f64,
    life: f64,
    unused_now: f64,
    one_day: f64,
    worth: f64,
}

/// Money of unused life when the work is done: what is left of a used part today is worth a new one at most, however long
/// it might still last, and waiting uses that up.
fn thrown_away(planned: f64, life: f64, unused_now: f64, unused: f64) -> f64 {
    let beyond_a_new_one = (life * unused_now - planned).max(0.0);
    (life * unused - beyond_a_new_one).max(0.0)
}

impl Timing {
    fn done(&self, failed: f64, unused: f64) -> f64 {
        let thrown_away = thrown_away(self.planned, self.life, self.unused_now, unused);
        self.planned * (1.0 - self.worth) + self.surprise * failed + self.worth * thrown_away
    }

    fn left(&self, failed: f64) -> f64 {
        (self.surprise + self.planned * (1.0 - self.worth)) * failed
            + self.worth * self.one_day * (1.0 - failed)
    }
}

/// The same with nothing now but what must not wait, and what has to come with it or before it.
fn only_what_must(instance: &Instance) -> Instance {
    let pinned = |job: &Job| {
        let now = |pin: &&Pin| pin.rule == PinRule::Must && pin.choice == NOW.into();
        instance.pins.iter().filter(now).any(|pin| pin.job == job.id)
    };
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
        // What must not wait is what such a plan puts off.
        job.by = job.cost.contains_key(NEXT).then(|| NEXT.into());
    }
    nothing
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A life of two equally likely lengths, followed to the end: what is paid until the horizon, less the worth of what
    /// is left of the part then in the car. Choices must differ by just what their timing costs differ by.
    #[test]
    fn what_is_left_at_the_horizon_is_counted_once() {
        let (planned, surprise, new_life, horizon) = (400.0, 900.0, 8.0, 3.0);
        let lives = [1.5, 5.0];
        for worth in [0.0, 0.5, 1.0] {
            let mean = |of: &dyn Fn(f64) -> f64| lives.iter().map(|life| of(*life)).sum::<f64>() / 2.0;
            let unused = |from: f64| mean(&|life| (life - from).max(0.0));
            let timing = Timing {
                planned,
                surprise,
                life: planned / new_life,
                unused_now: unused(0.0),
                one_day: 0.0,
                worth,
            };
            let of_new = |since: f64| worth * timing.life * (new_life - (horizon - since));
            let done = |at: f64| {
                mean(&|life| match life < at {
                    true => planned + surprise - of_new(life),
                    false => planned - of_new(at),
                })
            };
            let left = mean(&|life| match life < horizon {
                true => planned + surprise - of_new(life),
                false => -worth * timing.life * (life - horizon),
            });
            let failed = |by: f64| mean(&|life| if life < by { 1.0 } else { 0.0 });
            let timed = |at: f64| timing.done(failed(at), unused(at));
            for at in [0.0, 1.0, 2.0] {
                let truth = done(at) - left;
                let found = timed(at) - timing.left(failed(horizon));
                assert!((truth - found).abs() < 1e-9, "worth {worth}, at {at}: {truth} and {found}");
            }
        }
    }
}
