//! `witnessmark calc list`: every formula, by the job it serves.

use super::{print_json, unit};
use crate::error::{Failed, WrongFormula};
use crate::output::say;
use ::bench::{Formula, Input, Job, Need, formulas};
use serde_json::{Value, json};

/// Lists the formulas in which every one of the words occurs.
pub fn run(words: &[String], as_json: bool) -> Result<(), Failed> {
    let words: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let found: Vec<&Formula> = formulas().iter().filter(|formula| formula.has(&words)).collect();
    if found.is_empty() {
        return Err(Failed::Formula(WrongFormula {
            problems: vec![format!("no formula speaks of {}", words.join(" "))],
            help: "`witnessmark calc list` names every formula".into(),
        }));
    }
    if as_json {
        print_json(&found.iter().map(|formula| described(formula)).collect());
        return Ok(());
    }
    let wide = found.iter().map(|formula| formula.id.len()).max().unwrap_or(0);
    for job in Job::ALL {
        let of_job: Vec<_> = found.iter().filter(|formula| formula.job == job).collect();
        if of_job.is_empty() {
            continue;
        }
        say!("{job}");
        for formula in of_job {
            say!("  {:wide$}  {}", formula.id, formula.title);
        }
        say!("");
    }
    Ok(())
}

fn described(formula: &Formula) -> Value {
    let outputs: Vec<Value> = formula
        .outputs
        .iter()
        .map(|output| json!({ "id": output.id, "title": output.title, "unit": unit(output), "list": output.list }))
        .collect();
    json!({
        "formula": formula.id,
        "title": formula.title,
        "job": formula.job.id(),
        "says": formula.says,
        "equation": formula.equation,
        "inputs": formula.inputs.iter().map(input).collect::<Vec<_>>(),
        "results": outputs,
        "holds": formula.holds,
        "cautions": formula.cautions,
        "source": formula.source,
    })
}

fn input(input: &Input) -> Value {
    let scale = input.scale();
    json!({
        "key": input.key,
        "title": input.title,
        "unit": scale.map(|scale| scale.unit),
        "low": scale.map(|scale| scale.low),
        "high": scale.map(|scale| scale.high),
        "list": input.list(),
        "required": input.need == Need::Required,
        "alternative": input.need == Need::Alternative,
        "default": match input.need { Need::Default(value) => Some(value), _ => None },
        "example": input.example(),
    })
}
