//! From the pedal to the release bearing.

use super::line::{FLUID, bore_area};
use crate::prelude::*;

/// A clutch's release chain; lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chain<D> {
    /// At the pad, to the stop.
    pub pedal_stroke: D,
    /// At the pad, before the master moves.
    pub free_play: D,
    pub pedal_ratio: D,
    pub master_bore: D,
    pub slave_bore: D,
    /// Slave travel lost to hose and fluid.
    pub loss: D,
}

/// What the chain moves; lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel<D> {
    pub master: D,
    pub slave: D,
}

/// Slave travel from pedal stroke: `x_m = (s − f)/i`, `x_s = x_m (d_m/d_s)² − v`.
///
/// Holds without air or leak; the loss stands for swelling hose and fluid.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for more free play than stroke.
///
/// Source: levers and continuity. Checked: `reference/worked.json`.
pub fn release_travel<D: Dual>(chain: Chain<D>) -> Result<Travel<D>, BenchError> {
    require(
        chain.free_play.re() <= chain.pedal_stroke.re(),
        "free play cannot be more than the pedal stroke",
    )?;
    let master = (chain.pedal_stroke - chain.free_play) / above_zero("pedal ratio", chain.pedal_ratio)?;
    let areas = bore_area("master bore", chain.master_bore)? / bore_area("slave bore", chain.slave_bore)?;
    Ok(Travel { master, slave: master * areas - chain.loss })
}

/// Pedal force for a force at the slave: `F = F_s / (i (d_s/d_m)²)`.
///
/// `F_s` force at the slave (N), `i` pedal ratio, bores (m); gives N. Scalars. Holds without friction, which adds
/// 10 to 20 % (common practice), and without an assisting spring.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: levers and statics. Checked: `reference/worked.json`.
pub fn pedal_effort<D: Dual>(
    slave_force: D,
    pedal_ratio: D,
    master_bore: D,
    slave_bore: D,
) -> Result<D, BenchError> {
    let areas = bore_area("slave bore", slave_bore)? / bore_area("master bore", master_bore)?;
    Ok(slave_force / (above_zero("pedal ratio", pedal_ratio)? * areas))
}

pub(crate) fn travel() -> Formula {
    Formula::new(
        "clutch-release-travel",
        Job::Clutch,
        "Clutch: from pedal to release bearing",
        run!(compute_travel),
    )
    .says(
        "This decides whether the clutch can release fully with these parts, before anybody \
         bleeds it again.",
    )
    .equation("x_m = (s − f)/i;  x_s = x_m (d_m/d_s)² − v;  bearing = x_s / j")
    .takes([
        number("pedal-stroke", "s", "Pedal stroke at the pad", Unit::MM, 138.0).within(20.0, 300.0),
        number("free-play", "f", "Free play at the pad", Unit::MM, 8.0).within(0.0, 100.0),
        number("pedal-ratio", "i", "Pedal ratio", Unit::ONE, 5.4).within(1.0, 12.0),
        number("master-bore", "d_m", "Master bore", Unit::MM, 15.87).within(8.0, 60.0),
        number("slave-bore", "d_s", "Slave bore", Unit::MM, 19.05).within(8.0, 80.0),
        number("loss", "v", "Slave travel lost to hose and fluid", Unit::MM, 1.2).within(0.0, 20.0).or(0.0),
        number("needed", "", "Slave travel needed", Unit::MM, 14.0).within(1.0, 60.0),
        number("fork-ratio", "j", "Fork ratio, slave travel over bearing travel", Unit::ONE, 1.8)
            .within(0.3, 5.0)
            .optional(),
    ])
    .gives([
        result("master-travel", "x_m", "Master travel", Unit::MM)
            .rises(&["pedal-stroke"])
            .falls(&["free-play", "pedal-ratio"]),
        result("slave-travel", "x_s", "Slave travel", Unit::MM)
            .rises(&["pedal-stroke", "master-bore"])
            .falls(&["free-play", "pedal-ratio", "slave-bore", "loss"]),
        result("spare", "", "Travel to spare (below zero: short)", Unit::MM)
            .rises(&["pedal-stroke", "master-bore"])
            .falls(&["free-play", "pedal-ratio", "slave-bore", "loss", "needed"]),
        result("bearing-travel", "", "Release bearing travel", Unit::MM),
    ])
    .holds(
        "Holds without air or leak. Measure bores on the pistons: a casting mark may be another \
         part's.",
    )
    .caution(FLUID)
    .source("levers and continuity")
    .diagram("clutch-release")
}

