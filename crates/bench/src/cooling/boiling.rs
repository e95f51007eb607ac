//! Where coolant boils under its cap.

use crate::cylinders::atmosphere::SEA_LEVEL;
use crate::fluids::glycol::share_given;
use crate::prelude::*;

/// Coefficients of the saturation line of water. Source: IAPWS-IF97, region 4, Table 34.
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Boiling temperature of water.
///
/// `p` absolute pressure (Pa), 611 Pa to 22 MPa; gives K. Scalar.
///
/// # Errors
/// [`Problem::Impossible`] outside that range.
///
/// Source: IAPWS-IF97, equation 31. Checked: `reference/coolant.json`.
pub fn water_boiling<D: Dual>(pressure: D) -> Result<D, BenchError> {
    require(
        (611.213..=22.064e6).contains(&pressure.re()),
        "the saturation line reaches from 611 Pa to 22 MPa",
    )?;
    let beta = (pressure * 1e-6).powf(0.25);
    let e = beta.powi(2) + beta * N[2] + N[5];
    let f = beta.powi(2) * N[0] + beta * N[3] + N[6];
    let g = beta.powi(2) * N[1] + beta * N[4] + N[7];
    let d = g * 2.0 / (-f - (f.powi(2) - e * g * 4.0).sqrt());
    let sum = d + N[9];
    Ok((sum - (sum.powi(2) - (d * N[9] + N[8]) * 4.0).sqrt()) * 0.5)
}

/// Vapour pressure of water (Pa) at a temperature (K), 273.15 to 647 K.
///
/// Source: IAPWS-IF97, equation 30. Checked: below, against its inverse.
fn water_vapour_pressure<D: Dual>(temperature: D) -> D {
    let theta = temperature + (temperature - N[9]).recip() * N[8];
    let a = theta.powi(2) + theta * N[0] + N[1];
    let b = theta.powi(2) * N[2] + theta * N[3] + N[4];
    let c = theta.powi(2) * N[5] + theta * N[6] + N[7];
    (c * 2.0 / (-b + (b.powi(2) - a * c * 4.0).sqrt())).powi(4) * 1e6
}

/// Vapour pressure of ethylene glycol (Pa) at a temperature (K), 260 to 720 K.
///
/// Source: DIPPR equation 101 with the coefficients of Perry's Chemical Engineers' Handbook, 8th edition, Table 2-8.
fn glycol_vapour_pressure<D: Dual>(temperature: D) -> D {
    let t = temperature;
    (t.recip() * -10_411.0 + t.ln() * -8.1976 + t.powi(6) * 1.6536e-18 + 84.09).exp()
}

/// Molar masses (g/mol) of ethylene glycol and water. Source: standard atomic weights.
const GLYCOL_MOLAR: f64 = 62.06784;
const WATER_MOLAR: f64 = 18.01528;

/// Boiling temperature of water with ethylene glycol: `Σ x_i p_i(T) = p`, an ideal solution.
///
/// `w` share of glycol by mass (1), `p` absolute pressure (Pa); gives K. Scalars.
/// Holds to a kelvin or so up to about 60 % by mass.
///
/// # Errors
/// [`Problem::Impossible`] outside 0 to 1 by mass or 20 kPa to 1 MPa.
///
/// Source: Raoult's law. Checked: `reference/coolant.json`.
pub fn coolant_boiling<D: Dual>(mass_share: D, pressure: D) -> Result<D, BenchError> {
    require((0.0..=1.0).contains(&mass_share.re()), "a share lies between 0 and 100 %")?;
    require((2e4..=1e6).contains(&pressure.re()), "the pressure must lie between 0.2 and 10 bar absolute")?;
    let (glycol, water) = (mass_share / GLYCOL_MOLAR, (-mass_share + 1.0) / WATER_MOLAR);
    let x = glycol / (glycol + water);
    // The logarithm is nearly straight over 1/T, so Newton's steps from the water side settle in a few.
    let excess =
        |t: D| (glycol_vapour_pressure(t) * x + water_vapour_pressure(t) * (-x + 1.0)).ln() - pressure.ln();
    let mut t = 373.15 + 80.0 * x.re();
    for _ in 0..40 {
        let (here, there) = (excess(D::from(t)).re(), excess(D::from(t + 1e-4)).re());
        let step = here / ((there - here) / 1e-4);
        t = (t - step).clamp(290.0, 600.0);
        if step.abs() < 1e-10 {
            break;
        }
    }
    // The last step is taken with derivatives: the root's slopes follow from those of the equation.
    let slope = (excess(D::from(t + 1e-3)).re() - excess(D::from(t - 1e-3)).re()) / 2e-3;
    Ok(D::from(t) - excess(D::from(t)) / slope)
}

const CAUTION: &str = "Never open a hot cooling system: under pressure it boils out over whoever opens it.";

