//! What a formula answers.

use quantity::Unit;

/// Something a formula answers.
#[derive(Debug, Clone)]
pub struct Output {
    /// Kebab-case, unique within the formula.
    pub id: &'static str,
    pub symbol: &'static str,
    pub title: &'static str,
    /// The unit to show; `None` for words.
    pub unit: Option<Unit>,
    /// The step to which it is shown, in its unit, where four digits do not tell what it is for.
    pub finest: Option<f64>,
    /// Several values rather than one.
    pub list: bool,
    /// Keys of inputs with which it never falls, within the range.
    pub rises_with: Vec<&'static str>,
    /// Keys of inputs with which it never rises, within the range.
    pub falls_with: Vec<&'static str>,
}

/// A result that is a number.
pub(crate) fn result(id: &'static str, symbol: &'static str, title: &'static str, unit: Unit) -> Output {
    Output {
        id,
        symbol,
        title,
        unit: Some(unit),
        finest: None,
        list: false,
        rises_with: vec![],
        falls_with: vec![],
    }
}

/// A result that is a list of numbers.
pub(crate) fn results(id: &'static str, symbol: &'static str, title: &'static str, unit: Unit) -> Output {
    Output { list: true, ..result(id, symbol, title, unit) }
}

/// A result in words.
pub(crate) fn words(id: &'static str, title: &'static str) -> Output {
    Output {
        id,
        symbol: "",
        title,
        unit: None,
        finest: None,
        list: false,
        rises_with: vec![],
        falls_with: vec![],
    }
}

/// A result that is a list of words.
pub(crate) fn wordlist(id: &'static str, title: &'static str) -> Output {
    Output { list: true, ..words(id, title) }
}

impl Output {
    /// Shown to steps of so much of its unit.
    pub(crate) fn to(mut self, step: f64) -> Self {
        self.finest = Some(step);
        self
    }

    pub(crate) fn rises(mut self, keys: &[&'static str]) -> Self {
        self.rises_with.extend(keys);
        self
    }

    pub(crate) fn falls(mut self, keys: &[&'static str]) -> Self {
        self.falls_with.extend(keys);
        self
    }
}

/// A value with its unit, as briefly as it can be written exactly.
pub(crate) fn shown(value: f64, unit: Unit) -> String {
    if unit == Unit::ONE || unit == Unit::COUNT {
        format!("{value}")
    } else if unit == Unit::DEG {
        format!("{value}°")
    } else {
        format!("{value} {unit}")
    }
}
