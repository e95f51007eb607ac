//! What is known of one car's wear rate, on a grid of its logarithm.

use super::Prior;
use crate::{masses, normal, normal_table};

/// Grid points; at ± 7 standard deviations a step is 0.07 of one.
const POINTS: usize = 201;
/// Points while the grid is still being laid.
const ROUGH_POINTS: usize = 81;
/// The prior is laid this many standard deviations wide.
const PRIOR_WIDTH: f64 = 6.0;
/// A re-laid grid reaches this many posterior standard deviations to either side.
const WIDTH: f64 = 7.0;
/// How often the grid is laid again to the posterior it showed. Left at the prior's width it would be 20 % wrong
/// after five readings.
const LAYINGS: usize = 3;
/// Further layings for readings so sharp that the posterior still sits within a few points.
const MOST_LAYINGS: usize = 12;
/// Every n-th point will do where it gives the same mass, mean and variance to [`SAME`].
const STRIDES: [usize; 4] = [8, 5, 4, 2];
const SAME: f64 = 1e-6;
/// Smooth enough for a plain sum: from one point to the next the level moves by at most this many of its own
/// standard deviations.
const SMOOTH: f64 = 1.0;
/// Masses whose logarithm lies this far below the largest are nothing.
const NOTHING: f64 = -40.0;
/// Points lighter than this are left out of averages that are dear.
const NEGLIGIBLE: f64 = 1e-9;

/// What the readings say of the rate `b`: their log likelihood is `pull·b − ½·stiffness·b²`, up to a constant.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Evidence {
    pub pull: f64,
    pub stiffness: f64,
}

/// A level that depends on the rate: normal with mean `base + per_rate·b` and standard deviation `sd`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Given {
    pub base: f64,
    pub per_rate: f64,
    pub sd: f64,
}

/// Which side of a bound a level is asked to be on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Above,
    Below,
}

/// The posterior of the rate.
#[derive(Debug, Clone)]
pub(crate) struct Rates {
    low: f64,
    step: f64,
    rate: Vec<f64>,
    mass: Vec<f64>,
    /// Masses for bins instead of points, see [`bin_masses`].
    bin_mass: Vec<f64>,
    /// Strides that keep the moments, widest first; ends with 1.
    strides: Vec<usize>,
    pub(crate) ln_mean: f64,
    pub(crate) ln_sd: f64,
    /// Logarithm of prior times likelihood, integrated over the rate.
    pub(crate) ln_evidence: f64,
}

/// One normal part of what is believed of the logarithm of a rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RatePart {
    pub weight: f64,
    pub ln_mean: f64,
    pub ln_sd: f64,
    ln_of_sd: f64,
}

impl RatePart {
    pub(crate) fn new(weight: f64, ln_mean: f64, ln_sd: f64) -> Self {
        Self { weight, ln_mean, ln_sd, ln_of_sd: ln_sd.ln() }
    }

    pub(crate) fn of(prior: &Prior) -> Self {
        Self::new(1.0, prior.ln_rate, prior.ln_rate_sd)
    }

    fn ln_density(&self, ln_rate: f64) -> f64 {
        normal::ln_pdf((ln_rate - self.ln_mean) / self.ln_sd) - self.ln_of_sd
    }
}

impl Rates {
    /// Posterior of the rate from what was believed, in parts whose weights add to one, and the evidence.
    pub(crate) fn lay(parts: &[RatePart], evidence: Evidence) -> Self {
        let mut rough = Self::over(first_reach(parts, evidence), ROUGH_POINTS, parts, evidence);
        for laying in 1..MOST_LAYINGS {
            if laying >= LAYINGS && rough.ln_sd > 2.0 * rough.step {
                break;
            }
            rough = Self::over(rough.next_reach(), ROUGH_POINTS, parts, evidence);
        }
        let mut rates = Self::over(rough.next_reach(), POINTS, parts, evidence);
        rates.strides = strides(&rates);
        rates.bin_mass = bin_masses(&rates.mass);
        rates
    }

    fn over((low, high): (f64, f64), points: usize, parts: &[RatePart], evidence: Evidence) -> Self {
        let step = (high - low) / (points - 1) as f64;
        let ln_at = |k: usize| low + step * k as f64;
        let ln_prior = |ln_rate: f64| match parts {
            [one] => one.ln_density(ln_rate),
            many => many.iter().map(|part| part.weight * part.ln_density(ln_rate).exp()).sum::<f64>().ln(),
        };
        // A step on the logarithm is a factor; that it is multiplied up costs the last two digits of the rate.
        let factor = step.exp();
        let rate: Vec<f64> =
            std::iter::successors(Some(low.exp()), |b| Some(b * factor)).take(points).collect();
        let ln_likelihood = |b: &f64| b * (evidence.pull - 0.5 * evidence.stiffness * b);
        let mut mass: Vec<f64> =
            rate.iter().enumerate().map(|(k, b)| ln_prior(ln_at(k)) + ln_likelihood(b)).collect();
        let ln_total = normalise_logs(&mut mass);
        let mean: f64 = mass.iter().enumerate().map(|(k, w)| w * ln_at(k)).sum();
        let variance: f64 = mass.iter().enumerate().map(|(k, w)| w * (ln_at(k) - mean).powi(2)).sum();
        Self {
            low,
            step,
            rate,
            mass,
            bin_mass: Vec::new(),
            strides: vec![1],
            ln_mean: mean,
            ln_sd: variance.sqrt(),
            ln_evidence: ln_total + step.ln(),
        }
    }

    /// To the posterior's own width, or to a few steps where it is narrower than one.
    fn next_reach(&self) -> (f64, f64) {
        let half = WIDTH * self.ln_sd.max(0.5 * self.step);
        (self.ln_mean - half, self.ln_mean + half)
    }

