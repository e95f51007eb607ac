//! How likely a value keeps its limits, and whether that is enough to decide.

use crate::distribution::{between, ln_normal_sf, normal_sf, student_sf};
use crate::quadrature::piecewise;
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
    /// Mean and standard deviation of a normal prior, where no closed form takes it in.
    prior: Option<(f64, f64)>,
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
        Ok(Belief { y, u, dof, floor: f64::NEG_INFINITY, ceiling: f64::INFINITY, prior: None })
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

    /// With what was known before the measurement: a normal distribution. Its density and the measurement's are
    /// multiplied; in closed form where the measurement is normal, by quadrature where it is Student's.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::NotPositive`] for the standard deviation;
    /// [`UncertaintyError::BoundExcludesAll`] as in [`Belief::bounded`].
    ///
    /// Source: JCGM 106:2012 6.2, annex A.
    pub fn with_prior(self, mean: f64, sd: f64) -> Result<Belief, UncertaintyError> {
        let (mean, sd) = (finite("prior mean", mean)?, above_zero("prior standard deviation", sd)?);
        finite("prior standard deviation", sd)?;
        let known = if self.dof.is_finite() && self.u > 0.0 {
            Belief { prior: Some((mean, sd)), ..self }
        } else {
            // Weight of the measurement; u = 0 leaves nothing to the prior.
            let weight = 1.0 / (1.0 + (self.u / sd).powi(2));
            Belief { y: mean + weight * (self.y - mean), u: self.u * weight.sqrt(), ..self }
        };
        known.bounded(self.floor, self.ceiling)
    }

    /// Where the distribution is centred; with a normal prior taken in, between measured value and prior mean.
    pub fn y(&self) -> f64 {
        self.y
    }

    /// Its standard uncertainty.
    pub fn u(&self) -> f64 {
        self.u
    }

    /// The value that is not exceeded with probability `p`, with prior and bounds taken in; to one part in 10⁹ of its spread.
    pub fn quantile(&self, p: f64) -> f64 {
        const REACH: f64 = 40.0;
        let (centre, spread) = self.prior.map_or((self.y, 0.0), |(mean, sd)| (mean, sd));
        let reach = REACH * (self.u + spread);
        let mut low = (self.y.min(centre) - reach).max(self.floor);
        let mut high = (self.y.max(centre) + reach).min(self.ceiling);
        let past = |x: f64| Conformity::of(self, &Bounds { lower: f64::NEG_INFINITY, upper: x }).beyond();
        while high - low > 1e-9 * self.u {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if past(middle) > 1.0 - p { low = middle } else { high = middle }
        }
        f64::midpoint(low, high)
    }

    /// Probability of lying in a…b before the bounds are taken into account.
    fn mass(&self, a: f64, b: f64) -> f64 {
        if self.u == 0.0 {
            return if a <= self.y && self.y <= b { 1.0 } else { 0.0 };
        }
        match self.prior {
            None => between((a - self.y) / self.u, (b - self.y) / self.u, |z| self.sf(z)),
            Some((mean, sd)) => self.weighed_mass(a, b, mean, sd),
        }
    }

    /// `∫ t_ν((x − y)/u) φ((x − mean)/sd) dx` from a to b, but for a factor that is the same for all a and b.
    fn weighed_mass(&self, a: f64, b: f64, mean: f64, sd: f64) -> f64 {
        let ln = |x: f64| {
            let (t, z) = ((x - self.y) / self.u, (x - mean) / sd);
            -0.5 * (self.dof + 1.0) * (t * t / self.dof).ln_1p() - 0.5 * z * z
        };
        // The two densities peak at y and at the mean; their product between them.
        let (near, far) = (self.y.min(mean), self.y.max(mean));
        let top =
            (0..=64).map(|i| ln(near + (far - near) * f64::from(i) / 64.0)).fold(f64::NEG_INFINITY, f64::max);
        let density = |x: f64| (ln(x) - top).exp();
        let (low, high) = (near - 39.0 * sd, far + 39.0 * sd); // beyond, the normal factor is below the smallest number
        let (from, to) = (a.clamp(low, high), b.clamp(low, high));
        let peaks = [(self.y, self.u), (mean, sd)].into_iter();
        let around =
            peaks.flat_map(|(centre, width)| [-8.0, -2.0, 0.0, 2.0, 8.0].map(|steps| centre + steps * width));
        let mut points: Vec<f64> = [from, to].into_iter().chain(around.map(|x| x.clamp(from, to))).collect();
        piecewise(&density, &mut points, 1e-12 * self.u.min(sd))
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
    /// [`UncertaintyError::Quantity`] when the kinds differ.
    pub fn with_limit(measured: &Measurement, limit: &Limit) -> Result<Conformity, UncertaintyError> {
        let unit = limit.unit();
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
#[serde(try_from = "WrittenRisk")]
pub struct AcceptedRisk {
    /// Largest probability of being past the limit with which something still passes.
    pass: f64,
    /// Largest probability of keeping the limit with which something still fails.
    fail: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenRisk {
    pass: f64,
    fail: f64,
}

impl TryFrom<WrittenRisk> for AcceptedRisk {
    type Error = UncertaintyError;

    fn try_from(WrittenRisk { pass, fail }: WrittenRisk) -> Result<AcceptedRisk, UncertaintyError> {
        AcceptedRisk::new(pass, fail)
    }
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

    /// Largest probability of being past the limit with which something still passes.
    pub fn pass(&self) -> f64 {
        self.pass
    }

    /// Largest probability of keeping the limit with which something still fails.
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

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, rel: f64) {
        assert!((got / want - 1.0).abs() <= rel, "got {got:e}, want {want:e}");
    }

    fn bounds(lower: f64, upper: f64) -> Bounds {
        Bounds::new(lower, upper).unwrap()
    }

    /// Two normal beliefs of equal weight meet in the middle, with √½ of the spread; a Student's belief that nearly is one does so
    /// nearly.
    #[test]
    fn a_quantile_has_the_prior_taken_in() {
        let plain = Belief::new(2.0, 0.2, f64::INFINITY).unwrap();
        close(plain.quantile(0.5), 2.0, 1e-9);
        close(plain.quantile(0.975) - 2.0, 0.2 * 1.959_963_984_540_054, 1e-7);
        for (dof, rel) in [(f64::INFINITY, 1e-7), (1e6, 1e-5)] {
            let weighed = Belief::new(2.0, 0.2, dof).unwrap().with_prior(3.0, 0.2).unwrap();
            close(weighed.quantile(0.5), 2.5, rel);
            close(weighed.quantile(0.975) - 2.5, 0.2 * 0.5_f64.sqrt() * 1.959_963_984_540_054, 1e-4);
        }
        let floored = Belief::new(0.0, 1.0, f64::INFINITY).unwrap().bounded(0.0, f64::INFINITY).unwrap();
        close(floored.quantile(0.5), 0.674_489_750_196_081_7, 1e-7);
    }

    // mpmath 1.4.1, 30 digits: quadrature of the product of a Student and a normal density.
    #[test]
    fn few_degrees_of_freedom_and_a_prior_are_multiplied_out() {
        let inf = f64::INFINITY;
        let c = Conformity::of(
            &Belief::new(23.02, 0.015, 2.0).unwrap().with_prior(23.4, 0.3).unwrap(),
            &bounds(23.0, inf),
        );
        close(c.below, 0.128_121_121_663_06, 1e-10);
        close(c.within, 0.871_878_878_336_94, 1e-10);
        let c = Conformity::of(
            &Belief::new(23.02, 0.015, 4.0).unwrap().with_prior(22.5, 0.1).unwrap(),
            &bounds(23.0, 23.03),
        );
        close(c.below, 0.896_049_820_831_886, 1e-10);
        close(c.within, 0.092_858_368_739_011_9, 1e-10);
        close(c.above, 0.011_091_810_429_102_6, 1e-10);
        let play =
            Belief::new(0.01, 0.02, 3.0).unwrap().bounded(0.0, inf).unwrap().with_prior(0.05, 0.03).unwrap();
        close(Conformity::of(&play, &bounds(-inf, 0.08)).above, 0.012_336_279_945_783, 1e-10);
    }

    #[test]
    fn a_normal_prior_pulls_by_its_precision() {
        // Equal precision: half way, u/√2. Arithmetic.
        let belief = Belief::new(10.0, 0.2, f64::INFINITY).unwrap().with_prior(11.0, 0.2).unwrap();
        close(belief.y(), 10.5, 1e-15);
        close(belief.u(), 0.2 / 2f64.sqrt(), 1e-15);
        let certain = Belief::new(10.0, 0.0, 5.0).unwrap().with_prior(11.0, 0.2).unwrap();
        assert_eq!((certain.y(), certain.u()), (10.0, 0.0));
    }

    // mpmath 1.4.1: erfc(40/√2)/2 = 3.66e-350, below the smallest f64.
    #[test]
    fn a_risk_too_small_for_a_number_still_has_a_logarithm() {
        let belief = Belief::new(40.0, 1.0, f64::INFINITY).unwrap();
        let c = Conformity::of(&belief, &bounds(0.0, f64::INFINITY));
        assert_eq!((c.beyond(), c.within), (0.0, 1.0));
        close(c.ln_beyond, -804.608_442_013_753_8, 1e-14);
        let c = Conformity::of(&belief, &bounds(0.0, 80.0));
        close(c.ln_beyond, -804.608_442_013_753_8 + 2f64.ln(), 1e-14);
    }

    #[test]
    fn a_value_known_exactly_is_inside_or_outside() {
        let at = |y: f64| Conformity::of(&Belief::new(y, 0.0, f64::INFINITY).unwrap(), &bounds(23.0, 25.0));
        assert_eq!((at(23.0).within, at(22.99).below, at(25.01).above), (1.0, 1.0, 1.0));
    }

    #[test]
    fn a_physical_bound_cuts_off_and_can_leave_nothing() {
        let play = Belief::new(-1.0, 0.01, f64::INFINITY).unwrap();
        assert_eq!(play.bounded(0.0, f64::INFINITY), Err(UncertaintyError::BoundExcludesAll { bound: 0.0 }));
        assert!(play.bounded(1.0, 1.0).is_err());
        let play = Belief::new(0.0, 0.01, f64::INFINITY).unwrap().bounded(0.0, f64::INFINITY).unwrap();
        let c = Conformity::of(&play, &bounds(-1.0, 0.01));
        assert_eq!(c.below, 0.0);
        close(c.within, 0.682_689_492_137_085_9, 1e-12); // one standard deviation on both sides
    }

    // A pad of 3.2 mm read with U 0.3 (k=2) against 3.0 mm: Φ(−1.33) is 0.09 in any normal table.
    #[test]
    fn the_safety_risk_asks_for_more_than_the_usual_one() {
        let c = Conformity::of(&Belief::new(3.2, 0.15, f64::INFINITY).unwrap(), &bounds(3.0, f64::INFINITY));
        assert!((c.beyond() - 0.09).abs() < 0.002);
        let better =
            Conformity::of(&Belief::new(3.3, 0.15, f64::INFINITY).unwrap(), &bounds(3.0, f64::INFINITY));
        assert_eq!(better.decide(AcceptedRisk::USUAL), Decision::Pass);
        assert_eq!(better.decide(AcceptedRisk::SAFETY), Decision::CannotTell);
        assert_eq!(AcceptedRisk::new(0.6, 0.05), Err(UncertaintyError::Risk { found: 0.6 }));
        assert!(serde_json::from_str::<AcceptedRisk>(r#"{ "pass": 0.05, "fail": 0.0 }"#).is_err());
    }
}
