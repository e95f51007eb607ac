//! Spring against inertia at the nose of the cam.

use crate::prelude::*;
use std::f64::consts::PI;

/// Spring load and inertia at one lift; forces in N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoseMargin<D> {
    pub spring_load: D,
    pub inertia: D,
    pub margin: D,
    pub ratio: D,
}

/// Spring load against the inertia of the valve-side mass: `F = F₀ + k s`, needed `m a`.
///
/// `F₀` seat load (N), `k` rate (N/m), `s` lift (m), `m` mass (kg), `a` deceleration (m/s²). Scalars.
/// Holds for rigid parts; surge, flexing and friction take more.
///
/// # Errors
/// [`Problem::NotPositive`] for a mass or deceleration not above zero.
///
/// Source: Newton's second law. Checked: `reference/engine.json`.
pub fn nose_margin<D: Dual>(
    seat_load: D,
    rate: D,
    lift: D,
    mass: D,
    deceleration: D,
) -> Result<NoseMargin<D>, BenchError> {
    let inertia = above_zero("mass", mass)? * above_zero("deceleration", deceleration)?;
    let spring_load = seat_load + rate * lift;
    Ok(NoseMargin { spring_load, inertia, margin: spring_load - inertia, ratio: spring_load / inertia })
}

/// Peak deceleration of a plain harmonic lift: `a = (s/2) (2π n / (D/360°))²`, with `D` the open duration.
///
/// `s` lift (m), `D` open duration in crank angle (rad), `ω` crank speed (rad/s); gives `a` (m/s²). Scalars.
/// Holds for a harmonic lift curve; real cams decelerate less evenly.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: kinematics of harmonic motion. Checked: `reference/engine.json`.
pub fn harmonic_nose_deceleration<D: Dual>(lift: D, duration: D, crank_speed: D) -> Result<D, BenchError> {
    let open_for = above_zero("open duration", duration)? / above_zero("engine speed", crank_speed)?;
    Ok(above_zero("lift", lift)? * 0.5 * (open_for.recip() * (2.0 * PI)).powi(2))
}

pub(crate) fn margin() -> Formula {
    Formula::new(
        "valve-spring-margin",
        Job::ValveTrain,
        "Valve spring against inertia at the nose",
        run!(compute_margin),
    )
    .says("This decides whether the spring still holds the valve on the cam at that speed.")
    .equation("F = F₀ + k s;  needed = m a")
    .takes([
        number("seat-load", "F₀", "Load on the seat", Unit::N, 250.0).within(1.0, 5000.0),
        number("rate", "k", "Spring rate", Unit::N_PER_MM, 32.0).within(1.0, 300.0),
        number("lift", "s", "Lift at the valve", Unit::MM, 10.0).within(0.0, 25.0),
        number("mass", "m", "Mass moved, at the valve", Unit::G, 115.0).within(5.0, 2000.0),
        number("deceleration", "a", "Deceleration at the nose", Unit::M_PER_S2, 4500.0).within(1.0, 1e5),
    ])
    .gives([
        result("spring-load", "F", "Spring load", Unit::N).rises(&["seat-load", "rate", "lift"]),
        result("inertia", "m a", "Force needed", Unit::N).rises(&["mass", "deceleration"]),
        result("margin", "", "Force to spare", Unit::N)
            .rises(&["seat-load", "rate", "lift"])
            .falls(&["mass", "deceleration"]),
        result("ratio", "", "Load over force needed", Unit::ONE)
            .rises(&["seat-load", "rate", "lift"])
            .falls(&["mass", "deceleration"]),
    ])
    .holds(
        "Holds for rigid parts. Surge, flexing and friction take more: the trade asks 15 to 25 \
         % to spare (common practice).",
    )
    .source("Newton's second law; margin: common practice")
    .diagram("cam-nose")
}

fn compute_margin<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let nose = nose_margin(
        given.number("seat-load"),
        given.number("rate"),
        given.number("lift"),
        given.number("mass"),
        given.number("deceleration"),
    )?;
    out.number("spring-load", nose.spring_load);
    out.number("inertia", nose.inertia);
    out.number("margin", nose.margin);
    out.number("ratio", nose.ratio);
    Ok(())
}

pub(crate) fn harmonic() -> Formula {
    Formula::new(
        "harmonic-nose-deceleration",
        Job::ValveTrain,
        "Deceleration at the nose of a harmonic cam",
        run!(compute_harmonic),
    )
    .says("This decides what a spring must hold when no lift table is at hand.")
    .equation("a = s/2 · (2π ω / D)²")
    .takes([
        number("lift", "s", "Lift at the valve", Unit::MM, 10.0).within(1.0, 25.0),
        number("duration", "D", "Open duration in crank angle", Unit::DEG, 260.0).within(120.0, 400.0),
        number("speed", "ω", "Engine speed", Unit::RPM, 6000.0).within(100.0, 20_000.0),
    ])
    .gives([result("deceleration", "a", "Peak deceleration", Unit::M_PER_S2)
        .rises(&["lift", "speed"])
        .falls(&["duration"])])
    .holds(
        "Holds for a harmonic lift curve; a real cam with ramps decelerates less evenly and \
         somewhat less.",
    )
    .source("kinematics of harmonic motion")
    .diagram("cam-nose")
}

fn compute_harmonic<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let a =
        harmonic_nose_deceleration(given.number("lift"), given.number("duration"), given.number("speed"))?;
    out.step("the valve is open for", given.number("duration") / given.number("speed"), Unit::MS);
    out.number("deceleration", a);
    Ok(())
}
