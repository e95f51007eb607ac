//! Torque and preload, in the long forms and by the nut factor.

use super::measures::thread_measures;
use crate::prelude::*;
use std::f64::consts::PI;

/// A torque in its three parts (N·m): stretching the bolt, friction in the thread, friction under the head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueParts<D> {
    pub torque: D,
    pub pitch: D,
    pub thread: D,
    pub bearing: D,
}

/// Torque for a preload: `T = F (P/2π + μ_t r_t / cos β + μ_n r_n)`.
///
/// `F` preload (N), `P` pitch, `r_t` thread and `r_n` bearing radius (m), `μ_t`, `μ_n` friction in thread and under
/// the head, `β` half the thread's angle (rad); gives N·m. Scalars. Holds below yield.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: statics of the screw; standard bolting texts. Checked: `reference/fasteners.json`.
pub fn torque_for_preload<D: Dual>(
    preload: D,
    pitch: D,
    thread_radius: D,
    bearing_radius: D,
    half_angle: D,
    thread_friction: D,
    bearing_friction: D,
) -> Result<TorqueParts<D>, BenchError> {
    let f = above_zero("preload", preload)?;
    let pitch = f * above_zero("pitch", pitch)? / (2.0 * PI);
    let thread =
        f * thread_friction * thread_radius / above_zero("cosine of the half angle", half_angle.cos())?;
    let bearing = f * bearing_friction * bearing_radius;
    Ok(TorqueParts { torque: pitch + thread + bearing, pitch, thread, bearing })
}

/// Torque to raise a load with a screw and collar: `T = F d_m/2 · (μ π d_m + l cos α_n)/(π d_m cos α_n − μ l) + F
/// μ_c d_c/2`, `tan α_n = tan α cos λ`, `tan λ = l/(π d_m)`.
///
/// `F` load (N), `d_m` mean, `d_c` collar diameter, `l` lead (m), `α` half the thread's angle (rad); gives thread
/// and collar torque (N·m). Scalars. Holds for a screw that slides, not one that locks itself beyond turning.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] when friction locks the screw.
///
/// Source: inclined plane with thread angle, standard machine-design texts. Checked: `reference/fasteners.json`.
pub fn screw_torque<D: Dual>(
    load: D,
    mean_diameter: D,
    lead: D,
    thread_friction: D,
    half_angle: D,
    collar_friction: D,
    collar_diameter: D,
) -> Result<(D, D), BenchError> {
    let f = above_zero("load", load)?;
    let turn = above_zero("mean diameter", mean_diameter)? * PI;
    let lead_angle = (above_zero("lead", lead)? / turn).atan();
    let normal = (half_angle.tan() * lead_angle.cos()).atan().cos();
    let slides = turn * normal - thread_friction * lead;
    require(slides.re() > 0.0, "with that friction and lead the screw locks")?;
    let thread = f * mean_diameter * 0.5 * (thread_friction * turn + lead * normal) / slides;
    Ok((thread, f * collar_friction * collar_diameter * 0.5))
}

/// Preload from torque by the nut factor: `F = T / (K d)`.
///
/// `T` torque (N·m), `K` nut factor, `d` nominal diameter (m); gives N. Scalars.
/// Holds as far as `K` does: friction scatters it by a quarter and more.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: standard bolting texts. Checked: `reference/fasteners.json`.
pub fn preload_by_nut_factor<D: Dual>(torque: D, nut_factor: D, diameter: D) -> Result<D, BenchError> {
    Ok(torque / (above_zero("nut factor", nut_factor)? * above_zero("nominal diameter", diameter)?))
}

/// Torque from preload by the nut factor: `T = K F d`.
///
/// As [`preload_by_nut_factor`], the other way round.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: standard bolting texts. Checked: `reference/fasteners.json`.
pub fn torque_by_nut_factor<D: Dual>(preload: D, nut_factor: D, diameter: D) -> Result<D, BenchError> {
    Ok(above_zero("nut factor", nut_factor)? * preload * above_zero("nominal diameter", diameter)?)
}

