//! The inputs of a row, with the shared data it names laid underneath.

use crate::{File, Row};
use serde::{Deserialize, de::DeserializeOwned};
use serde_json::{Map, Value};

/// Inputs of one row. A name is looked up in the row first, then in the row that it carries on `from`, then in the data
/// entry that the row names.
pub struct Inputs<'a> {
    own: &'a Map<String, Value>,
    from: Option<&'a Map<String, Value>>,
    shared: Option<&'a Value>,
    asked: &'a Value,
}

/// An input that is missing or not of the kind a formula needs, or a refusal by the room itself.
#[derive(Debug, thiserror::Error)]
pub enum InputError {
    #[error("input `{0}` is missing")]
    Missing(String),
    #[error("input `{name}` cannot be read: {source}")]
    Kind { name: String, source: serde_json::Error },
    #[error("refused: {0}")]
    Refused(String),
}

impl InputError {
    /// A room's own error, kept as its message.
    pub fn refused(error: impl std::fmt::Display) -> Self {
        Self::Refused(error.to_string())
    }
}

impl<'a> Inputs<'a> {
    pub(crate) fn new(row: &'a Row, file: &'a File) -> Self {
        let own = &row.inputs;
        let named = |key: &str| own.get(key).and_then(Value::as_str);
        let shared = named("data").and_then(|name| file.data.get(name));
        let from =
            named("from").and_then(|id| file.checks.iter().find(|row| row.id == id)).map(|row| &row.inputs);
        Self { own, from, shared, asked: &row.expected }
    }

    /// The names of what the row expects, for a formula that is asked at places written into them, such as `S(80)`.
    pub fn asked(&self) -> impl Iterator<Item = &'a str> {
        self.asked.as_object().into_iter().flat_map(|names| names.keys().map(String::as_str))
    }

    /// The raw value of an input, if the row or its data has it.
    pub fn get(&self, name: &str) -> Option<&'a Value> {
        let carried = || self.from.and_then(|row| row.get(name));
        self.own.get(name).or_else(carried).or_else(|| self.shared?.as_object()?.get(name))
    }

    /// The whole data entry the row names.
    ///
    /// # Errors
    /// [`InputError::Missing`] when the row names none, or one that the file does not have.
    pub fn data(&self) -> Result<&'a Value, InputError> {
        self.shared.ok_or_else(|| InputError::Missing("data".into()))
    }

    /// An input read as `T`; `"inf"` and `"-inf"` are read as numbers where `T` is `f64` (see [`Inputs::num`]).
    ///
    /// # Errors
    /// [`InputError::Missing`] or [`InputError::Kind`].
    pub fn read<T: DeserializeOwned>(&self, name: &str) -> Result<T, InputError> {
        let value = self.get(name).ok_or_else(|| InputError::Missing(name.into()))?;
        T::deserialize(value).map_err(|source| InputError::Kind { name: name.into(), source })
    }

    /// An input read as `T`, or `None` when it is absent or null.
    ///
    /// # Errors
    /// [`InputError::Kind`].
    pub fn maybe<T: DeserializeOwned>(&self, name: &str) -> Result<Option<T>, InputError> {
        match self.get(name) {
            None | Some(Value::Null) => Ok(None),
            Some(_) => self.read(name).map(Some),
        }
    }

    /// A number; the texts `"inf"` and `"-inf"` are infinities.
    ///
    /// # Errors
    /// [`InputError::Missing`] or [`InputError::Kind`].
    pub fn num(&self, name: &str) -> Result<f64, InputError> {
        match self.get(name).and_then(infinity) {
            Some(number) => Ok(number),
            None => self.read(name),
        }
    }

    /// A list of numbers from the data entry the row names, even where the row itself has an input of that name.
    ///
    /// # Errors
    /// [`InputError::Missing`] or [`InputError::Kind`].
    pub fn data_nums(&self, name: &str) -> Result<Vec<f64>, InputError> {
        let value = self.data()?.get(name).ok_or_else(|| InputError::Missing(name.into()))?;
        Vec::deserialize(value).map_err(|source| InputError::Kind { name: name.into(), source })
    }

    /// A list of numbers, infinities allowed.
    ///
    /// # Errors
    /// [`InputError::Missing`] or [`InputError::Kind`].
    pub fn nums(&self, name: &str) -> Result<Vec<f64>, InputError> {
        let values: Vec<Value> = self.read(name)?;
        values
            .into_iter()
            .map(|value| match infinity(&value) {
                Some(number) => Ok(number),
                None => serde_json::from_value(value)
                    .map_err(|source| InputError::Kind { name: name.into(), source }),
            })
            .collect()
    }
}

/// `"inf"` or `"-inf"` as a number.
fn infinity(value: &Value) -> Option<f64> {
    match value.as_str()? {
        "inf" => Some(f64::INFINITY),
        "-inf" => Some(f64::NEG_INFINITY),
        _ => None,
    }
}
