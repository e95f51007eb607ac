//! A part that may have been renewed between two visits, nobody knows when.

use super::crossing::Course;
use super::path::{Level, Path};
use super::reading::{self, Reading};
use super::{Crossing, Limits, Prior};
use crate::error::{Inspection, PrognosisError};

/// How probable a renewal is beforehand where a record says that there was one. Common practice, no source.
pub const SAID: f64 = 0.8;
/// And where nothing says so. Common practice, no source.
pub const UNSAID: f64 = 0.02;
/// Moments of renewal that stand for all in between.
const MOMENTS: usize = 9;

/// The wear of a part that either is the old one, or was renewed at any moment between two clocks.
#[derive(Debug, Clone)]
pub struct PerhapsRenewed {
    /// Probability, clock at which the part was new, its path.
    accounts: Vec<(f64, f64, Path)>,
}

impl PerhapsRenewed {
    /// Weighs both accounts by how well they explain the readings. Readings up to `between.0` are of the old part,
    /// readings from `between.1` on of whichever is fitted; `prior_renewed` is [`SAID`], [`UNSAID`] or what the caller
    /// knows better.
    ///
    /// # Errors
    /// As [`Path::fit`]; readings inside the gap are refused, for they would tell more closely when it was.
    pub fn fit(
        prior: &Prior,
        readings: &[Reading],
        between: (f64, f64),
        prior_renewed: f64,
    ) -> Result<Self, PrognosisError> {
        let (from, to) = between;
        let mut inspection = Inspection::default();
        inspection
            .not_negative("last clock of the old part", from)
            .finite("first clock thereafter", to)
            .at_least("first clock thereafter", to, from)
            .probability("probability of a renewal", prior_renewed);
        for (index, reading) in readings.iter().enumerate().filter(|(_, r)| r.x > from && r.x < to) {
            inspection.at("reading", index).at_least("clock", reading.x, to);
        }
        inspection.finish()?;
        reading::check(readings)?;
        let (old, new): (Vec<Reading>, Vec<Reading>) = readings.iter().partition(|r| r.x <= from);
        let kept = Path::fit(prior, readings)?;
        let old_evidence = Path::fit(prior, &old)?.ln_evidence();
        let mut accounts = vec![((1.0 - prior_renewed).ln() + kept.ln_evidence(), 0.0, kept)];
        for moment in 0..MOMENTS {
            let at = from + (to - from) * (moment as f64 + 0.5) / MOMENTS as f64;
            let since: Vec<Reading> = new.iter().map(|r| Reading { x: r.x - at, ..*r }).collect();
            let path = Path::fit(prior, &since)?;
            let ln_weight = (prior_renewed / MOMENTS as f64).ln() + old_evidence + path.ln_evidence();
            accounts.push((ln_weight, at, path));
        }
        let largest = accounts.iter().map(|(ln, _, _)| *ln).fold(f64::NEG_INFINITY, f64::max);
        accounts.iter_mut().for_each(|(weight, _, _)| *weight = (*weight - largest).exp());
        let total: f64 = accounts.iter().map(|(weight, _, _)| weight).sum();
        accounts.iter_mut().for_each(|(weight, _, _)| *weight /= total);
        Ok(Self { accounts })
    }

    /// Probability that it was renewed.
    pub fn renewed(&self) -> f64 {
        self.accounts.iter().skip(1).map(|(weight, _, _)| weight).sum()
    }

    /// Probability that the level is past a limit at `x`, on the old part's clock.
    pub fn past(&self, limits: Limits, x: f64) -> f64 {
        self.accounts.iter().map(|(weight, new_at, path)| weight * path.past(limits, x - new_at)).sum()
    }

    /// Level at `x`, on the old part's clock.
    pub fn level(&self, x: f64) -> Level {
        let each = || self.accounts.iter().map(|(weight, new_at, path)| (weight, path.level(x - new_at)));
        let mean: f64 = each().map(|(weight, level)| weight * level.mean).sum();
        let variance: f64 = each().map(|(weight, l)| weight * (l.sd * l.sd + (l.mean - mean).powi(2))).sum();
        Level { mean, sd: variance.sqrt() }
    }

    /// When a limit is reached, on the old part's clock; as [`Path::crossing`].
    pub fn crossing(&self, limits: Limits, now: f64, horizon: f64) -> Crossing {
        let likeliest = self.accounts.iter().max_by(|a, b| a.0.total_cmp(&b.0));
        let guess = likeliest.map(|(_, new_at, path)| (*new_at, path.guess(limits, (now - new_at).max(0.0))));
        let guess = |z: f64| guess.as_ref().map_or(now, |(new_at, guess)| new_at + guess(z));
        Course { past: |x| self.past(limits, x), guess, now: now.max(0.0), horizon }.crossing()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::life;
    use crate::wear::When;

    fn disc() -> Prior {
        Prior::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5)).unwrap()
    }

    #[test]
    fn readings_that_went_back_to_new_say_that_it_was_renewed() {
        let old = [Reading::new(20.0, 24.55, 0.02), Reading::new(60.0, 23.65, 0.02)];
        let jumped = [old[0], old[1], Reading::new(80.0, 24.80, 0.02)];
        let went_on = [old[0], old[1], Reading::new(80.0, 23.22, 0.02)];
        let renewed = PerhapsRenewed::fit(&disc(), &jumped, (60.0, 80.0), UNSAID).unwrap();
        assert!(renewed.renewed() > 0.999);
        assert!(renewed.level(80.0).mean > 24.7);
        let kept = PerhapsRenewed::fit(&disc(), &went_on, (60.0, 80.0), SAID).unwrap();
        assert!(kept.renewed() < 0.05, "{}", kept.renewed());
        let alone = Path::fit(&disc(), &went_on).unwrap();
        let unsaid = PerhapsRenewed::fit(&disc(), &went_on, (60.0, 80.0), UNSAID).unwrap();
        let limit = Limits::min(23.0);
        assert!((unsaid.past(limit, 95.0) - alone.past(limit, 95.0)).abs() < 0.01);
        let (When::At(early), When::At(late)) =
            (unsaid.crossing(limit, 80.0, 400.0).middle, renewed.crossing(limit, 80.0, 400.0).middle)
        else {
            panic!("both cross")
        };
        assert!(early < 100.0 && late > 130.0);
    }

    #[test]
    fn a_reading_in_the_gap_is_refused() {
        let readings = [Reading::new(70.0, 24.0, 0.02)];
        assert!(PerhapsRenewed::fit(&disc(), &readings, (60.0, 80.0), SAID).is_err());
    }
}
