//! A battery's state from what it rests at.

use crate::maths::table;
use crate::prelude::*;

/// Rest voltage (V) and state of charge of a flooded 12 V battery near 27 °C.
///
/// Source: table attributed to the Battery Council International on a page that prints it. Another printed table
/// differs by 60 to 90 mV below three quarters. Checked: `reference/electrical.json`.
const REST: [(f64, f64); 5] = [(11.89, 0.0), (12.06, 0.25), (12.24, 0.5), (12.45, 0.75), (12.65, 1.0)];

/// State of charge and freezing point of the acid (°C). Source: as above.
const FREEZES: [(f64, f64); 5] = [(0.0, -23.3), (0.25, -26.7), (0.5, -36.7), (0.75, -48.3), (1.0, -59.4)];

/// State of charge of a rested flooded 12 V battery, on straight lines between tabled voltages; 0 below, 1 above.
///
/// `U` rest voltage (V); gives 1. Scalar. Holds after an hour's rest without surface charge.
///
/// Source and check: the table above.
pub fn state_of_charge<D: Dual>(rest_voltage: D) -> D {
    let u = rest_voltage.re();
    match table::fixed(&REST, rest_voltage) {
        Some(share) => share,
        None if u > 12.0 => D::from(1.0),
        None => D::from(0.0),
    }
}

/// Specific gravity of battery acid brought to 80 °F: `s + 0.004 (T − 80 °F)/10 °F`.
///
/// `s` reading (1), `T` acid (K); gives 1. Scalars.
///
/// Source: correction table on two pages. Checked: `reference/electrical.json`.
pub fn gravity_at_80f<D: Dual>(gravity: D, temperature: D) -> D {
    let fahrenheit = temperature * 1.8 - 459.67;
    gravity + (fahrenheit - 80.0) * 0.0004
}

const CAUTION: &str = "Batteries give off gas that explodes: no sparks, no flames; acid burns. Glasses on, \
     earth lead off first.";

pub(crate) fn rest() -> Formula {
    Formula::new(
        "battery-rest-voltage",
        Job::Electrics,
        "Battery: state from its rest voltage",
        run!(compute_rest),
    )
    .says("This decides whether to charge it, load-test it, or look for a drain.")
    .equation("table of rest voltage;  usable = state (1 − 1 % · (25 °C − T))")
    .takes([
        number("voltage", "U", "Rest voltage", Unit::V, 12.45).within(5.0, 15.0),
        number("temperature", "T", "Temperature of the battery", Unit::CELSIUS, 5.0)
            .within(-40.0, 60.0)
            .or(25.0),
        number("capacity", "", "Rated capacity", Unit::A_H, 45.0).within(1.0, 500.0).optional(),
    ])
    .gives([
        result("state", "", "State of charge", Unit::PERCENT).rises(&["voltage"]),
        result("usable", "", "Usable at that temperature, of a full warm one", Unit::PERCENT)
            .rises(&["voltage", "temperature"]),
        result("charge", "", "Charge in it", Unit::A_H).rises(&["voltage", "capacity"]),
        result("freezes", "", "Its acid freezes at", Unit::CELSIUS).falls(&["voltage"]),
    ])
    .holds(
        "Holds for flooded 12 V batteries after an hour's rest, lamps used to take off surface \
         charge; mat and gel batteries rest higher, 12.8 to 12.9 V when full (common practice). \
         Printed tables differ by 60 to 90 mV. Usable charge falls about 1 % a kelvin below 25 \
         °C (common practice); the rest voltage hardly does.",
    )
    .caution(CAUTION)
    .source("table attributed to the Battery Council International; fall with cold: common practice")
    .diagram("battery")
    .fitted()
}

fn compute_rest<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let state = state_of_charge(given.number("voltage"));
    let cold = crate::larger(-given.number("temperature") + 298.15, D::from(0.0));
    out.number("state", state);
    out.number("usable", state * crate::larger(-cold * 0.01 + 1.0, D::from(0.0)));
    if let Some(capacity) = given.maybe("capacity") {
        out.number("charge", capacity * state);
    }
    if let Some(freezes) = table::fixed(&FREEZES, state) {
        out.number("freezes", freezes + 273.15);
    }
    Ok(())
}

pub(crate) fn gravity() -> Formula {
    Formula::new(
        "acid-gravity",
        Job::Electrics,
        "Battery acid: gravity brought to 80 °F",
        run!(compute_gravity),
    )
    .says("This decides whether cells differ, or only their temperature.")
    .equation("s + 0.004 (T − 80 °F)/10 °F")
    .takes([
        number("gravity", "s", "Specific gravity read", Unit::ONE, 1.25).within(1.0, 1.4),
        number("temperature", "T", "Temperature of the acid", Unit::FAHRENHEIT, 50.0).within(-40.0, 140.0),
    ])
    .gives([result("at-80f", "", "Gravity at 80 °F", Unit::ONE).rises(&["gravity", "temperature"])])
    .holds(
        "Holds for flooded batteries. Cells that differ by more than 0.05 are failing (common \
         practice).",
    )
    .caution(CAUTION)
    .source("correction table on two pages, 4 points for 10 °F; 0.05: common practice")
    .diagram("battery")
    .fitted()
}

fn compute_gravity<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("at-80f", gravity_at_80f(given.number("gravity"), given.number("temperature")));
    Ok(())
}