/// Assembly preload and torque at 90 % of yield in tension and twist together: `F = 0.9 R A₀ / √(1 + 3 q²)`,
/// `q = 1.5 d₂/d₀ (P/(π d₂) + 1.155 μ_g)`, `T = F (0.16 P + 0.58 d₂ μ_g + D_k/2 μ_k)`.
///
/// `d` nominal diameter, `P` pitch, `D_k` mean diameter under the head (m), `μ_g`, `μ_k` friction in thread and
/// under the head, `R` yield (0.2 % proof) stress (Pa); gives N and N·m. Scalars. Holds for shank bolts of steel.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: VDI 2230-1 as tabled on bolting pages. Checked: `reference/fasteners.json`.
pub fn assembly_at_yield<D: Dual>(
    diameter: D,
    pitch: D,
    thread_friction: D,
    head_friction: D,
    yield_stress: D,
    head_diameter: D,
) -> Result<(D, D), BenchError> {
    let thread = thread_measures(diameter, pitch)?;
    let (d2, d0) = (thread.pitch_diameter, (thread.pitch_diameter + thread.core_diameter) * 0.5);
    let q = d2 / d0 * (pitch / (d2 * PI) + thread_friction * 1.155) * 1.5;
    let preload =
        above_zero("yield stress", yield_stress)? * thread.stress_area * 0.9 / (q.powi(2) * 3.0 + 1.0).sqrt();
    let torque = preload * (pitch * 0.16 + d2 * thread_friction * 0.58 + head_diameter * head_friction * 0.5);
    Ok((preload, torque))
}

/// Least preload to count on: greatest over the tightening factor.
///
/// `F_max` greatest preload (N), `α` tightening factor; gives N. Scalars.
///
/// # Errors
/// [`Problem::Impossible`] for a factor below 1.
///
/// Source: VDI 2230-1, definition of the tightening factor. Checked: `reference/fasteners.json`.
pub fn least_preload<D: Dual>(greatest: D, tightening_factor: D) -> Result<D, BenchError> {
    require(tightening_factor.re() >= 1.0, "a tightening factor is 1 or more")?;
    Ok(greatest / tightening_factor)
}

const CAUTION: &str = "The maker's torque and instruction rule, dry or oiled as stated. Never oil what is \
     meant dry.";
const SCATTER: &str = "Friction scatters more than any wrench: say how clean and oily the threads are.";

fn friction(key: &'static str, symbol: &'static str, title: &'static str, example: f64) -> crate::Input {
    number(key, symbol, title, Unit::ONE, example).within(0.0, 0.6)
}

pub(crate) fn long_form() -> Formula {
    Formula::new("torque-long-form", Job::Threads, "Torque for a preload, part by part", run!(compute_long))
        .says("This decides the torque for a preload, and shows that most of it is friction.")
        .equation("T = F (P/2π + μ_t r_t / cos β + μ_n r_n)")
        .takes([
            number("preload", "F", "Preload", Unit::KN, 30.0).within(0.01, 5000.0),
            number("pitch", "P", "Pitch", Unit::MM, 1.5).within(0.2, 8.0),
            number("thread-radius", "r_t", "Thread radius", Unit::MM, 4.5132).within(0.4, 50.0),
            number("bearing-radius", "r_n", "Radius under the head", Unit::MM, 6.5).within(0.5, 100.0),
            number("half-angle", "β", "Half the thread's angle", Unit::DEG, 30.0).within(0.0, 45.0).or(30.0),
            friction("thread-friction", "μ_t", "Friction in the thread", 0.14),
            friction("bearing-friction", "μ_n", "Friction under the head", 0.14),
        ])
        .gives([
            result("torque", "T", "Torque", Unit::N_M).rises(&[
                "preload",
                "pitch",
                "thread-friction",
                "bearing-friction",
                "bearing-radius",
            ]),
            result("pitch-share", "", "Goes into stretching", Unit::PERCENT)
                .rises(&["pitch"])
                .falls(&["thread-friction", "bearing-friction"]),
            result("thread-share", "", "Goes into the thread", Unit::PERCENT)
                .rises(&["thread-friction"])
                .falls(&["bearing-friction"]),
            result("bearing-share", "", "Goes under the head", Unit::PERCENT)
                .rises(&["bearing-friction"])
                .falls(&["thread-friction"]),
        ])
        .holds(SCATTER)
        .caution(CAUTION)
        .source("statics of the screw; standard bolting texts")
        .diagram("bolt")
}

fn compute_long<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let parts = torque_for_preload(
        given.number("preload"),
        given.number("pitch"),
        given.number("thread-radius"),
        given.number("bearing-radius"),
        given.number("half-angle"),
        given.number("thread-friction"),
        given.number("bearing-friction"),
    )?;
    out.step("stretching the bolt", parts.pitch, Unit::N_M);
    out.step("friction in the thread", parts.thread, Unit::N_M);
    out.step("friction under the head", parts.bearing, Unit::N_M);
    out.number("torque", parts.torque);
    out.number("pitch-share", parts.pitch / parts.torque);
    out.number("thread-share", parts.thread / parts.torque);
    out.number("bearing-share", parts.bearing / parts.torque);
    Ok(())
}

