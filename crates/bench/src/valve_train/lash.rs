//! Lash: which shim, how far to turn a screw.

use crate::prelude::*;

/// A shim chosen from steps; lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShimChoice<D> {
    /// What would give the target exactly.
    pub exact: D,
    /// The nearest step.
    pub stocked: D,
    /// The lash that the nearest step gives.
    pub lash: D,
}

/// Shim for a wanted lash: `t = t₀ + l − l*`, rounded to the nearest step from the smallest size.
///
/// `t₀` fitted shim, `l` measured and `l*` target lash, `step` and `smallest` of the sizes sold (m). Scalars.
/// Holds where the shim sits between cam and valve at a ratio of 1; a half step goes to the even one.
///
/// # Errors
/// [`Problem::NotPositive`] for the step.
///
/// Source: definition of lash. Checked: `reference/engine.json`.
pub fn shim_for_lash<D: Dual>(
    fitted: D,
    lash: D,
    target: D,
    step: D,
    smallest: D,
) -> Result<ShimChoice<D>, BenchError> {
    let step = above_zero("step of the sizes", step)?;
    let exact = fitted + lash - target;
    let steps = ((exact - smallest) / step).re().round_ties_even();
    let stocked = smallest + step * steps;
    Ok(ShimChoice { exact, stocked, lash: lash + fitted - stocked })
}

/// Turn of an adjusting screw: `α = 2π Δ / P`.
///
/// `Δ` change of lash (m), `P` pitch (m); gives `α` (rad). Scalars. Holds for a screw that acts on the valve
/// directly.
///
/// # Errors
/// [`Problem::NotPositive`] for the pitch.
///
/// Source: definition of pitch. Checked: `reference/worked.json`.
pub fn screw_turn<D: Dual>(change: D, pitch: D) -> Result<D, BenchError> {
    Ok(change / above_zero("pitch", pitch)? * std::f64::consts::TAU)
}

const CAUTION: &str = "Measure cold, cam on its base circle, engine turned by hand with the plugs out. The \
     maker's lash rules.";

pub(crate) fn shim() -> Formula {
    Formula::new("shim-for-lash", Job::ValveTrain, "Shim for a wanted lash", run!(compute_shim))
        .says("This decides which shim to fit and what lash will come of it.")
        .equation("t = t₀ + l − l*, rounded to the nearest step")
        .takes([
            number("fitted", "t₀", "Shim fitted, as measured", Unit::MM, 2.8).within(0.5, 15.0),
            number("lash", "l", "Lash measured", Unit::MM, 0.31).within(0.0, 3.0),
            number("target", "l*", "Lash wanted", Unit::MM, 0.2).within(0.0, 2.0),
            number("step", "", "Step of the sizes sold", Unit::MM, 0.05).within(0.001, 0.5),
            number("smallest", "", "Smallest size sold", Unit::MM, 2.0).within(0.0, 10.0),
        ])
        .gives([
            result("exact", "t", "Shim that would give the target", Unit::MM)
                .rises(&["fitted", "lash"])
                .falls(&["target"]),
            result("stocked", "", "Nearest size sold", Unit::MM),
            result("lash-then", "", "Lash with that size", Unit::MM),
        ])
        .holds(
            "Holds for a shim between cam and valve at a ratio of 1. Measure the shim: bucket tops \
             and shims wear.",
        )
        .caution(CAUTION)
        .source("definition of lash")
        .diagram("lash")
}

fn compute_shim<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let choice = shim_for_lash(
        given.number("fitted"),
        given.number("lash"),
        given.number("target"),
        given.number("step"),
        given.number("smallest"),
    )?;
    require(
        choice.stocked.re() >= given.number("smallest").re(),
        "the shim wanted is thinner than the smallest size sold",
    )?;
    out.number("exact", choice.exact);
    out.number("stocked", choice.stocked);
    out.number("lash-then", choice.lash);
    Ok(())
}

pub(crate) fn screw() -> Formula {
    Formula::new("lash-screw-turn", Job::ValveTrain, "Turn of a lash screw", run!(compute_screw))
        .says("This decides how far to turn the adjusting screw.")
        .equation("α = 360° Δ / P")
        .takes([
            number("change", "Δ", "Lash to take up (below zero: to give)", Unit::MM, 0.1).within(-3.0, 3.0),
            number("pitch", "P", "Pitch of the screw", Unit::MM, 1.0).within(0.2, 3.0),
        ])
        .gives([result("turn", "α", "Turn, inwards", Unit::DEG).rises(&["change"])])
        .holds(
            "Holds for a screw that acts on the valve directly; with a rocker, divide by its ratio. \
             Check after the locknut.",
        )
        .caution(CAUTION)
        .source("definition of pitch")
        .diagram("lash")
}

fn compute_screw<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("turn", screw_turn(given.number("change"), given.number("pitch"))?);
    Ok(())
}