pub(crate) fn water() -> Formula {
    Formula::new(
        "water-boiling-under-cap",
        Job::Cooling,
        "Boiling point of water under a cap",
        run!(compute_water),
    )
    .says("This decides how much a cap's pressure lifts the boiling point.")
    .equation("T_sat(p_a + p_cap)")
    .takes([
        number("cap", "p_cap", "Cap pressure, on the gauge", Unit::BAR, 0.9).within(0.0, 3.0),
        number("atmosphere", "p_a", "Air pressure", Unit::BAR, 1.013_25).within(0.4, 1.1).or(SEA_LEVEL / 1e5),
    ])
    .gives([result("boiling", "", "Boiling point", Unit::CELSIUS).rises(&["cap", "atmosphere"])])
    .holds("Holds for plain water and a cap that keeps its pressure.")
    .caution(CAUTION)
    .source("IAPWS-IF97, region 4")
    .diagram("coolant")
    .fitted()
}

fn compute_water<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let pressure = given.number("cap") + given.number("atmosphere");
    out.step("absolute pressure", pressure, Unit::BAR);
    out.number("boiling", water_boiling(pressure)?);
    Ok(())
}

pub(crate) fn mixture() -> Formula {
    Formula::new(
        "coolant-boiling",
        Job::Cooling,
        "Coolant: boiling point under the cap",
        run!(compute_mixture),
    )
    .says("This decides how far the hottest coolant is from boiling.")
    .equation("Σ x_i p_i(T) = p_a + p_cap;  margin = T − T_max")
    .takes([
        number("by-mass", "w", "Glycol by mass", Unit::PERCENT, 50.0).within(0.0, 80.0).optional(),
        number("by-volume", "φ", "Glycol by volume, in place of by mass", Unit::PERCENT, 50.0)
            .within(0.0, 78.0)
            .alternative(),
        number("cap", "p_cap", "Cap pressure, on the gauge", Unit::BAR, 1.0).within(0.0, 3.0),
        number("atmosphere", "p_a", "Air pressure", Unit::BAR, 1.013_25).within(0.4, 1.1).or(SEA_LEVEL / 1e5),
        number("hottest", "T_max", "Hottest coolant seen", Unit::CELSIUS, 108.0)
            .within(0.0, 200.0)
            .optional(),
    ])
    .gives([
        result("boiling", "T", "Boiling point", Unit::CELSIUS).rises(&[
            "by-mass",
            "by-volume",
            "cap",
            "atmosphere",
        ]),
        result("margin", "", "Margin to boiling", Unit::K)
            .rises(&["by-mass", "by-volume", "cap", "atmosphere"])
            .falls(&["hottest"]),
    ])
    .holds(
        "Holds to a kelvin or so for ethylene glycol with water. Give one of the two shares. A \
         cap that leaks counts as none.",
    )
    .caution(CAUTION)
    .source("Raoult's law; IAPWS-IF97; Perry's Chemical Engineers' Handbook, 8th edition, Table 2-8")
    .diagram("coolant")
    .fitted()
}

fn compute_mixture<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let share = share_given(given)?;
    let pressure = given.number("cap") + given.number("atmosphere");
    let boiling = coolant_boiling(share, pressure)?;
    out.step("glycol by mass", share, Unit::PERCENT);
    out.step("absolute pressure", pressure, Unit::BAR);
    out.step("plain water would boil at", water_boiling(pressure)?, Unit::CELSIUS);
    out.number("boiling", boiling);
    if let Some(hottest) = given.maybe("hottest") {
        out.number("margin", boiling - hottest);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: IAPWS-IF97, Tables 35 and 36 (p at 300, 500, 600 K; T at 0.1, 1, 10 MPa).
    #[test]
    fn the_saturation_line_meets_its_published_check_values() {
        for (t, p) in [(300.0_f64, 0.353658941e-2), (500.0, 0.263889776e1), (600.0, 0.123443146e2)] {
            assert!((water_vapour_pressure(t) / (p * 1e6) - 1.0).abs() < 1e-8, "{t}");
        }
        for (p, t) in [(0.1_f64, 0.372755919e3), (1.0, 0.453035632e3), (10.0, 0.584149488e3)] {
            assert!((water_boiling(p * 1e6).unwrap() / t - 1.0).abs() < 1e-8, "{p}");
        }
    }

    #[test]
    fn no_glycol_is_water_and_all_glycol_is_glycol() {
        let p: f64 = 101_325.0;
        assert!((coolant_boiling(0.0, p).unwrap() - water_boiling(p).unwrap()).abs() < 1e-5);
        // Normal boiling point of ethylene glycol 197.3 °C, standard tables.
        assert!((coolant_boiling(1.0, p).unwrap() - 273.15 - 197.3).abs() < 0.6);
    }
}
