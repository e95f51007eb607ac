//! Lives of parts that are only seen.

use super::Answer;
use crate::{InputError, Inputs};
use prognosis::clock::{Age, Mix};
use prognosis::life::{
    Belief, Law, Life, OwnRecord, Posterior, Record, best_renewal_age, distance, fit, npmle,
    scatter_at_failure, shape_of_spread,
};
use serde_json::{Map, Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "mle" => mle(inputs),
        "weibull" => weibull(inputs),
        "spread" => inputs.num("spread").map(|s| json!({ "beta": shape_of_spread(Law::Weibull, s) })),
        "cond" => conditional(inputs),
        "cond-post" => conditional_posterior(inputs),
        "residual" => residual(inputs),
        "npmle" => without_a_law(inputs),
        "gof" => off_the_law(inputs),
        "grid" => grid(inputs),
        "two-clock" => two_clocks(inputs),
        "two-clock-density" => two_clock_density(inputs),
        "kg-cv" => scatter(inputs),
        "age-replace" => renewal(inputs),
        _ => return None,
    })
}

fn law(inputs: &Inputs<'_>) -> Result<Law, InputError> {
    match inputs.maybe::<String>("dist")?.as_deref() {
        None | Some("weibull") => Ok(Law::Weibull),
        Some("lognormal") => Ok(Law::Lognormal),
        Some(other) => Err(InputError::refused(format!("no law is called {other}"))),
    }
}

fn records(inputs: &Inputs<'_>) -> Result<Vec<Record>, InputError> {
    let (lower, upper, count) = (inputs.nums("lower")?, inputs.nums("upper")?, inputs.nums("count")?);
    let without_entry =
        inputs.maybe::<bool>("ignore_entry")?.unwrap_or(false) || inputs.get("entry").is_none();
    let entry = if without_entry { vec![0.0; lower.len()] } else { inputs.nums("entry")? };
    let ends = lower.into_iter().zip(upper).zip(count).zip(entry);
    Ok(ends.map(|(((l, h), n), e)| Record::between(l, h).since(e).times(n)).collect())
}

/// A Weibull life from its characteristic life and shape.
fn life(inputs: &Inputs<'_>) -> Result<Life, InputError> {
    Life::weibull(inputs.num("eta")?, inputs.num("beta")?).map_err(InputError::refused)
}

fn posterior(inputs: &Inputs<'_>) -> Result<Posterior, InputError> {
    let prior: Map<String, Value> = inputs.read("prior")?;
    let number = |name: &str| {
        prior.get(name).and_then(Value::as_f64).ok_or_else(|| InputError::Missing(format!("prior.{name}")))
    };
    let belief = Belief {
        ln_median: number("median")?.ln(),
        ln_median_sd: number("sure")?,
        ln_shape: number("shape")?.ln(),
        ln_shape_sd: number("shape_sd")?,
    };
    Posterior::from_belief(law(inputs)?, &belief, &records(inputs)?).map_err(InputError::refused)
}

fn mle(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let fitted = fit(law(inputs)?, &records(inputs)?).map_err(InputError::refused)?;
    let (life, [mu_mu, mu_sigma, sigma_sigma]) = (fitted.life(), fitted.covariance());
    Ok(json!({
        "mu": life.location(), "sigma": life.scale(), "loglik": fitted.ln_likelihood(),
        "eta": life.location().exp(), "beta": life.shape(),
        "cov_mu_mu": mu_mu, "cov_mu_sigma": mu_sigma, "cov_sigma_sigma": sigma_sigma,
    }))
}

fn weibull(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let life = life(inputs)?;
    Ok(json!({ "median": life.median(), "t10": life.quantile(0.1), "mean": life.mean() }))
}

fn conditional(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "P": life(inputs)?.fails_within(inputs.num("t")?, inputs.num("d")?) }))
}

fn conditional_posterior(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let alive = posterior(inputs)?.alive_at(inputs.num("t")?, OwnRecord::LeftOut);
    Ok(json!({ "P": alive.fails_within(&[inputs.num("d")?]) }))
}

fn residual(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "E": life(inputs)?.mean_residual(inputs.num("t")?) }))
}

fn without_a_law(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let cells = npmle(&records(inputs)?).map_err(InputError::refused)?;
    let end = |t: f64| if t.is_infinite() { json!("inf") } else { json!(t) };
    let intervals: Vec<[Value; 2]> = cells.iter().map(|cell| [end(cell.from), end(cell.to)]).collect();
    let mass: Vec<f64> = cells.iter().map(|cell| cell.mass).collect();
    Ok(json!({ "intervals": intervals, "mass": mass }))
}

