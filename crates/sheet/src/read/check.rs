//! `[check.front-disc-thickness]`: one way to look at or measure a component.

use super::{
    Reader, Table, Value,
    derived::{Link, derived},
    interval::interval,
    only::only,
    photo::photo,
    reading::{Instruments, reading},
    scale::{no_scale, scale},
    sections::Sections,
    states::states,
};
use crate::{SheetFault, ids::*, model::*};
use indexmap::IndexMap;
use quantity::Unit;

pub(super) type Components = IndexMap<ComponentId, Component>;

/// All checks, and whether each has its stop. The links of derived readings are to be settled when all formulas are read.
pub(super) fn checks(
    reader: &Reader,
    sections: &Sections<'_>,
    components: &Components,
    stations: &IndexMap<StationId, Station>,
    instruments: &Instruments,
    links: &mut Vec<Link>,
) -> IndexMap<CheckId, Check> {
    let checks = sections.checks.read(|v| check(v, sections, components, instruments, links));
    if stations.len() == sections.stations.len() {
        for (id, check) in &checks {
            has_station(id, check, components, stations, sections, reader);
        }
    }
    checks
}

fn check(
    value: Value<'_>,
    sections: &Sections<'_>,
    components: &Components,
    instruments: &Instruments,
    links: &mut Vec<Link>,
) -> Option<Check> {
    value.table(|t| {
        let component = t.need("component", |v| sections.components.find(v));
        let title = t.need("title", Value::text);
        let how = t.may("how", Value::text);
        let normal = t.may("normal", Value::text);
        let caution = t.may("caution", Value::text);
        let station = t.may("station", |v| sections.stations.find(v));
        let only = only(t, sections);
        let needs = t.list("needs", |v| sections.access.find(v));
        let minutes = t.may("minutes", Value::not_negative);
        let when = t.may("when", Value::text);
        let tools = t.list("tools", Value::text);
        let order = t.may("order", Value::count).unwrap_or(Check::USUAL_ORDER);

        let known = component.as_ref().and_then(|id| components.get_key_value(id));
        let reading = t.may("reading", |v| reading(v, sections, instruments));
        let derived = t.may("derived", |v| derived(v, sections, links));
        let states = t.may("states", |v| states(v, known));
        let interval = t.may("interval", interval);
        let photos = t.list("photos", |v| photo(v, states.as_deref(), sections));
        let kind = kind(t);
        let scale = match kind {
            Some(with @ ("states" | "interval")) => no_scale(t, with),
            _ => scale(t, unit(t), known.map(|(_, component)| &component.places[..])),
        };
        let kind = match kind? {
            "reading" => CheckKind::Reading(Reading { scale, ..reading? }),
            "derived" => CheckKind::Derived(Derived { scale, ..derived? }),
            "states" => CheckKind::Observation(states?),
            _ => CheckKind::Interval(interval?),
        };
        Some(Check {
            component: component?,
            title: title?,
            how,
            normal,
            caution,
            station,
            only,
            needs,
            minutes,
            when,
            tools,
            photos,
            order,
            kind,
        })
    })
}

/// The one of the four that a check is.
fn kind(t: &Table<'_>) -> Option<&'static str> {
    let mut kinds =
        ["reading", "derived", "states", "interval"].into_iter().filter(|key| t.get(key).is_some());
    let Some(first) = kinds.next() else {
        t.fault(SheetFault::NoKind { check: t.name().id().to_owned() });
        return None;
    };
    for second in kinds {
        if let (Some(at), Some(there)) = (t.key_span(second), t.key_span(first)) {
            let check = t.name().id().to_owned();
            t.reader().fault_between(SheetFault::TwoKinds { check, first, second }, at, there);
        }
    }
    Some(first)
}

/// The unit that new value and limits are to be in, known even while something else is wrong with the reading.
fn unit(t: &Table<'_>) -> Option<Unit> {
    ["reading", "derived"].into_iter().find_map(|key| t.get(key)?.peek("unit")).and_then(Unit::find)
}

/// What is looked at or measured has its stop on the walk.
fn has_station(
    id: &CheckId,
    check: &Check,
    components: &Components,
    stations: &IndexMap<StationId, Station>,
    sections: &Sections<'_>,
    reader: &Reader,
) {
    let looked_at = matches!(check.kind, CheckKind::Reading(_) | CheckKind::Observation(_));
    if !looked_at || check.station.is_some() {
        return;
    }
    let places = components.get(&check.component).map_or(&[][..], |component| &component.places);
    let nowhere =
        places.iter().find(|place| !stations.values().any(|station| station.places.contains(place)));
    if let (Some(place), Some(at)) = (nowhere, sections.checks.span(id.as_str())) {
        reader.fault(SheetFault::NoStation { check: id.clone(), place: place.clone() }, at);
    }
}
