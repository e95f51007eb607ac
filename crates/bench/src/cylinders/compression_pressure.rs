//! The pressure that cranking should make, here or at height.

use super::atmosphere::{SEA_LEVEL, standard_pressure};
use crate::prelude::*;

/// Pressure after polytropic compression: `p₂ = p₁ ε^n`.
///
/// `p₁` absolute pressure at the start (Pa), `ε` volume ratio, `n` exponent; gives `p₂` absolute (Pa). Scalars.
/// Holds without leakage; cold walls and slow cranking bring `n` down to about 1.2 to 1.3.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: gas law. Checked: `reference/engine.json`.
pub fn compressed_pressure<D: Dual>(start: D, ratio: D, exponent: D) -> Result<D, BenchError> {
    Ok(above_zero("starting pressure", start)? * above_zero("volume ratio", ratio)?.powd(exponent))
}

pub(crate) fn polytropic() -> Formula {
    Formula::new(
        "compression-pressure",
        Job::Cylinders,
        "Pressure after compression",
        run!(compute_polytropic),
    )
    .says("This decides what a sound cylinder should show on the gauge.")
    .equation("p₂ = p₁ ε^n;  gauge = p₂ − p_a")
    .takes([
        number("start", "p₁", "Absolute pressure at the start", Unit::BAR, 1.0).within(0.2, 3.0),
        number("ratio", "ε", "Volume ratio, effective", Unit::ONE, 7.5).within(1.0, 25.0),
        number("exponent", "n", "Exponent", Unit::ONE, 1.3).within(1.0, 1.4).or(1.3),
        number("atmosphere", "p_a", "Air pressure", Unit::BAR, 1.0).within(0.4, 1.1).or(1.013_25),
    ])
    .gives([
        result("absolute", "p₂", "Absolute pressure", Unit::BAR).rises(&["start", "ratio", "exponent"]),
        result("gauge", "", "On the gauge", Unit::BAR)
            .rises(&["start", "ratio", "exponent"])
            .falls(&["atmosphere"]),
    ])
    .holds(
        "Holds without leakage. Slow cranking and cold walls bring the exponent down to 1.2 to \
         1.3 (common practice).",
    )
    .source("gas law; exponents: common practice")
    .diagram("cylinder")
}

fn compute_polytropic<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let absolute =
        compressed_pressure(given.number("start"), given.number("ratio"), given.number("exponent"))?;
    out.number("absolute", absolute);
    out.number("gauge", absolute - given.number("atmosphere"));
    Ok(())
}

pub(crate) fn at_height() -> Formula {
    Formula::new(
        "cranking-pressure-at-height",
        Job::Cylinders,
        "Cranking pressure at height, and a reading brought to sea level",
        run!(compute_height),
    )
    .says("This decides whether a low reading is the engine or the mountain.")
    .equation(
        "p_a = p₀ (1 − 0.0065 h/288.15)^5.256;  gauge = p_a (ε^n − 1);  at sea level = reading \
         · p₀/p_a",
    )
    .takes([
        number("height", "h", "Height above sea level", Unit::M, 1500.0).within(-400.0, 5000.0),
        number("ratio", "ε", "Effective compression ratio", Unit::ONE, 8.0).within(1.0, 25.0),
        number("exponent", "n", "Exponent", Unit::ONE, 1.3).within(1.0, 1.4).or(1.3),
        number("reading", "", "Reading on the gauge", Unit::BAR, 11.3).within(0.0, 60.0).optional(),
    ])
    .gives([
        result("atmosphere", "p_a", "Air pressure at that height", Unit::BAR).falls(&["height"]),
        result("gauge", "", "To be expected on the gauge", Unit::BAR)
            .rises(&["ratio", "exponent"])
            .falls(&["height"]),
        result("at-sea-level", "", "The reading, brought to sea level", Unit::BAR)
            .rises(&["reading", "height"]),
    ])
    .holds(
        "Holds for the standard atmosphere; the weather moves it by 3 %. Compare readings of \
         one height and one gauge.",
    )
    .source("ISO 2533 (standard atmosphere); gas law")
    .diagram("cylinder")
    .fitted()
}

fn compute_height<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let atmosphere = standard_pressure(given.number("height"));
    let absolute = compressed_pressure(atmosphere, given.number("ratio"), given.number("exponent"))?;
    out.step("air pressure over that at sea level", atmosphere / SEA_LEVEL, Unit::PERCENT);
    out.number("atmosphere", atmosphere);
    out.number("gauge", absolute - atmosphere);
    if let Some(reading) = given.maybe("reading") {
        out.number("at-sea-level", reading * SEA_LEVEL / atmosphere);
    }
    Ok(())
}
