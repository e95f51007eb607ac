//! What it is worth to have each job done.

use super::node::Node;
use super::task::Task;

/// A price for each job and each rule row; see [`Task::rows`].
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Prices {
    pub job: Vec<f64>,
    /// Never negative.
    pub rule: Vec<f64>,
}

impl Prices {
    /// Prices to start from: each job at what it costs where it is cheapest, its steps shared among all who need them.
    pub fn guess(task: &Task, node: &Node) -> Self {
        let mut users = vec![0.0; task.step_cost.len()];
        task.closure.iter().flatten().for_each(|&step| users[step] += 1.0);
        let share = |job: usize, t: usize| -> f64 {
            task.closure[job].iter().map(|&step| task.step_cost[step][t] / users[step]).sum()
        };
        let job = (0..task.jobs())
            .map(|job| {
                let choices = (0..=task.leave()).filter(|&choice| node.may(job, choice));
                let costs = choices.map(|choice| {
                    let access = if choice == task.leave() { 0.0 } else { share(job, choice) };
                    task.cost[job][choice] + access
                });
                costs.fold(f64::INFINITY, f64::min)
            })
            .collect();
        Self { job, rule: vec![0.0; task.rows.len()] }
    }

    /// No job that may be left is worth more than leaving it costs.
    pub fn clip(&mut self, task: &Task, node: &Node) {
        for (job, price) in self.job.iter_mut().enumerate() {
            if node.may(job, task.leave()) {
                let leaving = task.cost[job][task.leave()];
                let only = (0..task.leave()).all(|t| !node.may(job, t));
                *price = if only { leaving } else { price.min(leaving) };
            }
        }
    }

    /// Part of the way from here to other prices.
    pub fn towards(&self, other: &Self, part: f64) -> Self {
        let mix = |one: &[f64], other: &[f64]| {
            one.iter().zip(other).map(|(one, other)| one * (1.0 - part) + other * part).collect()
        };
        Self { job: mix(&self.job, &other.job), rule: mix(&self.rule, &other.rule) }
    }

    /// What each job brings in when it is done on an occasion, its timing cost taken off.
    pub fn worth(&self, task: &Task, t: usize) -> Vec<f64> {
        let mut worth: Vec<f64> =
            self.job.iter().zip(&task.cost).map(|(price, cost)| price - cost[t]).collect();
        for (row, price) in task.rows.iter().zip(&self.rule) {
            for term in row.terms.iter().filter(|term| t <= term.until) {
                worth[term.job] -= term.factor * price;
            }
        }
        worth
    }

    /// What the jobs bring in at most, before anything is taken off for visits.
    pub fn total(&self, task: &Task) -> f64 {
        let room: f64 = task.rows.iter().zip(&self.rule).map(|(row, price)| row.room * price).sum();
        self.job.iter().sum::<f64>() - room
    }
}
