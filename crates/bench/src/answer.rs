//! What came of an evaluation.

use crate::Formula;
use crate::output::{Output, shown};
use quantity::Unit;
use std::fmt;

/// What came of an evaluation.
#[derive(Debug, Clone)]
pub struct Answer {
    pub formula: &'static Formula,
    /// In the order of the formula's outputs; an output that these inputs do not reach is absent.
    pub results: Vec<(&'static Output, Value)>,
    /// The inputs that the sensitivities belong to, in their order.
    pub variables: Vec<Variable>,
    pub steps: Vec<Step>,
}

/// One number among the inputs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variable {
    pub key: &'static str,
    /// Its place, when the input is a list.
    pub index: Option<usize>,
    /// Its value in SI.
    pub si: f64,
}

/// A result.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Number(Number),
    Numbers(Vec<Number>),
    Text(String),
    Texts(Vec<String>),
}

/// A number in SI with its sensitivities, one for each of the answer's variables; SI of the result for each SI of the
/// input.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    pub si: f64,
    pub gradient: Vec<f64>,
}

impl Answer {
    /// The result with this id.
    pub fn get(&self, id: &str) -> Option<&Value> {
        self.results.iter().find(|(output, _)| output.id == id).map(|(_, value)| value)
    }

    /// The number with this id.
    pub fn number(&self, id: &str) -> Option<&Number> {
        match self.get(id)? {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }

    /// The list of numbers with this id.
    pub fn numbers(&self, id: &str) -> Option<&[Number]> {
        match self.get(id)? {
            Value::Numbers(numbers) => Some(numbers),
            _ => None,
        }
    }

    /// The text with this id.
    pub fn text(&self, id: &str) -> Option<&str> {
        match self.get(id)? {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The list of texts with this id.
    pub fn texts(&self, id: &str) -> Option<&[String]> {
        match self.get(id)? {
            Value::Texts(texts) => Some(texts),
            _ => None,
        }
    }
}

/// One step of the way from inputs to results.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// "free span between the tangent points L = 172 mm": what was given.
    Given {
        title: &'static str,
        symbol: &'static str,
        si: f64,
        unit: Unit,
        /// Shown to steps of so much of its unit.
        finest: Option<f64>,
    },
    /// "thickness at points around one radius: 8 values from 21.998 mm to 22.006 mm".
    GivenList {
        title: &'static str,
        count: usize,
        least_si: f64,
        most_si: f64,
        unit: Unit,
    },
    /// "density of the wire taken as 7850 kg/m³": an input that was left out.
    Taken {
        title: &'static str,
        si: f64,
        unit: Unit,
    },
    /// "piston area 2.85 cm²"; the value is in SI, to be shown in `unit`.
    Value {
        label: &'static str,
        si: f64,
        unit: Unit,
    },
    Words(String),
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let fine = |si: f64, unit: Unit, finest| shown(readable(unit.from_si(si), unit, finest), unit);
        let shown = |si: f64, unit: Unit| fine(si, unit, None);
        match self {
            Step::Given { title, symbol: "", si, unit, finest } => {
                write!(f, "{title} {}", fine(*si, *unit, *finest))
            }
            Step::Given { title, symbol, si, unit, finest } => {
                write!(f, "{title} {symbol} = {}", fine(*si, *unit, *finest))
            }
            Step::GivenList { title, count, least_si, most_si, unit } => {
                write!(
                    f,
                    "{title}: {count} values from {} to {}",
                    shown(*least_si, *unit),
                    shown(*most_si, *unit)
                )
            }
            Step::Taken { title, si, unit } => {
                write!(f, "{title} taken as {}", shown(*si, *unit))
            }
            Step::Value { label, si, unit } => {
                write!(f, "{label} {}", shown(*si, *unit))
            }
            Step::Words(words) => f.write_str(words),
        }
    }
}

/// As it is read: to four significant digits, millimetres of what is measured that finely to the micrometre; or to the step
/// that is given.
pub fn written(value: f64, unit: Unit, finest: Option<f64>) -> String {
    shown(readable(value, unit, finest), unit)
}

fn readable(value: f64, unit: Unit, finest: Option<f64>) -> f64 {
    if let Some(step) = finest {
        return quantity::rounding::to_step(value, step);
    }
    if unit == Unit::MM && (10.0..1e3).contains(&value.abs()) {
        return (value * 1e3).round() / 1e3;
    }
    four_digits(value)
}

/// Rounded to four significant digits.
pub(crate) fn four_digits(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let places = (3.0 - value.abs().log10().floor()) as i32;
    if !(-15..=15).contains(&places) {
        return value;
    }
    let scale = 10f64.powi(places.abs());
    if places >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}
