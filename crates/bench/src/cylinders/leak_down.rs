//! Leak-down: the share of air that escapes, and what that says whatever the tester.

use crate::cylinders::atmosphere::SEA_LEVEL;
use crate::prelude::*;

/// Leak of a two-gauge tester: `q = (p_s − p_c)/p_s`.
///
/// `p_s` supply and `p_c` cylinder gauge pressure (Pa). Scalars. Holds for one tester: its orifice sets the scale.
///
/// # Errors
/// [`Problem::NotPositive`] for the supply; [`Problem::Impossible`] when the cylinder reads above it.
///
/// Source: definition; FAA AC 43.13-1B par. 8-14 writes the reading as cylinder over supply, such as 60/80. Checked:
/// `reference/cylinder_condition.json`.
pub fn leak_share<D: Dual>(supply: D, cylinder: D) -> Result<D, BenchError> {
    let supply = above_zero("supply pressure", supply)?;
    require(
        cylinder.re() <= supply.re(),
        "the cylinder cannot read above the supply: set the gauges equal first",
    )?;
    Ok((supply - cylinder) / supply)
}

/// Ratio of specific heats of air. Source: standard tables.
const GAMMA: f64 = 1.4;

/// Mass flow of air through a hole over `p₁ A / √(R T)`, at pressure ratio `r = p₂/p₁`; choked below 0.528.
///
/// Source: isentropic nozzle flow, standard gas dynamics. Checked: `reference/worked.json`.
fn flow<D: Dual>(r: D) -> D {
    let critical = (2.0 / (GAMMA + 1.0)).powf(GAMMA / (GAMMA - 1.0));
    if r.re() <= critical {
        return D::from(GAMMA.sqrt() * (2.0 / (GAMMA + 1.0)).powf((GAMMA + 1.0) / (2.0 * (GAMMA - 1.0))));
    }
    ((r.powf(2.0 / GAMMA) - r.powf((GAMMA + 1.0) / GAMMA)) * (2.0 * GAMMA / (GAMMA - 1.0))).sqrt()
}

/// Area of the leak over that of the tester's orifice: what flows in through the one flows out through the other.
///
/// `supply`, `cylinder` and `atmosphere` absolute pressures (Pa), falling in that order. Scalars.
/// Holds for like discharge of both holes and air of one temperature.
///
/// # Errors
/// [`Problem::Impossible`] when the pressures do not fall in that order.
///
/// Source: isentropic nozzle flow, standard gas dynamics. Checked: `reference/worked.json`.
pub fn leak_area_ratio<D: Dual>(supply: D, cylinder: D, atmosphere: D) -> Result<D, BenchError> {
    let falls = supply.re() > cylinder.re() && cylinder.re() > atmosphere.re() && atmosphere.re() > 0.0;
    require(falls, "pressure must fall from supply to cylinder to the open air")?;
    Ok(supply * flow(cylinder / supply) / (cylinder * flow(atmosphere / cylinder)))
}

/// Cylinder pressure that another tester's orifice would show for the same leak.
///
/// `area_ratio` leak over that orifice, `supply` and `atmosphere` absolute pressures (Pa); gives Pa absolute.
/// Scalars. Holds as [`leak_area_ratio`].
///
/// # Errors
/// [`Problem::NotPositive`] for the ratio; [`Problem::Impossible`] for a supply not above the open air.
///
/// Source: isentropic nozzle flow, standard gas dynamics. Checked: `reference/worked.json`.
pub fn cylinder_pressure<D: Dual>(area_ratio: D, supply: D, atmosphere: D) -> Result<D, BenchError> {
    let wanted = above_zero("area of the leak over the orifice", area_ratio)?;
    require(supply.re() > atmosphere.re() && atmosphere.re() > 0.0, "the supply must be above the open air")?;
    // The ratio falls steadily as the cylinder rises from the open air to the supply.
    let plain = |p: f64| leak_area_ratio(supply.re(), p, atmosphere.re());
    let (mut low, mut high) = (atmosphere.re(), supply.re());
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        match plain(middle) {
            Ok(ratio) if ratio > wanted.re() => low = middle,
            _ => high = middle,
        }
    }
    let p = 0.5 * (low + high);
    // One step with derivatives: the root's slopes follow from those of the equation.
    let step = 1e-6 * (supply.re() - atmosphere.re()).min(p - atmosphere.re()).min(supply.re() - p).max(1e-3);
    let slope = (plain(p + step)?.ln() - plain(p - step)?.ln()) / (2.0 * step);
    Ok(D::from(p) - (leak_area_ratio(supply, D::from(p), atmosphere)?.ln() - wanted.ln()) / slope)
}

