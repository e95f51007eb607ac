//! Running a formula: inputs checked whole, value and sensitivities out.

use crate::answer::{Answer, Number, Step, Value, Variable};
use crate::input::{Input, Need};
use crate::inputs::{Entry, Inputs};
use crate::output::Output;
use crate::run::{Given, Made, Out, Slot};
use crate::{BenchError, Dual, Eight, Formula, Problem};

impl Formula {
    /// Value and sensitivities for inputs in SI.
    ///
    /// # Errors
    /// [`BenchError`] with everything that is wrong with the inputs; an answer is never NaN or infinite.
    pub fn evaluate(&'static self, inputs: &Inputs) -> Result<Answer, BenchError> {
        self.check(inputs)?;
        self.evaluate_checked(inputs)
    }

    /// The numbers alone, in SI, without sensitivities or words; for lists the values follow one another.
    ///
    /// # Errors
    /// As [`Formula::evaluate`].
    pub fn values(&'static self, inputs: &Inputs) -> Result<Vec<(&'static str, Vec<f64>)>, BenchError> {
        self.check(inputs)?;
        self.values_checked(inputs)
    }

    /// As [`Formula::values`], for inputs whose ranges are known to hold.
    pub(crate) fn values_checked(
        &'static self,
        inputs: &Inputs,
    ) -> Result<Vec<(&'static str, Vec<f64>)>, BenchError> {
        let mut out = Out::new(false);
        (self.run.plain)(&self.given(inputs, |si, _| si), &mut out)?;
        let values = out.results.into_iter().filter_map(|(id, made)| match made {
            Made::Number(number) => Some((id, vec![number])),
            Made::Numbers(numbers) => Some((id, numbers)),
            Made::Text(_) | Made::Texts(_) => None,
        });
        let values: Vec<_> = values.collect();
        for (id, numbers) in &values {
            self.finite(id, numbers.iter().all(|number| number.is_finite()))?;
        }
        Ok(values)
    }

    /// As [`Formula::evaluate`], for inputs whose ranges are known to hold.
    pub(crate) fn evaluate_checked(&'static self, inputs: &Inputs) -> Result<Answer, BenchError> {
        let variables = self.variables(inputs);
        // Words and values come with the first eight sensitivities; what is left only adds to the gradients.
        let mut answer = Answer { formula: self, results: vec![], variables: vec![], steps: vec![] };
        let mut first = 0;
        loop {
            let mut out = Out::new(first == 0);
            let seed = |si: f64, at: usize| {
                let number = Eight::from_re(si);
                if (first..first + 8).contains(&at) { number.derivative(at - first) } else { number }
            };
            (self.run.dual)(&self.given(inputs, seed), &mut out)?;
            let width = variables.len().saturating_sub(first).min(8);
            if first == 0 {
                answer.steps = self.given_steps(inputs).chain(out.steps).collect();
                answer.results = self.results(out.results, width)?;
            } else {
                add_sensitivities(&mut answer.results, out.results, width);
            }
            first += 8;
            if first >= variables.len() {
                break;
            }
        }
        for (output, value) in &answer.results {
            let finite =
                |number: &Number| number.si.is_finite() && number.gradient.iter().all(|c| c.is_finite());
            let all = match value {
                Value::Number(number) => finite(number),
                Value::Numbers(numbers) => numbers.iter().all(finite),
                Value::Text(_) | Value::Texts(_) => true,
            };
            self.finite(output.id, all)?;
        }
        answer.variables = variables;
        Ok(answer)
    }

    /// What was given, and what was taken for inputs that were left out.
    fn given_steps(&self, inputs: &Inputs) -> impl Iterator<Item = Step> {
        self.inputs.iter().filter_map(|input| {
            let (title, symbol) = (input.title, input.symbol);
            let (unit, finest) = input.scale().map(|scale| (scale.unit, scale.finest))?;
            Some(match (inputs.get(input.key), input.need) {
                (Some(Entry::Number(si)), _) => Step::Given { title, symbol, si: *si, unit, finest },
                (Some(Entry::Numbers(all)), _) => {
                    let least_si = all.iter().copied().fold(f64::INFINITY, f64::min);
                    let most_si = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    Step::GivenList { title, count: all.len(), least_si, most_si, unit }
                }
                (None, Need::Default(value)) => Step::Taken { title, si: unit.to_si(value), unit },
                _ => return None,
            })
        })
    }

