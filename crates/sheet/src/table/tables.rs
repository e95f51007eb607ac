//! A table that hands out its keys.

use super::{Document, Name, Reader, TableFault, Value, nearest, value::shortened};
use crate::diagnostic::{Fault, Span};
use std::{cell::RefCell, ops::Range};
use toml::de::DeTable;

/// A table being read. Ask for every key it may have, whatever the others say: what was never asked for is unknown.
pub struct Table<'a, F> {
    entries: &'a DeTable<'a>,
    bytes: Range<usize>,
    name: Name<'a>,
    document: &'a Document<'a>,
    reader: &'a Reader<F>,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a, F: Fault + From<TableFault>> Table<'a, F> {
    pub(super) fn new(
        entries: &'a DeTable<'a>,
        bytes: Range<usize>,
        name: Name<'a>,
        document: &'a Document<'a>,
        reader: &'a Reader<F>,
    ) -> Self {
        Self { entries, bytes, name, document, reader, asked: RefCell::default() }
    }

    /// What must be there.
    pub fn need<T>(&self, key: &'static str, read: impl FnOnce(Value<'a, F>) -> Option<T>) -> Option<T> {
        match self.get(key) {
            Some(value) => read(value),
            None => {
                self.fault(TableFault::MissingKey { key, of: self.name.to_string() });
                None
            }
        }
    }

    /// What may be there.
    pub fn may<T>(&self, key: &'static str, read: impl FnOnce(Value<'a, F>) -> Option<T>) -> Option<T> {
        self.get(key).and_then(read)
    }

    /// A list that may be left out when it is empty.
    pub fn list<T>(&self, key: &'static str, each: impl FnMut(Value<'a, F>) -> Option<T>) -> Vec<T> {
        self.may(key, |value| value.list(each)).unwrap_or_default()
    }

    /// The value of a key as it stands, whatever it is.
    pub fn get(&self, key: &'static str) -> Option<Value<'a, F>> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        self.entries.get(key).map(|value| self.value(key, value))
    }

    /// Where a key stands, if it does.
    pub fn key_span(&self, key: &str) -> Option<Span> {
        self.entries.get_key_value(key).map(|(key, _)| self.span_of(key.span()))
    }

    /// Keys that are chosen by the writer, each with its place and its value. None of them is unknown then.
    pub fn entries(&self) -> impl Iterator<Item = (&'a str, Span, Value<'a, F>)> + use<'a, F> {
        let Self { entries, name, document, reader, .. } = *self;
        self.asked.borrow_mut().extend([ANY]);
        entries.iter().map(move |(key, value)| {
            let at = document.span(key.span());
            let key: &'a str = key.get_ref();
            (key, at, Value { value, name: name.key(key), document, reader })
        })
    }

    /// Where the table stands: its header, or its braces.
    pub fn span(&self) -> Span {
        self.span_of(self.bytes.clone())
    }

    /// What a sentence calls it.
    pub fn name(&self) -> Name<'a> {
        self.name
    }

    /// Records that something is wrong with the table.
    pub fn fault(&self, fault: impl Into<F>) {
        self.reader.fault(fault, self.span());
    }

    /// The reader, to record problems elsewhere.
    pub fn reader(&self) -> &'a Reader<F> {
        self.reader
    }

    /// Records the keys that nobody asked for.
    pub fn end(self) {
        let known = self.asked.borrow();
        if known.contains(&ANY) {
            return;
        }
        for (key, value) in self.entries {
            if known.contains(&&**key.get_ref()) {
                continue;
            }
            let near = nearest(key.get_ref(), known.iter().copied());
            let (key, at) = (shortened(key.get_ref()), self.span_of(key.span()));
            if !self.document.is_broken(value) {
                let fault = TableFault::UnknownKey {
                    key,
                    of: self.name.to_string(),
                    nearest: near,
                    known: known.clone(),
                };
                self.reader.fault(fault, at);
            }
        }
    }

    fn value(&self, key: &'a str, value: &'a toml::Spanned<toml::de::DeValue<'a>>) -> Value<'a, F> {
        Value { value, name: self.name.key(key), document: self.document, reader: self.reader }
    }

    fn span_of(&self, bytes: Range<usize>) -> Span {
        self.document.span(bytes)
    }
}

/// Stands for every key; no key of ours is empty.
const ANY: &str = "";
