//! Lives on distance, on time, or on a mix of both.

use super::fit_check::LEAST_FAILURES;
use super::{Belief, Law, OwnRecord, Posterior, Record};
use crate::clock::{Age, Mix};
use crate::error::{Inspection, PrognosisError};

/// Shares of distance that are compared: 0, 0.1 … 1.
const SHARES: usize = 11;
/// How much the sheet's own share is believed beforehand. Common practice, no source.
const SHEET: f64 = 0.5;
/// A share is told as found only when it is at least this sure. Common practice, no source.
const SURE: f64 = 0.5;
/// And only when the cars that failed differ in distance a year by this factor. Common practice, no source.
const APART: f64 = 2.0;

/// What was seen of one part, on both clocks; as [`Record`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sighting {
    /// Last seen good; zero on both clocks when it was bad at the first look.
    pub lower: Age,
    /// First seen bad; `None` when it still is good. The same as `lower` when the moment is known.
    pub upper: Option<Age>,
    /// When it came under the book's eyes.
    pub entry: Age,
    pub count: f64,
}

/// Lives on every mix of the two clocks, each as probable as the records and the sheet make it.
#[derive(Debug, Clone)]
pub struct TwoClocks {
    mixes: Vec<(Mix, f64, Posterior)>,
    sheet: Mix,
    tells: bool,
}

impl Sighting {
    fn on(&self, mix: &Mix) -> Record {
        let upper = self.upper.map_or(f64::INFINITY, |age| mix.reading(age));
        Record {
            entry: mix.reading(self.entry),
            count: self.count,
            ..Record::between(mix.reading(self.lower), upper)
        }
    }

    /// Distance a year of this car, where it can be told.
    fn km_per_year(&self) -> Option<f64> {
        let age = self.upper.unwrap_or(self.lower);
        (age.years > 0.0).then(|| age.km / age.years)
    }

    fn is_exact(&self) -> bool {
        self.upper == Some(self.lower)
    }
}

impl TwoClocks {
    /// Compares mixes of the two clocks. The belief is on the mixed clock, in reference years.
    ///
    /// Interval records need no Jacobian, being probabilities of the same event on every clock; a failure known to the
    /// moment gets `dz/dt` along its car's path.
    ///
    /// # Errors
    /// As [`Posterior::from_belief`]; [`PrognosisError::Inputs`] for ages that cannot be.
    ///
    /// Source: Oakes 1995; Duchesne & Lawless 2000. Checked: `reference/life.json`.
    pub fn learn(law: Law, belief: &Belief, sheet: Mix, seen: &[Sighting]) -> Result<Self, PrognosisError> {
        check(seen)?;
        let shares = (0..SHARES).map(|k| k as f64 / (SHARES - 1) as f64);
        let mut mixes: Vec<(Mix, f64)> = shares
            .filter(|share| (share - sheet.km_share).abs() > 1e-9)
            .map(|share| (Mix { km_share: share, ..sheet }, 0.0))
            .collect();
        let elsewhere = (1.0 - SHEET) / mixes.len() as f64;
        mixes.iter_mut().for_each(|(_, prior)| *prior = elsewhere);
        mixes.push((sheet, SHEET));
        let mut weighed = Vec::with_capacity(mixes.len());
        for (mix, prior) in mixes {
            let records: Vec<Record> = seen.iter().map(|sighting| sighting.on(&mix)).collect();
            let posterior = Posterior::from_belief(law, belief, &records)?;
            let ln_weight = prior.ln() + posterior.ln_evidence() + ln_jacobian(&mix, seen);
            weighed.push((mix, ln_weight, posterior));
        }
        let largest = weighed.iter().map(|(_, ln, _)| *ln).fold(f64::NEG_INFINITY, f64::max);
        weighed.iter_mut().for_each(|(_, weight, _)| *weight = (*weight - largest).exp());
        let total: f64 = weighed.iter().map(|(_, weight, _)| weight).sum();
        weighed.iter_mut().for_each(|(_, weight, _)| *weight /= total);
        Ok(Self { mixes: weighed, sheet, tells: tells(seen) })
    }

    /// Each mix with its probability.
    pub fn mixes(&self) -> impl Iterator<Item = (Mix, f64)> + '_ {
        self.mixes.iter().map(|(mix, weight, _)| (*mix, *weight))
    }

    /// The mix to tell people: the likeliest when records speak clearly for it, otherwise the sheet's.
    pub fn told(&self) -> Mix {
        let best = self.mixes.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        match best {
            Some((mix, weight, _)) if self.tells && *weight > SURE => *mix,
            _ => self.sheet,
        }
    }

    /// Probability that a new part lasts beyond this age, averaged over the mixes.
    pub fn survival(&self, age: Age) -> f64 {
        self.mixes.iter().map(|(mix, weight, lives)| weight * lives.survival(mix.reading(age))).sum()
    }

    /// Probability that a part alive at `now` fails by the later ages, which are equally probable. NaN when there are
    /// none.
    pub fn fails_by(&self, now: Age, later: &[Age], own: OwnRecord) -> f64 {
        let each = self.mixes.iter().map(|(mix, weight, lives)| {
            let alive = lives.alive_at(mix.reading(now), own);
            weight * later.iter().map(|age| alive.fails_by(mix.reading(*age))).sum::<f64>()
        });
        each.sum::<f64>() / later.len() as f64
    }
}

