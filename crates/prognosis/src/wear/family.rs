//! What the wear of other cars teaches about this one.

use super::path::Known;
use super::rates::{Evidence, RatePart};
use super::reading::{self, Reading};
use super::{Kind, Prior};
use crate::climb::{self, Slopes};
use crate::error::PrognosisError;
use crate::grid::{Axis, Grid, Laying};
use crate::life::Estimate;
use crate::minimise::minimise;
use crate::normal;

/// From so many cars on the middle of what they taught is enough; with fewer its doubt is carried along. Common
/// practice, no source.
const MANY_CARS: usize = 10;
/// Parts into which the doubt about the spread is divided for fewer.
const PARTS: usize = 8;
/// Up to so many cars a family without one of them is learnt anew; with more, that one is weighed out.
const FEW_CARS: usize = 5;
/// Weighing a car out leaves at least this share of the points in play, or the family is learnt anew.
const LEFT: f64 = 0.1;
/// Cars with fewer readings say nothing of wander.
const LEAST_READINGS: usize = 4;
/// How many cars what a sheet says of wander and repeatability is worth. Common practice, no source.
pub const SHEET_CARS: f64 = 5.0;
/// Points lighter than this are left out.
const NEGLIGIBLE: f64 = 1e-8;
/// A car's likelihood is summed over this many standard deviations to either side of its mode, at so many points.
const WIDTH: f64 = 7.0;
const POINTS: i32 = 33;

/// What the cars of a family taught about the rates of one kind of part.
///
/// A car is kept as two numbers, the pull and the stiffness of its Gaussian likelihood of the rate; nothing is lost by
/// that. Source: derived; hierarchical model by quadrature. Checked: `reference/wear.json`.
#[derive(Debug, Clone)]
pub struct Family {
    kind: Kind,
    cars: Vec<Evidence>,
    ln_rate: Estimate,
    ln_spread: Estimate,
    /// Middle and logarithm of the spread of the rates, with mass.
    points: Vec<(f64, f64, f64)>,
    /// For each car, the logarithm of its likelihood at each point.
    ln_shares: Vec<Vec<f64>>,
}

/// What is believed of a car's rate after other cars have taught.
#[derive(Debug, Clone, PartialEq)]
pub struct Taught {
    prior: Prior,
    parts: Vec<RatePart>,
}

/// Wander and repeatability as the shop's cars show them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// `σ_B`, unit per square root of clock.
    pub wander: f64,
    /// By what the readings' own uncertainties are to be multiplied.
    pub own_u_factor: f64,
    /// How many cars had enough readings to teach it.
    pub cars: usize,
}

impl Taught {
    /// The nearest plain prior: same mean and variance of the logarithm of the rate.
    pub fn prior(&self) -> &Prior {
        &self.prior
    }

    pub(crate) fn parts(&self) -> &[RatePart] {
        &self.parts
    }
}

impl Family {
    /// Learns from the readings of any number of cars.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::Singular`] when a car's readings have
    /// no usable covariance.
    pub fn learn<C: AsRef<[Reading]>>(kind: &Kind, cars: &[C]) -> Result<Self, PrognosisError> {
        kind.check()?;
        cars.iter().try_for_each(|car| reading::check(car.as_ref()))?;
        let prior = kind.prior();
        let known = cars.iter().map(|car| Ok(Known::of(&prior, car.as_ref())?.evidence));
        Self::from_evidence(kind, known.collect::<Result<_, PrognosisError>>()?)
    }

