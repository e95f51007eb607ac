//! A life as a person states it.

use super::Law;
use crate::error::{Inspection, PrognosisError};
use crate::normal;

/// How well a stated spread is known: standard deviation of the logarithm of the shape. Common practice, no source.
pub const LN_SHAPE_SD: f64 = 0.4;
/// The factor within which a stated median is known, nine times in ten, where nothing is said. Common practice, no
/// source.
pub const SURE: f64 = 1.6;

/// A life as a person states it: half are gone by `median`, nine in ten go between `median/spread` and
/// `median·spread`, and the median itself is known within the factor `sure`, nine times in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    pub median: f64,
    pub spread: f64,
    pub sure: f64,
}

/// The same in the terms of the model: normal distributions of the logarithm of the median and of the shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    pub ln_median: f64,
    pub ln_median_sd: f64,
    pub ln_shape: f64,
    pub ln_shape_sd: f64,
}

impl Prior {
    /// A median and a spread, the median known as well as usual ([`SURE`]).
    pub fn new(median: f64, spread: f64) -> Self {
        Self { median, spread, sure: SURE }
    }

    /// The belief that this states.
    ///
    /// Weibull: `β = ln(ln 20 / −ln 0.95) / (2 ln spread)`, so the 5 % and 95 % points are `spread²` apart;
    /// lognormal: `σ = ln spread / 1.645`.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong.
    ///
    /// Source: derived. Checked: `reference/life.json`.
    pub fn belief(&self, law: Law) -> Result<Belief, PrognosisError> {
        let mut inspection = Inspection::default();
        self.inspect(&mut inspection);
        inspection.finish()?;
        Ok(Belief {
            ln_median: self.median.ln(),
            ln_median_sd: self.sure.ln() / normal::Z95,
            ln_shape: shape_of_spread(law, self.spread).ln(),
            ln_shape_sd: LN_SHAPE_SD,
        })
    }

    pub(crate) fn inspect(&self, inspection: &mut Inspection) {
        inspection
            .above_zero("median life", self.median)
            .above_one("spread of lives", self.spread)
            .above_one("factor within which the median is sure", self.sure);
    }
}

impl Belief {
    pub(crate) fn check(&self) -> Result<(), PrognosisError> {
        Inspection::default()
            .at_least("logarithm of the median", self.ln_median, -300.0)
            .at_most("logarithm of the median", self.ln_median, 300.0)
            .above_zero("spread of the logarithm of the median", self.ln_median_sd)
            .at_most("spread of the logarithm of the median", self.ln_median_sd, 10.0)
            .at_least("logarithm of the shape", self.ln_shape, -7.0)
            .at_most("logarithm of the shape", self.ln_shape, 20.0)
            .above_zero("spread of the logarithm of the shape", self.ln_shape_sd)
            .at_most("spread of the logarithm of the shape", self.ln_shape_sd, 3.0)
            .finish()
    }
}

/// The shape that puts nine in ten between `median/spread` and about `median·spread`.
pub fn shape_of_spread(law: Law, spread: f64) -> f64 {
    match law {
        Law::Weibull => {
            let (ln_early, ln_late) = ((-(0.95_f64.ln())).ln(), 20.0_f64.ln().ln());
            (ln_late - ln_early) / (2.0 * spread.ln())
        }
        Law::Lognormal => normal::Z95 / spread.ln(),
    }
}
