//! Deciding against limits.

use super::Answer;
use crate::{InputError, Inputs};
use quantity::remeasure::readings_needed;
use quantity::risk::{Prior, acceptance, capability, consumer_risk, guard_band, producer_risk, rejection};
use quantity::{AcceptedRisk, Belief, Bounds, Conformity, Decision, UncertaintyError, order};
use serde_json::{Map, Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "p-c" => normal(inputs),
        "p-c-t" => student(inputs),
        "p-c-prior" => with_knowledge(inputs),
        "guard" => guard(inputs),
        "verdict-p" => verdict(inputs),
        "cm" => cm(inputs),
        "consumer" => consumer(inputs),
        "producer" => producer(inputs),
        "readings-needed" => needed(inputs),
        "min-of-n" => smallest(inputs),
        _ => return None,
    })
}

fn refused(error: UncertaintyError) -> InputError {
    InputError::refused(error)
}

/// Limits T_L and T_U; one that is not given does not bound.
fn limits(inputs: &Inputs<'_>) -> Result<Bounds, InputError> {
    bounds(inputs, "T_L", "T_U")
}

fn bounds(inputs: &Inputs<'_>, lower: &str, upper: &str) -> Result<Bounds, InputError> {
    let end =
        |name: &str, absent: f64| if inputs.get(name).is_some() { inputs.num(name) } else { Ok(absent) };
    Bounds::new(end(lower, f64::NEG_INFINITY)?, end(upper, f64::INFINITY)?).map_err(refused)
}

fn belief(inputs: &Inputs<'_>, dof: f64) -> Result<Belief, InputError> {
    Belief::new(inputs.num("y")?, inputs.num("u")?, dof).map_err(refused)
}

fn chances(belief: &Belief, limits: &Bounds) -> Value {
    let chances = Conformity::of(belief, limits);
    json!({ "p_c": chances.within, "p_outside": chances.beyond() })
}

/// Of a measurement, or before any of a whole population.
fn normal(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    if inputs.get("prior").is_some() && inputs.get("y").is_none() {
        let beyond = prior(inputs)?.beyond(&limits(inputs)?);
        return Ok(json!({ "p_c": 1.0 - beyond, "p_outside": beyond }));
    }
    Ok(chances(&belief(inputs, f64::INFINITY)?, &limits(inputs)?))
}

fn student(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(chances(&belief(inputs, inputs.num("nu")?)?, &limits(inputs)?))
}

/// "flat on x >= 0", or a normal prior.
fn with_knowledge(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let measured = belief(inputs, inputs.maybe("nu")?.unwrap_or(f64::INFINITY))?;
    let flat_from = match inputs.get("prior").and_then(Value::as_str) {
        Some(text) => text.strip_prefix("flat on x >= ").and_then(|bound| bound.parse::<f64>().ok()),
        None => None,
    };
    let informed = match (flat_from, inputs.get("prior")) {
        (Some(floor), _) => measured.bounded(floor, f64::INFINITY),
        (None, Some(_)) => match prior(inputs)? {
            Prior::Normal { mean, sd } => measured.with_prior(mean, sd),
            Prior::Gamma { .. } => {
                return Err(InputError::Refused(
                    "a gamma prior has no closed posterior; give a normal one".into(),
                ));
            }
        },
        (None, None) => return Err(InputError::Missing("prior".into())),
    };
    Ok(chances(&informed.map_err(refused)?, &limits(inputs)?))
}

/// "gamma shape 4 scale 0.25 um", "normal mean 0 sd 1", or `{ normal_sd, normal_mean }`.
fn prior(inputs: &Inputs<'_>) -> Result<Prior, InputError> {
    let unclear = || InputError::Refused("`prior` is not of a form that is known".into());
    match inputs.get("prior") {
        Some(Value::String(text)) => {
            let words: Vec<&str> = text.split_whitespace().collect();
            let number = |text: &str| text.parse::<f64>().map_err(|_| unclear());
            match words[..] {
                ["gamma", "shape", shape, "scale", scale, ..] => Prior::gamma(number(shape)?, number(scale)?),
                ["normal", "mean", mean, "sd", sd, ..] => Prior::normal(number(mean)?, number(sd)?),
                _ => return Err(unclear()),
            }
        }
        Some(Value::Object(parts)) => {
            let number = |name: &str| parts.get(name).and_then(Value::as_f64);
            Prior::normal(number("normal_mean").unwrap_or(0.0), number("normal_sd").ok_or_else(unclear)?)
        }
        _ => return Err(InputError::Missing("prior".into())),
    }
    .map_err(refused)
}

