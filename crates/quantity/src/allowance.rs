//! How large an instrument's maker or its user says an error may be.

use crate::{Quantity, QuantityError, Unit};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{borrow::Cow, fmt, str::FromStr};

/// A size stated for an error: so many units, or a part of the reading. Written "0.006 mm", or "4 % of reading".
#[derive(Debug, Clone, PartialEq)]
pub enum Allowance {
    /// The same at every reading. A temperature here is a step, not a point of the scale: 0.1 °C is 0.1 K.
    Absolute(Quantity),
    /// In proportion to the reading; the quantity is a ratio such as 4 %.
    OfReading(Quantity),
}

impl Allowance {
    /// Its size at a reading, in the unit of that reading.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`] when it is not of the reading's kind.
    pub fn at(&self, reading: f64, unit: Unit) -> Result<f64, QuantityError> {
        match self {
            Allowance::Absolute(size) => size.spread_in(unit),
            Allowance::OfReading(part) => Ok(part.value_in(Unit::ONE)? * reading.abs()),
        }
    }

    /// The size as stated, whatever the reading.
    pub(crate) fn stated(&self) -> &Quantity {
        match self {
            Allowance::Absolute(size) | Allowance::OfReading(size) => size,
        }
    }
}

impl FromStr for Allowance {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        match text.strip_suffix("of reading").or_else(|| text.strip_suffix("of the reading")) {
            Some(part) => Ok(Allowance::OfReading(part.parse::<Quantity>()?.expect(crate::Kind::Ratio)?)),
            None => Ok(Allowance::Absolute(text.parse()?)),
        }
    }
}

impl fmt::Display for Allowance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Allowance::Absolute(size) => write!(f, "{size}"),
            Allowance::OfReading(part) => write!(f, "{part} of reading"),
        }
    }
}

impl Serialize for Allowance {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Allowance::Absolute(size) => serializer.serialize_str(&size.ucum()),
            Allowance::OfReading(part) => serializer.serialize_str(&format!("{} of reading", part.ucum())),
        }
    }
}

impl<'de> Deserialize<'de> for Allowance {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}
