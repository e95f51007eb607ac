//! A layer: the files of a folder that lie over another sheet, and say only what is different.
//!
//! A table of the layer whose id the sheet below has too is laid into that one, key by key: a key that the layer writes
//! takes the place of the one below, whole; everything else stays, in its order. `drops` leaves things or keys out.

use super::{Reader, Table, Value};
use crate::{
    SheetFault,
    diagnostic::{SourceFile, Span},
    table::{Document, TableFault, nearest, shortened},
};
use std::{
    collections::{HashMap, HashSet},
    ops::Range,
};
use toml::{
    Spanned,
    de::{DeArray, DeTable, DeValue},
};

/// More layers than this nobody needs; a ring has been told by then.
const MOST: usize = 16;

/// The files, those of the lowest layer first, each with its layer: 0 is the sheet below all others.
pub(crate) fn in_layers<'f>(files: &[&'f SourceFile]) -> Vec<(usize, &'f SourceFile)> {
    let chain = chain(files);
    let layer = |file: &SourceFile| {
        let folder = folder_of(&file.name);
        let above = chain.iter().position(|known| known == folder);
        above.map_or(chain.len(), |above| chain.len() - 1 - above)
    };
    let mut layered: Vec<(usize, &SourceFile)> = files.iter().map(|file| (layer(file), *file)).collect();
    if chain.is_empty() {
        layered.iter_mut().for_each(|(layer, _)| *layer = 0);
    }
    layered.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.name.cmp(&b.1.name)));
    layered
}

/// The folders from the topmost layer down; empty where nothing lies over anything.
fn chain(files: &[&SourceFile]) -> Vec<String> {
    let over: Vec<(String, String)> =
        files.iter().filter_map(|file| Some((folder_of(&file.name).to_owned(), over_of(file)?))).collect();
    let below = |folder: &str| over.iter().find(|(of, _)| of == folder).map(|(_, below)| below.clone());
    let top = over.iter().map(|(of, _)| of).find(|of| !over.iter().any(|(_, below)| below == *of));
    let Some(top) = top.or(over.first().map(|(of, _)| of)) else { return vec![] };
    let mut chain = vec![top.clone()];
    while let Some(next) = chain.last().and_then(|folder| below(folder)) {
        if chain.contains(&next) || chain.len() > MOST {
            break;
        }
        chain.push(next);
    }
    chain
}

/// The folder that the files of this one's folder lie over, as names of files have it.
pub(crate) fn over_of(file: &SourceFile) -> Option<String> {
    if !file.text.contains("layer") {
        return None;
    }
    let (tree, _) = DeTable::parse_recoverable(&file.text);
    let over = tree.get_ref().get("layer")?.get_ref().as_table()?.get("over")?.get_ref().as_str()?;
    joined(folder_of(&file.name), over)
}

fn folder_of(name: &str) -> &str {
    name.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// A path seen from a folder; `None` for one that is not to be followed from there.
fn joined(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') || path.contains(['\\', ':']) {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => _ = parts.pop(),
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

/// A key that a layer put in the place of one below.
pub(crate) struct Replaced {
    pub by: Span,
    pub was: Span,
    /// The value that was there.
    pub value: Span,
}

/// Lays each layer over those below it. Documents stand lowest first, `layers` says of each where it belongs.
pub(crate) fn lay<'t>(documents: &mut [Document<'t>], layers: &[usize], reader: &'t Reader) -> Vec<Replaced> {
    let mut replaced = Vec::new();
    let mut laid = Laid::new();
    for (upper, layer) in layers.iter().enumerate() {
        let first = layers.partition_point(|other| other < layer);
        let (below, rest) = documents.split_at_mut(first);
        if let Some(upper) = rest.get_mut(upper - first)
            && !below.is_empty()
        {
            drop_from(below, upper, reader);
            laid.retain(|_, (other, _)| other == layer);
            lay_one(below, upper, *layer, &mut laid, &mut replaced, reader);
        }
    }
    replaced
}

/// By which layer a thing was laid over another last, and where.
type Laid = HashMap<Thing, (usize, Span)>;

