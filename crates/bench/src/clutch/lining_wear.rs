//! Wear of the clutch lining, seen from outside.

use crate::prelude::*;

/// Lining worn from how far the slave rests back: `w = Δx / (j k)`, and the share of what it has to give.
///
/// `Δx` slave's rest position against new (m), `j` fork ratio, `k` finger ratio (bearing travel over pressure-plate
/// travel), `w_max` wear from new to the rivets, both faces (m); gives `w` (m) and the share left (1). Scalars.
/// Holds for a cover that is not self-adjusting.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: levers. Checked: `reference/worked.json`.
pub fn lining_wear<D: Dual>(
    retreat: D,
    fork_ratio: D,
    finger_ratio: D,
    allowed: D,
) -> Result<(D, D), BenchError> {
    let worn = retreat / (above_zero("fork ratio", fork_ratio)? * above_zero("finger ratio", finger_ratio)?);
    Ok((worn, -worn / above_zero("wear allowed", allowed)? + 1.0))
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "clutch-lining-wear",
        Job::Clutch,
        "Clutch lining wear from the slave's rest position",
        run!(compute),
    )
    .says("This decides whether a clutch is planned with the next gearbox-out.")
    .equation("w = Δx / (j k);  left = 1 − w / w_max")
    .takes([
        number("retreat", "Δx", "Slave rests back against new by", Unit::MM, 6.0).within(-5.0, 60.0),
        number("fork-ratio", "j", "Fork ratio, slave travel over bearing travel", Unit::ONE, 1.8)
            .within(0.3, 5.0)
            .or(1.0),
        number("finger-ratio", "k", "Finger ratio, bearing travel over plate travel", Unit::ONE, 3.5)
            .within(1.0, 8.0),
        number("allowed", "w_max", "Wear from new to the rivets, both faces", Unit::MM, 2.0)
            .within(0.1, 10.0),
    ])
    .gives([
        result("worn", "w", "Lining worn, both faces", Unit::MM).rises(&["retreat"]),
        result("left", "", "Left", Unit::PERCENT).falls(&["retreat"]),
    ])
    .holds(
        "Holds for a cover that does not adjust itself; a self-adjusting one hides wear until \
         it slips.",
    )
    .caution("Chock the car; nobody presses the pedal while a hand is at the fork.")
    .source("levers")
    .diagram("clutch-release")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (fork, finger) = (given.number("fork-ratio"), given.number("finger-ratio"));
    let (worn, left) = lining_wear(given.number("retreat"), fork, finger, given.number("allowed"))?;
    out.step("slave travel for each part of wear", fork * finger, Unit::ONE);
    out.number("worn", worn);
    out.number("left", left);
    if left.re() <= 0.0 {
        out.remark(|| "worn to the rivets or past them".into());
    }
    Ok(())
}
