//! Whether first derivatives are enough.

use crate::{Input, Measurement, Shape, UncertaintyError};
use std::fmt;

/// The second-order term may be this part of the variance. Common practice, no source.
pub const CURVED_FROM: f64 = 0.10;
/// A denominator this near to zero, in its own standard uncertainties, is too near. Common practice, no source.
pub const POLE_WITHIN: f64 = 5.0;
/// A result this near to its physical bound, in standard uncertainties, is too near. Common practice, no source.
pub const BOUND_WITHIN: f64 = 2.0;
/// One part with ends, rectangular or arcsine, may be this part of the combined uncertainty before probabilities beyond
/// [`TAIL_FROM`] are doubtful. Common practice, no source.
pub const ENDED_PART_FROM: f64 = 0.70;
/// See [`ENDED_PART_FROM`].
pub const TAIL_FROM: f64 = 0.95;

/// Second and third derivatives of a formula at the measured values.
#[derive(Debug, Clone, PartialEq)]
pub struct Curvature {
    /// `second[i][j] = ∂²f/∂x_i∂x_j`.
    pub second: Vec<Vec<f64>>,
    /// `third[i][j] = ∂³f/∂x_i∂x_j²`; `None` leaves out the term that needs it.
    pub third: Option<Vec<Vec<f64>>>,
}

impl Curvature {
    /// From the formula itself, by central differences as wide as the uncertainties, since it is over that width that the
    /// bend matters. Inputs without uncertainty count as straight.
    ///
    /// # Errors
    /// [`UncertaintyError::Length`] when `x` and `u` differ in length; [`UncertaintyError::FormulaFails`] when the formula
    /// has no finite value within two standard uncertainties.
    pub fn by_differences(
        f: impl Fn(&[f64]) -> f64,
        x: &[f64],
        u: &[f64],
    ) -> Result<Curvature, UncertaintyError> {
        let n = x.len();
        same_length("uncertainties", u.len(), n)?;
        let at = |moves: &[(usize, f64)]| {
            let mut point = x.to_vec();
            for &(i, steps) in moves {
                point[i] += steps * u[i];
            }
            f(&point)
        };
        let centre = at(&[]);
        let mut second = vec![vec![0.0; n]; n];
        let mut third = second.clone();
        for i in 0..n {
            for j in 0..n {
                if u[i] == 0.0 || u[j] == 0.0 {
                    continue;
                }
                let (hi, hj) = (u[i], u[j]);
                (second[i][j], third[i][j]) = if i == j {
                    let (above, below) = (at(&[(i, 1.0)]), at(&[(i, -1.0)]));
                    let (far_above, far_below) = (at(&[(i, 2.0)]), at(&[(i, -2.0)]));
                    let third = far_above - 2.0 * above + 2.0 * below - far_below;
                    ((above - 2.0 * centre + below) / (hi * hi), third / (2.0 * hi * hi * hi))
                } else {
                    let corner = |a, b| at(&[(i, a), (j, b)]);
                    let (pp, pm, mp, mm) =
                        (corner(1.0, 1.0), corner(1.0, -1.0), corner(-1.0, 1.0), corner(-1.0, -1.0));
                    let bent = (pp - 2.0 * corner(1.0, 0.0) + pm) - (mp - 2.0 * corner(-1.0, 0.0) + mm);
                    ((pp - pm - mp + mm) / (4.0 * hi * hj), bent / (2.0 * hi * hj * hj))
                };
            }
        }
        let finite = |table: &[Vec<f64>]| table.iter().flatten().all(|d| d.is_finite());
        if !(finite(&second) && finite(&third)) {
            return Err(UncertaintyError::FormulaFails { share: 100.0 });
        }
        Ok(Curvature { second, third: Some(third) })
    }

    /// What second order adds to the variance: `Σ_i Σ_j (½ f_ij² + f_i f_ijj) u_i² u_j²`, for independent inputs near
    /// normal.
    ///
    /// # Errors
    /// [`UncertaintyError::Length`].
    ///
    /// Source: JCGM 100:2008 5.1.2, note. Checked: `reference/metrology.json`, formula `second-order`.
    pub fn second_order_variance(&self, gradient: &[f64], u: &[f64]) -> Result<f64, UncertaintyError> {
        let n = gradient.len();
        same_length("uncertainties", u.len(), n)?;
        for table in std::iter::once(&self.second).chain(&self.third) {
            same_length("derivatives", table.len(), n)?;
            for row in table {
                same_length("derivatives", row.len(), n)?;
            }
        }
        let mut sum = 0.0;
        for i in 0..n {
            for j in 0..n {
                let third = self.third.as_ref().map_or(0.0, |third| third[i][j]);
                sum += (0.5 * self.second[i][j].powi(2) + gradient[i] * third) * (u[i] * u[j]).powi(2);
            }
        }
        Ok(sum)
    }
}

