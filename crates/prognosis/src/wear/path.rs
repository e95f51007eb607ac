//! One car's wear: what the readings and the prior together say of its path.

use super::rates::{Evidence, Given, RatePart, Rates, Side};
use super::reading::{self, Reading};
use super::{Limits, Prior, Taught, When};
use crate::error::PrognosisError;
use crate::{normal, quadrature, solve};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use std::f64::consts::TAU;

/// Quantiles of a level are found to this share of its standard deviation.
const LEVEL_PRECISION: f64 = 1e-7;

/// The posterior of one part's path.
///
/// Given the rate the path is Gaussian and known in closed form; the rate itself is summed over a grid of its
/// logarithm. Source: derived; linear path with a normal as-new value (Lu & Meeker 1993), plus a Wiener term
/// (Whitmore 1995). Checked: `reference/wear.json`.
#[derive(Debug, Clone)]
pub struct Path {
    prior: Prior,
    x: Vec<f64>,
    known: Known,
    rates: Rates,
    ln_evidence: f64,
}

/// What readings say before anything is known of the rate; `C` is their covariance given the rate.
#[derive(Debug, Clone)]
pub(crate) struct Known {
    /// Factor of `C`; none without readings.
    factor: Option<Cholesky<f64, Dyn>>,
    /// `C⁻¹ (y − new)` and `C⁻¹ x`.
    from_readings: DVector<f64>,
    from_clock: DVector<f64>,
    pub(crate) evidence: Evidence,
    /// The part of the log likelihood that the rate does not change.
    pub(crate) ln_constant: f64,
}

impl Known {
    pub(crate) fn of(prior: &Prior, readings: &[Reading]) -> Result<Self, PrognosisError> {
        if readings.is_empty() {
            let none = || DVector::zeros(0);
            let evidence = Evidence::default();
            return Ok(Self {
                factor: None,
                from_readings: none(),
                from_clock: none(),
                evidence,
                ln_constant: 0.0,
            });
        }
        let factor = Cholesky::new(covariance(prior, readings)).ok_or(PrognosisError::Singular)?;
        let clock = DVector::from_iterator(readings.len(), readings.iter().map(|r| r.x));
        let beyond_new = DVector::from_iterator(readings.len(), readings.iter().map(|r| r.y - prior.new));
        let from_readings = factor.solve(&beyond_new);
        let from_clock = factor.solve(&clock);
        let evidence = Evidence {
            pull: prior.direction.sign() * clock.dot(&from_readings),
            stiffness: clock.dot(&from_clock),
        };
        let spread =
            readings.len() as f64 * TAU.ln() + factor.ln_determinant() + beyond_new.dot(&from_readings);
        if !(evidence.pull.is_finite() && evidence.stiffness.is_finite() && spread.is_finite()) {
            return Err(PrognosisError::Singular);
        }
        Ok(Self { factor: Some(factor), from_readings, from_clock, evidence, ln_constant: -0.5 * spread })
    }
}

/// A level with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    pub mean: f64,
    pub sd: f64,
}

/// A wear rate in unit per clock, always positive, with the range that holds nine in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    pub mean: f64,
    pub sd: f64,
    pub low: f64,
    pub median: f64,
    pub high: f64,
}

impl Path {
    /// Posterior from a prior and any number of readings, in any order.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::Singular`] when the readings
    /// have no usable covariance.
    pub fn fit(prior: &Prior, readings: &[Reading]) -> Result<Self, PrognosisError> {
        Self::fit_with(prior, &[RatePart::of(prior)], readings)
    }

    /// Posterior from what the shop's other cars taught.
    ///
    /// # Errors
    /// As [`Path::fit`].
    pub fn fit_taught(taught: &Taught, readings: &[Reading]) -> Result<Self, PrognosisError> {
        Self::fit_with(taught.prior(), taught.parts(), readings)
    }

    fn fit_with(prior: &Prior, parts: &[RatePart], readings: &[Reading]) -> Result<Self, PrognosisError> {
        prior.check()?;
        reading::check(readings)?;
        let known = Known::of(prior, readings)?;
        let rates = Rates::lay(parts, known.evidence);
        let ln_evidence = rates.ln_evidence + known.ln_constant;
        Ok(Self { prior: *prior, x: readings.iter().map(|r| r.x).collect(), known, rates, ln_evidence })
    }

    /// The prior it started from.
    pub fn prior(&self) -> &Prior {
        &self.prior
    }

    /// Logarithm of the probability density of the readings under the prior; differences weigh one account of a part's
    /// past against another.
    pub fn ln_evidence(&self) -> f64 {
        self.ln_evidence
    }

    /// Level at `x`, before, between or after the readings; a clock below zero counts as zero.
    pub fn level(&self, x: f64) -> Level {
        let given = self.given(x);
        let spread = given.per_rate * given.per_rate * self.rates.variance();
        Level {
            mean: given.base + given.per_rate * self.rates.mean(),
            sd: (given.sd * given.sd + spread).sqrt(),
        }
    }

