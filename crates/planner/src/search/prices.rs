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

/// Strides in which prices rise.
const STRIDES: usize = 16;

/// What a job pays for its steps on an occasion.
fn paid(task: &Task, price: &[f64], job: usize, t: usize) -> f64 {
    (price[job] - task.cost[job][t]).max(0.0)
}

impl Prices {
    /// Prices to start from, by dual ascent (after Erlenkotter 1978): every price rises in small strides as long as the
    /// job could pay its steps wherever that makes it worth doing, limits apart.
    pub fn guess(task: &Task, node: &Node) -> Self {
        let mut lacks = task.step_cost.clone();
        let occasions = |job: usize| (0..task.occasions).filter(move |&t| node.may(job, t));
        let cheapest = |job: usize| occasions(job).map(|t| task.cost[job][t]).fold(f64::INFINITY, f64::min);
        let most = |job: usize| {
            if node.may(job, task.leave()) { task.cost[job][task.leave()] } else { f64::INFINITY }
        };
        let mut price: Vec<f64> = (0..task.jobs()).map(|job| cheapest(job).min(most(job))).collect();
        for stride in 0..STRIDES {
            for job in 0..price.len() {
                let could = |t: usize| {
                    let steps: f64 = task.closure[job].iter().map(|&step| lacks[step][t]).sum();
                    task.cost[job][t] + steps + paid(task, &price, job, t)
                };
                let ceiling = occasions(job).map(could).fold(most(job), f64::min);
                let rises = (ceiling - price[job]).max(0.0) / (STRIDES - stride) as f64;
                for t in occasions(job) {
                    let before = (price[job] - task.cost[job][t]).max(0.0);
                    let mut pays = (price[job] + rises - task.cost[job][t]).max(0.0) - before;
                    for &step in &task.closure[job] {
                        let part = pays.min(lacks[step][t]);
                        lacks[step][t] -= part;
                        pays -= part;
                    }
                }
                price[job] += rises;
            }
        }
        Self { job: price, rule: vec![0.0; task.rows.len()] }
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
