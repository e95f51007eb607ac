//! The tree of parts the question is split into.

use super::incumbent::Incumbent;
use super::join::{Join, Part};
use super::meter::Meter;
use super::node::Node;
use super::pool::Pool;
use super::relax::Relaxed;
use super::task::Task;
use super::visit::{Question, VisitSearch, Want};
use crate::solve::Limits;
use std::collections::BinaryHeap;

/// What the search ends with.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    /// The best choices found.
    pub choices: Option<Vec<usize>>,
    /// No plan costs less.
    pub bound: f64,
    /// Whether the choices are the best, or without any that there is no plan.
    pub proven: bool,
    pub nodes: u64,
}

/// The search; what it learns from one question serves the next.
pub(crate) struct Search<'a> {
    pub task: &'a Task,
    pub meter: Meter<'a>,
    pub pool: Pool,
    pub visits: Vec<VisitSearch>,
    /// Stands for a cost that no plan has.
    pub high: f64,
    best: Incumbent,
    prices: Option<super::prices::Prices>,
}

/// What becomes of a node.
enum Fate {
    Closed,
    Split(Box<[Node; 2]>),
    /// The work came to its limit; no plan in the node costs less.
    Cut(f64),
}

/// Joins of the visits known, to find good plans: parts tried.
const POOL_TRIES: u64 = 20_000;
/// Listing of all visits that a better plan could have: nodes and visits for each occasion, parts tried.
const LIST_NODES: u64 = 50_000;
const LIST_MOST: usize = 2_000;
/// The same when only ties are left to settle: visits for each occasion.
const TIES_MOST: usize = 200;
const LIST_TRIES: u64 = 2_000_000;

impl<'a> Search<'a> {
    pub fn new(task: &'a Task, limits: &'a Limits<'a>) -> Self {
        Self {
            task,
            meter: Meter::new(limits),
            pool: Pool::default(),
            visits: vec![VisitSearch::new(task); task.occasions],
            high: 2.0 * task.more_than_any(),
            best: Incumbent::none(),
            prices: None,
        }
    }

    /// The best plan.
    pub fn best(&mut self) -> Outcome {
        self.best_within(Node::whole(self.task))
    }

    /// The best plan that is part of a node.
    pub fn best_within(&mut self, mut root: Node) -> Outcome {
        self.best = Incumbent::none();
        root.prices.clone_from(&self.prices);
        let before = self.meter.spent();
        let mut open = BinaryHeap::from([root]);
        let mut number = 0;
        let mut unseen = f64::INFINITY;
        while let Some(node) = open.pop() {
            if node.bound > self.cutoff() {
                continue;
            }
            if !self.meter.spend() {
                unseen = unseen.min(node.bound);
                continue;
            }
            match self.look_at(node) {
                Fate::Closed => {}
                Fate::Cut(bound) => unseen = unseen.min(bound),
                Fate::Split(children) => {
                    for mut child in *children {
                        number += 1;
                        child.number = number;
                        open.push(child);
                    }
                }
            }
        }
        Outcome {
            choices: self.best.choices.clone(),
            // Preferences among equal plans are no cost.
            bound: unseen.min(self.best.cost) - self.task.preferences,
            proven: unseen == f64::INFINITY || unseen > self.best.cost - self.task.same,
            nodes: self.meter.spent() - before,
        }
    }

    /// Nodes with a bound above this hold no plan that could be the answer.
    pub fn cutoff(&self) -> f64 {
        self.best.cost.min(0.5 * self.high) + self.task.preferences
    }

    /// Answers a node, or splits it in two.
    fn look_at(&mut self, mut node: Node) -> Fate {
        if !node.propagate(self.task) {
            return Fate::Closed;
        }
        if let Some(choices) = node.single() {
            self.best.offer(self.task, &choices);
            return Fate::Closed;
        }
        let relaxed = self.relax(&node);
        self.prices.get_or_insert_with(|| relaxed.prices.clone());
        let bound = relaxed.bound.max(node.bound);
        if bound > self.cutoff() {
            return Fate::Closed;
        }
        let known = self.known_parts(&node, &relaxed);
        self.join(&node, &relaxed, known, POOL_TRIES);
        if bound > self.cutoff()
            || self.list_and_join(&node, &relaxed)
            || bound > self.best.cost - self.task.same
        {
            return Fate::Closed;
        }
        if self.meter.is_empty() {
            return Fate::Cut(bound);
        }
        let Some((job, choice)) = doubtful(&node, &relaxed.taken) else { return Fate::Cut(bound) };
        node.bound = bound;
        node.prices = Some(relaxed.prices);
        let mut without = node.clone();
        node.force(job, choice);
        without.forbid(job, choice);
        Fate::Split(Box::new([node, without]))
    }

