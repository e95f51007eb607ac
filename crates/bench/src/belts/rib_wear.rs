//! Wear of a ribbed belt, by a pin laid in its groove.

use crate::prelude::*;

/// Groove widening of a ribbed belt from how deep a round pin sinks in: `w = 2 Δ tan(γ/2)`.
///
/// `Δ` how much deeper the pin sits than in a new belt (m), `γ` groove angle (rad); gives the groove's widening
/// (m). Scalars. Holds for flanks that stay straight.
///
/// # Errors
/// [`Problem::NotPositive`] for the angle.
///
/// Source: geometry of a circle in a wedge. Checked: `reference/worked.json`.
pub fn groove_widening<D: Dual>(deeper: D, groove_angle: D) -> Result<D, BenchError> {
    Ok(deeper * (above_zero("groove angle", groove_angle)? * 0.5).tan() * 2.0)
}

pub(crate) fn formula() -> Formula {
    Formula::new("ribbed-belt-wear", Job::Belts, "Ribbed belt: wear by a pin in the groove", run!(compute))
        .says("This decides whether a belt that shows no cracks is worn all the same.")
        .equation("w = 2 (s₀ − s) tan(γ/2);  share = w / rib")
        .takes([
            number("stands-new", "s₀", "Pin stands above the ribs, new belt", Unit::MM, 0.60)
                .within(-5.0, 10.0),
            number("stands", "s", "Pin stands above the ribs now", Unit::MM, 0.35).within(-5.0, 10.0),
            number("angle", "γ", "Groove angle", Unit::DEG, 40.0).within(20.0, 90.0).or(40.0),
            number("pitch", "", "Distance from rib to rib", Unit::MM, 3.56).within(1.0, 20.0).or(3.56),
        ])
        .gives([
            result("deeper", "", "Pin sits deeper by", Unit::MM).rises(&["stands-new"]).falls(&["stands"]),
            result("widening", "w", "Groove wider by", Unit::MM).rises(&["stands-new"]).falls(&["stands"]),
            result("share", "", "Of the rib's pitch", Unit::PERCENT)
                .rises(&["stands-new"])
                .falls(&["stands"]),
        ])
        .holds(
            "Holds for straight flanks and one pin for both readings. Loss of a tenth of the rib \
             makes a belt slip or bottom (common practice); rib pitch 3.56 mm and groove 40° from \
             ISO 9981, from memory.",
        )
        .caution("Engine off and key out before a hand goes near a belt.")
        .source("geometry of a circle in a wedge; ISO 9981, from memory")
        .diagram("ribbed-belt")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let deeper = given.number("stands-new") - given.number("stands");
    let widening = groove_widening(deeper, given.number("angle"))?;
    out.number("deeper", deeper);
    out.number("widening", widening);
    out.number("share", widening / above_zero("distance from rib to rib", given.number("pitch"))?);
    Ok(())
}
