//! Why a plan is as it is: what each decision saves, with whom it shares, and what would turn it.

use crate::error::PlanError;
use crate::instance::{Choice, Instance};
use crate::model::Model;
use crate::plan::Plan;
use crate::search::{Node, Outcome, Search, Task};
use crate::solve::{Limits, checked};
use serde::Serialize;
use std::collections::BTreeMap;

/// Why a plan is as it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Explanation {
    /// By job, what is done on the first occasion.
    pub now: BTreeMap<String, WhyNow>,
    /// By job, what is done later or left.
    pub not_now: BTreeMap<String, WhyNotNow>,
    /// By occasion in order of time, what sharing its access steps saves.
    pub sharing: Vec<Sharing>,
    /// How much dearer the best of all other plans is; `None` when there is no other.
    pub next_best: Option<f64>,
    /// Whether every figure here is proven; otherwise a figure may be too high.
    pub proven: bool,
    pub nodes: u64,
}

/// Why a job is done now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WhyNow {
    /// What not doing it now would cost more, everything else planned anew; `None` when it has to be now.
    ///
    /// What several jobs save does not add up: steps they share count for each of them.
    pub saves: Option<f64>,
    /// What would become of it then.
    pub otherwise: Option<Choice>,
    /// The choices of that other plan.
    #[serde(skip)]
    pub other_plan: Option<BTreeMap<String, Choice>>,
    /// Steps that no other job needs on this occasion, and their cost.
    pub own_steps: Vec<String>,
    pub own_access: f64,
    /// The other steps it needs, with the jobs that need them too.
    pub shared: BTreeMap<String, Vec<String>>,
    /// The timing cost of now above which it would not be done now; `None` when it has to be now.
    pub turns_above: Option<f64>,
}

/// Why a job is not done now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WhyNotNow {
    pub choice: Choice,
    /// What doing it now all the same would cost more, everything else planned anew; `None` when it cannot be now.
    pub price: Option<f64>,
    /// The timing cost of now below which it would be done now; `None` when it would not be done now even for nothing.
    pub now_below: Option<f64>,
    /// What any other choice would cost more; `None` when there is no other.
    pub saves: Option<f64>,
    /// The best of the other choices.
    pub otherwise: Option<Choice>,
    /// The choices of the plan that has it.
    #[serde(skip)]
    pub other_plan: Option<BTreeMap<String, Choice>>,
    /// The timing cost of its choice above which another would be taken.
    pub turns_above: Option<f64>,
}

/// What the jobs of an occasion pay for access: each by itself, and together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Sharing {
    pub occasion: String,
    /// Cost and hours of access if each job opened all it needs by itself.
    pub separate: f64,
    pub separate_hours: f64,
    /// Cost and hours of access as planned, every step once.
    pub joined: f64,
    pub joined_hours: f64,
}

impl Explanation {
    /// Cost of access on all occasions, each job by itself and together.
    pub fn separate_and_joined(&self) -> (f64, f64) {
        self.sharing.iter().fold((0.0, 0.0), |(separate, joined), sharing| {
            (separate + sharing.separate, joined + sharing.joined)
        })
    }
}

/// By job done on the first occasion, what not doing it then would cost more, everything else planned anew; without
/// those that have to be then. It is [`WhyNow::saves`], alone.
///
/// `limits` are for all of it together; what is not proven within them is left out.
///
/// # Errors
/// [`PlanError::Invalid`] and [`PlanError::Unfit`] as for [`explain`].
pub fn waiting(
    instance: &Instance,
    plan: &Plan,
    limits: &Limits<'_>,
) -> Result<BTreeMap<String, f64>, PlanError> {
    let model = checked(instance)?;
    let picks = model.picks(&plan.pick).map_err(PlanError::Unfit)?;
    let task = Task::new(&model);
    let mut turns = Turns::new(&model, &task, limits);
    let mut waiting = BTreeMap::new();
    for job in (0..picks.len()).filter(|&job| picks[job] == 0) {
        match turns.turn(job, |node, job| node.forbid(job, 0)) {
            Ok(Some((cost, _))) if turns.proven => {
                waiting.insert(model.jobs[job].clone(), cost - plan.cost);
            }
            Ok(None) => {}
            Ok(Some(_)) | Err(PlanError::CutShort { .. }) => break,
            Err(error) => return Err(error),
        }
    }
    Ok(waiting)
}

