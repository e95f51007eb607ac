//! How fast pistons move and how hard they are pulled.

use crate::prelude::*;
use std::f64::consts::PI;

/// Mean piston speed: `v = 2 S n = S ω / π`.
///
/// `S` stroke (m), `ω` crank speed (rad/s); gives m/s. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`] for the stroke.
///
/// Source: definition. Checked: `reference/engine.json`.
pub fn mean_piston_speed<D: Dual>(stroke: D, crank_speed: D) -> Result<D, BenchError> {
    Ok(above_zero("stroke", stroke)? * crank_speed / PI)
}

/// Piston acceleration at top: `a = r ω² (1 + r/L)`, `r = S/2`.
///
/// `S` stroke, `L` rod (m), `ω` crank speed (rad/s); gives m/s². Scalars. Exact at top without offset.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: kinematics of the slider crank. Checked: `reference/engine.json`.
pub fn piston_acceleration<D: Dual>(stroke: D, rod: D, crank_speed: D) -> Result<D, BenchError> {
    let r = above_zero("stroke", stroke)? * 0.5;
    Ok(r * crank_speed.powi(2) * (r / above_zero("rod length", rod)? + 1.0))
}

pub(crate) fn speed() -> Formula {
    Formula::new("mean-piston-speed", Job::BottomEnd, "Mean piston speed", run!(compute_speed))
        .says("This decides how hard a speed is on pistons and rings.")
        .equation("v = 2 S n")
        .takes([
            number("stroke", "S", "Stroke", Unit::MM, 90.0).within(10.0, 3000.0),
            number("speed", "n", "Engine speed", Unit::RPM, 3000.0).within(0.0, 25_000.0),
        ])
        .gives([result("speed", "v", "Mean piston speed", Unit::M_PER_S).rises(&["stroke", "speed"])])
        .holds(
            "Holds for any piston engine. Road engines stay below about 20 m/s at the limiter, many \
             below 18 (common practice).",
        )
        .source("definition; range: common practice")
        .diagram("crank")
}

fn compute_speed<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("speed", mean_piston_speed(given.number("stroke"), given.number("speed"))?);
    Ok(())
}

pub(crate) fn acceleration() -> Formula {
    Formula::new(
        "piston-acceleration",
        Job::BottomEnd,
        "Piston acceleration at top",
        run!(compute_acceleration),
    )
    .says("This decides what an over-rev has done to rods and bolts.")
    .equation("a = S/2 ω² (1 + S/(2L));  F = m a")
    .takes([
        number("stroke", "S", "Stroke", Unit::MM, 86.0).within(10.0, 400.0),
        number("rod", "L", "Rod length, centre to centre", Unit::MM, 150.0).within(20.0, 800.0),
        number("speed", "ω", "Engine speed", Unit::RPM, 6000.0).within(0.0, 25_000.0),
        number("mass", "m", "Piston, rings, pin and small end", Unit::G, 500.0)
            .within(10.0, 20_000.0)
            .optional(),
    ])
    .gives([
        result("acceleration", "a", "Acceleration at top", Unit::M_PER_S2)
            .rises(&["stroke", "speed"])
            .falls(&["rod"]),
        result("pull", "F", "Pull on the rod", Unit::KN).rises(&["mass", "speed", "stroke"]),
    ])
    .holds("Holds for a piston without offset, at top; gas pressure is not in it.")
    .source("kinematics of the slider crank")
    .diagram("crank")
}

fn compute_acceleration<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let a = piston_acceleration(given.number("stroke"), given.number("rod"), given.number("speed"))?;
    out.number("acceleration", a);
    if let Some(mass) = given.maybe("mass") {
        out.number("pull", mass * a);
    }
    Ok(())
}
