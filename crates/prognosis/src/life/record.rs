//! What was seen of one fitted part.

use crate::error::{Inspection, PrognosisError};

/// What was seen of one part, or of several alike: it failed after `lower` and not after `upper`, on a clock that is
/// zero when the part is new.
///
/// | seen | `lower` | `upper` |
/// |---|---|---|
/// | good at one look, bad at the next | last good look | first bad look |
/// | good at the last look, or renewed while good | that look | infinite |
/// | bad at the first look | 0 | that look |
/// | the moment it failed | that moment | the same |
///
/// A part renewed *because* it looked tired is not a plain "still good": that would make lives look longer than they
/// are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    pub lower: f64,
    pub upper: f64,
    /// Clock at which it came under the book's eyes, still good. Zero for a part the shop fitted. A part that had
    /// failed before could not have been recorded, and forgetting that makes lives look too long.
    pub entry: f64,
    /// How many parts this stands for.
    pub count: f64,
    /// Probability that a look at `lower` would have seen it, had it been bad. One unless the sheet says less.
    pub sees: f64,
}

impl Record {
    /// Good at `lower`, bad at `upper`.
    pub fn between(lower: f64, upper: f64) -> Self {
        Self { lower, upper, entry: 0.0, count: 1.0, sees: 1.0 }
    }

    /// Still good at `lower`.
    pub fn good_at(lower: f64) -> Self {
        Self::between(lower, f64::INFINITY)
    }

    /// Bad at the first look.
    pub fn bad_by(upper: f64) -> Self {
        Self::between(0.0, upper)
    }

    /// Failed at that moment.
    pub fn failed_at(t: f64) -> Self {
        Self::between(t, t)
    }

    /// Under the book's eyes only since this clock.
    pub fn since(self, entry: f64) -> Self {
        Self { entry, ..self }
    }

    /// This many parts alike.
    pub fn times(self, count: f64) -> Self {
        Self { count, ..self }
    }

    /// With looks that see a bad part only this often.
    pub fn seen_with(self, sees: f64) -> Self {
        Self { sees, ..self }
    }
}

impl Record {
    fn inspect(&self, inspection: &mut Inspection) {
        inspection
            .not_negative("last good clock", self.lower)
            .at_least("first bad clock", self.upper, self.lower)
            .not_negative("entry", self.entry)
            .not_negative("count", self.count)
            .at_most("count", self.count, MOST)
            .probability("probability of seeing it", self.sees);
        if self.upper == 0.0 {
            inspection.above_zero("first bad clock", self.upper);
        }
        if self.entry > 0.0 {
            inspection.at_least("last good clock", self.lower, self.entry);
        }
    }

    /// Whether [`inspect`](Self::inspect) has nothing to say of it.
    fn is_right(&self) -> bool {
        self.lower >= 0.0
            && self.lower.is_finite()
            && self.upper >= self.lower
            && self.upper > 0.0
            && (0.0..=self.lower).contains(&self.entry)
            && (0.0..=MOST).contains(&self.count)
            && (0.0..=1.0).contains(&self.sees)
    }
}

/// A record that stands for more parts than this would leave nothing to be known of a life.
const MOST: f64 = 1e12;

/// All that is wrong with a list of records.
pub(crate) fn check(records: &[Record]) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    // Most are right, which is quickly seen.
    for (index, record) in records.iter().enumerate().filter(|(_, record)| !record.is_right()) {
        record.inspect(inspection.at("record", index));
    }
    inspection.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn clock() -> impl Strategy<Value = f64> {
        prop_oneof![0.0..200.0, Just(0.0), Just(-1.0), Just(f64::INFINITY), Just(f64::NAN), Just(100.0)]
    }

    proptest! {
        /// What is taken as right at a glance is what is right by the rules, and the other way round.
        #[test]
        fn a_glance_sees_what_the_rules_see(
            lower in clock(), upper in clock(), entry in clock(),
            count in prop_oneof![Just(1.0), Just(-1.0), Just(1e13), Just(f64::NAN), Just(0.0)],
            sees in prop_oneof![Just(1.0), Just(0.3), Just(1.2), Just(f64::NAN)],
        ) {
            let record = Record { lower, upper, entry, count, sees };
            let mut inspection = Inspection::default();
            record.inspect(&mut inspection);
            prop_assert_eq!(record.is_right(), inspection.finish().is_ok());
        }
    }
}
