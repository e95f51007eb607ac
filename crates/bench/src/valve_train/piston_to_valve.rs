//! Room between piston and valve.

use crate::cylinders::piston_motion::piston_drop;
use crate::prelude::*;

/// Least piston-to-valve clearance over a lift table: `c(θ) = c₀ + x(θ) cos β − y(θ − δ)`, the least over the table.
///
/// `angles` crank angles from top (rad), `lifts` valve lift there, lash taken off (m); `c₀` gap along the valve
/// with the valve closed and the piston at top (m), `β` valve's angle to the bore (rad), `δ` later timing in crank
/// angle (rad), `stroke` and `rod` (m). Gives clearance (m) and the crank angle of it (rad). Holds for rigid parts
/// at slow speed; stretch and float take more.
///
/// # Errors
/// Those of [`piston_drop`]; [`Problem::Impossible`] for an empty table.
///
/// Source: geometry of the crank. Checked: `reference/worked.json`.
pub fn piston_to_valve<D: Dual>(
    angles: &[D],
    lifts: &[D],
    closed_gap: D,
    valve_angle: D,
    later: D,
    stroke: D,
    rod: D,
) -> Result<(D, D), BenchError> {
    let mut least: Option<(D, D)> = None;
    for (angle, lift) in angles.iter().zip(lifts) {
        // The same lift comes at a later crank angle when the cam is set later.
        let crank = *angle + later;
        let gap = closed_gap + piston_drop(stroke, rod, crank, D::from(0.0))? * valve_angle.cos() - *lift;
        if least.is_none_or(|(so_far, _)| gap.re() < so_far.re()) {
            least = Some((gap, crank));
        }
    }
    least.ok_or_else(|| Problem::Impossible { rule: "a lift table needs points" }.into())
}

/// Clearance left after changes: `c = c₀ − Δs − r cos β − |δ| w`.
///
/// `c₀` measured clearance, `Δs` added lift, `r` metal and gasket thickness taken away (m), `β` valve's angle to
/// the bore (rad), `δ` change of timing towards the piston (rad), `w` what a radian costs (m/rad). Scalars. Holds
/// for small changes about the measured state.
///
/// # Errors
/// [`Problem::Negative`] for a measured clearance below zero.
///
/// Source: geometry. Checked: `reference/worked.json`.
pub fn clearance_left<D: Dual>(
    measured: D,
    added_lift: D,
    removed: D,
    valve_angle: D,
    timing: D,
    per_angle: D,
) -> Result<D, BenchError> {
    Ok(not_negative("measured clearance", measured)?
        - added_lift
        - removed * valve_angle.cos()
        - timing * per_angle)
}

const HOLDS: &str = "Holds for rigid parts at slow speed. The trade keeps 1.0 to 1.5 mm at the inlet and \
     1.5 to 2.0 mm at the exhaust (common practice); the maker rules.";
const CAUTION: &str = "Turn the engine by hand only, with the plugs out; stop at the first resistance.";

pub(crate) fn sweep() -> Formula {
    Formula::new(
        "piston-to-valve",
        Job::ValveTrain,
        "Piston to valve, against crank and cam angle",
        run!(compute_sweep),
    )
    .says("This decides whether a cam, its timing or a skimmed head leaves room for the valves.")
    .equation("c(θ) = c₀ + x(θ) cos β − y(θ − δ);  the least counts")
    .takes([
        numbers(
            "angles",
            "θ",
            "Crank angles from top, between the strokes",
            Unit::DEG,
            &[-20.0, -10.0, 0.0, 10.0, 20.0, 30.0],
        )
        .within(-180.0, 180.0)
        .at_least(2),
        numbers("lifts", "y", "Valve lift there, lash taken off", Unit::MM, &[0.6, 1.0, 1.6, 2.4, 3.4, 4.6])
            .beside("angles")
            .within(0.0, 25.0)
            .at_least(2),
        number("closed-gap", "c₀", "Gap at top with the valve closed", Unit::MM, 4.0).within(0.0, 40.0),
        number("valve-angle", "β", "Valve's angle to the bore", Unit::DEG, 15.0).within(0.0, 60.0).or(0.0),
        number("later", "δ", "Cam set later by, in crank angle", Unit::DEG, 0.0).within(-60.0, 60.0).or(0.0),
        number("stroke", "S", "Stroke", Unit::MM, 82.8).within(20.0, 250.0),
        number("rod", "L", "Rod length, centre to centre", Unit::MM, 140.0).within(30.0, 500.0),
    ])
    .gives([
        result("clearance", "c", "Least clearance", Unit::MM).rises(&["closed-gap"]).falls(&["lifts"]),
        result("at", "θ", "Crank angle of the least clearance", Unit::DEG),
    ])
    .holds(HOLDS)
    .caution(CAUTION)
    .source("geometry of the crank; limits: common practice")
    .diagram("piston-to-valve")
}

