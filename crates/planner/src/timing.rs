//! What a choice of time costs beyond doing the job once, at its last useful moment.

/// What it costs to do a job at some time, or to leave it, when the part may fail before.
///
/// `e(τ) = X · P(T ≤ τ) + v · E[(T − τ)⁺]` for doing it at `τ`, and `e = X · P(T ≤ H) + κ · P(T > H)` for leaving it
/// until the horizon `H`; everything given what is known today. `T` is when the part fails.
///
/// ```
/// use planner::TimingCost;
///
/// let cost = TimingCost { surprise: 900.0, life: 4.0, leaving: 160.0 };
/// assert_eq!(cost.done(0.1, 25.0), 190.0); // failed already with 10 %, 25 units of life thrown away on average
/// assert_eq!(cost.left(0.5), 530.0);
/// ```
///
/// Source: age replacement (Barlow and Proschan 1965) written as what is paid in excess; derived. With `life` at the
/// least long-run cost that renewing in time achieves, the best `τ` is that of age replacement; with planned cost
/// divided by mean life, which is a little less or more, it is close to it.
/// Checked: `reference/planning.json`, formula `timing-cost`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimingCost {
    /// `X`: what failing costs beyond the planned job.
    pub surprise: f64,
    /// `v`: what one unit of time of a part's life costs.
    pub life: f64,
    /// `κ`: what leaving costs when the part lasts: access it will need one day.
    pub leaving: f64,
}

impl TimingCost {
    /// Cost of doing it when it has failed by then with probability `failed`, and has `unused` life left on average.
    pub fn done(&self, failed: f64, unused: f64) -> f64 {
        self.surprise * failed + self.life * unused
    }

    /// Cost of leaving it when it fails before the horizon with probability `failed`.
    pub fn left(&self, failed: f64) -> f64 {
        self.surprise * failed + self.leaving * (1.0 - failed)
    }
}
