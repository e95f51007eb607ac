//! All things of one kind, from all files, by id.

use super::{Name, Reader, Shape, Table, TableFault, Value, nearest, value::is_id, value::shortened};
use crate::diagnostic::{Fault, Span};
use indexmap::IndexMap;
use std::{borrow::Borrow, hash::Hash};

/// What can be looked up by text.
pub trait Id: for<'t> From<&'t str> + Borrow<str> + Hash + Eq + Clone {}

impl<T: for<'t> From<&'t str> + Borrow<str> + Hash + Eq + Clone> Id for T {}

/// All things of one kind by id: where each is written, so that it can be read, and that it exists, so that others may
/// name it.
pub struct Section<'a, F, I> {
    kind: &'static str,
    entries: IndexMap<I, Entry<'a, F>>,
    /// Things under an id that another has already.
    again: Vec<Value<'a, F>>,
}

struct Entry<'a, F> {
    at: Span,
    value: Value<'a, F>,
}

impl<F: Fault + From<TableFault>> Reader<F> {
    /// Gathers the tables `[key.id]` of all files, in their order; an id that is used twice is recorded. `kind` is what
    /// sentences call such a thing.
    pub fn section<'a, I: Id>(
        &'a self,
        key: &'static str,
        kind: &'static str,
        roots: &[Table<'a, F>],
    ) -> Section<'a, F, I> {
        let mut entries = IndexMap::<I, Entry<'a, F>>::new();
        let mut again = Vec::new();
        for (id, at, value) in roots
            .iter()
            .filter_map(|root| root.may(key, |value| value.open(Shape::ById)))
            .flat_map(|t| t.entries())
        {
            let value = Value { name: Name::entry(kind, id), ..value };
            match entries.get(id) {
                None => {
                    entries.insert(id.into(), Entry { at, value });
                }
                Some(first) => {
                    let what = value.name.to_string();
                    self.fault_between(TableFault::Duplicate { what }, at, first.at.clone());
                    again.push(value);
                }
            }
        }
        Section { kind, entries, again }
    }
}

impl<'a, F: Fault + From<TableFault>, I: Id> Section<'a, F, I> {
    /// Records each id that is not made of small letters, digits, `-`, `_` and `.`, with `capitals` of any letters.
    pub fn check_ids(self, capitals: bool) -> Self {
        for (id, Entry { at, value }) in &self.entries {
            let id: &str = id.borrow();
            if !is_id(id, capitals) {
                value.reader.fault(TableFault::BadId { id: shortened(id), capitals }, at.clone());
            }
        }
        self
    }

    /// Reads every one of them; those that are wrong are recorded and left out. One whose id is taken is read for what
    /// is wrong in it.
    pub fn read<T>(&self, mut read: impl FnMut(Value<'a, F>) -> Option<T>) -> IndexMap<I, T> {
        for value in &self.again {
            read(*value);
        }
        self.entries.iter().filter_map(|(id, entry)| Some((id.clone(), read(entry.value)?))).collect()
    }

    /// The thing that a value names.
    pub fn find(&self, value: Value<'a, F>) -> Option<I> {
        let id = value.str()?;
        match self.entries.get_key_value(id) {
            Some((id, _)) => Some(id.clone()),
            None => {
                value.fault(value.reader.dangling(self.kind, id, &self.entries));
                None
            }
        }
    }

    /// Where an id is written.
    pub fn span(&self, id: &str) -> Option<Span> {
        self.entries.get(id).map(|entry| entry.at.clone())
    }

    /// What is written under an id, as it stands.
    pub fn value(&self, id: &str) -> Option<Value<'a, F>> {
        self.entries.get(id).map(|entry| entry.value)
    }

    /// What is written of each of them, as it stands.
    pub fn values(&self) -> impl Iterator<Item = Value<'a, F>> + '_ {
        self.entries.values().map(|entry| entry.value)
    }

    /// The ids, in the order of the files.
    pub fn ids(&self) -> impl Iterator<Item = &I> {
        self.entries.keys()
    }

    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    pub fn len(&self) -> usize {
        self.entries.len()
    }
}

/// That there is no such thing, with the nearest one that there is.
pub fn dangling<'i, I: Borrow<str> + 'i>(
    kind: &'static str,
    id: &str,
    known: impl IntoIterator<Item = &'i I> + Clone,
) -> TableFault {
    let near = nearest(id, known.clone().into_iter().map(Borrow::borrow));
    unknown(kind, id, near, known)
}

impl<F: Fault + From<TableFault>> Reader<F> {
    /// The same, as long as there is patience for comparing: a text made of nothing but mistakes is not compared word by
    /// word with everything that it holds.
    pub(super) fn dangling<I: Borrow<str>, T>(
        &self,
        kind: &'static str,
        id: &str,
        known: &IndexMap<I, T>,
    ) -> TableFault {
        if self.has_patience(known.len()) {
            dangling(kind, id, known.keys())
        } else {
            unknown(kind, id, None, known.keys())
        }
    }
}

fn unknown<'i, I: Borrow<str> + 'i>(
    kind: &'static str,
    id: &str,
    nearest: Option<&str>,
    known: impl IntoIterator<Item = &'i I>,
) -> TableFault {
    TableFault::Dangling {
        kind,
        id: shortened(id),
        nearest: nearest.map(str::to_owned),
        some: known.into_iter().take(21).map(|id| id.borrow().to_owned()).collect(),
    }
}
