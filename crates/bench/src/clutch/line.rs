//! Pressure and travel in one hydraulic line.

use crate::prelude::*;
use std::f64::consts::PI;

/// Area of a bore: `π/4 d²` (m²).
pub(crate) fn bore_area<D: Dual>(what: &'static str, bore: D) -> Result<D, BenchError> {
    Ok(above_zero(what, bore)?.powi(2) * (PI / 4.0))
}

/// Push-rod force and line pressure from the pedal: `F_r = F i`, `p = F i / A_m`.
///
/// `F` pedal force (N), `i` pedal ratio, `d_m` master bore (m); gives N and Pa. Scalars. Holds without servo; seal
/// drag and return spring take a little.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: statics. Checked: `reference/hydraulics_clutch.json`.
pub fn line_pressure<D: Dual>(pedal_force: D, pedal_ratio: D, master_bore: D) -> Result<(D, D), BenchError> {
    let push = not_negative("pedal force", pedal_force)? * above_zero("pedal ratio", pedal_ratio)?;
    Ok((push, push / bore_area("master bore", master_bore)?))
}

/// What the pressure does at the other end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlaveEnd<D> {
    /// N
    pub force: D,
    /// m
    pub travel: D,
    /// Slave area over master area.
    pub area_ratio: D,
}

/// Slave force and travel: `F_s = p A_s`, `x_s = x_m A_m / A_s`.
///
/// `p` pressure (Pa), bores (m), `x_m` master travel (m), `n` slave pistons. Scalars. Holds without air, leak or
/// swelling.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: statics and continuity. Checked: `reference/hydraulics_clutch.json`.
pub fn slave_end<D: Dual>(
    pressure: D,
    master_bore: D,
    slave_bore: D,
    master_travel: D,
    pistons: D,
) -> Result<SlaveEnd<D>, BenchError> {
    let slave = bore_area("slave bore", slave_bore)? * above_zero("slave pistons", pistons)?;
    let area_ratio = slave / bore_area("master bore", master_bore)?;
    Ok(SlaveEnd { force: pressure * slave, travel: master_travel / area_ratio, area_ratio })
}

pub(crate) const FLUID: &str = "Brake fluid takes paint and hurts eyes; wipe spills with water. Work on brakes and \
     clutch hydraulics is checked by a second person before the road.";

pub(crate) fn pressure() -> Formula {
    Formula::new("line-pressure", Job::Clutch, "Line pressure from pedal force", run!(compute_pressure))
        .says("This decides what pressure a foot makes with that pedal and master.")
        .equation("F_r = F i;  p = F i / (π/4 d_m²)")
        .takes([
            number("pedal-force", "F", "Force at the pedal", Unit::N, 330.0).within(0.0, 2500.0),
            number("pedal-ratio", "i", "Pedal ratio", Unit::ONE, 5.0).within(1.0, 12.0),
            number("master-bore", "d_m", "Master bore", Unit::MM, 15.875).within(8.0, 60.0),
        ])
        .gives([
            result("push", "F_r", "Force on the push rod", Unit::N).rises(&["pedal-force", "pedal-ratio"]),
            result("pressure", "p", "Line pressure", Unit::BAR)
                .rises(&["pedal-force", "pedal-ratio"])
                .falls(&["master-bore"]),
        ])
        .holds("Holds without servo; seal drag and return spring take a little.")
        .caution(FLUID)
        .source("statics")
        .diagram("hydraulic-pair")
}

fn compute_pressure<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let bore = given.number("master-bore");
    let (push, pressure) = line_pressure(given.number("pedal-force"), given.number("pedal-ratio"), bore)?;
    out.step("master piston area", bore_area("master bore", bore)?, Unit::CM2);
    out.number("push", push);
    out.number("pressure", pressure);
    Ok(())
}

pub(crate) fn slave() -> Formula {
    Formula::new("slave-force-travel", Job::Clutch, "Slave cylinder: force and travel", run!(compute_slave))
        .says("This decides whether the far end gets both the force and the travel it needs.")
        .equation("F_s = p n π/4 d_s²;  x_s = x_m d_m² / (n d_s²)")
        .takes([
            number("pressure", "p", "Line pressure", Unit::BAR, 40.0).within(0.0, 250.0),
            number("master-bore", "d_m", "Master bore", Unit::MM, 19.05).within(8.0, 60.0),
            number("slave-bore", "d_s", "Slave bore", Unit::MM, 20.64).within(8.0, 80.0),
            number("master-travel", "x_m", "Master travel", Unit::MM, 24.0).within(0.0, 60.0),
            number("pistons", "n", "Slave pistons", Unit::COUNT, 1.0).within(1.0, 12.0).or(1.0),
        ])
        .gives([
            result("force", "F_s", "Slave force", Unit::N).rises(&["pressure", "slave-bore"]),
            result("travel", "x_s", "Slave travel", Unit::MM)
                .rises(&["master-travel", "master-bore"])
                .falls(&["slave-bore", "pistons"]),
            result("area-ratio", "A_s/A_m", "Slave area over master area", Unit::ONE)
                .rises(&["slave-bore", "pistons"])
                .falls(&["master-bore"]),
        ])
        .holds("Holds without air, leak or a swelling hose.")
        .caution(FLUID)
        .source("statics and continuity")
        .diagram("hydraulic-pair")
}

fn compute_slave<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (master, slave) = (given.number("master-bore"), given.number("slave-bore"));
    let end = slave_end(
        given.number("pressure"),
        master,
        slave,
        given.number("master-travel"),
        given.number("pistons"),
    )?;
    out.step("master piston area", bore_area("master bore", master)?, Unit::CM2);
    out.step("slave piston area", bore_area("slave bore", slave)?, Unit::CM2);
    out.number("force", end.force);
    out.number("travel", end.travel);
    out.number("area-ratio", end.area_ratio);
    Ok(())
}
