//! `[places.front-sides]`: where components sit.

use super::{Value, scheme::scheme, sections::Sections};
use crate::{SheetFault, diagnostic::Span, ids::*, table::Shape};
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
            for (id, at, value) in t.entries() {
                // A place may be called `scheme` too: then it has a title.
                let named = if id == "scheme" && value.shape() == Shape::Table {
                    scheme(value).unwrap_or_default()
                } else {
                    value.text().map(|title| (Place::from(id), title)).into_iter().collect()
                };
                for (place, title) in named {
                    put(&mut titles, place.clone(), title, at.clone(), t);
                    places.push(place);
                }
            }
            Some(places)
        })
    });
    let titles = titles.into_iter().map(|(place, (title, _))| (place, title)).collect();
    Places { sets, titles }
}

/// Keeps the title of a place, which has one wherever it is listed.
fn put(
    titles: &mut IndexMap<Place, (String, Span)>,
    place: Place,
    title: String,
    at: Span,
    t: &super::Table<'_>,
) {
    if place == Place::single() {
        t.reader().fault(SheetFault::SingleIsTaken, at.clone());
    }
    match titles.get(&place) {
        Some((first, there)) if *first != title => {
            let fault = SheetFault::TwoTitles { place, title, first: first.clone() };
            t.reader().fault_between(fault, at, there.clone());
        }
        Some(_) => {}
        None => {
            titles.insert(place, (title, at));
        }
    }
}