fn compute_travel<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let chain = Chain {
        pedal_stroke: given.number("pedal-stroke"),
        free_play: given.number("free-play"),
        pedal_ratio: given.number("pedal-ratio"),
        master_bore: given.number("master-bore"),
        slave_bore: given.number("slave-bore"),
        loss: given.number("loss"),
    };
    let travel = release_travel(chain)?;
    let spare = travel.slave - given.number("needed");
    out.step("master piston area", bore_area("master bore", chain.master_bore)?, Unit::CM2);
    out.step("slave piston area", bore_area("slave bore", chain.slave_bore)?, Unit::CM2);
    out.number("master-travel", travel.master);
    out.number("slave-travel", travel.slave);
    out.number("spare", spare);
    if let Some(ratio) = given.maybe("fork-ratio") {
        out.number("bearing-travel", travel.slave / ratio);
    }
    if spare.re() < 0.0 {
        out.remark(|| "too short to release fully: it drags, and gears crunch".into());
    }
    Ok(())
}

pub(crate) fn effort() -> Formula {
    Formula::new("clutch-pedal-effort", Job::Clutch, "Clutch: force at the pedal", run!(compute_effort))
        .says("This decides whether a heavy pedal is the hydraulics or the cover.")
        .equation("F_s = F_b / j;  F = F_s / (i (d_s/d_m)²) / (1 − friction)")
        .takes([
            number("bearing-force", "F_b", "Release force at the bearing", Unit::N, 1700.0)
                .within(50.0, 10_000.0),
            number("fork-ratio", "j", "Fork ratio, slave travel over bearing travel", Unit::ONE, 1.8)
                .within(0.3, 5.0)
                .or(1.0),
            number("pedal-ratio", "i", "Pedal ratio", Unit::ONE, 5.4).within(1.0, 12.0),
            number("master-bore", "d_m", "Master bore", Unit::MM, 15.87).within(8.0, 60.0),
            number("slave-bore", "d_s", "Slave bore", Unit::MM, 19.05).within(8.0, 80.0),
            number("friction", "", "Lost to friction", Unit::PERCENT, 15.0).within(0.0, 60.0).or(15.0),
        ])
        .gives([
            result("slave-force", "F_s", "Force at the slave", Unit::N)
                .rises(&["bearing-force"])
                .falls(&["fork-ratio"]),
            result("effort", "F", "Force at the pedal", Unit::N)
                .rises(&["bearing-force", "master-bore", "friction"])
                .falls(&["fork-ratio", "pedal-ratio", "slave-bore"]),
        ])
        .holds(
            "Holds without an assisting spring. 10 to 20 % lost to friction is usual (common \
             practice). A diaphragm's force varies over its stroke.",
        )
        .caution(FLUID)
        .source("levers and statics; friction: common practice")
        .diagram("clutch-release")
}

fn compute_effort<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let slave = given.number("bearing-force") / above_zero("fork ratio", given.number("fork-ratio"))?;
    let ideal = pedal_effort(
        slave,
        given.number("pedal-ratio"),
        given.number("master-bore"),
        given.number("slave-bore"),
    )?;
    out.step("without friction", ideal, Unit::N);
    out.number("slave-force", slave);
    out.number("effort", ideal / (-given.number("friction") + 1.0));
    Ok(())
}
