//! The best plan for an instance.

use crate::clash::smallest_clash;
use crate::error::PlanError;
use crate::instance::{Choice, Instance};
use crate::model::Model;
use crate::plan::Plan;
use crate::problem::Problem;
use crate::rule::Rule;
use crate::search::{Outcome, Search, Task};
use std::collections::BTreeMap;

/// How much work a question may take. The count of nodes does not depend on the machine, so neither does the answer.
#[derive(Clone, Copy)]
pub struct Limits<'a> {
    /// Nodes of the search tree that may be looked at.
    pub nodes: u64,
    /// Asked now and then; `true` ends the search with the best plan so far. Pass a deadline or a cancelled request.
    pub stop: Option<&'a dyn Fn() -> bool>,
}

impl Default for Limits<'_> {
    fn default() -> Self {
        Self { nodes: 4_000_000, stop: None }
    }
}

impl std::fmt::Debug for Limits<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Limits").field("nodes", &self.nodes).field("stop", &self.stop.is_some()).finish()
    }
}

/// The plan of least expected cost that keeps every rule.
///
/// Of plans that cost the same the one with fewer visits is taken, then the one with more jobs now, then the one that
/// does the jobs earlier, read in the order of their ids.
///
/// # Errors
/// [`PlanError::Invalid`] with everything wrong with the instance, [`PlanError::Infeasible`] when no plan keeps all
/// the rules, [`PlanError::CutShort`] when the limits were met before a plan was found.
pub fn solve(instance: &Instance, limits: &Limits<'_>) -> Result<Plan, PlanError> {
    best(instance, limits)?.ok_or_else(|| PlanError::Infeasible { clash: smallest_clash(instance, limits) })
}

/// The same; `None` where there is no plan, and nobody asks why.
pub(crate) fn best(instance: &Instance, limits: &Limits<'_>) -> Result<Option<Plan>, PlanError> {
    let model = checked(instance)?;
    let task = Task::new(&model);
    let outcome = Search::new(&task, limits).best();
    plan(&model, &task, &outcome)
}

/// What choices made by hand come to, and the rules they break. Their plan claims nothing: its bound is zero.
///
/// # Errors
/// [`PlanError::Invalid`] as for [`solve`]; [`PlanError::Unfit`] when a job has no choice, or an unknown one, or one
/// that it has no timing cost for.
pub fn weigh(instance: &Instance, pick: &BTreeMap<String, Choice>) -> Result<(Plan, Vec<Rule>), PlanError> {
    let problems: Vec<Problem> =
        instance.problems().into_iter().filter(|problem| !problem.is_clash()).collect();
    if !problems.is_empty() {
        return Err(PlanError::Invalid(problems));
    }
    // Rules of single jobs are dropped, so that every choice with a cost can be weighed, and told apart afterwards.
    let of_one_job = |rule: &Rule| matches!(rule, Rule::By { .. } | Rule::Pin(_));
    let rules: Vec<Rule> = instance.rules().into_iter().filter(of_one_job).collect();
    let model = Model::new(instance, &rules);
    let picks = model.picks(pick).map_err(PlanError::Unfit)?;
    let unfit: Vec<String> = (0..picks.len())
        .filter(|&job| !model.allows(job, picks[job]))
        .map(|job| format!("job `{}` has no timing cost for `{}`", model.jobs[job], model.choice(picks[job])))
        .collect();
    if !unfit.is_empty() {
        return Err(PlanError::Unfit(unfit));
    }
    let mut broken = model.broken(&picks);
    broken.extend(rules.iter().filter(|rule| !instance.keeps_single(rule, pick)).cloned());
    Ok((Plan::new(&model, &picks, 0.0, false, 0), broken))
}

/// The instance by numbers, when nothing is wrong with it.
pub(crate) fn checked(instance: &Instance) -> Result<Model, PlanError> {
    let problems = instance.problems();
    if problems.is_empty() { Ok(Model::new(instance, &[])) } else { Err(PlanError::Invalid(problems)) }
}

/// The plan a search ended with, checked once more by its own sums; `None` when there is none.
fn plan(model: &Model, task: &Task, outcome: &Outcome) -> Result<Option<Plan>, PlanError> {
    let Some(choices) = &outcome.choices else {
        let cut_short = PlanError::CutShort { nodes: outcome.nodes, bound: outcome.bound };
        return if outcome.proven { Ok(None) } else { Err(cut_short) };
    };
    let picks = task.picks(choices);
    let broken = model.broken(&picks);
    if !broken.is_empty() {
        return Err(PlanError::Fault { broken });
    }
    Ok(Some(Plan::new(model, &picks, outcome.bound, outcome.proven, outcome.nodes)))
}