    /// The visits thought of so far, as parts of plans.
    fn known_parts(&self, node: &Node, relaxed: &Relaxed) -> Vec<Vec<Part>> {
        let task = self.task;
        let on = |t: usize| {
            let must = node.must(t);
            let worth = relaxed.prices.worth(task, t);
            let part = |jobs: &[usize], value: f64| Part::new(task, jobs, relaxed.most[t] - value);
            let mut parts: Vec<Part> =
                self.pool.on(node, t, &must).map(|known| part(&known.jobs, known.value(&worth))).collect();
            parts.extend(must.is_empty().then(|| part(&[], 0.0)));
            parts
        };
        (0..task.occasions).map(on).collect()
    }

    /// Lists every visit that a better plan in this node could have, and tries all that can be put together from
    /// them; false when there are too many.
    fn list_and_join(&mut self, node: &Node, relaxed: &Relaxed) -> bool {
        let task = self.task;
        let gap = self.best.cost + task.preferences - relaxed.bound;
        if !gap.is_finite() {
            return false;
        }
        // With the best plan proven only ties are left to settle, which is worth less.
        let most = if relaxed.bound > self.best.cost - task.same { TIES_MOST } else { LIST_MOST };
        let mut parts = vec![];
        for t in 0..task.occasions {
            let must = node.must(t);
            let question = Question {
                occasion: t,
                worth: &relaxed.prices.worth(task, t),
                may: &|job| node.may(job, t),
                must: &must,
                above: relaxed.most[t] - gap,
                want: Want::All { gap, most },
                nodes: LIST_NODES,
            };
            let found = self.visits[t].ask(task, &question, &mut self.meter);
            if !found.complete {
                return false;
            }
            let part = |jobs: &[usize], value: f64| Part::new(task, jobs, relaxed.most[t] - value);
            let mut list: Vec<Part> = found.visits.iter().map(|(value, jobs)| part(jobs, *value)).collect();
            list.extend(must.is_empty().then(|| part(&[], 0.0)));
            parts.push(list);
        }
        self.join(node, relaxed, parts, LIST_TRIES)
    }

    /// Offers the plans that can be put together from parts; false when that was cut short.
    fn join(&mut self, node: &Node, relaxed: &Relaxed, mut parts: Vec<Vec<Part>>, tries: u64) -> bool {
        let task = self.task;
        for parts in &mut parts {
            parts.sort_by(|one, other| one.regret.total_cmp(&other.regret));
        }
        let leave = task.leave();
        let regret = |job: usize| {
            if node.may(job, leave) { task.cost[job][leave] - relaxed.prices.job[job] } else { f64::INFINITY }
        };
        let leaving: Vec<f64> = (0..task.jobs()).map(regret).collect();
        Join::new(task, &parts, &leaving, relaxed.bound, tries, &mut self.meter, &mut self.best).run()
    }
}

/// The choice that the relaxed answer is least sure of.
fn doubtful(node: &Node, taken: &[Vec<f64>]) -> Option<(usize, usize)> {
    let mut most: Option<(f64, usize, usize)> = None;
    for (job, taken) in taken.iter().enumerate().filter(|(job, _)| node.open(*job) > 1) {
        for (choice, part) in taken.iter().enumerate().filter(|(choice, _)| node.may(job, *choice)) {
            let doubt = 0.5 - (part - 0.5).abs();
            if most.is_none_or(|(held, ..)| doubt > held) {
                most = Some((doubt, job, choice));
            }
        }
    }
    most.map(|(_, job, choice)| (job, choice))
}