pub(crate) fn screw() -> Formula {
    Formula::new("screw-torque", Job::Threads, "Torque of a screw with collar", run!(compute_screw))
        .says("This decides what torque a press, puller or jack screw needs.")
        .equation("T = F d_m/2 (μ π d_m + l cos α_n)/(π d_m cos α_n − μ l) + F μ_c d_c/2")
        .takes([
            number("load", "F", "Load", Unit::N, 15_000.0).within(1.0, 1e7),
            number("mean-diameter", "d_m", "Mean thread diameter", Unit::MM, 46.0).within(0.2, 300.0),
            number("lead", "l", "Lead", Unit::MM, 24.0).within(0.05, 150.0),
            friction("thread-friction", "μ", "Friction in the thread", 0.15),
            number("half-angle", "α", "Half the thread's angle", Unit::DEG, 15.0).within(0.0, 45.0).or(30.0),
            friction("collar-friction", "μ_c", "Friction under the collar", 0.15),
            number("collar-diameter", "d_c", "Mean collar diameter", Unit::MM, 82.5).within(0.2, 500.0),
        ])
        .gives([
            result("thread-torque", "", "In the thread", Unit::N_M).rises(&["load", "thread-friction"]),
            result("collar-torque", "", "Under the collar", Unit::N_M).rises(&[
                "load",
                "collar-friction",
                "collar-diameter",
            ]),
            result("torque", "T", "Torque", Unit::N_M).rises(&["load", "thread-friction", "collar-friction"]),
        ])
        .holds(
            "Holds for a screw that slides. Below a few parts in a hundred of friction a steep \
             screw runs back by itself.",
        )
        .caution(
            "A press or jack holds its load by a screw or stands, never by hydraulics alone; stand \
             clear of its line.",
        )
        .source("inclined plane with thread angle, standard machine-design texts")
        .diagram("screw")
}

fn compute_screw<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (thread, collar) = screw_torque(
        given.number("load"),
        given.number("mean-diameter"),
        given.number("lead"),
        given.number("thread-friction"),
        given.number("half-angle"),
        given.number("collar-friction"),
        given.number("collar-diameter"),
    )?;
    out.number("thread-torque", thread);
    out.number("collar-torque", collar);
    out.number("torque", thread + collar);
    Ok(())
}

const NUT_FACTOR: &str = "Holds as far as the nut factor does: 0.15 oiled, 0.20 as delivered, 0.28 rusty (common \
     practice), each within a quarter. Friction matters more than the wrench.";

pub(crate) fn preload() -> Formula {
    Formula::new(
        "torque-to-preload",
        Job::Threads,
        "Preload from torque, by the nut factor",
        run!(compute_preload),
    )
    .says("This decides whether a torque holds the joint or overstretches the bolt.")
    .equation("F = T / (K d);  share of proof = F / (A_s S_p)")
    .takes([
        number("torque", "T", "Torque", Unit::N_M, 108.0).within(0.1, 5000.0),
        number("nut-factor", "K", "Nut factor", Unit::ONE, 0.2).within(0.05, 0.6),
        number("diameter", "d", "Nominal diameter", Unit::MM, 12.0).within(1.0, 100.0),
        number("pitch", "P", "Pitch, for the share of proof load", Unit::MM, 1.5).within(0.2, 8.0).optional(),
        number("proof-stress", "S_p", "Proof stress, for the share of proof load", Unit::MPA, 830.0)
            .within(50.0, 1500.0)
            .optional(),
    ])
    .gives([
        result("preload", "F", "Preload", Unit::KN).rises(&["torque"]).falls(&["nut-factor", "diameter"]),
        result("share", "", "Share of the proof load", Unit::PERCENT)
            .rises(&["torque"])
            .falls(&["nut-factor", "proof-stress"]),
    ])
    .holds(NUT_FACTOR)
    .caution(CAUTION)
    .source("standard bolting texts; nut factors: common practice")
    .diagram("bolt")
}

fn compute_preload<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let diameter = given.number("diameter");
    let preload = preload_by_nut_factor(given.number("torque"), given.number("nut-factor"), diameter)?;
    out.number("preload", preload);
    if let (Some(pitch), Some(proof)) = (given.maybe("pitch"), given.maybe("proof-stress")) {
        let area = thread_measures(diameter, pitch)?.stress_area;
        out.step("stress area", area, Unit::MM2);
        out.step("proof load", area * proof, Unit::KN);
        out.number("share", preload / (area * proof));
    }
    Ok(())
}

