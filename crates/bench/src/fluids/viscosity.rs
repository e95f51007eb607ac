//! Viscosity of an oil at another temperature, and of blends.

use crate::prelude::*;

/// Viscosity (m²/s) in the unit of the standard, mm²/s, under the double logarithm: `W = log log (ν + 0.7)`.
fn double_log<D: Dual>(viscosity: D) -> Result<D, BenchError> {
    let inner = (above_zero("viscosity", viscosity)? * 1e6 + 0.7).log10();
    require(inner.re() > 0.0, "the chart reaches down to a viscosity of 0.3 mm²/s")?;
    Ok(inner.log10())
}

fn from_double_log<D: Dual>(w: D) -> D {
    let ten = std::f64::consts::LN_10;
    let inner = (w * ten).exp();
    ((inner * ten).exp() - 0.7) * 1e-6
}

/// An oil's line on the viscosity chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViscosityLine<D> {
    pub a: D,
    pub b: D,
}

impl<D: Dual> ViscosityLine<D> {
    /// The line through two viscosities (m²/s) at two temperatures (K): `log log (ν + 0.7) = A − B log T`, ν in
    /// mm²/s.
    ///
    /// Holds for oils at temperatures at which they flow freely, from about 2 mm²/s up.
    ///
    /// # Errors
    /// [`Problem::Impossible`] for equal temperatures or viscosities below the chart.
    ///
    /// Source: ASTM D341. Checked: `reference/oils.json`.
    pub fn through(first: D, at_first: D, second: D, at_second: D) -> Result<Self, BenchError> {
        let (t1, t2) =
            (above_zero("temperature", at_first)?.log10(), above_zero("temperature", at_second)?.log10());
        require((t1 - t2).re().abs() > 1e-6, "two different temperatures are needed")?;
        let (w1, w2) = (double_log(first)?, double_log(second)?);
        let b = (w1 - w2) / (t2 - t1);
        Ok(Self { a: w1 + b * t1, b })
    }

    /// Viscosity (m²/s) at a temperature (K).
    pub fn at(&self, temperature: D) -> D {
        from_double_log(self.a - self.b * temperature.log10())
    }
}

/// Viscosity of a blend: `W = Σ x_i W_i` at one temperature.
///
/// `x_i` shares by volume (1, summing to 1), `ν_i` viscosities (m²/s); gives m²/s. Holds for oils that mix freely.
///
/// # Errors
/// [`Problem::Impossible`] when the shares do not add up to 1.
///
/// Source: ASTM D7152, from memory. Checked: `reference/oils.json`.
pub fn blend_viscosity<D: Dual>(shares: &[D], viscosities: &[D]) -> Result<D, BenchError> {
    let sum: f64 = shares.iter().map(D::re).sum();
    require((sum - 1.0).abs() < 1e-6, "the shares must add up to 100 %")?;
    let mut w = D::from(0.0);
    for (share, viscosity) in shares.iter().zip(viscosities) {
        w += *share * double_log(*viscosity)?;
    }
    Ok(from_double_log(w))
}

/// Dynamic viscosity: `η = ν ρ` (m²/s, kg/m³; gives Pa·s). Source: definition. Checked: `reference/oils.json`.
pub fn dynamic_viscosity<D: Dual>(kinematic: D, density: D) -> D {
    kinematic * density
}

const CAUTION: &str = "Hot oil burns; used oil harms skin: wear gloves.";

pub(crate) fn at_temperature() -> Formula {
    let viscosity =
        |key, symbol, title, example| number(key, symbol, title, Unit::MM2_PER_S, example).within(0.5, 1e5);
    let temperature =
        |key, symbol, title, example| number(key, symbol, title, Unit::CELSIUS, example).within(-60.0, 250.0);
    Formula::new("viscosity-at-temperature", Job::Fluids, "Oil viscosity at a temperature", run!(compute_at))
        .says("This decides how thick an oil is cold, or how thin on a hot day.")
        .equation("log log (ν + 0.7) = A − B log T, ν in mm²/s, T in K")
        .takes([
            viscosity("first", "ν₁", "Viscosity at the first temperature", 100.0),
            temperature("at-first", "T₁", "First temperature", 40.0),
            viscosity("second", "ν₂", "Viscosity at the second temperature", 14.5),
            temperature("at-second", "T₂", "Second temperature", 100.0),
            temperature("wanted", "T", "Temperature wanted", 130.0),
        ])
        .gives([
            result("viscosity", "ν", "Viscosity there", Unit::MM2_PER_S),
            result("a", "A", "A of the line", Unit::ONE),
            result("b", "B", "B of the line", Unit::ONE),
        ])
        .holds(
            "Holds where the oil flows freely, above its cloud point and down to about 2 mm²/s; far \
             outside the two points less surely.",
        )
        .caution(CAUTION)
        .source("ASTM D341")
        .diagram("viscosity-line")
        .fitted()
}

fn compute_at<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let line = ViscosityLine::through(
        given.number("first"),
        given.number("at-first"),
        given.number("second"),
        given.number("at-second"),
    )?;
    out.number("viscosity", line.at(given.number("wanted")));
    out.number("a", line.a);
    out.number("b", line.b);
    Ok(())
}

pub(crate) fn blend() -> Formula {
    Formula::new("oil-blend", Job::Fluids, "Viscosity of a blend of oils", run!(compute_blend))
        .says("This decides what a top-up with another grade makes of the oil.")
        .equation("W = log log (ν + 0.7);  W = Σ x_i W_i")
        .takes([
            numbers("shares", "x", "Shares by volume", Unit::PERCENT, &[80.0, 20.0]).within(0.0, 100.0),
            numbers("viscosities", "ν", "Viscosities at one temperature", Unit::MM2_PER_S, &[100.0, 32.0])
                .beside("shares")
                .within(0.5, 1e5),
        ])
        .gives([result("viscosity", "ν", "Viscosity of the blend", Unit::MM2_PER_S).rises(&["viscosities"])])
        .holds("Holds for oils that mix freely, all at one temperature. Approvals do not blend.")
        .caution(CAUTION)
        .source("ASTM D7152, from memory")
        .diagram("viscosity-line")
        .fitted()
}

fn compute_blend<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["shares", "viscosities"])?;
    out.number("viscosity", blend_viscosity(given.numbers("shares"), given.numbers("viscosities"))?);
    Ok(())
}

pub(crate) fn dynamic() -> Formula {
    Formula::new("dynamic-viscosity", Job::Fluids, "Dynamic from kinematic viscosity", run!(compute_dynamic))
        .says("This decides whether a reading in mPa·s fits a limit in mm²/s.")
        .equation("η = ν ρ")
        .takes([
            number("kinematic", "ν", "Kinematic viscosity", Unit::MM2_PER_S, 100.0).within(0.1, 1e6),
            number("density", "ρ", "Density at that temperature", Unit::KG_PER_M3, 870.0)
                .within(500.0, 2000.0),
        ])
        .gives([result("dynamic", "η", "Dynamic viscosity", Unit::MPA_S).rises(&["kinematic", "density"])])
        .holds("Holds for both at one temperature.")
        .caution(CAUTION)
        .source("definition")
        .diagram("viscosity-line")
}

fn compute_dynamic<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("dynamic", dynamic_viscosity(given.number("kinematic"), given.number("density")));
    Ok(())
}
