//! Uncertainty of readings and of what is computed from them.

mod expression;
mod model;

use super::Answer;
use crate::{InputError, Inputs};
use model::Model;
use quantity::standard::{
    Repeats, anova, coverage_factor, effective_dof, from_certificate, from_resolution, pooled,
};
use quantity::{
    Curvature, Input, Line, Measurement, Shape, Trials, UncertaintyError, Unit, difference, monte_carlo,
    propagate,
};
use serde::Deserialize;
use serde_json::{Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "type-a" => type_a(inputs),
        "rect" => shaped(inputs, Shape::Rectangular),
        "triangular" => shaped(inputs, Shape::Triangular),
        "arcsine" => shaped(inputs, Shape::Arcsine),
        "resolution" => resolution(inputs),
        "cert" => certificate(inputs),
        "propagate" => propagation(inputs),
        "welch" => welch(inputs),
        "expand" => expand(inputs),
        "second-order" => second_order(inputs),
        "mc" => drawn(inputs),
        "pooled" => pool(inputs),
        "difference" => two_readings(inputs),
        "anova" => groups(inputs),
        _ => return None,
    })
}

/// JCGM 101:2008 7.2.2: so many trials can often be expected to give two digits.
const TRIALS: Trials = Trials { count: 1_000_000, seed: 0 };

fn refused(error: UncertaintyError) -> InputError {
    InputError::refused(error)
}

fn type_a(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let readings = if inputs.get("x").is_some() { inputs.nums("x")? } else { inputs.nums("t")? };
    let repeats = Repeats::of(&readings).map_err(refused)?;
    Ok(json!({ "mean": repeats.mean, "s": repeats.s, "u": repeats.u(), "nu": repeats.dof }))
}

fn shaped(inputs: &Inputs<'_>, shape: Shape) -> Result<Value, InputError> {
    Ok(json!({ "u": shape.standard(inputs.num("a")?).map_err(refused)? }))
}

fn resolution(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "u": from_resolution(inputs.num("r")?).map_err(refused)? }))
}

fn certificate(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "u": from_certificate(inputs.num("U")?, inputs.num("k")?).map_err(refused)? }))
}

/// A formula written out with its inputs; terms already multiplied by their sensitivities; a mean with a cyclic swing; or
/// the end gauge of the guide's first example.
fn propagation(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    if inputs.get("f").is_some() {
        let model = Model::written(inputs)?;
        let result = model.first_order()?;
        return Ok(json!({ "y": result.value(), "u": result.u() }));
    }
    if let Some(terms) = inputs.maybe::<Vec<f64>>("terms")? {
        return Ok(json!({ "u": from_lines(terms.iter().map(|u| (Shape::Normal, u.abs())))?.u() }));
    }
    if let Some(half) = inputs.maybe::<f64>("half_cyclic")? {
        let swing = Shape::Arcsine.standard(half).map_err(refused)?;
        let parts = [(Shape::Normal, inputs.num("u_mean")?), (Shape::Arcsine, swing)];
        return Ok(json!({ "u": from_lines(parts.into_iter())?.u() }));
    }
    let result = EndGauge::read(inputs)?.model()?.first_order()?;
    Ok(json!({ "l": result.value(), "u": result.u(), "nu": result.dof() }))
}

fn from_lines(parts: impl Iterator<Item = (Shape, f64)>) -> Result<Measurement, InputError> {
    let start = Measurement::new(0.0, Unit::ONE).map_err(refused)?;
    parts.enumerate().try_fold(start, |sum, (i, (shape, u))| {
        sum.with(Line::own(format!("part {}", i + 1), shape, u)).map_err(refused)
    })
}

fn welch(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let list = ["u", "rel_u"].into_iter().find(|name| inputs.get(name).is_some());
    let Some(list) = list else {
        return Ok(json!({ "nu": EndGauge::read(inputs)?.model()?.first_order()?.dof() }));
    };
    let (u, nu) = (inputs.nums(list)?, inputs.nums("nu")?);
    let parts = paired(&u, &nu)?;
    let combined = u.iter().fold(0.0, |sum: f64, u| sum.hypot(*u));
    Ok(json!({ "nu": effective_dof(&parts).map_err(refused)?, "u_c": combined, "rel_u_c": combined }))
}

