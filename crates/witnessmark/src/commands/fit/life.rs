//! `witnessmark fit life FILE.csv`: how long such parts last.

use super::super::print_json;
use super::{ends, figures, refused};
use crate::output::say;
use crate::{
    arguments::{FitLife, LawName},
    error::{Failed, WrongArgument},
};
use columns::{Columns, Row};
use prognosis::clock::{Age, Mix, REFERENCE_KM_PER_YEAR};
use prognosis::life::{
    Belief, Fit, FitCheck, FitVerdict, LN_SHAPE_SD, Law, Posterior, Prior, Record, SURE, Sighting, TwoClocks,
    better_law, fit, fit_check, has_early_failures,
};
use quantity::{Kind, Quantity, Unit};
use serde_json::{Value, json};

/// Coverage of the intervals that are told.
const COVERAGE: f64 = 0.95;
/// Where no prior is stated, the median is taken to be known within this factor, nine times in ten: hardly at all.
const HARDLY_SURE: f64 = 30.0;
/// And the spread to be that of most parts.
const USUAL_SPREAD: f64 = 2.0;

pub fn run(of: &FitLife) -> Result<(), Failed> {
    let answer = if of.clocks { two_clocks(of)? } else { one_clock(of)? };
    if of.output.json {
        print_json(&answer.json);
    } else {
        answer.says.iter().for_each(|line| say!("{line}"));
    }
    Ok(())
}

struct Answer {
    json: Value,
    says: Vec<String>,
}

fn one_clock(of: &FitLife) -> Result<Answer, Failed> {
    let columns = Columns::read(&of.file, &["lower", "upper", "entry", "count"])?;
    let records = columns.each(record)?;
    let refused = refused(&of.file);
    let law = match of.model {
        Some(LawName::Weibull) => Law::Weibull,
        Some(LawName::Lognormal) => Law::Lognormal,
        None => better_law(&records).unwrap_or(Law::Weibull),
    };
    let prior = prior(of, Along::Same)?;
    let fitted = fit(law, &records);
    // Without a best fit a stated prior still has something to say.
    let fitted = match (fitted, &prior) {
        (Ok(fitted), _) => Some(fitted),
        (Err(_), Some(_)) => None,
        (Err(error), None) => return Err(refused(error)),
    };
    let belief = match (&prior, &fitted) {
        (Some(prior), _) => prior.belief(law).map_err(&refused)?,
        (None, fitted) => weak(law, fitted.as_ref().map_or(1.0, |fitted| fitted.life().median())),
    };
    let posterior = Posterior::from_belief(law, &belief, &records).map_err(&refused)?;
    let check = match &fitted {
        Some(_) => Some(fit_check(law, &records).map_err(&refused)?),
        None => None,
    };
    Ok(answer(law, &records, fitted.as_ref(), check, prior.as_ref(), &posterior))
}

fn record(row: &Row<'_>) -> Result<Record, String> {
    let (lower, upper) = (row.number("lower")?, row.number("upper")?);
    let record = match (lower, upper) {
        (None, None) => {
            return Err("neither `lower` nor `upper` is there: a part was seen good, or bad, or both".into());
        }
        (Some(lower), None) => Record::good_at(lower),
        (None, Some(upper)) => Record::bad_by(upper),
        (Some(lower), Some(upper)) if lower > upper => {
            return Err(format!("`lower` {lower} is above `upper` {upper}"));
        }
        (Some(lower), Some(upper)) => Record::between(lower, upper),
    };
    let entry = row.number("entry")?.unwrap_or(0.0);
    let count = row.number("count")?.unwrap_or(1.0);
    Ok(record.since(entry).times(count))
}

/// A belief that hardly says anything, about where the records lie.
fn weak(law: Law, about: f64) -> Belief {
    Belief {
        ln_median: about.ln(),
        ln_median_sd: HARDLY_SURE.ln() / prognosis::Z95,
        ln_shape: prognosis::life::shape_of_spread(law, USUAL_SPREAD).ln(),
        ln_shape_sd: 2.0 * LN_SHAPE_SD,
    }
}

/// Which clock a stated median is turned to.
enum Along {
    /// That of the file, whatever its unit.
    Same,
    /// Reference years.
    Mixed,
}

