//! Spring loads from a tester's readings rather than from one rate.

use crate::maths::table;
use crate::prelude::*;

/// Loads of a spring at two lengths, read off straight lines between measured loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableLoads<D> {
    pub seat_load: D,
    pub open_load: D,
    /// `(open load − seat load) / lift` (N/m): the rate that matters between seat and full lift.
    pub rate: D,
}

/// Loads at installed height and at full lift, on straight lines between measured pairs of length and load.
///
/// `lengths` (m) and `loads` (N), pairs in any order, two or more; `h` installed height, `s` lift (m).
/// Holds between the shortest and the longest length measured; nothing is read beyond them.
///
/// # Errors
/// [`Problem::Impossible`] outside the measured lengths or when a length stands twice; [`Problem::NotPositive`] for
/// the lift.
///
/// Source: linear interpolation. Checked: `reference/worked.json`.
pub fn loads_from_table<D: Dual>(
    lengths: &[D],
    loads: &[D],
    installed_height: D,
    lift: D,
) -> Result<TableLoads<D>, BenchError> {
    let s = above_zero("lift", lift)?;
    let mut pairs: Vec<(D, D)> = lengths.iter().copied().zip(loads.iter().copied()).collect();
    pairs.sort_by(|a, b| a.0.re().total_cmp(&b.0.re()));
    let (lengths, loads): (Vec<D>, Vec<D>) = pairs.into_iter().unzip();
    require(table::rising(&lengths), "each length must be measured once")?;
    let at = |length| table::between(&lengths, &loads, length);
    match (at(installed_height), at(installed_height - s)) {
        (Some(seat_load), Some(open_load)) => {
            Ok(TableLoads { seat_load, open_load, rate: (open_load - seat_load) / s })
        }
        _ => Err(Problem::Impossible {
            rule: "measure loads at least as far as the installed height and the length at full lift",
        }
        .into()),
    }
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "valve-spring-load-table",
        Job::ValveTrain,
        "Valve spring: loads from a tester's readings",
        run!(compute),
    )
    .says("This decides whether a progressive or tired spring still carries the load it should.")
    .equation("load(length) on straight lines between readings;  k = (open load − seat load) / s")
    .takes([
        numbers("lengths", "l", "Lengths on the tester", Unit::MM, &[42.0, 38.0, 34.0, 30.0])
            .within(5.0, 150.0)
            .at_least(2),
        numbers("loads", "F", "Loads at these lengths", Unit::N, &[170.0, 290.0, 425.0, 580.0])
            .beside("lengths")
            .within(0.0, 5000.0)
            .at_least(2),
        number("installed-height", "h", "Installed height", Unit::MM, 40.0).within(8.0, 120.0),
        number("lift", "s", "Lift at the valve", Unit::MM, 9.5).within(0.1, 25.0),
    ])
    .gives([
        result("seat-load", "", "Load on the seat", Unit::N).rises(&["loads"]),
        result("open-load", "", "Load at full lift", Unit::N).rises(&["loads"]),
        result("rate", "k", "Rate between seat and full lift", Unit::N_PER_MM),
    ])
    .holds(
        "Holds between the shortest and the longest length measured; nothing is guessed beyond \
         them.",
    )
    .caution("A compressed valve spring can fly out of the tester: wear glasses and keep it square.")
    .source("linear interpolation between measured loads")
    .diagram("valve-spring")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["lengths", "loads"])?;
    let (height, lift) = (given.number("installed-height"), given.number("lift"));
    let loads = loads_from_table(given.numbers("lengths"), given.numbers("loads"), height, lift)?;
    out.step("length at full lift", height - lift, Unit::MM);
    out.number("seat-load", loads.seat_load);
    out.number("open-load", loads.open_load);
    out.number("rate", loads.rate);
    Ok(())
}
