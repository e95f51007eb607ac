//! Lines of many cars, each with its own start and rate: the outside check on what a family has learnt.

use super::Line;
use super::linear::inverse;
use crate::error::{Inspection, PrognosisError};
use crate::minimise::minimise;
use nalgebra::{Cholesky, DMatrix, DVector};
use std::f64::consts::TAU;

/// A population of lines `y = a + b·x + e`: mean and covariance of `(a, b)`, variance of `e`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomSlopes {
    pub lines: Line,
    pub residual_variance: f64,
    /// −2 × the restricted log likelihood at the top.
    pub criterion: f64,
}

impl RandomSlopes {
    /// Correlation of start and rate; NaN where one of them does not vary.
    pub fn correlation(&self) -> f64 {
        let [aa, ab, bb] = self.lines.covariance;
        ab / (aa * bb).sqrt()
    }
}

/// Restricted maximum likelihood of lines with random start and rate, one list of points for each unit.
///
/// Where a variance is nothing or the correlation complete, different programs give estimates a fifth apart at the same
/// likelihood: there the likelihood is what counts, not the estimate. Source: Laird & Ware 1982; Lu & Meeker 1993.
/// Checked: `reference/wear.json`.
///
/// # Errors
/// [`PrognosisError::Inputs`] for numbers that are not finite; [`PrognosisError::TooFew`] for fewer than three units;
/// [`PrognosisError::Singular`] when the points do not span a line; [`PrognosisError::NoMaximum`] when they lie exactly on
/// lines.
pub fn random_slopes<U: AsRef<[(f64, f64)]>>(units: &[U]) -> Result<RandomSlopes, PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, (x, y)) in units.iter().flat_map(|unit| unit.as_ref()).enumerate() {
        inspection.at("point", index).finite("x", *x).finite("y", *y);
    }
    inspection.finish()?;
    if units.len() < 3 {
        return Err(PrognosisError::TooFew { what: "random slopes", needed: 3, found: units.len() });
    }
    let sums: Vec<Sums> = units.iter().map(|unit| Sums::of(unit.as_ref())).collect();
    let total = sums.iter().fold(Sums::default(), |total, unit| total.plus(unit));
    let scale = (total.xx / total.n - (total.x / total.n).powi(2)).sqrt();
    if scale.is_nan() || scale <= 0.0 || total.n < 4.0 {
        return Err(PrognosisError::Singular);
    }
    // Parameters: Cholesky factor of the covariance of (a, b), relative to the residual and to the spread of x.
    let factor = |[p, q, r]: [f64; 3]| [p, q / scale, r / scale];
    let value = |theta: [f64; 3]| profile(&sums, factor(theta)).map_or(f64::INFINITY, |fit| fit.criterion);
    let starts = [[1.0, 0.0, 1.0], [0.3, 0.0, 3.0], [3.0, 0.0, 0.3]];
    let tops = starts.iter().map(|start| minimise(*start, [0.5, 0.5, 0.5], value));
    let best = tops.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|best| best.1.is_finite());
    let theta = best.ok_or(PrognosisError::NoMaximum { what: "random slopes" })?.0;
    profile(&sums, factor(theta)).ok_or(PrognosisError::NoMaximum { what: "random slopes" })
}

/// What one unit's points add up to; the likelihood needs no more.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    n: f64,
    x: f64,
    xx: f64,
    y: f64,
    xy: f64,
    yy: f64,
}

impl Sums {
    fn of(points: &[(f64, f64)]) -> Self {
        points.iter().fold(Self::default(), |sums, (x, y)| {
            sums.plus(&Self { n: 1.0, x: *x, xx: x * x, y: *y, xy: x * y, yy: y * y })
        })
    }

    fn plus(&self, other: &Self) -> Self {
        Self {
            n: self.n + other.n,
            x: self.x + other.x,
            xx: self.xx + other.xx,
            y: self.y + other.y,
            xy: self.xy + other.xy,
            yy: self.yy + other.yy,
        }
    }
}