fn guard(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let g = inputs.num("g")?;
    if inputs.get("u").is_none() {
        // A value g·u inside a single limit, in units of u.
        let inside = Belief::new(g, 1.0, f64::INFINITY).map_err(refused)?;
        let limit = Bounds::new(0.0, f64::INFINITY).map_err(refused)?;
        return Ok(json!({ "p_c_at_acceptance_limit": Conformity::of(&inside, &limit).within }));
    }
    let (limits, w) = (limits(inputs)?, g * inputs.num("u")?);
    let mut answer = Map::new();
    let accept = acceptance(&limits, w);
    answer.insert("accept".into(), accept.map_or(Value::Null, |a| json!([end(a.lower()), end(a.upper())])));
    if let Some(reject) = rejection(&limits, w) {
        answer.insert("reject_outside".into(), json!([end(reject.lower()), end(reject.upper())]));
        answer.insert("reject_below".into(), end(reject.lower()));
        answer.insert("reject_above".into(), end(reject.upper()));
    }
    Ok(Value::Object(answer))
}

/// A number, infinities as text.
fn end(value: f64) -> Value {
    match value {
        f64::INFINITY => "inf".into(),
        f64::NEG_INFINITY => "-inf".into(),
        finite => finite.into(),
    }
}

fn verdict(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let a = inputs.num("a")?;
    let accepted = AcceptedRisk::new(a, a).map_err(refused)?;
    let dof = inputs.maybe("nu")?.unwrap_or(f64::INFINITY);
    let decision = Conformity::of(&belief(inputs, dof)?, &limits(inputs)?).decide(accepted);
    let word = match decision {
        Decision::Pass => "pass",
        Decision::Fail => "fail",
        Decision::CannotTell => "unsure",
    };
    Ok(json!({ "verdict": word }))
}

fn cm(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let index = capability(&limits(inputs)?, inputs.num("u")?).map_err(refused)?;
    Ok(json!({ "C_m": index.map(|index| index.0) }))
}

/// The acceptance interval: `A`, or its ends `A_L` and `A_U`.
fn accepted(inputs: &Inputs<'_>) -> Result<Bounds, InputError> {
    if inputs.get("A").is_none() {
        return bounds(inputs, "A_L", "A_U");
    }
    match inputs.nums("A")?[..] {
        [lower, upper] => Bounds::new(lower, upper).map_err(refused),
        ref other => Err(refused(UncertaintyError::Length { what: "A", found: other.len(), wanted: 2 })),
    }
}

/// The risk of an acceptance interval, or the acceptance limits of a risk.
fn consumer(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (prior, u, limits) = (prior(inputs)?, inputs.num("u")?, limits(inputs)?);
    if let Some(risk) = inputs.maybe::<f64>("R_C")? {
        let w = guard_band(&prior, u, &limits, risk).map_err(refused)?;
        return Ok(json!({ "A_L": end(limits.lower() + w), "A_U": end(limits.upper() - w) }));
    }
    let risk = consumer_risk(&prior, u, &limits, &accepted(inputs)?).map_err(refused)?;
    Ok(json!({ "R_C": risk, "R_C_percent": 100.0 * risk }))
}

fn producer(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let risk = producer_risk(&prior(inputs)?, inputs.num("u")?, &limits(inputs)?, &accepted(inputs)?)
        .map_err(refused)?;
    Ok(json!({ "R_P": risk, "R_P_percent": 100.0 * risk }))
}

fn needed(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let gap = (inputs.num("y")? - inputs.num("T")?).abs();
    let n = readings_needed(gap, inputs.num("s")?, inputs.num("u_s")?, inputs.num("a")?).map_err(refused)?;
    Ok(json!({ "n": n }))
}

fn smallest(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (n, sigma) = (inputs.read::<u32>("n")?, inputs.num("sigma")?);
    let smallest = order::smallest_of(n as usize).map_err(refused)?;
    Ok(json!({ "mean_of_min": sigma * smallest.mean, "sd_of_min": sigma * smallest.sd }))
}
