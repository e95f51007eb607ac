//! What is believed of a part before this car has shown anything.

use crate::error::{Inspection, PrognosisError};
use crate::{life, normal};

/// Share of the way from new to the limit that a path wanders, one standard deviation over a median life, where a
/// sheet says nothing. Common practice, no source.
const WANDER_SHARE: f64 = 0.03;

/// The way a value goes as the part wears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Wear makes the value larger: play, run-out, stretch.
    Up,
    /// Wear makes the value smaller: a disc, a lining, a tread.
    Down,
}

impl Direction {
    /// +1 or −1.
    pub fn sign(self) -> f64 {
        match self {
            Direction::Up => 1.0,
            Direction::Down => -1.0,
        }
    }
}

/// Prior of one car's path: `level(x) = a + d·b·x + σ_B·W(x)`, with `a ~ N(new, new_sd²)` and
/// `ln b ~ N(ln_rate, ln_rate_sd²)`, `W` standard Brownian motion.
///
/// Values are in the unit of the readings, `x` on any clock that is zero when the part is new.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Mean value of a new part.
    pub new: f64,
    /// Standard deviation between new parts.
    pub new_sd: f64,
    pub direction: Direction,
    /// Mean of the logarithm of the rate, unit per clock.
    pub ln_rate: f64,
    /// Standard deviation of that logarithm for a car not yet seen: between cars, and for not knowing their mean.
    pub ln_rate_sd: f64,
    /// `σ_B`: what the path wanders on its own, unit per square root of clock.
    pub wander: f64,
}

impl Prior {
    /// The prior that follows from a life as a person states it; `limit` is the one that wear goes to: `m_l = ln(|limit − new| / median)`,
    /// `s_l = ln(spread) / 1.645`, and for a car not yet seen the doubt about the median on top.
    ///
    /// The path's own wander is 3 % of the way to the limit over a median life; see [`Prior::with_wander`].
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the limit is the new value, or a number is not finite, or the life cannot be.
    ///
    /// Source: derived; the same two numbers feed the life of parts that are only seen. Checked:
    /// `reference/wear.json`.
    pub fn from_life(new: f64, new_sd: f64, limit: f64, life: &life::Prior) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        inspection.finite("limit", limit).differs("limit", limit, new);
        life.inspect(&mut inspection);
        let way = (limit - new).abs();
        let between = life.spread.ln() / normal::Z95;
        let doubt = life.sure.ln() / normal::Z95;
        let prior = Self {
            new,
            new_sd,
            direction: if limit > new { Direction::Up } else { Direction::Down },
            ln_rate: (way / life.median).ln(),
            ln_rate_sd: between.hypot(doubt),
            wander: WANDER_SHARE * way / life.median.sqrt(),
        };
        inspection.finite("new value", new).not_negative("spread of new parts", new_sd).finish()?;
        prior.check()?;
        Ok(prior)
    }

    /// The same prior with another wander of the path, unit per square root of clock; zero for a straight line.
    pub fn with_wander(self, wander: f64) -> Self {
        Self { wander, ..self }
    }

    /// All that is wrong with the numbers.
    pub(crate) fn check(&self) -> Result<(), PrognosisError> {
        let mut inspection = Inspection::default();
        inspection
            .finite("new value", self.new)
            .not_negative("spread of new parts", self.new_sd)
            .at_least("logarithm of the rate", self.ln_rate, -300.0)
            .at_most("logarithm of the rate", self.ln_rate, 300.0)
            .above_zero("spread of the logarithm of the rate", self.ln_rate_sd)
            .at_most("spread of the logarithm of the rate", self.ln_rate_sd, 20.0)
            .not_negative("wander", self.wander)
            .finish()
    }
}
