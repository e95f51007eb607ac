//! Odometer readings, forecasts, and readings that cannot be right.

use super::Answer;
use crate::{InputError, Inputs};
use jiff::civil::Date;
use prognosis::usage::{
    Counter, DAYS_PER_YEAR, Explanation, ExplanationPriors, Forecast, KM_PER_MILE, Prior, Season, Stretch,
    Usage, explain, theil_sen,
};
use serde_json::{Map, Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "daily" => daily(inputs),
        "convert" => convert(inputs),
        "theil-sen" => line(inputs),
        "rate" => rate(inputs),
        "forecast" => forecast(inputs),
        "active" => active(inputs),
        "explain" => explanations(inputs),
        "swap-digits" => swapped(inputs),
        "date-of-km" => arrival(inputs),
        _ => return None,
    })
}

fn date(inputs: &Inputs<'_>, name: &str) -> Result<Date, InputError> {
    inputs.read::<String>(name)?.parse().map_err(InputError::refused)
}

fn dates(inputs: &Inputs<'_>) -> Result<Vec<Date>, InputError> {
    let texts: Vec<String> = inputs.read("date")?;
    texts.iter().map(|text| text.parse().map_err(InputError::refused)).collect()
}

fn season(inputs: &Inputs<'_>) -> Result<Season, InputError> {
    match inputs.maybe::<Vec<u8>>("months")? {
        Some(months) => Season::of(&months).map_err(InputError::refused),
        None => Ok(Season::all_year()),
    }
}

fn daily(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let days = Season::all_year().active_days(date(inputs, "d1")?, date(inputs, "d2")?);
    let distance = inputs.num("K2")? - inputs.num("K1")?;
    Ok(json!({ "days": days, "distance": distance, "per_day": distance / f64::from(days) }))
}

fn convert(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    match inputs.maybe::<f64>("miles")? {
        Some(miles) => Ok(json!({ "km": miles * KM_PER_MILE })),
        None => Ok(json!({ "miles": inputs.num("km")? / KM_PER_MILE })),
    }
}

fn line(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    if inputs.get("date").is_none() {
        let points: Vec<(f64, f64)> = inputs.nums("x")?.into_iter().zip(inputs.nums("y")?).collect();
        let line = theil_sen(&points).map_err(InputError::refused)?;
        return Ok(json!({ "slope": line.slope, "intercept": line.intercept }));
    }
    let dates = dates(inputs)?;
    let mut km = inputs.nums("km")?;
    if let Some(replace) = inputs.maybe::<Map<String, Value>>("replace")? {
        let index = replace.get("index").and_then(Value::as_u64).map(|index| index as usize);
        let value = replace.get("km").and_then(Value::as_f64);
        match (index.and_then(|index| km.get_mut(index)), value) {
            (Some(place), Some(value)) => *place = value,
            _ => return Err(InputError::refused("replace names no reading")),
        }
    }
    let first = *dates.first().ok_or_else(|| InputError::Missing("date".into()))?;
    let years = dates.iter().map(|date| Season::all_year().active_years(first, *date));
    let points: Vec<(f64, f64)> = years.zip(km).collect();
    let line = theil_sen(&points).map_err(InputError::refused)?;
    Ok(json!({ "km_per_year": line.slope, "intercept": line.intercept }))
}

/// What the car's dated readings teach, with the last of them.
fn learnt(inputs: &Inputs<'_>) -> Result<(Usage, Date, f64), InputError> {
    let (dates, km, season, today) =
        (dates(inputs)?, inputs.nums("km")?, season(inputs)?, date(inputs, "today")?);
    let (Some(last), Some(last_km)) = (dates.last(), km.last()) else {
        return Err(InputError::Missing("date".into()));
    };
    let prior = {
        let (m0, c0, cw) = (inputs.num("m0")?, inputs.num("c0")?, inputs.num("cw")?);
        Prior { lump: cw * cw * m0, ..Prior::new(m0, c0) }
    };
    let ends = dates.windows(2).zip(km.windows(2));
    let stretches: Vec<Stretch> = ends
        .map(|(date, km)| Stretch {
            km: km[1] - km[0],
            years: season.active_years(date[0], date[1]),
            age_years: Season::all_year().active_years(date[1], today),
        })
        .collect();
    let usage =
        Usage::learn_with(&prior, &stretches, inputs.num("half_life")?).map_err(InputError::refused)?;
    Ok((usage, *last, *last_km))
}

