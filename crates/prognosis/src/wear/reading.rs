//! One reading of a wearing part.

use crate::error::{Inspection, PrognosisError};

/// One reading, with the parts of its standard uncertainty kept apart.
///
/// What an instrument's calibration adds is the same error in every reading it took, so it does not shrink with
/// more of them and cancels in their difference; `shared_u` is that part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Clock since the part was new.
    pub x: f64,
    /// The value read.
    pub y: f64,
    /// Standard uncertainty of this reading alone: repeatability, resolution.
    pub own_u: f64,
    /// Standard uncertainty shared by all readings of one instrument: calibration.
    pub shared_u: f64,
    /// Which instrument; any number, the same for readings that share `shared_u`.
    pub instrument: u32,
    /// How far the reading is believed, one in full: its own variance is divided by this.
    pub weight: f64,
}

impl Reading {
    /// A reading that shares nothing with another and is believed in full.
    pub fn new(x: f64, y: f64, own_u: f64) -> Self {
        Self { x, y, own_u, shared_u: 0.0, instrument: 0, weight: 1.0 }
    }

    /// The same reading with what it shares with the other readings of its instrument.
    pub fn by(self, instrument: u32, shared_u: f64) -> Self {
        Self { instrument, shared_u, ..self }
    }

    /// Variance of the reading's own error.
    pub(crate) fn own_variance(&self) -> f64 {
        self.own_u * self.own_u / self.weight
    }

    /// Covariance of the errors of two different readings.
    pub(crate) fn shared_variance(&self, other: &Self) -> f64 {
        if self.instrument == other.instrument { self.shared_u * other.shared_u } else { 0.0 }
    }
}

/// All that is wrong with a list of readings.
pub(crate) fn check(readings: &[Reading]) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, reading) in readings.iter().enumerate() {
        inspection
            .at("reading", index)
            .not_negative("clock", reading.x)
            .finite("value", reading.y)
            .above_zero("own uncertainty", reading.own_u)
            .not_negative("shared uncertainty", reading.shared_u)
            .above_zero("weight", reading.weight);
    }
    inspection.finish()
}