fn lay_one<'t>(
    below: &mut [Document<'t>],
    upper: &mut Document<'t>,
    layer: usize,
    laid: &mut Laid,
    replaced: &mut Vec<Replaced>,
    reader: &Reader,
) {
    for (thing, header) in things(upper.tree()) {
        let (kind, id) = &thing;
        // The topmost of those below that has it.
        let Some(lower) = below.iter_mut().rev().find(|lower| entry(lower.tree(), &thing).is_some()) else {
            continue;
        };
        let header = upper.span(header);
        if let Some((_, first)) = laid.get(&thing) {
            let what = format!(
                "`[{}]`",
                [kind.as_str()].into_iter().chain(id.as_deref()).collect::<Vec<_>>().join(".")
            );
            reader.fault_between(TableFault::Duplicate { what }, header, first.clone());
        } else {
            laid.insert(thing.clone(), (layer, header));
        }
        let shift = lower.shift_from(upper);
        let Some(entries) = take(upper.tree_mut(), kind, id.as_deref()) else { continue };
        let mut pairs = Vec::new();
        if let Some(entry) = entry_mut(lower.tree_mut(), kind, id.as_deref()) {
            let mut over: Vec<_> = entries.into_iter().map(|pair| shifted_pair(pair, shift)).collect();
            let own = std::mem::take(entry);
            let kept = own.into_iter().map(|(key, value)| {
                match over.iter().position(|(other, _)| other.get_ref() == key.get_ref()) {
                    None => (key, value),
                    Some(at) => {
                        let (other, new) = over.remove(at);
                        pairs.push((other.span(), key.span(), value.span()));
                        (other, new)
                    }
                }
            });
            let mut merged: DeTable<'_> = kept.collect();
            merged.extend(over);
            *entry = merged;
        }
        replaced.extend(pairs.into_iter().map(|(by, was, value)| Replaced {
            by: lower.span(by),
            was: lower.span(was),
            value: lower.span(value),
        }));
    }
}

/// A thing by kind and id; the sheet itself has no id.
pub(crate) type Thing = (String, Option<String>);

/// What a file says, and where the name of each stands.
pub(crate) fn things(tree: &DeTable<'_>) -> Vec<(Thing, Range<usize>)> {
    let mut things = Vec::new();
    for (key, value) in tree {
        let kind: &str = key.get_ref();
        match (kind, value.get_ref().as_table()) {
            ("layer", _) | (_, None) => {}
            ("sheet", Some(_)) => things.push(((kind.to_owned(), None), key.span())),
            (_, Some(entries)) => {
                let tables = entries.iter().filter(|(_, value)| value.get_ref().is_table());
                let thing = |id: &str| (kind.to_owned(), Some(id.to_owned()));
                things.extend(tables.map(|(id, _)| (thing(id.get_ref()), id.span())));
            }
        }
    }
    things
}

/// The keys of a thing.
pub(crate) fn entry<'d, 't>(tree: &'d DeTable<'t>, (kind, id): &Thing) -> Option<&'d DeTable<'t>> {
    let table = tree.get(kind.as_str())?.get_ref().as_table()?;
    match id {
        None => Some(table),
        Some(id) => table.get(id.as_str())?.get_ref().as_table(),
    }
}

fn entry_mut<'d, 't>(tree: &'d mut DeTable<'t>, kind: &str, id: Option<&str>) -> Option<&'d mut DeTable<'t>> {
    let table = table_mut(tree.get_mut(kind)?)?;
    match id {
        None => Some(table),
        Some(id) => table_mut(table.get_mut(id)?),
    }
}

fn table_mut<'d, 't>(value: &'d mut Spanned<DeValue<'t>>) -> Option<&'d mut DeTable<'t>> {
    match value.get_mut() {
        DeValue::Table(table) => Some(table),
        _ => None,
    }
}

/// Takes a thing out of a file.
fn take<'t>(tree: &mut DeTable<'t>, kind: &str, id: Option<&str>) -> Option<DeTable<'t>> {
    let value = match id {
        None => tree.remove(kind)?,
        Some(id) => table_mut(tree.get_mut(kind)?)?.remove(id)?,
    };
    match value.into_inner() {
        DeValue::Table(table) => Some(table),
        _ => None,
    }
}

type Pair<'t> = (Spanned<std::borrow::Cow<'t, str>>, Spanned<DeValue<'t>>);

