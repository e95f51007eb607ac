//! The inputs of one evaluation as measured.

use crate::answer::Variable;
use crate::inputs::{Entry, Inputs};
use crate::{BenchError, Formula, Problem};
use quantity::Measurement;

/// Measured inputs by the keys of a formula.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Readings {
    entries: Vec<(String, Reading)>,
}

/// One measured input.
#[derive(Debug, Clone, PartialEq)]
pub enum Reading {
    Number(Measurement),
    Numbers(Vec<Measurement>),
    Text(String),
    Texts(Vec<String>),
}

impl Reading {
    /// The value alone, in SI.
    pub(crate) fn si(&self) -> Entry {
        let si = |measured: &Measurement| measured.unit().to_si(measured.value());
        match self {
            Reading::Number(measured) => Entry::Number(si(measured)),
            Reading::Numbers(all) => Entry::Numbers(all.iter().map(si).collect()),
            Reading::Text(text) => Entry::Text(text.clone()),
            Reading::Texts(texts) => Entry::Texts(texts.clone()),
        }
    }
}

impl Readings {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn number(self, key: &str, measured: Measurement) -> Self {
        self.with(key, Reading::Number(measured))
    }

    pub fn numbers(self, key: &str, measured: Vec<Measurement>) -> Self {
        self.with(key, Reading::Numbers(measured))
    }

    pub fn text(self, key: &str, text: impl Into<String>) -> Self {
        self.with(key, Reading::Text(text.into()))
    }

    pub fn texts(self, key: &str, texts: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.with(key, Reading::Texts(texts.into_iter().map(Into::into).collect()))
    }

    /// A later value of the same key replaces the earlier one.
    pub fn with(mut self, key: &str, reading: Reading) -> Self {
        self.entries.retain(|(had, _)| had != key);
        self.entries.push((key.to_owned(), reading));
        self
    }

    pub fn get(&self, key: &str) -> Option<&Reading> {
        self.entries.iter().find(|(had, _)| had == key).map(|(_, reading)| reading)
    }

    /// The measurement that a variable of an answer stands for.
    pub(crate) fn measured(&self, variable: &Variable) -> Option<&Measurement> {
        match (self.get(variable.key)?, variable.index) {
            (Reading::Number(measured), None) => Some(measured),
            (Reading::Numbers(all), Some(index)) => all.get(index),
            _ => None,
        }
    }
}

impl Formula {
    /// The measured values alone, in SI; refuses units of another kind.
    pub(crate) fn si(&self, readings: &Readings) -> Result<Inputs, BenchError> {
        let mut problems = vec![];
        let mut inputs = Inputs::new();
        for (key, reading) in &readings.entries {
            let measured: &[Measurement] = match reading {
                Reading::Number(one) => std::slice::from_ref(one),
                Reading::Numbers(all) => all,
                Reading::Text(_) | Reading::Texts(_) => &[],
            };
            if let Some((input, scale)) = self.input(key).and_then(|input| Some((input, input.scale()?))) {
                problems.extend(measured.iter().find(|m| m.unit().kind() != scale.kind()).map(|m| {
                    Problem::Kind {
                        input: input.title,
                        found: m.to_string(),
                        wanted: scale.kind(),
                        example: input.example(),
                    }
                }));
            }
            inputs = inputs.with(key, reading.si());
        }
        if problems.is_empty() {
            return Ok(inputs);
        }
        if let Err(more) = self.check(&inputs) {
            // A number in a unit of the wrong kind has been named; its range means nothing.
            problems
                .extend(more.problems().iter().filter(|p| !matches!(p, Problem::OutOfRange { .. })).cloned());
        }
        BenchError::unless_empty(problems).map(|()| inputs)
    }
}
