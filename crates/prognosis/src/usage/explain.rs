//! What an odometer reading that goes back or jumps may mean.

use super::rate::Distance;
use crate::error::{Inspection, PrognosisError};
use crate::normal;

/// A mile in kilometres, exactly: the international yard and pound agreement of 1959.
pub const KM_PER_MILE: f64 = 1.609_344;
/// A reading less likely than this, to either side, asks for an explanation.
const DOUBTFUL: f64 = 0.001;
/// How far out, in standard deviations, a distance is taken to lie that no listed explanation accounts for.
const UNEXPLAINED: f64 = 2.0;
/// Beyond this a reading has digits that no odometer shows.
const LARGEST: f64 = 1e9;

/// What happened to a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Explanation {
    /// Nothing: the car went that far.
    AsWritten,
    /// It was read in the other unit of distance.
    OtherUnit,
    /// The reading before it was in the other unit.
    EarlierInOtherUnit,
    /// The counter went past its last figure, which stands for this distance.
    RolledOver { at: f64 },
    /// Two neighbouring digits changed places; this was meant.
    DigitsSwapped { meant: f64 },
    /// One digit too many was written; this was meant.
    DigitAdded { meant: f64 },
    /// None of these, such as another instrument: distances start anew.
    InstrumentReplaced,
}

/// How often each happens. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExplanationPriors {
    pub as_written: f64,
    pub other_unit: f64,
    pub earlier_in_other_unit: f64,
    pub rolled_over: f64,
    pub digits_swapped: f64,
    pub digit_added: f64,
    pub instrument_replaced: f64,
}

impl Default for ExplanationPriors {
    fn default() -> Self {
        Self {
            as_written: 0.90,
            other_unit: 0.03,
            earlier_in_other_unit: 0.02,
            rolled_over: 0.02,
            digits_swapped: 0.015,
            digit_added: 0.005,
            instrument_replaced: 0.01,
        }
    }
}

/// What is known of a car's counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counter<'a> {
    /// What one of the other unit is in the book's unit: [`KM_PER_MILE`] for a book in kilometres.
    pub other_unit: f64,
    /// The distances at which the counter may start again from zero.
    pub rolls_over_at: &'a [f64],
}

impl Default for Counter<'_> {
    fn default() -> Self {
        Self { other_unit: KM_PER_MILE, rolls_over_at: &[1e5, 1e6] }
    }
}

/// One explanation with its probability among those listed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Explained {
    pub explanation: Explanation,
    pub probability: f64,
}

/// Whether a distance is so unlikely, to either side, that the reading should be asked about.
pub fn is_doubtful(distance: f64, expected: &Distance) -> bool {
    let below = expected.at_most(distance);
    !(DOUBTFUL..=1.0 - DOUBTFUL).contains(&below)
}

/// What a reading may mean, likeliest first; the reading is never changed by this.
///
/// Each explanation weighs its prior times the density of the distance it implies under `expected`, the forecast
/// over the time between the two readings. An expected distance without spread (no time has passed) tells nothing
/// apart from the priors.
///
/// # Errors
/// [`PrognosisError::Inputs`] with everything that is wrong.
///
/// Source: derived; Bayes over a short list. Checked: `reference/usage.json`.
pub fn explain(
    earlier: f64,
    reading: f64,
    expected: &Distance,
    counter: &Counter<'_>,
    priors: &ExplanationPriors,
) -> Result<Vec<Explained>, PrognosisError> {
    check(earlier, reading, counter, priors)?;
    let density = |km: f64| expected.density_of_log(km);
    let likeliest = |meant: &mut dyn Iterator<Item = (Explanation, f64)>| {
        let weighed = meant.map(|(explanation, km)| (explanation, density(km)));
        weighed.reduce(|best, next| if next.1 > best.1 { next } else { best })
    };
    let rolled = likeliest(
        &mut counter
            .rolls_over_at
            .iter()
            .map(|at| (Explanation::RolledOver { at: *at }, reading + at - earlier)),
    );
    let swapped = likeliest(
        &mut swaps(reading).into_iter().map(|meant| (Explanation::DigitsSwapped { meant }, meant - earlier)),
    );
    let added = likeliest(
        &mut without_one(reading)
            .into_iter()
            .map(|meant| (Explanation::DigitAdded { meant }, meant - earlier)),
    );
    let unexplained = expected.log_sd().map_or(1.0, |s| normal::pdf(UNEXPLAINED) / s);
    let weighed = [
        Some((Explanation::AsWritten, density(reading - earlier), priors.as_written)),
        Some((Explanation::OtherUnit, density(reading * counter.other_unit - earlier), priors.other_unit)),
        Some((
            Explanation::EarlierInOtherUnit,
            density(reading - earlier * counter.other_unit),
            priors.earlier_in_other_unit,
        )),
        rolled.map(|(explanation, density)| (explanation, density, priors.rolled_over)),
        swapped.map(|(explanation, density)| (explanation, density, priors.digits_swapped)),
        added
            .filter(|_| priors.digit_added > 0.0)
            .map(|(explanation, density)| (explanation, density, priors.digit_added)),
        Some((Explanation::InstrumentReplaced, unexplained, priors.instrument_replaced)),
    ];
    let weighed: Vec<(Explanation, f64)> =
        weighed.into_iter().flatten().map(|(e, d, prior)| (e, d * prior)).collect();
    let total: f64 = weighed.iter().map(|(_, w)| w).sum();
    let mut explained: Vec<Explained> = weighed
        .into_iter()
        .map(|(explanation, w)| Explained {
            explanation,
            probability: if total > 0.0 { w / total } else { 0.0 },
        })
        .collect();
    explained.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    Ok(explained)
}

