//! A straight line that a few wrong readings hardly move.

use crate::error::{Inspection, PrognosisError};

/// Beyond this many points the pairs are too many to be listed.
const MOST_POINTS: usize = 4000;

/// A straight line `y = intercept + slope·x`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    pub slope: f64,
    pub intercept: f64,
}

/// The median of the slopes between all pairs of points, through the medians of `x` and `y`.
///
/// # Errors
/// [`PrognosisError::Inputs`] for numbers that are not finite, [`PrognosisError::TooFew`] when fewer than two points
/// differ in `x`, [`PrognosisError::TooMany`] above 4000 points.
///
/// Source: Theil 1950; Sen 1968. Checked: `reference/usage.json`.
pub fn theil_sen(points: &[(f64, f64)]) -> Result<Line, PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, (x, y)) in points.iter().enumerate() {
        inspection.at("point", index).finite("x", *x).finite("y", *y);
    }
    inspection.finish()?;
    if points.len() > MOST_POINTS {
        return Err(PrognosisError::TooMany { what: "a line", most: MOST_POINTS, found: points.len() });
    }
    let pairs = points.iter().enumerate().flat_map(|(k, a)| points[k + 1..].iter().map(move |b| (a, b)));
    let mut slopes: Vec<f64> =
        pairs.filter(|(a, b)| a.0 != b.0).map(|(a, b)| (b.1 - a.1) / (b.0 - a.0)).collect();
    if slopes.is_empty() {
        return Err(PrognosisError::TooFew { what: "a line through points apart in x", needed: 2, found: 0 });
    }
    let slope = median(&mut slopes);
    let mut x: Vec<f64> = points.iter().map(|p| p.0).collect();
    let mut y: Vec<f64> = points.iter().map(|p| p.1).collect();
    Ok(Line { slope, intercept: median(&mut y) - slope * median(&mut x) })
}

/// Median of a list that is not empty.
fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { 0.5 * (values[half - 1] + values[half]) }
}
