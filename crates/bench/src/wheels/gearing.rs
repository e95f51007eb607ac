//! Engine speed, gear and road speed.

use crate::prelude::*;

/// Road speed: `v = ω / (i_g i_a) · U / 2π`.
///
/// `ω` engine speed (rad/s), `i_g` gear and `i_a` axle ratio, `U` rolling circumference (m); gives m/s. Scalars.
/// Holds without slip.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition. Checked: `reference/worked.json`.
pub fn road_speed<D: Dual>(engine: D, gear: D, axle: D, circumference: D) -> Result<D, BenchError> {
    let ratio = above_zero("gear ratio", gear)? * above_zero("axle ratio", axle)?;
    Ok(engine / ratio * above_zero("rolling circumference", circumference)? / std::f64::consts::TAU)
}

pub(crate) fn road() -> Formula {
    Formula::new("gear-speed", Job::Wheels, "Road speed from engine speed and gear", run!(compute_road))
        .says("This decides whether clutch or box slips, or a gear pair is another's.")
        .equation("v = ω / (i_g i_a) · U / 2π")
        .takes([
            number("engine", "ω", "Engine speed", Unit::RPM, 3000.0).within(0.0, 20_000.0),
            number("gear", "i_g", "Gear ratio", Unit::ONE, 0.82).within(0.3, 8.0),
            number("axle", "i_a", "Axle ratio", Unit::ONE, 4.1).within(1.0, 8.0),
            number("circumference", "U", "Rolling circumference", Unit::MM, 1865.0).within(500.0, 5000.0),
        ])
        .gives([result("speed", "v", "Road speed", Unit::KM_PER_H)
            .rises(&["engine", "circumference"])
            .falls(&["gear", "axle"])])
        .holds(
            "Holds without slip. A tyre rolls shorter than its free circumference, by about 3 % \
             (common practice).",
        )
        .source("definition")
        .diagram("gearing")
}

fn compute_road<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (gear, axle) = (given.number("gear"), given.number("axle"));
    out.step("overall ratio", gear * axle, Unit::ONE);
    out.number("speed", road_speed(given.number("engine"), gear, axle, given.number("circumference"))?);
    Ok(())
}

/// Engine speed: `ω = v i_g i_a · 2π / U`.
///
/// As [`road_speed`], the other way round: `v` road speed (m/s); gives rad/s. Scalars. Holds without slip.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: definition. Checked: `reference/worked.json`.
pub fn engine_speed<D: Dual>(road: D, gear: D, axle: D, circumference: D) -> Result<D, BenchError> {
    let ratio = above_zero("gear ratio", gear)? * above_zero("axle ratio", axle)?;
    Ok(road * ratio / above_zero("rolling circumference", circumference)? * std::f64::consts::TAU)
}

pub(crate) fn engine() -> Formula {
    Formula::new(
        "engine-speed-in-gear",
        Job::Wheels,
        "Engine speed from road speed and gear",
        run!(compute_engine),
    )
    .says("This decides whether a rev counter that reads high means a slipping clutch.")
    .equation("ω = v i_g i_a · 2π / U;  slip = 1 − ω / ω_seen")
    .takes([
        number("road", "v", "Road speed", Unit::KM_PER_H, 100.0).within(0.0, 400.0),
        number("gear", "i_g", "Gear ratio", Unit::ONE, 0.82).within(0.3, 8.0),
        number("axle", "i_a", "Axle ratio", Unit::ONE, 4.1).within(1.0, 8.0),
        number("circumference", "U", "Rolling circumference", Unit::MM, 1865.0).within(500.0, 5000.0),
        number("seen", "ω_seen", "Engine speed seen", Unit::RPM, 3050.0).within(100.0, 20_000.0).optional(),
    ])
    .gives([
        result("engine", "ω", "Engine speed without slip", Unit::RPM)
            .rises(&["road", "gear", "axle"])
            .falls(&["circumference"]),
        result("slip", "", "Slip", Unit::PERCENT).rises(&["seen"]).falls(&["road", "gear", "axle"]),
    ])
    .holds(
        "Holds without slip at the wheels. Speedometers read high by a few per cent: take the \
         road speed from a clock and a distance.",
    )
    .caution("Measure on a closed or quiet road, with a passenger reading the instruments.")
    .source("definition")
    .diagram("gearing")
}

fn compute_engine<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (gear, axle) = (given.number("gear"), given.number("axle"));
    let engine = engine_speed(given.number("road"), gear, axle, given.number("circumference"))?;
    out.step("overall ratio", gear * axle, Unit::ONE);
    out.number("engine", engine);
    if let Some(seen) = given.maybe("seen") {
        out.number("slip", -engine / seen + 1.0);
    }
    Ok(())
}
