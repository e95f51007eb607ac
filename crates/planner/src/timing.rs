//! What a choice of time costs beyond doing the job once, at its last useful moment.

/// What it costs to do a job at some time, or to leave it, when the part may fail before.
///
/// `e(τ) = X · P(T ≤ τ) + v · E[(T − τ)⁺]` for doing it at `τ`, and `e = X · P(T ≤ H) + κ · P(T > H)` for leaving
/// it until the horizon `H`; everything given what is known today. `T` is when the part fails.
///
/// ```
/// use planner::TimingCost;
///
/// let cost = TimingCost { surprise: 900.0, life: 4.0, leaving: 160.0 };
/// assert_eq!(cost.done(0.1, 25.0), 190.0); // failed already with 10 %, 25 units of life thrown away on average
/// assert_eq!(cost.left(0.5), 530.0);
/// ```
///
/// Source: age replacement (Barlow and Proschan 1965) written as what is paid in excess; derived. With `life` from
/// [`cost_of_life`] the best `τ` is that of age replacement. Planned cost divided by mean life, which is sometimes used
/// instead, is less, and renews parts that age steeply too early.
/// Checked: `reference/planning.json`, formula `timing-cost`; `tests/age_replacement.rs`.
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

/// Steps of the mean life in which ages are tried, and how many mean lives a part may last.
const STEPS: u32 = 200;
const LIVES: u32 = 50;
/// Parts that survive less often than this are gone.
const GONE: f64 = 1e-9;

/// What one unit of time of a part's life costs when it is renewed at the best age, or when it fails before.
///
/// `min over t of (C_p S(t) + C_f F(t)) / ∫₀ᵗ S`; for a part that does not age the least is at no age at all,
/// `C_f / mean`. `planned` and `failed` are `C_p` and `C_f`, `survival` is `S` of a new part, `mean` about its mean life
/// (it sets the steps, a two-hundredth of it, and the reach, fifty times it). Good to a thousandth unless nearly all
/// parts last within a few hundredths of the mean.
///
/// `None` when an argument is not a number above zero, or `survival` gives none.
///
/// Source: Barlow and Proschan 1965, chapter 4 (from memory). Checked: `tests/age_replacement.rs`.
pub fn cost_of_life(planned: f64, failed: f64, mean: f64, survival: impl Fn(f64) -> f64) -> Option<f64> {
    let above_zero = |value: f64| value > 0.0 && value.is_finite();
    if !(above_zero(planned) && above_zero(failed) && above_zero(mean)) {
        return None;
    }
    let step = mean / f64::from(STEPS);
    let (mut served, mut least) = (0.0, f64::INFINITY);
    let mut alive = 1.0;
    for at in 1..=STEPS * LIVES {
        let age = step * f64::from(at);
        // Simpson's rule over the step.
        let (middle, end) = (survival(age - 0.5 * step), survival(age));
        served += step * (alive + 4.0 * middle + end) / 6.0;
        alive = end;
        let cost = (planned * alive + failed * (1.0 - alive)) / served;
        if !cost.is_finite() {
            return None;
        }
        least = least.min(cost);
        if alive < GONE {
            break;
        }
    }
    Some(least)
}
