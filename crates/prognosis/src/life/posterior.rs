//! The posterior of a life, and what it says of one part that is still alive.

use super::likelihood::Evidence;
use super::lives::Lives;
use super::{Belief, Law, Life, Prior, Record, bins, record};
use crate::climb::{self, Slopes};
use crate::error::PrognosisError;
use crate::grid::{Axis, Grid, Laying};
use crate::quadrature;
use std::sync::Arc;

/// From one point to the next a life at the median moves by at most this many units of its own scale, so that sharp
/// laws are summed as well as blunt ones.
const SMOOTH: f64 = 1.1;
/// Points of the grid lighter than this are left out of predictions.
const NEGLIGIBLE: f64 = 1e-7;
/// With more different records than this, their likelihood is interpolated where that is just as good.
const MANY: usize = 12;

/// What is known of the life of one kind of part, after a prior and records.
///
/// Kept on a grid over the logarithms of median and shape, laid to the posterior's own width. Survival and means are
/// right to 10⁻⁴, quantiles of the median to 10⁻³. Source: derived. Checked: `reference/life.json`.
#[derive(Debug, Clone)]
pub struct Posterior {
    law: Law,
    evidence: f64,
    failures: f64,
    medians: Axis,
    shapes: Axis,
    lives: Arc<Lives>,
}

/// Mean and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    pub mean: f64,
    pub sd: f64,
}

impl Estimate {
    fn of(axis: &Axis) -> Self {
        let (mean, sd) = axis.moments();
        Self { mean, sd }
    }
}

/// The posterior of a life from a stated prior and any number of records.
///
/// # Errors
/// As [`Posterior::from_belief`].
pub fn posterior(law: Law, prior: &Prior, records: &[Record]) -> Result<Posterior, PrognosisError> {
    Posterior::from_belief(law, &prior.belief(law)?, records)
}

impl Posterior {
    /// The posterior from a belief in the model's own terms.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::NotSettled`] when records and
    /// prior contradict each other beyond what numbers hold.
    pub fn from_belief(law: Law, belief: &Belief, records: &[Record]) -> Result<Self, PrognosisError> {
        belief.check()?;
        record::check(records)?;
        let evidence = if records.len() > bins::MANY {
            bins::binned(&Evidence::unbundled(records), bins::FINE)
        } else {
            Evidence::new(records)
        };
        Self::from_evidence(law, belief, &evidence)
    }

    pub(crate) fn from_evidence(
        law: Law,
        belief: &Belief,
        evidence: &Evidence,
    ) -> Result<Self, PrognosisError> {
        let surface = |m: f64, c: f64| evidence.slopes(law, m, c).with_prior(belief, m, c);
        let ((m, c), top) =
            climb::top("the posterior of a life", (belief.ln_median, belief.ln_shape), surface)?;
        let [mm, mc, cc] = top.hessian;
        let determinant = mm * cc - mc * mc;
        let (m_sd, c_sd) = ((-cc / determinant).sqrt(), (-mm / determinant).sqrt());
        let ln_density = |m: f64, c: f64| evidence.ln_likelihood(law, m, c) + belief.ln_density(m, c);
        let laying = Laying {
            mode: (m, c),
            sd: (m_sd, c_sd),
            interpolate: evidence.len() > MANY,
            longest_step: |(c, c_sd)| SMOOTH / (c + c_sd).exp(),
        };
        let grid = Grid::lay(&laying, ln_density);
        Ok(Self {
            law,
            evidence: grid.ln_integral,
            failures: evidence.failures(),
            lives: Arc::new(Lives::new(law, &grid.points(NEGLIGIBLE))),
            medians: grid.m,
            shapes: grid.c,
        })
    }

    pub fn law(&self) -> Law {
        self.law
    }

    /// How many failures taught it.
    pub fn failures(&self) -> f64 {
        self.failures
    }

    /// Logarithm of the probability of the records under the prior; differences weigh one model against another.
    pub fn ln_evidence(&self) -> f64 {
        self.evidence
    }

    /// Logarithm of the median life.
    pub fn ln_median(&self) -> Estimate {
        Estimate::of(&self.medians)
    }

    /// Logarithm of the shape.
    pub fn ln_shape(&self) -> Estimate {
        Estimate::of(&self.shapes)
    }

    /// The median life that lies above the true one with probability `p`.
    pub fn median_quantile(&self, p: f64) -> f64 {
        self.medians.quantile(p).exp()
    }

    /// The one life nearest to the middle of what is known.
    pub fn central(&self) -> Life {
        Life::from_logs(self.law, self.ln_median().mean, self.ln_shape().mean)
    }

    /// Probability that a new part lasts longer than `t`.
    pub fn survival(&self, t: f64) -> f64 {
        let mut sum = 0.0;
        self.lives.for_each(t, |_, mass, ln_survival| sum += mass * ln_survival.exp());
        sum
    }

