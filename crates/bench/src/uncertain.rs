//! A formula over measured inputs: the result with its uncertainty, and whose it is.

use crate::evaluate::{Number, Step, Value, Variable};
use crate::formula::{Formula, Output};
use crate::inputs::{Entry, Inputs};
use crate::{BenchError, Problem};
use quantity::{Curvature, Doubt, LinearityQuestion, Measurement, Sampled, Trials, UncertaintyError, Unit};

/// Measured inputs by the keys of a formula.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Readings {
    entries: Vec<(String, Reading)>,
}

/// One measured input.
#[derive(Debug, Clone, PartialEq)]
pub enum Reading {
    Number(Measurement),
    Numbers(Vec<Measurement>),
    Text(String),
    Texts(Vec<String>),
}

impl Reading {
    /// The value alone, in SI.
    pub(crate) fn si(&self) -> Entry {
        let si = |measured: &Measurement| measured.unit().to_si(measured.value());
        match self {
            Reading::Number(measured) => Entry::Number(si(measured)),
            Reading::Numbers(all) => Entry::Numbers(all.iter().map(si).collect()),
            Reading::Text(text) => Entry::Text(text.clone()),
            Reading::Texts(texts) => Entry::Texts(texts.clone()),
        }
    }
}

impl Readings {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn number(self, key: &str, measured: Measurement) -> Self {
        self.with(key, Reading::Number(measured))
    }

    pub fn numbers(self, key: &str, measured: Vec<Measurement>) -> Self {
        self.with(key, Reading::Numbers(measured))
    }

    pub fn text(self, key: &str, text: impl Into<String>) -> Self {
        self.with(key, Reading::Text(text.into()))
    }

    pub fn texts(self, key: &str, texts: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.with(key, Reading::Texts(texts.into_iter().map(Into::into).collect()))
    }

    /// A later value of the same key replaces the earlier one.
    pub fn with(mut self, key: &str, reading: Reading) -> Self {
        self.entries.retain(|(had, _)| had != key);
        self.entries.push((key.to_owned(), reading));
        self
    }

    pub fn get(&self, key: &str) -> Option<&Reading> {
        self.entries.iter().find(|(had, _)| had == key).map(|(_, reading)| reading)
    }

    /// The measurement that a variable of an answer stands for.
    fn measured(&self, variable: &Variable) -> Option<&Measurement> {
        match (self.get(variable.key)?, variable.index) {
            (Reading::Number(measured), None) => Some(measured),
            (Reading::Numbers(all), Some(index)) => all.get(index),
            _ => None,
        }
    }
}

/// What came of a formula over measured inputs.
#[derive(Debug, Clone)]
pub struct Assessment {
    pub formula: &'static Formula,
    /// In the order of the formula's outputs; an output that these inputs do not reach is absent.
    pub results: Vec<(&'static Output, Assessed)>,
    pub steps: Vec<Step>,
}

/// A result.
#[derive(Debug, Clone, PartialEq)]
pub enum Assessed {
    Number(Found),
    Numbers(Vec<Found>),
    Text(String),
    Texts(Vec<String>),
}

/// A number with its uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// In the unit the formula shows, with the whole budget.
    pub measured: Measurement,
    /// One for each number put in, the largest first.
    pub shares: Vec<Share>,
}

/// What one input does to a result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    pub key: &'static str,
    /// Its place, when the input is a list.
    pub index: Option<usize>,
    /// Unit of the result for one unit of the input, as entered.
    pub sensitivity: f64,
    /// Its part of the variance. The shares add up to 1; one below zero belongs to an input whose shared error takes
    /// away from the others'. All are 0 when nothing is uncertain.
    pub share: f64,
}

impl Assessment {
    pub fn get(&self, id: &str) -> Option<&Assessed> {
        self.results.iter().find(|(output, _)| output.id == id).map(|(_, value)| value)
    }

    /// The number with this id.
    pub fn number(&self, id: &str) -> Option<&Found> {
        match self.get(id)? {
            Assessed::Number(found) => Some(found),
            _ => None,
        }
    }
}

