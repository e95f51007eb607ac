//! `witnessmark fit wear FILE.csv`: how fast parts wear, and when each reaches its limit.

use super::super::{print_json, rounded};
use super::{figures, refused};
use crate::output::say;
use crate::{
    arguments::FitWear,
    error::{Failed, WrongArgument},
};
use columns::Columns;
use prognosis::wear::{
    Crossing, Direction, Family, Kind, LN_SPREAD_SD, Limits, Path, Reading, When, learn_noise, random_slopes,
};
use quantity::Quantity;
use serde_json::{Value, json};
use workshop::words;

/// First passages are looked for up to so many times the clock seen.
const HORIZON: f64 = 20.0;
/// How well the middle of the rates is known before the units have spoken: within this factor, nine times in ten.
const HARDLY_SURE: f64 = 30.0;
/// The spread of rates between units before they have spoken: nine in ten within this factor.
const USUAL_SPREAD: f64 = 2.0;
/// Share of the way to the limit that paths wander over it, where too few readings show it.
const WANDER_SHARE: f64 = 0.03;

struct Unit {
    name: String,
    readings: Vec<Reading>,
}

pub fn run(of: &FitWear) -> Result<(), Failed> {
    let (limit, direction) = limit(&of.limit)?;
    let columns = Columns::read(&of.file, &["unit", "clock", "value", "u"])?;
    let rows = columns.each(|row| {
        let unit = row.text("unit").to_owned();
        let u = row.need("u")?;
        if u <= 0.0 {
            return Err(format!("`u` is {u}; a reading is never exact, write what it may be off"));
        }
        let clock = row.need("clock")?;
        if clock < 0.0 {
            return Err(format!("`clock` is {clock}; it counts from when the part was new"));
        }
        Ok((unit, Reading::new(clock, row.need("value")?, u)))
    })?;
    let mut units: Vec<Unit> = Vec::new();
    for (name, reading) in rows {
        match units.iter_mut().find(|unit| unit.name == name) {
            Some(unit) => unit.readings.push(reading),
            None => units.push(Unit { name, readings: vec![reading] }),
        }
    }
    let answer = fit(of, &units, limit, direction)?;
    if of.output.json {
        print_json(&answer);
    } else {
        print(&answer);
    }
    Ok(())
}

fn fit(of: &FitWear, units: &[Unit], limit: f64, direction: Direction) -> Result<Value, Failed> {
    let refused = refused(&of.file);
    let readings: Vec<&[Reading]> = units.iter().map(|unit| &unit.readings[..]).collect();
    let stated = of.new.as_ref().map(|new| quantity("new value", new).map(|new| new.value())).transpose()?;
    let mut kind = kind(units, limit, direction, stated).ok_or_else(|| Failed::Refused {
        path: of.file.display().to_string(),
        cause: "nothing wears toward the limit in these readings: look at the limit and at the order of the clock".into(),
    })?;
    let noise = learn_noise(&kind, &readings).map_err(&refused)?;
    kind.wander = noise.wander;
    let family = Family::learn(&kind, &readings).map_err(&refused)?;
    let points: Vec<Vec<(f64, f64)>> =
        units.iter().map(|unit| unit.readings.iter().map(|r| (r.x, r.y)).collect()).collect();
    // The outside check: lines with random start and rate, by restricted maximum likelihood.
    let lines = random_slopes(&points).ok().map(|fit| {
        json!({
            "start": rounded(fit.lines.mean[0]), "slope": rounded(fit.lines.mean[1]),
            "sd_start": rounded(fit.lines.covariance[0].max(0.0).sqrt()),
            "sd_slope": rounded(fit.lines.covariance[2].max(0.0).sqrt()),
            "residual_sd": rounded(fit.residual_variance.sqrt()),
        })
    });
    let limits = match direction {
        Direction::Up => Limits::max(limit),
        Direction::Down => Limits::min(limit),
    };
    let mut told = Vec::new();
    for (at, unit) in units.iter().enumerate() {
        let taught = family.taught_without(at).map_err(&refused)?;
        let path = Path::fit_taught(&taught, &unit.readings).map_err(&refused)?;
        let now = unit.readings.iter().map(|reading| reading.x).fold(0.0, f64::max);
        let horizon =
            HORIZON * units.iter().flat_map(|unit| &unit.readings).map(|r| r.x).fold(1e-9, f64::max);
        let (level, rate) = (path.level(now), path.rate());
        told.push(json!({
            "unit": unit.name,
            "n": unit.readings.len(),
            "slope": { "median": rounded(rate.median), "low": rounded(rate.low), "high": rounded(rate.high) },
            "clock": now,
            "level": { "mean": rounded(level.mean), "sd": rounded(level.sd) },
            "past_now": rounded(path.past(limits, now)),
            "first_passage": passage(&path.crossing(limits, now, horizon)),
        }));
    }
    let middle = family.ln_rate();
    Ok(json!({
        "limit": limit,
        "direction": match direction { Direction::Up => "up", Direction::Down => "down" },
        "population": {
            "new": rounded(kind.new),
            "slope": {
                "median": rounded(middle.mean.exp()),
                "low": rounded((middle.mean - prognosis::Z95 * middle.sd).exp()),
                "high": rounded((middle.mean + prognosis::Z95 * middle.sd).exp()),
            },
            "spread_between_units": rounded((prognosis::Z95 * family.ln_spread().mean.exp()).exp()),
            "wander": rounded(kind.wander),
            "lines": lines,
        },
        "units": told,
    }))
}