    /// The survival at `t` that lies above the true one with probability `p`: the edge of a band to draw.
    pub fn survival_quantile(&self, t: f64, p: f64) -> f64 {
        let mut each: Vec<(f64, f64)> = Vec::with_capacity(self.lives.len());
        self.lives.for_each(t, |_, mass, ln_survival| each.push((ln_survival.exp(), mass)));
        each.sort_by(|a, b| a.0.total_cmp(&b.0));
        // Each point stands for what lies around it, so its survival belongs to the middle of its mass.
        let mut before: Option<(f64, f64)> = None;
        let mut summed = 0.0;
        for (survival, w) in each {
            let here = (summed + 0.5 * w, survival);
            summed += w;
            if here.0 >= p {
                let share = |from: (f64, f64)| (p - from.0) / (here.0 - from.0);
                return before.map_or(survival, |from| from.1 + share(from) * (survival - from.1));
            }
            before = Some(here);
        }
        before.map_or(1.0, |(_, survival)| survival)
    }

    /// One part that is alive at `age`.
    pub fn alive_at(&self, age: f64, own: OwnRecord) -> Alive {
        let age = age.max(0.0);
        let mut ln_survival = Vec::with_capacity(self.lives.len());
        self.lives.for_each(age, |_, _, ln| ln_survival.push(ln));
        let mut mass: Vec<f64> = self.lives.masses().collect();
        if own == OwnRecord::LeftOut {
            let largest = ln_survival.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            mass.iter_mut().zip(&ln_survival).for_each(|(w, ln)| *w *= (ln - largest).exp());
            let total: f64 = mass.iter().sum();
            mass.iter_mut().for_each(|w| *w /= total);
        }
        Alive { age, lives: Arc::clone(&self.lives), mass, ln_survival }
    }
}

/// Whether a part's own survival is already among the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OwnRecord {
    /// Its record is in: `P = E[1 − S(t+Δ)/S(t)]`.
    InData,
    /// It was left out, so that it is alive still has to be weighed: `P = 1 − E[S(t+Δ)]/E[S(t)]`. The two agree.
    LeftOut,
}

/// A third of what is believed of something uncertain, by probability.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Third {
    Lowest,
    Middle,
    Highest,
}

impl Third {
    pub const ALL: [Self; 3] = [Self::Lowest, Self::Middle, Self::Highest];

    /// From where to where it reaches, as probabilities.
    pub fn shares(self) -> (f64, f64) {
        match self {
            Self::Lowest => (0.0, 1.0 / 3.0),
            Self::Middle => (1.0 / 3.0, 2.0 / 3.0),
            Self::Highest => (2.0 / 3.0, 1.0),
        }
    }

    /// The mean of a standard normal variable within it: `∓ 3 φ(z)` at the outer two, with `Φ(z) = 1/3`.
    pub fn mean_of_normal(self) -> f64 {
        /// `3 φ(0.430727…)`. Derived.
        const OUTER: f64 = 1.090_799_3;
        match self {
            Self::Lowest => -OUTER,
            Self::Middle => 0.0,
            Self::Highest => OUTER,
        }
    }
}

/// A part that is alive at a known age, and what may come.
#[derive(Debug, Clone)]
pub struct Alive {
    age: f64,
    lives: Arc<Lives>,
    /// Mass of each life, now that the part is alive.
    mass: Vec<f64>,
    /// Logarithm of each life's survival to its age.
    ln_survival: Vec<f64>,
}

impl Alive {
    /// The same part, were the median life of its kind in one third of what is believed of it, now that the part is alive.
    /// The three thirds together are the whole: `S = (S₁ + S₂ + S₃) / 3`.
    pub fn in_third(&self, third: Third) -> Self {
        let medians: Vec<f64> = self.lives.ln_medians().collect();
        let mut order: Vec<usize> = (0..medians.len()).collect();
        order.sort_by(|one, other| medians[*one].total_cmp(&medians[*other]));
        let (from, to) = third.shares();
        let total: f64 = self.mass.iter().sum();
        let mut mass = vec![0.0; self.mass.len()];
        let mut before = 0.0;
        for k in order {
            let after = before + self.mass[k] / total;
            // A life that lies across a border counts on either side with its share.
            mass[k] = (after.min(to) - before.max(from)).max(0.0) / (to - from);
            before = after;
        }
        Self { age: self.age, lives: Arc::clone(&self.lives), mass, ln_survival: self.ln_survival.clone() }
    }

    /// Probability that it lasts beyond the clock `t`; one up to its age.
    pub fn survival(&self, t: f64) -> f64 {
        if t <= self.age {
            return 1.0;
        }
        let mut sum = 0.0;
        self.lives.for_each(t, |k, _, ln| sum += self.mass[k] * (ln - self.ln_survival[k]).exp());
        sum
    }

    /// Probability that it fails by the clock `t`.
    pub fn fails_by(&self, t: f64) -> f64 {
        if t <= self.age {
            return 0.0;
        }
        let mut sum = 0.0;
        self.lives.for_each(t, |k, _, ln| sum -= self.mass[k] * (ln - self.ln_survival[k]).exp_m1());
        sum
    }