/// Explains a plan of an instance by planning it anew with one decision turned at a time.
///
/// `limits` are for all of it together.
///
/// # Errors
/// [`PlanError::Invalid`] as for [`crate::solve`], [`PlanError::Unfit`] when the plan does not answer the instance,
/// [`PlanError::CutShort`] when a turned question was not answered within the limits.
pub fn explain(instance: &Instance, plan: &Plan, limits: &Limits<'_>) -> Result<Explanation, PlanError> {
    let model = checked(instance)?;
    let picks = model.picks(&plan.pick).map_err(PlanError::Unfit)?;
    let task = Task::new(&model);
    let mut turns = Turns::new(&model, &task, limits);
    let on: Vec<Vec<usize>> =
        (0..model.leave()).map(|t| (0..picks.len()).filter(|&job| picks[job] == t).collect()).collect();

    let (mut now, mut not_now) = (BTreeMap::new(), BTreeMap::new());
    let mut next_best: Option<f64> = None;
    for (job, &choice) in picks.iter().enumerate() {
        let other = turns.turn(job, |node, job| node.forbid(job, choice))?;
        let saves = other.as_ref().map(|(cost, _)| cost - plan.cost);
        let otherwise = other.as_ref().map(|(_, picks)| model.choice(picks[job]));
        let named = |picks: Vec<usize>| {
            let choices = picks.into_iter().map(|choice| model.choice(choice));
            model.jobs.iter().cloned().zip(choices).collect()
        };
        let other_plan = other.map(|(_, picks)| named(picks));
        next_best = [next_best, saves].into_iter().flatten().reduce(f64::min);
        let turns_above = saves.map(|saves| model.cost[job][choice] + saves);
        let name = model.jobs[job].clone();
        if choice == 0 {
            let (own, shared) = steps(&model, job, &on[0]);
            now.insert(
                name,
                WhyNow {
                    saves,
                    otherwise,
                    other_plan,
                    own_access: own.iter().map(|&step| model.step_cost[step][0]).sum(),
                    own_steps: own.into_iter().map(|step| model.steps[step].clone()).collect(),
                    shared,
                    turns_above,
                },
            );
        } else {
            let price = turns.turn(job, |node, job| node.force(job, 0))?.map(|(cost, _)| cost - plan.cost);
            let below = price.map(|price| model.cost[job][0] - price);
            not_now.insert(
                name,
                WhyNotNow {
                    choice: model.choice(choice),
                    price,
                    now_below: below.filter(|&below| below >= 0.0),
                    saves,
                    otherwise,
                    other_plan,
                    turns_above,
                },
            );
        }
    }
    let sharing = (0..model.leave()).map(|t| sharing(&model, t, &on[t])).collect();
    Ok(Explanation {
        now,
        not_now,
        sharing,
        next_best,
        proven: turns.proven && plan.proven,
        nodes: turns.nodes,
    })
}

/// The question asked again and again with one decision turned.
struct Turns<'a> {
    model: &'a Model,
    task: &'a Task,
    search: Search<'a>,
    nodes: u64,
    proven: bool,
}

impl<'a> Turns<'a> {
    /// The plan itself comes first: what is learnt from it serves all the others.
    fn new(model: &'a Model, task: &'a Task, limits: &'a Limits<'a>) -> Self {
        let mut turns = Self { model, task, search: Search::new(task, limits), nodes: 0, proven: true };
        let best = turns.search.best();
        turns.count(&best);
        turns
    }

    /// Cost of the best plan with a decision turned, and its choices; `None` when there is none.
    fn turn(
        &mut self,
        job: usize,
        turn: impl Fn(&mut Node, usize),
    ) -> Result<Option<(f64, Vec<usize>)>, PlanError> {
        let mut node = Node::whole(self.task);
        turn(&mut node, self.task.number[job]);
        let outcome = self.search.best_within(node);
        self.count(&outcome);
        let Some(choices) = &outcome.choices else {
            let cut_short = PlanError::CutShort { nodes: self.nodes, bound: outcome.bound };
            return if outcome.proven { Ok(None) } else { Err(cut_short) };
        };
        let picks = self.task.picks(choices);
        Ok(Some((self.model.tally(&picks).total(), picks)))
    }

    fn count(&mut self, outcome: &Outcome) {
        self.nodes += outcome.nodes;
        self.proven &= outcome.proven;
    }
}

/// The steps of a job that no other of the jobs needs, and the others with those who need them.
fn steps(model: &Model, job: usize, jobs: &[usize]) -> (Vec<usize>, BTreeMap<String, Vec<String>>) {
    let (mut own, mut shared) = (vec![], BTreeMap::new());
    for &step in &model.closure[job] {
        let needs = |other: &&usize| **other != job && model.closure[**other].binary_search(&step).is_ok();
        let with: Vec<String> = jobs.iter().filter(needs).map(|&other| model.jobs[other].clone()).collect();
        if with.is_empty() {
            own.push(step);
        } else {
            shared.insert(model.steps[step].clone(), with);
        }
    }
    (own, shared)
}

fn sharing(model: &Model, t: usize, jobs: &[usize]) -> Sharing {
    let all = || jobs.iter().flat_map(|&job| &model.closure[job]).copied();
    let each: std::collections::BTreeSet<usize> = all().collect();
    Sharing {
        occasion: model.occasions[t].clone(),
        separate: all().map(|step| model.step_cost[step][t]).sum(),
        separate_hours: all().map(|step| model.step_hours[step][t]).sum(),
        joined: each.iter().map(|&step| model.step_cost[step][t]).sum(),
        joined_hours: each.iter().map(|&step| model.step_hours[step][t]).sum(),
    }
}