    /// Level when the part was new.
    pub fn as_new(&self) -> Level {
        self.level(0.0)
    }

    /// The wear rate of this part.
    pub fn rate(&self) -> Rate {
        Rate {
            mean: self.rates.mean(),
            sd: self.rates.variance().sqrt(),
            low: self.rates.quantile(0.05),
            median: self.rates.quantile(0.5),
            high: self.rates.quantile(0.95),
        }
    }

    /// Probability that this part wears faster than `rate`, in unit per clock; one for a rate that is not above zero.
    pub fn faster_than(&self, rate: f64) -> f64 {
        self.rates.above(rate)
    }

    /// The level that is not exceeded with probability `p`, at `x`. With 0.05 and 0.95 the band that holds nine in
    /// ten. NaN when `p` is not strictly between zero and one.
    pub fn level_quantile(&self, x: f64, p: f64) -> f64 {
        if !(p > 0.0 && p < 1.0) {
            return f64::NAN;
        }
        let (given, about) = (self.given(x), self.level(x));
        if about.sd == 0.0 {
            return about.mean;
        }
        // In standard deviations from the mean the probit of the probability is nearly a straight line.
        let wanted = normal::quantile(p);
        let reach = 40.0 + 4.0 * wanted.abs();
        let z = solve::increasing_root(-reach, reach, wanted, LEVEL_PRECISION, |z| {
            probit(self.rates.probability(given, Side::Below, about.mean + z * about.sd)) - wanted
        });
        about.mean + z * about.sd
    }

    /// Probability that the level is past a limit at `x`.
    pub fn past(&self, limits: Limits, x: f64) -> f64 {
        let given = self.given(x);
        let below = limits.min.map_or(0.0, |min| self.rates.probability(given, Side::Below, min));
        let above = limits.max.map_or(0.0, |max| self.rates.probability(given, Side::Above, max));
        (below + above).min(1.0)
    }

    /// Probability of being past a limit when `x` itself is known only by equally probable values, such as the
    /// quantiles of a forecast odometer. NaN when there are none.
    pub fn past_over(&self, limits: Limits, xs: &[f64]) -> f64 {
        xs.iter().map(|x| self.past(limits, *x)).sum::<f64>() / xs.len() as f64
    }

    /// `E[(min(T, horizon) − x)⁺]`, with `T` the clock at which a limit is reached: the use that is thrown away when the
    /// part is renewed at the clock `x`, up to a horizon. Zero when the horizon is not beyond `x`.
    ///
    /// For a part that cannot grow back; see [`Path::past`].
    pub fn unused_after(&self, limits: Limits, x: f64, horizon: f64) -> f64 {
        let x = x.max(0.0);
        if !horizon.is_finite() || horizon <= x {
            return 0.0;
        }
        // The probability turns between its crossings, so each stretch between them is summed by itself.
        let crossing = self.crossing(limits, x, horizon);
        let turns =
            [crossing.early, crossing.middle, crossing.late].into_iter().filter_map(|when| match when {
                When::At(at) => Some(at),
                When::Already | When::NotBefore(_) => None,
            });
        let (mut sum, mut from) = (0.0, x);
        for to in turns.chain([horizon]) {
            // Past its last turn the probability that is left falls over about the length gone before.
            let typical = if to < horizon { 4.0 * (to - from) } else { from - x };
            sum +=
                quadrature::tail(from, to, typical.max(0.1 * (to - from)), |at| 1.0 - self.past(limits, at));
            from = to;
        }
        sum
    }

    /// Distribution of the level at `x`, given the rate.
    pub(crate) fn given(&self, x: f64) -> Given {
        let x = x.max(0.0);
        let prior = &self.prior;
        let (spread, wander) = (prior.new_sd * prior.new_sd, prior.wander * prior.wander);
        let sign = prior.direction.sign();
        let alone = spread + wander * x;
        let Some(factor) = &self.known.factor else {
            return Given { base: prior.new, per_rate: sign * x, sd: alone.sqrt() };
        };
        let with_readings =
            DVector::from_iterator(self.x.len(), self.x.iter().map(|at| spread + wander * at.min(x)));
        let base = prior.new + with_readings.dot(&self.known.from_readings);
        let per_rate = sign * (x - with_readings.dot(&self.known.from_clock));
        let mut explained = with_readings;
        factor.l_dirty().solve_lower_triangular_mut(&mut explained);
        Given { base, per_rate, sd: (alone - explained.norm_squared()).max(0.0).sqrt() }
    }

    pub(crate) fn rates(&self) -> &Rates {
        &self.rates
    }
}

