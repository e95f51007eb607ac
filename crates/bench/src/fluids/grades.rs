//! Which grade measured viscosities meet.

use crate::prelude::*;

/// A winter grade: greatest cranking viscosity (mPa·s) and its temperature (°C), greatest pumping viscosity and its
/// temperature, least viscosity at 100 °C (mm²/s).
type Winter = (&'static str, f64, f64, f64, f64, f64);

/// Source: SAE J300 (2015-01-20) Table 1, as reproduced on two pages. Checked: `reference/oils.json`.
const WINTER: [Winter; 6] = [
    ("0W", 6200.0, -35.0, 60_000.0, -40.0, 3.8),
    ("5W", 6600.0, -30.0, 60_000.0, -35.0, 3.8),
    ("10W", 7000.0, -25.0, 60_000.0, -30.0, 4.1),
    ("15W", 7000.0, -20.0, 60_000.0, -25.0, 5.6),
    ("20W", 9500.0, -15.0, 60_000.0, -20.0, 5.6),
    ("25W", 13_000.0, -10.0, 60_000.0, -15.0, 9.3),
];

/// Grade, viscosity at 100 °C from, below (mm²/s), and least high-shear viscosity at 150 °C (mPa·s).
///
/// Source: SAE J300 (2015-01-20) Table 1, as reproduced on two pages. Checked: `reference/oils.json`.
const SUMMER: [(&str, f64, f64, f64); 8] = [
    ("8", 4.0, 6.1, 1.7),
    ("12", 5.0, 7.1, 2.0),
    ("16", 6.1, 8.2, 2.3),
    ("20", 6.9, 9.3, 2.6),
    ("30", 9.3, 12.5, 2.9),
    ("40", 12.5, 16.3, 3.7), // 3.5 with 0W, 5W, 10W
    ("50", 16.3, 21.9, 3.7),
    ("60", 21.9, 26.1, 3.7),
];

/// Gear-oil grade, viscosity at 100 °C from and below (mm²/s).
///
/// Source: SAE J306 (February 2019) Table 1, as reproduced on a chart page. Checked: `reference/oils.json`.
const GEAR: [(&str, f64, f64); 10] = [
    ("65", 3.8, 5.0),
    ("70", 5.0, 6.5),
    ("75", 6.5, 8.5),
    ("80", 8.5, 11.0),
    ("85", 11.0, 13.5),
    ("90", 13.5, 18.5),
    ("110", 18.5, 24.0),
    ("140", 24.0, 32.5),
    ("190", 32.5, 41.0),
    ("250", 41.0, f64::INFINITY),
];

/// The last bits of a unit's factor do not move a value across a limit.
const NEAR: f64 = 1e-9;

/// The high-temperature grades whose range at 100 °C (mm²/s) and least high-shear viscosity (mPa·s) are met; ranges
/// of the thin grades overlap. Without a high-shear reading the range alone counts.
pub fn engine_grades(at_100: f64, high_shear: Option<f64>, winter: Option<&str>) -> Vec<&'static str> {
    let light = matches!(winter, Some("0W" | "5W" | "10W"));
    SUMMER
        .iter()
        .filter(|(grade, from, below, shear)| {
            let shear = if *grade == "40" && light { 3.5 } else { *shear };
            at_100 >= from - NEAR
                && at_100 < below - NEAR
                && high_shear.is_none_or(|found| found >= shear - NEAR)
        })
        .map(|(grade, ..)| *grade)
        .collect()
}

/// The coldest winter grade whose cranking, pumping and 100 °C limits are all met; readings as (°C, mPa·s).
pub fn winter_grade(at_100: f64, cranking: &[(f64, f64)], pumping: &[(f64, f64)]) -> Option<&'static str> {
    let at = |readings: &[(f64, f64)], t: f64| {
        readings.iter().find(|(at, _)| (at - t).abs() < 0.05).map(|(_, v)| *v)
    };
    WINTER.iter().find_map(|(grade, crank, crank_at, pump, pump_at, least)| {
        let cranks = at(cranking, *crank_at)? <= crank + NEAR;
        let pumps = at(pumping, *pump_at)? <= pump + NEAR;
        (cranks && pumps && at_100 >= least - NEAR).then_some(*grade)
    })
}

/// The gear-oil grade whose range at 100 °C holds the viscosity (mm²/s).
pub fn gear_grade(at_100: f64) -> Option<&'static str> {
    GEAR.iter()
        .find(|(_, from, below)| at_100 >= from - NEAR && at_100 < below - NEAR)
        .map(|(grade, ..)| *grade)
}

