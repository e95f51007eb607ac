//! The look over the car in a fixed order.

use crate::{ids::*, model::*};

/// One check at one place, on the walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop<'a> {
    pub station: &'a StationId,
    pub check: &'a CheckId,
    pub place: &'a Place,
}

impl Sheet {
    /// The stops for a car of this variant (all of them when it is unknown): stations in the order of the sheet, and at
    /// each the checks by their turn, those of one turn in the order of the files, place by place. A derived reading or an interval is a stop where it
    /// has a station; there is nothing to enter at it, only to see.
    pub fn walk(&self, variant: Option<&VariantId>) -> Vec<Stop<'_>> {
        let on_car = |check: &Check| {
            let component = self.components.get(&check.component);
            check.only.includes(variant)
                && component.is_some_and(|component| component.only.includes(variant))
        };
        let mut stops: Vec<((usize, u32), Stop<'_>)> = self
            .checks
            .iter()
            .filter(|(_, check)| on_car(check))
            .flat_map(|(id, check)| self.places_of(id).iter().map(move |place| (id, check, place)))
            .filter_map(|(check_id, check, place)| {
                let station = self.station_of(check, place)?;
                let turn = (self.stations.get_index_of(station)?, check.order);
                Some((turn, Stop { station, check: check_id, place }))
            })
            .collect();
        stops.sort_by_key(|(turn, _)| *turn); // stable: the order of the files stays within a turn
        stops.into_iter().map(|(_, stop)| stop).collect()
    }
}
