//! Whether first-order uncertainty will do, and what to do when it will not.

use crate::answer::Variable;
use crate::inputs::{Entry, Inputs};
use crate::readings::Readings;
use crate::{BenchError, Formula, Problem};
use quantity::{Curvature, Doubt, LinearityQuestion, Measurement, Sampled, Trials, UncertaintyError, Unit};

impl Formula {
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
        let names: Vec<_> = held.variables.iter().map(|variable| self.name(variable)).collect();
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
}