fn shifted_pair((key, value): Pair<'_>, shift: usize) -> Pair<'_> {
    let span = key.span();
    (Spanned::new(span.start + shift..span.end + shift, key.into_inner()), shifted(value, shift))
}

/// The same value, its places counted from another file.
fn shifted(value: Spanned<DeValue<'_>>, shift: usize) -> Spanned<DeValue<'_>> {
    let span = value.span();
    let inner = match value.into_inner() {
        DeValue::Table(table) => {
            DeValue::Table(table.into_iter().map(|pair| shifted_pair(pair, shift)).collect())
        }
        DeValue::Array(values) => {
            let mut array = DeArray::new();
            values.into_iter().for_each(|value| array.push(shifted(value, shift)));
            DeValue::Array(array)
        }
        plain => plain,
    };
    Spanned::new(span.start + shift..span.end + shift, inner)
}

/// Leaves out what the layer says is to be left out.
fn drop_from(below: &mut [Document<'_>], upper: &Document<'_>, reader: &Reader) {
    let dropped = upper.tree().get("layer").and_then(|value| value.get_ref().as_table()?.get("drops"));
    for what in dropped.and_then(|value| value.get_ref().as_array()).into_iter().flat_map(|list| list.iter())
    {
        let Some(path) = what.get_ref().as_str() else { continue }; // told when `[layer]` is read
        let found = below.iter_mut().any(|lower| remove(lower.tree_mut(), path));
        if !found {
            let known = below.iter().flat_map(|lower| things(lower.tree()));
            let known: Vec<String> =
                known.filter_map(|((kind, id), _)| Some(format!("{kind}.{}", id?))).collect();
            let nearest = nearest(path, known.iter().map(String::as_str)).map(str::to_owned);
            let fault = SheetFault::NothingToDrop { what: shortened(path), nearest };
            reader.fault(fault, upper.span(what.span()));
        }
    }
}

/// Takes out `check.front-disc-thickness`, or one key of it. An id may have points of its own.
fn remove(tree: &mut DeTable<'_>, path: &str) -> bool {
    let Some((kind, rest)) = path.split_once('.') else { return false };
    let Some(table) = tree.get_mut(kind).and_then(table_mut) else { return false };
    if table.remove(rest).is_some() {
        return true;
    }
    let entry = rest.rsplit_once('.').and_then(|(id, key)| Some((table_mut(table.get_mut(id)?)?, key)));
    entry.is_some_and(|(entry, key)| entry.remove(key).is_some())
}

/// What a layer says of itself. Whether what it lies over is there; where it is not, what is missing is no wonder.
pub(super) fn report(reader: &Reader, roots: &[Table<'_>], files: &[(usize, &SourceFile)]) -> bool {
    let mut first: Vec<(String, Span)> = Vec::new();
    let folders: HashSet<&str> = files.iter().map(|(_, file)| folder_of(&file.name)).collect();
    let mut is_there = true;
    for (root, (_, file)) in roots.iter().zip(files) {
        let Some(value) = root.get("layer") else { continue };
        let folder = folder_of(&file.name);
        match first.iter().find(|(known, _)| known == folder) {
            Some((_, there)) => {
                value.fault_between(TableFault::Duplicate { what: "`[layer]`".into() }, there.clone())
            }
            None => first.push((folder.to_owned(), value.span())),
        }
        value.named("the layer").table(|t| {
            t.need("title", Value::text);
            is_there &= t.need("over", |v| over(v, folder, &folders, files)).is_some();
            t.list("drops", Value::text);
            Some(())
        });
    }
    let files: Vec<&SourceFile> = files.iter().map(|(_, file)| *file).collect();
    let chain = chain(&files);
    for (root, file) in roots.iter().zip(&files) {
        if is_there && !chain.is_empty() && !chain.iter().any(|known| known == folder_of(&file.name)) {
            reader.fault(SheetFault::StrayFile, root.span());
        }
    }
    is_there
}

fn over(
    value: Value<'_>,
    folder: &str,
    folders: &HashSet<&str>,
    files: &[(usize, &SourceFile)],
) -> Option<()> {
    let path = value.str()?;
    let Some(below) = joined(folder, path) else {
        value.fault(SheetFault::OverFromRoot { over: path.to_owned() });
        return None;
    };
    if !folders.contains(below.as_str()) {
        value.fault(SheetFault::NothingBelow { over: path.to_owned() });
        return None;
    }
    // Going down from here never comes back here.
    let over_of = |of: &str| {
        let mut own = files.iter().filter(|(_, file)| folder_of(&file.name) == of);
        own.find_map(|(_, file)| over_of(file))
    };
    let mut at = Some(below);
    for _ in 0..MOST {
        match at {
            Some(here) if here == folder => {
                value.fault(SheetFault::LayersInARing { over: path.to_owned() });
                return None;
            }
            Some(here) => at = over_of(&here),
            None => break,
        }
    }
    Some(())
}
