//! How long a car may stand.

use crate::prelude::*;

/// Time a standing draw takes to use a share of a battery: `t = C s / I`.
///
/// `C` capacity (A·s), `s` share that may be used (1), `I` draw (A); gives s. Scalars. Holds for a draw that stays
/// the same.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition of charge. Checked: `reference/worked.json`.
pub fn standing_time<D: Dual>(capacity: D, share: D, draw: D) -> Result<D, BenchError> {
    Ok(above_zero("capacity", capacity)? * share / above_zero("standing draw", draw)?)
}

pub(crate) fn formula() -> Formula {
    Formula::new("standing-draw", Job::Electrics, "Standing draw: how long the car may stand", run!(compute))
        .says("This decides whether the draw explains a flat battery, and how long the car may stand.")
        .equation("t = C (s − s_min) / I;  used = I · days / C")
        .takes([
            number("draw", "I", "Draw after everything has gone to sleep", Unit::MA, 60.0)
                .within(0.1, 20_000.0),
            number("capacity", "C", "Capacity of the battery", Unit::A_H, 45.0).within(1.0, 500.0),
            number("state", "s", "State of charge when it is left", Unit::PERCENT, 100.0)
                .within(0.0, 100.0)
                .or(100.0),
            number("needed", "s_min", "State of charge it must still have", Unit::PERCENT, 50.0)
                .within(0.0, 100.0)
                .or(50.0),
            number("days", "", "Days it stands", Unit::DAY, 21.0).within(0.0, 1000.0).optional(),
        ])
        .gives([
            result("stands", "t", "May stand for", Unit::DAY)
                .rises(&["capacity", "state"])
                .falls(&["draw", "needed"]),
            result("flat", "", "Empty after", Unit::DAY).rises(&["capacity", "state"]).falls(&["draw"]),
            result("used", "", "Charge used in these days", Unit::A_H).rises(&["draw", "days"]),
        ])
        .holds(
            "Holds for a draw that stays the same; an old battery has less than its rating. 50 mA \
             or less after half an hour is usual (common practice).",
        )
        .caution("Earth lead off first, on last. Mind memories and alarms: see the maker.")
        .source("definition of charge; usual draw: common practice")
        .diagram("battery")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (draw, capacity) = (given.number("draw"), given.number("capacity"));
    let (state, needed) = (given.number("state"), given.number("needed"));
    require(state.re() >= needed.re(), "it has less already than it must still have")?;
    out.number("stands", standing_time(capacity, state - needed, draw)?);
    out.number("flat", standing_time(capacity, state, draw)?);
    if let Some(days) = given.maybe("days") {
        out.number("used", draw * days);
    }
    Ok(())
}
