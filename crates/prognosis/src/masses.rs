//! Distributions kept as masses at evenly spaced points.

/// Where on the row of points, counted in steps, a share `p` of the mass lies below.
///
/// The cumulated mass is corrected at each point for the half cell beside it (Euler and Maclaurin) and joined by cubics
/// whose slope is the mass itself, so a few points to a standard deviation are enough.
pub(crate) fn quantile(mass: &[f64], p: f64) -> f64 {
    let at = |k: usize, aside: isize| {
        k.checked_add_signed(aside).and_then(|k| mass.get(k)).copied().unwrap_or(0.0)
    };
    let slope = |k: usize| (8.0 * (at(k, 1) - at(k, -1)) - at(k, 2) + at(k, -2)) / 12.0;
    let mut before = 0.0;
    let mut summed = 0.0;
    for k in 0..mass.len() {
        let here = summed + 0.5 * mass[k] - slope(k) / 12.0;
        if here >= p {
            return match k.checked_sub(1) {
                Some(start) => start as f64 + within((before, mass[start]), (here, mass[k]), p),
                None => 0.0,
            };
        }
        before = here;
        summed += mass[k];
    }
    mass.len().saturating_sub(1) as f64
}

/// Share of the way along a cubic, given by value and slope at both ends, at which it reaches `p`; by halving, since
/// it need not be monotone where the mass sits in a few points.
fn within((from, rise): (f64, f64), (to, end_rise): (f64, f64), p: f64) -> f64 {
    let cubic = |t: f64| {
        let (u, s) = (1.0 - t, t * t);
        from * (1.0 + 2.0 * t) * u * u + rise * t * u * u + to * s * (3.0 - 2.0 * t) - end_rise * s * u
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if cubic(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal;

    #[test]
    fn quantiles_of_a_coarse_normal_distribution_are_right() {
        let step = 0.4;
        let mass: Vec<f64> = (-15..=15).map(|k| step * normal::pdf(step * f64::from(k))).collect();
        for p in [0.01, 0.05, 0.3, 0.5, 0.95, 0.99] {
            let z = (quantile(&mass, p) - 15.0) * step;
            assert!((z - normal::quantile(p)).abs() < 1e-3, "{p}: {z}");
        }
    }

    #[test]
    fn a_single_mass_and_shares_out_of_range_stay_on_the_row() {
        assert_eq!(quantile(&[1.0], 0.2), 0.0);
        assert_eq!(quantile(&[0.0, 1.0, 0.0], 2.0), 2.0);
        assert_eq!(quantile(&[], 0.5), 0.0);
        assert_eq!(quantile(&[0.5, 0.5], f64::NAN), 1.0);
    }
}
