//! What a formula of the bench tells of itself.

use crate::input::{Input, Need, Shape};
use crate::inputs::{Entry, Inputs};
use crate::job::Job;
use crate::output::Output;
use crate::run::Run;
use std::fmt;

/// A formula of the trade: what it decides, its inputs and results with their units, where it holds, whose it is.
///
/// Get one by its id from [`formula`](crate::formula), or all of them from [`formulas`](crate::formulas).
pub struct Formula {
    /// Kebab-case; never changes once published.
    pub id: &'static str,
    pub title: &'static str,
    /// The part of the trade it serves.
    pub job: Job,
    /// "This decides …", one sentence.
    pub says: &'static str,
    /// Plain text, in the symbols of the inputs and results.
    pub equation: &'static str,
    pub inputs: Vec<Input>,
    pub outputs: Vec<Output>,
    /// Where it holds and where it does not, in a sentence.
    pub holds: &'static str,
    /// The care that the work around this formula asks for.
    pub cautions: Vec<&'static str>,
    pub source: &'static str,
    /// Which drawing shows it.
    pub diagram: &'static str,
    /// True when a constant inside carries a unit (gravity, a fitted curve, a table of a standard); the equation then
    /// holds only in the units of its source, which the bench takes care of.
    pub fitted: bool,
    pub(crate) run: Run,
}

impl fmt::Debug for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Formula({})", self.id)
    }
}

impl Formula {
    pub(crate) fn new(id: &'static str, job: Job, title: &'static str, run: Run) -> Self {
        Self {
            id,
            title,
            job,
            says: "",
            equation: "",
            inputs: vec![],
            outputs: vec![],
            holds: "",
            cautions: vec![],
            source: "",
            diagram: "",
            fitted: false,
            run,
        }
    }

    pub(crate) fn says(mut self, says: &'static str) -> Self {
        self.says = says;
        self
    }

    pub(crate) fn equation(mut self, equation: &'static str) -> Self {
        self.equation = equation;
        self
    }

    pub(crate) fn takes(mut self, inputs: impl IntoIterator<Item = Input>) -> Self {
        self.inputs.extend(inputs);
        self
    }

    pub(crate) fn gives(mut self, outputs: impl IntoIterator<Item = Output>) -> Self {
        self.outputs.extend(outputs);
        self
    }

    pub(crate) fn holds(mut self, holds: &'static str) -> Self {
        self.holds = holds;
        self
    }

    pub(crate) fn caution(mut self, caution: &'static str) -> Self {
        self.cautions.push(caution);
        self
    }

    pub(crate) fn source(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }

    pub(crate) fn diagram(mut self, diagram: &'static str) -> Self {
        self.diagram = diagram;
        self
    }

    pub(crate) fn fitted(mut self) -> Self {
        self.fitted = true;
        self
    }

    /// Inputs that show the formula at work: every example, except those that stand in place of another.
    pub fn example(&self) -> Inputs {
        self.inputs.iter().filter(|input| input.need != Need::Alternative).fold(
            Inputs::new(),
            |inputs, input| {
                let entry = match &input.shape {
                    Shape::Number(scale) => Entry::Number(scale.unit.to_si(scale.example)),
                    Shape::Numbers { scale, examples, .. } => {
                        Entry::Numbers(examples.iter().map(|x| scale.unit.to_si(*x)).collect())
                    }
                    Shape::Text { example } | Shape::Choice { example, .. } => {
                        Entry::Text((*example).to_owned())
                    }
                    Shape::Texts { examples } => {
                        Entry::Texts(examples.iter().map(|text| (*text).to_owned()).collect())
                    }
                };
                inputs.with(input.key, entry)
            },
        )
    }

    /// The input with this key.
    pub fn input(&self, key: &str) -> Option<&Input> {
        self.inputs.iter().find(|input| input.key == key)
    }

    /// The result with this id.
    pub fn output(&self, id: &str) -> Option<&Output> {
        self.outputs.iter().find(|output| output.id == id)
    }
}
