//! How likely a value keeps its limits, and whether that is enough to decide.

use crate::distribution::{between, ln_normal_sf, normal_sf, student_sf};
use crate::standard::{above_zero, finite, not_negative};
use crate::{Bounds, Limit, Measurement, UncertaintyError};
use serde::{Deserialize, Serialize};

/// Below so many degrees of freedom the Student distribution is used, from there on the normal one.
pub const NORMAL_FROM_DOF: f64 = 30.0;

/// What is known of a true value: where it was measured, how surely, and what was known before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    y: f64,
    u: f64,
    dof: f64,
    floor: f64,
    ceiling: f64,
}

impl Belief {
    /// A measured value `y` with standard uncertainty `u`, all in one unit; `dof` may be infinite, `u` may be zero.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::Negative`], [`UncertaintyError::NotPositive`].
    pub fn new(y: f64, u: f64, dof: f64) -> Result<Belief, UncertaintyError> {
        let y = finite("value", y)?;
        let u = not_negative("standard uncertainty", u)?;
        let dof = above_zero("degrees of freedom", dof)?;
        let dof = if dof < NORMAL_FROM_DOF { dof } else { f64::INFINITY };
        Ok(Belief { y, u, dof, floor: f64::NEG_INFINITY, ceiling: f64::INFINITY })
    }

    /// From a measurement, in its unit.
    ///
    /// # Errors
    /// As [`Belief::new`]; a measurement always passes.
    pub fn of(measured: &Measurement) -> Result<Belief, UncertaintyError> {
        Belief::new(measured.value(), measured.u(), measured.dof())
    }

    /// Knowing that the true value cannot lie below `floor` (play, run-out: 0), nor above `ceiling`; infinite where absent.
    /// The distribution is cut off there and made whole again.
    ///
    /// # Errors
    /// [`UncertaintyError::LimitsCrossed`] unless floor < ceiling; [`UncertaintyError::BoundExcludesAll`] when the
    /// measurement lies so far on the impossible side that nothing is left.
    pub fn bounded(self, floor: f64, ceiling: f64) -> Result<Belief, UncertaintyError> {
        if floor.is_nan() || ceiling.is_nan() || floor >= ceiling {
            return Err(UncertaintyError::LimitsCrossed { lower: floor, upper: ceiling });
        }
        let bounded = Belief { floor, ceiling, ..self };
        if bounded.mass(floor, ceiling) > 0.0 {
            return Ok(bounded);
        }
        Err(UncertaintyError::BoundExcludesAll { bound: if self.y < floor { floor } else { ceiling } })
    }

    /// With what was known before the measurement: a normal distribution. The two are weighed by their precision.
    ///
    /// A Student measurement is first taken as the normal one of the same variance (of the same `u` where ν ≤ 2, which has
    /// none): its product with a normal density has no closed form, and its heavy tails would be overruled by the prior.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::NotPositive`] for the standard deviation.
    ///
    /// Source: JCGM 106:2012 6.2, annex A.
    pub fn with_prior(self, mean: f64, sd: f64) -> Result<Belief, UncertaintyError> {
        let (mean, sd) = (finite("prior mean", mean)?, above_zero("prior standard deviation", sd)?);
        let widened =
            if self.dof.is_finite() && self.dof > 2.0 { (self.dof / (self.dof - 2.0)).sqrt() } else { 1.0 };
        let u = widened * self.u;
        // Weight of the measurement; u = 0 leaves nothing to the prior, an infinite sd nothing of it.
        let weight = if sd.is_infinite() { 1.0 } else { 1.0 / (1.0 + (u / sd).powi(2)) };
        let y = mean + weight * (self.y - mean);
        Belief { y, u: u * weight.sqrt(), dof: f64::INFINITY, ..self }.bounded(self.floor, self.ceiling)
    }

    pub fn y(&self) -> f64 {
        self.y
    }

    pub fn u(&self) -> f64 {
        self.u
    }

    /// Probability of lying in a…b before the bounds are taken into account.
    fn mass(&self, a: f64, b: f64) -> f64 {
        if self.u == 0.0 {
            return if a <= self.y && self.y <= b { 1.0 } else { 0.0 };
        }
        between((a - self.y) / self.u, (b - self.y) / self.u, |z| self.sf(z))
    }

    fn sf(&self, z: f64) -> f64 {
        if self.dof.is_finite() { student_sf(z, self.dof) } else { normal_sf(z) }
    }
}

/// Where a true value probably lies with respect to limits. The three parts are worked out one by one, so that a tiny
/// one is right to its last digits; they add up to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Conformity {
    /// Probability of keeping the limits, `p_c`.
    pub within: f64,
    /// Probability of lying below the lower limit.
    pub below: f64,
    /// Probability of lying above the upper limit.
    pub above: f64,
    /// `ln(below + above)`, also where that is too small for a number.
    pub ln_beyond: f64,
}