fn compute_sweep<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["angles", "lifts"])?;
    let (stroke, rod) = (given.number("stroke"), given.number("rod"));
    let (gap, valve_angle) = (given.number("closed-gap"), given.number("valve-angle"));
    let later = given.number("later");
    let (angles, lifts) = (given.numbers("angles"), given.numbers("lifts"));
    let (clearance, at) = piston_to_valve(angles, lifts, gap, valve_angle, later, stroke, rod)?;
    out.step("the piston has fallen there by", piston_drop(stroke, rod, at, D::from(0.0))?, Unit::MM);
    out.number("clearance", clearance);
    out.number("at", at);
    if clearance.re() <= 0.0 {
        out.remark(|| "piston and valve would meet".into());
    }
    Ok(())
}

pub(crate) fn left() -> Formula {
    Formula::new("piston-to-valve-left", Job::ValveTrain, "Piston to valve after changes", run!(compute_left))
        .says("This decides whether more lift, a skim or another timing still clears the piston.")
        .equation("c = c₀ − Δs − r cos β − δ w")
        .takes([
            number("measured", "c₀", "Clearance measured", Unit::MM, 2.1).within(0.0, 20.0),
            number("added-lift", "Δs", "Lift added at that angle", Unit::MM, 0.3).within(-10.0, 10.0).or(0.0),
            number("removed", "r", "Taken off head, block and gasket", Unit::MM, 0.2)
                .within(-5.0, 5.0)
                .or(0.0),
            number("valve-angle", "β", "Valve's angle to the bore", Unit::DEG, 15.0)
                .within(0.0, 60.0)
                .or(0.0),
            number("timing", "δ", "Timing moved towards the piston, in crank angle", Unit::DEG, 2.0)
                .within(-60.0, 60.0)
                .or(0.0),
            number("per-degree", "w", "What a degree costs there", Unit::MM, 0.07).within(0.0, 1.0).or(0.075),
        ])
        .gives([result("clearance", "c", "Clearance left", Unit::MM)
            .rises(&["measured"])
            .falls(&["added-lift", "removed"])])
        .holds(
            "Holds for small changes about the measured state; measure again afterwards. A degree \
             of crank costs about 0.05 to 0.1 mm near the closest approach (common practice).",
        )
        .caution(CAUTION)
        .source("geometry; cost of a degree: common practice")
        .diagram("piston-to-valve")
}

fn compute_left<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let per_radian = given.number("per-degree") * (180.0 / std::f64::consts::PI);
    let (removed, valve_angle, timing) =
        (given.number("removed"), given.number("valve-angle"), given.number("timing"));
    let clearance = clearance_left(
        given.number("measured"),
        given.number("added-lift"),
        removed,
        valve_angle,
        timing,
        per_radian,
    )?;
    out.step("the skim costs, along the valve", removed * valve_angle.cos(), Unit::MM);
    out.step("the timing costs", timing * per_radian, Unit::MM);
    out.number("clearance", clearance);
    Ok(())
}
