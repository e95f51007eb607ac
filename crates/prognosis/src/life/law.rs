//! The two laws a life may follow.

use crate::error::{Inspection, PrognosisError};
use crate::{gamma, normal};
use statrs::function::gamma::ln_gamma;

/// `ln ln 2`: where the median of the standard smallest-extreme-value distribution lies.
const LN_LN_2: f64 = -0.366_512_920_581_664_3;

/// The shape of the distribution of lives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Law {
    /// `S(t) = exp(−(t/η)^β)`.
    Weibull,
    /// `S(t) = Φ(−(ln t − μ)/σ)`.
    Lognormal,
}

/// Functions of the standardised life `z = shape·(ln t − ln median) + centre`, of which both laws are one each.
impl Law {
    /// `z` at the median.
    pub(crate) fn centre(self) -> f64 {
        match self {
            Law::Weibull => LN_LN_2,
            Law::Lognormal => 0.0,
        }
    }

    /// `z` with a share `p` of lives below it; NaN when `p` is not between zero and one.
    pub(crate) fn quantile(self, p: f64) -> f64 {
        match self {
            Law::Weibull => (-(-p).ln_1p()).ln(),
            Law::Lognormal => normal::quantile(p),
        }
    }

    /// `z` that a share of lives outlasts, however small.
    pub(crate) fn outlasted_by(self, share: f64) -> f64 {
        match self {
            Law::Weibull => (-share.ln()).ln(),
            Law::Lognormal => -normal::quantile(share),
        }
    }

    pub(crate) fn ln_survival(self, z: f64) -> f64 {
        match self {
            Law::Weibull => -z.exp(),
            Law::Lognormal => normal::ln_cdf(-z),
        }
    }

    /// `ln S` and the hazard, both at `z` and on its scale.
    pub(crate) fn tail(self, z: f64) -> (f64, f64) {
        match self {
            Law::Weibull => {
                let gone = z.exp();
                (-gone, gone)
            }
            Law::Lognormal => (normal::ln_cdf(-z), normal::hazard(z)),
        }
    }

    pub(crate) fn ln_density(self, z: f64) -> f64 {
        match self {
            Law::Weibull => z - z.exp(),
            Law::Lognormal => normal::ln_pdf(z),
        }
    }

    /// Hazard on the scale of `z` and its derivative.
    pub(crate) fn hazard(self, z: f64) -> (f64, f64) {
        match self {
            Law::Weibull => (z.exp(), z.exp()),
            Law::Lognormal => {
                let hazard = normal::hazard(z);
                (hazard, hazard * (hazard - z))
            }
        }
    }

    /// First and second derivative of [`Law::ln_density`].
    pub(crate) fn ln_density_slopes(self, z: f64) -> (f64, f64) {
        match self {
            Law::Weibull => (1.0 - z.exp(), -z.exp()),
            Law::Lognormal => (-z, -1.0),
        }
    }
}

/// One distribution of lives: a law, its median and its shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    law: Law,
    ln_median: f64,
    shape: f64,
}

impl Life {
    /// Weibull life with characteristic life `eta` and shape `beta`.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when either is not above zero.
    pub fn weibull(eta: f64, beta: f64) -> Result<Self, PrognosisError> {
        Inspection::default().above_zero("characteristic life", eta).above_zero("shape", beta).finish()?;
        Ok(Self { law: Law::Weibull, ln_median: eta.ln() + LN_LN_2 / beta, shape: beta })
    }

    /// Lognormal life: `ln T ~ N(mu, sigma²)`.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when `mu` is not finite or `sigma` not above zero.
    pub fn lognormal(mu: f64, sigma: f64) -> Result<Self, PrognosisError> {
        Inspection::default()
            .finite("mean logarithm", mu)
            .above_zero("spread of the logarithm", sigma)
            .finish()?;
        Ok(Self { law: Law::Lognormal, ln_median: mu, shape: 1.0 / sigma })
    }

