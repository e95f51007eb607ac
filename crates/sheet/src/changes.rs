//! What is different between two sheets, in words.

use crate::{
    describe::{Described, Fact, described, described_as},
    model::Sheet,
};
use serde::Serialize;
use std::{
    collections::{HashMap, HashSet},
    fmt,
};

/// One thing that is different.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changed {
    pub kind: &'static str,
    /// Empty for the sheet itself.
    pub id: String,
    pub title: String,
    #[serde(flatten)]
    pub how: How,
}

/// How it is different.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "change", rename_all = "kebab-case")]
pub enum How {
    /// It was not there before.
    New,
    /// It is no longer there.
    LeftOut,
    /// What is there before and after comes in another order.
    Order { of: &'static str },
    /// A key says something else; missing where it says nothing.
    Says { key: &'static str, item: Option<String>, was: Option<String>, now: Option<String> },
}

/// What is different in `after`: in its order, what is left out at the end of its kind.
pub fn changes(before: &Sheet, after: &Sheet) -> Vec<Changed> {
    // Another title is told once, where it is: not again wherever the thing is named.
    let (old, new) = (described_as(before, after), described(after));
    let known: HashMap<(&str, &str), &Described> =
        old.iter().map(|thing| ((thing.kind, thing.id.as_str()), thing)).collect();
    let mut changes = Vec::new();
    for thing in &new {
        match known.get(&(thing.kind, thing.id.as_str())) {
            None => changes.push(told(thing, How::New)),
            Some(was) => says(was, thing, &mut changes),
        }
    }
    let left = |was: &&Described| !new.iter().any(|thing| (thing.kind, &thing.id) == (was.kind, &was.id));
    changes.extend(old.iter().filter(left).map(|was| told(was, How::LeftOut)));
    if let Some(sheet) = new.first() {
        let moved = ORDERED.iter().filter(|kind| order(&old, &new, kind) != order(&new, &old, kind));
        changes.extend(moved.map(|kind| told(sheet, How::Order { of: kind })));
    }
    let order: Vec<&str> = new.iter().chain(&old).map(|thing| thing.kind).collect();
    changes.sort_by_key(|change| order.iter().position(|kind| *kind == change.kind));
    changes
}

/// The kinds whose order is seen: on pages, in the letter, on the walk.
const ORDERED: [&str; 4] = ["system", "station", "component", "check"];

/// The ids of a kind in their order, those left out that the other does not have.
fn order<'a>(of: &'a [Described], other: &[Described], kind: &str) -> Vec<&'a str> {
    let both: HashSet<&str> =
        other.iter().filter(|thing| thing.kind == kind).map(|thing| thing.id.as_str()).collect();
    let ids = of.iter().filter(|thing| thing.kind == kind).map(|thing| thing.id.as_str());
    ids.filter(|id| both.contains(id)).collect()
}

fn told(thing: &Described, how: How) -> Changed {
    Changed { kind: thing.kind, id: thing.id.clone(), title: thing.title.clone(), how }
}

fn says(was: &Described, now: &Described, changes: &mut Vec<Changed>) {
    let mut say = |key, item, was: Option<&str>, is: Option<&str>| {
        if was != is {
            let how = How::Says { key, item, was: was.map(str::to_owned), now: is.map(str::to_owned) };
            changes.push(told(now, how));
        }
    };
    say("title", None, Some(&was.title), Some(&now.title));
    let find = |facts: &[Fact], wanted: &Fact| -> Option<usize> {
        facts.iter().position(|fact| (fact.key, &fact.item) == (wanted.key, &wanted.item))
    };
    for fact in &now.facts {
        let before = find(&was.facts, fact).map(|n| was.facts[n].says.as_str());
        say(fact.key, fact.item.clone(), before, Some(&fact.says));
    }
    for fact in was.facts.iter().filter(|fact| find(&now.facts, fact).is_none()) {
        say(fact.key, fact.item.clone(), Some(&fact.says), None);
    }
}

/// "check `front-disc-thickness` (Thickness): `limit` was at least 20 mm, is now at least 20.5 mm".
impl fmt::Display for Changed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { kind, id, title, how } = self;
        match &id[..] {
            "" => write!(f, "the sheet")?,
            id => write!(f, "{kind} `{id}` ({title})")?,
        }
        match how {
            How::New => f.write_str(" is new"),
            How::LeftOut => f.write_str(" is left out"),
            How::Order { of } => write!(f, ": every {of} is there, in another order"),
            How::Says { key, item, was, now } => {
                let item = item.as_ref().map(|item| format!(" `{item}`")).unwrap_or_default();
                write!(f, ": `{key}`{item} ")?;
                match (was, now) {
                    (Some(was), Some(now)) => write!(f, "was \"{was}\", is now \"{now}\""),
                    (None, Some(now)) => write!(f, "now says \"{now}\""),
                    (Some(was), None) => write!(f, "no longer says \"{was}\""),
                    (None, None) => Ok(()),
                }
            }
        }
    }
}