/// What is believed of the kind of part beforehand: hardly anything, about where the readings lie.
fn kind(units: &[Unit], limit: f64, direction: Direction, stated: Option<f64>) -> Option<Kind> {
    let lines: Vec<(f64, f64)> = units.iter().filter_map(line).collect();
    let mut starts: Vec<f64> = lines.iter().map(|(start, _)| *start).collect();
    starts.sort_by(f64::total_cmp);
    let seen = units.iter().filter_map(|unit| unit.readings.first()).map(|reading| reading.y);
    let middle_start = starts.get(starts.len() / 2).copied();
    let new = stated.or(middle_start).or_else(|| seen.clone().next())?;
    let way = (limit - new) * direction.sign();
    if way <= 0.0 {
        return None;
    }
    let mut rates: Vec<f64> =
        lines.iter().map(|(_, slope)| slope * direction.sign()).filter(|r| *r > 0.0).collect();
    if rates.is_empty() {
        // One reading a unit: the way since new.
        let since = |r: &Reading| (r.x > 0.0).then(|| (r.y - new) * direction.sign() / r.x);
        rates = units
            .iter()
            .flat_map(|unit| unit.readings.iter().filter_map(since))
            .filter(|r| *r > 0.0)
            .collect();
    }
    rates.sort_by(f64::total_cmp);
    let rate = *rates.get(rates.len() / 2)?;
    let spread = match stated {
        Some(_) => 0.02 * way,
        None => {
            let mean = starts.iter().sum::<f64>() / starts.len().max(1) as f64;
            let square =
                starts.iter().map(|start| (start - mean).powi(2)).sum::<f64>() / starts.len().max(1) as f64;
            square.sqrt().max(0.02 * way)
        }
    };
    Some(Kind {
        new,
        new_sd: spread,
        direction,
        wander: WANDER_SHARE * way / (way / rate).sqrt(),
        ln_rate: rate.ln(),
        ln_rate_sd: HARDLY_SURE.ln() / prognosis::Z95,
        ln_spread: (USUAL_SPREAD.ln() / prognosis::Z95).ln(),
        ln_spread_sd: LN_SPREAD_SD,
    })
}