pub(crate) fn torque() -> Formula {
    Formula::new(
        "preload-to-torque",
        Job::Threads,
        "Torque from preload, by the nut factor",
        run!(compute_torque),
    )
    .says("This decides the torque where only a preload is stated.")
    .equation("T = K F d")
    .takes([
        number("preload", "F", "Preload", Unit::KN, 34.2).within(0.01, 5000.0),
        number("nut-factor", "K", "Nut factor", Unit::ONE, 0.2).within(0.05, 0.6),
        number("diameter", "d", "Nominal diameter", Unit::MM, 12.0).within(1.0, 100.0),
    ])
    .gives([result("torque", "T", "Torque", Unit::N_M).rises(&["preload", "nut-factor", "diameter"])])
    .holds(NUT_FACTOR)
    .caution(CAUTION)
    .source("standard bolting texts; nut factors: common practice")
    .diagram("bolt")
}

fn compute_torque<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "torque",
        torque_by_nut_factor(given.number("preload"), given.number("nut-factor"), given.number("diameter"))?,
    );
    Ok(())
}

pub(crate) fn at_yield() -> Formula {
    Formula::new("assembly-preload", Job::Threads, "Preload and torque at 90 % of yield", run!(compute_yield))
        .says("This decides the most a bolt may be tightened by torque.")
        .equation(
            "F = 0.9 R A₀ / √(1 + 3 q²);  q = 1.5 d₂/d₀ (P/(π d₂) + 1.155 μ_g);  T = F (0.16 P + \
             0.58 d₂ μ_g + D_k/2 μ_k)",
        )
        .takes([
            number("diameter", "d", "Nominal diameter", Unit::MM, 10.0).within(1.0, 100.0),
            number("pitch", "P", "Pitch", Unit::MM, 1.25).within(0.2, 8.0),
            friction("thread-friction", "μ_g", "Friction in the thread", 0.12),
            friction("head-friction", "μ_k", "Friction under the head", 0.12),
            number("yield", "R", "Yield stress", Unit::MPA, 940.0).within(100.0, 1500.0),
            number("head-diameter", "D_k", "Mean diameter under the head", Unit::MM, 12.8).within(1.0, 150.0),
        ])
        .gives([
            result("preload", "F", "Preload", Unit::KN)
                .rises(&["diameter", "yield"])
                .falls(&["thread-friction"]),
            result("torque", "T", "Torque", Unit::N_M).rises(&["diameter", "yield", "head-friction"]),
        ])
        .holds(
            "Holds for shank bolts of steel. A rougher thread takes preload away although the \
             torque rises.",
        )
        .caution(CAUTION)
        .source("VDI 2230-1 as tabled on bolting pages")
        .diagram("bolt")
}

fn compute_yield<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (diameter, pitch) = (given.number("diameter"), given.number("pitch"));
    let (preload, torque) = assembly_at_yield(
        diameter,
        pitch,
        given.number("thread-friction"),
        given.number("head-friction"),
        given.number("yield"),
        given.number("head-diameter"),
    )?;
    out.step("stress area", thread_measures(diameter, pitch)?.stress_area, Unit::MM2);
    out.number("preload", preload);
    out.number("torque", torque);
    Ok(())
}

pub(crate) fn scatter() -> Formula {
    Formula::new("preload-scatter", Job::Threads, "Least preload to count on", run!(compute_scatter))
        .says("This decides whether the worst-tightened bolt of the joint still holds.")
        .equation("F_min = F_max / α_A")
        .takes([
            number("greatest", "F_max", "Greatest preload", Unit::KN, 41.9).within(0.01, 5000.0),
            number("tightening-factor", "α_A", "Tightening factor", Unit::ONE, 1.8).within(1.0, 4.0),
        ])
        .gives([result("least", "F_min", "Least preload", Unit::KN)
            .rises(&["greatest"])
            .falls(&["tightening-factor"])])
        .holds(
            "About 1.2 for angle or yield control, 1.4 to 1.8 for a torque wrench, 2.5 to 4 for \
             impact tools (VDI 2230-1, from memory).",
        )
        .caution(CAUTION)
        .source("VDI 2230-1, definition of the tightening factor")
        .diagram("bolt")
}

fn compute_scatter<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("least", least_preload(given.number("greatest"), given.number("tightening-factor"))?);
    Ok(())
}
