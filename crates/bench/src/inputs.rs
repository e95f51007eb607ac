//! The inputs of one evaluation, in SI.

/// Values by the keys of a formula's inputs; numbers in coherent SI (m, kg, s, K, A, rad).
///
/// ```
/// let inputs = bench::Inputs::new().number("span", 0.172).number("frequency", 150.0);
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Inputs {
    pub(crate) entries: Vec<(String, Entry)>,
}

/// One input's value.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    Number(f64),
    Numbers(Vec<f64>),
    Text(String),
    Texts(Vec<String>),
}

impl Inputs {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn number(self, key: &str, si: f64) -> Self {
        self.with(key, Entry::Number(si))
    }

    pub fn numbers(self, key: &str, si: impl Into<Vec<f64>>) -> Self {
        self.with(key, Entry::Numbers(si.into()))
    }

    pub fn text(self, key: &str, text: impl Into<String>) -> Self {
        self.with(key, Entry::Text(text.into()))
    }

    pub fn texts(self, key: &str, texts: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.with(key, Entry::Texts(texts.into_iter().map(Into::into).collect()))
    }

    /// A later value of the same key replaces the earlier one.
    pub fn with(mut self, key: &str, entry: Entry) -> Self {
        self.entries.retain(|(had, _)| had != key);
        self.entries.push((key.to_owned(), entry));
        self
    }

    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|(had, _)| had == key).map(|(_, entry)| entry)
    }

    pub(crate) fn get_mut(&mut self, key: &str) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|(had, _)| had == key).map(|(_, entry)| entry)
    }
}
