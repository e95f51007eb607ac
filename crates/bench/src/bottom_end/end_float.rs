//! End float of a crank and the thrust washers that set it.

use crate::prelude::*;

/// End float and the washers for a wanted one: `e = W − b − 2 t`; `t* = t + (e − e*)/2`.
///
/// `W` distance between the crank's thrust faces, `b` width of the housing between the washers, `t` washer, `e*`
/// wanted float (m); gives float and washer (m). Scalars. Holds for two like washers.
///
/// # Errors
/// [`Problem::NotPositive`] for washer and widths.
///
/// Source: geometry. Checked: `reference/worked.json`.
pub fn end_float<D: Dual>(between_faces: D, housing: D, washer: D, wanted: D) -> Result<(D, D), BenchError> {
    let washer = above_zero("thrust washer", washer)?;
    let float = above_zero("distance between thrust faces", between_faces)?
        - above_zero("housing width", housing)?
        - washer * 2.0;
    Ok((float, washer + (float - wanted) * 0.5))
}

pub(crate) fn formula() -> Formula {
    Formula::new("crank-end-float", Job::BottomEnd, "Crank end float and thrust washers", run!(compute))
        .says("This decides whether thicker thrust washers go in.")
        .equation("e = W − b − 2 t;  t* = t + (e − e*)/2")
        .takes([
            number("between-faces", "W", "Between the crank's thrust faces", Unit::MM, 28.32)
                .within(5.0, 120.0),
            number("housing", "b", "Housing between the washers", Unit::MM, 23.5).within(2.0, 110.0),
            number("washer", "t", "Thrust washer", Unit::MM, 2.31).within(0.5, 10.0),
            number("wanted", "e*", "Wanted end float", Unit::MM, 0.15).within(0.0, 1.0),
        ])
        .gives([
            result("float", "e", "End float", Unit::MM)
                .rises(&["between-faces"])
                .falls(&["housing", "washer"]),
            result("washer-wanted", "t*", "Washer for the wanted float", Unit::MM)
                .rises(&["between-faces"])
                .falls(&["housing", "wanted"]),
        ])
        .holds(
            "Holds for two like washers. 0.08 to 0.30 mm is usual (common practice); the maker's \
             band rules. Check with an indicator.",
        )
        .source("geometry; usual size: common practice")
        .diagram("thrust-washers")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (faces, housing) = (given.number("between-faces"), given.number("housing"));
    let (float, washer) = end_float(faces, housing, given.number("washer"), given.number("wanted"))?;
    out.number("float", float);
    out.number("washer-wanted", washer);
    if float.re() <= 0.0 {
        out.remark(|| "no float: the crank would bind".into());
    }
    Ok(())
}
