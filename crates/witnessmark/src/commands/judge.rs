//! `witnessmark judge`: one reading against one limit.

use super::{print_json, rounded};
use crate::output::say;
use crate::{
    arguments::Judge,
    error::{Failed, WrongArgument, WrongArguments},
};
use quantity::{
    AcceptedRisk, Belief, Calibration, Conformity, Instrument, Keep, Limit, Measurement, PlusMinus, Quantity,
    QuantityError, UncertaintyError, Unit,
    remeasure::{spread_of_one, what_would_settle},
};
use serde_json::json;
use sheet::{Criticality, Verdict};
use workshop::{
    verdict::{by_the_table, is_open},
    words,
};

pub fn run(of: &Judge) -> Result<(), Failed> {
    let read = read(of)?;
    let limit = &read.limit;
    let measured = measured(of, &read)?;
    let wrong = |error: &dyn std::fmt::Display| {
        WrongArgument::new("reading against this limit", &of.readings.join(", "), error)
    };
    let bounds = limit.bounds_in(measured.unit()).map_err(|error| wrong(&error))?;
    let belief = Belief::of(&measured).map_err(|error| wrong(&error))?;
    let belief = match &read.prior {
        Some(prior) => with_prior(belief, prior, measured.unit())
            .map_err(|cause| WrongArgument::new("prior", of.prior.as_deref().unwrap_or_default(), cause))?,
        None => belief,
    };
    // With the prior weighed in: the middle, and where it lies nine times in ten.
    let weighed = read.prior.as_ref().map(|_| [0.5, 0.05, 0.95].map(|p| belief.quantile(p)));
    let conformity = Conformity::of(&belief, &bounds);
    let criticality = Criticality::from(of.criticality);
    let accepted =
        if criticality == Criticality::Safety { AcceptedRisk::SAFETY } else { AcceptedRisk::USUAL };
    let decision = conformity.decide(accepted);
    let beyond = conformity.beyond();
    let by_table = by_the_table(criticality, beyond, beyond);
    let more = is_open(criticality, decision, beyond, None)
        .then(|| more_readings(&measured, read.readings.len(), &bounds, accepted))
        .flatten();
    let verdict = if more.is_some() { Verdict::TooClose } else { by_table };
    if of.output.json {
        print_json(&json!({
            "value": rounded(measured.value()),
            "unit": measured.unit(),
            "u": rounded(measured.u()),
            "weighed": weighed.map(|[median, low, high]| {
                json!({ "median": rounded(median), "low": rounded(low), "high": rounded(high) })
            }),
            "p_beyond": rounded(beyond),
            "conformity": decision,
            "verdict": verdict,
            "more_readings": more,
            "budget": of.budget.then(|| super::budget::rows(&measured)),
        }));
        return Ok(());
    }
    say!("{measured}, limit {limit}");
    if let Some(weighed) = weighed {
        let decimals = quantity::rounding::decimals_for(measured.u()).max(0);
        let [median, low, high] = weighed.map(|value| words::value(value, decimals, measured.unit()));
        say!("with what was known beforehand {median}, nine times in ten between {low} and {high}");
    }
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

/// The arguments as they were read.
struct Read {
    limit: Limit,
    readings: Vec<Quantity>,
    resolution: Option<Quantity>,
    calibration_u: Option<Quantity>,
    prior: Option<PlusMinus>,
}

/// Reads every argument; what is wrong with any is told of all.
fn read(of: &Judge) -> Result<Read, Failed> {
    let mut wrong = WrongArguments::default();
    let limit = wrong.keep(limit(&of.limit));
    let readings = of.readings.iter().filter_map(|text| {
        let read = quantity("reading", text).and_then(|reading| match &limit {
            Some(limit) if reading.kind() != limit.kind() => {
                let cause =
                    format!("it is {}, and the limit is {}", reading.kind().phrase(), limit.kind().phrase());
                Err(WrongArgument::new("reading", text, cause))
            }
            _ => Ok(reading),
        });
        wrong.keep(read)
    });
    let readings = readings.collect();
    let mut may = |what, text: &Option<String>| wrong.keep(quantity(what, text.as_deref()?));
    let resolution = may("resolution", &of.resolution);
    let calibration_u = may("calibration", &of.calibration_u);
    let prior = of.prior.as_ref().and_then(|text| {
        let read = text.parse().map_err(|error: QuantityError| WrongArgument::new("prior", text, error));
        wrong.keep(read)
    });
    wrong.tell(limit.map(|limit| Read { limit, readings, resolution, calibration_u, prior }))
}

/// What was known beforehand, weighed in.
fn with_prior(belief: Belief, prior: &PlusMinus, unit: Unit) -> Result<Belief, UncertaintyError> {
    let measured = prior.measurement()?.in_unit(unit)?;
    belief.with_prior(measured.value(), measured.u())
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
fn measured(of: &Judge, read: &Read) -> Result<Measurement, WrongArgument> {
    let all = of.readings.join(", ");
    let wrong = |error: &dyn std::fmt::Display| WrongArgument::new("reading", &all, error);
    let resolution = match (&read.resolution, &read.readings[..]) {
        (Some(resolution), _) => resolution.clone(),
        (None, [first, ..]) => {
            let finest = read.readings.iter().map(Quantity::resolution).fold(f64::INFINITY, f64::min);
            Quantity::new(finest, first.unit()).map_err(|error| wrong(&error))?
        }
        (None, []) => return Err(WrongArgument::new("reading", "", "read at least one value")),
    };
    let mut instrument = Instrument::new("the instrument", resolution);
    if let Some(u) = &read.calibration_u {
        let expanded = quantity::Allowance::Absolute(u.clone());
        instrument.calibration = Calibration::Certificate { expanded, k: 1.0 };
    }
    if let Some(problem) = instrument.problems().first() {
        let text = of.calibration_u.as_deref().or(of.resolution.as_deref()).unwrap_or_default();
        return Err(WrongArgument::new("statement of an instrument", text, problem));
    }
    quantity::reading(&read.readings, Keep::Mean, &instrument, None).map_err(|error| wrong(&error))
}

/// "min 23.0 mm", "max 0.10 mm", or "23.0..25.0 mm".
fn limit(text: &str) -> Result<Limit, WrongArgument> {
    let wrong = |error: &dyn std::fmt::Display| WrongArgument::new("limit", text, error);
    let trimmed = text.trim();
    if let Some(rest) = trimmed.strip_prefix("min") {
        return Ok(Limit::at_least(quantity("limit", rest)?));
    }
    if let Some(rest) = trimmed.strip_prefix("max") {
        return Ok(Limit::at_most(quantity("limit", rest)?));
    }
    let Some((low, high)) = trimmed.split_once("..") else {
        let cause = "write \"min 23.0 mm\", \"max 0.10 mm\" or \"23.0..25.0 mm\"";
        return Err(WrongArgument::new("limit", text, cause));
    };
    let high = quantity("limit", high)?;
    let low = Quantity::typed_in(low, high.unit()).map_err(|error| wrong(&error))?;
    Limit::new(Some(low), Some(high)).map_err(|error| wrong(&error))
}

fn quantity(what: &'static str, text: &str) -> Result<Quantity, WrongArgument> {
    text.parse().map_err(|error: QuantityError| WrongArgument::new(what, text, error))
}
