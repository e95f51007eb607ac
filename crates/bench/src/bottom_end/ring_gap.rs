//! Piston-ring gap, and what it tells of the bore.

use crate::prelude::*;
use std::f64::consts::PI;

/// What a ring gap says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingGap<D> {
    /// Gap over bore.
    pub relative: D,
    /// Gap where the bore is wider by the stated wear (m).
    pub in_worn_bore: D,
    /// What heating ring over bore takes from the gap (m).
    pub closes_by: D,
}

/// Ring gap: over the bore `g/B`; in a bore wider by `ΔB` it opens by `π ΔB`; a ring hotter than the bore by `ΔT`
/// closes it by `π B α ΔT`.
///
/// `g` gap, `B` bore, `ΔB` wear of the bore (m), `ΔT` (K), `α` expansion of the ring (1/K). Scalars.
/// Holds for a ring square in the bore.
///
/// # Errors
/// [`Problem::NotPositive`] for the bore.
///
/// Source: circumference of a circle; linear expansion. Checked: `reference/worked.json`.
pub fn ring_gap<D: Dual>(
    gap: D,
    bore: D,
    wear: D,
    hotter: D,
    expansion: D,
) -> Result<RingGap<D>, BenchError> {
    let bore = above_zero("bore", bore)?;
    Ok(RingGap {
        relative: gap / bore,
        in_worn_bore: gap + wear * PI,
        closes_by: bore * expansion * hotter * PI,
    })
}

pub(crate) fn formula() -> Formula {
    Formula::new("ring-gap", Job::BottomEnd, "Piston-ring gap", run!(compute))
        .says("This decides whether rings go in, are filed, or the bore is worn.")
        .equation("g/B;  gap in a worn bore = g + π ΔB;  closes hot by π B α ΔT")
        .takes([
            number("gap", "g", "Gap, ring square in the bore", Unit::MM, 0.3).within(0.0, 10.0),
            number("bore", "B", "Bore", Unit::MM, 82.0).within(20.0, 300.0),
            number("wear", "ΔB", "Wear of the bore where the ring turns", Unit::MM, 0.05)
                .within(0.0, 2.0)
                .or(0.0),
            number("hotter", "ΔT", "Ring hotter than the bore by", Unit::K, 80.0).within(0.0, 400.0).or(80.0),
            number("expansion", "α", "Expansion of the ring", Unit::UM_PER_M_K, 11.0)
                .within(5.0, 20.0)
                .or(11.0),
        ])
        .gives([
            result("relative", "g/B", "Gap over bore", Unit::PERCENT).rises(&["gap"]).falls(&["bore"]),
            result("in-worn-bore", "", "Gap in the worn part", Unit::MM).rises(&["gap", "wear"]),
            result("closes-by", "", "Closes hot by", Unit::MM).rises(&["bore", "hotter", "expansion"]),
            result("hot", "", "Gap left hot", Unit::MM).rises(&["gap"]).falls(&["hotter"]),
        ])
        .holds(
            "Holds for a ring square in the bore. 0.3 to 0.4 % of the bore is usual for a top ring \
             (common practice); the maker rules.",
        )
        .source("circumference of a circle; linear expansion of cast iron; usual size: common practice")
        .diagram("ring-gap")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (gap, bore) = (given.number("gap"), given.number("bore"));
    let ring = ring_gap(gap, bore, given.number("wear"), given.number("hotter"), given.number("expansion"))?;
    out.number("relative", ring.relative);
    out.number("in-worn-bore", ring.in_worn_bore);
    out.number("closes-by", ring.closes_by);
    out.number("hot", gap - ring.closes_by);
    if gap.re() <= ring.closes_by.re() {
        out.remark(|| "hot, the ends of the ring would meet".into());
    }
    Ok(())
}