impl Conformity {
    /// `p_c = G((T_U − y)/u) − G((T_L − y)/u)`, `G` normal, or Student below 30 degrees of freedom; between physical bounds
    /// divided by what lies between them.
    ///
    /// `belief` and `bounds` are in the same unit. With `u = 0` a value on a limit keeps it.
    ///
    /// Source: JCGM 106:2012 clause 7; JCGM 101:2008 6.4.9 for Student. Checked: `reference/conformity.json`, formulas
    /// `p-c`, `p-c-t`, `p-c-prior`.
    pub fn of(belief: &Belief, bounds: &Bounds) -> Conformity {
        let Belief { floor, ceiling, .. } = *belief;
        let lower = bounds.lower.clamp(floor, ceiling);
        let upper = bounds.upper.clamp(floor, ceiling);
        if belief.u == 0.0 {
            let (below, above) =
                (f64::from(u8::from(belief.y < lower)), f64::from(u8::from(belief.y > upper)));
            let beyond = below + above;
            return Conformity { within: 1.0 - beyond, below, above, ln_beyond: beyond.ln() };
        }
        let whole = belief.mass(floor, ceiling);
        let part = |a: f64, b: f64| if a < b { (belief.mass(a, b) / whole).clamp(0.0, 1.0) } else { 0.0 };
        let (below, above) = (part(floor, lower), part(upper, ceiling));
        let ln_beyond =
            if below + above > 0.0 { (below + above).ln() } else { ln_far(belief, lower, upper, whole) };
        Conformity { within: part(lower, upper), below, above, ln_beyond }
    }

    /// The probability that a measurement's true value keeps a limit, compared in the unit of the limit.
    ///
    /// # Errors
    /// [`UncertaintyError::Quantity`] when the kinds differ; [`UncertaintyError::NoLimit`].
    pub fn with_limit(measured: &Measurement, limit: &Limit) -> Result<Conformity, UncertaintyError> {
        let unit = limit.unit().ok_or(UncertaintyError::NoLimit)?;
        let belief = Belief::of(&measured.in_unit(unit)?)?;
        Ok(Conformity::of(&belief, &limit.bounds_in(unit)?))
    }

    /// Probability of lying past a limit, on either side.
    pub fn beyond(&self) -> f64 {
        (self.below + self.above).min(1.0)
    }

    /// Pass, fail, or cannot tell, for the risks accepted.
    pub fn decide(&self, accepted: AcceptedRisk) -> Decision {
        if self.beyond() <= accepted.pass {
            Decision::Pass
        } else if self.within <= accepted.fail {
            Decision::Fail
        } else {
            Decision::CannotTell
        }
    }
}

/// ln P(beyond) where P itself is below the smallest number; only the normal tail is ever so thin.
fn ln_far(belief: &Belief, lower: f64, upper: f64, whole: f64) -> f64 {
    let tail = |z: f64| if belief.dof.is_infinite() { ln_normal_sf(z) } else { f64::NEG_INFINITY };
    let below = if lower > belief.floor { tail((belief.y - lower) / belief.u) } else { f64::NEG_INFINITY };
    let above = if upper < belief.ceiling { tail((upper - belief.y) / belief.u) } else { f64::NEG_INFINITY };
    let (large, small) = if below > above { (below, above) } else { (above, below) };
    if large == f64::NEG_INFINITY { large } else { large + (small - large).exp().ln_1p() - whole.ln() }
}

/// How much risk is accepted on either side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AcceptedRisk {
    /// Largest probability of being past the limit with which something still passes.
    pass: f64,
    /// Largest probability of keeping the limit with which something still fails.
    fail: f64,
}

impl AcceptedRisk {
    /// 5 % on both sides. Common practice; JCGM 106:2012 leaves it to the user.
    pub const USUAL: AcceptedRisk = AcceptedRisk { pass: 0.05, fail: 0.05 };
    /// For parts that hold the car on the road: 1 % on the pass side. Common practice, no source.
    pub const SAFETY: AcceptedRisk = AcceptedRisk { pass: 0.01, fail: 0.05 };

    /// Risks for the pass and for the fail side.
    ///
    /// # Errors
    /// [`UncertaintyError::Risk`] unless both are above 0 and at most ½, so that nothing can pass and fail at once.
    pub fn new(pass: f64, fail: f64) -> Result<AcceptedRisk, UncertaintyError> {
        for found in [pass, fail] {
            if !(found > 0.0 && found <= 0.5) {
                return Err(UncertaintyError::Risk { found });
            }
        }
        Ok(AcceptedRisk { pass, fail })
    }

    pub fn pass(&self) -> f64 {
        self.pass
    }

    pub fn fail(&self) -> f64 {
        self.fail
    }
}

/// What a measurement can prove.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// The limit is kept, but for the accepted risk.
    Pass,
    /// The limit is not kept, but for the accepted risk.
    Fail,
    /// The measurement proves neither.
    CannotTell,
}