fn prior(of: &FitLife, along: Along) -> Result<Option<Prior>, Failed> {
    let (Some(text), Some(spread)) = (&of.prior_median, of.prior_spread) else { return Ok(None) };
    let wrong = |cause: String| WrongArgument::new("median of a life", text, cause);
    let stated: Quantity = match text.trim().parse::<f64>() {
        Ok(plain) => Quantity::new(plain, Unit::ONE).map_err(|error| wrong(error.to_string()))?,
        Err(_) => text.parse().map_err(|error: quantity::QuantityError| wrong(error.to_string()))?,
    };
    let median = match (along, stated.kind()) {
        (Along::Same, _) => stated.value(),
        (Along::Mixed, Kind::Length) => {
            stated.value_in(Unit::KM).map_err(|error| wrong(error.to_string()))? / of.km_per_year
        }
        (Along::Mixed, Kind::Time) => {
            stated.value_in(Unit::YEAR).map_err(|error| wrong(error.to_string()))?
        }
        (Along::Mixed, _) => return Err(wrong("write it in km or in years".into()).into()),
    };
    Ok(Some(Prior { median, spread, sure: SURE }))
}

fn answer(
    law: Law,
    records: &[Record],
    fitted: Option<&Fit>,
    check: Option<FitCheck>,
    prior: Option<&Prior>,
    posterior: &Posterior,
) -> Answer {
    let n: f64 = records.iter().map(|record| record.count).sum();
    let best = fitted.map(|fitted| {
        let life = fitted.life();
        let scale_at = scale_share(law);
        let [shape, scale, b10, median] = [
            shape_ends(law, fitted),
            fitted.quantile_interval(scale_at, COVERAGE),
            fitted.quantile_interval(0.1, COVERAGE),
            fitted.quantile_interval(0.5, COVERAGE),
        ];
        json!({
            "shape": shape_of(law, &life), "scale": life.location().exp(), "location": life.location(), "sigma": life.scale(),
            "log_likelihood": fitted.ln_likelihood(),
            "median": life.median(), "b10": life.quantile(0.1), "mean": life.mean(),
            "interval95": {
                "shape": ends(shape.low, shape.high), "scale": ends(scale.low, scale.high),
                "b10": ends(b10.low, b10.high), "median": ends(median.low, median.high),
            },
        })
    });
    let mut says = Vec::new();
    if let Some(fitted) = fitted {
        let life = fitted.life();
        let interval = fitted.quantile_interval(0.5, COVERAGE);
        says.push(format!(
            "{} life: shape {}, scale {}, log likelihood {:.2}",
            law_name(law),
            figures(shape_of(law, &life)),
            figures(life.location().exp()),
            fitted.ln_likelihood()
        ));
        says.push(format!(
            "half are gone by {}, nineteen times in twenty between {} and {}; one in ten by {}",
            figures(life.median()),
            figures(interval.low),
            figures(interval.high),
            figures(life.quantile(0.1))
        ));
        if has_early_failures(&life) {
            says.push(
                "failures gather early: two things go wrong here, and one law says little of both".into(),
            );
        }
    }
    if let Some(check) = check {
        says.push(match check.verdict {
            FitVerdict::Fits => "the law fits the records".into(),
            FitVerdict::DoesNotFit => format!(
                "the law does not fit: the records lie {:.3} off it, {:.3} would be seldom",
                check.distance, check.threshold
            ),
            FitVerdict::TooFewToSay => "too few failures to say whether the law fits".into(),
        });
    }
    let with = if prior.is_some() { "with the prior" } else { "with hardly any prior" };
    says.push(format!(
        "{with}: half are gone by {}, nine times in ten between {} and {}",
        figures(posterior.median_quantile(0.5)),
        figures(posterior.median_quantile(0.05)),
        figures(posterior.median_quantile(0.95))
    ));
    let mut json = json!({
        "model": law_id(law),
        "shape": null, "scale": null, "log_likelihood": null, "median": null, "b10": null, "mean": null,
        "interval95": null,
        "n": n,
        "failures": posterior.failures(),
        "fit_check": check.map(|check| json!({
            "distance": check.distance,
            "threshold": check.threshold,
            "verdict": match check.verdict {
                FitVerdict::Fits => "fits",
                FitVerdict::DoesNotFit => "does-not-fit",
                FitVerdict::TooFewToSay => "too-few-to-say",
            },
            "early_failures": fitted.is_some_and(|fitted| has_early_failures(&fitted.life())),
        })),
        "posterior": {
            "prior": prior.map(|prior| json!({ "median": prior.median, "spread": prior.spread, "sure": prior.sure })),
            "median": posterior.median_quantile(0.5),
            "interval90": ends(posterior.median_quantile(0.05), posterior.median_quantile(0.95)),
            "shape": posterior.central().shape(),
            "ln_evidence": posterior.ln_evidence(),
        },
    });
    if let (Some(Value::Object(best)), Some(object)) = (best, json.as_object_mut()) {
        object.extend(best);
    }
    Answer { json, says }
}

/// `β` of a Weibull life, `σ` of a lognormal one.
fn shape_of(law: Law, life: &prognosis::life::Life) -> f64 {
    match law {
        Law::Weibull => life.shape(),
        Law::Lognormal => life.scale(),
    }
}