    pub(crate) fn ln_median(&self) -> f64 {
        self.ln_median
    }

    pub(crate) fn from_logs(law: Law, ln_median: f64, ln_shape: f64) -> Self {
        Self { law, ln_median, shape: ln_shape.exp() }
    }

    pub fn law(&self) -> Law {
        self.law
    }

    /// The life that half of them reach.
    pub fn median(&self) -> f64 {
        self.ln_median.exp()
    }

    /// Weibull `β`; for a lognormal life `1/σ`.
    pub fn shape(&self) -> f64 {
        self.shape
    }

    /// `μ`: `ln η` of a Weibull life, the mean of `ln T` of a lognormal one.
    pub fn location(&self) -> f64 {
        self.ln_median - self.law.centre() / self.shape
    }

    /// `σ`: `1/β` of a Weibull life, the standard deviation of `ln T` of a lognormal one.
    pub fn scale(&self) -> f64 {
        1.0 / self.shape
    }

    /// Probability of lasting longer than `t`; one at and before zero.
    pub fn survival(&self, t: f64) -> f64 {
        self.ln_survival(t).exp()
    }

    /// Logarithm of [`Life::survival`].
    pub fn ln_survival(&self, t: f64) -> f64 {
        if t <= 0.0 { 0.0 } else { self.law.ln_survival(self.standardised(t)) }
    }

    /// The life that a share `p` does not reach. NaN when `p` is not between zero and one.
    pub fn quantile(&self, p: f64) -> f64 {
        (self.ln_median + (self.law.quantile(p) - self.law.centre()) / self.shape).exp()
    }

    /// The life that a share of them outlasts; as [`Life::quantile`] of the rest, and as exact for the last few.
    pub(crate) fn outlasted_by(&self, share: f64) -> f64 {
        (self.ln_median + (self.law.outlasted_by(share) - self.law.centre()) / self.shape).exp()
    }

    /// Mean life.
    pub fn mean(&self) -> f64 {
        match self.law {
            Law::Weibull => (self.location() + ln_gamma(1.0 + self.scale())).exp(),
            Law::Lognormal => (self.location() + 0.5 * self.scale() * self.scale()).exp(),
        }
    }

    /// Probability that one alive at `t` fails within the next `d`: `1 − S(t+d)/S(t)`.
    pub fn fails_within(&self, t: f64, d: f64) -> f64 {
        let t = t.max(0.0);
        -(self.ln_survival(t + d.max(0.0)) - self.ln_survival(t)).exp_m1()
    }

    /// Mean of the life still ahead of one alive at `t`: `∫_t^∞ S / S(t)`.
    pub fn mean_residual(&self, t: f64) -> f64 {
        if t <= 0.0 {
            return self.mean();
        }
        let (z, scale) = (self.standardised(t), self.scale());
        match self.law {
            Law::Weibull => {
                let spent = z.exp();
                let beyond = gamma::upper_tail(1.0 + scale, spent);
                if beyond > 1e-280 {
                    // ∫_t^∞ S = mean·Q(1 + 1/β, (t/η)^β) − t·S(t), by parts.
                    (self.mean() * beyond * spent.exp() - t).max(0.0)
                } else {
                    // So far out the hazard is steep and the rest short: 1/h(t), and the next two terms.
                    let (first, second) =
                        ((scale - 1.0) / spent, (scale - 1.0) * (scale - 2.0) / (spent * spent));
                    t * scale / spent * (1.0 + first + second)
                }
            }
            Law::Lognormal => {
                let up = normal::ln_cdf(scale - z) - normal::ln_cdf(-z);
                (self.location() + 0.5 * scale * scale + up).exp() - t
            }
        }
    }

    pub(crate) fn standardised(&self, t: f64) -> f64 {
        self.shape * (t.ln() - self.ln_median) + self.law.centre()
    }
}