/// Start and slope of one unit's own line.
fn line(unit: &Unit) -> Option<(f64, f64)> {
    let points: Vec<(f64, f64)> = unit.readings.iter().map(|r| (r.x, r.y)).collect();
    let n = points.len() as f64;
    let (mx, my) = (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    let square: f64 = points.iter().map(|(x, _)| (x - mx).powi(2)).sum();
    let slope = points.iter().map(|(x, y)| (x - mx) * (y - my)).sum::<f64>() / square;
    (square > 0.0 && slope.is_finite()).then_some((my - slope * mx, slope))
}

fn passage(crossing: &Crossing) -> Value {
    let end = |when: When| match when {
        When::Already => json!("already"),
        When::At(x) => json!(rounded(x)),
        When::NotBefore(x) => json!({ "not_before": rounded(x) }),
    };
    json!({ "median": end(crossing.middle), "interval90": [end(crossing.early), end(crossing.late)] })
}

fn limit(text: &str) -> Result<(f64, Direction), WrongArgument> {
    let trimmed = text.trim();
    let ends = [("max", Direction::Up), ("min", Direction::Down)];
    let found = ends.iter().find_map(|(word, direction)| Some((trimmed.strip_prefix(word)?, *direction)));
    let Some((rest, direction)) = found else {
        let cause = "write \"max 2.6 mm\" for what grows, or \"min 23.0 mm\" for what shrinks";
        return Err(WrongArgument::new("limit of wear", text, cause));
    };
    Ok((quantity("limit", rest)?.value(), direction))
}

fn quantity(what: &'static str, text: &str) -> Result<Quantity, WrongArgument> {
    text.parse().map_err(|error: quantity::QuantityError| WrongArgument::new(what, text, error))
}

fn print(answer: &Value) {
    let population = &answer["population"];
    say!(
        "population: new {}, slope {}, nine in ten units within a factor {}",
        said(&population["new"]),
        slope(&population["slope"]),
        said(&population["spread_between_units"])
    );
    for unit in answer["units"].as_array().into_iter().flatten() {
        say!(
            "{}: {}, slope {}, {}",
            unit["unit"].as_str().unwrap_or_default(),
            words::count(unit["n"].as_u64().unwrap_or(0) as usize, "reading", "readings"),
            slope(&unit["slope"]),
            reaches(&unit["first_passage"])
        );
    }
}

fn slope(rate: &Value) -> String {
    format!("{} ({} to {})", said(&rate["median"]), said(&rate["low"]), said(&rate["high"]))
}

/// When the limit is reached, in words. An end may be a clock, passed already, or beyond the horizon.
fn reaches(passage: &Value) -> String {
    let end = |end: &Value| match (end, &end["not_before"]) {
        (Value::String(_), _) => When::Already,
        (_, Value::Number(_)) => When::NotBefore(end["not_before"].as_f64().unwrap_or(0.0)),
        _ => When::At(end.as_f64().unwrap_or(0.0)),
    };
    let ends = &passage["interval90"];
    let within = match (end(&ends[0]), end(&ends[1])) {
        (When::Already, When::Already) => return "past the limit already".into(),
        (When::NotBefore(x), _) => {
            return format!("nineteen times in twenty not at the limit before {}", figures(x));
        }
        (When::Already, When::At(late)) => format!("nineteen times in twenty by {}", figures(late)),
        (When::At(early), When::At(late)) => {
            format!("nine times in ten between {} and {}", figures(early), figures(late))
        }
        (When::At(early), _) => format!("nineteen times in twenty after {}", figures(early)),
        (When::Already, When::NotBefore(_)) => "which is hardly known".into(),
    };
    match end(&passage["median"]) {
        When::Already => format!("probably past the limit already, {within}"),
        When::At(middle) => format!("reaches the limit at {}, {within}", figures(middle)),
        When::NotBefore(x) => format!("reaches the limit after {}, {within}", figures(x)),
    }
}

fn said(number: &Value) -> String {
    number.as_f64().map_or_else(|| "?".into(), figures)
}
