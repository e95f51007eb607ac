//! A plan looked into: what would turn each decision, how firm it is when estimates are not, what more money would buy,
//! and what a failure would drag with it.

use super::cascade::{Cascade, cascades};
use super::question::{Answer, Question, Scene};
use super::{Item, NOW, Plan, PlanFailed, When, Wishes, money};
use crate::assessment::Assessment;
use crate::judge::Judge;
use crate::words;
use planner::{Choice, Explanation, Instance, Limits};
use prognosis::life::Third;
use serde::Serialize;
use std::collections::BTreeMap;
use std::thread;

/// A plan and what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    pub plan: Plan,
    /// For each item of the plan, in its order.
    pub decisions: Vec<Decision>,
    /// The best plans over the money there is now, the least money first; empty where what must not wait costs more.
    pub corners: Vec<Corner>,
    /// What failures of the plan's components would drag with them, the dearest first.
    pub cascades: Vec<Cascade>,
    /// How many times the car was planned anew with other estimates.
    pub scenes: usize,
}

/// What would turn the decision on one item.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// What the best other choice would cost more, everything else planned anew, and which it is; absent for what has no
    /// other choice.
    pub instead: Option<(f64, When)>,
    /// For what is not done now: what doing it now would cost more; absent where that is not allowed.
    pub now_costs_more: Option<f64>,
    /// The price of the work now at which the decision turns: dearer it would not be done now, or cheaper it would.
    pub turns_at: Option<f64>,
    /// The uncertain figure that moves the decision most.
    pub matters_most: Option<Matter>,
    /// In what share of the scenes the choice is the same.
    pub firm: f64,
}

/// An uncertain figure, and what the choice saves at either end of what is believed of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matter {
    pub figure: Figure,
    pub saves: (f64, f64),
}

impl Matter {
    /// Whether the decision would be another one at one end.
    pub fn turns(&self) -> bool {
        self.saves.0.min(self.saves.1) < 0.0
    }
}

/// What a plan rests on and nobody knows well.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Figure {
    /// How long the part will last.
    Life,
    /// What its failure would cost.
    Failure,
    /// The hours that the work takes.
    Work,
    /// The hours that opening up takes.
    Opening,
}

impl Figure {
    const ALL: [Self; 4] = [Self::Life, Self::Failure, Self::Work, Self::Opening];

    /// As a phrase in a sentence.
    pub fn says(self) -> &'static str {
        match self {
            Self::Life => "how long the part will last",
            Self::Failure => "what its failure would cost",
            Self::Work => "how many hours the work takes",
            Self::Opening => "how many hours opening up takes",
        }
    }
}

/// A plan, and the least money now that it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    pub money: f64,
    pub expected_cost: f64,
    /// Titles of what is done now, in the order of the plan's candidates.
    pub now: Vec<String>,
}

/// Scenes planned: a share of them is right to a twentieth or so (one standard deviation, when it is near a half).
const SCENES: u32 = 100;
/// With more pieces of work than this, fewer scenes are planned, so that an answer comes while one types.
const FEW: usize = 16;
const FEWER_SCENES: u32 = 25;
/// Corners that a chart can show.
const MOST_CORNERS: usize = 24;
/// For more pieces of work than [`FEW`], sums that differ by less than so much of all of it count as one, so that the chart
/// reaches down to what must not wait and is there in time.
const COARSE: f64 = 0.02;
/// From this share on a choice is in almost every plan; a toss-up is nearer to half than the other.
pub const FIRM: f64 = 0.9;
pub const TOSS_UP: f64 = 0.65;