fn paired(u: &[f64], nu: &[f64]) -> Result<Vec<(f64, f64)>, InputError> {
    if u.len() != nu.len() {
        return Err(refused(UncertaintyError::Length {
            what: "degrees of freedom",
            found: nu.len(),
            wanted: u.len(),
        }));
    }
    Ok(u.iter().copied().zip(nu.iter().copied()).collect())
}

fn expand(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let k = coverage_factor(inputs.num("p")?, inputs.num("nu")?).map_err(refused)?;
    Ok(json!({ "U": k * inputs.num("u")?, "k": k }))
}

fn second_order(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let model =
        if inputs.get("f").is_some() { Model::written(inputs)? } else { EndGauge::read(inputs)?.model()? };
    let first = model.first_order()?;
    let added = model.curvature().second_order_variance(&model.gradient(), &model.u()).map_err(refused)?;
    Ok(json!({ "u": (first.u().powi(2) + added).max(0.0).sqrt(), "u_first_order": first.u() }))
}

fn drawn(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let p = inputs.num("p")?;
    let sampled = if inputs.get("f").is_some() {
        let model = Model::written(inputs)?;
        let parts: Vec<&Measurement> = model.values().iter().collect();
        monte_carlo(&parts, |x| model.at(x), TRIALS)
    } else {
        let text: String = inputs.read("inputs")?;
        let parts = alike(&text)?;
        monte_carlo(&parts.iter().collect::<Vec<_>>(), |x| x.iter().sum(), TRIALS)
    }
    .map_err(refused)?;
    let (low, high) = sampled.interval(p).map_err(refused)?;
    Ok(json!({
        "mean": sampled.mean(), "u": sampled.u(), "low": low, "high": high,
        "low_prob_sym": low, "high_prob_sym": high,
    }))
}

/// "4 rectangular, mean 0, u 1; y = sum".
fn alike(text: &str) -> Result<Vec<Measurement>, InputError> {
    let unclear =
        || InputError::Refused(format!("`{text}` is not of the form \"4 normal, mean 0, u 1; y = sum\""));
    let words: Vec<&str> = text.split([' ', ',', ';']).filter(|word| !word.is_empty()).collect();
    let [count, shape, "mean", mean, "u", u, "y", "=", "sum"] = words[..] else { return Err(unclear()) };
    let shape: Shape = serde_json::from_value(shape.into()).map_err(|_| unclear())?;
    let number = |text: &str| text.parse::<f64>().map_err(|_| unclear());
    let (count, mean, u) = (count.parse::<u8>().map_err(|_| unclear())?, number(mean)?, number(u)?);
    let one = Measurement::new(mean, Unit::ONE)
        .and_then(|m| m.with(Line::own("error", shape, u)))
        .map_err(refused)?;
    Ok(vec![one; usize::from(count)])
}

fn pool(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (s_p, nu) = pooled(&paired(&inputs.nums("s")?, &inputs.nums("nu")?)?).map_err(refused)?;
    Ok(json!({ "s_p": s_p, "nu": nu }))
}

fn two_readings(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let same: bool = inputs.read("same_instrument")?;
    let shared = |name: &str| inputs.num(if inputs.get(name).is_some() { name } else { "u_b" });
    let reading = |u_e: f64, u_b: f64, instrument: &str| {
        Measurement::new(0.0, Unit::MM)?
            .with(Line::own("repeatability", Shape::Normal, u_e))?
            .with(Line::shared("calibration", Shape::Normal, u_b, instrument))
    };
    let first = reading(inputs.num("u_e1")?, shared("u_b1")?, "one").map_err(refused)?;
    let second =
        reading(inputs.num("u_e2")?, shared("u_b2")?, if same { "one" } else { "two" }).map_err(refused)?;
    Ok(json!({ "u": difference(&second, &first).map_err(refused)?.u() }))
}

