//! Which shells to pair for a wanted clearance.

use crate::prelude::*;

/// The pair of shells whose clearance comes nearest to the wanted one: `c = H − d − t_i − t_j`.
///
/// `housing` bore and `journal` (m), `sizes` thicknesses to choose from (m), `wanted` clearance (m); gives the
/// places of the two shells among the sizes (the first not after the second; equal grades first among equals) and
/// the clearance (m). Holds for shells of one make and kind.
///
/// # Errors
/// [`Problem::Impossible`] without sizes.
///
/// Source: definition. Checked: `reference/worked.json`.
pub fn shell_pair<D: Dual>(
    housing: D,
    journal: D,
    sizes: &[D],
    wanted: D,
) -> Result<(usize, usize, D), BenchError> {
    let mut best: Option<(f64, usize, usize, D)> = None;
    for (i, upper) in sizes.iter().enumerate() {
        for (j, lower) in sizes.iter().enumerate().skip(i) {
            let clearance = housing - journal - *upper - *lower;
            // Half a nanometre for unequal grades lets a like pair win between equals.
            let off = (clearance - wanted).re().abs() + if i == j { 0.0 } else { 5e-10 };
            if best.is_none_or(|(least, ..)| off < least) {
                best = Some((off, i, j, clearance));
            }
        }
    }
    best.map(|(_, i, j, clearance)| (i, j, clearance))
        .ok_or_else(|| Problem::Impossible { rule: "there are no shells to choose from" }.into())
}

pub(crate) fn formula() -> Formula {
    Formula::new("shell-choice", Job::BottomEnd, "Select-fit shells for a wanted clearance", run!(compute))
        .says("This decides which two grades of shell go into one bearing.")
        .equation("c = H − d − t_i − t_j, the pair nearest to the wanted clearance")
        .takes([
            number("housing", "H", "Housing bore, bolted to torque, shells out", Unit::MM, 60.012)
                .within(5.0, 300.0),
            number("journal", "d", "Journal diameter", Unit::MM, 55.988).within(5.0, 300.0),
            numbers(
                "sizes",
                "t",
                "Shell thicknesses to choose from",
                Unit::MM,
                &[1.982, 1.986, 1.990, 1.994, 1.998],
            )
            .within(0.5, 20.0),
            texts("grades", "Names of these grades", &["one", "two", "three", "four", "five"])
                .beside("sizes")
                .optional(),
            number("wanted", "c*", "Wanted clearance", Unit::UM, 40.0).within(1.0, 500.0),
        ])
        .gives([
            result("clearance", "c", "Clearance with them", Unit::UM).rises(&["housing"]).falls(&["journal"]),
            wordlist("shells", "Shells to pair"),
        ])
        .holds(
            "Holds for shells of one make and kind; mix grades only where the maker says so, never \
             shells of two sets.",
        )
        .source("definition")
        .diagram("bearing")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["sizes", "grades"])?;
    let sizes = given.numbers("sizes");
    let (i, j, clearance) =
        shell_pair(given.number("housing"), given.number("journal"), sizes, given.number("wanted"))?;
    let named = |at: usize| {
        let size = sizes.get(at).map_or(0.0, |size| size.re() * 1e3);
        match given.texts("grades").get(at) {
            Some(grade) => format!("{grade}: {size:.3} mm"),
            None => format!("{size:.3} mm"),
        }
    };
    out.step("room for two shells and the oil", given.number("housing") - given.number("journal"), Unit::MM);
    out.number("clearance", clearance);
    out.texts("shells", vec![named(i), named(j)]);
    Ok(())
}