    fn from_evidence(kind: &Kind, cars: Vec<Evidence>) -> Result<Self, PrognosisError> {
        let ln_density = |m: f64, c: f64| {
            let z = ((m - kind.ln_rate) / kind.ln_rate_sd, (c - kind.ln_spread) / kind.ln_spread_sd);
            let taught: f64 = cars.iter().map(|car| ln_share(*car, m, c)).sum();
            normal::ln_pdf(z.0) + normal::ln_pdf(z.1) + taught
        };
        let steps = (1e-3 * kind.ln_rate_sd, 1e-3 * kind.ln_spread_sd);
        let surface = |m: f64, c: f64| Slopes::by_differences(ln_density, (m, c), steps);
        let (mode, top) = climb::top("a family's rates", (kind.ln_rate, kind.ln_spread), surface)?;
        let [mm, mc, cc] = top.hessian;
        let determinant = mm * cc - mc * mc;
        let laying = Laying {
            mode,
            sd: ((-cc / determinant).sqrt(), (-mm / determinant).sqrt()),
            interpolate: !cars.is_empty(),
            // The density of one car's rate is no narrower than the spread between cars.
            longest_step: |(c, c_sd)| (c - c_sd).exp(),
        };
        let grid = Grid::lay(&laying, ln_density);
        let points = grid.points(NEGLIGIBLE);
        let ln_shares =
            cars.iter().map(|car| points.iter().map(|(m, c, _)| ln_share(*car, *m, *c)).collect()).collect();
        let estimate = |axis: &Axis| {
            let (mean, sd) = axis.moments();
            Estimate { mean, sd }
        };
        Ok(Self {
            kind: *kind,
            cars,
            ln_rate: estimate(&grid.m),
            ln_spread: estimate(&grid.c),
            points,
            ln_shares,
        })
    }

    pub fn kind(&self) -> &Kind {
        &self.kind
    }

    /// How many cars taught it.
    pub fn cars(&self) -> usize {
        self.cars.len()
    }

    /// Middle of the logarithms of the rates.
    pub fn ln_rate(&self) -> Estimate {
        self.ln_rate
    }

    /// Logarithm of the spread of those logarithms between cars.
    pub fn ln_spread(&self) -> Estimate {
        self.ln_spread
    }

    /// What is believed of a car that has taught nothing here.
    pub fn taught(&self) -> Taught {
        taught(&self.kind, self.points.clone(), self.cars.len())
    }

    /// What is believed of the car at this index, its own readings left out: they come in with its own path, and must
    /// not count twice.
    ///
    /// # Errors
    /// As [`Family::learn`]. An index that is no car leaves nothing out.
    pub fn taught_without(&self, car: usize) -> Result<Taught, PrognosisError> {
        let Some(shares) = self.ln_shares.get(car) else { return Ok(self.taught()) };
        let others = self.cars.len() - 1;
        if self.cars.len() > FEW_CARS {
            let least = shares.iter().copied().fold(f64::INFINITY, f64::min);
            let mut points: Vec<(f64, f64, f64)> = self
                .points
                .iter()
                .zip(shares)
                .map(|((m, c, w), share)| (*m, *c, w * (least - share).exp()))
                .collect();
            let total: f64 = points.iter().map(|p| p.2).sum();
            points.iter_mut().for_each(|p| p.2 /= total);
            let in_play = 1.0 / points.iter().map(|p| p.2 * p.2).sum::<f64>();
            let before = 1.0 / self.points.iter().map(|p| p.2 * p.2).sum::<f64>();
            if in_play >= LEFT * before {
                return Ok(taught(&self.kind, points, others));
            }
        }
        let mut cars = self.cars.clone();
        cars.remove(car);
        Ok(Self::from_evidence(&self.kind, cars)?.taught())
    }
}

/// What points over middle and spread say of one more car's rate.
fn taught(kind: &Kind, points: Vec<(f64, f64, f64)>, cars: usize) -> Taught {
    let whole = part(&points);
    let prior = kind.prior_with(whole.ln_mean, whole.ln_sd);
    let parts = if cars >= MANY_CARS { vec![whole] } else { by_spread(points) };
    Taught { prior, parts }
}

/// The one normal distribution nearest to what these points say.
fn part(points: &[(f64, f64, f64)]) -> RatePart {
    let weight: f64 = points.iter().map(|p| p.2).sum();
    let mean = points.iter().map(|(m, _, w)| w * m).sum::<f64>() / weight;
    let variance =
        points.iter().map(|(m, c, w)| w * ((m - mean).powi(2) + (2.0 * c).exp())).sum::<f64>() / weight;
    RatePart::new(weight, mean, variance.sqrt())
}