    fn finite(&self, id: &str, finite: bool) -> Result<(), BenchError> {
        let output = self.output(id).map_or("result", |output| output.title);
        if finite { Ok(()) } else { Err(Problem::NoAnswer { output }.into()) }
    }

    fn results(
        &'static self,
        made: Vec<(&'static str, Made<Eight>)>,
        width: usize,
    ) -> Result<Vec<(&'static Output, Value)>, BenchError> {
        let number = |x: Eight| Number { si: x.re, gradient: sensitivities(&x).take(width).collect() };
        let mut results = vec![];
        for output in &self.outputs {
            for (_, value) in made.iter().filter(|(id, _)| *id == output.id) {
                let value = match value {
                    Made::Number(x) => Value::Number(number(*x)),
                    Made::Numbers(all) => Value::Numbers(all.iter().copied().map(number).collect()),
                    Made::Text(text) => Value::Text(text.clone()),
                    Made::Texts(texts) => Value::Texts(texts.clone()),
                };
                results.push((output, value));
            }
        }
        Ok(results)
    }

    /// The numbers among the inputs, in the order of the formula's inputs.
    pub(crate) fn variables(&self, inputs: &Inputs) -> Vec<Variable> {
        let mut variables = vec![];
        for input in &self.inputs {
            match inputs.get(input.key) {
                Some(Entry::Number(si)) => variables.push(Variable { key: input.key, index: None, si: *si }),
                Some(Entry::Numbers(all)) => {
                    variables.extend(all.iter().enumerate().map(|(at, si)| Variable {
                        key: input.key,
                        index: Some(at),
                        si: *si,
                    }))
                }
                _ => {}
            }
        }
        variables
    }

    /// The inputs as the formula sees them; `seed` makes a number of a value in SI and its place among the variables.
    pub(crate) fn given<'a, D: Dual>(
        &'a self,
        inputs: &'a Inputs,
        seed: impl Fn(f64, usize) -> D,
    ) -> Given<'a, D> {
        let mut at = 0;
        let mut next = |si: f64| {
            at += 1;
            seed(si, at - 1)
        };
        let slot = |input: &'a Input| match (inputs.get(input.key), input.need) {
            (Some(Entry::Number(si)), _) => Slot::Number(next(*si)),
            (Some(Entry::Numbers(all)), _) => Slot::Numbers(all.iter().map(|si| next(*si)).collect()),
            (Some(Entry::Text(text)), _) => Slot::Text(text),
            (Some(Entry::Texts(texts)), _) => Slot::Texts(texts),
            (None, Need::Default(value)) => {
                Slot::Number(D::from(input.scale().map_or(value, |scale| scale.unit.to_si(value))))
            }
            (None, _) => Slot::Absent,
        };
        Given { formula: self, slots: self.inputs.iter().map(slot).collect() }
    }
}

/// The eight sensitivities a number carries.
fn sensitivities(x: &Eight) -> impl Iterator<Item = f64> {
    let eps = x.eps.0;
    (0..8).map(move |at| eps.map_or(0.0, |eps| eps[at]))
}

fn add_sensitivities(
    results: &mut [(&'static Output, Value)],
    made: Vec<(&'static str, Made<Eight>)>,
    width: usize,
) {
    let extend = |number: &mut Number, x: &Eight| number.gradient.extend(sensitivities(x).take(width));
    for (output, value) in results {
        match (value, made.iter().find(|(id, _)| *id == output.id).map(|(_, made)| made)) {
            (Value::Number(number), Some(Made::Number(x))) => extend(number, x),
            (Value::Numbers(numbers), Some(Made::Numbers(all))) => {
                numbers.iter_mut().zip(all).for_each(|(number, x)| extend(number, x));
            }
            _ => {}
        }
    }
}
