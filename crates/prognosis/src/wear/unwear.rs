//! A reading that would mean that the part had grown back.

use super::reading::{self, Reading};
use super::{Direction, Level};
use crate::error::PrognosisError;

/// Standard uncertainties of un-wear from which on it is asked about.
const DOUBTFUL: f64 = -2.0;
/// A value meant instead is sought within this many standard deviations of the one expected.
const NEAR: f64 = 3.0;

/// What to ask about two readings that do not fit, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// Were both taken at the same place on the part?
    SamePlace,
    /// Were both taken with the same instrument? Its calibration then cancels; here they were not.
    SameInstrument,
    /// Did a unit or a digit slip, a factor of 25.4 or two figures swapped?
    UnitOrDigits,
    /// Was it adjusted or renewed in between?
    AdjustedOrRenewed,
}

/// How two readings in a row compare.
#[derive(Debug, Clone, PartialEq)]
pub struct Unwear {
    /// Wear from one to the other in units of its standard uncertainty; below zero it went backwards.
    pub z: f64,
    /// Standard uncertainty of the difference.
    pub u: f64,
    /// What to ask, best first; empty when there is nothing to ask.
    pub questions: Vec<Question>,
}

impl Unwear {
    pub fn is_doubtful(&self) -> bool {
        !self.questions.is_empty()
    }
}

/// Compares two readings of one part: `z = d (y₂ − y₁)/u(y₂ − y₁)`, doubtful below −2.
///
/// What both share by one instrument cancels in the difference. Source: derived from the uncertainty of a difference.
/// Checked: `reference/wear.json`.
///
/// # Errors
/// [`PrognosisError::Inputs`] with everything that is wrong.
pub fn unwear(direction: Direction, earlier: &Reading, later: &Reading) -> Result<Unwear, PrognosisError> {
    reading::check(&[*earlier, *later])?;
    let alone = |r: &Reading| r.own_variance() + r.shared_u * r.shared_u;
    let u = (alone(earlier) + alone(later) - 2.0 * earlier.shared_variance(later)).sqrt();
    let z = direction.sign() * (later.y - earlier.y) / u;
    let mut questions = Vec::new();
    if z < DOUBTFUL {
        questions.push(Question::SamePlace);
        if earlier.instrument != later.instrument {
            questions.push(Question::SameInstrument);
        }
        questions.extend([Question::UnitOrDigits, Question::AdjustedOrRenewed]);
    }
    Ok(Unwear { z, u, questions })
}

/// The range in which a reading was to be expected: what may have been meant by one outside it is sought there.
pub fn expected_range(expected: Level, u: f64) -> (f64, f64) {
    let reach = NEAR * expected.sd.hypot(u);
    (expected.mean - reach, expected.mean + reach)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_instrument_is_believed_sooner_than_two() {
        let earlier = Reading::new(40.0, 23.61, 0.01).by(7, 0.03);
        let same = unwear(Direction::Down, &earlier, &Reading::new(55.0, 23.65, 0.01).by(7, 0.03)).unwrap();
        let other = unwear(Direction::Down, &earlier, &Reading::new(55.0, 23.65, 0.01).by(8, 0.03)).unwrap();
        assert_eq!(
            same.questions,
            [Question::SamePlace, Question::UnitOrDigits, Question::AdjustedOrRenewed]
        );
        assert!(!other.is_doubtful() && other.u > same.u);
        let grown = unwear(Direction::Up, &earlier, &Reading::new(55.0, 23.65, 0.01).by(7, 0.03)).unwrap();
        assert!(!grown.is_doubtful());
    }
}