fn check(
    earlier: f64,
    reading: f64,
    counter: &Counter<'_>,
    p: &ExplanationPriors,
) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    inspection
        .not_negative("earlier reading", earlier)
        .not_negative("reading", reading)
        .at_most("reading", reading, LARGEST)
        .above_zero("factor to the other unit", counter.other_unit)
        .probability("prior of a reading as written", p.as_written)
        .probability("prior of the other unit", p.other_unit)
        .probability("prior of an earlier reading in the other unit", p.earlier_in_other_unit)
        .probability("prior of a counter rolled over", p.rolled_over)
        .probability("prior of swapped digits", p.digits_swapped)
        .probability("prior of a digit too many", p.digit_added)
        .probability("prior of a replaced instrument", p.instrument_replaced);
    for (index, at) in counter.rolls_over_at.iter().enumerate() {
        inspection.at("counter", index).above_zero("distance at which it starts again", *at);
    }
    inspection.finish()
}

/// All numbers that differ from a reading by one swap of neighbouring digits; whole numbers only, and none that starts
/// with a zero.
fn swaps(reading: f64) -> Vec<f64> {
    let digits = digits(reading);
    (1..digits.len())
        .filter(|k| digits[k - 1] != digits[*k])
        .filter_map(|k| {
            let mut other = digits.clone();
            other.swap(k - 1, k);
            number(&other)
        })
        .collect()
}

/// All numbers that are a reading without one of its digits; whole numbers only, and none that starts with a zero.
fn without_one(reading: f64) -> Vec<f64> {
    let digits = digits(reading);
    // Of equal neighbours it is the same whichever is left out.
    (0..digits.len())
        .filter(|&k| k == 0 || digits[k - 1] != digits[k])
        .filter_map(|k| {
            let mut other = digits.clone();
            other.remove(k);
            number(&other)
        })
        .collect()
}

/// Without its sign: nothing may be written as −0.
fn digits(reading: f64) -> Vec<u8> {
    format!("{:.0}", reading.abs().floor()).into_bytes()
}

fn number(digits: &[u8]) -> Option<f64> {
    let starts = digits.first().is_some_and(|first| *first != b'0');
    starts.then(|| digits.iter().fold(0.0, |sum, digit| 10.0 * sum + f64::from(digit - b'0')))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swapped_digits_differ_by_a_multiple_of_nine_and_never_start_with_zero() {
        assert_eq!(swaps(106_900.0), [160_900.0, 109_600.0, 106_090.0]);
        assert!(swaps(106_900.0).iter().all(|other| (other - 106_900.0) % 9.0 == 0.0));
        assert_eq!(swaps(7.0), Vec::<f64>::new());
    }

    #[test]
    fn a_digit_too_many_is_recognised() {
        assert_eq!(without_one(362_200.0), [62_200.0, 32_200.0, 36_200.0, 36_220.0]);
        assert_eq!(without_one(100.0), [10.0], "none starts with a zero");
        let expected = Distance::with_moments(5000.0, 960.0 * 5000.0 + 700.0 * 700.0);
        let found =
            explain(31_000.0, 362_000.0, &expected, &Counter::default(), &ExplanationPriors::default())
                .unwrap();
        assert!(
            matches!(found[0].explanation, Explanation::DigitAdded { meant: 32_000.0..=36_200.0 }),
            "{found:?}"
        );
        assert!(found[0].probability > 0.5, "{found:?}");
    }

    #[test]
    fn a_reading_in_miles_is_recognised_and_explanations_add_to_one() {
        let expected = Distance::with_moments(5000.0, 960.0 * 5000.0 + 700.0 * 700.0);
        assert!(is_doubtful(99_900.0 - 155_900.0, &expected) && !is_doubtful(5200.0, &expected));
        let counter = Counter::default();
        let found = explain(155_900.0, 99_900.0, &expected, &counter, &ExplanationPriors::default()).unwrap();
        assert_eq!(found[0].explanation, Explanation::OtherUnit);
        assert!((found.iter().map(|e| e.probability).sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
