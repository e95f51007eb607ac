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

/// A record that stands for more parts than this would leave nothing to be known of a life.
const MOST: f64 = 1e12;

/// All that is wrong with a list of records.
pub(crate) fn check(records: &[Record]) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, record) in records.iter().enumerate() {
        inspection
            .at("record", index)
            .not_negative("last good clock", record.lower)
            .at_least("first bad clock", record.upper, record.lower)
            .not_negative("entry", record.entry)
            .not_negative("count", record.count)
            .at_most("count", record.count, MOST)
            .probability("probability of seeing it", record.sees);
        if record.upper == 0.0 {
            inspection.above_zero("first bad clock", record.upper);
        }
        if record.entry > 0.0 {
            inspection.at_least("last good clock", record.lower, record.entry);
        }
    }
    inspection.finish()
}
