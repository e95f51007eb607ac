//! A formula over measured inputs: the result with its uncertainty, and whose it is.

use crate::answer::{Number, Step, Value, Variable, written};
use crate::formula::Formula;
use crate::output::Output;
use crate::readings::Readings;
use crate::{BenchError, Problem};
use quantity::{Measurement, UncertaintyError, Unit};
use std::borrow::Cow;
use std::fmt;

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
    /// The step to which it is shown where nothing uncertain went in.
    pub finest: Option<f64>,
    /// One for each number put in, the largest first.
    pub shares: Vec<Share>,
}

impl fmt::Display for Found {
    /// With its uncertainty; to four significant digits where nothing uncertain went in.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (value, unit) = (self.measured.value(), self.measured.unit());
        if self.measured.u() > 0.0 {
            let told = self.measured.to_string();
            // Of a plain number no unit is shown.
            let bare = unit == Unit::ONE || unit == Unit::COUNT;
            return f.pad(if bare { told.trim_end_matches(unit.symbol()).trim_end() } else { &told });
        }
        f.pad(&written(value, unit, self.finest))
    }
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

    fn found(
        &self,
        output: &'static Output,
        number: &Number,
        variables: &[Variable],
        readings: &Readings,
    ) -> Result<Found, BenchError> {
        let no_answer = |_: UncertaintyError| BenchError::from(Problem::NoAnswer { output: output.title });
        let Some(unit) = output.unit else { return Err(Problem::NoAnswer { output: output.title }.into()) };
        let names: Vec<Cow<'static, str>> = variables.iter().map(|variable| self.name(variable)).collect();
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
        Ok(Found { measured, finest: output.finest, shares })
    }

    /// What an input is called in a budget.
    pub(crate) fn name(&self, variable: &Variable) -> Cow<'static, str> {
        let title = self.input(variable.key).map_or(variable.key, |input| input.title);
        match variable.index {
            None => Cow::Borrowed(title),
            Some(index) => Cow::Owned(format!("{title} {}", index + 1)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::{Line, Shape};

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

    /// A function by itself says what the list says of it.
    #[test]
    fn a_function_alone_has_the_uncertainty_of_the_list() {
        let formula = crate::formula("torque-long-form").unwrap();
        let mut readings = Readings::new();
        let mut alone = vec![];
        for input in &formula.inputs {
            let scale = input.scale().unwrap();
            let u = 0.01 * scale.example.abs();
            let measured = Measurement::with_u(scale.example, u, f64::INFINITY, scale.unit).unwrap();
            readings = readings.number(input.key, measured);
            alone.push((scale.unit.to_si(scale.example), u * scale.unit.factor()));
        }
        let (torque, u) = crate::with_u::<7>(alone.try_into().unwrap(), |[f, p, rt, rn, beta, mt, mn]| {
            Ok(crate::threads::tightening::torque_for_preload(f, p, rt, rn, beta, mt, mn)?.torque)
        })
        .unwrap();
        let listed = &formula.assess(&readings).unwrap().number("torque").unwrap().measured.clone();
        assert!((torque - listed.value()).abs() < 1e-12 * torque, "{torque} {listed}");
        assert!((u - listed.u()).abs() < 1e-12 * u, "{u} {listed}");
    }

    #[test]
    fn a_result_is_written_as_it_is_read() {
        let shown = |id: &str, written: &[(&str, &str)], output: &str| {
            let formula = crate::formula(id).unwrap();
            let readings = formula.read_readings(written.iter().copied()).unwrap();
            formula.assess(&readings).unwrap().number(output).unwrap().to_string()
        };
        let engine = |bore| [("bore", bore), ("stroke", "82,8 mm"), ("cylinders", "4")];
        assert_eq!(shown("displacement", &engine("82 mm"), "engine"), "1749 cm³");
        assert_eq!(shown("displacement", &engine("82,00 ± 0,05 mm"), "engine"), "1749.1 ± 2.1 cm³");
        let stud = [
            ("seat-load", "200 ± 5 N"),
            ("open-load", "500 N"),
            ("rate", "30"),
            ("lift", "10"),
            ("mass", "0.1 kg"),
        ];
        let ratio = shown(
            "valve-spring-margin",
            &[&stud[..1], &stud[2..], &[("deceleration", "3000")]].concat(),
            "ratio",
        );
        assert!(ratio.contains(" ± ") && !ratio.contains(':'), "{ratio}");
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
