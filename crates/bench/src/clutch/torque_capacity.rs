//! What torque a clutch holds before it slips.

use crate::prelude::*;
use std::f64::consts::PI;

/// Torque by uniform wear: `T = z μ F (D + d)/4`.
///
/// `F` clamp load (N), `μ` friction, `D`, `d` outer and inner diameter of the facing (m), `z` friction faces; gives
/// N·m. Scalars. Holds for a bedded-in disc; the careful one of the two forms.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for an inner diameter not below the outer.
///
/// Source: standard machine-design texts. Checked: `reference/hydraulics_clutch.json`.
pub fn torque_uniform_wear<D: Dual>(
    clamp: D,
    friction: D,
    outer: D,
    inner: D,
    faces: D,
) -> Result<D, BenchError> {
    let (outer, inner) = ring(outer, inner)?;
    Ok(above_zero("friction faces", faces)? * friction * clamp * (outer + inner) / 4.0)
}

/// Torque by uniform pressure: `T = z μ F (D³ − d³) / (3 (D² − d²))`.
///
/// Arguments as above. Holds for a new disc.
///
/// # Errors
/// As above.
///
/// Source: standard machine-design texts. Checked: `reference/hydraulics_clutch.json`.
pub fn torque_uniform_pressure<D: Dual>(
    clamp: D,
    friction: D,
    outer: D,
    inner: D,
    faces: D,
) -> Result<D, BenchError> {
    let (outer, inner) = ring(outer, inner)?;
    let lever = (outer.powi(3) - inner.powi(3)) / ((outer.powi(2) - inner.powi(2)) * 3.0);
    Ok(above_zero("friction faces", faces)? * friction * clamp * lever)
}

fn ring<D: Dual>(outer: D, inner: D) -> Result<(D, D), BenchError> {
    let inner = above_zero("inner diameter", inner)?;
    require(outer.re() > inner.re(), "the outer diameter must be larger than the inner one")?;
    Ok((outer, inner))
}

fn describe(
    id: &'static str,
    title: &'static str,
    equation: &'static str,
    holds: &'static str,
    run: crate::run::Run,
) -> Formula {
    Formula::new(id, Job::Clutch, title, run)
        .says("This decides whether the clutch suits the engine, worn or with friction low.")
        .equation(equation)
        .takes([
            number("outer", "D", "Outer diameter of the facing", Unit::MM, 215.0).within(50.0, 600.0),
            number("inner", "d", "Inner diameter of the facing", Unit::MM, 150.0).within(20.0, 500.0),
            number("friction", "μ", "Friction", Unit::ONE, 0.3).within(0.02, 0.8),
            number("faces", "z", "Friction faces", Unit::COUNT, 2.0).within(1.0, 40.0).or(2.0),
            number("clamp", "F", "Clamp load", Unit::N, 5600.0).within(1.0, 200_000.0).optional(),
            number(
                "peak-pressure",
                "p",
                "Greatest pressure on the facing, in place of the clamp load",
                Unit::MPA,
                0.3,
            )
            .within(0.001, 10.0)
            .alternative(),
            number("engine-torque", "", "Engine's greatest torque", Unit::N_M, 205.0)
                .within(1.0, 20_000.0)
                .optional(),
        ])
        .gives([
            result("clamp-load", "F", "Clamp load", Unit::N).rises(&["clamp", "peak-pressure"]),
            result("torque", "T", "Torque it holds", Unit::N_M).rises(&[
                "clamp",
                "peak-pressure",
                "friction",
                "faces",
            ]),
            result("reserve", "", "Torque it holds over the engine's", Unit::ONE)
                .rises(&["clamp", "friction"])
                .falls(&["engine-torque"]),
        ])
        .holds(holds)
        .caution("Facing dust may hold asbestos on an old car: never blow it out; wipe it wet.")
        .source(
            "standard machine-design texts; friction of dry organic facings and reserve: common \
             practice",
        )
        .diagram("clutch-disc")
}

pub(crate) fn wear() -> Formula {
    describe(
        "clutch-torque-uniform-wear",
        "Clutch torque, uniform wear",
        "T = z μ F (D + d)/4;  F = π p d (D − d)/2",
        "Holds for a bedded-in disc. Give the clamp load or the greatest pressure, not both. \
         Dry organic facings have 0.25 to 0.35; a road car wants 1.2 to 1.5 times the engine's \
         torque (common practice). A worn diaphragm cover clamps otherwise than a new one.",
        run!(compute_wear),
    )
}

pub(crate) fn pressure() -> Formula {
    describe(
        "clutch-torque-uniform-pressure",
        "Clutch torque, uniform pressure",
        "T = z μ F (D³ − d³)/(3 (D² − d²));  F = π/4 p (D² − d²)",
        "Holds for a new disc; a bedded-in one holds a little less. Give the clamp load or the \
         pressure, not both. Dry organic facings have 0.25 to 0.35; a road car wants 1.2 to 1.5 \
         times the engine's torque (common practice).",
        run!(compute_pressure),
    )
}

fn compute_wear<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let clamp = clamp(given, |p, outer, inner| p * inner * (outer - inner) * (PI / 2.0))?;
    tell(given, out, clamp, torque_uniform_wear)
}

fn compute_pressure<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let clamp = clamp(given, |p, outer, inner| p * (outer.powi(2) - inner.powi(2)) * (PI / 4.0))?;
    tell(given, out, clamp, torque_uniform_pressure)
}

/// The clamp load given, or that of the greatest pressure given.
fn clamp<D: Dual>(given: &Given<'_, D>, of_pressure: impl Fn(D, D, D) -> D) -> Result<D, BenchError> {
    match (given.maybe("clamp"), given.maybe("peak-pressure")) {
        (Some(clamp), None) => Ok(clamp),
        (None, Some(pressure)) => Ok(of_pressure(pressure, given.number("outer"), given.number("inner"))),
        _ => Err(Problem::Impossible { rule: "give either the clamp load or the greatest pressure" }.into()),
    }
}

fn tell<D: Dual>(
    given: &Given<'_, D>,
    out: &mut Out<D>,
    clamp: D,
    torque: impl Fn(D, D, D, D, D) -> Result<D, BenchError>,
) -> Result<(), BenchError> {
    let (outer, inner) = (given.number("outer"), given.number("inner"));
    let torque = torque(clamp, given.number("friction"), outer, inner, given.number("faces"))?;
    out.step("mean radius", (outer + inner) / 4.0, Unit::MM);
    out.number("clamp-load", clamp);
    out.number("torque", torque);
    if let Some(engine) = given.maybe("engine-torque") {
        out.number("reserve", torque / engine);
    }
    Ok(())
}
