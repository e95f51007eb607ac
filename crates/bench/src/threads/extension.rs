//! A torque wrench with an extension on its head.

use crate::prelude::*;

/// Setting of a wrench with an extension: `S = T L / (L + E cos φ)`.
///
/// `T` torque wanted (N·m), `L` wrench from its square to the middle of the grip, `E` extension from square to
/// fastener (m), `φ` angle between the two (rad); gives N·m. Scalars. Holds for a pull at the middle of the grip,
/// square to the wrench.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] when the extension turns back past the grip.
///
/// Source: statics; printed in torque-wrench handbooks. Checked: `reference/fasteners.json`.
pub fn wrench_setting<D: Dual>(torque: D, wrench: D, extension: D, angle: D) -> Result<D, BenchError> {
    let l = above_zero("wrench length", wrench)?;
    let reach = l + not_negative("extension", extension)? * angle.cos();
    require(reach.re() > 0.0, "the extension turns back past the grip")?;
    Ok(torque * l / reach)
}

pub(crate) fn formula() -> Formula {
    Formula::new("wrench-extension", Job::Threads, "Torque wrench with an extension", run!(compute))
        .says("This decides what to set on the wrench when an extension reaches the fastener.")
        .equation("S = T L / (L + E cos φ)")
        .takes([
            number("torque", "T", "Torque wanted", Unit::N_M, 80.0).within(0.1, 5000.0),
            number("wrench", "L", "Wrench, square to middle of grip", Unit::MM, 400.0).within(5.0, 3000.0),
            number("extension", "E", "Extension, square to fastener", Unit::MM, 50.0).within(0.0, 2000.0),
            number("angle", "φ", "Angle between extension and wrench", Unit::DEG, 0.0)
                .within(-180.0, 180.0)
                .or(0.0),
        ])
        .gives([result("setting", "S", "Setting of the wrench", Unit::N_M).rises(&["torque"])])
        .holds(
            "Holds for a pull at the middle of the grip, square to the wrench. At a right angle \
             nothing changes.",
        )
        .caution("The maker's torque rules. Pull, never push, and not past the click.")
        .source("statics; printed in torque-wrench handbooks")
        .diagram("wrench")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (torque, wrench) = (given.number("torque"), given.number("wrench"));
    out.number("setting", wrench_setting(torque, wrench, given.number("extension"), given.number("angle"))?);
    Ok(())
}