fn check(seen: &[Sighting]) -> Result<(), PrognosisError> {
    let mut inspection = Inspection::default();
    for (index, sighting) in seen.iter().enumerate() {
        inspection
            .at("sighting", index)
            .not_negative("last good years", sighting.lower.years)
            .not_negative("last good distance", sighting.lower.km)
            .at_least("last good years", sighting.lower.years, sighting.entry.years)
            .at_least("last good distance", sighting.lower.km, sighting.entry.km)
            .not_negative("years at entry", sighting.entry.years)
            .not_negative("distance at entry", sighting.entry.km)
            .not_negative("count", sighting.count);
        if let Some(upper) = sighting.upper {
            inspection
                .at_least("first bad years", upper.years, sighting.lower.years)
                .at_least("first bad distance", upper.km, sighting.lower.km)
                .finite("first bad years", upper.years)
                .finite("first bad distance", upper.km);
        }
    }
    inspection.finish()
}

/// Logarithm of `dz/dt` of every failure known to the moment.
fn ln_jacobian(mix: &Mix, seen: &[Sighting]) -> f64 {
    let exact = seen.iter().filter(|sighting| sighting.is_exact());
    exact.filter_map(|s| s.km_per_year().map(|rate| s.count * mix.speed(rate).ln())).sum()
}

/// Whether the records can tell one clock from the other at all.
fn tells(seen: &[Sighting]) -> bool {
    let failed = || seen.iter().filter(|sighting| sighting.upper.is_some() && sighting.count > 0.0);
    let rates = || failed().filter_map(Sighting::km_per_year);
    let (least, most) = (rates().fold(f64::INFINITY, f64::min), rates().fold(0.0, f64::max));
    failed().map(|sighting| sighting.count).sum::<f64>() >= LEAST_FAILURES && most >= APART * least
}

/// The mix whose clock shows the least relative scatter at failure; for lives known to the moment only.
///
/// Gives the coefficient of variation of `z` for each share asked for. Source: Kordonsky & Gertsbakh 1997. Checked:
/// `reference/life.json`.
///
/// # Errors
/// [`PrognosisError::TooFew`] for fewer than two failures.
pub fn scatter_at_failure(failures: &[Age], mix: &Mix) -> Result<f64, PrognosisError> {
    if failures.len() < 2 {
        return Err(PrognosisError::TooFew { what: "a scatter", needed: 2, found: failures.len() });
    }
    let z: Vec<f64> = failures.iter().map(|age| mix.reading(*age)).collect();
    let mean = z.iter().sum::<f64>() / z.len() as f64;
    let variance = z.iter().map(|z| (z - mean).powi(2)).sum::<f64>() / (z.len() - 1) as f64;
    Ok(variance.sqrt() / mean)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::life::Prior;

    /// Parts that go at about 90 000 km, in cars that need three to twenty years for it.
    fn worn_by_distance() -> Vec<Sighting> {
        let rates =
            [4_500.0, 6_000.0, 8_000.0, 10_000.0, 12_000.0, 15_000.0, 20_000.0, 25_000.0, 30_000.0, 9_000.0];
        let km = [85e3, 97e3, 92e3, 80e3, 103e3, 88e3, 95e3, 90e3, 84e3, 99e3];
        let age = |km: f64, rate: f64| Age { years: km / rate, km };
        let zero = Age { years: 0.0, km: 0.0 };
        let seen = rates.iter().zip(km);
        seen.map(|(r, km)| Sighting {
            lower: age(km - 8e3, *r),
            upper: Some(age(km, *r)),
            entry: zero,
            count: 1.0,
        })
        .collect()
    }

    #[test]
    fn parts_worn_by_distance_are_found_to_age_by_distance() {
        let belief = Prior { median: 8.0, spread: 2.0, sure: 2.0 }.belief(Law::Weibull).unwrap();
        let sheet = Mix::new(0.5, 12_000.0).unwrap();
        let learnt = TwoClocks::learn(Law::Weibull, &belief, sheet, &worn_by_distance()).unwrap();
        assert_eq!(learnt.told().km_share, 1.0);
        assert!((learnt.mixes().map(|(_, p)| p).sum::<f64>() - 1.0).abs() < 1e-12);
        let few = TwoClocks::learn(Law::Weibull, &belief, sheet, &worn_by_distance()[..5]).unwrap();
        assert_eq!(few.told(), sheet);
        let (slow, fast) = (Age { years: 9.0, km: 45e3 }, Age { years: 9.0, km: 180e3 });
        assert!(learnt.survival(slow) > 0.9 && learnt.survival(fast) < 0.1);
    }
}
