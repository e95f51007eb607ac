//! Water and ethylene glycol: freezing point, density, shares.

use crate::prelude::*;

/// Middle of the fits: 30.8462 % by mass, 31.728 °C. Source: Melinder 2010, as printed in open property libraries.
const MIDDLE: (f64, f64) = (30.8462, 31.728);

/// Freezing point in °C by powers of the share by mass (%) from the middle.
/// Source: Melinder, Properties of Secondary Working Fluids (IIR 2010), as printed in open property libraries.
const FREEZING: [f64; 6] = [-1.525e1, -8.080e-1, -1.334e-2, -7.293e-5, 1.006e-6, 1.140e-9];

/// Density in kg/m³ by powers of the share (rows) and of the temperature (columns) from the middle. Source: as above.
const DENSITY: [[f64; 4]; 6] = [
    [1.034e3, -4.781e-1, -2.692e-3, 4.725e-6],
    [1.311, -6.876e-3, 4.805e-5, 1.690e-8],
    [7.490e-5, 7.855e-5, -3.995e-7, 4.982e-9],
    [-1.062e-4, 1.229e-6, -1.153e-8, 0.0],
    [-9.623e-7, -7.211e-8, 0.0, 0.0],
    [4.891e-8, 0.0, 0.0, 0.0],
];

/// Freezing point of water with ethylene glycol.
///
/// `w` share of glycol by mass (1), 0 to 0.6; gives K. Scalar. Holds to about 0.56; above that the curve turns up
/// again.
///
/// # Errors
/// [`Problem::Impossible`] outside 0 to 0.6.
///
/// Source: Melinder 2010 (fit). Checked: `reference/coolant.json`.
pub fn glycol_freezing<D: Dual>(mass_share: D) -> Result<D, BenchError> {
    let x = in_fit(mass_share)?;
    Ok(FREEZING.iter().rev().fold(D::from(0.0), |sum, c| sum * x + *c) + 273.15)
}

/// Density of water with ethylene glycol.
///
/// `w` share of glycol by mass (1), 0 to 0.6, `T` (K); gives kg/m³. Scalars. Holds from freezing to 100 °C.
///
/// # Errors
/// [`Problem::Impossible`] outside 0 to 0.6.
///
/// Source: Melinder 2010 (fit). Checked: `reference/coolant.json`.
pub fn glycol_density<D: Dual>(mass_share: D, temperature: D) -> Result<D, BenchError> {
    let x = in_fit(mass_share)?;
    let y = temperature - 273.15 - MIDDLE.1;
    let row = |row: &[f64; 4]| row.iter().rev().fold(D::from(0.0), |sum, c| sum * y + *c);
    Ok(DENSITY.iter().rev().fold(D::from(0.0), |sum, coefficients| sum * x + row(coefficients)))
}

fn in_fit<D: Dual>(mass_share: D) -> Result<D, BenchError> {
    require((0.0..=0.6).contains(&mass_share.re()), "the fit holds from 0 to 60 % by mass")?;
    Ok(mass_share * 100.0 - MIDDLE.0)
}

/// Share by mass from share by volume: `w = φ ρ_g / (φ ρ_g + (1 − φ) ρ_w)`.
///
/// `φ` share of glycol by volume before mixing (1), densities (kg/m³); gives `w` (1). Scalars. Shrinking on mixing
/// left out.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition. Checked: `reference/coolant.json`.
pub fn mass_share<D: Dual>(volume_share: D, glycol_density: D, water_density: D) -> Result<D, BenchError> {
    let glycol = volume_share * above_zero("density of glycol", glycol_density)?;
    Ok(glycol / (glycol + (-volume_share + 1.0) * above_zero("density of water", water_density)?))
}

/// Densities at 20 °C (kg/m³): ethylene glycol and water. Source: standard tables.
const GLYCOL: f64 = 1113.4;
const WATER: f64 = 998.2;

const CAUTION: &str = "Glycol poisons people and animals: no puddles, no open pans. Never open a hot cooling \
     system.";

