//! What is left of a pad or a disc, and how far it lasts.

use crate::prelude::*;

/// Wear rate from two readings and the distance left to the limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearLeft<D> {
    /// Material lost over distance (m/m); below zero when the later reading is the thicker one.
    pub rate: D,
    /// Thickness above the limit (m); below zero past it.
    pub thickness: D,
    /// Distance until the limit at that rate (m); `None` when nothing was lost between the readings.
    pub distance: Option<D>,
}

/// Wear by the straight line through two readings: `r = (t₁ − t₂)/(x₂ − x₁)`, distance left `= (t₂ − t_min)/r`.
///
/// `t₁`, `t₂` thicknesses (m) at the odometer readings `x₁ < x₂` (m), `t_min` limit (m). Scalars.
/// Holds for steady use between and after the readings; two readings give a line, not a trend.
///
/// # Errors
/// [`Problem::NotPositive`] when the second odometer reading is not the higher one.
///
/// Source: definition. Checked: `reference/hydraulics_clutch.json`, `reference/worked.json`.
pub fn wear_left<D: Dual>(
    first: D,
    first_at: D,
    second: D,
    second_at: D,
    limit: D,
) -> Result<WearLeft<D>, BenchError> {
    let run = above_zero("distance between the readings", second_at - first_at)?;
    let rate = (first - second) / run;
    let thickness = second - limit;
    let distance = (rate.re() > 0.0).then(|| thickness / rate);
    Ok(WearLeft { rate, thickness, distance })
}

struct Part {
    id: &'static str,
    title: &'static str,
    says: &'static str,
    diagram: &'static str,
    /// Earlier reading, later reading and limit, in millimetres.
    example: [f64; 3],
}

pub(crate) fn pad() -> Formula {
    describe(Part {
        id: "pad-wear-left",
        title: "Brake pad: wear rate and distance left",
        says: "This decides whether the pads last to the next visit, are planned, or are renewed now.",
        diagram: "pad",
        example: [7.8, 5.1, 3.0],
    })
}

pub(crate) fn disc() -> Formula {
    describe(Part {
        id: "disc-wear-left",
        title: "Brake disc: wear rate and distance left",
        says: "This decides whether the discs outlast the next set of pads.",
        diagram: "disc",
        example: [24.6, 24.1, 23.0],
    })
}

fn describe(part: Part) -> Formula {
    let [first, second, limit] = part.example;
    Formula::new(part.id, Job::Brakes, part.title, run!(compute))
        .says(part.says)
        .equation("r = (t₁ − t₂) / (x₂ − x₁);  distance left = (t₂ − t_min) / r")
        .takes([
            number("first", "t₁", "Earlier thickness", Unit::MM, first).within(0.1, 60.0),
            number("first-at", "x₁", "Odometer at the earlier reading", Unit::KM, 55_000.0).within(0.0, 2e6),
            number("second", "t₂", "Later thickness", Unit::MM, second).within(0.1, 60.0),
            number("second-at", "x₂", "Odometer at the later reading", Unit::KM, 67_500.0).within(0.0, 2e6),
            number("limit", "t_min", "Least thickness allowed", Unit::MM, limit).within(0.1, 60.0),
        ])
        .gives([
            result("left", "t₂ − t_min", "Thickness left", Unit::MM).rises(&["second"]).falls(&["limit"]),
            result("rate", "r", "Wear rate", Unit::MM_PER_1000_KM).rises(&["first"]).falls(&["second"]),
            result("distance", "", "Distance left", Unit::KM),
            result("reached-at", "", "Odometer when the limit is reached", Unit::KM),
        ])
        .holds(
            "Holds for steady use: town, motorway and track wear unlike. Two readings make a line, \
             not a trend; measure at the same place. Without loss between the readings no distance \
             is given.",
        )
        .caution(
            "Support the car on stands before a wheel comes off. Brake dust: never blow it; wipe it \
             wet. Keep to the maker's minimum.",
        )
        .source("definition")
        .diagram(part.diagram)
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (first, second) = (given.number("first"), given.number("second"));
    let (first_at, second_at) = (given.number("first-at"), given.number("second-at"));
    let wear = wear_left(first, first_at, second, second_at, given.number("limit"))?;
    out.step("lost between the readings:", first - second, Unit::MM);
    out.step("over", second_at - first_at, Unit::KM);
    out.number("left", wear.thickness);
    out.number("rate", wear.rate);
    match wear.distance {
        Some(distance) => {
            out.number("distance", distance);
            out.number("reached-at", second_at + distance);
        }
        None => out.remark(|| "nothing was lost between the readings, so no distance follows".into()),
    }
    Ok(())
}