fn same_length(what: &'static str, found: usize, wanted: usize) -> Result<(), UncertaintyError> {
    if found == wanted { Ok(()) } else { Err(UncertaintyError::Length { what, found, wanted }) }
}

/// A reason why first order may not be good enough; propagating the distributions tells whether it is.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// The second-order term is this part of the first-order variance.
    Curved { share: f64 },
    /// The formula has a turning point in this input: it adds nothing to first order, though it does to second.
    TurningPoint { input: String },
    /// A denominator lies this many of its standard uncertainties from zero.
    NearPole { denominator: String, distance: f64 },
    /// The result lies this many standard uncertainties from a value it cannot pass.
    NearBound { bound: f64, distance: f64 },
    /// One error with sharp ends makes up this part of the combined uncertainty.
    SharpEnds { source: String, share: f64 },
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("first order may not be good enough: ")?;
        match self {
            Doubt::Curved { share } => {
                write!(f, "the formula bends, which adds {:.0} % to the variance", 100.0 * share)
            }
            Doubt::TurningPoint { input } => write!(f, "the formula turns at the value of {input}"),
            Doubt::NearPole { denominator, distance } => {
                write!(
                    f,
                    "the denominator {denominator} lies only {distance:.1} of its uncertainties from zero"
                )
            }
            Doubt::NearBound { bound, distance } => {
                write!(
                    f,
                    "the result lies only {distance:.1} uncertainties from {bound}, which it cannot pass"
                )
            }
            Doubt::SharpEnds { source, share } => {
                write!(f, "{source}, with its sharp ends, is {:.0} % of the uncertainty", 100.0 * share)
            }
        }
    }
}

/// A denominator of a formula, with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Denominator<'a> {
    /// Names it in the answer.
    pub name: &'a str,
    /// Its value and standard uncertainty, in one unit.
    pub value: f64,
    pub u: f64,
}

/// What is asked of a result beyond its first-order uncertainty.
#[derive(Debug, Clone, Copy)]
pub struct LinearityQuestion<'a> {
    /// First-order result.
    pub result: &'a Measurement,
    /// The inputs, with their sensitivities.
    pub inputs: &'a [Input<'a>],
    /// Second derivatives, in the order of the inputs; without them a bend is not seen.
    pub curvature: Option<&'a Curvature>,
    /// Everything the formula divides by.
    pub denominators: &'a [Denominator<'a>],
    /// Values the result cannot pass, in its unit: 0 for a play.
    pub physical_bounds: &'a [f64],
    /// The largest probability that will be read off it.
    pub p: f64,
}