pub(crate) fn freezing() -> Formula {
    Formula::new(
        "coolant-freezing",
        Job::Fluids,
        "Coolant: freezing point of a mixture",
        run!(compute_freezing),
    )
    .says("This decides whether the coolant stands the winter.")
    .equation("fit of freezing point over share by mass;  w = φ ρ_g / (φ ρ_g + (1 − φ) ρ_w)")
    .takes([
        number("by-mass", "w", "Glycol by mass", Unit::PERCENT, 50.0).within(0.0, 60.0).optional(),
        number("by-volume", "φ", "Glycol by volume, in place of by mass", Unit::PERCENT, 50.0)
            .within(0.0, 57.0)
            .alternative(),
    ])
    .gives([
        result("freezing", "", "Freezing point", Unit::CELSIUS).falls(&["by-mass", "by-volume"]),
        result("mass-share", "w", "Glycol by mass", Unit::PERCENT).rises(&["by-mass", "by-volume"]),
    ])
    .holds(
        "Holds for ethylene glycol with water to about 56 % by mass; stronger mixtures freeze \
         earlier again. Give one of the two shares.",
    )
    .caution(CAUTION)
    .source(
        "Melinder, Properties of Secondary Working Fluids (IIR 2010), as printed in open \
         property libraries",
    )
    .diagram("coolant")
    .fitted()
}

fn compute_freezing<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let share = share_given(given)?;
    out.number("mass-share", share);
    out.number("freezing", glycol_freezing(share)?);
    Ok(())
}

/// Share by mass, given as such or by volume.
pub(crate) fn share_given<D: Dual>(given: &Given<'_, D>) -> Result<D, BenchError> {
    match (given.maybe("by-mass"), given.maybe("by-volume")) {
        (Some(share), None) => Ok(share),
        (None, Some(volume)) => mass_share(volume, D::from(GLYCOL), D::from(WATER)),
        _ => Err(Problem::Impossible { rule: "give the share of glycol either by mass or by volume" }.into()),
    }
}

pub(crate) fn density() -> Formula {
    Formula::new("coolant-density", Job::Fluids, "Coolant: density of a mixture", run!(compute_density))
        .says("This decides how many litres a weighed amount of coolant is.")
        .equation("fit of density over share by mass and temperature")
        .takes([
            number("by-mass", "w", "Glycol by mass", Unit::PERCENT, 50.0).within(0.0, 60.0),
            number("temperature", "T", "Temperature", Unit::CELSIUS, 20.0).within(-50.0, 110.0),
        ])
        .gives([result("density", "ρ", "Density", Unit::KG_PER_M3)
            .rises(&["by-mass"])
            .falls(&["temperature"])])
        .holds("Holds for ethylene glycol with water, from freezing to about 100 °C.")
        .caution(CAUTION)
        .source(
            "Melinder, Properties of Secondary Working Fluids (IIR 2010), as printed in open \
             property libraries",
        )
        .diagram("coolant")
        .fitted()
}

fn compute_density<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (share, temperature) = (given.number("by-mass"), given.number("temperature"));
    require(temperature.re() >= glycol_freezing(share)?.re(), "that mixture is frozen at that temperature")?;
    out.number("density", glycol_density(share, temperature)?);
    Ok(())
}

pub(crate) fn by_mass() -> Formula {
    Formula::new(
        "glycol-by-mass",
        Job::Fluids,
        "Coolant: from share by volume to share by mass",
        run!(compute_by_mass),
    )
    .says("This decides which table a mixture by volume belongs to.")
    .equation("w = φ ρ_g / (φ ρ_g + (1 − φ) ρ_w)")
    .takes([
        number("by-volume", "φ", "Glycol by volume, before mixing", Unit::PERCENT, 50.0).within(0.0, 100.0),
        number("glycol-density", "ρ_g", "Density of glycol", Unit::KG_PER_M3, GLYCOL)
            .within(900.0, 1300.0)
            .or(GLYCOL),
        number("water-density", "ρ_w", "Density of water", Unit::KG_PER_M3, WATER)
            .within(950.0, 1010.0)
            .or(WATER),
    ])
    .gives([result("by-mass", "w", "Glycol by mass", Unit::PERCENT).rises(&["by-volume"])])
    .holds("Holds for volumes before mixing; the mixture shrinks by about a hundredth.")
    .caution(CAUTION)
    .source("definition; densities at 20 °C: standard tables")
    .diagram("coolant")
}

fn compute_by_mass<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let share =
        mass_share(given.number("by-volume"), given.number("glycol-density"), given.number("water-density"))?;
    out.number("by-mass", share);
    Ok(())
}
