//! How little an oil thins with heat.

use super::viscosity_index_table::TABLE;
use crate::prelude::*;

/// L and H of the standard for a viscosity at 100 °C: straight lines in the table, from 70 mm²/s on the standard's
/// parabolas.
fn reference_oils<D: Dual>(y: D) -> Option<(D, D)> {
    if y.re() >= 70.0 {
        return Some(((y * 0.8353 + 14.67) * y - 216.0, (y * 0.1684 + 11.85) * y - 97.0));
    }
    TABLE.windows(2).find_map(|pair| match *pair {
        [(y0, l0, h0), (y1, l1, h1)] if y0 <= y.re() && y.re() <= y1 => {
            let share = (y - y0) / (y1 - y0);
            Some((share * (l1 - l0) + l0, share * (h1 - h0) + h0))
        }
        _ => None,
    })
}

/// Viscosity index: up to 100 `VI = 100 (L − U)/(L − H)`, above `VI = (10^N − 1)/0.00715 + 100`, `N = (log H − log
/// U)/log Y`.
///
/// `U` viscosity at 40 °C, `Y` at 100 °C (m²/s); gives the index (1). Scalars. Holds from 2 mm²/s at 100 °C.
///
/// # Errors
/// [`Problem::Impossible`] below 2 mm²/s at 100 °C, or for an oil thinner at 40 °C than at 100 °C.
///
/// Source: ASTM D2270 sections 5 and 6, Table 1. Checked: `reference/oils.json`.
pub fn viscosity_index<D: Dual>(at_40: D, at_100: D) -> Result<D, BenchError> {
    let (u, y) =
        (above_zero("viscosity at 40 °C", at_40)? * 1e6, above_zero("viscosity at 100 °C", at_100)? * 1e6);
    require(u.re() > y.re(), "an oil is thicker at 40 °C than at 100 °C")?;
    let (l, h) = reference_oils(y)
        .ok_or(Problem::Impossible { rule: "the standard begins at 2 mm²/s at 100 °C" })?;
    if u.re() >= h.re() {
        return Ok((l - u) / (l - h) * 100.0);
    }
    let n = (h.ln() - u.ln()) / y.ln();
    Ok(((n * std::f64::consts::LN_10).exp() - 1.0) / 0.00715 + 100.0)
}

pub(crate) fn formula() -> Formula {
    Formula::new("viscosity-index", Job::Fluids, "Viscosity index", run!(compute))
        .says(
            "This decides how little an oil thins with heat, and whether it still is what the can \
             said.",
        )
        .equation(
            "VI = 100 (L − U)/(L − H);  above 100: (10^N − 1)/0.00715 + 100, N = (log H − log \
             U)/log Y",
        )
        .takes([
            number("at-40", "U", "Viscosity at 40 °C", Unit::MM2_PER_S, 73.3).within(2.0, 10_000.0),
            number("at-100", "Y", "Viscosity at 100 °C", Unit::MM2_PER_S, 8.86).within(2.0, 500.0),
        ])
        .gives([result("index", "VI", "Viscosity index", Unit::ONE).falls(&["at-40"])])
        .holds("Holds from 2 mm²/s at 100 °C. The standard rounds to a whole number.")
        .caution("Hot oil burns; used oil harms skin: wear gloves.")
        .source("ASTM D2270 sections 5 and 6, Table 1")
        .diagram("viscosity-line")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("index", viscosity_index(given.number("at-40"), given.number("at-100"))?);
    Ok(())
}
