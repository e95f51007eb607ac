//! Run-out of hub and disc together, and the position in which they cancel best.

use crate::prelude::*;
use std::f64::consts::TAU;

/// Run-out of a disc on its hub in one position: two eccentric turns add as arrows,
/// `R = √(H² + D² + 2 H D cos φ)`.
///
/// `H` run-out of the hub face carried out to the disc's radius, `D` run-out of the disc by itself (m, full
/// readings), `φ` angle between their high points (rad); gives `R` (m). Scalars. Holds for plain wobble, once a
/// turn; waves of a bent disc do not cancel.
///
/// # Errors
/// [`Problem::Negative`].
///
/// Source: addition of harmonic motions. Checked: `reference/worked.json`.
pub fn run_out_together<D: Dual>(hub: D, disc: D, apart: D) -> Result<D, BenchError> {
    let (h, d) = (not_negative("hub run-out", hub)?, not_negative("disc run-out", disc)?);
    let square = h.powi(2) + d.powi(2) + h * d * apart.cos() * 2.0;
    // Equal and opposite cancel; the root has no slope there.
    Ok(if square.re() <= 0.0 { D::from(0.0) } else { square.sqrt() })
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "run-out-indexed",
        Job::Brakes,
        "Brake disc: turn it on the hub to cancel run-out",
        run!(compute),
    )
    .says("This decides on which stud the disc goes back, before anybody machines it.")
    .equation("R = √(H² + D² + 2 H D cos φ), least over the stud positions")
    .takes([
        number("hub", "H", "Run-out of the hub face, at the disc's radius", Unit::UM, 40.0)
            .within(0.0, 2000.0),
        number("hub-high", "", "Angle of the hub's high point from stud one", Unit::DEG, 30.0)
            .within(-360.0, 360.0),
        number("disc", "D", "Run-out of the disc by itself", Unit::UM, 50.0).within(0.0, 2000.0),
        number("disc-high", "", "Angle of the disc's high point from its hole one", Unit::DEG, 100.0)
            .within(-360.0, 360.0),
        number("studs", "", "Studs", Unit::COUNT, 4.0).within(1.0, 12.0),
    ])
    .gives([
        result("as-it-is", "R", "Run-out, hole one on stud one", Unit::UM),
        result("least", "", "Least run-out", Unit::UM),
        result("stud", "", "Put hole one on stud", Unit::COUNT),
    ])
    .holds(
        "Holds for plain wobble, once a turn. Clean both faces first. Pulsing comes from \
         thickness variation, which run-out makes over time.",
    )
    .caution(
        "Support the car on stands before a wheel comes off. Brake dust: never blow it; wipe it \
         wet.",
    )
    .source("addition of harmonic motions")
    .diagram("run-out")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (hub, disc) = (given.number("hub"), given.number("disc"));
    let apart = given.number("disc-high") - given.number("hub-high");
    let studs = given.number("studs").re().round().max(1.0);
    let mut best = (run_out_together(hub, disc, apart)?, 1.0);
    out.number("as-it-is", best.0);
    for stud in 1..studs as u32 {
        let turned = run_out_together(hub, disc, apart + f64::from(stud) * TAU / studs)?;
        // A nanometre's gain is no reason to turn it.
        if turned.re() < best.0.re() - 1e-9 {
            best = (turned, f64::from(stud) + 1.0);
        }
    }
    out.number("least", best.0);
    out.number("stud", D::from(best.1));
    Ok(())
}