const NAMES: [&str; 7] = ["none", "0W", "5W", "10W", "15W", "20W", "25W"];

pub(crate) fn engine() -> Formula {
    Formula::new(
        "engine-oil-grade",
        Job::Fluids,
        "Engine oil: grade from measured viscosities",
        run!(compute_engine),
    )
    .says("This decides whether an oil still is the grade it was filled as.")
    .equation(
        "range at 100 °C; least high-shear viscosity at 150 °C; cranking and pumping limits of \
         the winter grade",
    )
    .takes([
        number("at-100", "", "Viscosity at 100 °C", Unit::MM2_PER_S, 13.9).within(0.5, 100.0),
        number("high-shear", "", "High-shear viscosity at 150 °C", Unit::MPA_S, 3.5)
            .within(0.5, 20.0)
            .optional(),
        choice("winter", "Winter grade it is sold with", &NAMES, "5W").optional(),
        numbers("cranking-at", "", "Temperatures of the cranking readings", Unit::CELSIUS, &[-35.0, -30.0])
            .within(-60.0, 20.0)
            .optional(),
        numbers("cranking", "", "Cranking viscosities", Unit::MPA_S, &[9000.0, 4900.0])
            .beside("cranking-at")
            .within(1.0, 1e6)
            .optional(),
        numbers("pumping-at", "", "Temperatures of the pumping readings", Unit::CELSIUS, &[-40.0, -35.0])
            .within(-60.0, 20.0)
            .optional(),
        numbers("pumping", "", "Pumping viscosities", Unit::MPA_S, &[90_000.0, 21_000.0])
            .beside("pumping-at")
            .within(1.0, 1e7)
            .optional(),
    ])
    .gives([
        wordlist("grades", "High-temperature grades met"),
        words("winter-grade", "Coldest winter grade met"),
    ])
    .holds(
        "Holds for the 2015 edition; ranges of the thin grades overlap. A grade says nothing of \
         approval or of wear in use.",
    )
    .caution("Hot oil burns; used oil harms skin: wear gloves.")
    .source("SAE J300 (2015-01-20) Table 1, as reproduced on two pages")
    .diagram("oil-grades")
    .fitted()
}

fn compute_engine<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["cranking-at", "cranking"])?;
    given.equally_long(&["pumping-at", "pumping"])?;
    let at_100 = Unit::MM2_PER_S.from_si(given.number("at-100").re());
    let shear = given.maybe("high-shear").map(|shear| Unit::MPA_S.from_si(shear.re()));
    let pairs = |at: &str, of: &str| -> Vec<(f64, f64)> {
        let (at, of) = (given.numbers(at), given.numbers(of));
        at.iter().zip(of).map(|(t, v)| (Unit::CELSIUS.from_si(t.re()), Unit::MPA_S.from_si(v.re()))).collect()
    };
    let (cranking, pumping) = (pairs("cranking-at", "cranking"), pairs("pumping-at", "pumping"));
    let measured = winter_grade(at_100, &cranking, &pumping);
    let winter = match given.text("winter") {
        "" => measured,
        named => Some(named),
    };
    out.texts("grades", engine_grades(at_100, shear, winter).into_iter().map(str::to_owned).collect());
    if !cranking.is_empty() || !pumping.is_empty() {
        out.text("winter-grade", measured.unwrap_or("none"));
    }
    Ok(())
}

pub(crate) fn gear() -> Formula {
    Formula::new("gear-oil-grade", Job::Fluids, "Gear oil: grade from its viscosity", run!(compute_gear))
        .says("This decides whether a gear oil has sheared out of its grade.")
        .equation("range at 100 °C")
        .takes([number("at-100", "", "Viscosity at 100 °C", Unit::MM2_PER_S, 15.2).within(0.5, 200.0)])
        .gives([words("grade", "Grade")])
        .holds("Holds for the 2019 edition; older cans may follow wider ranges.")
        .caution("Hot oil burns; used oil harms skin: wear gloves.")
        .source("SAE J306 (February 2019) Table 1, as reproduced on a chart page")
        .diagram("oil-grades")
        .fitted()
}

fn compute_gear<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.text(
        "grade",
        gear_grade(Unit::MM2_PER_S.from_si(given.number("at-100").re())).unwrap_or("none: too thin"),
    );
    Ok(())
}