/// `C_ij = s_a² + σ_B² min(x_i, x_j) + [i = j] u_i² + [same instrument] u_b,i u_b,j`.
pub(crate) fn covariance(prior: &Prior, readings: &[Reading]) -> DMatrix<f64> {
    let (spread, wander) = (prior.new_sd * prior.new_sd, prior.wander * prior.wander);
    DMatrix::from_fn(readings.len(), readings.len(), |i, j| {
        let (a, b) = (&readings[i], &readings[j]);
        let own = if i == j { a.own_variance() } else { 0.0 };
        spread + wander * a.x.min(b.x) + own + a.shared_variance(b)
    })
}

/// Quantile of the normal distribution, kept finite so that a root can be sought through it.
pub(crate) fn probit(p: f64) -> f64 {
    normal::quantile(p.clamp(1e-300, 1.0)).min(9.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::Direction;

    const LIMIT: f64 = 23.0;

    fn disc() -> Prior {
        let wander = 4e-5_f64.sqrt();
        Prior {
            new: 25.0,
            new_sd: 0.05,
            direction: Direction::Down,
            ln_rate: 0.02_f64.ln(),
            ln_rate_sd: 0.4,
            wander,
        }
    }

    fn readings(count: usize) -> Vec<Reading> {
        let seen = [(12.0, 24.79), (25.0, 24.52), (41.0, 24.20), (56.0, 23.93), (70.0, 23.64)];
        seen.iter().take(count).map(|(x, y)| Reading::new(*x, *y, 0.02)).collect()
    }

    /// Fine-grid values (20001 nodes, numpy and scipy), as in `reference/wear.json`; the promise there is 2·10⁻⁴.
    #[test]
    fn a_disc_crosses_its_limit_where_a_fine_grid_says() {
        let check = |count: usize, at: f64, past: f64, crossings: [f64; 3]| {
            let seen = readings(count);
            let path = Path::fit(&disc(), &seen).unwrap();
            let near =
                |got: f64, want: f64| assert!((got / want - 1.0).abs() < 1e-6, "{count}: {got}, want {want}");
            near(path.past(Limits::min(LIMIT), at), past);
            let crossing = path.crossing(Limits::min(LIMIT), seen.last().map_or(0.0, |r| r.x), 1000.0);
            for (when, want) in [crossing.early, crossing.middle, crossing.late].into_iter().zip(crossings) {
                match when {
                    When::At(x) => near(x, want),
                    other => panic!("{count}: {other:?}, want {want}"),
                }
            }
        };
        check(0, 100.0, 0.500_800_024_484, [51.640_217_427_9, 99.919_449_567_3, 193.847_802_179]);
        check(1, 100.0, 0.259_679_834_186, [84.365_361_384, 113.348_293_151, 167.184_291_189]);
        check(2, 100.0, 0.388_012_619_371, [89.440_475_870_8, 102.592_868_85, 121.240_501_095]);
        check(5, 103.0, 0.521_540_327_58, [98.709_979_762_9, 102.852_387_847, 107.730_624_464]);
    }

    /// Without readings the logarithm of the rate is normal; with them, the quantiles of the rate are asked back.
    #[test]
    fn the_chance_of_a_faster_rate_is_that_of_its_quantile() {
        let none = Path::fit(&disc(), &[]).unwrap();
        for z in [-2.0, -0.5, 0.0, 1.0, 2.5] {
            let past = none.faster_than(0.02 * (0.4_f64 * z).exp());
            assert!((past - normal::cdf(-z)).abs() < 1e-4, "{z}: {past}");
        }
        let path = Path::fit(&disc(), &readings(5)).unwrap();
        let rate = path.rate();
        for (at, p) in [(rate.low, 0.95), (rate.median, 0.5), (rate.high, 0.05)] {
            assert!((path.faster_than(at) - p).abs() < 1e-9);
        }
        assert_eq!((path.faster_than(0.0), path.faster_than(f64::INFINITY)), (1.0, 0.0));
        assert!(path.faster_than(f64::NAN).is_finite());
    }

    #[test]
    fn what_is_thrown_away_is_the_sum_of_what_would_have_lasted() {
        for count in [0, 1, 5] {
            let path = Path::fit(&disc(), &readings(count)).unwrap();
            let limit = Limits::min(LIMIT);
            for (x, horizon) in [(70.0, 400.0), (70.0, 95.0), (100.0, 1000.0), (130.0, 400.0), (90.0, 80.0)] {
                let steps = 40_000;
                let step = (horizon - x) / f64::from(steps);
                let lasts = |k: i32| 1.0 - path.past(limit, x + step * (f64::from(k) + 0.5));
                let want = if step > 0.0 { (0..steps).map(lasts).sum::<f64>() * step } else { 0.0 };
                let got = path.unused_after(limit, x, horizon);
                assert!((got - want).abs() < 1e-3 + 1e-3 * want, "{count} {x} {horizon}: {got}, want {want}");
            }
        }
    }
}