/// Every reason against the first-order answer; none when it stands.
///
/// # Errors
/// [`UncertaintyError::Length`] when the curvature has another size than the inputs.
pub fn doubts(question: &LinearityQuestion<'_>) -> Result<Vec<Doubt>, UncertaintyError> {
    let mut doubts = Vec::new();
    let u_c = question.result.u();

    if let Some(curvature) = question.curvature {
        let gradient: Vec<f64> = question.inputs.iter().map(|input| input.sensitivity).collect();
        let u: Vec<f64> = question.inputs.iter().map(|input| input.measured.u()).collect();
        // The term can be below zero; a bend that narrows is as wrong as one that widens.
        let second_order = curvature.second_order_variance(&gradient, &u)?.abs();
        if second_order > CURVED_FROM * u_c * u_c {
            let share = if u_c > 0.0 { second_order / (u_c * u_c) } else { f64::INFINITY };
            doubts.push(Doubt::Curved { share });
        }
        for (i, input) in question.inputs.iter().enumerate() {
            if input.sensitivity == 0.0 && curvature.second[i][i] != 0.0 && u[i] > 0.0 {
                doubts.push(Doubt::TurningPoint { input: input.name.to_owned() });
            }
        }
    }
    for Denominator { name, value, u } in question.denominators {
        let distance = value.abs() / u;
        if distance < POLE_WITHIN {
            doubts.push(Doubt::NearPole { denominator: (*name).to_owned(), distance });
        }
    }
    for &bound in question.physical_bounds {
        let distance = (question.result.value() - bound).abs() / u_c;
        if distance < BOUND_WITHIN {
            doubts.push(Doubt::NearBound { bound, distance });
        }
    }
    if question.p > TAIL_FROM {
        let ended = |shape| matches!(shape, Shape::Rectangular | Shape::Arcsine);
        for line in question.result.lines().iter().filter(|line| ended(line.shape)) {
            let share = line.contribution().abs() / u_c;
            if share > ENDED_PART_FROM {
                doubts.push(Doubt::SharpEnds { source: line.source.clone(), share });
            }
        }
    }
    Ok(doubts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Line, Unit, propagate};

    fn value(x: f64, u: f64) -> Measurement {
        Measurement::with_u(x, u, f64::INFINITY, Unit::ONE).unwrap()
    }

    #[test]
    fn differences_find_the_derivatives_of_a_cubic() {
        // f = x²y + y³: f_xx = 2y, f_xy = 2x, f_yy = 6y, f_xyy = 0, f_yxx = 2, f_yyy = 6
        let f = |p: &[f64]| p[0] * p[0] * p[1] + p[1].powi(3);
        let c = Curvature::by_differences(f, &[1.5, -2.0], &[0.1, 0.2]).unwrap();
        let third = c.third.unwrap();
        for (got, want) in [
            (c.second[0][0], -4.0),
            (c.second[0][1], 3.0),
            (c.second[1][0], 3.0),
            (c.second[1][1], -12.0),
            (third[0][1], 0.0),
            (third[1][0], 2.0),
            (third[1][1], 6.0),
            (third[0][0], 0.0),
        ] {
            assert!((got - want).abs() < 1e-9, "{got} {want}");
        }
    }

    #[test]
    fn a_formula_that_bends_turns_or_nears_its_ends_is_doubted() {
        let x = value(0.0, 1.0);
        let inputs = [Input { name: "x", measured: &x, sensitivity: 0.0 }];
        let curvature = Curvature::by_differences(|p| p[0] * p[0], &[0.0], &[1.0]).unwrap();
        let result = propagate(0.0, Unit::ONE, &inputs).unwrap();
        let rough = value(0.01, 0.01).with(Line::own("step", Shape::Rectangular, 0.05)).unwrap();
        let ask = |result: &Measurement, curvature, p| {
            let question = LinearityQuestion {
                result,
                inputs: &inputs,
                curvature,
                denominators: &[Denominator { name: "rim", value: 0.4, u: 0.1 }],
                physical_bounds: &[0.0],
                p,
            };
            doubts(&question).unwrap()
        };
        let found = ask(&result, Some(&curvature), 0.95);
        assert!(matches!(found[0], Doubt::Curved { share } if share.is_infinite()));
        assert_eq!(found[1], Doubt::TurningPoint { input: "x".into() });
        assert_eq!(found[2], Doubt::NearPole { denominator: "rim".into(), distance: 4.0 });
        let found = ask(&rough, None, 0.99);
        assert!(found.iter().any(|doubt| matches!(doubt, Doubt::NearBound { .. })));
        assert!(
            found.iter().any(|doubt| matches!(doubt, Doubt::SharpEnds { source, .. } if source == "step"))
        );
        assert!(!ask(&rough, None, 0.95).iter().any(|doubt| matches!(doubt, Doubt::SharpEnds { .. })));
        assert!(found[0].to_string().starts_with("first order may not be good enough: "));
    }

    #[test]
    fn a_straight_formula_stands() {
        let (a, b) = (value(96.012, 0.0035), value(95.968, 0.0029));
        let inputs = [
            Input { name: "bore", measured: &a, sensitivity: 1.0 },
            Input { name: "piston", measured: &b, sensitivity: -1.0 },
        ];
        let result = propagate(0.044, Unit::ONE, &inputs).unwrap();
        let curvature =
            Curvature::by_differences(|p| p[0] - p[1], &[96.012, 95.968], &[0.0035, 0.0029]).unwrap();
        let question = LinearityQuestion {
            result: &result,
            inputs: &inputs,
            curvature: Some(&curvature),
            denominators: &[],
            physical_bounds: &[0.0],
            p: 0.99,
        };
        assert_eq!(doubts(&question), Ok(vec![]));
        let wrong = Curvature { second: vec![vec![0.0]], third: None };
        assert!(doubts(&LinearityQuestion { curvature: Some(&wrong), ..question }).is_err());
        assert!(Curvature::by_differences(|p| 1.0 / p[0], &[0.1], &[0.1]).is_err());
    }
}