impl Formula {
    /// The results of measured inputs with their uncertainties to first order, by `quantity`'s rules: what inputs
    /// share (an instrument's calibration) is added with its signs before squaring, the rest is independent.
    ///
    /// # Errors
    /// [`BenchError`] with everything that is wrong with the inputs.
    ///
    /// Source: JCGM 100:2008 5.1.2, 5.2.2. Checked: in `quantity`, and `reference/metrology.json`.
    ///
    /// ```
    /// use quantity::{Measurement, Unit};
    /// let measured = |value, u, unit| Measurement::with_u(value, u, f64::INFINITY, unit);
    /// let readings = bench::Readings::new()
    ///     .number("mass-per-length", measured(0.100, 0.0, Unit::KG_PER_M)?)
    ///     .number("span", measured(172.0, 1.0, Unit::MM)?)
    ///     .number("frequency", measured(150.0, 2.0, Unit::HZ)?);
    /// let assessed = bench::formula("belt-span-tension")?.assess(&readings)?;
    /// let tension = assessed.number("tension").ok_or("no tension")?;
    /// assert_eq!(tension.measured.to_string(), "266.3 ± 7.7 N");
    /// assert_eq!(tension.shares[0].key, "frequency");                  // the note is what to measure better
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn assess(&'static self, readings: &Readings) -> Result<Assessment, BenchError> {
        let inputs = self.si(readings)?;
        let answer = self.evaluate(&inputs)?;
        let mut results = Vec::with_capacity(answer.results.len());
        for (output, value) in answer.results {
            let found = |number: &Number| self.found(output, number, &answer.variables, readings);
            let assessed = match value {
                Value::Number(number) => Assessed::Number(found(&number)?),
                Value::Numbers(all) => Assessed::Numbers(all.iter().map(found).collect::<Result<_, _>>()?),
                Value::Text(text) => Assessed::Text(text),
                Value::Texts(texts) => Assessed::Texts(texts),
            };
            results.push((output, assessed));
        }
        Ok(Assessment { formula: self, results, steps: answer.steps })
    }

    /// The measured values alone, in SI; refuses units of another kind.
    pub(crate) fn si(&self, readings: &Readings) -> Result<Inputs, BenchError> {
        let mut problems = vec![];
        let mut inputs = Inputs::new();
        for (key, reading) in &readings.entries {
            let measured: &[Measurement] = match reading {
                Reading::Number(one) => std::slice::from_ref(one),
                Reading::Numbers(all) => all,
                Reading::Text(_) | Reading::Texts(_) => &[],
            };
            if let Some((input, scale)) = self.input(key).and_then(|input| Some((input, input.scale()?))) {
                problems.extend(measured.iter().find(|m| m.unit().kind() != scale.kind()).map(|m| {
                    Problem::Kind {
                        input: input.title,
                        found: m.to_string(),
                        wanted: scale.kind(),
                        example: input.example(),
                    }
                }));
            }
            inputs = inputs.with(key, reading.si());
        }
        if problems.is_empty() {
            return Ok(inputs);
        }
        if let Err(more) = self.check(&inputs) {
            // A number in a unit of the wrong kind has been named; its range means nothing.
            problems
                .extend(more.problems().iter().filter(|p| !matches!(p, Problem::OutOfRange { .. })).cloned());
        }
        BenchError::unless_empty(problems).map(|()| inputs)
    }

    /// Why the first-order uncertainty of a result does not do, if it does not: the formula bends over the width of
    /// its inputs' uncertainties, or turns there. `p` is the largest probability that will be read off the result.
    ///
    /// # Errors
    /// [`BenchError`] with everything that is wrong with the inputs, or when the result is no number.
    ///
    /// Source: JCGM 100:2008 5.1.2, note; the bounds are `quantity`'s.
    pub fn doubts(
        &'static self,
        readings: &Readings,
        output: &str,
        p: f64,
    ) -> Result<Vec<Doubt>, BenchError> {
        let assessment = self.assess(readings)?;
        let found = assessment.number(output).ok_or(Problem::NoAnswer { output: "number of that name" })?;
        let held = Held::new(self, readings, output)?;
        let no_answer =
            |_: UncertaintyError| BenchError::from(Problem::NoAnswer { output: "number near these inputs" });
        let names: Vec<String> = held.variables.iter().map(|variable| self.name(variable)).collect();
        let sensitivity = |variable: &Variable| {
            let share =
                found.shares.iter().find(|share| share.key == variable.key && share.index == variable.index);
            share.map_or(0.0, |share| share.sensitivity)
        };
        let all = held.variables.iter().zip(&held.measured).zip(&names);
        let inputs: Vec<quantity::Input<'_>> = all
            .map(|((variable, measured), name)| quantity::Input {
                name,
                measured,
                sensitivity: sensitivity(variable),
            })
            .collect();
        let x: Vec<f64> = held.measured.iter().map(|measured| measured.value()).collect();
        let u: Vec<f64> = held.measured.iter().map(|measured| measured.u()).collect();
        let curvature = Curvature::by_differences(|x| held.value(x), &x, &u).map_err(no_answer)?;
        let question = LinearityQuestion {
            result: &found.measured,
            inputs: &inputs,
            curvature: Some(&curvature),
            denominators: &[],
            physical_bounds: &[],
            p,
        };
        quantity::doubts(&question).map_err(no_answer)
    }

