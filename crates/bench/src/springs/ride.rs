//! What a spring is worth at the wheel.

use crate::prelude::*;
use std::f64::consts::PI;

/// Standard gravity (m/s²). Source: 3rd General Conference on Weights and Measures, 1901.
pub(crate) const GRAVITY: f64 = 9.80665;

/// Wheel rate: `k_w = k (r cos α)²`.
///
/// `k` spring rate (N/m), `r` motion ratio (spring travel over wheel travel), `α` lean of the spring against its
/// line of travel (rad); gives `k_w` (N/m). Scalars. Holds near the height at which the ratio was measured; tyre
/// and bushes not included.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: virtual work. Checked: `reference/springs.json`.
pub fn wheel_rate<D: Dual>(spring_rate: D, motion_ratio: D, lean: D) -> Result<D, BenchError> {
    let ratio = above_zero("motion ratio", motion_ratio)? * lean.cos();
    Ok(above_zero("spring rate", spring_rate)? * ratio.powi(2))
}

/// Ride frequency and static deflection: `f = √(k_w/m) / 2π`, `x = m g / k_w`.
///
/// `k_w` wheel rate (N/m), `m` sprung mass on the wheel (kg); gives `f` (Hz) and `x` (m). Scalars.
/// Holds for one corner alone, undamped, tyre taken as rigid.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: elementary vibration. Checked: `reference/springs.json`.
pub fn ride_frequency<D: Dual>(wheel_rate: D, sprung_mass: D) -> Result<(D, D), BenchError> {
    let k = above_zero("wheel rate", wheel_rate)?;
    let m = above_zero("sprung mass", sprung_mass)?;
    Ok(((k / m).sqrt() / (2.0 * PI), m / k * GRAVITY))
}

/// Ride frequency from how far the car sinks on its springs: `f = √(g/x) / 2π`.
///
/// `x` static deflection at the wheel (m); gives `f` (Hz). Scalar. Holds for a straight rate.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: elementary vibration. Checked: `reference/springs.json`.
pub fn frequency_from_deflection<D: Dual>(deflection: D) -> Result<D, BenchError> {
    Ok((above_zero("static deflection", deflection)?.recip() * GRAVITY).sqrt() / (2.0 * PI))
}

pub(crate) fn at_wheel() -> Formula {
    Formula::new("wheel-rate", Job::Springs, "Wheel rate of a spring", run!(compute_wheel))
        .says("This decides how stiff the car stands on that spring.")
        .equation("k_w = k (r cos α)²")
        .takes([
            number("spring-rate", "k", "Spring rate", Unit::N_PER_MM, 42.0).within(1.0, 500.0),
            number("motion-ratio", "r", "Motion ratio, spring travel over wheel travel", Unit::ONE, 0.7)
                .within(0.1, 2.0),
            number("lean", "α", "Lean of the spring against its line of travel", Unit::DEG, 0.0)
                .within(0.0, 60.0)
                .or(0.0),
        ])
        .gives([result("wheel-rate", "k_w", "Wheel rate", Unit::N_PER_MM)
            .rises(&["spring-rate", "motion-ratio"])
            .falls(&["lean"])])
        .holds("Holds near the height at which the ratio was measured; tyre and bushes are not in it.")
        .source("virtual work")
        .diagram("ride")
}

fn compute_wheel<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "wheel-rate",
        wheel_rate(given.number("spring-rate"), given.number("motion-ratio"), given.number("lean"))?,
    );
    Ok(())
}

pub(crate) fn frequency() -> Formula {
    Formula::new("ride-frequency", Job::Springs, "Ride frequency of a corner", run!(compute_frequency))
        .says("This decides whether a bounce test fits the springs that should be there.")
        .equation("f = √(k_w/m) / 2π;  x = m g / k_w")
        .takes([
            number("wheel-rate", "k_w", "Wheel rate", Unit::N_PER_MM, 20.58).within(1.0, 500.0),
            number("sprung-mass", "m", "Sprung mass on the wheel", Unit::KG, 242.0).within(20.0, 2000.0),
        ])
        .gives([
            result("frequency", "f", "Ride frequency", Unit::HZ)
                .rises(&["wheel-rate"])
                .falls(&["sprung-mass"]),
            result("deflection", "x", "Static deflection at the wheel", Unit::MM)
                .rises(&["sprung-mass"])
                .falls(&["wheel-rate"]),
        ])
        .holds("Holds for one corner alone; damping lowers the count a little, a soft tyre too.")
        .source("elementary vibration; standard gravity 9.80665 m/s²")
        .diagram("ride")
        .fitted()
}

fn compute_frequency<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (frequency, deflection) = ride_frequency(given.number("wheel-rate"), given.number("sprung-mass"))?;
    out.number("frequency", frequency);
    out.number("deflection", deflection);
    Ok(())
}

pub(crate) fn from_deflection() -> Formula {
    Formula::new(
        "ride-frequency-from-deflection",
        Job::Springs,
        "Ride frequency from static deflection",
        run!(compute_deflection),
    )
    .says("This decides the ride frequency from how far the car sinks onto its springs.")
    .equation("f = √(g/x) / 2π")
    .takes([number("deflection", "x", "Static deflection at the wheel", Unit::MM, 100.0).within(5.0, 600.0)])
    .gives([result("frequency", "f", "Ride frequency", Unit::HZ).falls(&["deflection"])])
    .holds("Holds for a straight rate; with a progressive spring take the slope at ride height.")
    .caution("Lower the car onto its wheels slowly and keep clear of it.")
    .source("elementary vibration; standard gravity 9.80665 m/s²")
    .diagram("ride")
    .fitted()
}

fn compute_deflection<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("frequency", frequency_from_deflection(given.number("deflection"))?);
    Ok(())
}
