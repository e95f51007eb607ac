//! The best plan so far, and the order among plans.

use super::task::Task;
use crate::model::within;

/// The best choices so far.
#[derive(Debug, Clone)]
pub(crate) struct Incumbent {
    /// Cost with the preferences among equal plans; infinite while there is no plan.
    pub cost: f64,
    pub choices: Option<Vec<usize>>,
    rank: Rank,
}

/// What makes one plan better than another, most important first: cost, fewer visits, more jobs now, earlier choices
/// in the order of the jobs.
#[derive(Debug, Clone, Default)]
struct Rank {
    cost: f64,
    visits: usize,
    later: usize,
    picks: Vec<usize>,
}

impl Incumbent {
    pub fn none() -> Self {
        Self { cost: f64::INFINITY, choices: None, rank: Rank::default() }
    }

    /// Takes the choices if they keep all rules and are better than those held.
    pub fn offer(&mut self, task: &Task, choices: &[usize]) {
        let Some(cost) = task.weigh(choices) else { return };
        let picks = task.picks(choices);
        let visits = (0..task.occasions).filter(|t| picks.contains(t)).count();
        let later = picks.iter().filter(|&&choice| choice != 0).count();
        let preferences = task.visit_cost * visits as f64 - task.now_worth * (picks.len() - later) as f64;
        let rank = Rank { cost: cost - preferences, visits, later, picks };
        if self.choices.is_none() || rank.is_better_than(&self.rank, task.same) {
            *self = Self { cost: cost.min(self.cost), choices: Some(choices.to_vec()), rank };
        }
    }
}

impl Rank {
    fn is_better_than(&self, other: &Self, same: f64) -> bool {
        if (self.cost - other.cost).abs() > same {
            return self.cost < other.cost;
        }
        (self.visits, self.later, &self.picks) < (other.visits, other.later, &other.picks)
    }
}

impl Task {
    /// What the choices cost, preferences included; `None` when they break a rule.
    fn weigh(&self, choices: &[usize]) -> Option<f64> {
        let leave = self.leave();
        let mut cost: f64 = choices.iter().zip(&self.cost).map(|(&choice, cost)| cost[choice]).sum();
        if !cost.is_finite() {
            return None;
        }
        let done = |job: &&usize| choices[**job] != leave;
        let exclusive = self.exclusive.iter().all(|group| group.iter().filter(done).count() <= 1);
        let before = self
            .before
            .iter()
            .all(|&(first, then)| choices[then] == leave || choices[first] <= choices[then]);
        if !(exclusive && before) {
            return None;
        }
        for t in 0..leave {
            let (mut hours, mut cash) = (0.0, 0.0);
            let mut open = vec![false; self.step_cost.len()];
            for job in (0..choices.len()).filter(|&job| choices[job] == t) {
                hours += self.hours[job];
                cash += self.cash[job];
                for &step in &self.closure[job] {
                    if !std::mem::replace(&mut open[step], true) {
                        cost += self.step_cost[step][t];
                        hours += self.step_hours[step][t];
                        cash += self.step_cost[step][t];
                    }
                }
            }
            if choices.contains(&t) {
                cost += self.visit_cost;
            }
            if !within(hours, self.hours_limit[t]) || !within(cash, self.cash_limit[t]) {
                return None;
            }
        }
        Some(cost)
    }
}
