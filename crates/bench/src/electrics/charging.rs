//! Whether the charging voltage is right for the temperature.

use crate::prelude::*;

/// Lowest and highest charging voltage of a 12 V system at 25 °C (V), and what a kelvin takes off both (V/K).
///
/// Source: common practice, no source (4 mV a kelvin for each of six cells).
const WINDOW: (f64, f64) = (13.8, 14.7);
const PER_KELVIN: f64 = 0.024;

/// Window of the charging voltage at a temperature: 13.8 to 14.7 V at 25 °C, 24 mV lower for each kelvin above.
///
/// `T` battery (K); gives V. Scalar. Holds for 12 V systems with a plain regulator.
///
/// Source: common practice, no source. Checked: `reference/worked.json`.
pub fn charging_window<D: Dual>(temperature: D) -> (D, D) {
    let shift = -(temperature - 298.15) * PER_KELVIN;
    (shift + WINDOW.0, shift + WINDOW.1)
}

pub(crate) fn formula() -> Formula {
    Formula::new("charging-voltage", Job::Electrics, "Charging voltage and its window", run!(compute))
        .says("This decides whether the regulator over- or undercharges.")
        .equation("13.8 to 14.7 V at 25 °C, less 24 mV for each kelvin above")
        .takes([
            number("voltage", "U", "Voltage at the battery, engine running", Unit::V, 14.2).within(5.0, 20.0),
            number("temperature", "T", "Temperature of the battery", Unit::CELSIUS, 25.0)
                .within(-40.0, 80.0)
                .or(25.0),
        ])
        .gives([
            result("low", "", "Lower end of the window", Unit::V).falls(&["temperature"]),
            result("high", "", "Upper end of the window", Unit::V).falls(&["temperature"]),
            result("inside", "", "Inside the window by (below zero: outside)", Unit::V),
            words("reading", "Reading"),
        ])
        .holds(
            "Holds for 12 V systems with a plain regulator, battery nearly full, 2000 rpm. \
             Controlled systems lower and raise it on purpose: see the maker.",
        )
        .caution("Batteries give off gas that explodes: no sparks, no flames. Mind fan and belts.")
        .source("common practice, no source")
        .diagram("battery")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let voltage = given.number("voltage");
    let (low, high) = charging_window(given.number("temperature"));
    let inside = crate::smaller(voltage - low, high - voltage);
    out.text(
        "reading",
        if inside.re() >= 0.0 {
            "in the window"
        } else if voltage.re() < low.re() {
            "too low: belt, leads, regulator or alternator"
        } else {
            "too high: regulator; it boils the battery"
        },
    );
    out.number("low", low);
    out.number("high", high);
    out.number("inside", inside);
    Ok(())
}
