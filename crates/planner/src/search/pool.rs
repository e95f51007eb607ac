//! The visits thought of so far, whatever part of the question they were thought of in.

use super::node::Node;
use super::task::Task;
use std::collections::BTreeSet;

/// A visit: jobs in order, and what it costs with its access.
#[derive(Debug, Clone)]
pub(crate) struct Candidate {
    pub occasion: usize,
    pub jobs: Vec<usize>,
    pub cost: f64,
    /// The part of the cost that is for access, and for coming at all.
    access: f64,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Pool {
    pub candidates: Vec<Candidate>,
    known: BTreeSet<(usize, Vec<usize>)>,
}

impl Pool {
    /// Keeps a visit; false when it is known already, or has no jobs.
    pub fn keep(&mut self, task: &Task, occasion: usize, jobs: Vec<usize>) -> bool {
        if jobs.is_empty() || !self.known.insert((occasion, jobs.clone())) {
            return false;
        }
        let mut open = vec![false; task.step_cost.len()];
        let mut access = task.visit_cost;
        for &step in jobs.iter().flat_map(|&job| &task.closure[job]) {
            if !std::mem::replace(&mut open[step], true) {
                access += task.step_cost[step][occasion];
            }
        }
        let timing: f64 = jobs.iter().map(|&job| task.cost[job][occasion]).sum();
        self.candidates.push(Candidate { occasion, jobs, cost: timing + access, access });
        true
    }

    /// The visits to an occasion that a part of the question allows.
    pub fn on<'a>(
        &'a self,
        node: &'a Node,
        occasion: usize,
        must: &'a [usize],
    ) -> impl Iterator<Item = &'a Candidate> {
        self.candidates
            .iter()
            .filter(move |candidate| candidate.occasion == occasion && candidate.fits(node, must))
    }
}

impl Candidate {
    /// Whether a part of the question allows this, when it has those jobs for certain on the occasion.
    pub fn fits(&self, node: &Node, must: &[usize]) -> bool {
        self.jobs.iter().all(|&job| node.may(job, self.occasion))
            && must.iter().all(|job| self.jobs.contains(job))
    }

    /// What it brings in when each job is worth so much.
    pub fn value(&self, worth: &[f64]) -> f64 {
        self.jobs.iter().map(|&job| worth[job]).sum::<f64>() - self.access
    }
}
