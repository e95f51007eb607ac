//! The life that the records alone fit best.

use super::likelihood::Evidence;
use super::{Law, Life, Record, bins, record};
use crate::climb::{self, Slopes};
use crate::error::PrognosisError;
use crate::{normal, solve};

const WHAT: &str = "a life";
/// So many of many records are enough to start from.
const FEW: usize = 200;
/// Starting shapes: falling, constant and rising hazard.
const START_SHAPES: [f64; 3] = [0.7, 1.5, 4.0];
/// Starting medians, as multiples of the middle of the records.
const START_MEDIANS: [f64; 3] = [1.0, 2.7, 7.4];
/// Likelihood intervals are found to this share of the logarithm's standard deviation.
const PRECISION: f64 = 1e-6;
/// A likelihood interval reaches at most this many standard deviations; beyond that the end is open.
const WIDEST: f64 = 60.0;

/// The maximum of the likelihood, with what it says of its own doubt.
///
/// Source: Nelson 1982; Meeker & Escobar 1998, chapters 7, 8 and 11. Checked: `reference/life.json`.
#[derive(Debug, Clone)]
pub struct Fit {
    law: Law,
    m: f64,
    c: f64,
    ln_likelihood: f64,
    /// Covariance of `m` and `c`: `[mm, mc, cc]`.
    covariance: [f64; 3],
    evidence: Evidence,
    off: Off,
}

/// What the top lacks because its evidence is binned.
#[derive(Debug, Clone, Copy, Default)]
struct Off {
    m: f64,
    c: f64,
    ln_likelihood: f64,
}

/// The lowest and highest value that the records do not contradict; an end may be open (zero or infinite).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: f64,
}

impl Interval {
    /// Both ends further by this much of their logarithm.
    fn moved(self, ln: f64) -> Self {
        Self { low: self.low * ln.exp(), high: self.high * ln.exp() }
    }
}

/// The life that fits records best, without any prior.
///
/// # Errors
/// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::NoMaximum`] when the records do not
/// bracket a life: no failure among them, or all failures in one place.
pub fn fit(law: Law, records: &[Record]) -> Result<Fit, PrognosisError> {
    record::check(records)?;
    if records.len() <= bins::MANY {
        return fit_evidence(law, Evidence::new(records));
    }
    let whole = Evidence::unbundled(records);
    let near = fit_evidence(law, bins::binned(&whole, bins::COARSE))?;
    Ok(near.corrected(&whole))
}

pub(crate) fn fit_evidence(law: Law, evidence: Evidence) -> Result<Fit, PrognosisError> {
    // A few of many records show the way to the top.
    let few = (evidence.len() > 2 * FEW).then(|| top_from_afar(law, &evidence.some(FEW)).ok()).flatten();
    let near = few.and_then(|((m, c), _)| top_from(law, &evidence, (m, c)).ok());
    let top = near.map_or_else(|| top_from_afar(law, &evidence), Ok)?;
    Ok(Fit::at(law, evidence, top))
}

type Top = ((f64, f64), Slopes);

fn top_from(law: Law, evidence: &Evidence, start: (f64, f64)) -> Result<Top, PrognosisError> {
    climb::top(WHAT, start, |m, c| evidence.slopes(law, m, c))
}

/// The highest of the tops that are reached from starts far apart.
fn top_from_afar(law: Law, evidence: &Evidence) -> Result<Top, PrognosisError> {
    let none = PrognosisError::NoMaximum { what: WHAT };
    let Some(middle) = evidence.middle() else { return Err(none) };
    let starts =
        START_MEDIANS.iter().flat_map(|m| START_SHAPES.iter().map(move |s| (middle + m.ln(), s.ln())));
    let tops = starts.filter_map(|start| top_from(law, evidence, start).ok());
    tops.max_by(|a, b| a.1.value.total_cmp(&b.1.value)).ok_or(none)
}

impl Fit {
    fn at(law: Law, evidence: Evidence, ((m, c), top): Top) -> Self {
        let [mm, mc, cc] = top.hessian;
        let determinant = mm * cc - mc * mc;
        let covariance = [-cc / determinant, mc / determinant, -mm / determinant];
        Self { law, m, c, ln_likelihood: top.value, covariance, evidence, off: Off::default() }
    }

