//! Compression ratio from what is measured of head, gasket and piston.

use super::displacement::swept_volume;
use crate::prelude::*;
use std::f64::consts::PI;

/// The volumes a compression ratio is made of (m³), and the ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compression<D> {
    pub swept: D,
    /// Gasket's disc of air.
    pub gasket: D,
    /// Disc between piston and deck; below zero when the piston stands proud.
    pub deck: D,
    pub clearance: D,
    pub ratio: D,
}

/// Measures of one cylinder; lengths in m, volumes in m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber<D> {
    pub bore: D,
    pub stroke: D,
    /// By burette.
    pub chamber: D,
    pub gasket_bore: D,
    /// As crushed.
    pub gasket_thickness: D,
    /// Piston below the deck at top; below zero when it stands proud.
    pub deck: D,
    /// Dish of the piston; below zero for a dome.
    pub dish: D,
}

/// Static compression ratio: `ε = (V_h + V_c)/V_c`, `V_c = chamber + gasket disc + deck disc + dish`.
///
/// Holds with the ring-land crevice left out, here and in what it is compared with.
///
/// # Errors
/// [`Problem::NotPositive`] for bore, stroke or a clearance volume not above zero.
///
/// Source: definition. Checked: `reference/engine.json`, `reference/worked.json`.
pub fn compression_ratio<D: Dual>(of: Chamber<D>) -> Result<Compression<D>, BenchError> {
    let swept = swept_volume(of.bore, of.stroke)?;
    let gasket = of.gasket_bore.powi(2) * of.gasket_thickness * (PI / 4.0);
    let deck = of.bore.powi(2) * of.deck * (PI / 4.0);
    let clearance = above_zero("clearance volume", of.chamber + gasket + deck + of.dish)?;
    Ok(Compression { swept, gasket, deck, clearance, ratio: (swept + clearance) / clearance })
}

pub(crate) fn formula() -> Formula {
    Formula::new("compression-ratio", Job::Cylinders, "Static compression ratio", run!(compute))
        .says("This decides gasket thickness and skim, and whether fuel and map still suit.")
        .equation("ε = (V_h + V_c) / V_c;  V_c = chamber + π/4 B_g² t_g + π/4 B² d + dish")
        .takes([
            number("bore", "B", "Bore", Unit::MM, 82.0).within(20.0, 300.0),
            number("stroke", "S", "Stroke", Unit::MM, 82.8).within(20.0, 400.0),
            number("chamber", "", "Chamber, by burette", Unit::ML, 38.0).within(1.0, 2000.0),
            number("gasket-bore", "B_g", "Bore of the gasket", Unit::MM, 83.0).within(20.0, 320.0),
            number("gasket-thickness", "t_g", "Gasket thickness, crushed", Unit::MM, 0.65).within(0.0, 5.0),
            number("deck", "d", "Piston below the deck at top (below zero: proud)", Unit::MM, 0.2)
                .within(-10.0, 20.0),
            number("dish", "", "Dish of the piston (below zero: dome)", Unit::ML, 1.5).within(-200.0, 500.0),
        ])
        .gives([
            result("swept", "V_h", "Swept volume", Unit::ML).rises(&["bore", "stroke"]),
            result("clearance", "V_c", "Clearance volume", Unit::ML).rises(&[
                "chamber",
                "gasket-bore",
                "gasket-thickness",
                "deck",
                "dish",
            ]),
            result("ratio", "ε", "Compression ratio", Unit::ONE).rises(&["stroke"]).falls(&[
                "chamber",
                "gasket-bore",
                "gasket-thickness",
                "deck",
                "dish",
            ]),
        ])
        .holds(
            "Holds with the ring-land crevice left out throughout. Burette every chamber; a skim is \
             measured again, not reckoned.",
        )
        .source("definition")
        .diagram("chamber")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let compression = compression_ratio(Chamber {
        bore: given.number("bore"),
        stroke: given.number("stroke"),
        chamber: given.number("chamber"),
        gasket_bore: given.number("gasket-bore"),
        gasket_thickness: given.number("gasket-thickness"),
        deck: given.number("deck"),
        dish: given.number("dish"),
    })?;
    out.step("gasket disc", compression.gasket, Unit::ML);
    out.step("deck disc", compression.deck, Unit::ML);
    out.number("swept", compression.swept);
    out.number("clearance", compression.clearance);
    out.number("ratio", compression.ratio);
    Ok(())
}

/// Volume a skim takes from a chamber: `ΔV = a π/4 B² r`.
///
/// `a` chamber opening over bore area, `B` bore, `r` depth (m); gives m³. Scalars.
/// Holds while the opening keeps its shape over the depth.
///
/// # Errors
/// [`Problem::NotPositive`], [`Problem::Negative`].
///
/// Source: geometry. Checked: `reference/worked.json`.
pub fn skimmed_volume<D: Dual>(bore: D, depth: D, opening: D) -> Result<D, BenchError> {
    let area = above_zero("bore", bore)?.powi(2) * above_zero("chamber opening", opening)? * (PI / 4.0);
    Ok(area * not_negative("depth", depth)?)
}

pub(crate) fn skim() -> Formula {
    Formula::new("skimmed-volume", Job::Cylinders, "Volume a skim takes from a chamber", run!(compute_skim))
        .says("This decides how deep a skim may go before the ratio is too high.")
        .equation("ΔV = a π/4 B² r")
        .takes([
            number("bore", "B", "Bore", Unit::MM, 82.0).within(20.0, 300.0),
            number("depth", "r", "Depth of the skim", Unit::MM, 0.25).within(0.0, 5.0),
            number("opening", "a", "Chamber opening over bore area", Unit::ONE, 0.8).within(0.05, 1.2),
        ])
        .gives([result("volume", "ΔV", "Volume taken", Unit::ML).rises(&["bore", "depth", "opening"])])
        .holds(
            "An estimate before the cut. Afterwards the chamber is measured again. A skim also \
             moves the cam's phase.",
        )
        .source("geometry")
        .diagram("chamber")
}

fn compute_skim<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "volume",
        skimmed_volume(given.number("bore"), given.number("depth"), given.number("opening"))?,
    );
    Ok(())
}