fn off_the_law(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let records = records(inputs)?;
    let life = fit(law(inputs)?, &records).map_err(InputError::refused)?.life();
    let cells = npmle(&records).map_err(InputError::refused)?;
    let since = records.iter().map(|record| record.entry).fold(f64::INFINITY, f64::min);
    Ok(json!({ "distance": distance(&life, &cells, since) }))
}

fn grid(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let posterior = posterior(inputs)?;
    let mut answer = Map::from_iter([
        ("E_ln_median".to_owned(), json!(posterior.ln_median().mean)),
        ("sd_ln_median".to_owned(), json!(posterior.ln_median().sd)),
        ("E_ln_shape".to_owned(), json!(posterior.ln_shape().mean)),
        ("median_q05".to_owned(), json!(posterior.median_quantile(0.05))),
        ("median_q50".to_owned(), json!(posterior.median_quantile(0.5))),
        ("median_q95".to_owned(), json!(posterior.median_quantile(0.95))),
    ]);
    // Survival is asked at times written into the names of what is expected, such as S(80).
    for name in inputs.asked() {
        let time = name.strip_prefix("S(").and_then(|rest| rest.strip_suffix(')'));
        if let Some(t) = time.and_then(|time| time.parse().ok()) {
            answer.insert(name.to_owned(), json!(posterior.survival(t)));
        }
    }
    Ok(Value::Object(answer))
}

/// Shares of distance that are compared, unless the row says otherwise.
fn shares(inputs: &Inputs<'_>) -> Result<Vec<f64>, InputError> {
    Ok(inputs.maybe("shares")?.unwrap_or_else(|| vec![0.0, 0.25, 0.5, 0.75, 1.0]))
}

fn two_clocks(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (lower, upper) = (inputs.nums("lower_years")?, inputs.nums("upper_years")?);
    let (rate, count, reference) =
        (inputs.nums("rate")?, inputs.nums("count")?, inputs.num("km_per_year_ref")?);
    let law = law(inputs)?;
    let mut profile = Map::new();
    let mut best = (f64::NEG_INFINITY, 0.0);
    for share in shares(inputs)? {
        let mix = Mix::new(share, reference).map_err(InputError::refused)?;
        let on = |years: f64, rate: f64| mix.reading(Age { years, km: years * rate });
        let looks = lower.iter().zip(&upper).zip(&rate).zip(&count);
        let records: Vec<Record> = looks
            .map(|(((l, h), rate), n)| {
                let upper = if h.is_finite() { on(*h, *rate) } else { f64::INFINITY };
                Record::between(on(*l, *rate), upper).times(*n)
            })
            .collect();
        let height = fit(law, &records).map_err(InputError::refused)?.ln_likelihood();
        profile.insert(share.to_string(), json!(height));
        if height > best.0 {
            best = (height, share);
        }
    }
    Ok(json!({ "profile_loglik": profile, "best": best.1 }))
}

fn two_clock_density(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let mix = Mix::new(inputs.num("w")?, inputs.num("km_per_year_ref")?).map_err(InputError::refused)?;
    let (years, rate) = (inputs.num("years")?, inputs.num("rate")?);
    Ok(json!({ "z": mix.reading(Age { years, km: years * rate }), "dz_dt": mix.speed(rate) }))
}

fn scatter(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (years, rate) = (inputs.nums("years")?, inputs.nums("rate")?);
    let ages: Vec<Age> = years.iter().zip(&rate).map(|(t, r)| Age { years: *t, km: t * r }).collect();
    let reference = inputs.num("km_per_year_ref")?;
    let mut cv = Map::new();
    let mut best = (f64::INFINITY, 0.0);
    for share in shares(inputs)? {
        let mix = Mix::new(share, reference).map_err(InputError::refused)?;
        let scatter = scatter_at_failure(&ages, &mix).map_err(InputError::refused)?;
        cv.insert(share.to_string(), json!(scatter));
        if scatter < best.0 {
            best = (scatter, share);
        }
    }
    Ok(json!({ "cv": cv, "best": best.1 }))
}

fn renewal(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let best = best_renewal_age(&life(inputs)?, inputs.num("c_p")?, inputs.num("c_f")?)
        .map_err(InputError::refused)?;
    Ok(json!({ "T": best.map(|best| best.age), "rate": best.map(|best| best.cost_rate) }))
}
