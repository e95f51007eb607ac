//! Weights that keep a wild reading from carrying the rest away.

use super::Prior;
use super::path::Path;
use super::reading::Reading;
use crate::error::PrognosisError;

/// Degrees of freedom of the reading errors. Lange, Little & Taylor 1989 find 4 to serve well.
const DEGREES: f64 = 4.0;
const MOST_STEPS: usize = 500;
/// Weights have settled when none moves by more.
const SETTLED: f64 = 1e-9;

impl Path {
    /// The posterior with readings that are believed the less the further they lie off the path, and the weight each
    /// ends up with. Nothing is dropped: a reading far off keeps a small weight, and says so.
    ///
    /// `w = (ν + 1)/(ν + r²/R)` with `ν = 4`, repeated until it settles.
    ///
    /// # Errors
    /// As [`Path::fit`]; [`PrognosisError::NotSettled`] when the weights do not settle.
    pub fn fit_robust(prior: &Prior, readings: &[Reading]) -> Result<(Self, Vec<f64>), PrognosisError> {
        settle(readings, |weighed| {
            let path = Self::fit(prior, weighed)?;
            let off = weighed.iter().map(|r| r.y - path.level(r.x).mean).collect();
            Ok((path, off))
        })
    }
}

/// Fits and weighs in turn. `fit` gives what is wanted and how far each reading lies off it.
pub(crate) fn settle<T>(
    readings: &[Reading],
    mut fit: impl FnMut(&[Reading]) -> Result<(T, Vec<f64>), PrognosisError>,
) -> Result<(T, Vec<f64>), PrognosisError> {
    let mut weighed = readings.to_vec();
    for _ in 0..MOST_STEPS {
        let (fitted, off) = fit(&weighed)?;
        let mut moved: f64 = 0.0;
        for ((reading, now), off) in readings.iter().zip(&mut weighed).zip(off) {
            let own = reading.own_variance();
            let weight = reading.weight * (DEGREES + 1.0) / (DEGREES + off * off / own);
            moved = moved.max((weight - now.weight).abs());
            now.weight = weight;
        }
        if moved < SETTLED {
            return Ok((fitted, weighed.iter().map(|reading| reading.weight).collect()));
        }
    }
    Err(PrognosisError::NotSettled { what: "the weights of the readings", steps: MOST_STEPS })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::life;
    use crate::wear::Limits;

    #[test]
    fn one_wild_reading_hardly_moves_the_forecast() {
        let prior = Prior::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5)).unwrap();
        let good = [(12.0, 24.79), (25.0, 24.52), (41.0, 24.20), (56.0, 23.93), (70.0, 23.64)];
        let readings: Vec<Reading> = good.iter().map(|(x, y)| Reading::new(*x, *y, 0.02)).collect();
        let mut slipped = readings.clone();
        slipped[2].y = 24.80;
        let limit = Limits::min(23.0);
        let honest = Path::fit(&prior, &readings).unwrap().past(limit, 100.0);
        let fooled = Path::fit(&prior, &slipped).unwrap().past(limit, 100.0);
        let (robust, weights) = Path::fit_robust(&prior, &slipped).unwrap();
        assert!((robust.past(limit, 100.0) - honest).abs() < 0.3 * (fooled - honest).abs());
        assert!(weights[2] < 0.05 && weights[0] > 0.5, "{weights:?}");
    }
}
