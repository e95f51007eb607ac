//! A posterior over two parameters, `m` and `c`, on a grid laid to its own width.

use crate::{chebyshev, masses};

/// Standard deviations the grid reaches to either side where the tail is light.
const WIDTH: f64 = 6.0;
/// Where a side still carries this share of the heaviest row, the grid is laid wider there.
const LIGHT: f64 = 1e-6;
const WIDER: f64 = 1.5;
/// But no wider than this; what is still out there is told by the prior alone and too little to matter.
const WIDEST: f64 = 25.0;
const MOST_LAYINGS: usize = 10;
/// A mean and a standard deviation that change by less than this share of it have been found.
const STAYS: f64 = 0.1;
/// From one point to the next at most this share of a standard deviation.
const STEP: f64 = 0.4;
const LEAST_POINTS: usize = 3;
const MOST_POINTS: usize = 151;
/// A thinner grid will do for predictions where it gives the same mass, means and variances to this.
const SAME: f64 = 1e-6;

/// One side of the grid.
#[derive(Debug, Clone)]
pub(crate) struct Axis {
    pub at: Vec<f64>,
    /// The posterior's mass summed over the other side.
    pub mass: Vec<f64>,
}

/// The grid, one row for each `c`.
#[derive(Debug, Clone)]
pub(crate) struct Grid {
    pub m: Axis,
    pub c: Axis,
    pub mass: Vec<f64>,
    /// Logarithm of the integral.
    pub ln_integral: f64,
    longest_step: f64,
}

/// How a grid is laid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Laying {
    /// Where to start: a mode, and the standard deviations there.
    pub mode: (f64, f64),
    pub sd: (f64, f64),
    /// The log density is dear: interpolate it where that is just as good.
    pub interpolate: bool,
    /// Longest step along `m`, from mean and standard deviation of `c`, so that what is summed over the grid is smooth
    /// from point to point.
    pub longest_step: fn((f64, f64)) -> f64,
}

/// How far a side reaches from its middle, in standard deviations.
#[derive(Debug, Clone, Copy)]
struct Reach {
    mean: f64,
    sd: f64,
    low: f64,
    high: f64,
}

impl Grid {
    /// Lays a grid over the log density `f`; again, to the posterior it showed, until that stays and the edges are light.
    pub(crate) fn lay(laying: &Laying, f: impl Fn(f64, f64) -> f64) -> Self {
        let mut m = Reach { mean: laying.mode.0, sd: laying.sd.0, low: WIDTH, high: WIDTH };
        let mut c = Reach { mean: laying.mode.1, sd: laying.sd.1, low: WIDTH, high: WIDTH };
        let mut grid = Self::over(&m, &c, laying, &f);
        for _ in 1..MOST_LAYINGS {
            if m.follow(&grid.m) & c.follow(&grid.c) {
                break;
            }
            grid = Self::over(&m, &c, laying, &f);
        }
        grid
    }

    fn over(m: &Reach, c: &Reach, laying: &Laying, f: &impl Fn(f64, f64) -> f64) -> Self {
        let longest_step = (laying.longest_step)((c.mean, c.sd));
        let (at_m, at_c) = (m.points(longest_step), c.points(f64::INFINITY));
        let interpolated = if laying.interpolate { chebyshev::surface(&at_m, &at_c, f) } else { None };
        let ln = interpolated
            .unwrap_or_else(|| at_c.iter().flat_map(|c| at_m.iter().map(move |m| f(*m, *c))).collect());
        let largest = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut mass: Vec<f64> = ln.iter().map(|l| (l - largest).exp()).collect();
        let total: f64 = mass.iter().sum();
        mass.iter_mut().for_each(|w| *w /= total);
        let cell = (at_m[1] - at_m[0]) * (at_c[1] - at_c[0]);
        let by_m = (0..at_m.len()).map(|i| mass.iter().skip(i).step_by(at_m.len()).sum()).collect();
        let by_c = mass.chunks(at_m.len()).map(|row| row.iter().sum()).collect();
        Self {
            m: Axis { at: at_m, mass: by_m },
            c: Axis { at: at_c, mass: by_c },
            mass,
            ln_integral: largest + total.ln() + cell.ln(),
            longest_step,
        }
    }