    /// The distribution of a result, drawn from those of its inputs: for results whose first-order uncertainty is in
    /// doubt. In the unit the formula shows.
    ///
    /// # Errors
    /// [`BenchError`] with everything that is wrong with the inputs, or when the formula has no answer at some of the
    /// points drawn.
    ///
    /// Source: JCGM 101:2008 clause 7.
    pub fn sampled(
        &'static self,
        readings: &Readings,
        output: &str,
        trials: Trials,
    ) -> Result<Sampled, BenchError> {
        self.assess(readings)?;
        let held = Held::new(self, readings, output)?;
        let no_answer =
            |_: UncertaintyError| BenchError::from(Problem::NoAnswer { output: "number near these inputs" });
        quantity::monte_carlo(&held.measured, |x| held.value(x), trials).map_err(no_answer)
    }

    fn found(
        &self,
        output: &'static Output,
        number: &Number,
        variables: &[Variable],
        readings: &Readings,
    ) -> Result<Found, BenchError> {
        let no_answer = |_: UncertaintyError| BenchError::from(Problem::NoAnswer { output: output.title });
        let Some(unit) = output.unit else { return Err(Problem::NoAnswer { output: output.title }.into()) };
        let names: Vec<String> = variables.iter().map(|variable| self.name(variable)).collect();
        let mut inputs = vec![];
        let mut shares = vec![];
        for ((variable, name), c) in variables.iter().zip(&names).zip(&number.gradient) {
            let Some(measured) = readings.measured(variable) else { continue };
            let sensitivity = c * measured.unit().factor() / unit.factor();
            inputs.push(quantity::Input { name, measured, sensitivity });
            shares.push(Share { key: variable.key, index: variable.index, sensitivity, share: 0.0 });
        }
        let measured = quantity::propagate(unit.from_si(number.si), unit, &inputs).map_err(no_answer)?;
        let variance = measured.u().powi(2);
        for (share, input) in shares.iter_mut().zip(&inputs) {
            let c = input.sensitivity;
            let covariance = c * input.measured.u_e().powi(2) + input.measured.covariance(&measured);
            share.share = if variance > 0.0 { c * covariance / variance } else { 0.0 };
        }
        shares.sort_by(|a, b| b.share.total_cmp(&a.share));
        Ok(Found { measured, shares })
    }

    /// What an input is called in a budget.
    fn name(&self, variable: &Variable) -> String {
        let title = self.input(variable.key).map_or(variable.key, |input| input.title);
        match variable.index {
            None => title.to_owned(),
            Some(index) => format!("{title} {}", index + 1),
        }
    }
}

/// A formula held at its readings, as a plain function of the numbers among them.
struct Held<'a> {
    formula: &'static Formula,
    output: &'a str,
    unit: Unit,
    inputs: Inputs,
    variables: Vec<Variable>,
    measured: Vec<&'a Measurement>,
}

impl<'a> Held<'a> {
    fn new(formula: &'static Formula, readings: &'a Readings, output: &'a str) -> Result<Self, BenchError> {
        let unit = formula.output(output).and_then(|output| output.unit);
        let unit = unit.ok_or(Problem::NoAnswer { output: "number of that name" })?;
        let inputs = formula.si(readings)?;
        let variables = formula.variables(&inputs);
        let measured = variables.iter().filter_map(|variable| readings.measured(variable)).collect();
        Ok(Self { formula, output, unit, inputs, variables, measured })
    }