    /// Mean of the rate.
    pub(crate) fn mean(&self) -> f64 {
        self.mass.iter().zip(&self.rate).map(|(w, b)| w * b).sum()
    }

    /// Variance of the rate.
    pub(crate) fn variance(&self) -> f64 {
        let mean = self.mean();
        self.mass.iter().zip(&self.rate).map(|(w, b)| w * (b - mean) * (b - mean)).sum()
    }

    /// Mean of a smooth function of the rate.
    pub(crate) fn average(&self, f: impl Fn(f64) -> f64) -> f64 {
        let points = self.rate.iter().zip(&self.mass).filter(|(_, w)| **w > NEGLIGIBLE);
        points.map(|(b, w)| w * f(*b)).sum()
    }

    /// Rate with probability `p` below it.
    pub(crate) fn quantile(&self, p: f64) -> f64 {
        (self.low + self.step * masses::quantile(&self.mass, p)).exp()
    }

    /// Probability of a rate above this one: the share at which [`Rates::quantile`] has reached it.
    pub(crate) fn above(&self, rate: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..f64::MANTISSA_DIGITS {
            let middle = f64::midpoint(low, high);
            if self.quantile(middle) > rate { high = middle } else { low = middle }
        }
        1.0 - f64::midpoint(low, high)
    }

    /// Probability that the level is on that side of the bound.
    pub(crate) fn probability(&self, level: Given, side: Side, bound: f64) -> f64 {
        let turn = if side == Side::Above { 1.0 } else { -1.0 };
        let sd = level.sd.max(f64::MIN_POSITIVE);
        let offset = turn * (level.base - bound) / sd;
        let slope = turn * level.per_rate / sd;
        let fastest = slope.abs() * self.rate[self.rate.len() - 1];
        let per_step = self.step * fastest.min(offset.abs());
        match self.strides.iter().find(|stride| per_step * **stride as f64 <= SMOOTH) {
            Some(&stride) => self.by_points(stride, offset, slope),
            None => self.by_bins(offset, slope),
        }
    }

    fn by_points(&self, stride: usize, offset: f64, slope: f64) -> f64 {
        let points = self.rate.iter().zip(&self.mass).step_by(stride);
        stride as f64 * points.map(|(b, w)| w * normal_table::cdf(offset + slope * b)).sum::<f64>()
    }

    /// Where the level is much surer than the rate, each bin takes the mean of Φ over its width, so a limit that
    /// falls between two grid points is seen where it is.
    fn by_bins(&self, offset: f64, slope: f64) -> f64 {
        let half = (0.5 * self.step).exp();
        let mut from = offset + slope * self.rate[0] / half;
        let mut from_area = normal_table::area(from);
        let mut sum = 0.0;
        for (b, w) in self.rate.iter().zip(&self.bin_mass) {
            let to = offset + slope * b * half;
            let to_area = normal_table::area(to);
            let mean = if (to - from).abs() < 1e-3 {
                normal_table::cdf(0.5 * (from + to))
            } else {
                (to_area - from_area) / (to - from)
            };
            sum += w * mean;
            (from, from_area) = (to, to_area);
        }
        sum.clamp(0.0, 1.0)
    }
}

/// Reaches over prior and likelihood both, however far apart they are.
fn first_reach(parts: &[RatePart], evidence: Evidence) -> (f64, f64) {
    let low = parts.iter().map(|p| p.ln_mean - PRIOR_WIDTH * p.ln_sd).fold(f64::INFINITY, f64::min);
    let high = parts.iter().map(|p| p.ln_mean + PRIOR_WIDTH * p.ln_sd).fold(f64::NEG_INFINITY, f64::max);
    if evidence.pull <= 0.0 || evidence.stiffness <= 0.0 {
        return (low, high);
    }
    let best = evidence.pull / evidence.stiffness;
    let sd = 1.0 / (evidence.stiffness.sqrt() * best);
    let reach = PRIOR_WIDTH * sd.min(high - low);
    (low.min(best.ln() - reach), high.max(best.ln() + reach))
}

/// Logarithms of masses become masses that add to one; gives the logarithm of what they added to.
fn normalise_logs(mass: &mut [f64]) -> f64 {
    let largest = mass.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    mass.iter_mut().for_each(|w| *w = if *w - largest > NOTHING { (*w - largest).exp() } else { 0.0 });
    let total: f64 = mass.iter().sum();
    mass.iter_mut().for_each(|w| *w /= total);
    largest + total.ln()
}

fn strides(rates: &Rates) -> Vec<usize> {
    let keeps = |stride: &usize| {
        let (mut total, mut first, mut second) = (0.0, 0.0, 0.0);
        for (k, w) in rates.mass.iter().enumerate().step_by(*stride) {
            let z = (rates.low + rates.step * k as f64 - rates.ln_mean) / rates.ln_sd;
            total += w;
            first += w * z;
            second += w * z * z;
        }
        let n = *stride as f64;
        (n * total - 1.0).abs() < SAME && (n * first).abs() < SAME && (n * second - 1.0).abs() < SAME
    };
    STRIDES.into_iter().filter(keeps).chain([1]).collect()
}

/// Point masses spread over bins would widen the distribution by a twelfth of the squared step; taking a
/// twenty-fourth of the second difference off first leaves its variance as it was.
fn bin_masses(mass: &[f64]) -> Vec<f64> {
    let at = |k: Option<usize>| k.and_then(|k| mass.get(k)).copied().unwrap_or(0.0);
    mass.iter()
        .enumerate()
        .map(|(k, w)| w - (at(k.checked_sub(1)) - 2.0 * w + at(Some(k + 1))) / 24.0)
        .collect()
}
