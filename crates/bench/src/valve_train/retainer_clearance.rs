//! Room between the spring retainer and the valve seal at full lift.

use crate::prelude::*;

/// Retainer-to-seal clearance at full lift: `c = h − b − e − s`.
///
/// `h` installed height, `b` how far the retainer's boss reaches below its spring face, `e` top of the seal above the
/// spring seat, `s` lift at the valve (m); gives `c` (m). Scalars. Holds for parts measured as assembled.
///
/// # Errors
/// [`Problem::Negative`] for a lift below zero.
///
/// Source: geometry. Checked: `reference/worked.json`.
pub fn retainer_clearance<D: Dual>(
    installed_height: D,
    boss: D,
    seal_height: D,
    lift: D,
) -> Result<D, BenchError> {
    Ok(installed_height - boss - seal_height - not_negative("lift", lift)?)
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "retainer-seal-clearance",
        Job::ValveTrain,
        "Retainer to valve seal at full lift",
        run!(compute),
    )
    .says("This decides whether a higher lift or a taller seal would crush the seal.")
    .equation("c = h − b − e − s")
    .takes([
        number("installed-height", "h", "Installed height, spring seat to retainer", Unit::MM, 36.0)
            .within(8.0, 120.0),
        number("boss", "b", "Retainer's boss below its spring face", Unit::MM, 4.0).within(0.0, 20.0).or(0.0),
        number("seal-height", "e", "Top of the seal above the spring seat", Unit::MM, 19.5).within(0.0, 80.0),
        number("lift", "s", "Lift at the valve", Unit::MM, 10.5).within(0.0, 25.0),
    ])
    .gives([result("clearance", "c", "Clearance at full lift", Unit::MM)
        .rises(&["installed-height"])
        .falls(&["boss", "seal-height", "lift"])])
    .holds(
        "Measure with the seal fitted. The trade keeps 0.8 mm or more (common practice); the \
         maker rules.",
    )
    .caution(
        "A compressed valve spring can throw its locks: wear glasses and use the proper \
         compressor.",
    )
    .source("geometry; 0.8 mm: common practice")
    .diagram("valve-spring")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (height, boss) = (given.number("installed-height"), given.number("boss"));
    let (seal, lift) = (given.number("seal-height"), given.number("lift"));
    out.step("closed, the retainer stands above the seal by", height - boss - seal, Unit::MM);
    let clearance = retainer_clearance(height, boss, seal, lift)?;
    out.number("clearance", clearance);
    if clearance.re() <= 0.0 {
        out.remark(|| "the retainer would strike the seal".into());
    }
    Ok(())
}
