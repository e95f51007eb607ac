//! The bound of a part of the question, by visits and prices in turn.

use super::master::{Column, Master};
use super::node::Node;
use super::pool::Candidate;
use super::prices::Prices;
use super::task::Task;
use super::tree::Search;
use super::visit::{Question, Want};

/// A bound with what it came from.
#[derive(Debug, Clone)]
pub(crate) struct Relaxed {
    pub bound: f64,
    pub prices: Prices,
    /// By occasion, the most a visit brings in at these prices.
    pub most: Vec<f64>,
    /// By job and choice, how much of it the relaxed answer takes; filled at the end.
    pub taken: Vec<Vec<f64>>,
    /// Visits that are new, and whether every occasion was searched to the end.
    fresh: usize,
    complete: bool,
}

/// Part of the way that prices stay with the best ones so far, which keeps them from swinging.
const SMOOTH: f64 = 0.7;
/// Nodes for the visit to an occasion at first, the factor when that brings nothing new, and when to give up.
const FIRST_NODES: u64 = 10;
const MORE_NODES: u64 = 8;
const MOST_NODES: u64 = 3_000_000;
/// Visits kept of those found on the way to the best.
const KEPT: usize = 3;
/// Visits known that the search for a better one starts from.
const STARTS: usize = 3;

impl Search<'_> {
    /// Bounds a part of the question.
    pub fn relax(&mut self, node: &Node) -> Relaxed {
        let task = self.task;
        let musts: Vec<Vec<usize>> = (0..task.occasions).map(|t| node.must(t)).collect();
        let mut nodes = FIRST_NODES;
        let guess = node.prices.clone().unwrap_or_else(|| Prices::guess(task, node));
        let mut best = self.price(node, &musts, guess, nodes);
        let mut program = Program::new(task, node, &musts, self.high);
        let mut smooth = SMOOTH;
        let mut center = best.prices.clone();
        while !self.meter.is_empty() && best.bound <= self.cutoff() {
            program.extend(task, node, &musts, &self.pool.candidates);
            let (cost, mut prices) = program.solve();
            prices.clip(task, node);
            let priced = self.price(node, &musts, prices.towards(&center, smooth), nodes);
            let (fresh, complete) = (priced.fresh, priced.complete);
            let improved = priced.bound > best.bound;
            // A bound that was cut short says little about its prices.
            if improved || !complete {
                center.clone_from(&priced.prices);
            }
            if improved {
                best = priced;
            }
            if cost - best.bound <= task.same {
                break;
            }
            if fresh > 0 {
                smooth = SMOOTH;
                continue;
            }
            if smooth == 0.0 {
                if complete || nodes > MOST_NODES {
                    break;
                }
                nodes *= MORE_NODES;
            }
            smooth = 0.0;
        }
        best.taken = program.taken(task, &self.pool.candidates);
        best
    }

    /// The bound at given prices; visits found on the way join the pool.
    fn price(&mut self, node: &Node, musts: &[Vec<usize>], prices: Prices, nodes: u64) -> Relaxed {
        let task = self.task;
        let mut relaxed = Relaxed {
            bound: prices.total(task),
            most: vec![],
            taken: vec![],
            fresh: 0,
            complete: true,
            prices,
        };
        for (t, must) in musts.iter().enumerate() {
            let worth = relaxed.prices.worth(task, t);
            let mut known: Vec<(f64, &Candidate)> = self
                .pool
                .on(node, t, &musts[t])
                .map(|candidate| (candidate.value(&worth), candidate))
                .collect();
            known.sort_by(|one, other| other.0.total_cmp(&one.0));
            // Staying away is worth nothing, which is better than a visit at a loss.
            let staying_away = if must.is_empty() { 0.0 } else { f64::NEG_INFINITY };
            let above = known.first().map_or(staying_away, |(value, _)| value.max(staying_away));
            let starts: Vec<&[usize]> =
                known.iter().take(STARTS).map(|(_, candidate)| candidate.jobs.as_slice()).collect();
            let question = Question {
                occasion: t,
                worth: &worth,
                may: &|job| node.may(job, t),
                must,
                above,
                want: Want::Best { starts: &starts },
                nodes,
            };
            let found = self.visits[t].ask(task, &question, &mut self.meter);
            relaxed.bound -= found.bound;
            relaxed.most.push(found.bound);
            relaxed.complete &= found.complete;
            // Each found is better than the one before.
            for (_, jobs) in found.visits.into_iter().rev().take(KEPT) {
                relaxed.fresh += usize::from(self.pool.keep(task, t, jobs));
            }
        }
        relaxed
    }
}

