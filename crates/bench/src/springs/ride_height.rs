//! Spring length and ride height from corner weight.

use super::ride::GRAVITY;
use crate::prelude::*;

/// Length of a loaded spring: `F = m g / r`, `l = L₀ − F/k`.
///
/// `m` sprung mass on the corner (kg), `r` motion ratio, `L₀` free length (m), `k` rate (N/m); gives load (N) and
/// length (m). Scalars. Holds for a coil on its damper; a lever needs its own geometry.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] when the load would press the spring to nothing.
///
/// Source: Hooke's law and virtual work. Checked: `reference/worked.json`.
pub fn loaded_length<D: Dual>(
    sprung_mass: D,
    motion_ratio: D,
    free_length: D,
    rate: D,
) -> Result<(D, D), BenchError> {
    let r = above_zero("motion ratio", motion_ratio)?;
    let load = above_zero("sprung mass", sprung_mass)? / r * GRAVITY;
    let length = above_zero("free length", free_length)? - load / above_zero("spring rate", rate)?;
    require(length.re() > 0.0, "the load would press the spring to nothing")?;
    Ok((load, length))
}

/// Change of ride height when another spring carries the same corner: `Δh = (l′ − l) / r`.
///
/// `l`, `l′` loaded lengths (m), `r` motion ratio; gives `Δh` at the wheel (m). Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: virtual work. Checked: `reference/worked.json`.
pub fn height_change<D: Dual>(length: D, other_length: D, motion_ratio: D) -> Result<D, BenchError> {
    Ok((other_length - length) / above_zero("motion ratio", motion_ratio)?)
}

pub(crate) fn formula() -> Formula {
    Formula::new("ride-height-from-spring", Job::Springs, "Ride height with another spring", run!(compute))
        .says("This decides how far another spring raises or lowers that corner.")
        .equation("F = m g / r;  l = L₀ − F/k;  Δh = (l′ − l) / r")
        .takes([
            number("sprung-mass", "m", "Sprung mass on the corner", Unit::KG, 242.0).within(20.0, 2000.0),
            number("motion-ratio", "r", "Motion ratio, spring travel over wheel travel", Unit::ONE, 0.7)
                .within(0.1, 2.0),
            number("free-length", "L₀", "Free length of the spring", Unit::MM, 300.0).within(50.0, 800.0),
            number("rate", "k", "Rate of the spring", Unit::N_PER_MM, 42.0).within(1.0, 500.0),
            number("other-free-length", "L₀′", "Free length of the other spring", Unit::MM, 325.0)
                .within(50.0, 800.0),
            number("other-rate", "k′", "Rate of the other spring", Unit::N_PER_MM, 33.0).within(1.0, 500.0),
        ])
        .gives([
            result("load", "F", "Spring load", Unit::N).rises(&["sprung-mass"]).falls(&["motion-ratio"]),
            result("length", "l", "Loaded length", Unit::MM)
                .rises(&["free-length", "rate"])
                .falls(&["sprung-mass"]),
            result("other-length", "l′", "Loaded length of the other", Unit::MM)
                .rises(&["other-free-length", "other-rate"])
                .falls(&["sprung-mass"]),
            result("change", "Δh", "Change of ride height at the wheel", Unit::MM)
                .rises(&["other-free-length", "other-rate"])
                .falls(&["free-length", "rate"]),
        ])
        .holds(
            "Holds for a coil on its damper with a constant ratio. Gas in the damper and stiff \
             bushes add a little.",
        )
        .caution("Road springs hold deadly force: use the proper compressor and stay out of line.")
        .source("Hooke's law and virtual work; standard gravity 9.80665 m/s²")
        .diagram("ride")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (mass, ratio) = (given.number("sprung-mass"), given.number("motion-ratio"));
    let (load, length) = loaded_length(mass, ratio, given.number("free-length"), given.number("rate"))?;
    let (_, other) =
        loaded_length(mass, ratio, given.number("other-free-length"), given.number("other-rate"))?;
    out.step("spring length changes by", other - length, Unit::MM);
    out.number("load", load);
    out.number("length", length);
    out.number("other-length", other);
    out.number("change", height_change(length, other, ratio)?);
    Ok(())
}
