//! A helical compression spring from its measures.

use crate::prelude::*;
use std::f64::consts::PI;

/// Rate of a helical compression spring of round wire: `k = G d⁴ / (8 D³ n)`.
///
/// `G` shear modulus (Pa), `d` wire diameter, `D` mean coil diameter (m), `n` active coils; gives `k` (N/m). Scalars.
/// Holds for round wire, even pitch and small pitch angle.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: EN 13906-1; standard machine-design texts. Checked: `reference/springs.json`.
pub fn spring_rate<D: Dual>(wire: D, mean_diameter: D, coils: D, shear_modulus: D) -> Result<D, BenchError> {
    let d = above_zero("wire diameter", wire)?;
    let dm = above_zero("mean coil diameter", mean_diameter)?;
    let n = above_zero("active coils", coils)?;
    Ok(above_zero("shear modulus", shear_modulus)? * d.powi(4) / (dm.powi(3) * n * 8.0))
}

/// Spring index and the factors by which curvature raises the stress.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvatureFactors<D> {
    pub index: D,
    pub wahl: D,
    pub bergstraesser: D,
}

/// Curvature factors: `C = D/d`, Wahl `(4C−1)/(4C−4) + 0.615/C`, Bergsträsser `(4C+2)/(4C−3)`.
///
/// `d` wire, `D` mean coil diameter (m). Scalars. Holds for an index above 1; usual springs have 4 to 12.
///
/// # Errors
/// [`Problem::NotPositive`], [`Problem::Impossible`] for an index of 1 or less.
///
/// Source: A. M. Wahl, as printed in standard machine-design texts; EN 13906-1 uses `(C + 0.5)/(C − 0.75)`, the same
/// function as Bergsträsser's. Checked: `reference/springs.json`.
pub fn curvature_factors<D: Dual>(wire: D, mean_diameter: D) -> Result<CurvatureFactors<D>, BenchError> {
    let c = above_zero("mean coil diameter", mean_diameter)? / above_zero("wire diameter", wire)?;
    require(c.re() > 1.0, "the coil must be wider than its wire")?;
    let wahl = (c * 4.0 - 1.0) / (c * 4.0 - 4.0) + c.recip() * 0.615;
    Ok(CurvatureFactors { index: c, wahl, bergstraesser: (c * 4.0 + 2.0) / (c * 4.0 - 3.0) })
}

/// Shear stress in the wire without curvature factor: `τ = 8 F D / (π d³)`.
///
/// `F` force (N), `d`, `D` as above; gives `τ` (Pa). Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: EN 13906-1. Checked: `reference/springs.json`.
pub fn wire_stress<D: Dual>(force: D, wire: D, mean_diameter: D) -> Result<D, BenchError> {
    let d = above_zero("wire diameter", wire)?;
    Ok(force * above_zero("mean coil diameter", mean_diameter)? * 8.0 / (d.powi(3) * PI))
}

/// How the ends of a spring are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    Plain,
    PlainGround,
    Closed,
    ClosedGround,
}

/// Solid length and active coils by the ends: plain `(N+1) d, N`; plain ground `N d, N−1`; closed `(N+1) d, N−2`;
/// closed and ground `N d, N−2`.
///
/// `d` wire (m), `N` total coils; gives length (m) and active coils. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: standard machine-design texts, table of end coils, from memory. Checked: `reference/springs.json`.
pub fn solid_length<D: Dual>(wire: D, total_coils: D, ends: Ends) -> Result<(D, D), BenchError> {
    let d = above_zero("wire diameter", wire)?;
    let n = above_zero("total coils", total_coils)?;
    let (thick, active) = match ends {
        Ends::Plain => (n + 1.0, n),
        Ends::PlainGround => (n, n - 1.0),
        Ends::Closed => (n + 1.0, n - 2.0),
        Ends::ClosedGround => (n, n - 2.0),
    };
    Ok((thick * d, active))
}

/// Shear modulus of spring steel. Source: EN 13906-1 gives 79 500 to 81 500 MPa for usual spring wires; 79 300 MPa
/// (11.5 million psi) in standard machine-design texts.
const STEEL: f64 = 79_300.0;
const CAUTION: &str = "Road springs hold deadly force: use the proper compressor and stay out of line.";

pub(crate) fn rate() -> Formula {
    Formula::new("spring-rate", Job::Springs, "Spring rate from its wire and coils", run!(compute_rate))
        .says("This decides which spring it is when the marks are gone.")
        .equation("k = G d⁴ / (8 D³ n)")
        .takes([
            number("wire", "d", "Wire diameter", Unit::MM, 12.0).within(0.3, 40.0),
            number("mean-diameter", "D", "Mean coil diameter", Unit::MM, 120.0).within(2.0, 400.0),
            number("coils", "n", "Active coils", Unit::COUNT, 6.0).within(0.5, 60.0),
            number("shear-modulus", "G", "Shear modulus", Unit::MPA, STEEL)
                .within(20_000.0, 100_000.0)
                .or(STEEL),
        ])
        .gives([result("rate", "k", "Spring rate", Unit::N_PER_MM)
            .rises(&["wire", "shear-modulus"])
            .falls(&["mean-diameter", "coils"])])
        .holds(
            "Holds for round wire of even pitch. The wire counts four times over and the coil three \
             times: measure both well, paint off.",
        )
        .caution(CAUTION)
        .source("EN 13906-1; standard machine-design texts")
        .diagram("coil-spring")
}

