//! Brake tests on rollers.

use super::assessment::Assessment;
use crate::prelude::*;
use crate::{larger, smaller};

/// Brake efficiency: `z = Σ F / (m g)`, with the `g = 9.81 m/s²` of the test rule.
///
/// `F` braking force of each wheel (N), `m` mass (kg); gives `z` (1).
///
/// # Errors
/// [`Problem::NotPositive`] for the mass.
///
/// Source: Directive 2014/45/EU Annex I 1.2.2, from memory. Checked: `reference/in_use_limits.json`.
pub fn brake_efficiency<D: Dual>(forces: &[D], mass: D) -> Result<D, BenchError> {
    let sum = forces.iter().fold(D::from(0.0), |sum, force| sum + *force);
    Ok(sum / (above_zero("mass", mass)? * 9.81))
}

/// Weaker over stronger wheel of one axle.
///
/// `left`, `right` braking forces (N); gives 1. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`] when neither brakes.
///
/// Source: Directive 2014/45/EU Annex I 1.2.1(b), from memory. Checked: `reference/in_use_limits.json`.
pub fn weaker_over_stronger<D: Dual>(left: D, right: D) -> Result<D, BenchError> {
    Ok(smaller(left, right) / above_zero("stronger wheel's force", larger(left, right))?)
}

const CAUTION: &str = "Roller tests only by trained staff, nobody between car and rollers. The national rule \
     in force counts.";

pub(crate) fn efficiency() -> Formula {
    Formula::new("brake-efficiency", Job::RoadLimits, "Brake efficiency on rollers", run!(compute_efficiency))
        .says("This decides whether the brakes as a whole pass.")
        .equation("z = Σ F / (m g), g = 9.81 m/s²")
        .takes([
            numbers("forces", "F", "Braking force of each wheel", Unit::N, &[2400.0, 2350.0, 1500.0, 1480.0])
                .within(0.0, 50_000.0)
                .at_least(2),
            number("mass", "m", "Mass of the car as tested", Unit::KG, 1320.0).within(50.0, 20_000.0),
            number("required", "", "Efficiency asked for", Unit::PERCENT, 58.0).within(5.0, 100.0).or(50.0),
        ])
        .gives([
            result("efficiency", "z", "Efficiency", Unit::PERCENT).rises(&["forces"]).falls(&["mass"]),
            words("assessment", "Gravity"),
        ])
        .holds(
            "Holds for wheels tested near locking. 58 % is asked of cars approved from 2012, 50 % \
             before (Directive 2014/45/EU, from memory).",
        )
        .caution(CAUTION)
        .source("Directive 2014/45/EU Annex I 1.2.2, from memory, not re-read")
        .diagram("roller-test")
        .fitted()
}

fn compute_efficiency<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let efficiency = brake_efficiency(given.numbers("forces"), given.number("mass"))?;
    out.text(
        "assessment",
        Assessment::of_service_brake(efficiency.re(), given.number("required").re()).word(),
    );
    out.number("efficiency", efficiency);
    Ok(())
}

pub(crate) fn service() -> Formula {
    Formula::new("service-brake-assessed", Job::RoadLimits, "Service brake: how grave", run!(compute_service))
        .says("This decides how grave a low efficiency is called.")
        .equation("none at or above what is asked; major below; dangerous below half of it")
        .takes([
            number("efficiency", "z", "Efficiency", Unit::PERCENT, 54.0).within(0.0, 150.0),
            number("required", "", "Efficiency asked for", Unit::PERCENT, 58.0).within(5.0, 100.0),
        ])
        .gives([
            result("share", "", "Efficiency over what is asked", Unit::PERCENT)
                .rises(&["efficiency"])
                .falls(&["required"]),
            words("assessment", "Gravity"),
        ])
        .holds("Holds for the service brake of cars; the national rule in force counts.")
        .caution(CAUTION)
        .source("Directive 2014/45/EU Annex I 1.2.2, from memory, not re-read")
        .diagram("roller-test")
}

fn compute_service<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (efficiency, required) = (given.number("efficiency"), given.number("required"));
    out.number("share", efficiency / required);
    out.text("assessment", Assessment::of_service_brake(efficiency.re(), required.re()).word());
    Ok(())
}

pub(crate) fn imbalance() -> Formula {
    Formula::new(
        "brake-imbalance",
        Job::RoadLimits,
        "Brake imbalance across an axle",
        run!(compute_imbalance),
    )
    .says("This decides whether one side brakes too little.")
    .equation("|a − b| / max(a, b);  min / max")
    .takes([
        number("left", "a", "Left wheel", Unit::N, 2400.0).within(0.0, 50_000.0),
        number("right", "b", "Right wheel", Unit::N, 1900.0).within(0.0, 50_000.0),
        choice("axle", "Axle", &["steered", "not steered"], "steered").optional(),
    ])
    .gives([
        result("difference", "", "Difference over the stronger", Unit::PERCENT),
        result("weaker", "", "Weaker over the stronger", Unit::PERCENT),
        words("assessment", "Gravity"),
    ])
    .holds(
        "Holds for the greatest force of each wheel. Below 70 % major, below 50 % on a steered \
         axle dangerous (from memory).",
    )
    .caution(CAUTION)
    .source("Directive 2014/45/EU Annex I 1.2.1(b), from memory, not re-read")
    .diagram("roller-test")
}

fn compute_imbalance<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let weaker = weaker_over_stronger(given.number("left"), given.number("right"))?;
    out.number("difference", -weaker + 1.0);
    out.number("weaker", weaker);
    match given.text("axle") {
        "" => {}
        axle => out.text("assessment", Assessment::of_imbalance(weaker.re(), axle == "steered").word()),
    }
    Ok(())
}
