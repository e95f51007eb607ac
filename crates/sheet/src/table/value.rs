//! One value with its place, and the types it can be asked to have.

use super::{Document, Id, Reader, Shape, Table, TableFault, nearest};
use crate::diagnostic::{Fault, Span};
use indexmap::IndexMap;
use std::fmt;
use toml::{Spanned, de::DeValue, value::Datetime};

/// One value with its place. Each method gives it a type, or records what is wrong and gives `None`.
pub struct Value<'a, F> {
    pub(super) value: &'a Spanned<DeValue<'a>>,
    pub(super) name: Name<'a>,
    pub(super) document: &'a Document<'a>,
    pub(super) reader: &'a Reader<F>,
}

impl<'a, F: Fault + From<TableFault>> Value<'a, F> {
    /// Where it stands.
    pub fn span(&self) -> Span {
        self.document.span(self.value.span())
    }

    /// Called by another name in sentences, such as "the visit".
    pub fn named(self, name: &'a str) -> Self {
        Self { name: Name::whole(name), ..self }
    }

    /// What a sentence calls it: "`limit` of check `front-disc-thickness`".
    pub fn name(&self) -> Name<'a> {
        self.name
    }

    /// Records that something is wrong with it.
    pub fn fault(&self, fault: impl Into<F>) {
        self.reader.fault(fault, self.span());
    }

    /// Records that something is wrong between it and another place.
    pub fn fault_between(&self, fault: impl Into<F>, second: Span) {
        self.reader.fault_between(fault, self.span(), second);
    }

    /// What it is, as far as TOML goes.
    pub fn shape(&self) -> Shape {
        match self.value.get_ref() {
            DeValue::String(_) => Shape::Text,
            DeValue::Integer(_) => Shape::WholeNumber,
            DeValue::Float(_) => Shape::Number,
            DeValue::Boolean(_) => Shape::Flag,
            DeValue::Datetime(_) => Shape::Date,
            DeValue::Array(_) => Shape::List,
            DeValue::Table(_) => Shape::Table,
        }
    }

    /// Text that is not blank.
    pub fn text(self) -> Option<String> {
        self.str().map(str::to_owned)
    }

    /// Text that is not blank, borrowed.
    pub fn str(self) -> Option<&'a str> {
        self.str_for(Shape::Text)
    }

    /// Text that is not blank, for something that text can say.
    pub(super) fn str_for(self, wanted: Shape) -> Option<&'a str> {
        match self.sound()? {
            DeValue::String(text) if text.trim().is_empty() => self.refuse(|what| TableFault::Blank { what }),
            DeValue::String(text) => Some(text),
            _ => self.wrong(wanted),
        }
    }

    /// Text that can be an id: small letters, digits, `-`, `_` and `.`.
    pub fn id<I: From<&'a str>>(self) -> Option<I> {
        let id = self.str()?;
        if is_id(id, false) {
            return Some(id.into());
        }
        self.fault(TableFault::BadId { id: shortened(id), capitals: false });
        None
    }

    /// A finite number.
    pub fn number(self) -> Option<f64> {
        let number = match self.sound()? {
            DeValue::Integer(digits) => {
                i64::from_str_radix(digits.as_str(), digits.radix()).ok().map(|n| n as f64)
            }
            DeValue::Float(digits) => digits.as_str().parse::<f64>().ok().filter(|number| number.is_finite()),
            _ => return self.wrong(Shape::Number),
        };
        number.or_else(|| self.out_of_range("a plain number, such as 0.5"))
    }

    /// A finite number that is not below zero.
    pub fn not_negative(self) -> Option<f64> {
        self.number_that(|number| number >= 0.0, "0 or more")
    }

    /// A number for which the condition holds; `wanted` completes "write …".
    pub fn number_that(self, holds: impl Fn(f64) -> bool, wanted: &'static str) -> Option<f64> {
        let number = self.number()?;
        if holds(number) { Some(number) } else { self.out_of_range(wanted) }
    }

    /// A whole number from 1 to 1,000,000: how many there are of something.
    pub fn count(self) -> Option<u32> {
        const WANTED: &str = "a whole number from 1 to 1000000";
        match self.sound()? {
            DeValue::Integer(digits) => u32::from_str_radix(digits.as_str(), digits.radix())
                .ok()
                .filter(|count| (1..=1_000_000).contains(count))
                .or_else(|| self.out_of_range(WANTED)),
            DeValue::Float(_) => self.out_of_range(WANTED),
            _ => self.wrong(Shape::WholeNumber),
        }
    }

    /// `true` or `false`.
    pub fn flag(self) -> Option<bool> {
        match self.sound()? {
            DeValue::Boolean(flag) => Some(*flag),
            _ => self.wrong(Shape::Flag),
        }
    }

    /// A date or a time, as TOML writes it.
    pub fn date(self) -> Option<Datetime> {
        match self.sound()? {
            DeValue::Datetime(date) => Some(*date),
            _ => self.wrong(Shape::Date),
        }
    }

    /// One of the words given, as what it stands for.
    pub fn word<T: Clone>(self, words: &[(&'static str, T)]) -> Option<T> {
        let found = self.str()?;
        if let Some((_, meaning)) = words.iter().find(|(word, _)| *word == found) {
            return Some(meaning.clone());
        }
        let words: Vec<_> = words.iter().map(|(word, _)| *word).collect();
        let nearest = nearest(found, words.iter().copied());
        self.refuse(|what| TableFault::UnknownWord { what, found: shortened(found), nearest, words })
    }

    /// The thing that it names, of those that are known by id; `kind` is what sentences call such a thing.
    pub fn find_in<I: Id, T>(self, kind: &'static str, known: &IndexMap<I, T>) -> Option<I> {
        let id = self.str()?;
        let found = known.get_key_value(id).map(|(id, _)| id.clone());
        if found.is_none() {
            self.fault(self.reader.dangling(kind, id, known));
        }
        found
    }

    /// A list, each element read alike; those that are wrong are recorded and left out.
    pub fn list<T>(self, each: impl FnMut(Value<'a, F>) -> Option<T>) -> Option<Vec<T>> {
        match self.sound()? {
            DeValue::Array(values) => {
                Some(values.iter().map(|value| Value { value, ..self }).filter_map(each).collect())
            }
            _ => self.wrong(Shape::List),
        }
    }

    /// A list of at least so many elements; `wanted` completes "write …".
    pub fn list_of<T>(
        self,
        least: usize,
        wanted: &'static str,
        each: impl FnMut(Value<'a, F>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let count = self.value.get_ref().as_array().map_or(0, |values| values.len());
        let list = self.list(each)?;
        if count < least { self.out_of_range(wanted) } else { Some(list) }
    }

    /// A table, read by `read`; keys that it does not ask for are recorded as unknown. `None` if anything in it is
    /// wrong, however deep: what is handed on is whole.
    pub fn table<T>(self, read: impl FnOnce(&Table<'a, F>) -> Option<T>) -> Option<T> {
        self.reader.whole(|| {
            let table = self.open(Shape::Table)?;
            let read = read(&table);
            table.end();
            read
        })
    }

    /// A table whose end the caller calls, if need be.
    pub(super) fn open(self, wanted: Shape) -> Option<Table<'a, F>> {
        match self.sound()? {
            DeValue::Table(entries) => {
                Some(Table::new(entries, self.value.span(), self.name, self.document, self.reader))
            }
            _ => self.wrong(wanted),
        }
    }

    /// What it says, unless a syntax error lies in it: that has been recorded, and nothing more is to be said of it.
    fn sound(&self) -> Option<&'a DeValue<'a>> {
        if self.document.is_broken(self.value) {
            self.reader.unsound();
            return None;
        }
        Some(self.value.get_ref())
    }

    /// A value inside this one, if this is a table that has it; nothing is recorded, and the key stays to be asked for.
    pub fn peek(&self, key: &str) -> Option<&'a str> {
        self.value.get_ref().as_table()?.get(key)?.get_ref().as_str()
    }

    /// A value inside a table inside this one, in the same way.
    pub fn peek_in(&self, table: &str, key: &str) -> Option<&'a str> {
        let inner = self.value.get_ref().as_table()?.get(table)?.get_ref();
        inner.as_table()?.get(key)?.get_ref().as_str()
    }

    /// The element at a position of a list inside this one, in the same way.
    pub fn element(&self, key: &str, position: usize) -> Option<Self> {
        let value = self.value.get_ref().as_table()?.get(key)?.get_ref().as_array()?.get(position)?;
        Some(Self { value, ..*self })
    }

    /// Whether this is a table that has a key; the key stays to be asked for.
    pub fn has(&self, key: &str) -> bool {
        self.value.get_ref().as_table().is_some_and(|table| table.contains_key(key))
    }

    /// Where a key of this table stands, if this is one that has it.
    pub fn key_span(&self, key: &str) -> Option<Span> {
        let (key, _) = self.value.get_ref().as_table()?.get_key_value(key)?;
        Some(self.document.span(key.span()))
    }

    pub(super) fn refuse<T>(&self, fault: impl FnOnce(String) -> TableFault) -> Option<T> {
        self.fault(fault(self.name.to_string()));
        None
    }

    /// Records that a number is not what it may be; `wanted` completes "write …".
    pub fn out_of_range<T>(&self, wanted: &'static str) -> Option<T> {
        self.refuse(|what| TableFault::OutOfRange { what, found: self.written(), wanted })
    }

    fn wrong<T>(&self, wanted: Shape) -> Option<T> {
        self.refuse(|what| TableFault::WrongType { what, found: self.shape(), wanted })
    }

    /// The number as it is written in the file.
    fn written(&self) -> String {
        match self.value.get_ref() {
            DeValue::Integer(digits) => shortened(&digits.to_string()),
            DeValue::Float(digits) => shortened(digits.as_str()),
            DeValue::String(text) => shortened(text),
            DeValue::Array(values) if values.is_empty() => "an empty list".into(),
            DeValue::Array(values) => format!("a list of {}", values.len()),
            DeValue::Table(entries) if entries.is_empty() => "an empty table".into(),
            _ => self.shape().to_string(),
        }
    }
}

/// Whether text can be an id.
pub(crate) fn is_id(text: &str, capitals: bool) -> bool {
    let fits = |c: char| {
        c.is_ascii_lowercase()
            || c.is_ascii_digit()
            || "-_.".contains(c)
            || capitals && c.is_ascii_uppercase()
    };
    !text.is_empty() && text.chars().all(fits)
}

/// What was written, fit for a sentence.
pub fn shortened(text: &str) -> String {
    match text.char_indices().nth(60) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

impl<F> Clone for Value<'_, F> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<F> Copy for Value<'_, F> {}

impl<F> fmt::Debug for Value<'_, F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} = {:?}", self.name, self.value.get_ref())
    }
}

/// What a sentence calls a table or a value: "check `front-disc-thickness`", "`limit` of check `front-disc-thickness`".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Name<'a> {
    kind: &'a str,
    id: Option<&'a str>,
    key: Option<&'a str>,
}

impl<'a> Name<'a> {
    pub(super) fn whole(kind: &'a str) -> Self {
        Self { kind, id: None, key: None }
    }

    pub(super) fn entry(kind: &'a str, id: &'a str) -> Self {
        Self { kind, id: Some(id), key: None }
    }

    pub(super) fn key(self, key: &'a str) -> Self {
        Self { key: Some(key), ..self }
    }

    /// The id of the thing it belongs to; empty for a thing without one.
    pub fn id(self) -> &'a str {
        self.id.unwrap_or_default()
    }
}

impl fmt::Display for Name<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(key) = self.key {
            write!(f, "`{}` of ", shortened(key))?;
        }
        f.write_str(self.kind)?;
        self.id.map_or(Ok(()), |id| write!(f, " `{}`", shortened(id)))
    }
}
