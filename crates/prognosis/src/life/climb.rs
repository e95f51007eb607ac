//! Newton's way to the top of a surface over `(m, c)`.

use super::likelihood::Slopes;
use crate::error::PrognosisError;

const MOST_STEPS: usize = 200;
/// Half the squared Newton step, in units of log likelihood, at which the top is reached.
const SETTLED: f64 = 1e-12;
/// No step is longer than this in either parameter; both are logarithms.
const LONGEST: f64 = 1.0;
/// A shape beyond `e^±8` is no longer a distribution of lives.
const STEEPEST: f64 = 8.0;

/// The top of a surface, with value and slopes there.
pub(crate) fn top(
    what: &'static str,
    start: (f64, f64),
    surface: impl Fn(f64, f64) -> Slopes,
) -> Result<((f64, f64), Slopes), PrognosisError> {
    let (mut m, mut c) = start;
    let mut here = surface(m, c);
    for _ in 0..MOST_STEPS {
        let (step, gain) = uphill(&here);
        if gain <= SETTLED * here.value.abs().max(1.0) {
            return if is_top(&here) { Ok(((m, c), here)) } else { Err(PrognosisError::NoMaximum { what }) };
        }
        let longest = step[0].abs().max(step[1].abs());
        let mut share = if longest > LONGEST { LONGEST / longest } else { 1.0 };
        loop {
            let (next_m, next_c) = (m + share * step[0], c + share * step[1]);
            let next = surface(next_m, next_c);
            if next.value >= here.value {
                (m, c, here) = (next_m, next_c, next);
                break;
            }
            share *= 0.5;
            if share < 1e-12 {
                // No step goes up any more: this is the top to the last bits, or there is none.
                return if is_top(&here) {
                    Ok(((m, c), here))
                } else {
                    Err(PrognosisError::NoMaximum { what })
                };
            }
        }
        if c.abs() > STEEPEST || !m.is_finite() {
            return Err(PrognosisError::NoMaximum { what });
        }
    }
    Err(PrognosisError::NotSettled { what, steps: MOST_STEPS })
}

/// The Newton step and the gain it promises; where the surface is not curved like a top, it is bent until it is.
fn uphill(here: &Slopes) -> ([f64; 2], f64) {
    let [g, k] = here.gradient;
    let [mm, mc, cc] = here.hessian.map(|h| -h);
    // The lesser eigenvalue of −H, lifted to a small positive one.
    let middle = 0.5 * (mm + cc);
    let apart = (0.5 * (mm - cc)).hypot(mc);
    let floor = 1e-6 * (middle.abs() + apart) + 1e-12;
    let lift = (floor - (middle - apart)).max(0.0);
    let (mm, cc) = (mm + lift, cc + lift);
    let determinant = mm * cc - mc * mc;
    let step = [(cc * g - mc * k) / determinant, (mm * k - mc * g) / determinant];
    (step, 0.5 * (g * step[0] + k * step[1]))
}

fn is_top(here: &Slopes) -> bool {
    let [mm, mc, cc] = here.hessian;
    mm < 0.0 && mm * cc - mc * mc > 0.0
}
