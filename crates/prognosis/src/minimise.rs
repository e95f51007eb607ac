//! The lowest point of a function of a few variables that need not be smooth.

const MOST_STEPS: usize = 4000;
/// The search ends when the corners of the simplex agree to this.
const SETTLED: f64 = 1e-12;

/// Where `f` is lowest, and how low: Nelder & Mead 1965, begun again where it ended until that changes nothing. A value
/// that is no number counts as infinitely high.
pub(crate) fn minimise<const N: usize>(
    start: [f64; N],
    step: [f64; N],
    f: impl Fn([f64; N]) -> f64,
) -> ([f64; N], f64) {
    let f = |x: [f64; N]| Some(f(x)).filter(|y| !y.is_nan()).unwrap_or(f64::INFINITY);
    let mut best = (start, f(start));
    for _ in 0..10 {
        let found = descend(best.0, step, &f);
        let gained = best.1 - found.1;
        if found.1 < best.1 {
            best = found;
        }
        if gained.is_nan() || gained <= SETTLED * best.1.abs().max(1.0) {
            break;
        }
    }
    best
}

fn descend<const N: usize>(start: [f64; N], step: [f64; N], f: &impl Fn([f64; N]) -> f64) -> ([f64; N], f64) {
    let mut corners: Vec<([f64; N], f64)> = vec![(start, f(start))];
    for i in 0..N {
        let mut corner = start;
        corner[i] += step[i];
        corners.push((corner, f(corner)));
    }
    for _ in 0..MOST_STEPS {
        corners.sort_by(|a, b| a.1.total_cmp(&b.1));
        let (lowest, highest) = (corners[0], corners[N]);
        let flat = highest.1 - lowest.1 <= SETTLED * lowest.1.abs().max(1.0);
        let close =
            (0..N).all(|i| corners.iter().all(|c| (c.0[i] - lowest.0[i]).abs() <= 1e-9 * step[i].abs()));
        if flat && close || !lowest.1.is_finite() {
            break;
        }
        let centre: [f64; N] =
            std::array::from_fn(|i| corners[..N].iter().map(|c| c.0[i]).sum::<f64>() / N as f64);
        let along = |share: f64| {
            let x = std::array::from_fn(|i| centre[i] + share * (highest.0[i] - centre[i]));
            (x, f(x))
        };
        let reflected = along(-1.0);
        corners[N] = if reflected.1 < lowest.1 {
            let expanded = along(-2.0);
            if expanded.1 < reflected.1 { expanded } else { reflected }
        } else if reflected.1 < corners[N - 1].1 {
            reflected
        } else {
            let contracted = along(if reflected.1 < highest.1 { -0.5 } else { 0.5 });
            if contracted.1 < highest.1.min(reflected.1) {
                contracted
            } else {
                for corner in &mut corners[1..] {
                    corner.0 = std::array::from_fn(|i| 0.5 * (corner.0[i] + lowest.0[i]));
                    corner.1 = f(corner.0);
                }
                corners[N]
            }
        };
    }
    corners.sort_by(|a, b| a.1.total_cmp(&b.1));
    corners[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rosenbrock's valley, whose lowest point is (1, 1).
    #[test]
    fn a_bent_valley_is_followed_to_its_end() {
        let valley = |[x, y]: [f64; 2]| 100.0 * (y - x * x).powi(2) + (1.0 - x).powi(2);
        let ([x, y], low) = minimise([-1.2, 1.0], [0.5, 0.5], valley);
        assert!((x - 1.0).abs() < 1e-5 && (y - 1.0).abs() < 1e-5 && low < 1e-10, "{x} {y} {low}");
        assert_eq!(minimise([0.0], [1.0], |_| f64::NAN).1, f64::INFINITY);
    }
}
