//! A smooth surface on many points from its values at few.

use std::f64::consts::PI;

/// Points in each direction at which the surface is taken exactly: few first, and more where they are not enough.
const NODES: [usize; 2] = [13, 17];
/// The interpolated log density is compared with the exact one at so many points, and may be off by this.
const PROBES: usize = 24;
const ALLOWED: f64 = 3e-4;
/// Only where the density is within this many log units of its top does it matter.
const MATTERS: f64 = 16.0;

/// Values of `f` on a grid, one row for each `c`, interpolated from Chebyshev points; `None` where that is not good
/// enough.
pub(crate) fn surface(m: &[f64], c: &[f64], f: &impl Fn(f64, f64) -> f64) -> Option<Vec<f64>> {
    NODES.into_iter().find_map(|nodes| interpolated(nodes, m, c, f))
}

fn interpolated(count: usize, m: &[f64], c: &[f64], f: &impl Fn(f64, f64) -> f64) -> Option<Vec<f64>> {
    let (at_m, to_m) = basis(count, m)?;
    let (at_c, to_c) = basis(count, c)?;
    let exact: Vec<f64> = at_c.iter().flat_map(|c| at_m.iter().map(move |m| f(*m, *c))).collect();
    if exact.iter().any(|value| !value.is_finite()) {
        return None;
    }
    // First along m, then along c.
    let rows: Vec<Vec<f64>> =
        exact.chunks(count).map(|row| to_m.iter().map(|to| dot(to, row)).collect()).collect();
    let mut values = Vec::with_capacity(m.len() * c.len());
    for to in &to_c {
        values.extend(
            (0..m.len()).map(|i| to.iter().zip(&rows).map(|(weight, row)| weight * row[i]).sum::<f64>()),
        );
    }
    is_good(m, c, &values, f).then_some(values)
}

/// Chebyshev points over a row, and the weights of their values at each of its places.
fn basis(count: usize, places: &[f64]) -> Option<(Vec<f64>, Vec<Vec<f64>>)> {
    let (low, high) = (*places.first()?, *places.last()?);
    let node = |k: usize| (PI * (k as f64 + 0.5) / count as f64).cos();
    let nodes: Vec<f64> = (0..count).map(node).collect();
    // Barycentric weights of these points (Berrut & Trefethen 2004).
    let weights: Vec<f64> = (0..count)
        .map(|k| (PI * (k as f64 + 0.5) / count as f64).sin() * if k % 2 == 0 { 1.0 } else { -1.0 })
        .collect();
    let to = |place: &f64| {
        let u = (2.0 * place - low - high) / (high - low);
        if let Some(hit) = nodes.iter().position(|x| *x == u) {
            return (0..count).map(|k| f64::from(u8::from(k == hit))).collect();
        }
        let terms: Vec<f64> = nodes.iter().zip(&weights).map(|(x, w)| w / (u - x)).collect();
        let total: f64 = terms.iter().sum();
        terms.into_iter().map(|term| term / total).collect()
    };
    let at = nodes.iter().map(|x| 0.5 * (low + high + x * (high - low))).collect();
    Some((at, places.iter().map(to).collect()))
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn is_good(m: &[f64], c: &[f64], values: &[f64], f: &impl Fn(f64, f64) -> f64) -> bool {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let matters: Vec<usize> = (0..values.len()).filter(|k| values[*k] >= top - MATTERS).collect();
    let every = (matters.len() / PROBES).max(1);
    matters.iter().step_by(every).all(|k| (values[*k] - f(m[k % m.len()], c[k / m.len()])).abs() < ALLOWED)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smooth_hill_is_interpolated_and_a_ridge_is_refused() {
        let row: Vec<f64> = (0..31).map(|k| -1.0 + f64::from(k) / 15.0).collect();
        let hill = |m: f64, c: f64| -20.0 * (m * m + 0.6 * m * c + c * c) + (0.5 * m - c).exp();
        let values = surface(&row, &row, &hill).unwrap();
        let off = |k: usize| (values[k] - hill(row[k % 31], row[k / 31])).abs();
        assert!((0..values.len()).map(off).fold(0.0, f64::max) < 1e-6);
        assert!(surface(&row, &row, &|m: f64, c: f64| -(30.0 * (m - c)).abs()).is_none());
        // Between values as far apart as these an interpolation finds tops of its own, so large that numbers lose sight
        // of what matters beside them.
        assert!(surface(&row, &row, &|m: f64, c: f64| -(m * m + c * c) - (40.0 * (c - m)).exp()).is_none());
    }
}
