//! Wear that is measured.

use super::Answer;
use crate::{InputError, Inputs};
use prognosis::life;
use prognosis::wear::{
    Direction, Family, Kind, Limits, Line, Path, Prior, Reading, When, inverse_gaussian, isotonic,
    least_squares, least_squares_through_origin, path_ln_likelihood, pooled, random_slopes, unwear,
    wiener_fit,
};
use serde_json::{Map, Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "ols" => regression(inputs),
        "ols-origin" => regression_through_origin(inputs),
        "reml" => restricted(inputs),
        "posterior" => posterior(inputs),
        "cross" => reached(inputs),
        "cross-q" => reached_at(inputs),
        "log-slope" => path(inputs, 0.0),
        "wander" => inputs.num("sB2").and_then(|variance| path(inputs, variance.sqrt())),
        "path-loglik" => path_likelihood(inputs),
        "hyper" => family(inputs),
        "slope-prior" => slope_prior(inputs),
        "ig" => first_passage(inputs),
        "wiener-fit" => wandering(inputs),
        "unwear" => back_to_new(inputs),
        "pava" => one_way(inputs),
        "t-mode" => robust(inputs),
        "pseudo-cars" => pool(inputs),
        _ => return None,
    })
}

/// A crossing that is later than this, in the clock of the row, is told as infinite.
const HORIZON: f64 = 1e6;

fn direction(inputs: &Inputs<'_>) -> Result<Direction, InputError> {
    Ok(if inputs.num("d")? > 0.0 { Direction::Up } else { Direction::Down })
}

fn points(inputs: &Inputs<'_>) -> Result<Vec<(f64, f64)>, InputError> {
    Ok(inputs.nums("x")?.into_iter().zip(inputs.nums("y")?).collect())
}

/// The number of a unit with its points.
type Unit = (f64, Vec<(f64, f64)>);

/// The points of each unit apart, in order of their numbers.
fn units(inputs: &Inputs<'_>) -> Result<Vec<Unit>, InputError> {
    let mut units: Vec<Unit> = Vec::new();
    for (unit, point) in inputs.data_nums("unit")?.into_iter().zip(points(inputs)?) {
        match units.iter_mut().find(|(known, _)| *known == unit) {
            Some((_, points)) => points.push(point),
            None => units.push((unit, vec![point])),
        }
    }
    units.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(units)
}

fn readings(inputs: &Inputs<'_>) -> Result<Vec<Reading>, InputError> {
    let variances = inputs.nums("R")?;
    let points = points(inputs)?;
    Ok(points.into_iter().zip(variances).map(|((x, y), v)| Reading::new(x, y, v.sqrt())).collect())
}

/// A line from the names of its mean and covariance.
fn line(inputs: &Inputs<'_>, mean: &str, covariance: &str) -> Result<Line, InputError> {
    let mean: [f64; 2] = inputs.read(mean)?;
    let [[aa, ab], [_, bb]]: [[f64; 2]; 2] = inputs.read(covariance)?;
    Ok(Line { mean, covariance: [aa, ab, bb] })
}

fn matrix([aa, ab, bb]: [f64; 3]) -> Value {
    json!([[aa, ab], [ab, bb]])
}

fn number(x: f64) -> Value {
    if x == f64::INFINITY { json!("inf") } else { json!(x) }
}

fn regression(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let fit = least_squares(&points(inputs)?).map_err(InputError::refused)?;
    Ok(json!({
        "b0": fit.intercept, "b1": fit.slope, "sd_b0": fit.intercept_sd, "sd_b1": fit.slope_sd,
        "residual_sd": fit.residual_sd, "r2": fit.r2,
    }))
}

fn regression_through_origin(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let fit = least_squares_through_origin(&points(inputs)?).map_err(InputError::refused)?;
    Ok(json!({ "b1": fit.slope, "sd_b1": fit.slope_sd, "residual_sd": fit.residual_sd, "r2": fit.r2 }))
}

fn restricted(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let units: Vec<Vec<(f64, f64)>> = units(inputs)?.into_iter().map(|unit| unit.1).collect();
    let fit = random_slopes(&units).map_err(InputError::refused)?;
    let [aa, _, bb] = fit.lines.covariance;
    Ok(json!({
        "m": fit.lines.mean, "sd_a": aa.sqrt(), "sd_b": bb.sqrt(), "corr": fit.correlation(),
        "residual_sd": fit.residual_variance.sqrt(), "reml_criterion": fit.criterion,
    }))
}

fn posterior(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let after = line(inputs, "m", "S")?.after(&readings(inputs)?).map_err(InputError::refused)?;
    Ok(json!({ "mean": after.mean, "V": matrix(after.covariance) }))
}

/// A line given either as a population or as a posterior.
fn any_line(inputs: &Inputs<'_>) -> Result<Line, InputError> {
    if inputs.get("mean").is_some() { line(inputs, "mean", "V") } else { line(inputs, "m", "S") }
}

fn reached(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let line = any_line(inputs)?;
    Ok(json!({ "P": line.reached(inputs.num("D")?, direction(inputs)?, inputs.num("x")?) }))
}

fn reached_at(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (line, limit, direction) = (any_line(inputs)?, inputs.num("D")?, direction(inputs)?);
    let at = inputs.nums("p")?.into_iter().map(|p| number(line.reached_at(limit, direction, p)));
    Ok(json!({ "x": at.collect::<Vec<Value>>() }))
}

