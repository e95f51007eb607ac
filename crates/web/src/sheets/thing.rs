//! One thing of a sheet opened: all that is said of it, what names it, and where it is written.

use super::{
    facts,
    kinds::{KINDS, Kind},
    told::Told,
    way,
};
use crate::routes;
use maud::{Markup, html};
use sheet::{Check, CheckId, CheckKind, Described, OperationId, PartId, SystemId};
use workshop::words;

pub fn view(told: &Told, kind: &Kind, thing: &Described) -> Markup {
    let id = told.sheet.id.as_str();
    html! {
        (way(told, &[(routes::kind(id, kind.id), kind.many)]))
        h1 { (facts::name(told, thing)) }
        p.quiet { (kind.one) " " code { (thing.id) } (written(told, thing)) }
        (facts::all(told, thing))
        @match kind.id {
            "system" => (system(told, &thing.id)),
            "operation" => (opened(told, &thing.id)),
            "part" => (chain(told, &thing.id)),
            _ => {}
        }
        (named_by(told, thing))
    }
}

/// Where it is written, with the way there.
fn written(told: &Told, thing: &Described) -> Markup {
    html! {
        @if let Some(origin) = told.written(thing) {
            ", written in "
            a href=(routes::sheet_line(told.sheet.id.as_str(), origin.at.file(), origin.at.line())) { (origin.at.file()) ", line " (origin.at.line()) }
        }
    }
}

/// The components of a system, each with how it is looked at.
fn system(told: &Told, id: &str) -> Markup {
    let system = SystemId::from(id);
    let sheet = &told.sheet;
    html! {
        @for (id, component) in sheet.components.iter().filter(|(_, of)| of.system == system) {
            section.of-system {
                h2 { a href=(routes::thing(sheet.id.as_str(), "component", id.as_str())) { (component.title) } }
                @if let Some(thing) = told.thing("component", id.as_str()) { p.quiet { (facts::gist(told, thing)) } }
                ul.things {
                    @for (id, check) in sheet.checks.iter().filter(|(_, check)| check.component == *id) {
                        li { (check_line(told, id, check)) }
                    }
                }
            }
        }
    }
}

fn check_line(told: &Told, id: &CheckId, check: &Check) -> Markup {
    let thing = told.thing("check", id.as_str());
    let says = |key| {
        let fact = thing.and_then(|thing| thing.facts.iter().find(|fact| fact.key == key));
        fact.map(|fact| facts::plain(told, &fact.says))
    };
    html! {
        a href=(routes::thing(told.sheet.id.as_str(), "check", id.as_str())) { (check.title) }
        @if let Some(only) = says("only") { span.kind { " " (only) } }
        @match &check.kind {
            CheckKind::Observation(states) => (facts::states(states)),
            _ => {
                p.quiet { ([says("new").map(|new| format!("new {new}")), says("limit"), says("interval")].into_iter().flatten().collect::<Vec<_>>().join(" · ")) }
            }
        }
    }
}

/// All that must be open before an operation can begin, with the hours of opening and of the work.
fn opened(told: &Told, id: &str) -> Markup {
    let sheet = &told.sheet;
    let Some(operation) = sheet.operations.get(&OperationId::from(id)) else { return html! {} };
    let steps = sheet.access_closure(&operation.needs);
    let hours: f64 = steps.iter().filter_map(|id| sheet.access.get(*id)).map(|step| step.hours).sum();
    html! {
        @if !steps.is_empty() {
            h2 { "What comes off, in order" }
            ol.off {
                @for id in &steps {
                    @if let Some(thing) = told.thing("access", id.as_str()) { li { (facts::link(told, thing)) " " span.quiet { (facts::gist(told, thing)) } } }
                }
            }
            p.quiet { (words::hours(hours)) " to take it apart, the same × " (sheet.refit) " to put it back, and " (words::hours(operation.hours)) " of work between." }
        }
    }
}

/// The numbers that a part followed and that followed it, the oldest first.
fn chain(told: &Told, id: &str) -> Markup {
    let parts = &told.sheet.parts;
    let id = PartId::from(id);
    let mut chain = vec![&id];
    // No chain is longer than there are parts.
    while let Some(older) =
        chain.first().and_then(|first| parts.get(*first)).and_then(|part| part.replaces.as_ref())
        && chain.len() <= parts.len()
    {
        chain.insert(0, older);
    }
    while let Some((newer, _)) =
        parts.iter().find(|(_, part)| part.replaces.as_ref() == chain.last().copied())
        && chain.len() <= parts.len()
    {
        chain.push(newer);
    }
    html! {
        @if chain.len() > 1 {
            h2 { "What replaced what" }
            ol.chain {
                @for of in &chain {
                    @if let Some(part) = told.thing("part", of.as_str()) {
                        li aria-current=[(**of == id).then_some("true")] {
                            @if **of == id { b { (of) } } @else { a href=(routes::thing(told.sheet.id.as_str(), "part", of.as_str())) { (of) } }
                            " " (part.title)
                            @if let Some(changed) = parts.get(*of).and_then(|part| part.changed.as_ref()) { span.quiet { " " (changed) } }
                        }
                    }
                }
            }
        }
    }
}

/// What names it, kind by kind.
fn named_by(told: &Told, thing: &Described) -> Markup {
    let naming: Vec<&Described> = told.naming(thing).collect();
    html! {
        @if !naming.is_empty() {
            h2 { "Where it counts" }
            dl.facts {
                @for kind in &KINDS {
                    @let of_kind: Vec<&&Described> = naming.iter().filter(|thing| thing.kind == kind.id).collect();
                    @if !of_kind.is_empty() {
                        div {
                            dt { (if of_kind.len() == 1 { kind.one } else { kind.many }) }
                            dd { ul { @for thing in of_kind { li { (facts::link(told, thing)) } } } }
                        }
                    }
                }
            }
        }
    }
}