/// Points of like spread taken together, so that a few normal parts carry the long tails of a spread that is not known
/// well.
fn by_spread(mut points: Vec<(f64, f64, f64)>) -> Vec<RatePart> {
    points.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut parts = Vec::with_capacity(PARTS);
    let mut from = 0;
    let mut weight = 0.0;
    for k in 0..points.len() {
        weight += points[k].2;
        let last = k + 1 == points.len();
        let new_spread = last || points[k + 1].1 > points[k].1;
        if last || new_spread && weight >= 1.0 / PARTS as f64 {
            parts.push(part(&points[from..=k]));
            (from, weight) = (k + 1, 0.0);
        }
    }
    parts
}

/// Logarithm of one car's likelihood averaged over `N(z; m, e^2c)`: a sum around the top of their product.
fn ln_share(car: Evidence, m: f64, c: f64) -> f64 {
    let precision = (-2.0 * c).exp();
    let ln = |z: f64| {
        let b = z.exp();
        b * (car.pull - 0.5 * car.stiffness * b) - 0.5 * precision * (z - m) * (z - m)
    };
    let bend = |z: f64| {
        let b = z.exp();
        (
            b * (car.pull - car.stiffness * b) - precision * (z - m),
            b * (2.0 * car.stiffness * b - car.pull) + precision,
        )
    };
    let mut top = m;
    for _ in 0..30 {
        let (slope, curvature) = bend(top);
        let step = (slope / curvature.max(precision)).clamp(-1.0, 1.0);
        top += step;
        if step.abs() < 1e-9 {
            break;
        }
    }
    let step = 2.0 * WIDTH / f64::from(POINTS - 1) / bend(top).1.max(precision).sqrt();
    let highest = ln(top);
    let sum: f64 = (-POINTS / 2..=POINTS / 2).map(|k| (ln(top + step * f64::from(k)) - highest).exp()).sum();
    highest + (sum * step).ln() + 0.5 * precision.ln() + normal::ln_pdf(0.0)
}

/// Wander and repeatability that make the readings of all cars likeliest, drawn toward what the sheet says.
///
/// Cars with fewer than four readings teach nothing. The sheet counts for five cars, on variances. Without any car the
/// sheet's numbers come back.
///
/// # Errors
/// As [`Family::learn`].
pub fn learn_noise<C: AsRef<[Reading]>>(kind: &Kind, cars: &[C]) -> Result<Noise, PrognosisError> {
    kind.check()?;
    cars.iter().try_for_each(|car| reading::check(car.as_ref()))?;
    let teaching: Vec<&[Reading]> =
        cars.iter().map(AsRef::as_ref).filter(|car| car.len() >= LEAST_READINGS).collect();
    if teaching.is_empty() {
        return Ok(Noise { wander: kind.wander, own_u_factor: 1.0, cars: 0 });
    }
    let prior = kind.prior();
    // A wander of this size shows beside a reading's own uncertainty over the clock of one car.
    let own = teaching.iter().flat_map(|car| car.iter().map(|r| r.own_u)).fold(0.0, f64::max);
    let clock = teaching.iter().flat_map(|car| car.iter().map(|r| r.x)).fold(0.0, f64::max);
    let scale = if kind.wander > 0.0 { kind.wander } else { own / clock.sqrt() };
    let height = |[wander, factor]: [f64; 2]| {
        if wander.abs() > 12.0 || factor.abs() > 3.0 {
            return f64::INFINITY;
        }
        let noisy = prior.with_wander(scale * wander.exp());
        let each = teaching.iter().map(|car| {
            let readings: Vec<Reading> =
                car.iter().map(|r| Reading { own_u: r.own_u * factor.exp(), ..*r }).collect();
            let known = Known::of(&noisy, &readings).ok()?;
            Some(known.ln_constant + ln_share(known.evidence, prior.ln_rate, prior.ln_rate_sd.ln()))
        });
        each.sum::<Option<f64>>().map_or(f64::INFINITY, |sum| -sum)
    };
    let ([wander, factor], _) = minimise([0.0, 0.0], [0.5, 0.25], height);
    let n = teaching.len() as f64;
    let wander = pooled(SHEET_CARS, kind.wander.powi(2), n, (scale * wander.exp()).powi(2)).sqrt();
    let own_u_factor = pooled(SHEET_CARS, 1.0, n, (2.0 * factor).exp()).sqrt();
    Ok(Noise { wander, own_u_factor, cars: teaching.len() })
}

