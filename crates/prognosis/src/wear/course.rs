//! Whether the cars of a family wear straight, wander or bend.

use super::Reading;
use super::reading;
use super::regression::least_squares;
use crate::error::PrognosisError;
use crate::normal;

/// Share of cars that have to bend the same way.
const SAME_WAY: f64 = 2.0 / 3.0;
/// Such agreement, or growth of the scatter, must be unlikely by chance at this level. Common practice, no source.
const CHANCE: f64 = 0.05;
/// Fewer readings cannot bend.
const LEAST_READINGS: usize = 4;

/// How the paths of a family's cars go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Courses {
    /// Whether the scatter about each car's own line grows with the gap between readings: the paths wander.
    pub wander: bool,
    /// Growth of that scatter per clock, `σ_B²`, with its standard deviation.
    pub growth: f64,
    pub growth_sd: f64,
    /// Which way the paths bend, where enough cars agree; a transform of value or clock may straighten them.
    pub bend: Option<Bend>,
    /// Cars that bend each way: faster with the clock, and slower.
    pub faster: usize,
    pub slower: usize,
}

/// Which way paths bend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bend {
    /// Wear speeds up with the clock.
    Faster,
    /// Wear slows down with the clock.
    Slower,
}

/// Looks at the steps between readings of every car, and at the bend of its path. Readings in order of their clock.
///
/// # Errors
/// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::TooFew`] for fewer than four steps in all.
pub fn courses<C: AsRef<[Reading]>>(
    direction: super::Direction,
    cars: &[C],
) -> Result<Courses, PrognosisError> {
    cars.iter().try_for_each(|car| reading::check(car.as_ref()))?;
    let steps: Vec<(f64, f64)> = cars.iter().flat_map(|car| scatter(car.as_ref())).collect();
    let (growth, growth_sd) = growth(&steps)?;
    let bends: Vec<f64> =
        cars.iter().filter_map(|car| bend(car.as_ref())).map(|b| direction.sign() * b).collect();
    let faster = bends.iter().filter(|bend| **bend > 0.0).count();
    let slower = bends.len() - faster;
    let most = faster.max(slower);
    let agree = most as f64 >= SAME_WAY * bends.len() as f64 && by_chance(most, bends.len()) < CHANCE;
    Ok(Courses {
        wander: growth > -normal::quantile(CHANCE) * growth_sd,
        growth,
        growth_sd,
        bend: agree.then_some(if faster > slower { Bend::Faster } else { Bend::Slower }),
        faster,
        slower,
    })
}

/// For each step of one car: the gap, and the squared step off its mean rate less what the readings' own errors add.
fn scatter(car: &[Reading]) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (car.first(), car.last()) else { return Vec::new() };
    if car.len() < 3 || last.x <= first.x {
        return Vec::new();
    }
    let span = last.x - first.x;
    let rate = (last.y - first.y) / span;
    car.windows(2)
        .filter(|pair| pair[1].x > pair[0].x)
        .map(|pair| {
            let gap = pair[1].x - pair[0].x;
            let square = (pair[1].y - pair[0].y - rate * gap).powi(2);
            // The mean rate takes its share of each step's scatter with it.
            let own = pair[0].own_variance() + pair[1].own_variance();
            (gap * (1.0 - gap / span), square - own)
        })
        .collect()
}

/// Slope of the scatter on the gap, through the origin, and its standard deviation by what scatter there is.
fn growth(steps: &[(f64, f64)]) -> Result<(f64, f64), PrognosisError> {
    if steps.len() < 4 {
        return Err(PrognosisError::TooFew { what: "a look at how paths go", needed: 4, found: steps.len() });
    }
    // The scatter of a square grows with the gap, so gaps weigh by their inverse: the slope is a ratio of sums.
    let gaps: f64 = steps.iter().map(|s| s.0).sum();
    if gaps <= 0.0 {
        return Err(PrognosisError::Singular);
    }
    let slope = steps.iter().map(|s| s.1).sum::<f64>() / gaps;
    let off: f64 = steps.iter().map(|(gap, square)| (square - slope * gap).powi(2)).sum();
    Ok((slope, off.sqrt() / gaps))
}

/// Curvature of one car's path: how far the middle lies below the line through the ends, by least squares on `x²` once
/// the line is taken out.
fn bend(car: &[Reading]) -> Option<f64> {
    if car.len() < LEAST_READINGS {
        return None;
    }
    let line = least_squares(&car.iter().map(|r| (r.x, r.y)).collect::<Vec<_>>()).ok()?;
    let square = least_squares(&car.iter().map(|r| (r.x, r.x * r.x)).collect::<Vec<_>>()).ok()?;
    let bend = car.iter().map(|r| {
        let curve = r.x * r.x - square.intercept - square.slope * r.x;
        curve * (r.y - line.intercept - line.slope * r.x)
    });
    Some(bend.sum()).filter(|bend| *bend != 0.0)
}

/// Probability that at least so many of `n` fall on one side when either is as likely.
fn by_chance(most: usize, n: usize) -> f64 {
    let mut term = 0.5_f64.powi(n.min(1000) as i32);
    let mut above = 0.0;
    for k in 0..=n {
        if k >= most {
            above += term;
        }
        term *= (n - k) as f64 / (k + 1) as f64;
    }
    (2.0 * above).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::Direction;

    fn car(of: impl Fn(f64) -> f64, u: f64) -> Vec<Reading> {
        (1..=8).map(|k| f64::from(k) * 10.0).map(|x| Reading::new(x, of(x), u)).collect()
    }

    #[test]
    fn bent_paths_are_told_from_straight_ones() {
        let bent: Vec<Vec<Reading>> =
            (0..9).map(|k| car(|x| 0.001 * f64::from(k + 5) * x * x, 0.01)).collect();
        assert_eq!(courses(Direction::Up, &bent).unwrap().bend, Some(Bend::Faster));
        let slowing: Vec<Vec<Reading>> =
            (0..9).map(|k| car(|x| 25.0 - 0.1 * f64::from(k + 5) * x.sqrt(), 0.01)).collect();
        assert_eq!(courses(Direction::Down, &slowing).unwrap().bend, Some(Bend::Slower));
        let few = courses(Direction::Up, &bent[..4]).unwrap();
        assert_eq!((few.bend, few.faster), (None, 4));
    }

    /// Steps that are off by half the square root of the gap wander; steps off by no more than the readings' own error
    /// do not.
    #[test]
    fn scatter_that_grows_with_the_gap_is_wander() {
        let off = [0.0, 1.0, 0.0, 1.0, 2.0, 1.0, 2.0, 1.0];
        let rough = |size: f64| -> Vec<Vec<Reading>> {
            (0..6)
                .map(|k| {
                    car(|x| 0.1 * x + size * off[(x / 10.0) as usize - 1] * f64::from(k % 2 * 2 - 1), 0.05)
                })
                .collect()
        };
        let wandering = courses(Direction::Up, &rough(1.0)).unwrap();
        assert!(wandering.wander && wandering.growth > 0.05, "{wandering:?}");
        assert!(!courses(Direction::Up, &rough(0.05)).unwrap().wander);
    }
}
