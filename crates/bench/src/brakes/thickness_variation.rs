//! A disc measured around its face.

use crate::prelude::*;
use crate::{larger, smaller};

/// Thickness variation and least thickness of a disc measured at several points around it: `ΔT = max t − min t`.
///
/// `t` thicknesses (m), two or more, at one radius; gives variation and least thickness (m).
/// Holds for points read at one radius with the same anvils.
///
/// # Errors
/// [`Problem::Impossible`] when the list is empty.
///
/// Source: definition. Checked: `reference/brake_disc.json`.
pub fn thickness_variation<D: Dual>(thickness: &[D]) -> Result<(D, D), BenchError> {
    let least = thickness.iter().copied().reduce(smaller);
    let most = thickness.iter().copied().reduce(larger);
    match (least, most) {
        (Some(least), Some(most)) => Ok((most - least, least)),
        _ => Err(Problem::Impossible { rule: "a disc without a reading has no thickness" }.into()),
    }
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "disc-thickness-variation",
        Job::Brakes,
        "Brake disc: thickness variation around the face",
        run!(compute),
    )
    .says(
        "This decides whether a pulsing pedal comes from the disc, and where the disc is \
         thinnest.",
    )
    .equation("ΔT = max t − min t")
    .takes([numbers(
        "thickness",
        "t",
        "Thickness at points around one radius",
        Unit::MM,
        &[22.004, 22.001, 21.998, 22.006, 22.003, 22.0, 22.002, 22.005],
    )
    .within(2.0, 60.0)
    .at_least(2)])
    .gives([
        result("variation", "ΔT", "Thickness variation", Unit::UM),
        result("least", "min t", "Least thickness", Unit::MM).rises(&["thickness"]),
    ])
    .holds(
        "Holds for points read at one radius, the same distance from the edge. The largest of \
         several equal readings less the smallest is never nought: a micrometer that repeats to \
         2 µm shows 5 to 6 µm on a flat disc.",
    )
    .caution(
        "Support the car on stands before a wheel comes off. Brake dust: never blow it; wipe it \
         wet.",
    )
    .source("definition")
    .diagram("disc")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (variation, least) = thickness_variation(given.numbers("thickness"))?;
    out.step("thickest point", variation + least, Unit::MM);
    out.step("thinnest point", least, Unit::MM);
    out.number("variation", variation);
    out.number("least", least);
    Ok(())
}
