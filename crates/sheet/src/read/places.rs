//! `[places.front-sides]`: where components sit.

use super::{Value, sections::Sections};
use crate::{SheetFault, diagnostic::Span, ids::*};
use indexmap::IndexMap;

pub(super) struct Places {
    /// The places of each set.
    pub sets: IndexMap<String, Vec<Place>>,
    pub titles: IndexMap<Place, String>,
}

impl Places {
    /// The place that a value names.
    pub fn find(&self, value: Value<'_>) -> Option<Place> {
        value.find_in("place", &self.titles)
    }
}

pub(super) fn places(sections: &Sections<'_>) -> Places {
    let mut titles = IndexMap::<Place, (String, Span)>::new();
    let sets = sections.places.read(|set| {
        set.table(|t| {
            let mut places = Vec::new();
            for (id, at, title) in t.entries() {
                let place = Place::from(id);
                if place == Place::single() {
                    t.reader().fault(SheetFault::SingleIsTaken, at.clone());
                }
                let Some(title) = title.text() else { continue };
                match titles.get(&place) {
                    Some((first, there)) if *first != title => {
                        let fault =
                            SheetFault::TwoTitles { place: place.clone(), title, first: first.clone() };
                        t.reader().fault_between(fault, at, there.clone());
                    }
                    Some(_) => {}
                    None => {
                        titles.insert(place.clone(), (title, at));
                    }
                }
                places.push(place);
            }
            Some(places)
        })
    });
    let titles = titles.into_iter().map(|(place, (title, _))| (place, title)).collect();
    Places { sets, titles }
}
