//! A part of the question: which choices are still open to each job.

use super::prices::Prices;
use super::task::Task;
use std::cmp::Ordering;

#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// No plan in this part costs less.
    pub bound: f64,
    /// Order of making, to break ties.
    pub number: u64,
    /// Prices that gave a good bound one level up.
    pub prices: Option<Prices>,
    choices: usize,
    may: Vec<bool>,
}

impl Node {
    /// The whole question.
    pub fn whole(task: &Task) -> Self {
        let may = task.cost.iter().flatten().map(|cost| cost.is_finite()).collect();
        Self { bound: f64::NEG_INFINITY, number: 0, prices: None, choices: task.occasions + 1, may }
    }

    pub fn may(&self, job: usize, choice: usize) -> bool {
        self.may[job * self.choices + choice]
    }

    pub fn forbid(&mut self, job: usize, choice: usize) {
        self.may[job * self.choices + choice] = false;
    }

    /// Leaves a job one choice.
    pub fn force(&mut self, job: usize, choice: usize) {
        for other in (0..self.choices).filter(|&other| other != choice) {
            self.forbid(job, other);
        }
    }

    /// How many choices a job has.
    pub fn open(&self, job: usize) -> usize {
        self.may[job * self.choices..(job + 1) * self.choices].iter().filter(|may| **may).count()
    }

    /// The jobs that have no choice but this.
    pub fn must(&self, choice: usize) -> Vec<usize> {
        (0..self.may.len() / self.choices)
            .filter(|&job| self.may(job, choice) && self.open(job) == 1)
            .collect()
    }

    /// The only choices there are, when every job has but one.
    pub fn single(&self) -> Option<Vec<usize>> {
        let jobs = 0..self.may.len() / self.choices;
        let only = |job: usize| (0..self.choices).find(|&choice| self.may(job, choice));
        jobs.map(|job| only(job).filter(|_| self.open(job) == 1)).collect()
    }

    /// Follows the rules among the jobs; false when a job is left without a choice.
    pub fn propagate(&mut self, task: &Task) -> bool {
        let leave = task.leave();
        loop {
            let before = self.may.iter().filter(|may| **may).count();
            for group in &task.exclusive {
                if let Some(&done) = group.iter().find(|&&job| !self.may(job, leave)) {
                    for &job in group.iter().filter(|&&job| job != done) {
                        (0..leave).for_each(|t| self.forbid(job, t));
                    }
                }
            }
            for &(first, then) in &task.before {
                let earliest = (0..leave).find(|&t| self.may(first, t)).unwrap_or(leave);
                (0..earliest).for_each(|t| self.forbid(then, t));
                if !self.may(then, leave) {
                    let after_latest = (0..leave).rev().find(|&t| self.may(then, t)).map_or(0, |t| t + 1);
                    (after_latest..=leave).for_each(|t| self.forbid(first, t));
                }
            }
            if (0..task.jobs()).any(|job| self.open(job) == 0) {
                return false;
            }
            if self.may.iter().filter(|may| **may).count() == before {
                return true;
            }
        }
    }
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Node {}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Node {
    /// The greatest is looked at next: the lowest bound, then the newest.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then(self.number.cmp(&other.number))
    }
}
