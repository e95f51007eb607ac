//! What is said of a thing, line by line.

use super::{
    kinds,
    told::{Piece, Told, with_source},
};
use crate::routes;
use maud::{Markup, html};
use sheet::{CheckId, Described, Fact, State};

/// A link to a thing, called by its name.
pub fn link(told: &Told, thing: &Described) -> Markup {
    html! { a href=(routes::thing(told.sheet.id.as_str(), thing.kind, &thing.id)) { (thing.title) } }
}

/// What a thing is called where nothing beside it says what it is on: a check has its component before its title.
pub fn name(told: &Told, thing: &Described) -> String {
    let check =
        (thing.kind == "check").then(|| told.sheet.checks.get(&CheckId::from(thing.id.as_str()))).flatten();
    match check.and_then(|check| told.sheet.components.get(&check.component)) {
        Some(component) => format!("{}: {}", component.title, thing.title),
        None => thing.title.clone(),
    }
}

/// Words in which what is named can be opened.
pub fn linked(told: &Told, says: &str) -> Markup {
    html! {
        @for piece in told.pieces(says) {
            @match piece {
                Piece::Words(words) => (words),
                Piece::Thing(thing) => (link(told, thing)),
            }
        }
    }
}

/// The same without ways on, for a line that leads somewhere itself.
pub fn plain(told: &Told, says: &str) -> String {
    let pieces = told.pieces(with_source(says).0);
    pieces
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => *words,
            Piece::Thing(thing) => &thing.title,
        })
        .collect()
}

/// What is said of a thing in a line of a list.
pub fn gist(told: &Told, thing: &Described) -> String {
    let keys = kinds::of(thing.kind).map_or(&[][..], |kind| kind.gist);
    let facts = keys.iter().filter_map(|key| thing.facts.iter().find(|fact| fact.key == *key));
    facts.map(|fact| said(told, fact)).collect::<Vec<_>>().join(" · ")
}

/// A fact as a list has it: with its unit, or with what it is where that does not show.
fn said(told: &Told, fact: &Fact) -> String {
    let says = plain(told, &fact.says);
    match fact.key {
        "hours" => format!("{says} h"),
        "price" => format!("{says} {}", told.sheet.currency),
        "needs" => format!("first off: {says}"),
        "replaces" => format!("replaces {says}"),
        "life" => says.split(", nine").next().unwrap_or_default().to_owned(),
        "criticality" => says.trim_start_matches("at stake: ").to_owned(),
        _ => says,
    }
}

/// Everything said of a thing, key by key. What cannot be overlooked comes first.
pub fn all(told: &Told, thing: &Described) -> Markup {
    let mut keys: Vec<&'static str> = Vec::new();
    for fact in thing.facts.iter().filter(|fact| fact.key != "caution") {
        if keys.last() != Some(&fact.key) {
            keys.push(fact.key);
        }
    }
    html! {
        @for fact in thing.facts.iter().filter(|fact| fact.key == "caution") {
            p.caution { b { "Take care. " } (linked(told, &fact.says)) }
        }
        dl.facts {
            @for key in keys {
                @let facts: Vec<&Fact> = thing.facts.iter().filter(|fact| fact.key == key).collect();
                div {
                    dt { (kinds::label(thing.kind, key)) }
                    dd {
                        (under(told, thing, key, &facts))
                        (layer(told, thing, &facts))
                    }
                }
            }
        }
    }
}

/// What is said under one key.
fn under(told: &Told, thing: &Described, key: &str, facts: &[&Fact]) -> Markup {
    if key == "states"
        && let Some(check) = told.sheet.checks.get(&CheckId::from(thing.id.as_str()))
    {
        return states(check.states());
    }
    html! {
        @match facts {
            [fact] if fact.item.is_none() => (one(told, key, &fact.says)),
            facts if key == "steps" => ol { @for fact in facts { li { (one(told, key, &fact.says)) } } },
            facts => ul { @for fact in facts { li { (one(told, key, &fact.says)) } } },
        }
    }
}

fn one(told: &Told, key: &str, says: &str) -> Markup {
    let (says, source) = with_source(says);
    let says = says.strip_prefix("at stake: ").unwrap_or(says);
    html! {
        (linked(told, says))
        @match key { "price" => { " " (told.sheet.currency) }, "hours" => " h", _ => {} }
        @if let Some(source) = source { small.source { "Source: " (source) } }
    }
}

/// The described states, each with what it means.
pub fn states(states: &[State]) -> Markup {
    html! {
        ul.stops-seen {
            @for state in states {
                li {
                    (::letter::verdict(state.means))
                    span {
                        b { (state.says) }
                        @if let Some(tell) = &state.tell { small { "Told by: " (tell) } }
                        @if let Some(why) = &state.why { small { (why) } }
                    }
                }
            }
        }
    }
}

/// Which layer says it, where one lies over the sheet, and what it took the place of.
fn layer(told: &Told, thing: &Described, facts: &[&Fact]) -> Markup {
    let origin = facts.first().and_then(|fact| told.said_above(thing, fact));
    html! {
        @if let Some(origin) = origin {
            small.layer {
                "Said by “" (told.layer(origin.layer)) "”"
                @if let Some(below) = &origin.instead_of { "; “" (told.layer(below.layer)) "” says " code { (below.written) } }
            }
        }
    }
}
