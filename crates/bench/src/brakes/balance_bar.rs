//! Two masters on one pedal, with a bar between them.

use crate::clutch::line::bore_area;
use crate::prelude::*;

/// Pressures and shares of a balance bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance<D> {
    /// Pa
    pub front: D,
    /// Pa
    pub rear: D,
    /// Front push over both pushes.
    pub front_push: D,
}

/// Balance bar: a pivot moved `o` towards the front clevis of a bar `w` wide gives the front `½ + o/w` of the push.
///
/// `F` pedal force (N), `i` pedal ratio, `w` distance between the clevises, `o` offset (m), bores (m). Scalars.
/// Holds while the bar stays square; it locks when it tilts far.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for a pivot outside the clevises.
///
/// Source: levers. Checked: `reference/worked.json`.
pub fn balance_bar<D: Dual>(
    pedal_force: D,
    pedal_ratio: D,
    width: D,
    offset: D,
    front_bore: D,
    rear_bore: D,
) -> Result<Balance<D>, BenchError> {
    let width = above_zero("distance between the clevises", width)?;
    require(offset.re().abs() < width.re() * 0.5, "the pivot must lie between the clevises")?;
    let push = pedal_force * above_zero("pedal ratio", pedal_ratio)?;
    let front_push = offset / width + 0.5;
    let front = push * front_push / bore_area("front master bore", front_bore)?;
    let rear = push * (-front_push + 1.0) / bore_area("rear master bore", rear_bore)?;
    Ok(Balance { front, rear, front_push })
}

pub(crate) fn formula() -> Formula {
    Formula::new("brake-balance-bar", Job::Brakes, "Balance bar: front and rear pressure", run!(compute))
        .says("This decides how the bar shares the pedal between the axles.")
        .equation("front push = F i (½ + o/w);  p = push / (π/4 d²)")
        .takes([
            number("pedal-force", "F", "Force at the pedal", Unit::N, 400.0).within(0.0, 2500.0),
            number("pedal-ratio", "i", "Pedal ratio", Unit::ONE, 5.0).within(1.0, 12.0),
            number("width", "w", "Between the clevises", Unit::MM, 63.0).within(20.0, 150.0),
            number("offset", "o", "Pivot towards the front clevis by", Unit::MM, 3.0).within(-70.0, 70.0),
            number("front-bore", "d_f", "Front master bore", Unit::MM, 15.875).within(8.0, 40.0),
            number("rear-bore", "d_r", "Rear master bore", Unit::MM, 17.78).within(8.0, 40.0),
        ])
        .gives([
            result("front-pressure", "p_f", "Front pressure", Unit::BAR)
                .rises(&["pedal-force", "pedal-ratio", "offset"])
                .falls(&["front-bore"]),
            result("rear-pressure", "p_r", "Rear pressure", Unit::BAR)
                .rises(&["pedal-force", "pedal-ratio"])
                .falls(&["offset", "rear-bore"]),
            result("front-push", "", "Front share of the push", Unit::PERCENT).rises(&["offset"]),
        ])
        .holds(
            "Holds while the bar stays square under the foot. The share of the braking also depends \
             on calipers, radii and pads.",
        )
        .caution(
            "Rear wheels that lock first spin the car: set on a safe surface, by small steps, to \
             the maker's or builder's data.",
        )
        .source("levers")
        .diagram("balance-bar")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (force, ratio) = (given.number("pedal-force"), given.number("pedal-ratio"));
    let (width, offset) = (given.number("width"), given.number("offset"));
    let balance =
        balance_bar(force, ratio, width, offset, given.number("front-bore"), given.number("rear-bore"))?;
    out.step("push on the bar", force * ratio, Unit::N);
    out.number("front-pressure", balance.front);
    out.number("rear-pressure", balance.rear);
    out.number("front-push", balance.front_push);
    Ok(())
}