/// A stated value that is worth so many cars, and what that many cars showed: `(k·m₀ + n·m)/(k + n)`. Checked:
/// `reference/wear.json`.
pub fn pooled(worth: f64, stated: f64, cars: f64, seen: f64) -> f64 {
    (worth * stated + cars * seen) / (worth + cars)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::life;
    use crate::wear::{Limits, Path};

    fn kind() -> Kind {
        Kind::from_life(25.0, 0.05, 23.0, &life::Prior { median: 90.0, spread: 1.5, sure: 1.6 }).unwrap()
    }

    /// Cars that wear at these rates, read every 12 clocks.
    fn cars(rates: &[f64], readings: u32) -> Vec<Vec<Reading>> {
        let car = |rate: &f64| {
            let at = |k: u32| f64::from(k) * 12.0;
            (1..=readings).map(|k| Reading::new(at(k), 25.0 - rate * at(k), 0.02)).collect()
        };
        rates.iter().map(car).collect()
    }

    #[test]
    fn no_car_teaches_nothing_and_many_alike_teach_their_rate() {
        let none = Family::learn::<Vec<Reading>>(&kind(), &[]).unwrap();
        assert!((none.ln_rate().mean - kind().ln_rate).abs() < 1e-3);
        assert!((none.taught().prior().ln_rate_sd / kind().prior().ln_rate_sd - 1.0).abs() < 0.2);
        let family =
            Family::learn(&kind(), &cars(&[0.030, 0.033, 0.029, 0.031, 0.034, 0.030, 0.032], 4)).unwrap();
        assert!((family.ln_rate().mean.exp() - 0.031).abs() < 0.002, "{:?}", family.ln_rate());
        assert!(family.ln_rate().sd < 0.3 * kind().ln_rate_sd);
        assert!(family.ln_spread().mean < none.ln_spread().mean);
    }

    #[test]
    fn a_car_left_out_is_weighed_out_as_if_it_had_never_been() {
        let rates = [0.020, 0.026, 0.018, 0.022, 0.025, 0.019, 0.030, 0.021];
        let family = Family::learn(&kind(), &cars(&rates, 3)).unwrap();
        for car in [0, 3, 6] {
            let mut others = rates.to_vec();
            others.remove(car);
            let anew = Family::learn(&kind(), &cars(&others, 3)).unwrap().taught();
            let weighed = family.taught_without(car).unwrap();
            assert!((weighed.prior().ln_rate - anew.prior().ln_rate).abs() < 2e-3, "{car}");
            assert!((weighed.prior().ln_rate_sd / anew.prior().ln_rate_sd - 1.0).abs() < 1e-2, "{car}");
        }
    }

    #[test]
    fn parts_add_to_one_and_agree_with_the_plain_prior_in_the_middle() {
        let family = Family::learn(&kind(), &cars(&[0.020, 0.026, 0.031], 3)).unwrap();
        let taught = family.taught();
        assert!((taught.parts().iter().map(|p| p.weight).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(taught.parts().len() > 3);
        let limit = Limits::min(23.0);
        let (mixed, plain) =
            (Path::fit_taught(&taught, &[]).unwrap(), Path::fit(taught.prior(), &[]).unwrap());
        for x in [50.0, 80.0, 120.0] {
            assert!((mixed.past(limit, x) - plain.past(limit, x)).abs() < 0.03, "{x}");
        }
    }

    #[test]
    fn noise_falls_back_on_the_sheet_and_follows_many_cars() {
        let sheet = learn_noise(&kind(), &cars(&[0.02, 0.03], 3)).unwrap();
        assert_eq!((sheet.wander, sheet.own_u_factor, sheet.cars), (kind().wander, 1.0, 0));
        let straight = learn_noise(&kind(), &cars(&[0.02; 30], 6)).unwrap();
        assert!(straight.wander < 0.5 * kind().wander && straight.own_u_factor < 0.7, "{straight:?}");
        let mut rough = cars(&[0.02; 30], 6);
        rough
            .iter_mut()
            .flatten()
            .enumerate()
            .for_each(|(k, r)| r.y += if k % 2 == 0 { 0.06 } else { -0.06 });
        assert!(learn_noise(&kind(), &rough).unwrap().own_u_factor > 2.0);
    }
}
