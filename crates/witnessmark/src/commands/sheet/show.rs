//! `witnessmark sheet show DIR [ID]`: a data sheet in plain words, each value with where it comes from.

use crate::{arguments::SheetShow, commands::print_json, error::Failed, output::say};
use ::sheet::{Described, Fact, Origin, Origins, described, table::nearest};
use serde_json::{Value, json};

pub fn run(of: &SheetShow) -> Result<(), Failed> {
    let files = ::sheet::files_in(&of.dir).map_err(Failed::Sheet)?;
    let sheet = ::sheet::read(&files).map_err(Failed::Sheet)?;
    let origins = ::sheet::origins(&files);
    let all = described(&sheet);
    let shown = match &of.id {
        None => all.iter().collect(),
        Some(id) => wanted(&all, id)?,
    };
    if of.output.json {
        print_json(&shown.iter().map(|thing| document(thing, &origins)).collect());
    } else if of.id.is_some() {
        for (n, thing) in shown.into_iter().enumerate() {
            if n > 0 {
                say!("");
            }
            print(thing, &origins);
        }
    } else {
        list(&shown);
    }
    Ok(())
}

/// The things of this id, of whatever kind; `check.front-disc-thickness` says the kind too.
fn wanted<'a>(all: &'a [Described], id: &str) -> Result<Vec<&'a Described>, Failed> {
    let full = |thing: &Described| format!("{}.{}", thing.kind, thing.id);
    let sheet = |thing: &Described| thing.kind == "sheet" && id == "sheet";
    let found: Vec<_> =
        all.iter().filter(|thing| thing.id == id || full(thing) == id || sheet(thing)).collect();
    if found.is_empty() {
        let nearest = nearest(id, all.iter().map(|thing| thing.id.as_str())).map(str::to_owned);
        return Err(Failed::NotOnSheet { id: id.to_owned(), nearest });
    }
    Ok(found)
}

fn list(things: &[&Described]) {
    let mut kind = "";
    for thing in things {
        if thing.kind != kind {
            kind = thing.kind;
            let count = things.iter().filter(|thing| thing.kind == kind).count();
            say!("{kind}{}", if kind == "sheet" { String::new() } else { format!(" ({count})") });
        }
        say!(
            "  {}{}",
            if thing.id.is_empty() { String::new() } else { format!("{}  ", thing.id) },
            thing.title
        );
    }
}

fn print(thing: &Described, origins: &Origins) {
    say!("{}: {}", [thing.kind, &thing.id].join(" ").trim_end(), thing.title);
    let mut told = "";
    for fact in &thing.facts {
        let item = fact.item.as_ref().map(|item| format!(" {item}")).unwrap_or_default();
        say!("  {}{item}: {}", fact.key, fact.says);
        // Of several under one key, where they come from is said once.
        if fact.key != told
            && let Some(origin) = origin(thing, fact, origins)
            && origin.layer > 0
        {
            say!("    {}", said_by(origin, origins));
        }
        told = fact.key;
    }
}

fn origin<'a>(thing: &Described, fact: &Fact, origins: &'a Origins) -> Option<&'a Origin> {
    origins.of(thing.kind, &thing.id, fact.key)
}

fn said_by(origin: &Origin, origins: &Origins) -> String {
    let layer = |layer: usize| origins.layers.get(layer).map_or("", String::as_str);
    let place = format!("{}, {}:{}", layer(origin.layer), origin.at.file(), origin.at.line());
    match &origin.instead_of {
        Some(below) => format!("said by {place}; {} says {}", layer(below.layer), below.written),
        None => format!("said by {place}"),
    }
}

fn document(thing: &Described, origins: &Origins) -> Value {
    let facts = thing.facts.iter().map(|fact| {
        let origin = origin(thing, fact, origins);
        json!({
            "key": fact.key,
            "item": fact.item,
            "says": fact.says,
            "file": origin.map(|origin| origin.at.file()),
            "line": origin.map(|origin| origin.at.line()),
            "layer": origin.and_then(|origin| origins.layers.get(origin.layer)),
            "instead_of": origin.and_then(|origin| origin.instead_of.as_ref()).map(|below| json!({
                "layer": origins.layers.get(below.layer),
                "file": below.at.file(),
                "line": below.at.line(),
                "written": below.written,
            })),
        })
    });
    json!({ "kind": thing.kind, "id": thing.id, "title": thing.title, "facts": facts.collect::<Vec<_>>() })
}
