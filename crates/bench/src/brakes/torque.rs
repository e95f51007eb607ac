//! What a disc brake makes of pressure.

use crate::clutch::line::bore_area;
use crate::prelude::*;

/// Clamp force and torque of a disc brake: `N = p k π/4 d²`, `T = 2 μ N r`.
///
/// `p` pressure (Pa), `k` pistons on one side, `d` piston bore, `r` effective radius (m), `μ` friction of the pad;
/// gives N and N·m. Scalars. Holds for sliding and fixed calipers alike: two faces, one clamp force.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: statics. Checked: `reference/hydraulics_clutch.json`.
pub fn disc_brake_torque<D: Dual>(
    pressure: D,
    pistons: D,
    bore: D,
    friction: D,
    radius: D,
) -> Result<(D, D), BenchError> {
    let clamp = pressure * above_zero("pistons", pistons)? * bore_area("piston bore", bore)?;
    Ok((clamp, clamp * friction * above_zero("effective radius", radius)? * 2.0))
}

pub(crate) fn formula() -> Formula {
    Formula::new("disc-brake-torque", Job::Brakes, "Disc brake: clamp force and torque", run!(compute))
        .says("This decides what a caliper, pad or disc of another size does to the balance.")
        .equation("N = p k π/4 d²;  T = 2 μ N r")
        .takes([
            number("pressure", "p", "Line pressure", Unit::BAR, 60.0).within(0.0, 250.0),
            number("pistons", "k", "Pistons on one side", Unit::COUNT, 1.0).within(1.0, 8.0),
            number("bore", "d", "Piston bore", Unit::MM, 54.0).within(10.0, 100.0),
            number("friction", "μ", "Friction of the pad", Unit::ONE, 0.4).within(0.05, 1.0),
            number("radius", "r", "Effective radius", Unit::MM, 118.0).within(30.0, 400.0),
        ])
        .gives([
            result("clamp", "N", "Clamp force", Unit::KN).rises(&["pressure", "pistons", "bore"]),
            result("torque", "T", "Brake torque", Unit::N_M)
                .rises(&["pressure", "pistons", "bore", "friction", "radius"]),
        ])
        .holds(
            "Holds for sliding and fixed calipers alike. Pad friction falls with heat; seal drag \
             takes a little.",
        )
        .caution(
            "Brakes are changed only within type approval and the maker's data; a second person \
             checks them before the road.",
        )
        .source("statics")
        .diagram("disc-brake")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let bore = given.number("bore");
    let (clamp, torque) = disc_brake_torque(
        given.number("pressure"),
        given.number("pistons"),
        bore,
        given.number("friction"),
        given.number("radius"),
    )?;
    out.step("area of a piston", bore_area("piston bore", bore)?, Unit::CM2);
    out.number("clamp", clamp);
    out.number("torque", torque);
    Ok(())
}
