//! How the car's weight sits on its four wheels.

use crate::prelude::*;

/// Shares of four corner weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares<D> {
    pub total: D,
    pub front: D,
    pub left: D,
    /// Front right and rear left together.
    pub cross: D,
}

/// Shares of the weight: front `(FL+FR)/Σ`, left `(FL+RL)/Σ`, cross `(FR+RL)/Σ`.
///
/// Four masses (kg); gives total (kg) and shares (1). Scalars. Holds on a level floor, settled, bars free.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition. Checked: `reference/worked.json`.
pub fn corner_shares<D: Dual>(fl: D, fr: D, rl: D, rr: D) -> Result<Shares<D>, BenchError> {
    let total = above_zero("total", fl + fr + rl + rr)?;
    Ok(Shares { total, front: (fl + fr) / total, left: (fl + rl) / total, cross: (fr + rl) / total })
}

pub(crate) fn formula() -> Formula {
    let corner =
        |key, symbol, title, example| number(key, symbol, title, Unit::KG, example).within(10.0, 3000.0);
    Formula::new("corner-weights", Job::Springs, "Corner weights: front, left and cross", run!(compute))
        .says("This decides which spring perches to turn, or whether the car is bent.")
        .equation("front = (FL+FR)/Σ;  left = (FL+RL)/Σ;  cross = (FR+RL)/Σ")
        .takes([
            corner("front-left", "FL", "Front left", 292.0),
            corner("front-right", "FR", "Front right", 284.0),
            corner("rear-left", "RL", "Rear left", 268.0),
            corner("rear-right", "RR", "Rear right", 262.0),
        ])
        .gives([
            result("total", "Σ", "Total", Unit::KG).rises(&[
                "front-left",
                "front-right",
                "rear-left",
                "rear-right",
            ]),
            result("front", "", "Front", Unit::PERCENT)
                .rises(&["front-left", "front-right"])
                .falls(&["rear-left", "rear-right"]),
            result("left", "", "Left", Unit::PERCENT)
                .rises(&["front-left", "rear-left"])
                .falls(&["front-right", "rear-right"]),
            result("cross", "", "Cross", Unit::PERCENT)
                .rises(&["front-right", "rear-left"])
                .falls(&["front-left", "rear-right"]),
        ])
        .holds(
            "Holds on a level floor, settled, tyres at pressure, anti-roll bars free, driver and \
             fuel as stated.",
        )
        .source("definition")
        .diagram("corner-weights")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let shares = corner_shares(
        given.number("front-left"),
        given.number("front-right"),
        given.number("rear-left"),
        given.number("rear-right"),
    )?;
    out.number("total", shares.total);
    out.number("front", shares.front);
    out.number("left", shares.left);
    out.number("cross", shares.cross);
    Ok(())
}
