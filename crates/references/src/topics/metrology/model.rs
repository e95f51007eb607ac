//! A formula with the measured values of its names, and its exact derivatives there.

use super::expression::Expression;
use super::{Curvature, Input, Measurement, Unit, propagate, refused};
use crate::{InputError, Inputs};
use num_dual::third_partial_derivative_vec;
use serde::Deserialize;

pub(super) struct Model {
    formula: Expression,
    /// In the order of the formula's names.
    values: Vec<Measurement>,
}

/// An input as a row writes it.
#[derive(Deserialize)]
struct Stated {
    x: f64,
    u: f64,
}

impl Model {
    /// The formula under `f`, each of its names an input `{ x, u }` of the row; `pi` is the number.
    pub(super) fn written(inputs: &Inputs<'_>) -> Result<Model, InputError> {
        Model::of(&inputs.read::<String>("f")?, |name| {
            let Stated { x, u } = inputs.read(name)?;
            Measurement::with_u(x, u, f64::INFINITY, Unit::ONE).map_err(refused)
        })
    }

    /// A formula and where to find the values of its names.
    pub(super) fn of(
        text: &str,
        value: impl Fn(&str) -> Result<Measurement, InputError>,
    ) -> Result<Model, InputError> {
        let formula = Expression::parse(text).map_err(InputError::refused)?;
        let values = formula.names.iter().map(|name| match name.as_str() {
            "pi" => Measurement::new(std::f64::consts::PI, Unit::ONE).map_err(refused),
            name => value(name),
        });
        let values = values.collect::<Result<_, _>>()?;
        Ok(Model { formula, values })
    }

    pub(super) fn values(&self) -> &[Measurement] {
        &self.values
    }

    pub(super) fn u(&self) -> Vec<f64> {
        self.values.iter().map(Measurement::u).collect()
    }

    pub(super) fn at(&self, x: &[f64]) -> f64 {
        self.formula.at(x)
    }

    fn point(&self) -> Vec<f64> {
        self.values.iter().map(Measurement::value).collect()
    }

    pub(super) fn gradient(&self) -> Vec<f64> {
        (0..self.values.len()).map(|i| self.derivatives(i, i, i).1).collect()
    }

    pub(super) fn curvature(&self) -> Curvature {
        let n = self.values.len();
        let table = |entry: &dyn Fn(usize, usize) -> f64| -> Vec<Vec<f64>> {
            (0..n).map(|i| (0..n).map(|j| entry(i, j)).collect()).collect()
        };
        let second = table(&|i, j| self.derivatives(i, j, j).4);
        Curvature { second, third: Some(table(&|i, j| self.derivatives(i, j, j).7)) }
    }

    /// f, f_i, f_j, f_k, f_ij, f_ik, f_jk, f_ijk.
    fn derivatives(&self, i: usize, j: usize, k: usize) -> (f64, f64, f64, f64, f64, f64, f64, f64) {
        third_partial_derivative_vec(|x| self.formula.at(x), &self.point(), i, j, k)
    }

    pub(super) fn first_order(&self) -> Result<Measurement, InputError> {
        let gradient = self.gradient();
        let named = self.formula.names.iter().zip(&self.values).zip(gradient);
        let inputs: Vec<Input<'_>> =
            named.map(|((name, measured), sensitivity)| Input { name, measured, sensitivity }).collect();
        propagate(self.at(&self.point()), Unit::ONE, &inputs).map_err(refused)
    }
}
