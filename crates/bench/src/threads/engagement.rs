//! How deep a thread must reach.

use super::measures::thread_measures;
use crate::prelude::*;
use std::f64::consts::PI;

/// Engagement needed so that the bolt breaks before a thread strips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engagement<D> {
    /// So that the hole's thread holds (m).
    pub for_hole: D,
    /// So that the bolt's own thread holds (m).
    pub for_bolt: D,
}

/// Least engagement: `l = R_b A_s / (s R_m · 0.875 π d)` for the hole, `l = A_s / (s · 0.75 π D₁)` for the bolt.
///
/// `d` nominal diameter, `P` pitch (m), `R_b` bolt's, `R_m` hole material's tensile strength (Pa), `s` shear over
/// tensile strength; gives m. Scalars. The sheared rings are those of the basic profile: at the nominal diameter `P
/// (½ + tan 30° · 0.6495)`, seven eighths of the pitch; at the minor diameter `D₁ = d − 1.0825 P`, three quarters.
/// Holds for full threads; add the chamfer and a turn or two for tolerance.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: shear areas by FED-STD-H28, from memory. Checked: `reference/worked.json`.
pub fn least_engagement<D: Dual>(
    diameter: D,
    pitch: D,
    bolt_strength: D,
    hole_strength: D,
    shear_ratio: D,
) -> Result<Engagement<D>, BenchError> {
    let area = thread_measures(diameter, pitch)?.stress_area;
    let bolt = above_zero("bolt's strength", bolt_strength)?;
    let hole = above_zero("strength of the hole's material", hole_strength)?;
    let s = above_zero("shear over tensile strength", shear_ratio)?;
    let minor = diameter - pitch * (1.25 * 3f64.sqrt() / 2.0);
    let for_hole = bolt * area / (s * hole * diameter * (0.875 * PI));
    let for_bolt = area / (s * minor * (0.75 * PI));
    Ok(Engagement { for_hole, for_bolt })
}

pub(crate) fn formula() -> Formula {
    Formula::new("thread-engagement", Job::Threads, "Thread engagement for a material", run!(compute))
        .says("This decides whether a thread reaches deep enough, or wants an insert.")
        .equation("l = R_b A_s / (s R_m · 0.875 π d);  l = A_s / (s · 0.75 π D₁)")
        .takes([
            number("diameter", "d", "Nominal diameter", Unit::MM, 10.0).within(1.0, 100.0),
            number("pitch", "P", "Pitch", Unit::MM, 1.5).within(0.2, 8.0),
            number("bolt-strength", "R_b", "Tensile strength of the bolt", Unit::MPA, 1040.0)
                .within(100.0, 2000.0),
            number("hole-strength", "R_m", "Tensile strength around the hole", Unit::MPA, 250.0)
                .within(20.0, 2000.0),
            number("shear-ratio", "s", "Shear over tensile strength", Unit::ONE, 0.6)
                .within(0.4, 0.9)
                .or(0.6),
        ])
        .gives([
            result("for-hole", "", "Least engagement for the hole", Unit::MM)
                .rises(&["bolt-strength"])
                .falls(&["hole-strength", "shear-ratio"]),
            result("for-bolt", "", "Least engagement for the bolt", Unit::MM).falls(&["shear-ratio"]),
            result("engagement", "l", "Least engagement", Unit::MM).falls(&["shear-ratio"]),
            result("diameters", "l/d", "In diameters", Unit::ONE),
            result("turns", "l/P", "In turns", Unit::ONE),
        ])
        .holds(
            "Holds for full threads of the basic profile; add chamfer and tolerance. Usual: 1.0 to \
             1.5 d in steel, 1.5 to 2.0 d in aluminium (common practice).",
        )
        .caution(
            "Caliper and steering threads: renew the part rather than insert, unless the maker \
             agrees.",
        )
        .source("shear areas by FED-STD-H28, from memory; usual depths: common practice")
        .diagram("engagement")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (diameter, pitch) = (given.number("diameter"), given.number("pitch"));
    let (bolt, hole) = (given.number("bolt-strength"), given.number("hole-strength"));
    let least = least_engagement(diameter, pitch, bolt, hole, given.number("shear-ratio"))?;
    let engagement = crate::larger(least.for_hole, least.for_bolt);
    out.step("the bolt breaks at", bolt * thread_measures(diameter, pitch)?.stress_area, Unit::KN);
    out.number("for-hole", least.for_hole);
    out.number("for-bolt", least.for_bolt);
    out.number("engagement", engagement);
    out.number("diameters", engagement / diameter);
    out.number("turns", engagement / pitch);
    Ok(())
}