/// The linear program of a node over the visits known.
struct Program {
    master: Master,
    right: Vec<f64>,
    jobs: usize,
    occasions: usize,
    /// Which candidate each column after the first ones is.
    columns: Vec<usize>,
    seen: usize,
}

impl Program {
    /// Rows: a job is in one visit or left; an occasion has one visit; the rules.
    fn new(task: &Task, node: &Node, musts: &[Vec<usize>], high: f64) -> Self {
        let leave = task.leave();
        let leaving = |job: usize| if node.may(job, leave) { task.cost[job][leave] } else { high };
        let first = (0..task.jobs())
            .map(leaving)
            .chain(musts.iter().map(|must| if must.is_empty() { 0.0 } else { high }))
            .chain(task.rows.iter().map(|_| 0.0));
        let ones = std::iter::repeat_n(1.0, task.jobs() + task.occasions);
        let right: Vec<f64> = ones.chain(task.rows.iter().map(|row| row.room)).collect();
        Self {
            master: Master::new(first.collect(), &right),
            right,
            jobs: task.jobs(),
            occasions: task.occasions,
            columns: vec![],
            seen: 0,
        }
    }

    /// Takes in the candidates that are new.
    fn extend(&mut self, task: &Task, node: &Node, musts: &[Vec<usize>], candidates: &[Candidate]) {
        for (at, candidate) in candidates.iter().enumerate().skip(self.seen) {
            if candidate.fits(node, &musts[candidate.occasion]) {
                self.columns.push(at);
                self.master.add(column(task, candidate));
            }
        }
        self.seen = candidates.len();
    }

    /// Cost and prices of the best mix of the candidates.
    fn solve(&mut self) -> (f64, Prices) {
        let duals = self.master.solve();
        let cost = duals.iter().zip(&self.right).map(|(dual, right)| dual * right).sum();
        let rule = duals[self.jobs + self.occasions..].iter().map(|dual| (-dual).max(0.0)).collect();
        (cost, Prices { job: duals[..self.jobs].to_vec(), rule })
    }

    /// How much of each choice of each job the mix takes.
    fn taken(&self, task: &Task, candidates: &[Candidate]) -> Vec<Vec<f64>> {
        let mut taken = vec![vec![0.0; task.occasions + 1]; self.jobs];
        for (column, amount) in self.master.taken() {
            if column < self.jobs {
                taken[column][task.leave()] += amount;
            } else if let Some(at) = column.checked_sub(self.right.len()) {
                let candidate = &candidates[self.columns[at]];
                candidate.jobs.iter().for_each(|&job| taken[job][candidate.occasion] += amount);
            }
        }
        taken
    }
}

fn column(task: &Task, candidate: &Candidate) -> Column {
    let mut rows: Vec<(usize, f64)> = candidate.jobs.iter().map(|&job| (job, 1.0)).collect();
    rows.push((task.jobs() + candidate.occasion, 1.0));
    for (at, row) in task.rows.iter().enumerate() {
        let counting = row.terms.iter().filter(|term| candidate.occasion <= term.until);
        let factor: f64 =
            counting.filter(|term| candidate.jobs.contains(&term.job)).map(|term| term.factor).sum();
        if factor != 0.0 {
            rows.push((task.jobs() + task.occasions + at, factor));
        }
    }
    Column { cost: candidate.cost, rows }
}
