//! The normal distribution from a table, for the sums that ask for it ten thousand times a visit.

use crate::normal;
use std::sync::LazyLock;

/// Beyond this many standard deviations nothing is left that a double could add to one.
const FAR: f64 = 8.5;
/// Nodes to one standard deviation, so that nothing is further than a sixty-fourth from one.
const PER_SD: f64 = 32.0;
/// Taylor coefficients kept at each node; the first one left out is below 10⁻¹⁰ of the density.
const TERMS: usize = 7;

type Table = Vec<[f64; TERMS]>;

static CDF: LazyLock<Table> = LazyLock::new(|| table(0));
static AREA: LazyLock<Table> = LazyLock::new(|| table(1));

/// Probability of at most `u`; zero and one beyond [`FAR`]. NaN stays NaN.
pub(crate) fn cdf(u: f64) -> f64 {
    if u > FAR {
        1.0
    } else if u < -FAR {
        0.0
    } else {
        look_up(&CDF, u)
    }
}

/// Integral of the probability up to `u`: `u Φ(u) + φ(u)`.
pub(crate) fn area(u: f64) -> f64 {
    if u > FAR {
        u
    } else if u < -FAR {
        0.0
    } else {
        look_up(&AREA, u)
    }
}

fn look_up(table: &Table, u: f64) -> f64 {
    // NaN turns into the first node here and comes back through the distance from it.
    let node = ((u + FAR) * PER_SD + 0.5) as usize;
    let d = u - (node as f64 / PER_SD - FAR);
    match table.get(node) {
        Some(terms) => terms.iter().rev().fold(0.0, |sum, term| sum * d + term),
        None => f64::NAN,
    }
}

/// Taylor coefficients of Φ integrated so many times, at every node.
fn table(integrations: usize) -> Table {
    let nodes = (2.0 * FAR * PER_SD) as usize + 1;
    let row = |node: usize| {
        let u = node as f64 / PER_SD - FAR;
        // Derivatives of Φ: itself, φ, and then φ⁽ⁿ⁺¹⁾ = −u φ⁽ⁿ⁾ − n φ⁽ⁿ⁻¹⁾.
        let mut derivatives = vec![normal::cdf(u), normal::pdf(u)];
        for n in 0..TERMS {
            let (last, before) = (derivatives[n + 1], if n > 0 { derivatives[n] } else { 0.0 });
            derivatives.push(-u * last - n as f64 * before);
        }
        if integrations == 1 {
            derivatives.insert(0, u * derivatives[0] + derivatives[1]);
        }
        let mut factorial = 1.0;
        std::array::from_fn(|n| {
            factorial *= n.max(1) as f64;
            derivatives[n] / factorial
        })
    };
    (0..nodes).map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_agrees_with_the_function_everywhere() {
        for k in -90_000..90_000 {
            let u = f64::from(k) * 1e-4;
            let (got, want) = (cdf(u), normal::cdf(u));
            assert!((got - want).abs() <= 1e-15 + 1e-10 * want.min(1.0 - want), "{u}: {got} {want}");
            let want = u * normal::cdf(u) + normal::pdf(u);
            assert!((area(u) - want).abs() <= 4e-15, "{u}: {} {want}", area(u));
        }
        assert!(cdf(f64::NAN).is_nan() && area(f64::NAN).is_nan());
        assert_eq!((cdf(f64::INFINITY), cdf(f64::NEG_INFINITY)), (1.0, 0.0));
    }
}
