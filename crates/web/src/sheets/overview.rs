//! A sheet at a glance: its systems, its kinds of things, and what a search finds on it.

use super::{
    Open, facts,
    kinds::{KINDS, Kind},
    told::{Told, with_source},
    way,
};
use crate::{routes, sign::name};
use journal::Person;
use maud::{Markup, html};
use sheet::Described;
use workshop::words;

/// Things that a search shows; who finds more narrows it down.
const SHOWN: usize = 60;

pub fn view(open: &Open, people: &[Person], find: &str) -> Markup {
    let told = &open.told;
    let sheet = &told.sheet;
    let id = sheet.id.as_str();
    html! {
        h1 { (sheet.title) }
        @if let Some(says) = &sheet.says { p.lead { (says) } }
        p.quiet {
            @if let Some(revision) = open.revisions().last() {
                "In use since " (words::day(book::Clock::day_of(revision.at))) ", by " (name(people, &revision.by)) ". "
            }
            @for layer in told.layers() { "With the layer “" (layer) "” over it. " }
        }
        p.acts {
            a.button href=(routes::sheet_text(id)) { "Change it" }
            a.button href=(routes::revisions(id)) { (words::count(open.revisions().len(), "revision", "revisions")) }
        }
        form.find role="search" method="get" action=(routes::sheet(id)) {
            label for="find" { "Find on this sheet" }
            div { input id="find" name="find" type="search" value=(find) placeholder="a part, a marking, a torque, a word" autocomplete="off"; button { "Find" } }
        }
        @if find.is_empty() { (systems(told)) (kinds(told)) (head(told)) } @else { (found(told, find)) }
    }
}

fn found(told: &Told, find: &str) -> Markup {
    let found = told.find(find);
    html! {
        p.quiet role="status" {
            @if found.is_empty() { "Nothing on this sheet speaks of “" (find) "”. Try a shorter or plainer word, or " }
            @else { (words::count(found.len(), "thing speaks", "things speak")) " of “" (find) "”" @if found.len() > SHOWN { "; here are the first " (SHOWN) } ". " }
            a href=(routes::sheet(told.sheet.id.as_str())) { @if found.is_empty() { "see everything" } @else { "See everything" } } "."
        }
        ul.things {
            @for (thing, fact) in found.into_iter().take(SHOWN) {
                li {
                    (facts::link(told, thing)) " " span.kind { (super::kinds::of(thing.kind).map_or(thing.kind, |kind| kind.one)) }
                    p.quiet {
                        @match fact {
                            Some(fact) => { (super::kinds::label(thing.kind, fact.key)) ": " (facts::plain(told, &fact.says)) },
                            None => (facts::gist(told, thing)),
                        }
                    }
                }
            }
        }
    }
}

fn systems(told: &Told) -> Markup {
    let sheet = &told.sheet;
    html! {
        h2 { "By system" }
        ul.systems {
            @for (id, system) in &sheet.systems {
                @let components = sheet.components.values().filter(|of| of.system == *id).count();
                @let checks = sheet.checks.values().filter(|check| sheet.components.get(&check.component).is_some_and(|of| of.system == *id)).count();
                @if components > 0 {
                    li {
                        a href=(routes::thing(sheet.id.as_str(), "system", id.as_str())) { (system.title) }
                        span.quiet { (words::count(components, "component", "components")) ", " (words::count(checks, "check", "checks")) }
                    }
                }
            }
        }
    }
}

fn kinds(told: &Told) -> Markup {
    html! {
        h2 { "Everything on it" }
        ul.systems {
            @for kind in KINDS.iter().filter(|kind| kind.id != "system") {
                @let count = told.of_kind(kind.id).count();
                @if count > 0 {
                    li { a href=(routes::kind(told.sheet.id.as_str(), kind.id)) { (kind.many) } span.quiet { (count) } }
                }
            }
        }
    }
}

/// What is said of the sheet as a whole.
fn head(told: &Told) -> Markup {
    html! {
        @if let Some(sheet) = told.things.first() {
            h2 { "The sheet itself" }
            (facts::all(told, sheet))
        }
    }
}

/// All things of a kind: those of a system's components under that system.
pub fn of_kind(told: &Told, kind: &Kind) -> Markup {
    let things: Vec<&Described> = told.of_kind(kind.id).collect();
    html! {
        (way(told, &[]))
        h1 { (kind.many) }
        @if things.is_empty() { p.quiet { "The sheet has none." } }
        @for (system, things) in by_system(told, &things) {
            @if let Some(system) = system { h2 { (system) } }
            ul.things.two {
                @for thing in things {
                    li { (facts::link(told, thing)) @let gist = facts::gist(told, thing); @if !gist.is_empty() { p.quiet { (gist) } } }
                }
            }
        }
    }
}

/// Things under the systems of the components that they are on, where all but a few say a component.
fn by_system<'a>(told: &'a Told, things: &[&'a Described]) -> Vec<(Option<&'a str>, Vec<&'a Described>)> {
    let system = |thing: &Described| -> Option<&'a str> {
        let says = |thing: &Described, key| {
            thing.facts.iter().find(|fact| fact.key == key).map(|fact| fact.says.clone())
        };
        let own = says(thing, "system").filter(|_| thing.kind == "component");
        let own = own.or_else(|| {
            let component = says(thing, "component")?;
            let id = with_source(&component).0.rsplit_once("(`")?.1.trim_end_matches("`)").to_owned();
            says(told.thing("component", &id)?, "system")
        })?;
        told.sheet.systems.values().map(|system| system.title.as_str()).find(|title| *title == own)
    };
    let grouped = things
        .first()
        .is_some_and(|thing| ["component", "check", "operation", "part", "fastener"].contains(&thing.kind));
    if !grouped {
        return vec![(None, things.to_vec())];
    }
    let mut groups: Vec<(Option<&str>, Vec<&Described>)> =
        told.sheet.systems.values().map(|system| (Some(system.title.as_str()), vec![])).collect();
    groups.push((Some("Of no component"), vec![]));
    for thing in things {
        let of = system(thing);
        let last = groups.len() - 1;
        let at = groups.iter().position(|(title, _)| of.is_some() && *title == of).unwrap_or(last);
        if let Some((_, things)) = groups.get_mut(at) {
            things.push(thing);
        }
    }
    groups.retain(|(_, things)| !things.is_empty());
    groups
}