    /// One Newton step by the slopes of the whole records. The curvature is the bins' own, which is as good as a bin is
    /// narrow, and the step is short: what is left is of its square.
    fn corrected(mut self, whole: &Evidence) -> Self {
        let (value, [by_m, by_c]) = whole.gradient(self.law, self.m, self.c);
        let [mm, mc, cc] = self.covariance;
        let (m, c) = (mm * by_m + mc * by_c, mc * by_m + cc * by_c);
        let ln_likelihood = value + 0.5 * (by_m * m + by_c * c) - self.ln_likelihood;
        self.off = Off { m, c, ln_likelihood };
        self
    }

    /// The best life.
    pub fn life(&self) -> Life {
        Life::from_logs(self.law, self.m + self.off.m, self.c + self.off.c)
    }

    pub fn ln_likelihood(&self) -> f64 {
        self.ln_likelihood + self.off.ln_likelihood
    }

    /// Covariance of location `μ` and scale `σ`, `[μμ, μσ, σσ]`, from the curvature at the top.
    pub fn covariance(&self) -> [f64; 3] {
        let [mm, mc, cc] = self.covariance;
        let (scale, centre) = ((-self.c).exp(), self.law.centre());
        // μ = m − centre·σ and σ = e^−c, so dμ = dm + centre·σ dc and dσ = −σ dc.
        let lean = centre * scale;
        [mm + 2.0 * lean * mc + lean * lean * cc, -scale * (mc + lean * cc), scale * scale * cc]
    }

    /// Where the life that a share `p` does not reach may lie, with this coverage: all values whose best likelihood
    /// is within `½ z²` of the top.
    ///
    /// A likelihood interval, which unlike one made of standard errors holds with few failures and heavy censoring.
    pub fn quantile_interval(&self, p: f64, coverage: f64) -> Interval {
        let z = self.law.quantile(p) - self.law.centre();
        // ln t_p = m + z e^−c; along the profile m follows from it and from c.
        let lean = z * (-self.c).exp();
        let [mm, mc, cc] = self.covariance;
        let sd = (mm - 2.0 * lean * mc + lean * lean * cc).sqrt();
        let profile = |ln_t: f64| self.highest_over_shape(|c| ln_t - z * (-c).exp(), |c| z * (-c).exp());
        let off = self.off.m + z * ((-self.c - self.off.c).exp() - (-self.c).exp());
        self.where_within(self.m + lean, sd, coverage, profile).moved(off)
    }

    /// Where the shape may lie, with this coverage; as [`Fit::quantile_interval`].
    pub fn shape_interval(&self, coverage: f64) -> Interval {
        let profile = |c: f64| self.highest_over_median(c);
        self.where_within(self.c, self.covariance[2].sqrt(), coverage, profile).moved(self.off.c)
    }

    /// Ends of the stretch around `middle` where a profile is within `½ z²` of the top.
    fn where_within(&self, middle: f64, sd: f64, coverage: f64, profile: impl Fn(f64) -> f64) -> Interval {
        let drop = 0.5 * normal::quantile(0.5 + 0.5 * coverage).powi(2);
        let end = |side: f64| {
            let short = |share: f64| self.ln_likelihood - profile(middle + side * share * sd) - drop;
            let guess = (2.0 * drop).sqrt();
            let mut far = 2.0 * guess.max(0.1);
            while far < WIDEST && short(far) < 0.0 {
                far *= 2.0;
            }
            if short(far) < 0.0 {
                return side * f64::INFINITY;
            }
            middle + side * sd * solve::increasing_root(0.0, far, guess, PRECISION, short)
        };
        Interval { low: end(-1.0).exp(), high: end(1.0).exp() }
    }

