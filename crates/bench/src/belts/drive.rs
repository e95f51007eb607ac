//! Two pulleys and the belt between them.

use crate::prelude::*;
use std::f64::consts::PI;

/// A two-pulley drive; lengths in m, angles in rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive<D> {
    /// Free span from tangent point to tangent point.
    pub span: D,
    pub small_wrap: D,
    pub large_wrap: D,
    /// Large over small diameter: turns of the small pulley for one of the large.
    pub ratio: D,
}

/// Span, wrap and ratio of an open belt: `L = √(C² − ((D−d)/2)²)`, wrap of the small pulley `π − 2 asin((D−d)/2C)`.
///
/// `C` centre distance, `D` large and `d` small diameter at the belt's pitch line (m). Scalars.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for pulleys that overlap or change places.
///
/// Source: geometry of the open belt. Checked: `reference/belts.json`, `reference/worked.json`.
pub fn belt_drive<D: Dual>(centres: D, large: D, small: D) -> Result<Drive<D>, BenchError> {
    let (c, small) = (above_zero("centre distance", centres)?, above_zero("small diameter", small)?);
    require(large.re() >= small.re(), "the large pulley must not be the smaller one")?;
    require(2.0 * c.re() > large.re() + small.re(), "the pulleys would overlap at that centre distance")?;
    let half = (large - small) * 0.5;
    let lean = (half / c).asin() * 2.0;
    Ok(Drive {
        span: (c.powi(2) - half.powi(2)).sqrt(),
        small_wrap: -lean + PI,
        large_wrap: lean + PI,
        ratio: large / small,
    })
}

pub(crate) fn formula() -> Formula {
    Formula::new("belt-drive", Job::Belts, "Two pulleys: span, wrap and ratio", run!(compute))
        .says("This decides the span for the tension, and whether the small pulley is wrapped enough.")
        .equation("L = √(C² − ((D−d)/2)²);  wrap = 180° ∓ 2 asin((D−d)/2C);  i = D/d")
        .takes([
            number("centres", "C", "Centre distance", Unit::MM, 350.0).within(20.0, 3000.0),
            number("large", "D", "Large pulley, at the belt's pitch line", Unit::MM, 140.0)
                .within(10.0, 1000.0),
            number("small", "d", "Small pulley, at the belt's pitch line", Unit::MM, 60.0)
                .within(10.0, 1000.0),
        ])
        .gives([
            result("span", "L", "Free span", Unit::MM).rises(&["centres", "small"]).falls(&["large"]),
            result("small-wrap", "", "Wrap of the small pulley", Unit::DEG)
                .rises(&["centres", "small"])
                .falls(&["large"]),
            result("large-wrap", "", "Wrap of the large pulley", Unit::DEG)
                .rises(&["large"])
                .falls(&["centres", "small"]),
            result("ratio", "i", "Turns of the small for one of the large", Unit::ONE)
                .rises(&["large"])
                .falls(&["small"]),
        ])
        .holds(
            "Holds for an open belt without idlers. Below 90° of wrap a ribbed belt slips early \
             (common practice).",
        )
        .source("geometry of the open belt")
        .diagram("belt-drive")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let drive = belt_drive(given.number("centres"), given.number("large"), given.number("small"))?;
    out.number("span", drive.span);
    out.number("small-wrap", drive.small_wrap);
    out.number("large-wrap", drive.large_wrap);
    out.number("ratio", drive.ratio);
    Ok(())
}