fn shape_ends(law: Law, fitted: &Fit) -> prognosis::life::Interval {
    let shape = fitted.shape_interval(COVERAGE);
    match law {
        Law::Weibull => shape,
        Law::Lognormal => prognosis::life::Interval { low: 1.0 / shape.high, high: 1.0 / shape.low },
    }
}

/// The share that is gone by the scale: `η` of a Weibull life, `e^μ` of a lognormal one.
fn scale_share(law: Law) -> f64 {
    match law {
        Law::Weibull => -(-1.0f64).exp_m1(),
        Law::Lognormal => 0.5,
    }
}

fn law_id(law: Law) -> &'static str {
    match law {
        Law::Weibull => "weibull",
        Law::Lognormal => "lognormal",
    }
}

fn law_name(law: Law) -> &'static str {
    match law {
        Law::Weibull => "Weibull",
        Law::Lognormal => "lognormal",
    }
}

fn two_clocks(of: &FitLife) -> Result<Answer, Failed> {
    const KNOWN: [&str; 7] =
        ["lower_km", "upper_km", "lower_years", "upper_years", "entry_km", "entry_years", "count"];
    let columns = Columns::read(&of.file, &KNOWN)?;
    let seen = columns.each(sighting)?;
    let refused = refused(&of.file);
    let law = match of.model {
        Some(LawName::Lognormal) => Law::Lognormal,
        Some(LawName::Weibull) | None => Law::Weibull,
    };
    let sheet = Mix::new(of.km_share, of.km_per_year).map_err(&refused)?;
    let prior = prior(of, Along::Mixed)?;
    let belief = match &prior {
        Some(prior) => prior.belief(law).map_err(&refused)?,
        None => weak(law, middle(&seen, &sheet)),
    };
    let clocks = TwoClocks::learn(law, &belief, sheet, &seen).map_err(&refused)?;
    let told = clocks.told();
    // The chosen clock is then fitted like any other.
    let records: Vec<Record> = seen.iter().map(|sighting| on(sighting, &told)).collect();
    let fitted = fit(law, &records).ok();
    let check = fitted.as_ref().and_then(|_| fit_check(law, &records).ok());
    let posterior = Posterior::from_belief(law, &belief, &records).map_err(&refused)?;
    let mut answer = answer(law, &records, fitted.as_ref(), check, prior.as_ref(), &posterior);
    let mut weights: Vec<(f64, f64)> = clocks.mixes().map(|(mix, weight)| (mix.km_share, weight)).collect();
    weights.sort_by(|a, b| a.0.total_cmp(&b.0));
    answer.json["clocks"] = json!({
        "km_share": told.km_share,
        "stated": sheet.km_share,
        "km_per_year": told.km_per_year,
        "curve": weights.iter().map(|(share, weight)| json!({ "km_share": share, "probability": weight })).collect::<Vec<_>>(),
    });
    answer.says.insert(0, format!(
        "distance has a share of {:.1} in the ageing, {} km counting as a year; ages below are in such years",
        told.km_share, told.km_per_year
    ));
    Ok(answer)
}

fn sighting(row: &Row<'_>) -> Result<Sighting, String> {
    let age = |km: &str, years: &str| -> Result<Option<Age>, String> {
        match (row.number(km)?, row.number(years)?) {
            (Some(km), Some(years)) => Ok(Some(Age { km, years })),
            (None, None) => Ok(None),
            _ => Err(format!("`{km}` and `{years}` must both be there, or neither")),
        }
    };
    let lower = age("lower_km", "lower_years")?;
    let upper = age("upper_km", "upper_years")?;
    if lower.is_none() && upper.is_none() {
        return Err("neither a lower nor an upper age is there".into());
    }
    let nothing = Age { km: 0.0, years: 0.0 };
    Ok(Sighting {
        lower: lower.unwrap_or(nothing),
        upper,
        entry: age("entry_km", "entry_years")?.unwrap_or(nothing),
        count: row.number("count")?.unwrap_or(1.0),
    })
}

fn on(sighting: &Sighting, mix: &Mix) -> Record {
    let lower = mix.reading(sighting.lower);
    let record = match sighting.upper {
        None => Record::good_at(lower),
        Some(upper) => Record::between(lower, mix.reading(upper)),
    };
    record.since(mix.reading(sighting.entry)).times(sighting.count)
}

/// About where the records lie on a clock.
fn middle(seen: &[Sighting], mix: &Mix) -> f64 {
    let mut at: Vec<f64> =
        seen.iter().map(|sighting| mix.reading(sighting.upper.unwrap_or(sighting.lower))).collect();
    at.sort_by(f64::total_cmp);
    at.get(at.len() / 2).copied().filter(|middle| *middle > 0.0).unwrap_or(1.0)
}

/// The distance that counts as a year, unless it is said.
pub const KM_PER_YEAR: f64 = REFERENCE_KM_PER_YEAR;
