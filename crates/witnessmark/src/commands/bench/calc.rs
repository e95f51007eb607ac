//! `witnessmark calc`: one formula of the bench on a person's own numbers.

use super::{formula, given, list, print_json, rounded, unit};
use crate::output::say;
use crate::{arguments::Calc, error::Failed};
use ::bench::{Assessed, Assessment, Found, Weights};
use serde_json::{Map, Value, json};

pub fn run(of: &Calc) -> Result<(), Failed> {
    if of.formula == "list" {
        return list::run(&of.given, of.output.json);
    }
    let formula = formula(&of.formula)?;
    let readings = given::readings(formula, &of.given)?;
    let assessment = formula.assess(&readings).map_err(given::refused(formula))?;
    let weights = assessment.weights(&readings);
    if of.output.json {
        print_json(&answer(&assessment, weights.as_ref()));
    } else {
        print(&assessment, weights.as_ref());
    }
    Ok(())
}

fn answer(assessment: &Assessment, weights: Option<&Weights>) -> Value {
    let results: Vec<Value> = assessment
        .results
        .iter()
        .map(|(output, assessed)| {
            let (value, u) = values(assessed);
            json!({ "id": output.id, "value": value, "unit": unit(output), "u": u })
        })
        .collect();
    let shares: Map<String, Value> = weights
        .iter()
        .flat_map(|weights| &weights.of)
        .map(|(key, share)| ((*key).to_owned(), json!(rounded(*share))))
        .collect();
    json!({
        "formula": assessment.formula.id,
        "results": results,
        "shares": shares,
        "shares_from": weights.map(|weights| if weights.stated { "stated" } else { "equal" }),
        "steps": assessment.steps.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "source": assessment.formula.source,
        "cautions": assessment.formula.cautions,
    })
}

/// Value and standard uncertainty; the uncertainty is null where nothing uncertain went in.
fn values(assessed: &Assessed) -> (Value, Value) {
    let u = |found: &Found| (found.measured.u() > 0.0).then(|| rounded(found.measured.u()));
    match assessed {
        Assessed::Number(found) => (json!(full(found.measured.value())), json!(u(found))),
        Assessed::Numbers(all) => (
            all.iter().map(|found| full(found.measured.value())).collect(),
            all.iter().map(u).collect::<Option<Vec<f64>>>().map_or(Value::Null, |all| json!(all)),
        ),
        Assessed::Text(text) => (json!(text), Value::Null),
        Assessed::Texts(texts) => (json!(texts), Value::Null),
    }
}

/// Twelve digits: what arithmetic leaves in the last ones says nothing.
fn full(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

fn print(assessment: &Assessment, weights: Option<&Weights>) {
    let formula = assessment.formula;
    say!("{}\n{}\n", formula.title, formula.equation);
    for step in &assessment.steps {
        say!("  {step}");
    }
    say!("");
    for (output, assessed) in &assessment.results {
        match assessed {
            Assessed::Number(found) => say!("{}: {}", output.title, found),
            Assessed::Numbers(all) => {
                let all: Vec<String> = all.iter().map(ToString::to_string).collect();
                say!("{}: {}", output.title, all.join("; "));
            }
            Assessed::Text(text) => say!("{}: {text}", output.title),
            Assessed::Texts(texts) => say!("{}: {}", output.title, texts.join("; ")),
        }
    }
    if let Some(weights) = weights {
        let told: Vec<String> = weights
            .of
            .iter()
            .filter(|(_, share)| *share >= 0.005)
            .map(|(key, share)| format!("{key} {:.0} %", 100.0 * share))
            .collect();
        say!("\n{}: {}", weights.title(), told.join(", "));
    }
    say!("\n{}\nSource: {}", formula.holds, formula.source);
    for caution in &formula.cautions {
        say!("Caution: {caution}");
    }
}
