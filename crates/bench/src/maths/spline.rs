//! A smooth curve through measured points.

use crate::Dual;

/// Natural cubic spline: passes through every point, curvature nought at both ends.
///
/// Source: standard numerical analysis. Checked: `reference/worked.json` (against a general-purpose library).
pub(crate) struct Spline<D> {
    xs: Vec<D>,
    ys: Vec<D>,
    /// Curvature at each point.
    bends: Vec<D>,
}

impl<D: Dual> Spline<D> {
    /// `None` when there are fewer than three points, unlike lengths, or `xs` does not rise.
    pub fn through(xs: &[D], ys: &[D]) -> Option<Self> {
        let n = xs.len();
        if n < 3 || ys.len() != n || !super::table::rising(xs) {
            return None;
        }
        // Tridiagonal system for the inner curvatures, eliminated downwards (c, d), then solved upwards.
        let mut c = vec![D::from(0.0); n];
        let mut d = vec![D::from(0.0); n];
        for i in 1..n - 1 {
            let (left, right) = (xs[i] - xs[i - 1], xs[i + 1] - xs[i]);
            let bend = ((ys[i + 1] - ys[i]) / right - (ys[i] - ys[i - 1]) / left) * 6.0;
            let pivot = (left + right) * 2.0 - left * c[i - 1];
            c[i] = right / pivot;
            d[i] = (bend - left * d[i - 1]) / pivot;
        }
        let mut bends = vec![D::from(0.0); n];
        for i in (1..n - 1).rev() {
            bends[i] = d[i] - c[i] * bends[i + 1];
        }
        Some(Self { xs: xs.to_vec(), ys: ys.to_vec(), bends })
    }

    /// Value and curvature at `x`; `None` outside the points.
    pub fn at(&self, x: D) -> Option<(D, D)> {
        let i = super::table::segment(&self.xs, x.re())?;
        let h = self.xs[i + 1] - self.xs[i];
        let (a, b) = ((self.xs[i + 1] - x) / h, (x - self.xs[i]) / h);
        let cubic = ((a.powi(3) - a) * self.bends[i] + (b.powi(3) - b) * self.bends[i + 1]) * h * h / 6.0;
        Some((a * self.ys[i] + b * self.ys[i + 1] + cubic, a * self.bends[i] + b * self.bends[i + 1]))
    }
}
