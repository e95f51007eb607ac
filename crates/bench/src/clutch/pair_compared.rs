//! A mixed pair of master and slave against the one intended.

use super::line::{FLUID, bore_area};
use super::release::{Chain, release_travel};
use crate::prelude::*;

/// Effort with a fitted pair over that with the intended one: `(d_m/d_s)²` over `(d_m*/d_s*)²`.
///
/// Bores in m. Scalars. Holds for like friction.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: statics. Checked: `reference/worked.json`.
pub fn effort_ratio<D: Dual>(
    master: D,
    slave: D,
    intended_master: D,
    intended_slave: D,
) -> Result<D, BenchError> {
    let areas = |master, slave| {
        Ok::<D, BenchError>(bore_area("master bore", master)? / bore_area("slave bore", slave)?)
    };
    Ok(areas(master, slave)? / areas(intended_master, intended_slave)?)
}

pub(crate) fn formula() -> Formula {
    let bore = |key, symbol, title, example| number(key, symbol, title, Unit::MM, example).within(8.0, 80.0);
    Formula::new(
        "clutch-pair-compared",
        Job::Clutch,
        "Clutch: a fitted pair of cylinders against the intended one",
        run!(compute),
    )
    .says("This decides whether a bad pedal is the wrong pair of cylinders rather than air.")
    .equation("x_s = (s − f)/i (d_m/d_s)² − v;  effort = (d_m/d_s)² / (d_m*/d_s*)²")
    .takes([
        bore("master-bore", "d_m", "Master bore fitted", 15.87),
        bore("slave-bore", "d_s", "Slave bore fitted", 20.64),
        bore("intended-master-bore", "d_m*", "Master bore intended", 15.87),
        bore("intended-slave-bore", "d_s*", "Slave bore intended", 19.05),
        number("pedal-stroke", "s", "Pedal stroke at the pad", Unit::MM, 138.0).within(20.0, 300.0),
        number("free-play", "f", "Free play at the pad", Unit::MM, 8.0).within(0.0, 100.0),
        number("pedal-ratio", "i", "Pedal ratio", Unit::ONE, 5.4).within(1.0, 12.0),
        number("loss", "v", "Slave travel lost to hose and fluid", Unit::MM, 1.2).within(0.0, 20.0).or(0.0),
        number("needed", "", "Slave travel needed", Unit::MM, 14.0).within(1.0, 60.0),
        number("most", "", "Slave travel that its stop or the cover allows", Unit::MM, 18.0)
            .within(1.0, 80.0)
            .optional(),
    ])
    .gives([
        result("travel", "x_s", "Slave travel, fitted pair", Unit::MM)
            .rises(&["master-bore", "pedal-stroke"])
            .falls(&["slave-bore"]),
        result("intended-travel", "x_s*", "Slave travel, intended pair", Unit::MM)
            .rises(&["intended-master-bore", "pedal-stroke"])
            .falls(&["intended-slave-bore"]),
        result("spare", "", "Travel to spare, fitted pair (below zero: short)", Unit::MM)
            .rises(&["master-bore"])
            .falls(&["slave-bore", "needed"]),
        result("effort", "", "Effort against the intended pair", Unit::ONE)
            .rises(&["master-bore", "intended-slave-bore"])
            .falls(&["slave-bore", "intended-master-bore"]),
        wordlist("feels", "How the pedal feels, and why"),
    ])
    .holds(
        "Holds without air or leak. The foot fixes the stroke; the master's area sets the \
         volume pushed, the slave's the volume needed.",
    )
    .caution(FLUID)
    .source("levers, continuity, statics")
    .diagram("clutch-release")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (master, slave) = (given.number("master-bore"), given.number("slave-bore"));
    let (intended_master, intended_slave) =
        (given.number("intended-master-bore"), given.number("intended-slave-bore"));
    let with = |master_bore, slave_bore| {
        release_travel(Chain {
            pedal_stroke: given.number("pedal-stroke"),
            free_play: given.number("free-play"),
            pedal_ratio: given.number("pedal-ratio"),
            master_bore,
            slave_bore,
            loss: given.number("loss"),
        })
    };
    let (fitted, intended) = (with(master, slave)?, with(intended_master, intended_slave)?);
    let effort = effort_ratio(master, slave, intended_master, intended_slave)?;
    let needed = given.number("needed");
    let spare = fitted.slave - needed;
    out.number("travel", fitted.slave);
    out.number("intended-travel", intended.slave);
    out.number("spare", spare);
    out.number("effort", effort);
    let most = given.maybe("most").map(|most| most.re());
    out.texts("feels", feels(fitted.slave.re(), needed.re(), most, effort.re()));
    Ok(())
}

/// Why the pedal feels as it does. Below a twentieth of difference in effort nobody tells (common practice).
fn feels(travel: f64, needed: f64, most: Option<f64>, effort: f64) -> Vec<String> {
    let mut says = vec![];
    if travel < needed {
        says.push(format!(
            "the slave moves {:.1} mm too little: the bite is close to the floor, it never fully \
             releases, gears crunch",
            (needed - travel) * 1e3
        ));
    } else {
        let share = needed / travel;
        says.push(format!("the slave moves enough: it is free after {:.0} % of its travel", 100.0 * share));
    }
    if let Some(most) = most.filter(|most| travel > *most) {
        says.push(format!(
            "the slave is driven {:.1} mm past what its stop or the cover allows: stop the pedal \
             earlier or fit the intended pair",
            (travel - most) * 1e3
        ));
    }
    if effort < 0.95 {
        says.push(format!(
            "light: {:.0} % less force at the foot, paid for in travel; bleeding cannot give it \
             back",
            100.0 * (1.0 - effort)
        ));
    } else if effort > 1.05 {
        says.push(format!(
            "heavy: {:.0} % more force at the foot, for more travel than was meant",
            100.0 * (effort - 1.0)
        ));
    } else {
        says.push("the force at the foot is as intended".into());
    }
    says
}
