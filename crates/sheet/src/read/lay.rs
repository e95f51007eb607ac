//! Laying the tables of a layer into those of the sheet below.
//!
//! A table of the layer whose id the sheet below has too is laid into that one, key by key: a key that the layer writes
//! takes the place of the one below, whole; everything else stays, in its order. `drops` leaves things or keys out.

use super::Reader;
use crate::{
    SheetFault,
    diagnostic::Span,
    table::{Document, TableFault, nearest, shortened},
};
use std::{borrow::Cow, collections::HashMap, ops::Range};
use toml::{
    Spanned,
    de::{DeArray, DeTable, DeValue},
};

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

type Pair<'t> = (Spanned<Cow<'t, str>>, Spanned<DeValue<'t>>);

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
