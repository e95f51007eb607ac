//! A value with its uncertainty in one line, as certificates and data sheets print it.

use crate::digits::number;
use crate::standard::from_certificate;
use crate::{Allowance, Kind, Line, Measurement, Quantity, QuantityError, Shape, UncertaintyError, Unit};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{borrow::Cow, fmt, str::FromStr};

/// `value ± u`, or `value ± U (k=2)`. Without a k the half width is a standard uncertainty.
///
/// ```
/// use quantity::{PlusMinus, Unit};
/// let bore: PlusMinus = "96.012 ± 0.007 mm (k=2)".parse()?;
/// assert_eq!(bore.u(), 0.0035);
/// assert_eq!(bore.to_string(), "96.012 ± 0.007 mm (k=2)");
/// let torque: PlusMinus = "65 Nm ± 4 %".parse()?;
/// assert_eq!(torque.u(), 2.6);
/// # Ok::<(), quantity::QuantityError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct PlusMinus {
    value: Quantity,
    half_width: Allowance,
    k: f64,
    u: f64,
}

impl PlusMinus {
    /// The value as written.
    pub fn value(&self) -> &Quantity {
        &self.value
    }

    /// What stands behind the ±.
    pub fn half_width(&self) -> &Allowance {
        &self.half_width
    }

    /// Coverage factor; 1 where none was written.
    pub fn k(&self) -> f64 {
        self.k
    }

    /// Standard uncertainty, in the unit of the value.
    pub fn u(&self) -> f64 {
        self.u
    }

    /// The measurement it states.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`]; a value that was read always passes.
    pub fn measurement(&self) -> Result<Measurement, UncertaintyError> {
        Measurement::new(self.value.value(), self.value.unit())?.with(Line::own(
            "as stated",
            Shape::Normal,
            self.u,
        ))
    }

    fn written(&self, unit: impl Fn(Unit) -> &'static str, value: &str, half_width: &str) -> String {
        let coverage = if self.k == 1.0 { String::new() } else { format!(" (k={})", self.k) };
        match &self.half_width {
            Allowance::Absolute(half) if half.unit() == self.value.unit() => {
                let gap = if half.unit().tight() { "" } else { " " };
                format!("{} ± {}{gap}{}{coverage}", self.value.digits(), half.digits(), unit(half.unit()))
            }
            _ => format!("{value} ± {half_width}{coverage}"),
        }
    }
}

impl FromStr for PlusMinus {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let found = || text.trim().to_owned();
        let (body, k) = coverage(text.trim())?;
        // "(10.02 ± 0.03) mm" is "10.02 ± 0.03 mm".
        let (inner, outer_unit) = match body.strip_prefix('(').and_then(|rest| rest.split_once(')')) {
            Some((inner, unit)) if !inner.contains('(') => (inner, unit.trim()),
            _ => (body, ""),
        };
        let (left, right) = ["±", "+/-", "+-"]
            .iter()
            .find_map(|sign| inner.split_once(sign))
            .ok_or_else(|| QuantityError::NoUncertainty { found: found() })?;
        let right = if outer_unit.is_empty() {
            right.trim().to_owned()
        } else {
            format!("{} {outer_unit}", right.trim())
        };

        let left_number = number(left)?;
        let right_number = number(&right)?;
        let (value, half) = match (left_number.rest.is_empty(), right_number.rest.is_empty()) {
            (true, true) => {
                return Err(QuantityError::NoUnit {
                    digits: right_number.typed.to_owned(),
                    example: Unit::MM,
                });
            }
            (true, false) => {
                let half: Quantity = right.parse()?;
                (Quantity::typed_in(left, half.unit())?, half)
            }
            (false, true) => {
                let value: Quantity = left.parse()?;
                let half = Quantity::typed_in(&right, value.unit())?;
                (value, half)
            }
            (false, false) => (left.parse()?, right.parse()?),
        };
        if half.value() < 0.0 {
            return Err(QuantityError::NegativeUncertainty { found: found() });
        }
        let relative = half.kind() == Kind::Ratio && value.kind() != Kind::Ratio;
        let half_width = if relative { Allowance::OfReading(half) } else { Allowance::Absolute(half) };
        let wide = half_width.at(value.value(), value.unit())?;
        let u = from_certificate(wide, k).map_err(|_| QuantityError::Coverage { found: found() })?;
        Ok(PlusMinus { value, half_width, k, u })
    }
}

/// Takes "(k=2)" off the end.
fn coverage(text: &str) -> Result<(&str, f64), QuantityError> {
    let Some((body, inside)) = text.strip_suffix(')').and_then(|rest| rest.rsplit_once('(')) else {
        return Ok((text, 1.0));
    };
    let Some(figures) = inside.trim().strip_prefix('k').and_then(|rest| rest.trim_start().strip_prefix('='))
    else {
        return Ok((text, 1.0));
    };
    match number(figures) {
        Ok(k) if k.rest.is_empty() && k.value > 0.0 => Ok((body.trim(), k.value)),
        _ => Err(QuantityError::Coverage { found: text.to_owned() }),
    }
}

impl fmt::Display for PlusMinus {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = self.half_width.stated().to_string();
        f.pad(&self.written(Unit::symbol, &self.value.to_string(), &half))
    }
}

impl Serialize for PlusMinus {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let half = self.half_width.stated().ucum();
        serializer.serialize_str(&self.written(Unit::code, &self.value.ucum(), &half))
    }
}

impl<'de> Deserialize<'de> for PlusMinus {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_with_its_uncertainty_is_read_in_every_usual_form() {
        for (text, shown, u) in [
            ("10.02 ± 0.03 mm", "10.02 ± 0.03 mm", 0.03),
            ("(10.02±0.03) mm", "10.02 ± 0.03 mm", 0.03),
            ("10,02 mm ± 0,03 mm", "10.02 ± 0.03 mm", 0.03),
            ("10.02 mm +/- 0.03", "10.02 ± 0.03 mm", 0.03),
            ("10.02 ± 0.06 mm (k = 2)", "10.02 ± 0.06 mm (k=2)", 0.03),
            ("10.02 mm ± 30 um", "10.02 mm ± 30 µm", 0.03),
            ("21.0 ± 0.5 °C", "21.0 ± 0.5 °C", 0.5),
            ("21.0 °C ± 0.5 K", "21.0 °C ± 0.5 K", 0.5),
            ("70 °F ± 1 K", "70 °F ± 1 K", 1.8),
            ("12° ± 0.5°", "12 ± 0.5°", 0.5),
            ("60 % ± 4 %", "60 ± 4 %", 4.0),
            ("-65 N.m ± 4 %", "-65 N·m ± 4 %", 2.6),
        ] {
            let read: PlusMinus = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!(read.to_string(), shown, "{text}");
            assert!((read.u() - u).abs() < 1e-12, "{text}: {}", read.u());
            let json = serde_json::to_string(&read).unwrap();
            assert_eq!(serde_json::from_str::<PlusMinus>(&json).unwrap(), read, "{json}");
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (text, says) in [
            ("10.02 mm", "has no ±"),
            ("10.02 ± 0.03", "has no unit"),
            ("10.02 ± -0.03 mm", "below zero"),
            ("10.02 ± 0.03 mm (k=0)", "coverage factor"),
            ("10.02 mm ± 3 N", "expected a length"),
            ("± 0.03 mm", "does not begin with a number"),
        ] {
            let error = text.parse::<PlusMinus>().unwrap_err().to_string();
            assert!(error.contains(says), "{text}: {error}");
        }
    }
}
