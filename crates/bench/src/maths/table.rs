//! Straight lines between the points of a table.

use crate::Dual;

/// The value at `x` on straight lines between points with rising `xs`; `None` outside the table or when it has
/// fewer than two points or does not rise.
pub(crate) fn between<D: Dual>(xs: &[D], ys: &[D], x: D) -> Option<D> {
    let at = segment(xs, x.re())?;
    let (x0, x1) = (*xs.get(at)?, *xs.get(at + 1)?);
    let (y0, y1) = (*ys.get(at)?, *ys.get(at + 1)?);
    Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
}

/// The segment `x` lies in; an end is not missed by the last bits of a unit's factor.
pub(crate) fn segment<D: Dual>(xs: &[D], x: f64) -> Option<usize> {
    let (first, last) = (xs.first()?.re(), xs.last()?.re());
    let near = NEAR * (last - first).abs();
    let x = if (x - first).abs() <= near {
        first
    } else if (x - last).abs() <= near {
        last
    } else {
        x
    };
    (0..xs.len().checked_sub(1)?).find(|at| match (xs.get(*at), xs.get(at + 1)) {
        (Some(x0), Some(x1)) => x0.re() < x1.re() && x0.re() <= x && x <= x1.re(),
        _ => false,
    })
}

/// Part of a table's width within which an end still counts.
const NEAR: f64 = 1e-9;

/// The value at `x` on straight lines between fixed points with rising `x`; `None` outside them.
pub(crate) fn fixed<D: Dual>(points: &[(f64, f64)], x: D) -> Option<D> {
    let xs: Vec<f64> = points.iter().map(|(x, _)| *x).collect();
    let at = segment(&xs, x.re())?;
    match points.get(at..at + 2)? {
        [(x0, y0), (x1, y1)] => Some((x - *x0) * ((y1 - y0) / (x1 - x0)) + *y0),
        _ => None,
    }
}

/// Whether every value is larger than the one before.
pub(crate) fn rising<D: Dual>(xs: &[D]) -> bool {
    xs.windows(2).all(|pair| matches!(pair, [a, b] if a.re() < b.re()))
}
