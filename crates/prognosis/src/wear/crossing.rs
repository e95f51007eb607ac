//! When a limit will be reached.

use super::path::{Path, probit};
use super::{Direction, Limits};
use crate::{normal, solve};

/// Crossings are found to this share of the clock.
const PRECISION: f64 = 1e-7;
/// The three probabilities at which a crossing is told.
const PROBABILITIES: [f64; 3] = [0.05, 0.5, 0.95];
/// Where the end of the horizon does not show a crossing, this many places before it are looked at as well: a path
/// that wanders can be past its limit for a while.
const LOOKS: u32 = 8;

/// When a probability is reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// It was reached before the clock of today.
    Already,
    /// At this clock.
    At(f64),
    /// Not up to this clock, the horizon; what lies beyond is not told.
    NotBefore(f64),
}

/// When the limit will have been reached, with probabilities 0.05, 0.5 and 0.95.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    pub early: When,
    pub middle: When,
    pub late: When,
}

impl Path {
    /// When a limit is reached, from the clock `now` up to the clock `horizon`, which has to be finite: nothing is told
    /// of what lies beyond `now` otherwise.
    ///
    /// The probability of being past is taken as it was at its highest since `now`: what has been past stays past.
    pub fn crossing(&self, limits: Limits, now: f64, horizon: f64) -> Crossing {
        let now = now.max(0.0);
        let guess = self.guess(limits, now);
        Course { past: |x| self.past(limits, x), guess, now, horizon }.crossing()
    }

    /// The first clock after `now` at which the probability of having been past a limit is `p`.
    pub fn crossing_at(&self, limits: Limits, p: f64, now: f64, horizon: f64) -> When {
        let now = now.max(0.0);
        let guess = self.guess(limits, now);
        Course { past: |x| self.past(limits, x), guess, now, horizon }.reaches(p)
    }

    /// Where the limit would be met from today's level at the rate that is exceeded with a probability, given as the
    /// standard normal value above which that probability lies.
    pub(crate) fn guess(&self, limits: Limits, now: f64) -> impl Fn(f64) -> f64 {
        let (ln_mean, ln_sd) = (self.rates().ln_mean, self.rates().ln_sd);
        let bound = match self.prior().direction {
            Direction::Up => limits.max,
            Direction::Down => limits.min,
        };
        let way = bound.map_or(0.0, |bound| (bound - self.level(now).mean) * self.prior().direction.sign());
        move |z| now + way / (ln_mean - z * ln_sd).exp()
    }
}

/// How the probability of being past a limit goes with the clock.
pub(crate) struct Course<P, G> {
    pub past: P,
    /// Roughly where it reaches the probability below a standard normal value.
    pub guess: G,
    pub now: f64,
    pub horizon: f64,
}

impl<P: Fn(f64) -> f64, G: Fn(f64) -> f64> Course<P, G> {
    pub(crate) fn crossing(&self) -> Crossing {
        let (at_now, at_horizon) = ((self.past)(self.now), (self.past)(self.horizon));
        let [early, middle, late] = PROBABILITIES.map(|p| self.between(p, at_now, at_horizon));
        Crossing { early, middle, late }
    }

    pub(crate) fn reaches(&self, p: f64) -> When {
        self.between(p, (self.past)(self.now), (self.past)(self.horizon))
    }

    fn between(&self, p: f64, at_now: f64, at_horizon: f64) -> When {
        let (now, horizon) = (self.now, self.horizon);
        if at_now >= p {
            return When::Already;
        }
        if !horizon.is_finite() || horizon <= now {
            return When::NotBefore(now);
        }
        let mut high = horizon;
        if at_horizon.is_nan() || at_horizon < p {
            let look = |n: u32| now + (horizon - now) * f64::from(n) / f64::from(LOOKS);
            match (1..LOOKS).map(look).find(|x| (self.past)(*x) >= p) {
                Some(found) => high = found,
                None => return When::NotBefore(horizon),
            }
        }
        let z = normal::quantile(p);
        let short = |x: f64| probit((self.past)(x)) - z;
        When::At(solve::increasing_root(now, high, (self.guess)(z), PRECISION, short))
    }
}
