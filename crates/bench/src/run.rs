//! How a formula is run: what it sees, what it hands back.

use crate::answer::Step;
use crate::{BenchError, Dual, Eight, Formula, Problem};
use quantity::Unit;

/// The two ways a formula is run, from one generic function.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run {
    pub plain: fn(&Given<'_, f64>, &mut Out<f64>) -> Result<(), BenchError>,
    pub dual: fn(&Given<'_, Eight>, &mut Out<Eight>) -> Result<(), BenchError>,
}

/// `run!(function)`: a generic function as a [`Run`].
macro_rules! run {
    ($function:ident) => {
        $crate::run::Run { plain: $function::<f64>, dual: $function::<$crate::Eight> }
    };
}
pub(crate) use run;

/// The inputs as a formula sees them.
pub(crate) struct Given<'a, D> {
    pub formula: &'a Formula,
    pub slots: Vec<Slot<'a, D>>,
}

pub(crate) enum Slot<'a, D> {
    Absent,
    Number(D),
    Numbers(Vec<D>),
    Text(&'a str),
    Texts(&'a [String]),
}

impl<'a, D: Dual> Given<'a, D> {
    /// A number; NaN, which no check lets pass, for a key the formula does not have.
    pub fn number(&self, key: &str) -> D {
        self.maybe(key).unwrap_or_else(|| D::from(f64::NAN))
    }

    /// A number that may be left out.
    pub fn maybe(&self, key: &str) -> Option<D> {
        match self.slot(key) {
            Some(Slot::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// A list of numbers; empty when left out.
    pub fn numbers(&self, key: &str) -> &[D] {
        match self.slot(key) {
            Some(Slot::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }

    /// A text; empty when left out.
    pub fn text(&self, key: &str) -> &'a str {
        match self.slot(key) {
            Some(Slot::Text(text)) => text,
            _ => "",
        }
    }

    /// A list of texts; empty when left out.
    pub fn texts(&self, key: &str) -> &'a [String] {
        match self.slot(key) {
            Some(Slot::Texts(texts)) => texts,
            _ => &[],
        }
    }

    /// Refuses lists of unlike length; an empty optional one is let pass.
    pub fn equally_long(&self, keys: &[&str]) -> Result<(), BenchError> {
        let mut problems = vec![];
        let lengths: Vec<(&'static str, usize)> = keys.iter().filter_map(|key| self.length(key)).collect();
        if let Some(((first, wanted), rest)) = lengths.split_first() {
            for (input, found) in rest {
                if found != wanted {
                    problems.push(Problem::UnlikeLengths {
                        input,
                        found: *found,
                        other: first,
                        wanted: *wanted,
                    });
                }
            }
        }
        BenchError::unless_empty(problems)
    }

    fn length(&self, key: &str) -> Option<(&'static str, usize)> {
        let title = self.formula.input(key)?.title;
        match self.slot(key)? {
            Slot::Numbers(numbers) => Some((title, numbers.len())),
            Slot::Texts(texts) => Some((title, texts.len())),
            _ => None,
        }
    }

    fn slot(&self, key: &str) -> Option<&Slot<'a, D>> {
        let index = self.formula.inputs.iter().position(|input| input.key == key)?;
        self.slots.get(index)
    }
}

/// What a formula hands back.
pub(crate) struct Out<D> {
    pub results: Vec<(&'static str, Made<D>)>,
    pub steps: Vec<Step>,
    telling: bool,
}

pub(crate) enum Made<D> {
    Number(D),
    Numbers(Vec<D>),
    Text(String),
    Texts(Vec<String>),
}

impl<D: Dual> Out<D> {
    pub(crate) fn new(telling: bool) -> Self {
        Self { results: vec![], steps: vec![], telling }
    }

    pub fn number(&mut self, id: &'static str, value: D) {
        self.results.push((id, Made::Number(value)));
    }

    pub fn numbers(&mut self, id: &'static str, values: Vec<D>) {
        self.results.push((id, Made::Numbers(values)));
    }

    pub fn text(&mut self, id: &'static str, text: impl Into<String>) {
        if self.telling {
            self.results.push((id, Made::Text(text.into())));
        }
    }

    pub fn texts(&mut self, id: &'static str, texts: Vec<String>) {
        if self.telling {
            self.results.push((id, Made::Texts(texts)));
        }
    }

    /// A value on the way, for the reader.
    pub fn step(&mut self, label: &'static str, value: D, unit: Unit) {
        if self.telling {
            self.steps.push(Step::Value { label, si: value.re(), unit });
        }
    }

    /// A sentence on the way; only made when somebody reads it.
    pub fn remark(&mut self, says: impl FnOnce() -> String) {
        if self.telling {
            self.steps.push(Step::Words(says()));
        }
    }
}

#[cfg(test)]
impl Out<f64> {
    /// The numbers in the order in which they were handed back; lists number by number.
    pub(crate) fn plain_numbers(self) -> Vec<(&'static str, f64)> {
        let spread = |(id, made): (&'static str, Made<f64>)| match made {
            Made::Number(number) => vec![(id, number)],
            Made::Numbers(all) => all.into_iter().map(|number| (id, number)).collect(),
            Made::Text(_) | Made::Texts(_) => vec![],
        };
        self.results.into_iter().flat_map(spread).collect()
    }
}
