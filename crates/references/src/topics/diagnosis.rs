//! Which cause it is, what to look at next, and what a failure drags with it.

use super::Answer;
use crate::{InputError, Inputs};
use prognosis::cascade::{Harms, Link, noisy_or};
use prognosis::diagnosis::{Causes, Check, Next, entropy};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "bayes" => bayes(inputs),
        "entropy" => inputs.nums("p").map(|p| json!({ "H": entropy(&p) })),
        "information" => information(inputs),
        "next-check" => next_check(inputs),
        "fuse-life" => fuse_life(inputs),
        "cascade" => cascade(inputs),
        "noisy-or" => inputs.nums("p").map(|p| json!({ "P": noisy_or(&p) })),
        _ => return None,
    })
}

type Table = BTreeMap<String, BTreeMap<String, f64>>;

/// Causes by name, and the tables of the checks by name.
struct Case {
    names: Vec<String>,
    causes: Causes,
    tables: BTreeMap<String, Table>,
}

impl Case {
    fn read(inputs: &Inputs<'_>) -> Result<Self, InputError> {
        let prior: BTreeMap<String, f64> = inputs.read("prior")?;
        let weights: Vec<f64> = prior.values().copied().collect();
        let mut tables: BTreeMap<String, Table> = inputs.maybe("tables")?.unwrap_or_default();
        if let Some(table) = inputs.maybe("table")? {
            tables.insert(String::new(), table);
        }
        let causes = Causes::exactly(&weights).map_err(InputError::refused)?;
        Ok(Self { names: prior.into_keys().collect(), causes, tables })
    }

    /// The check of this name with the names of its states.
    fn check(&self, name: &str, minutes: f64) -> Result<(Check, Vec<String>), InputError> {
        let table = self.tables.get(name).ok_or_else(|| InputError::Missing(name.into()))?;
        let states: Vec<String> = table.values().flat_map(BTreeMap::keys).cloned().collect();
        let states: Vec<String> =
            BTreeMap::from_iter(states.into_iter().map(|s| (s, ()))).into_keys().collect();
        let row = |cause: &String| {
            let row = table.get(cause).ok_or_else(|| InputError::Missing(cause.clone()))?;
            Ok(states.iter().map(|state| row.get(state).copied().unwrap_or(0.0)).collect())
        };
        let rows: Vec<Vec<f64>> = self.names.iter().map(row).collect::<Result<_, InputError>>()?;
        Ok((Check::new(&rows, minutes).map_err(InputError::refused)?, states))
    }

    /// The causes after what the row says was observed.
    fn observed(&self, inputs: &Inputs<'_>) -> Result<Causes, InputError> {
        let seen: BTreeMap<String, String> = inputs.maybe("observed")?.unwrap_or_default();
        seen.iter().try_fold(self.causes.clone(), |causes, (check, state)| {
            let (check, states) = self.check(check, 1.0)?;
            let state =
                states.iter().position(|s| s == state).ok_or_else(|| InputError::Missing(state.clone()))?;
            causes.seen(&check, state).map_err(InputError::refused)
        })
    }

    fn by_name(&self, causes: &Causes) -> Map<String, Value> {
        self.names.iter().cloned().zip(causes.probabilities().iter().map(|p| json!(p))).collect()
    }
}

fn bayes(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let case = Case::read(inputs)?;
    let after = match inputs.maybe::<BTreeMap<String, f64>>("likelihood")? {
        Some(likelihood) => {
            let row = |cause: &String| {
                let p = likelihood.get(cause).copied().ok_or_else(|| InputError::Missing(cause.clone()))?;
                Ok(vec![p, 1.0 - p])
            };
            let rows: Vec<Vec<f64>> = case.names.iter().map(row).collect::<Result<_, InputError>>()?;
            let check = Check::new(&rows, 1.0).map_err(InputError::refused)?;
            case.causes.seen(&check, 0).map_err(InputError::refused)?
        }
        None => case.observed(inputs)?,
    };
    let posterior = case.by_name(&after);
    let mut answer = posterior.clone();
    answer.insert("posterior".into(), Value::Object(posterior));
    answer.insert("evidence".into(), json!(after.evidence()));
    Ok(Value::Object(answer))
}

fn information(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let case = Case::read(inputs)?;
    let (check, _) = case.check(&inputs.maybe::<String>("check")?.unwrap_or_default(), 1.0)?;
    let bits = case.observed(inputs)?.information(&check).map_err(InputError::refused)?;
    Ok(json!({ "bits": bits }))
}

fn next_check(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let case = Case::read(inputs)?;
    let causes = case.observed(inputs)?;
    let seen: BTreeMap<String, String> = inputs.maybe("observed")?.unwrap_or_default();
    let minutes: BTreeMap<String, f64> = inputs.read("minutes")?;
    let set_up = inputs.maybe("setup_minutes")?.unwrap_or(0.0);
    let open: Vec<&String> = case.tables.keys().filter(|name| !seen.contains_key(*name)).collect();
    let checks = open
        .iter()
        .map(|name| {
            let minutes = minutes.get(*name).copied().ok_or_else(|| InputError::Missing((*name).clone()))?;
            Ok(case.check(name, minutes)?.0)
        })
        .collect::<Result<Vec<Check>, InputError>>()?;
    let bits = open
        .iter()
        .zip(&checks)
        .map(|(name, check)| {
            Ok(((*name).clone(), json!(causes.information(check).map_err(InputError::refused)?)))
        })
        .collect::<Result<Map<String, Value>, InputError>>()?;
    let offered: Vec<(&Check, f64)> = checks.iter().map(|check| (check, set_up)).collect();
    let next = match causes.next(&offered).map_err(InputError::refused)? {
        Next::Look { check, .. } => json!(open[check]),
        Next::Found(_) | Next::NothingToLearn => Value::Null,
    };
    Ok(json!({ "bits": bits, "next": next }))
}

fn fuse_life(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let failed: BTreeMap<String, f64> = inputs.read("P_failed_since_good")?;
    let weights: Vec<f64> = failed.values().copied().collect();
    let causes = Causes::exactly(&weights).map_err(InputError::refused)?;
    let prior: Map<String, Value> =
        failed.into_keys().zip(causes.probabilities().iter().map(|p| json!(p))).collect();
    Ok(json!({ "prior": prior }))
}

fn cascade(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let costs: BTreeMap<String, f64> = inputs.read("cost")?;
    let names: Vec<&String> = costs.keys().collect();
    let place = |name: &str| {
        names.iter().position(|n| *n == name).ok_or_else(|| InputError::Missing(format!("cost of {name}")))
    };
    let edges: Vec<(String, String, f64)> = inputs.read("edges")?;
    let links = edges
        .iter()
        .map(|(from, to, p)| Ok(Link { from: place(from)?, to: place(to)?, p: *p }))
        .collect::<Result<Vec<Link>, InputError>>()?;
    let own: Vec<f64> = costs.values().copied().collect();
    let start = place(&inputs.read::<String>("start")?)?;
    let found = Harms::new(&own, &links).and_then(|harms| harms.after(start)).map_err(InputError::refused)?;
    let reach: Map<String, Value> =
        names.iter().map(|n| (*n).clone()).zip(found.reach.iter().map(|p| json!(p))).collect();
    Ok(json!({ "reach": reach, "expected": found.expected, "worst": found.worst, "q95": found.high }))
}