    /// Probability that it fails within what is ahead, known only by equally probable values such as the quantiles of
    /// a forecast. NaN when there are none.
    pub fn fails_within(&self, ahead: &[f64]) -> f64 {
        ahead.iter().map(|d| self.fails_by(self.age + d)).sum::<f64>() / ahead.len() as f64
    }

    /// `E[(min(T, horizon) − t)⁺]`: the use that is thrown away when it is renewed at the clock `t`.
    ///
    /// A horizon is needed because the mean of an uncertain life has no bound: the few very long lives that the
    /// spread of the shape leaves possible would decide it.
    pub fn unused_after(&self, t: f64, horizon: f64) -> f64 {
        let from = t.max(self.age);
        quadrature::tail(from, horizon, self.lives.middle(), |u| self.survival(u)) + (self.age - t).max(0.0)
    }

    /// Mean of what is left of its life, up to a horizon.
    pub fn mean_residual(&self, horizon: f64) -> f64 {
        self.unused_after(self.age, horizon)
    }
}

impl Belief {
    /// Logarithm of the prior's density.
    pub(crate) fn ln_density(&self, m: f64, c: f64) -> f64 {
        let (a, b) = ((m - self.ln_median) / self.ln_median_sd, (c - self.ln_shape) / self.ln_shape_sd);
        -0.5 * (a * a + b * b) - (std::f64::consts::TAU * self.ln_median_sd * self.ln_shape_sd).ln()
    }
}

impl Slopes {
    fn with_prior(mut self, belief: &Belief, m: f64, c: f64) -> Self {
        let precision = (belief.ln_median_sd.powi(-2), belief.ln_shape_sd.powi(-2));
        self.value += belief.ln_density(m, c);
        self.gradient[0] -= precision.0 * (m - belief.ln_median);
        self.gradient[1] -= precision.1 * (c - belief.ln_shape);
        self.hessian[0] -= precision.0;
        self.hessian[2] -= precision.1;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_thirds_of_a_belief_are_the_whole() {
        let prior = Prior { median: 8.0, spread: 2.0, sure: 1.8 };
        let posterior = posterior(Law::Weibull, &prior, &[Record::good_at(6.0)]).unwrap();
        let alive = posterior.alive_at(5.0, OwnRecord::LeftOut);
        for t in [4.0, 5.5, 7.0, 9.0, 14.0, 30.0] {
            let each = Third::ALL.map(|third| alive.in_third(third).survival(t));
            assert!((each.iter().sum::<f64>() / 3.0 - alive.survival(t)).abs() < 1e-9, "{t}: {each:?}");
            assert!(each.is_sorted(), "a kind that lasts longer is sooner alive: {t}: {each:?}");
        }
        let spread = |third| alive.in_third(third).fails_by(8.0);
        assert!(spread(Third::Lowest) > 1.5 * spread(Third::Highest));
    }

    /// A third of a standard normal lies below −0.430727 (tables of the normal distribution).
    #[test]
    fn the_mean_of_an_outer_third_is_three_times_the_density_at_its_border() {
        let density = (-0.5 * 0.430_727_3_f64.powi(2)).exp() / std::f64::consts::TAU.sqrt();
        assert!((Third::Highest.mean_of_normal() - 3.0 * density).abs() < 1e-6, "{}", 3.0 * density);
        let sum: f64 = Third::ALL.iter().map(|third| third.mean_of_normal()).sum();
        assert_eq!(sum, 0.0);
    }

    /// Bushes seen at visits of the shop, in thousand km; grid values as in `reference/life.json`.
    #[test]
    fn bushes() {
        let inf = f64::INFINITY;
        let rows = [
            (62., 88., 48.),
            (0., 74., 0.),
            (80., inf, 60.),
            (104., 127., 90.),
            (55., 83., 0.),
            (96., inf, 77.),
            (131., inf, 112.),
            (71., 101., 58.),
            (118., inf, 99.),
            (90., 123., 84.),
            (0., 96., 0.),
            (149., inf, 130.),
        ];
        let records: Vec<Record> = rows.iter().map(|(l, u, e)| Record::between(*l, *u).since(*e)).collect();
        let belief =
            Belief { ln_median: 120f64.ln(), ln_median_sd: 0.5, ln_shape: 2.5f64.ln(), ln_shape_sd: 0.4 };
        let p = Posterior::from_belief(Law::Weibull, &belief, &records).unwrap();
        let near = |got: f64, want: f64, rel: f64| assert!((got / want - 1.0).abs() < rel, "{got} {want}");
        near(p.ln_median().mean, 4.33466154436, 1e-4);
        near(p.ln_median().sd, 0.234848478088, 5e-4);
        near(p.survival(100.0), 0.320839235895, 1e-4);
        near(p.median_quantile(0.05), 50.6334744236, 1e-3);
        near(p.alive_at(85.0, OwnRecord::LeftOut).fails_within(&[15.0]), 0.264223512387, 1e-3);
        let mut with = records.clone();
        with.push(Record::good_at(85.0));
        let q = Posterior::from_belief(Law::Weibull, &belief, &with).unwrap();
        near(q.alive_at(85.0, OwnRecord::InData).fails_within(&[15.0]), 0.264223512387, 1e-3);
    }
}
