//! Swept volume.

use crate::prelude::*;
use std::f64::consts::PI;

/// Volume swept by one piston: `V = π/4 B² S`.
///
/// `B` bore, `S` stroke (m); gives m³. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: geometry. Checked: `reference/engine.json`.
pub fn swept_volume<D: Dual>(bore: D, stroke: D) -> Result<D, BenchError> {
    Ok(above_zero("bore", bore)?.powi(2) * above_zero("stroke", stroke)? * (PI / 4.0))
}

pub(crate) fn formula() -> Formula {
    Formula::new("displacement", Job::Cylinders, "Displacement", run!(compute))
        .says("This decides which engine it is, and what an overbore makes of it.")
        .equation("V = π/4 B² S;  engine = z V")
        .takes([
            number("bore", "B", "Bore", Unit::MM, 82.0).within(20.0, 300.0),
            number("stroke", "S", "Stroke", Unit::MM, 82.8).within(20.0, 400.0),
            number("cylinders", "z", "Cylinders", Unit::COUNT, 4.0).within(1.0, 24.0),
        ])
        .gives([
            result("cylinder", "V", "One cylinder", Unit::CM3).rises(&["bore", "stroke"]),
            result("engine", "z V", "Engine", Unit::CM3).rises(&["bore", "stroke", "cylinders"]),
        ])
        .holds(
            "Holds for a piston that runs on the bore's axis; a usual pin offset changes the stroke \
             by less than 0.1 mm.",
        )
        .source("geometry")
        .diagram("cylinder")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let swept = swept_volume(given.number("bore"), given.number("stroke"))?;
    out.number("cylinder", swept);
    out.number("engine", swept * given.number("cylinders"));
    Ok(())
}
