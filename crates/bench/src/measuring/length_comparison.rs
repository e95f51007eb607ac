//! A length from its difference to a standard, both at a temperature of the day.

use crate::prelude::*;

/// What the comparison is made of.
#[derive(Debug, Clone, Copy)]
pub struct Comparison<'a, D> {
    /// Length of the standard at its reference temperature (m).
    pub standard: D,
    /// What the comparator showed, work less standard (m).
    pub difference: D,
    /// Corrections of the comparator, usually nought but uncertain (m).
    pub corrections: &'a [D],
    /// Expansion of the standard (1/K).
    pub expansion: D,
    /// Expansion of the work less that of the standard (1/K).
    pub expansion_difference: D,
    /// Mean temperature less the reference temperature (K).
    pub deviation: D,
    /// What the temperature swings about that mean (K).
    pub swing: D,
    /// Temperature of the work less that of the standard (K).
    pub temperature_difference: D,
}

/// Length of the work at the reference temperature: `l = l_s + d + Σ d_i − l_s (δα (θ̄ + Δ) + α_s δθ)`. Scalars.
///
/// Holds to first order in the expansion, for work and standard of nearly one length.
///
/// # Errors
/// [`Problem::NotPositive`] for the standard.
///
/// Source: JCGM 100:2008 H.1. Checked: `reference/worked.json`, `reference/metrology.json`.
pub fn length_comparison<D: Dual>(of: &Comparison<'_, D>) -> Result<D, BenchError> {
    let standard = above_zero("length of the standard", of.standard)?;
    let corrections = of.corrections.iter().fold(D::from(0.0), |sum, correction| sum + *correction);
    Ok(standard + of.difference + corrections - grown(of))
}

/// How much longer the work would be against the standard on that day, were both equal at the reference temperature.
fn grown<D: Dual>(of: &Comparison<'_, D>) -> D {
    of.standard
        * (of.expansion_difference * (of.deviation + of.swing) + of.expansion * of.temperature_difference)
}

pub(crate) fn formula() -> Formula {
    Formula::new("length-comparison", Job::Measuring, "Length by comparison with a standard", run!(compute))
        .says("This decides what a part measures at 20 °C when it and the standard are not, and how well that is known.")
        .equation("l = l_s + d + Σ d_i − l_s (δα (θ̄ + Δ) + α_s δθ)")
        .takes([
            number("standard", "l_s", "Length of the standard, from its certificate", Unit::MM, 50.000623)
                .within(0.1, 2000.0)
                .to(1e-6),
            number("difference", "d", "Work less standard, as shown", Unit::UM, 0.215).within(-10_000.0, 10_000.0),
            numbers("corrections", "d_i", "Corrections of the comparator", Unit::UM, &[0.0, 0.0])
                .within(-1000.0, 1000.0)
                .optional(),
            number("expansion", "α_s", "Expansion of the standard", Unit::UM_PER_M_K, 11.5).within(0.0, 60.0),
            number(
                "expansion-difference",
                "δα",
                "Expansion of the work less that of the standard",
                Unit::UM_PER_M_K,
                0.0,
            )
            .within(-60.0, 60.0)
            .or(0.0),
            number("deviation", "θ̄", "Mean temperature above 20 °C", Unit::K, -0.1).within(-40.0, 40.0),
            number("swing", "Δ", "Swing of the temperature about its mean", Unit::K, 0.0)
                .within(-20.0, 20.0)
                .or(0.0),
            number("temperature-difference", "δθ", "Work warmer than the standard by", Unit::K, 0.0)
                .within(-40.0, 40.0)
                .or(0.0),
        ])
        .gives([
            result("length", "l", "Length of the work at 20 °C", Unit::MM)
                .to(1e-6)
                .rises(&["difference", "corrections"]),
            result("grown", "", "Apparent growth taken off", Unit::UM),
        ])
        .holds(
            "Holds when work and standard are of nearly one length and have lain together long enough to be at rest. \
             Values that are nought but uncertain belong in: they carry the uncertainty.",
        )
        .source("JCGM 100:2008 H.1, end-gauge calibration")
        .diagram("length-comparison")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let of = Comparison {
        standard: given.number("standard"),
        difference: given.number("difference"),
        corrections: given.numbers("corrections"),
        expansion: given.number("expansion"),
        expansion_difference: given.number("expansion-difference"),
        deviation: given.number("deviation"),
        swing: given.number("swing"),
        temperature_difference: given.number("temperature-difference"),
    };
    out.number("length", length_comparison(&of)?);
    out.number("grown", grown(&of));
    Ok(())
}