fn compute_rate<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (d, dm) = (given.number("wire"), given.number("mean-diameter"));
    out.step("coil over wire: D/d =", dm / d, Unit::ONE);
    out.number("rate", spring_rate(d, dm, given.number("coils"), given.number("shear-modulus"))?);
    Ok(())
}

pub(crate) fn stress() -> Formula {
    Formula::new("spring-stress", Job::Springs, "Stress in the wire of a spring", run!(compute_stress))
        .says("This decides whether a spring will stand its load or sag and break.")
        .equation("τ = K 8 F D / (π d³);  C = D/d;  Wahl K = (4C−1)/(4C−4) + 0.615/C")
        .takes([
            number("wire", "d", "Wire diameter", Unit::MM, 6.0).within(0.3, 40.0),
            number("mean-diameter", "D", "Mean coil diameter", Unit::MM, 36.0).within(0.6, 400.0),
            number("force", "F", "Force", Unit::N, 706.0).within(0.0, 100_000.0).optional(),
        ])
        .gives([
            result("index", "C", "Spring index", Unit::ONE).rises(&["mean-diameter"]).falls(&["wire"]),
            result("wahl", "K", "Wahl's factor", Unit::ONE).rises(&["wire"]).falls(&["mean-diameter"]),
            result("bergstraesser", "", "Bergsträsser's factor", Unit::ONE)
                .rises(&["wire"])
                .falls(&["mean-diameter"]),
            result("uncorrected", "", "Stress without factor", Unit::MPA)
                .rises(&["force", "mean-diameter"])
                .falls(&["wire"]),
            result("stress-wahl", "τ", "Stress with Wahl's factor", Unit::MPA).rises(&["force"]),
            result("stress-bergstraesser", "", "Stress with Bergsträsser's factor", Unit::MPA)
                .rises(&["force"]),
        ])
        .holds("Holds for round wire and an index above 1; usual springs have 4 to 12.")
        .caution(CAUTION)
        .source("EN 13906-1; A. M. Wahl, as printed in standard machine-design texts")
        .diagram("coil-spring")
}

fn compute_stress<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (d, dm) = (given.number("wire"), given.number("mean-diameter"));
    let factors = curvature_factors(d, dm)?;
    out.number("index", factors.index);
    out.number("wahl", factors.wahl);
    out.number("bergstraesser", factors.bergstraesser);
    if let Some(force) = given.maybe("force") {
        let stress = wire_stress(force, d, dm)?;
        out.number("uncorrected", stress);
        out.number("stress-wahl", stress * factors.wahl);
        out.number("stress-bergstraesser", stress * factors.bergstraesser);
    }
    Ok(())
}

pub(crate) fn solid() -> Formula {
    Formula::new(
        "spring-solid-length",
        Job::Springs,
        "Solid length and active coils of a spring",
        run!(compute_solid),
    )
    .says("This decides how far a spring can be pressed before its coils touch.")
    .equation("plain (N+1) d; plain ground N d; closed (N+1) d; closed and ground N d")
    .takes([
        number("wire", "d", "Wire diameter", Unit::MM, 4.0).within(0.3, 40.0),
        number("total-coils", "N", "Total coils", Unit::COUNT, 8.0).within(2.5, 60.0),
        choice(
            "ends",
            "Ends",
            &["plain", "plain and ground", "closed", "closed and ground"],
            "closed and ground",
        ),
    ])
    .gives([
        result("solid-length", "L_c", "Length with the coils touching", Unit::MM)
            .rises(&["wire", "total-coils"]),
        result("active-coils", "n", "Active coils", Unit::COUNT).rises(&["total-coils"]),
    ])
    .holds(
        "Holds for round wire. Measure the solid length where you can: grinding and coating \
         vary.",
    )
    .caution(CAUTION)
    .source("standard machine-design texts, from memory")
    .diagram("coil-spring")
}

fn compute_solid<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let ends = match given.text("ends") {
        "plain" => Ends::Plain,
        "plain and ground" => Ends::PlainGround,
        "closed" => Ends::Closed,
        _ => Ends::ClosedGround,
    };
    let (length, active) = solid_length(given.number("wire"), given.number("total-coils"), ends)?;
    out.number("solid-length", length);
    out.number("active-coils", active);
    Ok(())
}
