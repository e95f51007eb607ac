//! What a formula is given: its key, its unit and range, whether it may be left out.

use crate::output::shown;
use quantity::{Kind, Unit};

/// Something a formula is given.
#[derive(Debug, Clone)]
pub struct Input {
    /// Kebab-case, unique within the formula.
    pub key: &'static str,
    /// As it stands in the equation.
    pub symbol: &'static str,
    pub title: &'static str,
    pub shape: Shape,
    pub need: Need,
    /// The list that this one stands beside, value by value, like the columns of a table: its key.
    pub beside: Option<&'static str>,
}

/// What form an input takes.
#[derive(Debug, Clone)]
pub enum Shape {
    Number(Scale),
    /// Several numbers of one kind, at least `least`.
    Numbers {
        scale: Scale,
        least: usize,
        examples: Vec<f64>,
    },
    /// A code or a name.
    Text {
        example: &'static str,
    },
    /// Several names.
    Texts {
        examples: Vec<&'static str>,
    },
    /// One of a few words.
    Choice {
        choices: &'static [&'static str],
        example: &'static str,
    },
}

/// A number's unit and range. Bounds and example are in `unit`.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// The unit it is usually written in; any unit of the same kind may be given.
    pub unit: Unit,
    pub example: f64,
    /// The step to which it is shown again, in `unit`, where four digits do not tell what it is for.
    pub finest: Option<f64>,
    pub low: f64,
    pub high: f64,
    pub(crate) low_si: f64,
    pub(crate) high_si: f64,
}

/// Whether an input may be left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    Required,
    /// Left out, it takes this value, in the input's unit.
    Default(f64),
    /// Left out, the formula does without, and so do the results that need it.
    Optional,
    /// Given in place of another input, as its title says.
    Alternative,
}

impl Scale {
    fn new(unit: Unit, example: f64) -> Self {
        let (low, high) = (f64::NEG_INFINITY, f64::INFINITY);
        Self { unit, example, finest: None, low, high, low_si: low, high_si: high }
    }

    fn between(&mut self, low: f64, high: f64) {
        (self.low, self.high) = (low, high);
        (self.low_si, self.high_si) = (self.unit.to_si(low), self.unit.to_si(high));
    }

    /// What the numbers measure.
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The range in words: "from 20 mm to 3000 mm".
    pub fn range(&self) -> String {
        format!("from {} to {}", shown(self.low, self.unit), shown(self.high, self.unit))
    }
}

/// A number that must be given, with its usual unit and an example in that unit.
pub(crate) fn number(
    key: &'static str,
    symbol: &'static str,
    title: &'static str,
    unit: Unit,
    example: f64,
) -> Input {
    Input {
        key,
        symbol,
        title,
        shape: Shape::Number(Scale::new(unit, example)),
        need: Need::Required,
        beside: None,
    }
}

/// A list of numbers that must be given.
pub(crate) fn numbers(
    key: &'static str,
    symbol: &'static str,
    title: &'static str,
    unit: Unit,
    examples: &[f64],
) -> Input {
    let scale = Scale::new(unit, examples.first().copied().unwrap_or(1.0));
    Input {
        key,
        symbol,
        title,
        shape: Shape::Numbers { scale, least: 1, examples: examples.to_vec() },
        need: Need::Required,
        beside: None,
    }
}

/// A text that must be given.
pub(crate) fn text(key: &'static str, title: &'static str, example: &'static str) -> Input {
    Input { key, symbol: "", title, shape: Shape::Text { example }, need: Need::Required, beside: None }
}

/// A list of texts that must be given.
pub(crate) fn texts(key: &'static str, title: &'static str, examples: &[&'static str]) -> Input {
    Input {
        key,
        symbol: "",
        title,
        shape: Shape::Texts { examples: examples.to_vec() },
        need: Need::Required,
        beside: None,
    }
}

/// One of a few words that must be given.
pub(crate) fn choice(
    key: &'static str,
    title: &'static str,
    choices: &'static [&'static str],
    example: &'static str,
) -> Input {
    Input {
        key,
        symbol: "",
        title,
        shape: Shape::Choice { choices, example },
        need: Need::Required,
        beside: None,
    }
}

impl Input {
    /// Both bounds are in range; they are in the input's unit.
    pub(crate) fn within(mut self, low: f64, high: f64) -> Self {
        match &mut self.shape {
            Shape::Number(scale) | Shape::Numbers { scale, .. } => scale.between(low, high),
            _ => {}
        }
        self
    }

    /// Shown again to steps of so much of its unit.
    pub(crate) fn to(mut self, step: f64) -> Self {
        if let Shape::Number(scale) | Shape::Numbers { scale, .. } = &mut self.shape {
            scale.finest = Some(step);
        }
        self
    }

    /// The least number of values in the list.
    pub(crate) fn at_least(mut self, count: usize) -> Self {
        if let Shape::Numbers { least, .. } = &mut self.shape {
            *least = count;
        }
        self
    }

    /// The list that this one stands beside, value by value.
    pub(crate) fn beside(mut self, key: &'static str) -> Self {
        self.beside = Some(key);
        self
    }

    /// What it is when left out, in the input's unit.
    pub(crate) fn or(mut self, default: f64) -> Self {
        self.need = Need::Default(default);
        self
    }

    pub(crate) fn optional(mut self) -> Self {
        self.need = Need::Optional;
        self
    }

    pub(crate) fn alternative(mut self) -> Self {
        self.need = Need::Alternative;
        self
    }

    /// Unit and range, for numbers.
    pub fn scale(&self) -> Option<&Scale> {
        match &self.shape {
            Shape::Number(scale) | Shape::Numbers { scale, .. } => Some(scale),
            _ => None,
        }
    }

    /// Whether it takes several values.
    pub fn list(&self) -> bool {
        matches!(self.shape, Shape::Numbers { .. } | Shape::Texts { .. })
    }

    /// How it may be written: "172 mm".
    pub fn example(&self) -> String {
        match &self.shape {
            Shape::Number(scale) => shown(scale.example, scale.unit),
            Shape::Numbers { scale, examples, .. } => {
                let all: Vec<String> = examples.iter().map(|x| shown(*x, scale.unit)).collect();
                all.join("; ")
            }
            Shape::Text { example } | Shape::Choice { example, .. } => (*example).to_owned(),
            Shape::Texts { examples } => examples.join("; "),
        }
    }
}
