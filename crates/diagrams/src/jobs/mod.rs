//! The drawings, one file a job of the bench.

use crate::kit::Canvas;
use crate::values::Values;

mod belts;
mod bottom_end;
mod brakes;
mod clutch;
mod cooling;
mod cylinders;
mod electrics;
mod fluids;
mod identity;
mod measuring;
mod road_limits;
mod springs;
mod threads;
mod valve_train;
mod wheels;

/// A drawing: lines and lettering on a canvas, from a formula's values.
pub type Drawing = fn(&mut Canvas, &Values);

/// Drawings by the ids that formulas name them with.
type Drawings = &'static [(&'static str, Drawing)];

const ALL: &[Drawings] = &[
    belts::DRAWINGS,
    bottom_end::DRAWINGS,
    brakes::DRAWINGS,
    clutch::DRAWINGS,
    cooling::DRAWINGS,
    cylinders::DRAWINGS,
    electrics::DRAWINGS,
    fluids::DRAWINGS,
    identity::DRAWINGS,
    measuring::DRAWINGS,
    road_limits::DRAWINGS,
    springs::DRAWINGS,
    threads::DRAWINGS,
    valve_train::DRAWINGS,
    wheels::DRAWINGS,
];

/// The drawing with this id.
pub fn drawing(id: &str) -> Option<Drawing> {
    ALL.iter()
        .flat_map(|drawings| drawings.iter())
        .find(|(named, _)| *named == id)
        .map(|(_, drawing)| *drawing)
}
