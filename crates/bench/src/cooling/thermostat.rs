//! A thermostat watched in a pan of water.

use crate::maths::table;
use crate::prelude::*;

/// Temperature at which a valve's lift passes a threshold, on straight lines between readings.
///
/// `temperatures` (K, rising) and `lifts` (m); gives K. Holds for slow heating, water stirred.
///
/// # Errors
/// [`Problem::Impossible`] when temperatures do not rise or the lift never passes the threshold.
///
/// Source: linear interpolation. Checked: `reference/worked.json`.
pub fn opens_at<D: Dual>(temperatures: &[D], lifts: &[D], threshold: D) -> Result<D, BenchError> {
    require(table::rising(temperatures), "temperatures must rise from reading to reading")?;
    let pairs = temperatures.windows(2).zip(lifts.windows(2));
    let crossing = pairs.filter_map(|(t, s)| match (t, s) {
        ([t0, t1], [s0, s1]) if s0.re() < threshold.re() && s1.re() >= threshold.re() => {
            Some(*t0 + (*t1 - *t0) * (threshold - *s0) / (*s1 - *s0))
        }
        _ => None,
    });
    let nowhere = Problem::Impossible {
        rule: "the valve must be shut at the first reading and pass the threshold at a later one",
    };
    crossing.into_iter().next().ok_or_else(|| nowhere.into())
}

pub(crate) fn formula() -> Formula {
    Formula::new("thermostat-opening", Job::Cooling, "Thermostat: where it opens", run!(compute))
        .says("This decides whether the thermostat is the one it should be, and still opens.")
        .equation("T where lift = threshold, on straight lines;  off = T − rating")
        .takes([
            numbers(
                "temperatures",
                "T",
                "Temperatures, rising",
                Unit::CELSIUS,
                &[76.0, 80.0, 84.0, 88.0, 92.0],
            )
            .within(0.0, 130.0)
            .at_least(2),
            numbers("lifts", "s", "Lift at these temperatures", Unit::MM, &[0.0, 0.0, 0.8, 3.5, 7.5])
                .beside("temperatures")
                .within(0.0, 30.0)
                .at_least(2),
            number("threshold", "", "Lift that counts as open", Unit::MM, 0.1).within(0.01, 5.0).or(0.1),
            number("rating", "", "Rating", Unit::CELSIUS, 82.0).within(30.0, 120.0),
            number("full-lift", "", "Lift asked for when fully open", Unit::MM, 7.0)
                .within(0.5, 30.0)
                .optional(),
        ])
        .gives([
            result("opens", "T", "Opens at", Unit::CELSIUS).falls(&["lifts"]),
            result("off", "", "Above its rating by", Unit::K).falls(&["rating"]),
            result("fully-open", "", "Fully open at", Unit::CELSIUS).rises(&["full-lift"]),
        ])
        .holds(
            "Holds for slow heating, water stirred, thermometer beside the wax. Two kelvin from the \
             rating are usual (common practice).",
        )
        .caution("Boiling water and a hot thermostat burn: use tongs.")
        .source("linear interpolation; tolerance: common practice")
        .diagram("thermostat")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["temperatures", "lifts"])?;
    let (temperatures, lifts) = (given.numbers("temperatures"), given.numbers("lifts"));
    let opens = opens_at(temperatures, lifts, given.number("threshold"))?;
    out.number("opens", opens);
    out.number("off", opens - given.number("rating"));
    if let Some(full) = given.maybe("full-lift") {
        match opens_at(temperatures, lifts, full) {
            Ok(at) => out.number("fully-open", at),
            Err(_) => out.remark(|| "it did not open fully as far as it was heated".into()),
        }
    }
    Ok(())
}
