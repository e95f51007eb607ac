//! Where things sit.

use crate::{ids::*, model::*};

impl Sheet {
    /// The places at which a check is made: those of its component. Empty for a check that is not on the sheet.
    pub fn places_of(&self, check: &CheckId) -> &[Place] {
        let component = self.checks.get(check).and_then(|check| self.components.get(&check.component));
        component.map_or(&[], |component| &component.places)
    }

    /// What a person calls a place; empty for `single`, which needs no words.
    pub fn place_title<'a>(&'a self, place: &'a Place) -> &'a str {
        match self.places.get(place) {
            Some(title) => title,
            None if *place == Place::single() => "",
            None => place.as_str(),
        }
    }

    /// Where on the walk a check is made at a place: the station it names, or else the one that lists the place.
    pub fn station_of(&self, check: &Check, place: &Place) -> Option<&StationId> {
        let named = check.station.as_ref().and_then(|station| self.stations.get_key_value(station));
        let lists = || self.stations.iter().find(|(_, station)| station.places.contains(place));
        named.or_else(lists).map(|(id, _)| id)
    }
}