    /// The result for other numbers, each in the unit it was measured in; NaN where the formula has no answer.
    fn value(&self, x: &[f64]) -> f64 {
        let mut inputs = self.inputs.clone();
        for ((variable, measured), value) in self.variables.iter().zip(&self.measured).zip(x) {
            let si = measured.unit().to_si(*value);
            match (inputs.get_mut(variable.key), variable.index) {
                (Some(Entry::Number(held)), None) => *held = si,
                (Some(Entry::Numbers(all)), Some(index)) => {
                    if let Some(held) = all.get_mut(index) {
                        *held = si;
                    }
                }
                _ => {}
            }
        }
        let values = self.formula.values_checked(&inputs).unwrap_or_default();
        let value = values.iter().find(|(id, _)| *id == self.output).and_then(|(_, all)| all.first());
        value.map_or(f64::NAN, |si| self.unit.from_si(*si))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Line, Shape, Unit};

    /// A bore and a journal read with the same micrometer: what the calibration shares leaves the difference.
    #[test]
    fn a_shared_error_leaves_a_difference() {
        let read = |value: f64, gauge: &str| {
            Measurement::new(value, Unit::MM)
                .and_then(|m| m.with(Line::own("repeatability", Shape::Normal, 0.003)))
                .and_then(|m| m.with(Line::shared("calibration", Shape::Normal, 0.004, gauge)))
                .unwrap()
        };
        let clearance = |bore, journal| {
            let readings = Readings::new().number("bore", bore).number("journal", journal);
            crate::formula("bearing-clearance")
                .unwrap()
                .assess(&readings)
                .unwrap()
                .number("clearance")
                .unwrap()
                .clone()
        };
        let one = clearance(read(56.045, "mic-2"), read(56.0, "mic-2"));
        let two = clearance(read(56.045, "bore-1"), read(56.0, "mic-2"));
        assert!((one.measured.u() - 3.0 * 2f64.sqrt()).abs() < 1e-6, "{}", one.measured);
        assert!((two.measured.u() - 5.0 * 2f64.sqrt()).abs() < 1e-6, "{}", two.measured);
        for found in [one, two] {
            assert!((found.shares.iter().map(|share| share.share).sum::<f64>() - 1.0).abs() < 1e-9);
        }
    }

    /// Near nought of its angle a cosine turns: first order sees nothing, drawing does.
    #[test]
    fn a_turning_point_is_doubted_and_drawn() {
        let exact = |value, unit| Measurement::new(value, unit).unwrap();
        let readings = Readings::new()
            .number("torque", exact(80.0, Unit::N_M))
            .number("wrench", exact(400.0, Unit::MM))
            .number("extension", exact(100.0, Unit::MM))
            .number("angle", Measurement::with_u(0.0, 10.0, f64::INFINITY, Unit::DEG).unwrap());
        let wrench = crate::formula("wrench-extension").unwrap();
        assert_eq!(wrench.assess(&readings).unwrap().number("setting").unwrap().measured.u(), 0.0);
        let doubts = wrench.doubts(&readings, "setting", 0.95).unwrap();
        assert!(doubts.iter().any(|doubt| matches!(doubt, Doubt::TurningPoint { .. })), "{doubts:?}");
        let drawn = wrench.sampled(&readings, "setting", Trials { count: 10_000, seed: 0 }).unwrap();
        assert!(drawn.mean() > 64.1 && drawn.u() > 0.1, "{} {}", drawn.mean(), drawn.u());
    }

    #[test]
    fn a_nearly_straight_formula_is_not_doubted() {
        let belt = crate::formula("belt-span-tension").unwrap();
        let written =
            [("mass-per-length", "0.100 kg/m"), ("span", "172 ± 1 mm"), ("frequency", "150 ± 2 Hz")];
        let readings = belt.read_readings(written).unwrap();
        assert_eq!(belt.doubts(&readings, "tension", 0.95).unwrap(), vec![]);
        assert!(belt.doubts(&readings, "no-such", 0.95).is_err());
    }

    #[test]
    fn a_wrong_kind_and_an_unknown_key_are_named_together() {
        let newton = Measurement::new(3.0, Unit::N).unwrap();
        let readings = Readings::new().number("span", newton.clone()).number("spam", newton);
        let error = crate::formula("belt-span-tension").unwrap().assess(&readings).unwrap_err();
        let said = error.to_string();
        assert!(said.contains("must be a length") && said.contains("the nearest is `span`"), "{said}");
        assert!(said.contains("Lowest note of the span is missing"), "{said}");
    }
}
