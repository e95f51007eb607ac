//! Valves of one row compared with each other: who stands out, and what that means.

use crate::larger;
use crate::maths::robust;
use crate::prelude::*;

/// A row of like heights: its middle, its spread, and how far each stands from the rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Row<D> {
    pub median: D,
    /// Robust standard deviation of the row: 1.4826 times the median distance from the median.
    pub deviation: D,
    /// Each height less the median.
    pub apart: Vec<D>,
    /// `apart` over the deviation, or over `floor` where the row agrees better than that.
    pub scores: Vec<D>,
}

/// Compares like heights with their median, by the median distance from it: `z = (x − median) / max(1.4826 MAD,
/// floor)`.
///
/// `heights` (m), three or more of one kind (all intake or all exhaust); `floor` (m) the spread that reading alone
/// makes. Holds while fewer than half of the row are odd.
///
/// # Errors
/// [`Problem::NotPositive`] for the floor; [`Problem::Impossible`] for an empty row.
///
/// Source: Hampel, J. Am. Stat. Assoc. 69 (1974) 383, from memory. Checked: `reference/worked.json`.
pub fn row_compared<D: Dual>(heights: &[D], floor: D) -> Result<Row<D>, BenchError> {
    let floor = above_zero("spread of reading", floor)?;
    let empty = || BenchError::from(Problem::Impossible { rule: "an empty row has no middle" });
    let median = robust::median(heights).ok_or_else(empty)?;
    let deviation = robust::deviation(heights).ok_or_else(empty)?;
    let apart: Vec<D> = heights.iter().map(|x| *x - median).collect();
    let scale = larger(deviation, floor);
    let scores = apart.iter().map(|x| *x / scale).collect();
    Ok(Row { median, deviation, apart, scores })
}

/// How a height stands to its row.
#[derive(Clone, Copy, PartialEq)]
enum Stands {
    Low,
    Level,
    High,
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "valve-heights-compared",
        Job::ValveTrain,
        "Valve tip heights: who stands out in the row",
        run!(compute),
    )
    .says(
        "This decides whether a bright mark on a retainer is harmless or the part is on its way \
         out.",
    )
    .equation("z = (x − median) / max(1.4826 · median |x − median|, floor)")
    .takes([
        numbers(
            "above-retainer",
            "x",
            "Stem tip above the retainer",
            Unit::MM,
            &[1.52, 1.55, 1.50, 1.54, 1.53, 1.17, 1.56, 1.51, 1.52, 1.02],
        )
        .within(-20.0, 50.0)
        .at_least(4),
        numbers(
            "above-head",
            "y",
            "Stem tip above the head face",
            Unit::MM,
            &[36.02, 36.05, 36.00, 36.04, 36.03, 36.04, 36.06, 36.01, 36.02, 36.19],
        )
        .beside("above-retainer")
        .within(0.0, 150.0)
        .optional(),
        texts(
            "places",
            "Names of the places",
            &["C1-I1", "C1-I2", "C2-I1", "C2-I2", "C3-I1", "C3-I2", "C4-I1", "C4-I2", "C5-I1", "C5-I2"],
        )
        .beside("above-retainer")
        .optional(),
        number("floor", "", "Spread that reading alone makes", Unit::MM, 0.01).within(0.001, 1.0).or(0.01),
        number("threshold", "z₀", "Deviations that count as standing out", Unit::ONE, 3.0)
            .within(1.0, 20.0)
            .or(3.0),
    ])
    .gives([
        result("median", "", "Median above the retainer", Unit::MM).rises(&["above-retainer"]),
        result("deviation", "", "Robust deviation above the retainer", Unit::MM),
        results("scores", "z", "Deviations from the row, above the retainer", Unit::ONE),
        wordlist("stand-out", "Stand out above the retainer"),
        result("median-head", "", "Median above the head face", Unit::MM),
        result("deviation-head", "", "Robust deviation above the head face", Unit::MM),
        results("scores-head", "z", "Deviations from the row, above the head face", Unit::ONE),
        wordlist("stand-out-head", "Stand out above the head face"),
        wordlist("points-to", "What it points to"),
    ])
    .holds(
        "Holds for one kind at a time (all intakes or all exhausts) while fewer than half of \
         the row are odd. Four or more heights. Above the head face needs the head off; with \
         the head on, compare above the retainer only.",
    )
    .caution(
        "Work on a cold engine that nothing can turn; a loose lock under a compressed spring \
         can fly.",
    )
    .source("robust deviation: Hampel 1974, from memory; threshold and readings: common practice")
    .diagram("valve-row")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["above-retainer", "above-head", "places"])?;
    let (floor, threshold) = (given.number("floor"), given.number("threshold").re());
    let place =
        |at: usize| given.texts("places").get(at).cloned().unwrap_or_else(|| format!("place {}", at + 1));

    let row = row_compared(given.numbers("above-retainer"), floor)?;
    out.number("median", row.median);
    out.number("deviation", row.deviation);
    out.texts("stand-out", standing_out(&row, threshold, place));
    let retainer: Vec<Stands> = row.scores.iter().map(|z| stands(z.re(), threshold)).collect();
    out.numbers("scores", row.scores);

    let heights = given.numbers("above-head");
    let mut head = None;
    if !heights.is_empty() {
        let row = row_compared(heights, floor)?;
        out.number("median-head", row.median);
        out.number("deviation-head", row.deviation);
        out.texts("stand-out-head", standing_out(&row, threshold, place));
        head = Some(row.scores.iter().map(|z| stands(z.re(), threshold)).collect::<Vec<_>>());
        out.numbers("scores-head", row.scores);
    }
    let points = retainer.iter().enumerate().filter_map(|(at, retainer)| {
        let head = head.as_ref().and_then(|head| head.get(at)).copied();
        points_to(*retainer, head).map(|what| format!("{}: {what}", place(at)))
    });
    out.texts("points-to", points.collect());
    Ok(())
}

fn stands(score: f64, threshold: f64) -> Stands {
    if score <= -threshold {
        Stands::Low
    } else if score >= threshold {
        Stands::High
    } else {
        Stands::Level
    }
}

fn standing_out<D: Dual>(row: &Row<D>, threshold: f64, place: impl Fn(usize) -> String) -> Vec<String> {
    let odd = row.scores.iter().enumerate().filter(|(_, z)| z.re().abs() >= threshold);
    odd.map(|(at, z)| {
        let side = if z.re() < 0.0 { "low" } else { "high" };
        format!("{}: {:.0} deviations {side}", place(at), z.re().abs())
    })
    .collect()
}

/// What two heights of one valve say together.
fn points_to(retainer: Stands, head: Option<Stands>) -> Option<&'static str> {
    Some(match (retainer, head) {
        (Stands::Level, None | Some(Stands::Level)) => return None,
        (Stands::Low, None) => {
            "retainer climbing over its locks, or the tip worn: measure the tip above the head face \
             to tell which"
        }
        (Stands::High, None) => {
            "another length of valve, or odd locks or retainer, unless it was so from the first day"
        }
        (Stands::Low, Some(Stands::Level)) => "retainer climbing over its locks",
        (Stands::Low, Some(Stands::Low)) => "stem tip worn",
        (Stands::Low, Some(Stands::High)) => {
            "retainer climbing over its locks, and besides the seat sunk or the valve beaten"
        }
        (Stands::Level, Some(Stands::High)) => "seat or valve face sunk",
        (Stands::Level, Some(Stands::Low)) => "another length of valve, or another seat",
        (Stands::High, Some(_)) => {
            "another length of valve, or odd locks or retainer, unless it was so from the first day"
        }
    })
}
