//! Now, next time or leave it.

mod min_cut;
mod relaxation;

use super::Answer;
use crate::{InputError, Inputs};
use min_cut::least_cut;
use planner::{Instance, LEAVE, Limits, Plan, PlanError, Problem, TimingCost, explain, solve};
use prognosis::life::Life;
use relaxation::relaxed_cost;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "plan" => plan(inputs),
        "saves" => saves(inputs),
        "min-cut" => now_or_next(inputs),
        "timing-cost" => timing_cost(inputs),
        _ => return None,
    })
}

/// The instance of a row, with the fields that the row replaces.
fn instance(inputs: &Inputs<'_>) -> Result<Instance, InputError> {
    let fields: Map<String, Value> = inputs.read("instance")?;
    let replace: Map<String, Value> = inputs.maybe("replace")?.unwrap_or_default();
    Instance::read(&json!({ "instance": fields, "replace": replace })).map_err(|unfit| {
        InputError::refused(unfit.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
    })
}

/// The best plan; `None` when there is none, because rules clash or limits are too tight.
fn best(instance: &Instance) -> Result<Option<Plan>, InputError> {
    match solve(instance, &Limits::default()) {
        Ok(plan) => Ok(Some(plan)),
        Err(PlanError::Infeasible { .. }) => Ok(None),
        Err(PlanError::Invalid(problems)) if problems.iter().all(Problem::is_clash) => Ok(None),
        Err(error) => Err(InputError::refused(error)),
    }
}

fn plan(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let instance = instance(inputs)?;
    let Some(plan) = best(&instance)? else {
        return Ok(json!({ "cost": null }));
    };
    let why = explain(&instance, &plan, &Limits::default()).map_err(InputError::refused)?;
    let access: BTreeMap<_, _> = plan.visits.iter().map(|visit| (&visit.occasion, &visit.access)).collect();
    Ok(json!({
        "cost": plan.cost,
        "pick": plan.pick,
        "access": access,
        "gap_to_second_best": why.next_best,
        "linear_relaxation": relaxed_cost(&instance),
    }))
}

fn saves(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let instance = instance(inputs)?;
    let Some(plan) = best(&instance)? else {
        return Ok(json!({ "now": null }));
    };
    let why = explain(&instance, &plan, &Limits::default()).map_err(InputError::refused)?;
    let now: Map<String, Value> = why
        .now
        .into_iter()
        .map(|(job, why)| {
            let says = json!({
                "saves": why.saves,
                "otherwise": why.otherwise,
                "own_access": why.own_access,
                "shared": why.shared,
            });
            (job, says)
        })
        .collect();
    Ok(json!({ "now": now }))
}

/// Two occasions, nothing left and no limits: the plan, and the cut that it is.
fn now_or_next(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let mut instance = instance(inputs)?;
    for job in &mut instance.jobs {
        job.cost.remove(LEAVE);
    }
    let Some(plan) = best(&instance)? else {
        return Ok(json!({ "cost": null }));
    };
    let cut = least_cut(&instance).ok_or_else(|| {
        InputError::refused("a cut answers two occasions without limits or rules, every job offered on both")
    })?;
    Ok(json!({
        "min_cut": cut,
        "cost": plan.cost,
        "pick": plan.pick,
        "linear_relaxation": relaxed_cost(&instance),
    }))
}

/// Timing costs of a part with a Weibull life, alive at an age.
fn timing_cost(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let life = Life::weibull(inputs.num("eta")?, inputs.num("beta")?).map_err(InputError::refused)?;
    let age = inputs.num("age")?;
    let planned = inputs.num("planned_cost")?;
    let cost =
        TimingCost { surprise: inputs.num("X")?, life: planned / life.mean(), leaving: inputs.num("kappa")? };
    let done = |tau: f64| {
        let failed = life.fails_within(age, tau);
        cost.done(failed, (1.0 - failed) * life.mean_residual(age + tau))
    };
    let done: Vec<f64> = inputs.nums("tau")?.into_iter().map(done).collect();
    let left = cost.left(life.fails_within(age, inputs.num("H")?));
    Ok(json!({ "e": done, "leave": left, "v": cost.life }))
}