fn path(inputs: &Inputs<'_>, wander: f64) -> Result<Value, InputError> {
    let direction = direction(inputs)?;
    let prior = Prior {
        new: inputs.num("ma")?,
        new_sd: inputs.num("sa")?,
        direction,
        ln_rate: inputs.num("ml")?,
        ln_rate_sd: inputs.num("sl")?,
        wander,
    };
    let readings = readings(inputs)?;
    let path = Path::fit(&prior, &readings).map_err(InputError::refused)?;
    let limit = inputs.num("D")?;
    let limits = if direction == Direction::Up { Limits::max(limit) } else { Limits::min(limit) };
    let now = readings.iter().map(|r| r.x).fold(0.0, f64::max);
    let quantiles = inputs.nums("p")?.into_iter().map(|p| match path.crossing_at(limits, p, now, HORIZON) {
        When::Already => json!(now),
        When::At(x) => json!(x),
        When::NotBefore(_) => json!("inf"),
    });
    Ok(json!({
        "P": path.past(limits, inputs.num("at")?),
        "quantiles": quantiles.collect::<Vec<Value>>(),
        "rate_mean": path.rate().mean,
    }))
}

fn path_likelihood(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let without_start = inputs.maybe::<String>("drop")?.is_some_and(|drop| drop == "x = 0");
    let units: Vec<Vec<(f64, f64)>> = units(inputs)?
        .into_iter()
        .map(|unit| unit.1.into_iter().filter(|point| !without_start || point.0 > 0.0).collect())
        .collect();
    let lines = line(inputs, "m", "S")?;
    let sum = path_ln_likelihood(&units, &lines, inputs.num("s2")?, inputs.num("sB2")?.sqrt());
    Ok(json!({ "loglik": sum.map_err(InputError::refused)? }))
}

fn family(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    // Readings of each unit that count; a row may say otherwise.
    let count = inputs.maybe::<usize>("readings")?.unwrap_or(4);
    let kind = Kind {
        new: inputs.num("ma")?,
        new_sd: inputs.num("sa")?,
        direction: Direction::Up,
        wander: inputs.num("sB2")?.sqrt(),
        ln_rate: inputs.num("ml0")?,
        ln_rate_sd: inputs.num("sure")?,
        ln_spread: inputs.num("sl0")?.ln(),
        ln_spread_sd: inputs.num("s_lnsl")?,
    };
    let cars: Vec<Vec<Reading>> = if inputs.get("unit").is_none() {
        Vec::new()
    } else {
        let own_u = inputs.num("R")?.sqrt();
        let used = |points: Vec<(f64, f64)>| points.into_iter().filter(|point| point.0 > 0.0).take(count);
        let car = |points| used(points).map(|(x, y)| Reading::new(x, y, own_u)).collect();
        units(inputs)?.into_iter().map(|unit| car(unit.1)).collect()
    };
    let family = Family::learn(&kind, &cars).map_err(InputError::refused)?;
    let (rate, spread) = (family.ln_rate(), family.ln_spread());
    Ok(json!({ "E_ml": rate.mean, "E_ln_sl": spread.mean, "sd_ml": rate.sd }))
}

fn slope_prior(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let life = life::Prior::new(inputs.num("median_life")?, inputs.num("spread")?);
    let kind =
        Kind::from_life(inputs.num("new")?, 0.0, inputs.num("D")?, &life).map_err(InputError::refused)?;
    Ok(json!({ "ml": kind.ln_rate, "sl": kind.ln_spread.exp() }))
}

fn first_passage(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "P": inverse_gaussian(inputs.num("M")?, inputs.num("L")?, inputs.num("t")?) }))
}

fn wandering(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let unit = inputs.num("unit")?;
    let points = units(inputs)?.into_iter().find(|(known, _)| *known == unit).map(|(_, points)| points);
    let points = points.ok_or_else(|| InputError::Missing(format!("unit {unit}")))?;
    let (rate, variance) = wiener_fit(&points).map_err(InputError::refused)?;
    Ok(json!({ "b": rate, "sB2": variance }))
}

fn back_to_new(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    // The row states the uncertainty of the difference; either reading has its share of it.
    let own_u = inputs.num("u")? / std::f64::consts::SQRT_2;
    let (earlier, later) =
        (Reading::new(0.0, inputs.num("y1")?, own_u), Reading::new(1.0, inputs.num("y2")?, own_u));
    let found = unwear(direction(inputs)?, &earlier, &later).map_err(InputError::refused)?;
    Ok(json!({ "z": found.z, "flag": found.is_doubtful() }))
}

fn one_way(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let weights = if inputs.get("w").is_some() { inputs.nums("w")? } else { Vec::new() };
    Ok(json!({ "fit": isotonic(&inputs.nums("y")?, &weights, inputs.read("increasing")?) }))
}

fn robust(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (mode, weights) = line(inputs, "m", "S")?.robust(&readings(inputs)?).map_err(InputError::refused)?;
    Ok(Value::Object(Map::from_iter([("mode".into(), json!(mode.mean)), ("weights".into(), json!(weights))])))
}

fn pool(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "m": pooled(inputs.num("k")?, inputs.num("m0")?, inputs.num("n")?, inputs.num("mhat")?) }))
}
