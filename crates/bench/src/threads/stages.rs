//! A tightening in stages.

use crate::prelude::*;

/// Torque at each stage: a share of the final one.
///
/// `T` final torque (N·m), shares (1, rising, the last 1); gives N·m.
///
/// # Errors
/// [`Problem::Impossible`] when the shares do not rise to 100 %.
///
/// Source: common practice, no source. Checked: `reference/worked.json`.
pub fn stage_torques<D: Dual>(torque: D, shares: &[D]) -> Result<Vec<D>, BenchError> {
    let rises = crate::maths::table::rising(shares);
    let full = shares.last().is_some_and(|last| (last.re() - 1.0).abs() < 1e-9);
    require(rises && full, "stages must rise, and the last is 100 %")?;
    Ok(shares.iter().map(|share| torque * *share).collect())
}

pub(crate) fn formula() -> Formula {
    Formula::new("tightening-stages", Job::Threads, "Tightening in stages", run!(compute))
        .says("This decides what to set on the wrench at each round of the pattern.")
        .equation("T_i = s_i T")
        .takes([
            number("torque", "T", "Final torque", Unit::N_M, 108.0).within(0.5, 5000.0),
            numbers("stages", "s", "Stages, in parts of the final torque", Unit::PERCENT, &[50.0, 100.0])
                .within(1.0, 100.0),
            number("angle", "φ", "Angle after the last stage", Unit::DEG, 0.0).within(0.0, 360.0).optional(),
            text("pattern", "Pattern", "a star").optional(),
        ])
        .gives([
            results("torques", "T_i", "Torque at each stage", Unit::N_M).rises(&["torque"]),
            wordlist("table", "Table to tick off"),
        ])
        .holds(
            "The maker's stages and pattern rule. Without them: half, then full, crosswise from the \
             middle outwards (common practice).",
        )
        .caution(
            "Wheels: the last stage with the car on the ground, checked again after 50 to 100 km. \
             Head bolts: cold, once only if angle-tightened.",
        )
        .source("common practice, no source")
        .diagram("stages")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let torques = stage_torques(given.number("torque"), given.numbers("stages"))?;
    let pattern = match given.text("pattern") {
        "" => String::from("in the maker's pattern"),
        pattern => format!("in {pattern}"),
    };
    let mut table: Vec<String> = torques
        .iter()
        .enumerate()
        .map(|(at, torque)| format!("stage {}: {:.1} N·m, all of them {pattern}", at + 1, torque.re()))
        .collect();
    if let Some(angle) = given.maybe("angle").filter(|angle| angle.re() > 0.0) {
        table.push(format!("then {:.0}° further, all of them {pattern}", angle.re().to_degrees()));
    }
    out.numbers("torques", torques);
    out.texts("table", table);
    Ok(())
}
