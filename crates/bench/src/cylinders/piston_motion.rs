//! Where the piston is, and what it still compresses after the inlet has closed.

use crate::prelude::*;
use std::f64::consts::PI;

/// Drop of the piston below its top position: with `r = S/2`, `x = √((L+r)² − e²) − r cos θ − √(L² − (r sin θ −
/// e)²)`.
///
/// `S` stroke, `L` rod length, `e` pin offset (m, to the side that the crank moves to first), `θ` crank angle from
/// the bore's line (rad); gives `x` (m). Scalars. Holds for a rod longer than the crank throw and the offset
/// together.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for a rod that is too short.
///
/// Source: geometry of the slider crank. Checked: `reference/engine.json`.
pub fn piston_drop<D: Dual>(stroke: D, rod: D, crank: D, pin_offset: D) -> Result<D, BenchError> {
    let r = above_zero("stroke", stroke)? * 0.5;
    let l = above_zero("rod length", rod)?;
    require(
        l.re() > r.re() + pin_offset.re().abs(),
        "the rod must be longer than half the stroke and the pin offset together",
    )?;
    let top = ((l + r).powi(2) - pin_offset.powi(2)).sqrt();
    let across = r * crank.sin() - pin_offset;
    Ok(top - r * crank.cos() - (l.powi(2) - across.powi(2)).sqrt())
}

pub(crate) fn drop() -> Formula {
    Formula::new("piston-drop", Job::Cylinders, "Piston below top at a crank angle", run!(compute_drop))
        .says("This decides where the piston stands when timing or clearance is measured.")
        .equation("x = √((L+r)² − e²) − r cos θ − √(L² − (r sin θ − e)²);  r = S/2")
        .takes([
            number("stroke", "S", "Stroke", Unit::MM, 86.0).within(20.0, 400.0),
            number("rod", "L", "Rod length, centre to centre", Unit::MM, 150.0).within(30.0, 800.0),
            number("crank", "θ", "Crank angle from the bore's line", Unit::DEG, 90.0).within(-720.0, 720.0),
            number("pin-offset", "e", "Pin offset", Unit::MM, 0.0).within(-20.0, 20.0).or(0.0),
        ])
        .gives([result("drop", "x", "Piston below its top position", Unit::MM)])
        .holds("Holds for the crank on the bore's line; an offset crank counts as a pin offset.")
        .caution("Turn the engine by hand only, with the plugs out.")
        .source("geometry of the slider crank")
        .diagram("crank")
}

fn compute_drop<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let offset = given.number("pin-offset");
    out.number(
        "drop",
        piston_drop(given.number("stroke"), given.number("rod"), given.number("crank"), offset)?,
    );
    Ok(())
}

/// What is left to compress after the inlet closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EffectiveCompression<D> {
    /// Piston below top when the inlet closes (m).
    pub stroke: D,
    pub ratio: D,
}

/// Effective compression ratio: the piston's drop at inlet closing takes the stroke's place.
///
/// `S` stroke, `L` rod, `B` bore (m), `α` inlet closing after bottom (rad of crank), `V_c` clearance volume (m³).
/// Scalars. Holds at cranking speed, where no ramming fills the cylinder further.
///
/// # Errors
/// Those of [`piston_drop`]; [`Problem::NotPositive`] for bore and clearance volume.
///
/// Source: definition. Checked: `reference/engine.json`.
pub fn effective_compression<D: Dual>(
    bore: D,
    stroke: D,
    rod: D,
    closes_after_bottom: D,
    clearance: D,
) -> Result<EffectiveCompression<D>, BenchError> {
    let left = piston_drop(stroke, rod, closes_after_bottom + PI, D::from(0.0))?;
    let trapped = above_zero("bore", bore)?.powi(2) * left * (PI / 4.0);
    let clearance = above_zero("clearance volume", clearance)?;
    Ok(EffectiveCompression { stroke: left, ratio: (trapped + clearance) / clearance })
}

pub(crate) fn effective() -> Formula {
    Formula::new(
        "effective-compression",
        Job::Cylinders,
        "Effective compression ratio from inlet closing",
        run!(compute_effective),
    )
    .says("This decides what cranking pressure to expect from a cam that closes late.")
    .equation("ε_eff = (π/4 B² x(180° + α) + V_c) / V_c")
    .takes([
        number("bore", "B", "Bore", Unit::MM, 86.0).within(20.0, 300.0),
        number("stroke", "S", "Stroke", Unit::MM, 86.0).within(20.0, 400.0),
        number("rod", "L", "Rod length, centre to centre", Unit::MM, 150.0).within(30.0, 800.0),
        number("closes", "α", "Inlet closes after bottom", Unit::DEG, 50.0).within(0.0, 120.0),
        number("clearance", "V_c", "Clearance volume", Unit::ML, 52.0).within(1.0, 2000.0),
    ])
    .gives([
        result("stroke-left", "x", "Stroke left when the inlet closes", Unit::MM)
            .rises(&["stroke"])
            .falls(&["closes"]),
        result("ratio", "ε_eff", "Effective compression ratio", Unit::ONE)
            .rises(&["bore"])
            .falls(&["closes", "clearance"]),
    ])
    .holds(
        "Holds at cranking speed with the lift at which closing is stated said beside it: \
         makers state it differently.",
    )
    .source("definition; geometry of the slider crank")
    .diagram("crank")
}

fn compute_effective<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let effective = effective_compression(
        given.number("bore"),
        given.number("stroke"),
        given.number("rod"),
        given.number("closes"),
        given.number("clearance"),
    )?;
    out.number("stroke-left", effective.stroke);
    out.number("ratio", effective.ratio);
    Ok(())
}
