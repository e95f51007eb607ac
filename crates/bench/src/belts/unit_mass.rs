//! Mass of a belt for each metre, by weighing one.

use crate::prelude::*;

/// Mass per length of a weighed belt, whole and for each rib: `m = M / l`, `m / n`.
///
/// `M` mass (kg), `l` length (m), `n` ribs; gives kg/m. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition. Checked: `reference/belts.json`.
pub fn belt_unit_mass<D: Dual>(mass: D, length: D, ribs: D) -> Result<(D, D), BenchError> {
    let unit = above_zero("mass of the belt", mass)? / above_zero("length of the belt", length)?;
    Ok((unit, unit / above_zero("ribs", ribs)?))
}

pub(crate) fn formula() -> Formula {
    Formula::new("belt-unit-mass", Job::Belts, "Mass per length of a weighed belt", run!(compute))
        .says("This decides which mass per length the tension is reckoned with.")
        .equation("m = M / l;  m / n for each rib")
        .takes([
            number("mass", "M", "Mass of the belt", Unit::G, 103.0).within(5.0, 20_000.0),
            number("length", "l", "Length of the belt", Unit::MM, 1038.0).within(200.0, 10_000.0),
            number("ribs", "n", "Ribs", Unit::COUNT, 4.0).within(1.0, 30.0).or(1.0),
        ])
        .gives([
            result("unit-mass", "m", "Mass per length", Unit::KG_PER_M).rises(&["mass"]).falls(&["length"]),
            result("per-rib", "m/n", "Mass per length of a rib", Unit::KG_PER_M)
                .rises(&["mass"])
                .falls(&["length", "ribs"]),
        ])
        .holds("Holds for the belt weighed; a worn or oily one differs from new.")
        .source("definition")
        .diagram("belt-span")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (unit, rib) = belt_unit_mass(given.number("mass"), given.number("length"), given.number("ribs"))?;
    out.number("unit-mass", unit);
    out.number("per-rib", rib);
    Ok(())
}
