//! The whole question as a mixed-integer program.

use crate::error::PlanError;
use crate::model::Model;
use crate::plan::Plan;
use crate::solve::Limits;
use microlp::{ComparisonOp, Error, OptimizationDirection, Problem, SolveOptions, Variable};

/// Solves the model as one mixed-integer program.
pub(crate) fn solve(model: &Model, limits: &Limits<'_>) -> Result<Plan, PlanError> {
    let (program, choices) = program(model);
    let mut options = SolveOptions::default();
    options.node_limit = Some(limits.nodes);
    let outcome = match program.solve_with(options) {
        Ok(outcome) => outcome,
        Err(Error::Infeasible) => return Err(PlanError::Infeasible { clash: vec![] }),
        Err(_) => return Err(PlanError::CutShort { nodes: limits.nodes, bound: 0.0 }),
    };
    let nodes = outcome.stats().nodes_solved;
    let proven = outcome.is_optimal();
    let cut_short = PlanError::CutShort { nodes, bound: 0.0 };
    let solution = outcome.into_solution().map_err(|_| cut_short.clone())?;
    let picks: Vec<usize> = choices
        .iter()
        .map(|choices| {
            choices
                .iter()
                .position(|&x| x.is_some_and(|x| solution.var_value(x) > 0.5))
                .unwrap_or(model.leave())
        })
        .collect();
    if !model.is_feasible(&picks) {
        return Err(cut_short);
    }
    let bound = solution.objective() * (1.0 - solution.gap().unwrap_or(1.0));
    Ok(Plan::new(model, &picks, bound, proven, nodes))
}

/// The program, and the variable of each job's each choice that is allowed.
fn program(model: &Model) -> (Problem, Vec<Vec<Option<Variable>>>) {
    let leave = model.leave();
    let mut program = Problem::new(OptimizationDirection::Minimize);
    let choices: Vec<Vec<Option<Variable>>> = model
        .cost
        .iter()
        .map(|cost| cost.iter().map(|&cost| cost.is_finite().then(|| program.add_binary_var(cost))).collect())
        .collect();
    let steps: Vec<Vec<Variable>> = model
        .step_cost
        .iter()
        .map(|cost| cost.iter().map(|&cost| program.add_var(cost, (0.0, 1.0))).collect())
        .collect();
    for (job, x) in choices.iter().enumerate() {
        program.add_constraint(
            x.iter().flatten().map(|&x| (x, 1.0)).collect::<Vec<_>>(),
            ComparisonOp::Eq,
            1.0,
        );
        for (t, x) in x[..leave].iter().enumerate().filter_map(|(t, x)| Some((t, (*x)?))) {
            for &step in &model.closure[job] {
                program.add_constraint([(x, 1.0), (steps[step][t], -1.0)], ComparisonOp::Le, 0.0);
            }
        }
    }
    for t in 0..leave {
        let limits = [
            (model.hours_limit[t], &model.job_hours, &model.step_hours),
            (model.cash_limit[t], &model.job_cash, &model.step_cost),
        ];
        for (limit, of_job, of_step) in limits.into_iter().filter(|(limit, ..)| limit.is_finite()) {
            let jobs = choices.iter().zip(of_job).filter_map(|(x, &amount)| Some((x[t]?, amount)));
            let steps = steps.iter().zip(of_step).map(|(y, amount)| (y[t], amount[t]));
            program.add_constraint(jobs.chain(steps).collect::<Vec<_>>(), ComparisonOp::Le, limit);
        }
    }
    for group in &model.together {
        for pair in group.windows(2) {
            for (one, other) in choices[pair[0]].iter().zip(&choices[pair[1]]) {
                let row: Vec<_> =
                    one.iter().map(|&x| (x, 1.0)).chain(other.iter().map(|&x| (x, -1.0))).collect();
                program.add_constraint(row, ComparisonOp::Eq, 0.0);
            }
        }
    }
    for group in &model.exclusive {
        let done = group.iter().flat_map(|&job| choices[job][..leave].iter().flatten().map(|&x| (x, 1.0)));
        program.add_constraint(done.collect::<Vec<_>>(), ComparisonOp::Le, 1.0);
    }
    for &(first, then) in &model.before {
        for t in 0..leave {
            let then = choices[then][..=t].iter().flatten().map(|&x| (x, 1.0));
            let first = choices[first][..=t].iter().flatten().map(|&x| (x, -1.0));
            program.add_constraint(then.chain(first).collect::<Vec<_>>(), ComparisonOp::Le, 0.0);
        }
    }
    (program, choices)
}
