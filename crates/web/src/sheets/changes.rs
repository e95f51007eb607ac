//! What is different between two revisions, thing by thing.

use super::{kinds, told::with_source};
use maud::{Markup, html};
use sheet::{Changed, How, Sheet, changes};

/// What is different in `after`, in plain words; `None` where nothing is but comments, spaces and the cut into files.
pub fn view(before: &Sheet, after: &Sheet) -> Option<Markup> {
    let changes = changes(before, after);
    if changes.is_empty() {
        return None;
    }
    let mut things: Vec<(&Changed, Vec<&Changed>)> = Vec::new();
    for change in &changes {
        match things.last_mut() {
            Some((first, all)) if (first.kind, &first.id) == (change.kind, &change.id) => all.push(change),
            _ => things.push((change, vec![change])),
        }
    }
    Some(html! {
        ul.changes {
            @for (thing, changes) in things {
                li {
                    b { @if thing.id.is_empty() { "The sheet itself" } @else { (title(after, before, thing)) } }
                    @if !thing.id.is_empty() { " " span.kind { (kinds::of(thing.kind).map_or(thing.kind, |kind| kind.one)) " " code { (thing.id) } } }
                    @for change in changes { (how(change)) }
                }
            }
        }
    })
}

/// A check is called after its component, too.
fn title(after: &Sheet, before: &Sheet, thing: &Changed) -> String {
    let component = |sheet: &Sheet| {
        let check = sheet.checks.get(thing.id.as_str())?;
        Some(sheet.components.get(&check.component)?.title.clone())
    };
    let component = (thing.kind == "check").then(|| component(after).or_else(|| component(before))).flatten();
    component.map_or(thing.title.clone(), |component| format!("{component}: {}", thing.title))
}

fn how(change: &Changed) -> Markup {
    html! {
        @match &change.how {
            How::New => p { "is new" },
            How::LeftOut => p { "is left out" },
            How::Order { of } => p { "The " (kinds::of(of).map_or((*of).to_owned(), |kind| kind.many.to_lowercase())) " come in another order" },
            How::Says { key, item, was, now } => {
                dl.was-now {
                    dt { (kinds::label(change.kind, key)) @if let Some(item) = item { " " code { (item) } } }
                    @if let Some(was) = was { dd.was { span.hidden { "was " } (said(was, now.as_deref())) } }
                    @if let Some(now) = now { dd.now { span.hidden { "is now " } (said(now, was.as_deref())) } } @else { dd.now { "nothing is said any more" } }
                }
            }
        }
    }
}

/// What is said; its source only where that is another.
fn said(says: &str, other: Option<&str>) -> Markup {
    let (words, source) = with_source(says);
    let same = other.is_some_and(|other| with_source(other).1 == source);
    html! {
        (words)
        @if let Some(source) = source.filter(|_| !same) { small { "Source: " (source) } }
    }
}
