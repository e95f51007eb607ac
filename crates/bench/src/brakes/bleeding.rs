//! In which order to bleed, and how much to draw at each corner.

use crate::clutch::line::bore_area;
use crate::prelude::*;

/// Fluid that stands between master and bleed screw: `V = Σ π/4 d² l + caliper`, drawn `k` times over.
///
/// `d` bore of the line, `l` its length (m), caliper volume (m³), `k` times; gives m³. Scalars.
/// Holds for one run of pipe and hose of like bore.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: geometry. Checked: `reference/worked.json`.
pub fn bleeding_volume<D: Dual>(length: D, bore: D, caliper: D, times: D) -> Result<D, BenchError> {
    Ok((bore_area("line bore", bore)? * above_zero("line length", length)? + caliper)
        * above_zero("times over", times)?)
}

const CORNERS: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

pub(crate) fn formula() -> Formula {
    Formula::new("bleeding-order", Job::Brakes, "Bleeding: order and volume for each corner", run!(compute))
        .says("This decides in which order to bleed and how much fluid to have at hand.")
        .equation("V = k (π/4 d² l + caliper);  longest line first, or by circuits")
        .takes([
            numbers(
                "lengths",
                "l",
                "Line to front left, front right, rear left, rear right",
                Unit::M,
                &[1.2, 0.8, 4.1, 4.6],
            )
            .within(0.05, 15.0)
            .at_least(4),
            number("bore", "d", "Bore of the line", Unit::MM, 3.2).within(1.0, 8.0).or(3.2),
            numbers(
                "calipers",
                "",
                "Fluid in each caliper or cylinder, same order",
                Unit::ML,
                &[12.0, 12.0, 5.0, 5.0],
            )
            .beside("lengths")
            .within(0.0, 200.0)
            .at_least(4),
            number("times", "k", "Times over", Unit::ONE, 2.0).within(1.0, 10.0).or(2.0),
            choice("split", "How the circuits are split", &["front and rear", "diagonal"], "front and rear"),
        ])
        .gives([
            results("volumes", "V", "Volume to draw, same order", Unit::ML).rises(&["bore", "times"]),
            result("total", "", "Total", Unit::ML).rises(&["bore", "times", "calipers", "lengths"]),
            wordlist("order", "Order"),
        ])
        .holds(
            "The maker's order counts before this one. Without it: longest line first; with a \
             diagonal split, the longest line and then its own circuit's other wheel. Anti-lock \
             units need their own routine.",
        )
        .caution(crate::clutch::line::FLUID)
        .source("geometry; order: common practice, no source")
        .diagram("brake-lines")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["lengths", "calipers"])?;
    let (lengths, calipers) = (given.numbers("lengths"), given.numbers("calipers"));
    require(lengths.len() == 4, "give four lines: front left, front right, rear left, rear right")?;
    let (bore, times) = (given.number("bore"), given.number("times"));
    let volumes: Vec<D> = lengths
        .iter()
        .zip(calipers)
        .map(|(length, caliper)| bleeding_volume(*length, bore, *caliper, times))
        .collect::<Result<_, _>>()?;
    let plain: Vec<f64> = lengths.iter().map(D::re).collect();
    let order = order(&plain, given.text("split") == "diagonal");
    out.number("total", volumes.iter().fold(D::from(0.0), |sum, volume| sum + *volume));
    out.texts(
        "order",
        order.into_iter().filter_map(|at| CORNERS.get(at)).map(|name| (*name).to_owned()).collect(),
    );
    out.numbers("volumes", volumes);
    Ok(())
}

/// Places of the corners in the order of bleeding.
fn order(lengths: &[f64], diagonal: bool) -> Vec<usize> {
    let mut longest_first: Vec<usize> = (0..lengths.len()).collect();
    longest_first.sort_by(|a, b| lengths[*b].total_cmp(&lengths[*a]));
    if !diagonal {
        return longest_first;
    }
    let mut order = vec![];
    for at in longest_first {
        // Front left with rear right, front right with rear left.
        for corner in [at, 3 - at.min(3)] {
            if !order.contains(&corner) {
                order.push(corner);
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_diagonal_split_finishes_a_circuit_before_the_next() {
        assert_eq!(order(&[1.2, 0.8, 4.1, 4.6], false), [3, 2, 0, 1]);
        assert_eq!(order(&[1.2, 0.8, 4.1, 4.6], true), [3, 0, 2, 1]);
    }
}