/// Plans a judged car and looks into the plan.
///
/// # Errors
/// [`PlanFailed`].
pub fn study(judge: &Judge<'_>, assessment: &Assessment, wishes: &Wishes) -> Result<Study, PlanFailed> {
    let limits = Limits::default();
    let question = Question::new(judge, assessment, wishes, limits)?;
    let answer = question.answer()?;
    let scenes = if question.candidates.len() > FEW { FEWER_SCENES } else { SCENES };
    let scenes: Vec<_> = (0..scenes).map(|n| question.under(&answer.instance, &Scene::drawn(n))).collect();
    let over_money = question.over_money(&answer);
    // What more money would buy, how firm it is, and what would turn each decision do not wait for each other.
    let (explained, sweep, robust) = thread::scope(|scope| {
        let sweep = scope.spawn(|| over_money.sweep(&Limits::default()));
        let robust = scope.spawn(|| planner::robustness(&scenes, &Limits::default()));
        let explained = planner::explain(&answer.instance, &answer.solved, &limits);
        (explained, done(sweep), done(robust))
    });
    let (explained, robust) = (explained?, robust?);
    let waiting = explained.now.iter().filter_map(|(job, why)| Some((job.clone(), why.saves?))).collect();
    let (plan, candidates) = question.plan(&answer, &waiting);
    let mut decisions: Vec<Decision> = plan
        .items
        .iter()
        .zip(&candidates)
        .map(|(item, &at)| question.decision(item, at, &answer, &explained))
        .collect();
    for (decision, (item, &at)) in decisions.iter_mut().zip(plan.items.iter().zip(&candidates)) {
        let choices = robust.choices.get(&question.candidates[at].id).into_iter().flatten();
        let same = choices.filter(|(choice, _)| question.when(choice) == item.when);
        decision.firm = same.map(|(_, share)| share).sum();
    }
    Ok(Study {
        decisions,
        corners: question.corners(sweep),
        cascades: cascades(judge, &question.costs, &plan),
        scenes: robust.planned,
        plan,
    })
}

/// What a thread has worked out; its panic goes on here.
fn done<T>(thread: thread::ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panicked| std::panic::resume_unwind(panicked))
}

/// The question that is asked again with less and less money.
struct OverMoney {
    instance: Instance,
    most: f64,
    /// Sums that differ by less are not told apart.
    grain: f64,
}

impl OverMoney {
    /// Nothing where what must not wait cannot be planned with all the money there might be.
    fn sweep(&self, limits: &Limits<'_>) -> Vec<planner::Corner> {
        planner::sweep(&self.instance, NOW, 0.0..=self.most, self.grain, MOST_CORNERS, limits)
            .map_or_else(|_| vec![], |sweep| sweep.corners)
    }
}

impl Question<'_> {
    fn decision(&self, item: &Item, at: usize, answer: &Answer, explained: &Explanation) -> Decision {
        let id = self.candidates[at].id.as_str();
        let (saves, otherwise, other_plan, now_costs_more) =
            match (explained.now.get(id), explained.not_now.get(id)) {
                (Some(why), _) => (why.saves, &why.otherwise, &why.other_plan, None),
                (None, Some(why)) => (why.saves, &why.otherwise, &why.other_plan, why.price),
                (None, None) => (None, &None, &None, None),
            };
        let turns_at = match item.when {
            When::Now => saves.map(|saves| item.cost + saves),
            _ => now_costs_more.map(|more| item.cost - more).filter(|price| *price > 0.0),
        };
        Decision {
            instead: saves.zip(otherwise.as_ref().map(|choice| self.when(choice))),
            now_costs_more,
            turns_at,
            matters_most: other_plan.as_ref().and_then(|other| self.matters_most(at, answer, other)),
            firm: 1.0,
        }
    }

    /// The figure of one candidate that moves what its choice saves the most: the chosen plan and the best other one, each
    /// added up with that figure at either end of what is believed.
    fn matters_most(&self, at: usize, answer: &Answer, other: &BTreeMap<String, Choice>) -> Option<Matter> {
        let id = &self.candidates[at].id;
        let chosen = &answer.solved;
        let other = planner::weigh(&answer.instance, other).ok()?.0;
        let (here, there) = (chosen.pick.get(id)?.to_string(), other.pick.get(id)?.to_string());
        let timing = |scene: &Scene| {
            let cost = self.job(at, scene).cost;
            Some(cost.get(&there)? - cost.get(&here)?)
        };
        let as_it_stands = timing(&Scene::AsItStands)?;
        let saves = |figure, third| {
            let moved = timing(&Scene::of_one(at, figure, third))? - as_it_stands;
            let opening = match figure {
                Figure::Opening => self.factor(figure, third) - 1.0,
                _ => 0.0,
            };
            let access = |plan: &planner::Plan| plan.cost - plan.timing;
            Some(other.cost - chosen.cost + moved + opening * (access(&other) - access(chosen)))
        };
        Figure::ALL
            .into_iter()
            .filter_map(|figure| {
                Some(Matter {
                    figure,
                    saves: (saves(figure, Third::Lowest)?, saves(figure, Third::Highest)?),
                })
            })
            .filter(|matter| (matter.saves.0 - matter.saves.1).abs() >= 0.5)
            .max_by(|one, other| {
                let width = |matter: &Matter| (matter.saves.0 - matter.saves.1).abs();
                width(one).total_cmp(&width(other))
            })
    }

    fn over_money(&self, answer: &Answer) -> OverMoney {
        let everything: f64 = self
            .candidates
            .iter()
            .map(|candidate| candidate.cash + self.costs.closure(&candidate.operation.needs))
            .sum();
        let mut instance = answer.unlimited.clone();
        instance.limits.clone_from(&answer.asked_limits);
        let grain = if self.candidates.len() > FEW { (COARSE * everything).max(1.0) } else { 1.0 };
        OverMoney { instance, most: everything + 1.0, grain }
    }

    fn corners(&self, sweep: Vec<planner::Corner>) -> Vec<Corner> {
        let done_now = |plan: &planner::Plan| {
            let now = Choice::from(NOW);
            let done = self.candidates.iter().filter(|one| plan.pick.get(&one.id) == Some(&now));
            done.map(|one| super::why::title(self.judge, one)).collect()
        };
        sweep
            .iter()
            .map(|corner| Corner {
                money: corner.cash,
                expected_cost: corner.plan.cost,
                now: done_now(&corner.plan),
            })
            .collect()
    }
}

