//! TOML as text: one header a thing, short tables in one line, lists of tables one a line.

use quantity::{Quantity, Unit};
use std::fmt::{Display, Write};

/// A file as it grows.
#[derive(Default)]
pub(super) struct Text(String);

impl Text {
    pub fn table(&mut self, kind: &str, id: Option<&str>, entries: Entries) {
        let id = id.map(|id| format!(".{}", key(id))).unwrap_or_default();
        let gap = if self.0.is_empty() { "" } else { "\n" };
        _ = writeln!(self.0, "{gap}[{kind}{id}]");
        for (key, value) in &entries.0 {
            _ = writeln!(self.0, "{key} = {value}");
        }
    }

    pub fn finish(self) -> String {
        self.0
    }
}

/// Keys with their values, each value as it stands in the file. What is empty is left out.
#[derive(Default)]
pub(super) struct Entries(Vec<(String, String)>);

impl Entries {
    pub fn new() -> Self {
        Self::default()
    }

    fn put(mut self, name: &str, value: String) -> Self {
        self.0.push((key(name), value));
        self
    }

    pub fn text(self, key: &str, text: &str) -> Self {
        self.put(key, quoted(text))
    }

    pub fn may_text(self, key: &str, text: &Option<impl Display>) -> Self {
        match text {
            Some(text) => self.text(key, &text.to_string()),
            None => self,
        }
    }

    pub fn texts(self, key: &str, texts: &[impl Display]) -> Self {
        if texts.is_empty() {
            return self;
        }
        let texts: Vec<_> = texts.iter().map(|text| quoted(&text.to_string())).collect();
        self.put(key, format!("[{}]", texts.join(", ")))
    }

    pub fn number(self, key: &str, number: f64) -> Self {
        self.put(key, format!("{number:?}"))
    }

    pub fn may_number(self, key: &str, number: Option<f64>) -> Self {
        match number {
            Some(number) => self.number(key, number),
            None => self,
        }
    }

    pub fn count(self, key: &str, count: u32) -> Self {
        self.put(key, count.to_string())
    }

    pub fn may_count(self, key: &str, count: Option<u32>) -> Self {
        match count {
            Some(count) => self.count(key, count),
            None => self,
        }
    }

    pub fn flag(self, key: &str, flag: bool) -> Self {
        if flag { self.put(key, "true".into()) } else { self }
    }

    /// A point of a scale.
    pub fn measure(self, key: &str, value: f64, unit: Unit) -> Self {
        self.put(key, quoted(&measure(value, unit)))
    }

    pub fn may_measure(self, key: &str, value: Option<f64>, unit: Unit) -> Self {
        match value {
            Some(value) => self.measure(key, value, unit),
            None => self,
        }
    }

    pub fn table(self, key: &str, entries: Entries) -> Self {
        self.put(key, entries.in_a_line())
    }

    pub fn may<T>(self, key: &str, thing: &Option<T>, entries: impl FnOnce(&T) -> Entries) -> Self {
        match thing {
            Some(thing) => self.table(key, entries(thing)),
            None => self,
        }
    }

    pub fn list<T>(self, key: &str, things: &[T], entries: impl Fn(&T) -> Entries) -> Self {
        if things.is_empty() {
            return self;
        }
        let lines: Vec<_> =
            things.iter().map(|thing| format!("  {},\n", entries(thing).in_a_line())).collect();
        self.put(key, format!("[\n{}]", lines.concat()))
    }

    fn in_a_line(&self) -> String {
        let entries: Vec<_> = self.0.iter().map(|(key, value)| format!("{key} = {value}")).collect();
        format!("{{ {} }}", entries.join(", "))
    }
}

/// A number with its unit, with as many digits as it takes to read the same number.
fn measure(value: f64, unit: Unit) -> String {
    // A power of ten keeps "1.234 km" from looking like a thousand and some.
    let powers = || format!("{value:e} {}", unit.code());
    Quantity::new(value, unit).map_or_else(|_| powers(), |quantity| quantity.ucum())
}

/// A key, in quotes where it needs them.
fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

/// Text in quotes, on one line whatever it holds.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => _ = write!(out, "\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
