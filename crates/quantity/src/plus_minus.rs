//! A value with its uncertainty in one line, as certificates and data sheets print it.

use crate::digits::number;
use crate::measurement::AS_STATED;
use crate::standard::from_certificate;
use crate::{Allowance, Kind, Line, Measurement, Quantity, QuantityError, Shape, UncertaintyError, Unit};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{borrow::Cow, fmt, str::FromStr};

/// `value ± u`, or `value ± U (k=2)`. Without a k the half width is a standard uncertainty. How the error is spread may be
/// said behind it: `(rectangular)`, `(triangular)` and `(arcsine)` make the half width one that is never exceeded,
/// `(dof=18)` tells how well the uncertainty itself is known; `(k=2, dof=18)` says both.
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
    stated: Stated,
    u: f64,
}

/// What is said of the half width.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stated {
    k: f64,
    shape: Shape,
    dof: f64,
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
        self.stated.k
    }

    /// How the error is spread; normal where nothing was written.
    pub fn shape(&self) -> Shape {
        self.stated.shape
    }

    /// Degrees of freedom of the uncertainty; infinite where none were written.
    pub fn dof(&self) -> f64 {
        self.stated.dof
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
        let line = Line::own(AS_STATED, self.stated.shape, self.u).dof(self.stated.dof);
        Measurement::new(self.value.value(), self.value.unit())?.with(line)
    }

    fn written(&self, unit: impl Fn(Unit) -> &'static str, value: &str, half_width: &str) -> String {
        let coverage = self.stated;
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
        let (body, stated) = stated(text.trim())?;
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
        let half = stated.shape.standard(wide);
        let u = half.and_then(|half| from_certificate(half, stated.k));
        let u = u.map_err(|_| QuantityError::Coverage { found: found() })?;
        Ok(PlusMinus { value, half_width, stated, u })
    }
}

/// "k = 2" as "k" and " 2".
fn says(word: &str) -> Option<(&str, &str)> {
    word.trim().split_once('=').map(|(name, figures)| (name.trim(), figures))
}

/// Takes what is said of the half width off the end: "(k=2)", "(rectangular)".
fn stated(text: &str) -> Result<(&str, Stated), QuantityError> {
    let mut stated = Stated { k: 1.0, shape: Shape::Normal, dof: f64::INFINITY };
    let Some((body, inside)) = text.strip_suffix(')').and_then(|rest| rest.rsplit_once('(')) else {
        return Ok((text, stated));
    };
    let shape = |word: &str| Shape::ALL.into_iter().find(|shape| shape.name() == word.trim());
    let known =
        |word: &str| shape(word).is_some() || says(word).is_some_and(|(name, _)| matches!(name, "k" | "dof"));
    if !inside.split(',').any(known) {
        return Ok((text, stated)); // a bracket of the value or the unit
    }
    let wrong = || QuantityError::Coverage { found: text.to_owned() };
    for word in inside.split(',') {
        match (shape(word), says(word)) {
            (Some(shape), _) => stated.shape = shape,
            (None, Some((name @ ("k" | "dof"), figures))) => {
                let figure = number(figures).ok().filter(|read| read.rest.is_empty() && read.value > 0.0);
                let figure = figure.ok_or_else(wrong)?.value;
                *(if name == "k" { &mut stated.k } else { &mut stated.dof }) = figure;
            }
            _ => return Err(wrong()),
        }
    }
    // A half width that is never exceeded is not a multiple of anything.
    if stated.shape != Shape::Normal && stated.k != 1.0 {
        return Err(wrong());
    }
    Ok((body.trim(), stated))
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut words = vec![];
        if self.shape != Shape::Normal {
            words.push(self.shape.name().to_owned());
        }
        if self.k != 1.0 {
            words.push(format!("k={}", self.k));
        }
        if self.dof.is_finite() {
            words.push(format!("dof={}", self.dof));
        }
        if words.is_empty() { Ok(()) } else { write!(f, " ({})", words.join(", ")) }
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
            ("0.5 ± 0.6 mm (rectangular)", "0.5 ± 0.6 mm (rectangular)", 0.6 / 3f64.sqrt()),
            ("0 ± 0.5 K (arcsine)", "0 ± 0.5 K (arcsine)", 0.5 / 2f64.sqrt()),
            ("10 ± 0.06 mm (k=2,dof = 18)", "10 ± 0.06 mm (k=2, dof=18)", 0.03),
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
            ("10.02 ± 0.03 mm (k=0)", "write (k=2)"),
            ("10.02 ± 0.03 mm (rectangular, k=2)", "write (k=2)"),
            ("10.02 ± 0.03 mm (dof=-2)", "write (k=2)"),
            ("10.02 ± 0.03 mm (k=2, round)", "write (k=2)"),
            ("10.02 mm ± 3 N", "expected a length"),
            ("± 0.03 mm", "does not begin with a number"),
        ] {
            let error = text.parse::<PlusMinus>().unwrap_err().to_string();
            assert!(error.contains(says), "{text}: {error}");
        }
    }
}