fn groups(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let labels: Vec<Value> = inputs.read("group")?;
    let y = inputs.nums("y")?;
    if labels.len() != y.len() {
        return Err(refused(UncertaintyError::Length {
            what: "group labels",
            found: labels.len(),
            wanted: y.len(),
        }));
    }
    let mut named: Vec<(Value, Vec<f64>)> = Vec::new();
    for (label, y) in labels.into_iter().zip(y) {
        match named.iter_mut().find(|(have, _)| *have == label) {
            Some((_, group)) => group.push(y),
            None => named.push((label, vec![y])),
        }
    }
    let groups: Vec<Vec<f64>> = named.into_iter().map(|(_, group)| group).collect();
    let split = anova(&groups).map_err(refused)?;
    Ok(json!({
        "SS_between": split.ss_between, "SS_within": split.ss_within, "F": split.f,
        "residual_sd": split.s_within, "s_between": split.s_between,
    }))
}

/// Length of an end gauge by comparison with a known one: `l = l_s + d − l_s (δα·θ + α·δθ)`. What is not given is zero.
///
/// Source: JCGM 100:2008 H.1.
#[derive(Default, Deserialize)]
#[serde(default)]
struct EndGauge {
    ls: f64,
    u_ls: f64,
    nu_ls: Option<f64>,
    d: f64,
    u_d: Vec<f64>,
    nu_d: Vec<f64>,
    alpha: f64,
    half_alpha: f64,
    half_dalpha: f64,
    nu_dalpha: Option<f64>,
    half_dtheta: f64,
    nu_dtheta: Option<f64>,
    theta: f64,
    u_theta_mean: f64,
    half_theta_cyclic: f64,
}

impl EndGauge {
    fn read(inputs: &Inputs<'_>) -> Result<EndGauge, InputError> {
        if inputs.get("inputs").is_some() {
            return inputs.read("inputs");
        }
        inputs.num("ls")?; // without it this is no end gauge
        const ALONE: [&str; 6] = ["ls", "alpha", "half_alpha", "half_dalpha", "half_dtheta", "theta"];
        let given =
            ALONE.iter().filter_map(|name| Some(((*name).to_owned(), inputs.get(name)?.clone()))).collect();
        serde_json::from_value(Value::Object(given))
            .map_err(|source| InputError::Kind { name: "end gauge".into(), source })
    }

    fn model(&self) -> Result<Model, InputError> {
        let known = |dof: Option<f64>| dof.unwrap_or(f64::INFINITY);
        let at = |value: f64| Measurement::new(value, Unit::ONE);
        let rect = |name: &str, half: f64| {
            Shape::Rectangular.standard(half).map(|u| Line::own(name, Shape::Rectangular, u))
        };
        let value = |name: &str| -> Result<Measurement, UncertaintyError> {
            match name {
                "ls" => at(self.ls)?
                    .with(Line::own("certificate", Shape::Normal, self.u_ls).dof(known(self.nu_ls))),
                "d" => self.u_d.iter().enumerate().try_fold(at(self.d)?, |d, (i, u)| {
                    let dof = known(self.nu_d.get(i).copied());
                    d.with(Line::own(format!("comparison {}", i + 1), Shape::Normal, *u).dof(dof))
                }),
                "alpha" => at(self.alpha)?.with(rect("expansion", self.half_alpha)?),
                "dalpha" => {
                    at(0.0)?.with(rect("expansions differ", self.half_dalpha)?.dof(known(self.nu_dalpha)))
                }
                "dtheta" => {
                    at(0.0)?.with(rect("temperatures differ", self.half_dtheta)?.dof(known(self.nu_dtheta)))
                }
                _ => at(self.theta)?
                    .with(Line::own("mean temperature", Shape::Normal, self.u_theta_mean))?
                    .with(Line::own(
                        "cyclic temperature",
                        Shape::Arcsine,
                        Shape::Arcsine.standard(self.half_theta_cyclic)?,
                    )),
            }
        };
        Model::of("ls + d - ls*(dalpha*theta + alpha*dtheta)", |name| value(name).map_err(refused))
    }
}
