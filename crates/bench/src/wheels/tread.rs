//! Tread across the face, and what uneven wear points to.

use crate::prelude::*;
use crate::{larger, smaller};

/// Where a tread is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wear {
    Even,
    Middle,
    BothEdges,
    Inner,
    Outer,
}

/// Wear across the face: an edge or the middle counts as worn when it is lower than the rest by more than
/// `threshold`.
///
/// Depths inside, middle, outside and threshold (m). Holds for one circle around the tyre.
///
/// Source: common practice, no source. Checked: `reference/worked.json`.
pub fn across(inner: f64, middle: f64, outer: f64, threshold: f64) -> Wear {
    let lower = |a: f64, b: f64| b - a > threshold;
    if lower(middle, inner) && lower(middle, outer) {
        Wear::Middle
    } else if lower(inner, middle) && lower(outer, middle) {
        Wear::BothEdges
    } else if lower(inner, outer) {
        Wear::Inner
    } else if lower(outer, inner) {
        Wear::Outer
    } else {
        Wear::Even
    }
}

pub(crate) fn formula() -> Formula {
    let depth = |key, title, example| number(key, "", title, Unit::MM, example).within(0.0, 30.0);
    Formula::new("tread-across", Job::Wheels, "Tread across the face", run!(compute))
        .says("This decides whether to look at pressure, camber or toe before new tyres go on.")
        .equation("spread = max − min;  edge against edge, middle against both")
        .takes([
            depth("inner", "Depth inside", 3.2),
            depth("middle", "Depth in the middle", 4.6),
            depth("outer", "Depth outside", 4.8),
            number("threshold", "", "Difference that counts", Unit::MM, 0.5).within(0.05, 5.0).or(0.5),
            number("limit", "", "Least depth allowed", Unit::MM, 1.6).within(0.5, 10.0).or(1.6),
        ])
        .gives([
            result("least", "", "Least depth", Unit::MM).rises(&["inner", "middle", "outer"]),
            result("left", "", "Least depth above what is allowed", Unit::MM)
                .rises(&["inner", "middle", "outer"])
                .falls(&["limit"]),
            result("spread", "", "Spread across", Unit::MM),
            words("worn", "Where it is worn"),
            words("points-to", "What it points to"),
        ])
        .holds(
            "Holds for depths in main grooves on one circle. Read three circles: steps from block \
             to block are toe or a tired damper.",
        )
        .caution("A tyre with cord showing, a cut or a bulge stays put whatever its depth.")
        .source("definition; what wear points to: common practice, no source")
        .diagram("tread")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (inner, middle, outer) = (given.number("inner"), given.number("middle"), given.number("outer"));
    let least = smaller(inner, smaller(middle, outer));
    out.number("least", least);
    out.number("left", least - given.number("limit"));
    out.number("spread", larger(inner, larger(middle, outer)) - least);
    let (worn, points_to) = match across(inner.re(), middle.re(), outer.re(), given.number("threshold").re())
    {
        Wear::Even => ("even", "pressure and alignment as they should be"),
        Wear::Middle => ("the middle", "pressure too high for the load"),
        Wear::BothEdges => ("both edges", "pressure too low, or much hard cornering"),
        Wear::Inner => ("the inner edge", "camber leaning in, or toe-out"),
        Wear::Outer => ("the outer edge", "toe-in, camber leaning out, or hard cornering"),
    };
    out.text("worn", worn);
    out.text("points-to", points_to);
    Ok(())
}
