//! The measures of a metric thread, and what it bears.

use crate::prelude::*;
use std::f64::consts::PI;

/// Diameters of a metric thread that count for strength; m and m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread<D> {
    /// Pitch diameter.
    pub pitch_diameter: D,
    /// Core diameter.
    pub core_diameter: D,
    pub stress_area: D,
}

/// Measures of a metric thread: `d₂ = d − 0.6495 P`, `d₃ = d − 1.2269 P`, `A_s = π/4 ((d₂ + d₃)/2)²`.
///
/// `d` nominal diameter, `P` pitch (m). Scalars. Holds for the basic profile of ISO threads.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for a pitch that leaves no core.
///
/// Source: ISO 68-1 (profile), ISO 898-1 (stress area). Checked: `reference/fasteners.json`.
pub fn thread_measures<D: Dual>(diameter: D, pitch: D) -> Result<Thread<D>, BenchError> {
    let d = above_zero("nominal diameter", diameter)?;
    // Height of the sharp triangle; the flanks' share of it follows from the profile.
    let h = above_zero("pitch", pitch)? * (3f64.sqrt() / 2.0);
    let pitch_diameter = d - h * 0.75;
    let core_diameter = d - h * (17.0 / 12.0);
    require(core_diameter.re() > 0.0, "the pitch is too coarse for that diameter")?;
    let stress_area = ((pitch_diameter + core_diameter) * 0.5).powi(2) * (PI / 4.0);
    Ok(Thread { pitch_diameter, core_diameter, stress_area })
}

/// Load at which a bolt begins to keep a stretch: `F_p = A_s S_p`.
///
/// `A_s` stress area (m²), `S_p` proof stress (Pa); gives N. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: ISO 898-1. Checked: `reference/fasteners.json`.
pub fn proof_load<D: Dual>(stress_area: D, proof_stress: D) -> Result<D, BenchError> {
    Ok(above_zero("stress area", stress_area)? * above_zero("proof stress", proof_stress)?)
}

pub(crate) fn area() -> Formula {
    Formula::new(
        "thread-stress-area",
        Job::Threads,
        "Metric thread: diameters and stress area",
        run!(compute_area),
    )
    .says("This decides what a thread can bear.")
    .equation("d₂ = d − 0.6495 P;  d₃ = d − 1.2269 P;  A_s = π/4 ((d₂ + d₃)/2)²")
    .takes([
        number("diameter", "d", "Nominal diameter", Unit::MM, 12.0).within(1.0, 100.0),
        number("pitch", "P", "Pitch", Unit::MM, 1.5).within(0.2, 8.0),
    ])
    .gives([
        result("pitch-diameter", "d₂", "Pitch diameter", Unit::MM).rises(&["diameter"]).falls(&["pitch"]),
        result("core-diameter", "d₃", "Core diameter", Unit::MM).rises(&["diameter"]).falls(&["pitch"]),
        result("stress-area", "A_s", "Stress area", Unit::MM2).rises(&["diameter"]).falls(&["pitch"]),
    ])
    .holds("Holds for the basic profile of ISO metric threads.")
    .source("ISO 68-1 (profile), ISO 898-1 (stress area)")
    .diagram("thread")
}

fn compute_area<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let thread = thread_measures(given.number("diameter"), given.number("pitch"))?;
    out.number("pitch-diameter", thread.pitch_diameter);
    out.number("core-diameter", thread.core_diameter);
    out.number("stress-area", thread.stress_area);
    Ok(())
}

pub(crate) fn proof() -> Formula {
    Formula::new(
        "proof-load",
        Job::Threads,
        "Proof load of a bolt, and a preload's share of it",
        run!(compute_proof),
    )
    .says("This decides whether a preload overstretches the bolt.")
    .equation("F_p = A_s S_p;  share = F / F_p")
    .takes([
        number("stress-area", "A_s", "Stress area", Unit::MM2, 88.1).within(0.5, 10_000.0),
        number("proof-stress", "S_p", "Proof stress of the property class", Unit::MPA, 600.0)
            .within(50.0, 1500.0),
        number("preload", "F", "Preload", Unit::KN, 38.0).within(0.0, 5000.0).optional(),
    ])
    .gives([
        result("proof-load", "F_p", "Proof load", Unit::KN).rises(&["stress-area", "proof-stress"]),
        result("share", "", "Preload over proof load", Unit::PERCENT)
            .rises(&["preload"])
            .falls(&["stress-area", "proof-stress"]),
    ])
    .holds(
        "Holds for whole steel bolts without rust or notch. 580 to 600 MPa for class 8.8, 830 \
         for 10.9, 970 for 12.9.",
    )
    .caution(
        "A bolt that has been past its proof load is renewed; angle-tightened ones are used \
         once unless the maker says otherwise.",
    )
    .source("ISO 898-1")
    .diagram("bolt")
}

fn compute_proof<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let load = proof_load(given.number("stress-area"), given.number("proof-stress"))?;
    out.number("proof-load", load);
    if let Some(preload) = given.maybe("preload") {
        out.number("share", preload / load);
    }
    Ok(())
}
