//! `[part.QC-1311]`: what is fitted.

use super::{
    Value,
    check::Components,
    only::only,
    scale::{limit, new},
    sections::Sections,
    source, years,
};
use crate::{SheetFault, diagnostic::Span, ids::*, model::*, table::nearest};
use indexmap::IndexMap;

pub(super) fn parts(sections: &Sections<'_>, components: &Components) -> IndexMap<PartId, Part> {
    let mut replaced = Replaced::new();
    sections.parts.read(|v| part(v, sections, components, &mut replaced))
}

/// Which part takes the place of which, and where that is written.
type Replaced = IndexMap<PartId, (PartId, Span)>;

fn part(
    value: Value<'_>,
    sections: &Sections<'_>,
    components: &Components,
    replaced: &mut Replaced,
) -> Option<Part> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let price = t.need("price", Value::money);
        let only = only(t, sections);
        let marks = t.list("marks", Value::text);
        let component = t.may("component", |v| sections.components.find(v));
        let its = component.as_ref().and_then(|id| components.get_key_value(id));
        let places = t.list("places", |v| place(v, its));
        if let (None, Some(value)) = (t.get("component"), t.get("places")) {
            value.fault(SheetFault::PlacesOfWhat { part: t.name().id().to_owned() });
        }
        let replaces = t.may("replaces", |v| replaces(v, t.name().id(), sections, replaced));
        let changed = t.may("changed", Value::text);
        let both_ways = t.may("both-ways", Value::flag).unwrap_or(false);
        for key in ["changed", "both-ways"] {
            if let (None, Some(value)) = (t.get("replaces"), t.get(key)) {
                value.fault(SheetFault::OnlyWith { key, with: "replaces" });
            }
        }
        let together = t.list("together", |v| sections.parts.find(v));
        let shelf_age = t.may("shelf-age", years);
        let alternatives = t.list("alternatives", |v| alternative(v, t.name().id(), sections));
        let source = source(t);
        Some(Part {
            title: title?,
            price: price?,
            only,
            marks,
            component,
            places,
            replaces,
            changed,
            both_ways,
            together,
            shelf_age,
            alternatives,
            source: source?,
        })
    })
}

fn place(value: Value<'_>, component: Option<(&ComponentId, &Component)>) -> Option<Place> {
    let place = value.str()?;
    let (id, component) = component?;
    let found = component.places.iter().find(|known| known.as_str() == place).cloned();
    if found.is_none() {
        let nearest = nearest(place, component.places.iter().map(Place::as_str)).map(str::to_owned);
        let (place, component, places) = (place.to_owned(), id.clone(), component.places.clone());
        value.fault(SheetFault::NotAPlace { place, component, nearest, places });
    }
    found
}

fn replaces(value: Value<'_>, new: &str, sections: &Sections<'_>, replaced: &mut Replaced) -> Option<PartId> {
    let old = sections.parts.find(value)?;
    sections.replaces.link(new, old.as_str(), value.span());
    match replaced.get(&old) {
        Some((first, there)) if first.as_str() != new => {
            value.fault_between(SheetFault::ReplacedTwice { part: old.clone() }, there.clone());
        }
        _ => {
            replaced.insert(old.clone(), (new.into(), value.span()));
        }
    }
    Some(old)
}

fn alternative(value: Value<'_>, of: &str, sections: &Sections<'_>) -> Option<Alternative> {
    value.table(|t| {
        let part = t.need("part", |v| {
            let part = sections.parts.find(v)?;
            if part.as_str() == of {
                v.fault(SheetFault::InsteadOfItself { part: part.clone() });
            }
            Some(part)
        });
        let says = t.need("says", Value::text);
        let changes = t.list("changes", |v| change(v, sections));
        Some(Alternative { part: part?, says: says?, changes })
    })
}

/// In the unit of the check, which is known before the check itself is read.
fn change(value: Value<'_>, sections: &Sections<'_>) -> Option<Change> {
    value.table(|t| {
        let check = t.need("check", |v| sections.checks.find(v));
        let unit = check.as_ref().and_then(|check| sections.unit_of(check));
        if let (Some(id), None, Some(value)) = (&check, unit, t.get("check"))
            && sections.says_no_number(id)
        {
            value.fault(SheetFault::InputNotNumber { check: id.clone() });
        }
        let new = t.may("new", |v| new(v, unit));
        let limit = t.may("limit", |v| limit(v, unit));
        super::needs_one_of(t, &["new", "limit"]);
        Some(Change { check: check?, new, limit })
    })
}
