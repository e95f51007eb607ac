//! How near a brake fluid is to boiling.

use crate::maths::table;
use crate::prelude::*;

/// Boiling point of a fluid by its water, on a straight line from the dry to the wet minimum of its class:
/// `T = T_dry − (T_dry − T_wet) w / 3.7 %`.
///
/// `T_dry`, `T_wet` (K), `w` water (1); gives `T` (K). Scalars. Holds from nought to 3.7 % water, for the least
/// that a fluid of the class may show: real fluids stand higher, and the true curve sags below the line at little
/// water.
///
/// # Errors
/// [`Problem::Impossible`] outside 0 to 3.7 %, or for a wet point above the dry one.
///
/// Source: end points FMVSS 116 S5.1; 3.7 % water for the wet sample as usually quoted; the line between is an
/// estimate. Checked: `reference/worked.json`.
pub fn boiling_point<D: Dual>(dry: D, wet: D, water: D) -> Result<D, BenchError> {
    require(dry.re() >= wet.re(), "the wet boiling point cannot be above the dry one")?;
    let share = table::fixed(&[(0.0, 0.0), (WET_WATER, 1.0)], water)
        .ok_or(Problem::Impossible { rule: "water is known to the class only from 0 to 3.7 %" })?;
    Ok(dry - (dry - wet) * share)
}

/// Water by volume in a fluid at its wet boiling point, as usually quoted; the regulation defines it by a
/// humidification.
const WET_WATER: f64 = 0.037;

pub(crate) fn formula() -> Formula {
    Formula::new(
        "brake-fluid-boiling-margin",
        Job::Brakes,
        "Brake fluid: boiling point and margin",
        run!(compute),
    )
    .says("This decides whether the fluid is changed before the next hard drive.")
    .equation("T = T_dry − (T_dry − T_wet) w / 3.7 %;  margin = T − T_max")
    .takes([
        number("dry", "T_dry", "Dry boiling point of the class", Unit::CELSIUS, 230.0).within(180.0, 350.0),
        number("wet", "T_wet", "Wet boiling point of the class", Unit::CELSIUS, 155.0).within(120.0, 280.0),
        number("water", "w", "Water found", Unit::PERCENT, 1.8).within(0.0, 3.7).optional(),
        number("measured", "T", "Boiling point measured", Unit::CELSIUS, 172.0)
            .within(90.0, 350.0)
            .optional(),
        number("hottest", "T_max", "Hottest fluid expected", Unit::CELSIUS, 140.0).within(20.0, 300.0),
    ])
    .gives([
        result("boiling", "T", "Boiling point", Unit::CELSIUS)
            .rises(&["measured", "dry", "wet"])
            .falls(&["water"]),
        result("margin", "", "Margin to boiling", Unit::K)
            .rises(&["measured", "dry", "wet"])
            .falls(&["water", "hottest"]),
    ])
    .holds(
        "A measured boiling point counts before one reckoned from water. The line is an \
         estimate for the least the class allows; a fluid can be worse at the caliper than in \
         the reservoir. Road use heats fluid to 100 to 140 °C, track use further (common \
         practice). Age alone tells little: measure or change.",
    )
    .caution(crate::clutch::line::FLUID)
    .source(
        "FMVSS 116, 49 CFR 571.116 S5.1 (end points); 3.7 % water as usually quoted; straight \
         line: estimate",
    )
    .diagram("brake-fluid")
    .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let boiling = match (given.maybe("measured"), given.maybe("water")) {
        (Some(measured), _) => {
            out.remark(|| "the measured boiling point counts".into());
            measured
        }
        (None, Some(water)) => boiling_point(given.number("dry"), given.number("wet"), water)?,
        (None, None) => {
            return Err(
                Problem::Impossible { rule: "give the water found or the boiling point measured" }.into()
            );
        }
    };
    let margin = boiling - given.number("hottest");
    out.number("boiling", boiling);
    out.number("margin", margin);
    if margin.re() <= 0.0 {
        out.remark(|| "it would boil: the pedal would go to the floor".into());
    }
    Ok(())
}