    /// `(m, c, mass)` of the points that carry the posterior, every other one where that is enough.
    pub(crate) fn points(&self, negligible: f64) -> Vec<(f64, f64, f64)> {
        let by_m = if 2.0 * self.m.step() <= self.longest_step && self.m.keeps(2) { 2 } else { 1 };
        let by_c = if self.c.keeps(2) { 2 } else { 1 };
        let width = self.m.at.len();
        let mut points = Vec::new();
        let mut total = 0.0;
        for (j, c) in self.c.at.iter().enumerate().skip(self.c.offset(by_c)).step_by(by_c) {
            for (i, m) in self.m.at.iter().enumerate().skip(self.m.offset(by_m)).step_by(by_m) {
                let w = self.mass[j * width + i];
                if w > negligible {
                    points.push((*m, *c, w));
                    total += w;
                }
            }
        }
        points.iter_mut().for_each(|(_, _, w)| *w /= total);
        points
    }
}

impl Axis {
    pub(crate) fn moments(&self) -> (f64, f64) {
        let mean: f64 = self.at.iter().zip(&self.mass).map(|(x, w)| w * x).sum();
        let variance: f64 = self.at.iter().zip(&self.mass).map(|(x, w)| w * (x - mean) * (x - mean)).sum();
        (mean, variance.sqrt())
    }

    pub(crate) fn quantile(&self, p: f64) -> f64 {
        self.at[0] + masses::quantile(&self.mass, p) * self.step()
    }

    fn step(&self) -> f64 {
        self.at[1] - self.at[0]
    }

    fn heaviest(&self) -> f64 {
        self.mass.iter().copied().fold(0.0, f64::max)
    }

    /// Where a thinner row of points starts, so that it ends as far from the other edge.
    fn offset(&self, stride: usize) -> usize {
        (self.at.len() - 1) % stride
    }

    /// Whether every `stride`-th point gives the same mass, mean and variance.
    fn keeps(&self, stride: usize) -> bool {
        let (mean, sd) = self.moments();
        let n = stride as f64;
        let thin = self.at.iter().zip(&self.mass).skip(self.offset(stride)).step_by(stride);
        let sums = thin.fold([0.0; 3], |[zero, one, two], (x, w)| {
            let z = (x - mean) / sd;
            [zero + n * w, one + n * w * z, two + n * w * z * z]
        });
        (sums[0] - 1.0).abs() < SAME && sums[1].abs() < SAME && (sums[2] - 1.0).abs() < SAME
    }
}

impl Reach {
    fn points(&self, longest_step: f64) -> Vec<f64> {
        let (low, high) = (self.mean - self.low * self.sd, self.mean + self.high * self.sd);
        let wanted = ((high - low) / longest_step.min(STEP * self.sd)).ceil();
        let count =
            if wanted < MOST_POINTS as f64 { LEAST_POINTS.max(wanted as usize + 1) } else { MOST_POINTS };
        let step = (high - low) / (count - 1) as f64;
        (0..count).map(|k| low + step * k as f64).collect()
    }

    /// Follows the posterior, reaching further on the sides that are not light yet; whether it stayed as it was.
    fn follow(&mut self, axis: &Axis) -> bool {
        let limit = LIGHT * axis.heaviest();
        let heavy = |edge: Option<&f64>| edge.is_some_and(|w| *w > limit);
        let low = heavy(axis.mass.first()) && self.low < WIDEST;
        let high = heavy(axis.mass.last()) && self.high < WIDEST;
        if low {
            self.low = WIDEST.min(WIDER * self.low);
        }
        if high {
            self.high = WIDEST.min(WIDER * self.high);
        }
        let was = *self;
        (self.mean, self.sd) = axis.moments();
        self.sd = self.sd.max(0.5 * axis.step());
        let moved = (self.mean - was.mean).abs().max((self.sd - was.sd).abs());
        !low && !high && moved < STAYS * was.sd
    }
}