    /// Highest log likelihood over the shape, with `m` following it.
    fn highest_over_shape(&self, m: impl Fn(f64) -> f64, m_slope: impl Fn(f64) -> f64) -> f64 {
        let falling = |c: f64| {
            let [by_m, by_c] = self.evidence.slopes(self.law, m(c), c).gradient;
            -(by_c + by_m * m_slope(c))
        };
        let reach = 3.0_f64.min(WIDEST * self.covariance[2].sqrt());
        let c = solve::increasing_root(self.c - reach, self.c + reach, self.c, 1e-9, falling);
        self.evidence.ln_likelihood(self.law, m(c), c)
    }

    /// Highest log likelihood over the median, at one shape.
    fn highest_over_median(&self, c: f64) -> f64 {
        let falling = |m: f64| -self.evidence.slopes(self.law, m, c).gradient[0];
        let reach = 6.0_f64.min(WIDEST * self.covariance[0].sqrt());
        let m = solve::increasing_root(self.m - reach, self.m + reach, self.m, 1e-10, falling);
        self.evidence.ln_likelihood(self.law, m, c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Many records are binned on the way; what comes out is the fit of them all.
    #[test]
    fn many_records_are_fitted_as_closely_as_few() {
        let (golden, root_two) = (0.618_033_988_7, 0.414_213_562_4);
        let life = Life::weibull(100.0, 3.0).unwrap();
        let records: Vec<Record> = (1..=5000)
            .map(|k| {
                let (p, q) = ((f64::from(k) * golden).fract(), (f64::from(k) * root_two).fract());
                let (t, gap) = (life.quantile(p), 5.0 + 20.0 * q);
                let good = (t / gap).floor() * gap;
                let record =
                    if k % 7 == 0 { Record::good_at(good) } else { Record::between(good, good + gap) };
                if k % 4 == 0 { record.since(0.3 * good) } else { record }
            })
            .collect();
        for law in [Law::Weibull, Law::Lognormal] {
            let (fast, whole) =
                (fit(law, &records).unwrap(), fit_evidence(law, Evidence::new(&records)).unwrap());
            let near =
                |got: f64, want: f64, within: f64| assert!((got / want - 1.0).abs() < within, "{got} {want}");
            near(fast.ln_likelihood(), whole.ln_likelihood(), 1e-8);
            near(fast.life().median(), whole.life().median(), 1e-6);
            near(fast.life().shape(), whole.life().shape(), 1e-5);
            let (got, want) = (fast.quantile_interval(0.1, 0.95), whole.quantile_interval(0.1, 0.95));
            near(got.low, want.low, 1e-4);
            near(got.high, want.high, 1e-4);
        }
    }

    #[test]
    fn records_without_a_failure_have_no_best_fit() {
        let none = fit(Law::Weibull, &[Record::good_at(50.0), Record::good_at(80.0)]);
        assert!(matches!(none, Err(PrognosisError::NoMaximum { .. })), "{none:?}");
        assert!(fit(Law::Weibull, &[]).is_err());
        assert!(fit(Law::Lognormal, &[Record::failed_at(40.0), Record::failed_at(40.0)]).is_err());
    }

    /// With complete exponential data everything is closed form: at β = 1 fixed the profile of η is
    /// `−n ln η − Σt/η`; with β free the interval for the median must hold that one's middle.
    #[test]
    fn an_interval_holds_its_estimate_and_grows_with_coverage() {
        let records: Vec<Record> =
            (1..=30).map(|k| Record::failed_at(-(1.0 - f64::from(k) / 31.0).ln() * 50.0)).collect();
        let fit = fit(Law::Weibull, &records).unwrap();
        let median = fit.life().median();
        let (narrow, wide) = (fit.quantile_interval(0.5, 0.5), fit.quantile_interval(0.5, 0.95));
        assert!(
            wide.low < narrow.low && narrow.low < median && median < narrow.high && narrow.high < wide.high
        );
        let sd = fit.covariance[0].sqrt();
        assert!(((wide.high / wide.low).ln() / (2.0 * 1.96 * sd) - 1.0).abs() < 0.1);
        let shape = fit.shape_interval(0.95);
        assert!(shape.low < fit.life().shape() && fit.life().shape() < shape.high);
    }
}
