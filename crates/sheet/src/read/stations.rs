//! `[station.left-front]`: the stops of the walk.

use super::{Value, places::Places, sections::Sections};
use crate::{SheetFault, diagnostic::Span, ids::*, model::Station};
use indexmap::IndexMap;

pub(super) fn stations(sections: &Sections<'_>, places: &Places) -> IndexMap<StationId, Station> {
    let mut taken = IndexMap::<Place, (StationId, Span)>::new();
    sections.stations.read(|station| {
        station.table(|t| {
            let title = t.need("title", Value::text);
            let places = t.list("places", |v| {
                let place = places.find(v)?;
                let station = StationId::from(t.name().id());
                match taken.get(&place) {
                    Some((first, there)) if *first != station => {
                        let fault =
                            SheetFault::TwoStations { place: place.clone(), station, first: first.clone() };
                        v.fault_between(fault, there.clone());
                    }
                    _ => {
                        taken.insert(place.clone(), (station, v.span()));
                    }
                }
                Some(place)
            });
            Some(Station { title: title?, places })
        })
    })
}
