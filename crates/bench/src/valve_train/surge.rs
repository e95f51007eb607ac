//! A spring's own vibration.

use crate::prelude::*;
use crate::springs::rate::spring_rate;
use std::f64::consts::PI;

/// A spring's lowest own frequencies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surge<D> {
    /// Mass of the active coils (kg).
    pub mass: D,
    /// Both ends held, as in an engine (Hz).
    pub held: D,
    /// One end free (Hz).
    pub free: D,
}

/// Surge of a coil spring: `m = ρ π² d² D n / 4`, held at both ends `f = ½ √(k/m)`, one end free `¼ √(k/m)`.
///
/// `d` wire, `D` mean coil diameter (m), `n` active coils, `G` shear modulus (Pa), `ρ` density (kg/m³). Scalars.
/// Holds for a spring of even pitch.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: wave equation of a helical spring; standard machine-design texts. Checked: `reference/springs.json`.
pub fn surge<D: Dual>(
    wire: D,
    mean_diameter: D,
    coils: D,
    shear_modulus: D,
    density: D,
) -> Result<Surge<D>, BenchError> {
    let k = spring_rate(wire, mean_diameter, coils, shear_modulus)?;
    let mass = above_zero("density", density)? * wire.powi(2) * mean_diameter * coils * (PI * PI / 4.0);
    let root = (k / mass).sqrt();
    Ok(Surge { mass, held: root * 0.5, free: root * 0.25 })
}

pub(crate) fn formula() -> Formula {
    Formula::new("valve-spring-surge", Job::ValveTrain, "Valve spring: its own frequency", run!(compute))
        .says("This decides at which engine speeds the spring's own ringing meets the cam.")
        .equation("m = ρ π² d² D n / 4;  f = ½ √(k/m);  k = G d⁴ / (8 D³ n)")
        .takes([
            number("wire", "d", "Wire diameter", Unit::MM, 4.2).within(0.5, 30.0),
            number("mean-diameter", "D", "Mean coil diameter", Unit::MM, 28.0).within(3.0, 300.0),
            number("coils", "n", "Active coils", Unit::COUNT, 5.5).within(1.0, 30.0),
            number("shear-modulus", "G", "Shear modulus", Unit::MPA, 78_500.0)
                .within(20_000.0, 100_000.0)
                .or(79_300.0),
            number("density", "ρ", "Density of the wire", Unit::KG_PER_M3, 7850.0)
                .within(1000.0, 20_000.0)
                .or(7850.0),
            number("speed", "", "Engine speed", Unit::RPM, 8000.0).within(100.0, 20_000.0).optional(),
        ])
        .gives([
            result("active-mass", "m", "Mass of the active coils", Unit::G).rises(&[
                "wire",
                "mean-diameter",
                "coils",
                "density",
            ]),
            result("held", "f", "Lowest frequency, both ends held", Unit::HZ).rises(&["wire"]).falls(&[
                "mean-diameter",
                "coils",
                "density",
            ]),
            result("free", "", "Lowest frequency, one end free", Unit::HZ).rises(&["wire"]).falls(&[
                "mean-diameter",
                "coils",
                "density",
            ]),
            result("harmonic", "", "Cam harmonic that meets it at this speed", Unit::ONE).falls(&["speed"]),
        ])
        .holds(
            "Holds for a spring of even pitch; a progressive one rings over a band. Harmonics below \
             about the tenth of a cam carry force enough to matter (common practice).",
        )
        .source("wave equation of a helical spring; standard machine-design texts")
        .diagram("valve-spring")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (wire, diameter, coils) =
        (given.number("wire"), given.number("mean-diameter"), given.number("coils"));
    let modulus = given.number("shear-modulus");
    let surge = surge(wire, diameter, coils, modulus, given.number("density"))?;
    out.step("spring rate", spring_rate(wire, diameter, coils, modulus)?, Unit::N_PER_MM);
    out.number("active-mass", surge.mass);
    out.number("held", surge.held);
    out.number("free", surge.free);
    if let Some(speed) = given.maybe("speed") {
        // The cam turns at half the crank's speed: turns a second = ω / 4π.
        out.number("harmonic", surge.held / (above_zero("engine speed", speed)? / (4.0 * PI)));
    }
    Ok(())
}
