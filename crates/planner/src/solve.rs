//! The best plan for an instance.

use crate::error::PlanError;
use crate::instance::Instance;
use crate::model::Model;
use crate::plan::Plan;
use crate::search::{Outcome, Search, Task};

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
        Self { nodes: 1_000_000, stop: None }
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
    let problems = instance.problems();
    if !problems.is_empty() {
        return Err(PlanError::Invalid(problems));
    }
    let model = Model::new(instance, &[]);
    let task = Task::new(&model);
    let outcome = Search::new(&task, limits).best();
    plan(&model, &task, &outcome)?.ok_or(PlanError::Infeasible { clash: vec![] })
}

/// The plan a search ended with, checked once more by its own sums; `None` when there is none.
pub(crate) fn plan(model: &Model, task: &Task, outcome: &Outcome) -> Result<Option<Plan>, PlanError> {
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
