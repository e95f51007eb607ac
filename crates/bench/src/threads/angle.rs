//! Tightening by angle, and how stiff bolt and joint are.

use crate::prelude::*;
use std::f64::consts::{PI, TAU};

/// Preload gained by turning on after snug: `F = (φ/2π) P / (1/k_b + 1/k_c)`.
///
/// `φ` angle (rad), `P` pitch (m), `k_b` bolt and `k_c` joint stiffness (N/m); gives N. Scalars. Holds below yield.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: Hooke's law of bolt and joint in series. Checked: `reference/fasteners.json`.
pub fn preload_of_angle<D: Dual>(angle: D, pitch: D, bolt: D, joint: D) -> Result<D, BenchError> {
    let give = above_zero("bolt stiffness", bolt)?.recip() + above_zero("joint stiffness", joint)?.recip();
    Ok(angle * above_zero("pitch", pitch)? / TAU / give)
}

/// Stiffness of a bolt: shank and thread in series, `k = A_d A_t E / (A_d l_t + A_t l_d)`.
///
/// `E` modulus (Pa), `A_t` stress area (m²), `d` shank diameter, `l_t` threaded and `l_d` plain length in the grip
/// (m); gives N/m. Scalars. Holds for head and nut taken as rigid.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: standard bolting texts. Checked: `reference/fasteners.json`.
pub fn bolt_stiffness<D: Dual>(
    modulus: D,
    stress_area: D,
    shank: D,
    threaded: D,
    plain: D,
) -> Result<D, BenchError> {
    let (t, d) =
        (above_zero("stress area", stress_area)?, above_zero("shank diameter", shank)?.powi(2) * (PI / 4.0));
    let give = not_negative("threaded length", threaded)? * d + not_negative("plain length", plain)? * t;
    Ok(d * t * above_zero("modulus", modulus)? / above_zero("length in the grip", give)?)
}

/// Stiffness of clamped parts by pressure cones of 30°: `k = 0.5774 π E d / (2 ln(5 (0.5774 l + 0.5 d)/(0.5774 l +
/// 2.5 d)))`.
///
/// `E` modulus (Pa), `d` bolt diameter, `l` grip (m); gives N/m. Scalars.
/// Holds for one material, washers of 1.5 d, and parts wide enough for the cones.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: standard machine-design texts, from memory. Checked: `reference/fasteners.json`.
pub fn joint_stiffness<D: Dual>(modulus: D, diameter: D, grip: D) -> Result<D, BenchError> {
    let d = above_zero("bolt diameter", diameter)?;
    let cone = above_zero("grip", grip)? * 0.5774;
    let spread = ((cone + d * 0.5) * 5.0 / (cone + d * 2.5)).ln();
    Ok(above_zero("modulus", modulus)? * d * (0.5774 * PI) / (spread * 2.0))
}

const CAUTION: &str = "Angle-tightened bolts are used once unless the maker says otherwise. The maker's \
     stages rule.";

pub(crate) fn preload() -> Formula {
    Formula::new("angle-to-preload", Job::Threads, "Preload gained by an angle", run!(compute_preload))
        .says("This decides what a tightening angle adds to the clamp.")
        .equation("F = φ/360° · P / (1/k_b + 1/k_c)")
        .takes([
            number("angle", "φ", "Angle after snug", Unit::DEG, 90.0).within(0.0, 720.0),
            number("pitch", "P", "Pitch", Unit::MM, 1.5).within(0.2, 8.0),
            number("bolt-stiffness", "k_b", "Bolt stiffness", Unit::N_PER_MM, 250_000.0).within(1000.0, 1e8),
            number("joint-stiffness", "k_c", "Joint stiffness", Unit::N_PER_MM, 1_500_000.0)
                .within(1000.0, 1e9),
        ])
        .gives([result("preload", "F", "Preload gained", Unit::KN).rises(&[
            "angle",
            "pitch",
            "bolt-stiffness",
            "joint-stiffness",
        ])])
        .holds(
            "Holds below yield; past it the load hardly grows. Friction has little say, which is \
             why angle is used.",
        )
        .caution(CAUTION)
        .source("Hooke's law of bolt and joint in series")
        .diagram("bolt")
}

fn compute_preload<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (angle, pitch) = (given.number("angle"), given.number("pitch"));
    out.step("the nut advances", angle * pitch / TAU, Unit::MM);
    out.number(
        "preload",
        preload_of_angle(angle, pitch, given.number("bolt-stiffness"), given.number("joint-stiffness"))?,
    );
    Ok(())
}

pub(crate) fn bolt() -> Formula {
    Formula::new("bolt-stiffness", Job::Threads, "Stiffness of a bolt", run!(compute_bolt))
        .says("This decides how much a bolt stretches for its load.")
        .equation("k = A_d A_t E / (A_d l_t + A_t l_d)")
        .takes([
            number("modulus", "E", "Modulus", Unit::MPA, 205_000.0).within(10_000.0, 500_000.0).or(205_000.0),
            number("stress-area", "A_t", "Stress area of the thread", Unit::MM2, 58.0).within(0.5, 10_000.0),
            number("shank", "d", "Shank diameter", Unit::MM, 10.0).within(1.0, 100.0),
            number("threaded", "l_t", "Threaded length in the grip", Unit::MM, 14.0).within(0.0, 500.0),
            number("plain", "l_d", "Plain length in the grip", Unit::MM, 46.0).within(0.0, 500.0),
        ])
        .gives([result("stiffness", "k", "Stiffness", Unit::N_PER_MM)
            .rises(&["modulus", "stress-area", "shank"])
            .falls(&["threaded", "plain"])])
        .holds(
            "Holds for head and nut taken as rigid; they add about half a diameter of length at \
             each end.",
        )
        .source("standard bolting texts")
        .diagram("bolt")
}

fn compute_bolt<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (modulus, area, shank) =
        (given.number("modulus"), given.number("stress-area"), given.number("shank"));
    out.number(
        "stiffness",
        bolt_stiffness(modulus, area, shank, given.number("threaded"), given.number("plain"))?,
    );
    Ok(())
}

pub(crate) fn joint() -> Formula {
    Formula::new("joint-stiffness", Job::Threads, "Stiffness of clamped parts", run!(compute_joint))
        .says("This decides how much of a working load reaches the bolt.")
        .equation("k = 0.5774 π E d / (2 ln(5 (0.5774 l + 0.5 d) / (0.5774 l + 2.5 d)))")
        .takes([
            number("modulus", "E", "Modulus of the parts", Unit::MPA, 207_000.0).within(1000.0, 500_000.0),
            number("diameter", "d", "Bolt diameter", Unit::MM, 10.0).within(1.0, 100.0),
            number("grip", "l", "Grip", Unit::MM, 60.0).within(1.0, 1000.0),
        ])
        .gives([result("stiffness", "k", "Stiffness", Unit::N_PER_MM)
            .rises(&["modulus", "diameter"])
            .falls(&["grip"])])
        .holds("Holds for one material and parts wide enough for cones of 30° from washers of 1.5 d.")
        .source("standard machine-design texts, from memory")
        .diagram("bolt")
}

fn compute_joint<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "stiffness",
        joint_stiffness(given.number("modulus"), given.number("diameter"), given.number("grip"))?,
    );
    Ok(())
}