pub(crate) fn formula() -> Formula {
    Formula::new("leak-down", Job::Cylinders, "Leak-down", run!(compute))
        .says(
            "This decides whether a cylinder leaks enough to open the engine; where it hisses says \
             which way.",
        )
        .equation("q = (p_s − p_c) / p_s;  p_s ψ(p_c/p_s) A_o = p_c ψ(p_a/p_c) A_leak")
        .takes([
            number("supply", "p_s", "Supply, on the gauge", Unit::BAR, 5.5).within(0.5, 12.0),
            number("cylinder", "p_c", "Cylinder, on the gauge", Unit::BAR, 4.2).within(0.0, 12.0),
            number("orifice", "d", "Diameter of the tester's orifice", Unit::MM, 1.0)
                .within(0.2, 6.0)
                .optional(),
            number("other-orifice", "d′", "Diameter of another tester's orifice", Unit::MM, 1.5)
                .within(0.2, 6.0)
                .optional(),
            number("atmosphere", "p_a", "Air pressure", Unit::BAR, 1.013)
                .within(0.4, 1.1)
                .or(SEA_LEVEL / 1e5),
        ])
        .gives([
            result("leak", "q", "Leak", Unit::PERCENT).rises(&["supply"]).falls(&["cylinder"]),
            result("hole", "", "Leaks like one hole of diameter", Unit::MM).rises(&["orifice"]),
            result("other-leak", "q′", "Leak that the other tester would show", Unit::PERCENT)
                .rises(&["orifice"])
                .falls(&["other-orifice"]),
        ])
        .holds(
            "Piston at top, firing. Testers differ by their orifice, so compare with the same \
             tool's history; the hole makes testers comparable (like discharge assumed). Under 10 % \
             good, over 20 to 25 % repair (common practice). Repeat warm after a run before \
             condemning a valve.",
        )
        .caution(
            "Air can turn the engine: lock the crank, take the wrench off it, keep hands clear of \
             fan and belts.",
        )
        .source(
            "definition; FAA AC 43.13-1B par. 8-14; isentropic nozzle flow; judgement: common \
             practice",
        )
        .diagram("leak-down")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (supply, cylinder) = (given.number("supply"), given.number("cylinder"));
    out.number("leak", leak_share(supply, cylinder)?);
    let Some(orifice) = given.maybe("orifice") else { return Ok(()) };
    if cylinder.re() <= 0.0 || cylinder.re() >= supply.re() {
        out.remark(|| "a cylinder that holds all or nothing gives no size of hole".into());
        return Ok(());
    }
    let atmosphere = given.number("atmosphere");
    let ratio = leak_area_ratio(supply + atmosphere, cylinder + atmosphere, atmosphere)?;
    out.step("area of the leak over the orifice", ratio, Unit::ONE);
    out.number("hole", orifice * ratio.sqrt());
    if let Some(other) = given.maybe("other-orifice") {
        let there = cylinder_pressure(ratio * (orifice / other).powi(2), supply + atmosphere, atmosphere)?;
        out.number("other-leak", (supply + atmosphere - there) / supply);
    }
    Ok(())
}

pub(crate) fn orifice() -> Formula {
    Formula::new(
        "leak-tester-orifice",
        Job::Cylinders,
        "Orifice of an aircraft leak tester",
        run!(compute_orifice),
    )
    .says("This decides which restrictor a standard differential test asks for.")
    .equation("0.040 in below 5.00 in bore, 0.060 in from there")
    .takes([number("bore", "B", "Bore", Unit::INCH, 5.125).within(1.0, 12.0)])
    .gives([result("orifice", "", "Orifice", Unit::INCH)])
    .holds(
        "Holds for the aircraft test at 80 psi, restrictor 0.250 in long with a 60° approach; \
         car testers are not standardised.",
    )
    .source("FAA AC 43.13-1B Change 1, par. 8-14")
    .diagram("leak-down")
    .fitted()
}

fn compute_orifice<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let inch = 0.0254;
    let small = given.number("bore").re() < 5.0 * inch - 1e-9;
    out.number("orifice", D::from(if small { 0.040 * inch } else { 0.060 * inch }));
    Ok(())
}
