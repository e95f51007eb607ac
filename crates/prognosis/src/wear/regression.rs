//! Straight lines by least squares.

use crate::error::{Inspection, PrognosisError};

/// A least-squares line with the standard deviations of what it says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regression {
    pub intercept: f64,
    pub slope: f64,
    pub intercept_sd: f64,
    pub slope_sd: f64,
    pub residual_sd: f64,
    /// Share of the scatter that the line accounts for.
    pub r2: f64,
}

/// Least-squares line `y = intercept + slope·x`. Checked: NIST StRD, in `reference/wear.json`.
///
/// # Errors
/// [`PrognosisError::Inputs`] for numbers that are not finite; [`PrognosisError::TooFew`] for fewer than three points;
/// [`PrognosisError::Singular`] when all lie at one `x`.
pub fn least_squares(points: &[(f64, f64)]) -> Result<Regression, PrognosisError> {
    check(points, 3)?;
    let n = points.len() as f64;
    let (x_mean, y_mean) =
        (points.iter().map(|p| p.0).sum::<f64>() / n, points.iter().map(|p| p.1).sum::<f64>() / n);
    let sum =
        |f: &dyn Fn(f64, f64) -> f64| points.iter().map(|(x, y)| f(x - x_mean, y - y_mean)).sum::<f64>();
    let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
    if xx <= 0.0 {
        return Err(PrognosisError::Singular);
    }
    let slope = xy / xx;
    let off = sum(&|x, y| (y - slope * x).powi(2));
    let residual_sd = (off / (n - 2.0)).sqrt();
    Ok(Regression {
        intercept: y_mean - slope * x_mean,
        slope,
        intercept_sd: residual_sd * (1.0 / n + x_mean * x_mean / xx).sqrt(),
        slope_sd: residual_sd / xx.sqrt(),
        residual_sd,
        r2: 1.0 - off / yy,
    })
}

/// Least-squares line through the origin. Checked: NIST StRD, in `reference/wear.json`.
///
/// # Errors
/// As [`least_squares`], for fewer than two points.
pub fn least_squares_through_origin(points: &[(f64, f64)]) -> Result<Regression, PrognosisError> {
    check(points, 2)?;
    let sum = |f: &dyn Fn(f64, f64) -> f64| points.iter().map(|(x, y)| f(*x, *y)).sum::<f64>();
    let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
    if xx <= 0.0 {
        return Err(PrognosisError::Singular);
    }
    let slope = xy / xx;
    let off = sum(&|x, y| (y - slope * x).powi(2));
    let residual_sd = (off / (points.len() as f64 - 1.0)).sqrt();
    Ok(Regression {
        intercept: 0.0,
        slope,
        intercept_sd: 0.0,
        slope_sd: residual_sd / xx.sqrt(),
        residual_sd,
        r2: 1.0 - off / yy,
    })
}

fn check(points: &[(f64, f64)], needed: usize) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, (x, y)) in points.iter().enumerate() {
        inspection.at("point", index).finite("x", *x).finite("y", *y);
    }
    inspection.finish()?;
    if points.len() < needed {
        return Err(PrognosisError::TooFew { what: "a line", needed, found: points.len() });
    }
    Ok(())
}
