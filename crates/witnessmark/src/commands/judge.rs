//! `witnessmark judge`: one reading against one limit.

use super::{print_json, rounded};
use crate::output::say;
use crate::{arguments::Judge, error::Failed};
use quantity::{
    AcceptedRisk, Belief, Calibration, Conformity, Instrument, Keep, Limit, Measurement, PlusMinus, Quantity,
    Unit,
    remeasure::{spread_of_one, what_would_settle},
};
use serde_json::{Value, json};
use sheet::{Criticality, Verdict};
use workshop::{
    verdict::{by_the_table, is_open},
    words,
};

pub fn run(of: &Judge) -> Result<(), Failed> {
    let limit = limit(&of.limit)?;
    let readings: Vec<Quantity> =
        of.readings.iter().map(|text| quantity("reading", text)).collect::<Result<_, _>>()?;
    let measured = measured(of, &readings)?;
    let wrong = |error: &dyn std::fmt::Display| Failed::Argument {
        what: "reading against this limit",
        text: of.readings.join(", "),
        cause: error.to_string(),
    };
    let bounds = limit.bounds_in(measured.unit()).map_err(|error| wrong(&error))?;
    let belief = Belief::of(&measured).map_err(|error| wrong(&error))?;
    let belief = match &of.prior {
        Some(text) => with_prior(belief, text, measured.unit())?,
        None => belief,
    };
    let conformity = Conformity::of(&belief, &bounds);
    let criticality = Criticality::from(of.criticality);
    let accepted =
        if criticality == Criticality::Safety { AcceptedRisk::SAFETY } else { AcceptedRisk::USUAL };
    let decision = conformity.decide(accepted);
    let beyond = conformity.beyond();
    let by_table = by_the_table(criticality, beyond, beyond);
    let more = is_open(criticality, decision, beyond, None)
        .then(|| more_readings(&measured, readings.len(), &bounds, accepted))
        .flatten();
    let verdict = if more.is_some() { Verdict::TooClose } else { by_table };
    if of.output.json {
        print_json(&json!({
            "value": rounded(measured.value()),
            "unit": measured.unit(),
            "u": rounded(measured.u()),
            "p_beyond": rounded(beyond),
            "conformity": decision,
            "verdict": verdict,
            "more_readings": more,
            "budget": of.budget.then(|| budget(&measured)),
        }));
        return Ok(());
    }
    say!("{measured}, limit {limit}");
    say!("past the limit with a chance of {}", words::chance(beyond));
    say!("{}", verdict.title());
    if let Some(more) = more {
        say!("{} would decide it", words::count(more as usize, "more reading", "more readings"));
    }
    if of.budget {
        say!("\n{}", measured.budget());
    }
    Ok(())
}

/// What was known beforehand, weighed in.
fn with_prior(belief: Belief, text: &str, unit: Unit) -> Result<Belief, Failed> {
    let wrong = |cause: String| Failed::Argument { what: "prior", text: text.to_owned(), cause };
    let prior: PlusMinus = text.parse().map_err(|error: quantity::QuantityError| wrong(error.to_string()))?;
    let measured = prior.measurement().map_err(|error| wrong(error.to_string()))?;
    let measured = measured.in_unit(unit).map_err(|error| wrong(error.to_string()))?;
    belief.with_prior(measured.value(), measured.u()).map_err(|error| wrong(error.to_string()))
}

/// The budget, row by row.
fn budget(measured: &Measurement) -> Vec<Value> {
    let rows = measured.budget().rows;
    rows.iter()
        .map(|row| {
            json!({
                "source": row.source, "distribution": row.shape.name(), "u": rounded(row.u),
                "sensitivity": rounded(row.sensitivity), "contribution": rounded(row.contribution),
                "share": rounded(row.share), "dof": row.dof,
            })
        })
        .collect()
}

/// More repeats than this nobody takes.
const MOST_REPEATS: u32 = 10;

fn more_readings(
    measured: &Measurement,
    n: usize,
    bounds: &quantity::Bounds,
    accepted: AcceptedRisk,
) -> Option<u32> {
    let n = u32::try_from(n).ok()?;
    let settle = what_would_settle(measured, spread_of_one(measured, n), n, bounds, accepted).ok()?;
    settle.more_readings.filter(|more| (1..=MOST_REPEATS).contains(more))
}

/// The readings as one measured value. An instrument of which nothing is said shows what was typed, and no more.
fn measured(of: &Judge, readings: &[Quantity]) -> Result<Measurement, Failed> {
    let wrong = |what: &'static str, text: &str, error: &dyn std::fmt::Display| Failed::Argument {
        what,
        text: text.to_owned(),
        cause: error.to_string(),
    };
    let first = &readings[0];
    let resolution = match &of.resolution {
        Some(text) => quantity("resolution", text)?,
        None => {
            let finest = readings.iter().map(Quantity::resolution).fold(f64::INFINITY, f64::min);
            Quantity::new(finest, first.unit()).map_err(|error| wrong("reading", &of.readings[0], &error))?
        }
    };
    let mut instrument = Instrument::new("the instrument", resolution);
    if let Some(text) = &of.calibration_u {
        let expanded = quantity::Allowance::Absolute(quantity("calibration", text)?);
        instrument.calibration = Calibration::Certificate { expanded, k: 1.0 };
    }
    if let Some(problem) = instrument.problems().first() {
        let text = of.calibration_u.as_deref().or(of.resolution.as_deref()).unwrap_or_default();
        return Err(wrong("statement of an instrument", text, problem));
    }
    quantity::reading(readings, Keep::Mean, &instrument, None)
        .map_err(|error| wrong("reading", &of.readings.join(", "), &error))
}

/// "min 23.0 mm", "max 0.10 mm", or "23.0..25.0 mm".
fn limit(text: &str) -> Result<Limit, Failed> {
    let wrong = |cause: String| Failed::Argument { what: "limit", text: text.to_owned(), cause };
    let trimmed = text.trim();
    if let Some(rest) = trimmed.strip_prefix("min") {
        return Ok(Limit::at_least(quantity("limit", rest)?));
    }
    if let Some(rest) = trimmed.strip_prefix("max") {
        return Ok(Limit::at_most(quantity("limit", rest)?));
    }
    let Some((low, high)) = trimmed.split_once("..") else {
        return Err(wrong("write \"min 23.0 mm\", \"max 0.10 mm\" or \"23.0..25.0 mm\"".into()));
    };
    let high = quantity("limit", high)?;
    let low = Quantity::typed_in(low, high.unit()).map_err(|error| wrong(error.to_string()))?;
    Limit::new(Some(low), Some(high)).map_err(|error| wrong(error.to_string()))
}

fn quantity(what: &'static str, text: &str) -> Result<Quantity, Failed> {
    text.parse().map_err(|error: quantity::QuantityError| Failed::Argument {
        what,
        text: text.to_owned(),
        cause: error.to_string(),
    })
}
