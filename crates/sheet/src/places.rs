//! Where things sit.

use crate::{ids::*, model::*};
use indexmap::IndexMap;

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

impl Between {
    /// The places that are held against each other, group by group; groups of one are left out.
    pub fn groups<'a>(&self, places: &'a [Place]) -> Vec<Vec<&'a Place>> {
        let mut groups = IndexMap::<String, Vec<&Place>>::new();
        for place in places {
            let group = match self {
                Self::All => Some(String::new()),
                Self::Sides => other_than(place.as_str(), &["left", "right"]),
                Self::Axles => other_than(place.as_str(), &["front", "rear"]),
            };
            if let Some(group) = group {
                groups.entry(group).or_default().push(place);
            }
        }
        groups.into_values().filter(|group| group.len() > 1).collect()
    }
}

impl Between {
    /// "…has no two places that are …".
    pub(crate) fn phrase(&self) -> &'static str {
        match self {
            Self::Sides => "left and right of each other",
            Self::Axles => "in front of and behind each other",
            Self::All => "apart",
        }
    }

    pub(crate) fn example(&self) -> &'static str {
        match self {
            Self::Sides => "`front.left` and `front.right`",
            Self::Axles => "`front.left` and `rear.left`",
            Self::All => "`left` and `right`",
        }
    }
}

/// What a place has in common with the one on the other side: its parts but for the one that says which.
fn other_than(place: &str, either: &[&str]) -> Option<String> {
    let mut parts: Vec<&str> = place.split('.').collect();
    let which = parts.iter().rposition(|part| either.contains(part))?;
    parts[which] = "";
    Some(parts.join("."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_held_against_their_other_side() {
        let places = ["front.left", "front.right", "rear.left", "rear.right", "spare"].map(Place::from);
        let groups = |between: Between| -> Vec<String> {
            let groups = between.groups(&places);
            groups
                .iter()
                .map(|group| group.iter().map(|place| place.as_str()).collect::<Vec<_>>().join(" "))
                .collect()
        };
        assert_eq!(groups(Between::Sides), ["front.left front.right", "rear.left rear.right"]);
        assert_eq!(groups(Between::Axles), ["front.left rear.left", "front.right rear.right"]);
        assert_eq!(groups(Between::All), ["front.left front.right rear.left rear.right spare"]);
        assert!(Between::All.groups(&places[..1]).is_empty());
    }
}
