//! Newton's way to the top of a surface over two parameters, `m` and `c`.

use crate::error::PrognosisError;

const MOST_STEPS: usize = 200;
/// Half the squared Newton step, in units of log likelihood, at which one more step ends on the top.
const SETTLED: f64 = 1e-9;
/// The same, where rounding in the likelihood lets no step go up any more: a hundredth of a standard deviation.
const ROUGHLY: f64 = 1e-4;
const SHORTEST: f64 = 1e-12;
/// No step is longer than this in either parameter; both are logarithms.
const LONGEST: f64 = 1.0;
/// A shape or spread beyond `e^±8` is no longer one of anything here.
const STEEPEST: f64 = 8.0;

/// Value, gradient and Hessian `[mm, mc, cc]` of a function of `(m, c)`.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Slopes {
    pub value: f64,
    pub gradient: [f64; 2],
    pub hessian: [f64; 3],
}

impl Slopes {
    /// Slopes by central differences over these steps.
    pub(crate) fn by_differences(
        f: impl Fn(f64, f64) -> f64,
        (m, c): (f64, f64),
        (dm, dc): (f64, f64),
    ) -> Self {
        let at = |i: f64, j: f64| f(m + i * dm, c + j * dc);
        let (value, left, right, down, up) =
            (at(0.0, 0.0), at(-1.0, 0.0), at(1.0, 0.0), at(0.0, -1.0), at(0.0, 1.0));
        let cross = at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0);
        Self {
            value,
            gradient: [(right - left) / (2.0 * dm), (up - down) / (2.0 * dc)],
            hessian: [
                (right - 2.0 * value + left) / (dm * dm),
                cross / (4.0 * dm * dc),
                (up - 2.0 * value + down) / (dc * dc),
            ],
        }
    }
}

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
        let settled = gain <= SETTLED * here.value.abs().max(1.0);
        let longest = step[0].abs().max(step[1].abs());
        let mut share = if longest > LONGEST { LONGEST / longest } else { 1.0 };
        let next = loop {
            let (next_m, next_c) = (m + share * step[0], c + share * step[1]);
            let next = surface(next_m, next_c);
            // So near the top one more whole step doubles the digits, and whether it goes up is lost in rounding.
            if next.value >= here.value || settled && next.value.is_finite() {
                break Some((next_m, next_c, next));
            }
            share *= 0.5;
            if share < SHORTEST {
                break None;
            }
        };
        if let Some(next) = next {
            (m, c, here) = next;
        }
        if settled || next.is_none() {
            break;
        }
        if c.abs() > STEEPEST || !m.is_finite() {
            return Err(PrognosisError::NoMaximum { what });
        }
    }
    let (_, gain) = uphill(&here);
    if !is_top(&here) {
        Err(PrognosisError::NoMaximum { what })
    } else if gain > ROUGHLY {
        Err(PrognosisError::NotSettled { what, steps: MOST_STEPS })
    } else {
        Ok(((m, c), here))
    }
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