fn rate(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (usage, _, _) = learnt(inputs)?;
    Ok(json!({ "a": usage.a, "b": usage.b, "mean": usage.mean(), "sd": usage.sd() }))
}

fn forecast(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (usage, last, last_km) = learnt(inputs)?;
    let forecast = Forecast::from_usage(usage, last_km).map_err(InputError::refused)?;
    let days = season(inputs)?.active_days(last, date(inputs, "to")?);
    let years = f64::from(days) / DAYS_PER_YEAR;
    let km: Vec<f64> = inputs.nums("p")?.into_iter().map(|p| forecast.quantile(years, p)).collect();
    Ok(json!({ "active_days": days, "mean": forecast.mean(years), "km": km }))
}

fn active(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "days": season(inputs)?.active_days(date(inputs, "d1")?, date(inputs, "d2")?) }))
}

fn explanations(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let names = [
        "as written",
        "entered in miles",
        "earlier one was miles",
        "counter rolled over",
        "two digits swapped",
        "instrument replaced",
    ];
    let prior: Map<String, Value> = inputs.read("prior")?;
    let weight = |k: usize| prior.get(names[k]).and_then(Value::as_f64).unwrap_or(0.0);
    let priors = ExplanationPriors {
        as_written: weight(0),
        other_unit: weight(1),
        earlier_in_other_unit: weight(2),
        rolled_over: weight(3),
        digits_swapped: weight(4),
        digit_added: 0.0,
        instrument_replaced: weight(5),
    };
    let years = Season::all_year().active_years(date(inputs, "d1")?, date(inputs, "d2")?);
    let (mean, sd, lump) = (inputs.num("mean")?, inputs.num("sd")?, inputs.num("kappa")?);
    // The gamma distribution with this mean and standard deviation.
    let usage = Usage { a: (mean / sd).powi(2), b: mean / (sd * sd), lump };
    let counter = Counter { rolls_over_at: &[inputs.num("counter")?], ..Counter::default() };
    let found = explain(inputs.num("K1")?, inputs.num("K2")?, &usage.over(years), &counter, &priors)
        .map_err(InputError::refused)?;
    let name = |explanation: Explanation| {
        names[match explanation {
            Explanation::AsWritten => 0,
            Explanation::OtherUnit => 1,
            Explanation::EarlierInOtherUnit => 2,
            Explanation::RolledOver { .. } => 3,
            Explanation::DigitsSwapped { .. } => 4,
            // Its prior is zero, so it is not among what was found.
            Explanation::DigitAdded { .. } | Explanation::InstrumentReplaced => 5,
        }]
    };
    let posterior: Map<String, Value> =
        found.iter().map(|e| (name(e.explanation).to_owned(), json!(e.probability))).collect();
    let best = found.first().map(|e| name(e.explanation));
    Ok(json!({ "posterior": posterior, "best": best }))
}

fn swapped(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let difference = (inputs.num("a")? - inputs.num("b")?).abs();
    Ok(json!({ "difference": difference, "divisible_by_9": difference % 9.0 == 0.0 }))
}

fn arrival(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (usage, last, last_km) = learnt(inputs)?;
    let forecast = Forecast::from_usage(usage, last_km).map_err(InputError::refused)?;
    let (target, season) = (inputs.num("target")?, season(inputs)?);
    let days = inputs.nums("p")?.into_iter().map(|p| forecast.day_at(target, p, last, &season));
    let days: Vec<Option<String>> = days.map(|day| day.map(|day| day.to_string())).collect();
    Ok(json!({ "date": days }))
}