/// The restricted likelihood with mean and residual variance at their best for one relative covariance `ΛΛᵀ`,
/// `Λ = [[p, 0], [q, r]]`.
fn profile(sums: &[Sums], [p, q, r]: [f64; 3]) -> Option<RandomSlopes> {
    let (mut ln_determinants, mut xvx, mut xvy, mut yvy) = (0.0, [0.0; 3], [0.0; 2], 0.0);
    for s in sums {
        // With W = I + ΛᵀXᵀXΛ: |V| = |W| and V⁻¹ = I − XΛW⁻¹ΛᵀXᵀ.
        let xl = [p * s.n + q * s.x, p * s.x + q * s.xx, r * s.x, r * s.xx];
        let w = [1.0 + p * xl[0] + q * xl[1], r * xl[1], 1.0 + r * xl[3]];
        let [w11, w12, w22] = inverse(w).ok()?;
        ln_determinants += (w[0] * w[2] - w[1] * w[1]).ln();
        let ly = [p * s.y + q * s.xy, r * s.xy];
        let explained = |u: [f64; 2], v: [f64; 2]| {
            w11 * u[0] * v[0] + w12 * (u[0] * v[1] + u[1] * v[0]) + w22 * u[1] * v[1]
        };
        let (l0, l1) = ([xl[0], xl[2]], [xl[1], xl[3]]);
        xvx[0] += s.n - explained(l0, l0);
        xvx[1] += s.x - explained(l0, l1);
        xvx[2] += s.xx - explained(l1, l1);
        xvy[0] += s.y - explained(l0, ly);
        xvy[1] += s.xy - explained(l1, ly);
        yvy += s.yy - explained(ly, ly);
    }
    let [i11, i12, i22] = inverse(xvx).ok()?;
    let mean = [i11 * xvy[0] + i12 * xvy[1], i12 * xvy[0] + i22 * xvy[1]];
    let freedom = sums.iter().map(|s| s.n).sum::<f64>() - 2.0;
    let residual_variance = (yvy - mean[0] * xvy[0] - mean[1] * xvy[1]) / freedom;
    if residual_variance.is_nan() || residual_variance <= 0.0 {
        return None;
    }
    let criterion = ln_determinants
        + (xvx[0] * xvx[2] - xvx[1] * xvx[1]).ln()
        + freedom * (1.0 + (TAU * residual_variance).ln());
    let covariance = [p * p, p * q, q * q + r * r].map(|c| c * residual_variance);
    Some(RandomSlopes { lines: Line { mean, covariance }, residual_variance, criterion })
}

/// Log likelihood of many units under a population of lines with residual variance and wander:
/// `Σ ln N(y; X m, X S Xᵀ + s² I + σ_B² min(x_i, x_j))`. Checked: `reference/wear.json`.
///
/// # Errors
/// [`PrognosisError::Singular`] when a unit's covariance has no inverse.
pub fn path_ln_likelihood<U: AsRef<[(f64, f64)]>>(
    units: &[U],
    lines: &Line,
    residual_variance: f64,
    wander: f64,
) -> Result<f64, PrognosisError> {
    let [aa, ab, bb] = lines.covariance;
    let mut sum = 0.0;
    for unit in units.iter().map(AsRef::as_ref).filter(|unit| !unit.is_empty()) {
        let covariance = DMatrix::from_fn(unit.len(), unit.len(), |i, j| {
            let (s, t) = (unit[i].0, unit[j].0);
            let own = if i == j { residual_variance } else { 0.0 };
            aa + ab * (s + t) + bb * s * t + own + wander * wander * s.min(t)
        });
        let factor = Cholesky::new(covariance).ok_or(PrognosisError::Singular)?;
        let off = unit.iter().map(|(x, y)| y - lines.mean[0] - lines.mean[1] * x);
        let off = DVector::from_iterator(unit.len(), off);
        sum -= 0.5 * (unit.len() as f64 * TAU.ln() + factor.ln_determinant() + off.dot(&factor.solve(&off)));
    }
    Ok(sum)
}
