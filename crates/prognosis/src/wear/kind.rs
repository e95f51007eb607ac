//! What is believed of a kind of part before the shop's cars have shown anything.

use super::{Direction, Prior};
use crate::error::{Inspection, PrognosisError};
use crate::{life, normal};

/// How well the spread between cars is known beforehand: standard deviation of its logarithm. Common practice, no
/// source.
pub const LN_SPREAD_SD: f64 = 0.4;

/// Prior of a whole kind of part: rates vary between cars, and neither their middle nor their spread is known for sure.
///
/// `ln b ~ N(m, s²)` between cars, with `m ~ N(ln_rate, ln_rate_sd²)` and `ln s ~ N(ln_spread, ln_spread_sd²)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kind {
    pub new: f64,
    pub new_sd: f64,
    pub direction: Direction,
    pub wander: f64,
    pub ln_rate: f64,
    /// Doubt about the middle of the rates.
    pub ln_rate_sd: f64,
    /// Logarithm of the spread of the rates between cars.
    pub ln_spread: f64,
    pub ln_spread_sd: f64,
}

impl Kind {
    /// The kind that follows from a life as a person states it; as [`Prior::from_life`].
    ///
    /// # Errors
    /// As [`Prior::from_life`].
    pub fn from_life(new: f64, new_sd: f64, limit: f64, life: &life::Prior) -> Result<Self, PrognosisError> {
        let prior = Prior::from_life(new, new_sd, limit, life)?;
        Ok(Self {
            new,
            new_sd,
            direction: prior.direction,
            wander: prior.wander,
            ln_rate: prior.ln_rate,
            ln_rate_sd: life.sure.ln() / normal::Z95,
            ln_spread: (life.spread.ln() / normal::Z95).ln(),
            ln_spread_sd: LN_SPREAD_SD,
        })
    }

    /// The prior of a car as long as no other has taught anything.
    pub fn prior(&self) -> Prior {
        self.prior_with(self.ln_rate, self.ln_spread.exp().hypot(self.ln_rate_sd))
    }

    pub(crate) fn prior_with(&self, ln_rate: f64, ln_rate_sd: f64) -> Prior {
        let Self { new, new_sd, direction, wander, .. } = *self;
        Prior { new, new_sd, direction, ln_rate, ln_rate_sd, wander }
    }

    pub(crate) fn check(&self) -> Result<(), PrognosisError> {
        self.prior().check()?;
        Inspection::default()
            .above_zero("doubt about the middle of the rates", self.ln_rate_sd)
            .at_least("logarithm of the spread of the rates", self.ln_spread, -7.0)
            .at_most("logarithm of the spread of the rates", self.ln_spread, 2.0)
            .above_zero("doubt about the spread of the rates", self.ln_spread_sd)
            .at_most("doubt about the spread of the rates", self.ln_spread_sd, 3.0)
            .finish()
    }
}
