//! `witnessmark plan --instance FILE.json`: the best plan of a question written down, without a book.

use super::print_json;
use crate::{error::Failed, output::say};
use planner::{Instance, Limits, Plan, PlanError, Problem, smallest_clash, solve};
use serde_json::{Map, Value, json};
use std::{fs, path::Path};

pub fn run(file: &Path, as_json: bool) -> Result<(), Failed> {
    let path = file.display().to_string();
    let wrong = |problems: Vec<String>| Failed::Instance { path: path.clone(), problems };
    let text =
        fs::read_to_string(file).map_err(|error| wrong(vec![format!("it cannot be read: {error}")]))?;
    let written: Value = serde_json::from_str(&text)
        .map_err(|error| wrong(vec![format!("it is not written in JSON: {error}")]))?;
    let instance =
        Instance::read(&written).map_err(|unfit| wrong(unfit.iter().map(ToString::to_string).collect()))?;
    let plan = best(&instance).map_err(|error| match error {
        NoPlan::Clash(clash) => Failed::Clash { path: path.clone(), clash },
        NoPlan::Other(error) => Failed::Plan(error.into()),
    })?;
    if as_json {
        print_json(&document(&plan));
    } else {
        tell(&plan);
    }
    Ok(())
}

enum NoPlan {
    /// As few rules as cannot be kept together, in words.
    Clash(Vec<String>),
    Other(PlanError),
}

fn best(instance: &Instance) -> Result<Plan, NoPlan> {
    let limits = Limits::default();
    solve(instance, &limits).map_err(|error| match error {
        PlanError::Infeasible { clash } => NoPlan::Clash(clash.iter().map(ToString::to_string).collect()),
        PlanError::Invalid(problems) if problems.iter().all(Problem::is_clash) => {
            match smallest_clash(instance, &limits).as_slice() {
                // One rule alone clashes with nothing but a lack of choices, which the problem names.
                [] | [_] => NoPlan::Clash(problems.iter().map(ToString::to_string).collect()),
                clash => NoPlan::Clash(clash.iter().map(ToString::to_string).collect()),
            }
        }
        other => NoPlan::Other(other),
    })
}

fn document(plan: &Plan) -> Value {
    let access: Map<String, Value> =
        plan.visits.iter().map(|visit| (visit.occasion.clone(), json!(visit.access))).collect();
    json!({
        "objective": plan.cost,
        "choice": plan.pick,
        "access": access,
        "proven": plan.proven,
        "gap": plan.gap(),
    })
}

fn tell(plan: &Plan) {
    for visit in plan.visits.iter().filter(|visit| !visit.jobs.is_empty()) {
        say!("{}: {}", visit.occasion, visit.jobs.join(", "));
        if !visit.access.is_empty() {
            say!("  opens {}", visit.access.join(", "));
        }
    }
    let left: Vec<&str> = plan.jobs(&planner::Choice::Leave).collect();
    if !left.is_empty() {
        say!("left: {}", left.join(", "));
    }
    say!("Expected cost {}.", plan.cost);
    if !plan.proven {
        say!("Not proven: a better plan may cost up to {:.1} % less.", 100.0 * plan.gap());
    }
}
