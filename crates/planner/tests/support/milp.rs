//! A second opinion: the instance as one mixed-integer program for a general solver.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use planner::{AccessCost, Choice, Instance, LEAVE, PinRule};
use std::collections::{BTreeMap, BTreeSet};

type Row = Vec<(Variable, f64)>;

/// The least cost of any plan, or `None` when there is no plan.
pub fn least_cost(instance: &Instance) -> Option<f64> {
    match program(instance).solve() {
        Err(microlp::Error::Infeasible) => None,
        outcome => {
            let outcome = outcome.expect("a sound program");
            assert!(outcome.is_optimal());
            outcome.into_solution().ok().map(|solution| solution.objective())
        }
    }
}

fn program(instance: &Instance) -> Problem {
    let occasions: Vec<&str> = instance.occasions.iter().map(|o| o.id.as_str()).collect();
    let place = |id: &str| occasions.iter().position(|occasion| *occasion == id);
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let mut x: BTreeMap<(&str, &str), Variable> = BTreeMap::new();
    for job in &instance.jobs {
        let last = job.by.as_deref().and_then(place);
        for (choice, &cost) in &job.cost {
            let late = last.is_some_and(|last| place(choice).is_none_or(|t| t > last));
            let mut pins = instance.pins.iter().filter(|pin| pin.job == job.id);
            let out =
                pins.any(|pin| (pin.choice == Choice::from(choice.as_str())) != (pin.rule == PinRule::Must));
            if !late && !out {
                x.insert((&job.id, choice), problem.add_binary_var(cost));
            }
        }
    }
    let free = |occasion: &str| open_already(instance, occasion);
    let step_cost = |step: &planner::AccessStep, occasion: &str| match &step.cost {
        _ if free(occasion).contains(step.id.as_str()) => 0.0,
        AccessCost::Always(cost) => *cost,
        AccessCost::On(costs) => costs[occasion],
    };
    let mut y: BTreeMap<(&str, &str), Variable> = BTreeMap::new();
    for step in &instance.access {
        for occasion in &occasions {
            y.insert((&step.id, occasion), problem.add_binary_var(step_cost(step, occasion)));
        }
    }
    for job in &instance.jobs {
        let own: Row = x.iter().filter(|((id, _), _)| *id == job.id).map(|(_, &x)| (x, 1.0)).collect();
        problem.add_constraint(own, ComparisonOp::Eq, 1.0);
        for occasion in &occasions {
            for step in &job.needs {
                if let Some(&x) = x.get(&(job.id.as_str(), occasion)) {
                    problem.add_constraint(
                        [(x, 1.0), (y[&(step.as_str(), *occasion)], -1.0)],
                        ComparisonOp::Le,
                        0.0,
                    );
                }
            }
        }
    }
    for step in &instance.access {
        for needed in &step.needs {
            for occasion in &occasions {
                let row =
                    [(y[&(step.id.as_str(), *occasion)], 1.0), (y[&(needed.as_str(), *occasion)], -1.0)];
                problem.add_constraint(row, ComparisonOp::Le, 0.0);
            }
        }
    }
    for (occasion, limits) in &instance.limits {
        let on = |job: &planner::Job| x.get(&(job.id.as_str(), occasion.as_str())).copied();
        if let Some(limit) = limits.hours {
            let jobs = instance.jobs.iter().filter_map(|job| Some((on(job)?, job.hours)));
            let open = free(occasion);
            let hours =
                |step: &planner::AccessStep| if open.contains(step.id.as_str()) { 0.0 } else { step.hours };
            let steps =
                instance.access.iter().map(|step| (y[&(step.id.as_str(), occasion.as_str())], hours(step)));
            problem.add_constraint(jobs.chain(steps).collect::<Row>(), ComparisonOp::Le, limit);
        }
        if let Some(limit) = limits.cash {
            let jobs = instance.jobs.iter().filter_map(|job| Some((on(job)?, job.cash)));
            let steps = instance
                .access
                .iter()
                .map(|step| (y[&(step.id.as_str(), occasion.as_str())], step_cost(step, occasion)));
            problem.add_constraint(jobs.chain(steps).collect::<Row>(), ComparisonOp::Le, limit);
        }
    }
    let done_by = |job: &str, until: usize| -> Vec<Variable> {
        occasions[..until].iter().filter_map(|occasion| x.get(&(job, *occasion)).copied()).collect()
    };
    for group in &instance.together {
        for pair in group.windows(2) {
            for choice in occasions.iter().copied().chain([LEAVE]) {
                let one = x.get(&(pair[0].as_str(), choice)).map(|&x| (x, 1.0));
                let other = x.get(&(pair[1].as_str(), choice)).map(|&x| (x, -1.0));
                problem.add_constraint(one.into_iter().chain(other).collect::<Row>(), ComparisonOp::Eq, 0.0);
            }
        }
    }
    for group in &instance.exclusive {
        let row: Row = group.iter().flat_map(|job| done_by(job, occasions.len())).map(|x| (x, 1.0)).collect();
        problem.add_constraint(row, ComparisonOp::Le, 1.0);
    }
    for (first, then) in &instance.before {
        for until in 1..=occasions.len() {
            let then = done_by(then, until).into_iter().map(|x| (x, 1.0));
            let first = done_by(first, until).into_iter().map(|x| (x, -1.0));
            problem.add_constraint(then.chain(first).collect::<Row>(), ComparisonOp::Le, 0.0);
        }
    }
    problem
}

/// The steps that lie open on an occasion, and what they need.
fn open_already<'a>(instance: &'a Instance, occasion: &str) -> BTreeSet<&'a str> {
    let mut open = BTreeSet::new();
    let lies_open = |step: &&planner::AccessStep| step.open.iter().any(|on| on == occasion);
    let mut todo: Vec<&str> = instance.access.iter().filter(lies_open).map(|step| step.id.as_str()).collect();
    while let Some(id) = todo.pop() {
        if open.insert(id) {
            let needs = instance.access.iter().filter(|step| step.id == id).flat_map(|step| &step.needs);
            todo.extend(needs.map(String::as_str));
        }
    }
    open
}