impl Study {
    /// What would turn the decision on an item, how firm it is, and what it hangs on, in sentences.
    pub fn says(&self, at: usize, currency: &str) -> Vec<String> {
        let (Some(item), Some(decision)) = (self.plan.items.get(at), self.decisions.get(at)) else {
            return vec![];
        };
        let sum = |amount: f64| words::money(money(amount).round(), currency);
        let mut says = vec![];
        match (item.when, decision.instead, decision.turns_at, decision.now_costs_more) {
            (_, None, ..) => says.push("Settled: a rule, an answer or a limit leaves no other choice.".to_owned()),
            (When::Now, Some((saves, instead)), Some(price), _) if saves >= 0.5 => says.push(format!(
                "Worth doing now up to a price of {}; dearer, it would be {}.",
                sum(price),
                match instead {
                    When::NextVisit => "put off to the next visit",
                    When::Agreed(_) => "put off to the agreed day",
                    _ => "left",
                }
            )),
            (When::Now, ..) => says.push("Now and later cost the same.".to_owned()),
            (_, _, _, None) => says.push("With what there is it cannot be done now.".to_owned()),
            (_, _, Some(price), Some(more)) => says.push(format!(
                "Done now it would cost {} more in expectation; from a price of {} down it would be worth doing now.",
                sum(more),
                sum(price)
            )),
            (_, _, None, Some(more)) => says.push(format!(
                "Done now it would cost {} more in expectation; even for nothing it would not be worth doing now.",
                sum(more)
            )),
        }
        if let Some(matter) = decision.matters_most {
            let (low, high) = (matter.saves.0.min(matter.saves.1), matter.saves.0.max(matter.saves.1));
            let of = matter.figure.says();
            says.push(if matter.turns() {
                format!(
                    "It hangs most on {of}: at one end of what is believed the choice saves {}, at the other it costs {}.",
                    sum(high),
                    sum(-low)
                )
            } else {
                format!(
                    "It hangs most on {of}; at either end of what is believed the choice stays, and saves {} to {}.",
                    sum(low),
                    sum(high)
                )
            });
        }
        if decision.instead.is_some() && self.scenes > 0 {
            let times = (decision.firm * self.scenes as f64).round();
            let firm = if decision.firm >= FIRM {
                "Firm"
            } else if decision.firm <= TOSS_UP {
                "A toss-up"
            } else {
                "Likely"
            };
            says.push(format!(
                "{firm}: the same in {times} of {} plans drawn from what is believed of lives, hours and costs.",
                self.scenes
            ));
        }
        says
    }
}
