//! The least cut that answers "now or next" (Picard 1976), apart from the planner's own search.

use planner::{AccessCost, Instance};
use std::collections::BTreeMap;

/// Capacity of the least cut; `None` where it is not the answer: other than two occasions, jobs not offered on both,
/// limits or rules.
pub(super) fn least_cut(instance: &Instance) -> Option<f64> {
    let [now, next] = instance.occasions.as_slice() else { return None };
    let ruled = !(instance.together.is_empty()
        && instance.exclusive.is_empty()
        && instance.before.is_empty()
        && instance.pins.is_empty()
        && instance.jobs.iter().all(|job| job.by.is_none())
        && instance.access.iter().all(|step| step.open.is_empty())
        && instance.limits.values().all(|limits| limits.cash.is_none() && limits.hours.is_none()));
    if ruled {
        return None;
    }
    let steps: BTreeMap<&str, usize> =
        instance.access.iter().enumerate().map(|(at, step)| (step.id.as_str(), at)).collect();
    let (jobs, count) = (instance.jobs.len(), instance.access.len());
    // The source's side is: a job done now, a step used now, a step not used next.
    let (source, sink) = (0, 1);
    let used_now = |step: usize| 2 + jobs + step;
    let unused_next = |step: usize| 2 + jobs + count + step;
    let mut net = Net::new(2 + jobs + 2 * count);
    for (at, job) in instance.jobs.iter().enumerate() {
        net.arc(source, 2 + at, *job.cost.get(&next.id)?);
        net.arc(2 + at, sink, *job.cost.get(&now.id)?);
        for step in job.needs.iter().filter_map(|id| steps.get(id.as_str())) {
            net.arc(2 + at, used_now(*step), f64::INFINITY);
            net.arc(unused_next(*step), 2 + at, f64::INFINITY);
        }
    }
    for (at, step) in instance.access.iter().enumerate() {
        let cost = |occasion: &str| match &step.cost {
            AccessCost::Always(cost) => Some(*cost),
            AccessCost::On(costs) => costs.get(occasion).copied(),
        };
        net.arc(used_now(at), sink, cost(&now.id)?);
        net.arc(source, unused_next(at), cost(&next.id)?);
        for needed in step.needs.iter().filter_map(|id| steps.get(id.as_str())) {
            net.arc(used_now(at), used_now(*needed), f64::INFINITY);
            net.arc(unused_next(*needed), unused_next(at), f64::INFINITY);
        }
    }
    Some(net.flow(source, sink))
}

/// A network whose arcs come in pairs, there and back.
struct Net {
    from: Vec<Vec<usize>>,
    to: Vec<usize>,
    room: Vec<f64>,
}

impl Net {
    fn new(nodes: usize) -> Self {
        Self { from: vec![vec![]; nodes], to: vec![], room: vec![] }
    }

    fn arc(&mut self, one: usize, other: usize, room: f64) {
        for (from, to, room) in [(one, other, room), (other, one, 0.0)] {
            self.from[from].push(self.to.len());
            self.to.push(to);
            self.room.push(room);
        }
    }

    /// The greatest flow, along shortest ways first (Edmonds and Karp 1972).
    fn flow(&mut self, source: usize, sink: usize) -> f64 {
        let mut flow = 0.0;
        loop {
            let mut reached_by = vec![None; self.from.len()];
            let mut queue = vec![source];
            let mut at = 0;
            while let Some(&node) = queue.get(at) {
                at += 1;
                for &arc in &self.from[node] {
                    let to = self.to[arc];
                    if self.room[arc] > 1e-12 && to != source && reached_by[to].is_none() {
                        reached_by[to] = Some(arc);
                        queue.push(to);
                    }
                }
            }
            let mut way = vec![];
            let mut node = sink;
            while let Some(arc) = reached_by[node] {
                way.push(arc);
                node = self.to[arc ^ 1];
            }
            if way.is_empty() {
                return flow;
            }
            let amount = way.iter().map(|&arc| self.room[arc]).fold(f64::INFINITY, f64::min);
            for arc in way {
                self.room[arc] -= amount;
                self.room[arc ^ 1] += amount;
            }
            flow += amount;
        }
    }
}
