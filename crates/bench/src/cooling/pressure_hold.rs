//! A cooling system pumped up and watched.

use crate::cylinders::atmosphere::SEA_LEVEL;
use crate::prelude::*;

/// What a pressure hold says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold<D> {
    /// Gauge pressure that cooling or warming alone would leave (Pa).
    pub expected: D,
    /// Pressure lost by leaking (Pa).
    pub leaked: D,
    /// The same in a second (Pa/s).
    pub rate: D,
}

/// Pressure lost by leaking: `p₂* = (p₁ + p_a) T₂/T₁ − p_a`, leak `p₂* − p₂`.
///
/// `p₁`, `p₂` gauge pressures at start and end, `p_a` air pressure (Pa), `T₁`, `T₂` temperatures of the trapped air
/// (K), `t` time (s). Scalars. Holds for air that keeps its volume.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: gas law. Checked: `reference/worked.json`.
pub fn pressure_hold<D: Dual>(
    start: D,
    end: D,
    time: D,
    atmosphere: D,
    warm: D,
    warm_end: D,
) -> Result<Hold<D>, BenchError> {
    let expected = (start + atmosphere) * warm_end / above_zero("temperature", warm)? - atmosphere;
    let leaked = expected - end;
    Ok(Hold { expected, leaked, rate: leaked / above_zero("time", time)? })
}

pub(crate) fn formula() -> Formula {
    Formula::new("cooling-pressure-hold", Job::Cooling, "Cooling system: pressure hold", run!(compute))
        .says("This decides whether the system leaks, or has only cooled down while it was watched.")
        .equation(
            "p₂* = (p₁ + p_a) T₂/T₁ − p_a;  leak = p₂* − p₂;  coolant out = V ((p₁ + p_a)/(p₂ + \
             p_a) T₂/T₁ − 1)",
        )
        .takes([
            number("start", "p₁", "Pressure at the start, on the gauge", Unit::BAR, 1.1).within(0.1, 3.0),
            number("end", "p₂", "Pressure at the end, on the gauge", Unit::BAR, 1.0).within(0.0, 3.0),
            number("time", "t", "Time", Unit::MIN, 10.0).within(0.5, 600.0),
            number("temperature", "T₁", "Temperature at the start", Unit::CELSIUS, 20.0)
                .within(-20.0, 110.0)
                .or(20.0),
            number("temperature-end", "T₂", "Temperature at the end", Unit::CELSIUS, 20.0)
                .within(-20.0, 110.0)
                .or(20.0),
            number("atmosphere", "p_a", "Air pressure", Unit::BAR, 1.013_25)
                .within(0.4, 1.1)
                .or(SEA_LEVEL / 1e5),
            number("air", "V", "Air trapped in the system", Unit::L, 0.5).within(0.01, 10.0).optional(),
        ])
        .gives([
            result("expected", "p₂*", "Pressure that temperature alone would leave", Unit::BAR)
                .rises(&["start", "temperature-end"])
                .falls(&["temperature"]),
            result("leaked", "", "Pressure lost by leaking", Unit::BAR).rises(&["start"]).falls(&["end"]),
            result("in-ten-minutes", "", "The same in ten minutes", Unit::BAR)
                .rises(&["start"])
                .falls(&["end"]),
            result("coolant-out", "", "Coolant pushed out, if that is what leaks", Unit::ML)
                .rises(&["start"])
                .falls(&["end"]),
        ])
        .holds(
            "Holds for air that keeps its temperature even. Pump to the cap's rating, never above \
             it. Test cold, then warm: some leaks close warm.",
        )
        .caution("Never open or pump up a hot cooling system; wear glasses.")
        .source("gas law")
        .diagram("pressure-hold")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (start, end, atmosphere) = (given.number("start"), given.number("end"), given.number("atmosphere"));
    let (warm, warm_end) = (given.number("temperature"), given.number("temperature-end"));
    let hold = pressure_hold(start, end, given.number("time"), atmosphere, warm, warm_end)?;
    out.number("expected", hold.expected);
    out.number("leaked", hold.leaked);
    out.number("in-ten-minutes", hold.rate * 600.0);
    if let Some(air) = given.maybe("air") {
        out.number(
            "coolant-out",
            air * ((start + atmosphere) * warm_end / ((end + atmosphere) * warm) - 1.0),
        );
    }
    Ok(())
}
