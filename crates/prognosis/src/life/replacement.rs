//! When to renew by age, if age is all that is known.

use super::Life;
use crate::error::{Inspection, PrognosisError};
use crate::quadrature;

/// Ages looked at, evenly on the logarithm between these shares of the median.
const AGES: usize = 240;
const FROM: f64 = 0.01;
const TO: f64 = 20.0;
/// The best age is found to this share of itself.
const PRECISION: f64 = 1e-6;

/// The age at which renewing costs least in the long run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Replacement {
    pub age: f64,
    /// Cost per unit of the clock.
    pub cost_rate: f64,
}

/// Renewal at age `T` costs `C(T) = (c_p S(T) + c_f F(T)) / ∫₀ᵀ S` per unit of the clock, with `c_p` for a planned
/// renewal and `c_f` for one after a failure. Gives the least; `None` where waiting for the failure costs no more, as
/// it does whenever the hazard does not rise.
///
/// Source: Barlow & Proschan 1965. Checked: `reference/life.json`.
///
/// # Errors
/// [`PrognosisError::Inputs`] when a cost is not above zero.
pub fn best_renewal_age(
    life: &Life,
    planned: f64,
    failed: f64,
) -> Result<Option<Replacement>, PrognosisError> {
    Inspection::default()
        .above_zero("cost if planned", planned)
        .above_zero("cost if it fails", failed)
        .finish()?;
    if failed <= planned {
        return Ok(None);
    }
    let ages: Vec<f64> =
        (0..=AGES).map(|k| life.median() * FROM * (TO / FROM).powf(k as f64 / AGES as f64)).collect();
    let mut used = quadrature::panel(0.0, ages[0], |t| life.survival(t));
    let mut upto = Vec::with_capacity(ages.len());
    upto.push(used);
    for pair in ages.windows(2) {
        used += quadrature::panel(pair[0], pair[1], |t| life.survival(t));
        upto.push(used);
    }
    let rate = |age: f64, used: f64| {
        let survival = life.survival(age);
        (planned * survival + failed * (1.0 - survival)) / used
    };
    let rates: Vec<f64> = ages.iter().zip(&upto).map(|(age, used)| rate(*age, *used)).collect();
    let least = (0..rates.len()).fold(0, |least, k| if rates[k] < rates[least] { k } else { least });
    if least == 0 || least + 1 >= rates.len() || rates[least] >= failed / life.mean() {
        return Ok(None);
    }
    let near = |age: f64| {
        let start = least - 1;
        rate(age, upto[start] + quadrature::panel(ages[start], age, |t| life.survival(t)))
    };
    let age = lowest(ages[least - 1], ages[least + 1], near);
    Ok(Some(Replacement { age, cost_rate: near(age) }))
}

/// Where a function with one dip is lowest, by golden section.
fn lowest(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (f(a), f(b));
    while high - low > PRECISION * high {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = f(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = f(b);
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pure_chance_is_never_worth_renewing_by_age() {
        let chance = Life::weibull(100.0, 1.0).unwrap();
        assert_eq!(best_renewal_age(&chance, 1.0, 10.0).unwrap(), None);
        let worn = Life::weibull(100.0, 3.0).unwrap();
        assert_eq!(best_renewal_age(&worn, 10.0, 10.0).unwrap(), None);
        let early = best_renewal_age(&worn, 1.0, 50.0).unwrap().unwrap();
        let late = best_renewal_age(&worn, 1.0, 5.0).unwrap().unwrap();
        assert!(early.age < late.age && late.age < 100.0);
    }
}
