//! Many lives, each with its share of the probability, asked together.

use super::{Law, Life};

/// Exponents are kept within this, so that no product of two of their powers overflows.
const LARGEST: f64 = 350.0;

/// Lives of one law, those of one shape side by side.
#[derive(Debug, Clone)]
pub(crate) struct Lives {
    law: Law,
    /// Logarithm of a time in their midst; powers are taken relative to it.
    ln_middle: f64,
    each: Vec<Weighed>,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Weighed {
    pub life: Life,
    pub mass: f64,
    /// Weibull: cumulated hazard at the middle time.
    spent: f64,
}

impl Lives {
    /// From `(ln median, ln shape, mass)`, in order of shape.
    pub(crate) fn new(law: Law, points: &[(f64, f64, f64)]) -> Self {
        let ln_middle: f64 = points.iter().map(|(m, _, w)| w * m).sum();
        let weighed = |(m, c, mass): &(f64, f64, f64)| {
            let life = Life::from_logs(law, *m, *c);
            let spent = (life.shape() * (ln_middle - m) + law.centre()).clamp(-LARGEST, LARGEST).exp();
            Weighed { life, mass: *mass, spent }
        };
        Self { law, ln_middle, each: points.iter().map(weighed).collect() }
    }

    pub(crate) fn len(&self) -> usize {
        self.each.len()
    }

    pub(crate) fn masses(&self) -> impl Iterator<Item = f64> + '_ {
        self.each.iter().map(|weighed| weighed.mass)
    }

    /// Logarithm of the median of each life.
    pub(crate) fn ln_medians(&self) -> impl Iterator<Item = f64> + '_ {
        self.each.iter().map(|weighed| weighed.life.ln_median())
    }

    /// A time in the midst of all.
    pub(crate) fn middle(&self) -> f64 {
        self.ln_middle.exp()
    }

    /// Hands the mass of each life, by its place, with the logarithm of its survival at `t`.
    pub(crate) fn for_each(&self, t: f64, mut f: impl FnMut(usize, f64, f64)) {
        let ln_t = t.ln();
        // Lives of one shape share the power of time.
        let (mut shape, mut power) = (f64::NAN, 0.0);
        for (k, weighed) in self.each.iter().enumerate() {
            let ln_survival = match self.law {
                _ if t <= 0.0 => 0.0,
                Law::Weibull => {
                    if weighed.life.shape() != shape {
                        shape = weighed.life.shape();
                        power = (shape * (ln_t - self.ln_middle)).clamp(-LARGEST, LARGEST).exp();
                    }
                    -power * weighed.spent
                }
                Law::Lognormal => weighed.life.ln_survival(t),
            };
            f(k, weighed.mass, ln_survival);
        }
    }
}
