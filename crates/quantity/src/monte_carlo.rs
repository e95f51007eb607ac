//! Propagating whole distributions instead of uncertainties.

use crate::standard::not_negative;
use crate::{Bounds, Conformity, Line, Measurement, Shape, UncertaintyError};
use std::f64::consts::TAU;

/// Enough trials for a result shown on a page: the end points of a 95 % interval come out to about 1 % of u.
pub const TRIALS: usize = 100_000;

/// How a distribution is drawn: the same count and seed always give the same bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trials {
    /// How many times the formula is evaluated. JCGM 101:2008 7.2.2 advises 10⁴/(1 − p) or more.
    pub count: usize,
    /// Where the fixed sequence starts.
    pub seed: u64,
}

impl Default for Trials {
    fn default() -> Self {
        Trials { count: TRIALS, seed: 0 }
    }
}

/// The distribution of a formula's result.
#[derive(Debug, Clone, PartialEq)]
pub struct Sampled {
    /// In rising order.
    values: Vec<f64>,
    mean: f64,
    u: f64,
}

/// Draws each input from its budget, line by line, and evaluates the formula each time. Lines shared between inputs are
/// drawn once for all of them. Normal lines with few degrees of freedom are drawn from Student's distribution
/// (JCGM 101:2008 6.4.9), rectangular, triangular and arcsine ones from theirs (6.4.2, 6.4.5, 6.4.6).
///
/// `f` takes the inputs in the order given, each in its own unit.
///
/// ```
/// use quantity::{Measurement, Trials, Unit, monte_carlo};
/// let x = Measurement::with_u(0.0, 1.0, f64::INFINITY, Unit::MM)?;
/// let square = monte_carlo(&[&x], |x| x[0] * x[0], Trials::default())?;
/// assert!((square.mean() - 1.0).abs() < 0.02); // first order would say 0 ± 0
/// # Ok::<(), quantity::UncertaintyError>(())
/// ```
///
/// # Errors
/// [`UncertaintyError::Length`] with fewer than 100 trials; [`UncertaintyError::FormulaFails`] when any trial gives no finite
/// number.
///
/// Source: JCGM 101:2008 clause 7. Checked: `reference/metrology.json`, formula `mc`.
pub fn monte_carlo(
    inputs: &[&Measurement],
    mut f: impl FnMut(&[f64]) -> f64,
    trials: Trials,
) -> Result<Sampled, UncertaintyError> {
    if trials.count < 100 {
        return Err(UncertaintyError::Length { what: "trials", found: trials.count, wanted: 100 });
    }
    let sources = Source::of(inputs);
    let mut point = vec![0.0; inputs.len()];
    let mut values = Vec::with_capacity(trials.count);
    let mut failed = 0usize;
    for trial in 0..trials.count as u64 {
        for (x, input) in point.iter_mut().zip(inputs) {
            *x = input.value();
        }
        for (stream, source) in sources.iter().enumerate() {
            let error = draw(source, Uniform { seed: trials.seed, stream: stream as u64, trial });
            for &(input, contribution) in &source.acts_on {
                point[input] += contribution * error;
            }
        }
        let value = f(&point);
        if value.is_finite() {
            values.push(value);
        } else {
            failed += 1;
        }
    }
    if failed > 0 {
        return Err(UncertaintyError::FormulaFails { share: 100.0 * failed as f64 / trials.count as f64 });
    }
    values.sort_by(f64::total_cmp);
    let n = values.len() as f64;
    let origin = values[values.len() / 2];
    let mean = origin + values.iter().map(|v| v - origin).sum::<f64>() / n;
    let u = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    Ok(Sampled { values, mean, u })
}

impl Sampled {
    /// Mean of the values.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation of the values.
    pub fn u(&self) -> f64 {
        self.u
    }

    /// How many times the formula was evaluated.
    pub fn trials(&self) -> usize {
        self.values.len()
    }

    /// Coverage interval with as much probability left below as above.
    ///
    /// # Errors
    /// [`UncertaintyError::Probability`] unless 0 < p < 1.
    ///
    /// Source: JCGM 101:2008 7.7.
    pub fn interval(&self, p: f64) -> Result<(f64, f64), UncertaintyError> {
        let inside = self.inside(p)?;
        let from = (self.values.len() - inside) / 2;
        Ok((self.values[from], self.values[(from + inside).min(self.values.len() - 1)]))
    }

    /// The shortest coverage interval, for lopsided results.
    ///
    /// # Errors
    /// [`UncertaintyError::Probability`] unless 0 < p < 1.
    ///
    /// Source: JCGM 101:2008 5.3.4, 7.7.4.
    pub fn shortest_interval(&self, p: f64) -> Result<(f64, f64), UncertaintyError> {
        let inside = self.inside(p)?;
        let ends = self.values.windows(inside + 1).map(|part| (part[0], part[inside]));
        let shortest = ends.min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
        shortest.map_or_else(|| self.interval(p), Ok)
    }

    /// How the result stands to limits, counted; nothing rarer than one trial shows.
    pub fn conformity(&self, bounds: &Bounds) -> Conformity {
        let n = self.values.len() as f64;
        let below = self.values.partition_point(|v| *v < bounds.lower()) as f64 / n;
        let above = (self.values.len() - self.values.partition_point(|v| *v <= bounds.upper())) as f64 / n;
        Conformity { within: 1.0 - below - above, below, above, ln_beyond: (below + above).ln() }
    }

    /// Compares with the first-order answer: whether the ends of its interval agree to `digits` significant digits of u.
    ///
    /// # Errors
    /// [`UncertaintyError::Probability`] unless 0 < p < 1.
    ///
    /// Source: JCGM 101:2008 clause 8.
    pub fn compare(&self, linear: &Measurement, p: f64, digits: u32) -> Result<Comparison, UncertaintyError> {
        let (low, high) = self.interval(p)?;
        let half = linear.expanded(p)?.half_width;
        let tolerance = numerical_tolerance(linear.u(), digits)?;
        let low_apart = (linear.value() - half - low).abs();
        let high_apart = (linear.value() + half - high).abs();
        Ok(Comparison { low_apart, high_apart, tolerance })
    }

    /// Values inside an interval of probability `p`, at least one and not all.
    fn inside(&self, p: f64) -> Result<usize, UncertaintyError> {
        if !(p > 0.0 && p < 1.0) {
            return Err(UncertaintyError::Probability { what: "coverage probability", found: p });
        }
        Ok(((p * self.values.len() as f64).round() as usize).clamp(1, self.values.len() - 1))
    }
}

/// The first-order interval beside the drawn one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// Between the lower ends, `d_low`.
    pub low_apart: f64,
    /// Between the upper ends, `d_high`.
    pub high_apart: f64,
    /// δ.
    pub tolerance: f64,
}

impl Comparison {
    /// Whether the first-order answer stands.
    pub fn agrees(&self) -> bool {
        self.low_apart <= self.tolerance && self.high_apart <= self.tolerance
    }
}

/// δ, half a unit of the last of so many significant digits of `u`: written `u = c·10^l` with a whole `c` of that many
/// digits, `δ = ½·10^l`.
///
/// # Errors
/// [`UncertaintyError::Negative`], [`UncertaintyError::NotFinite`].
///
/// Source: JCGM 101:2008 7.9.2.
pub fn numerical_tolerance(u: f64, digits: u32) -> Result<f64, UncertaintyError> {
    if not_negative("standard uncertainty", u)? == 0.0 {
        return Ok(0.0);
    }
    let more = digits.clamp(1, 15) as usize - 1;
    // The printed form knows when rounding adds a digit: 0.0996 to one digit is 1e-1.
    let power =
        format!("{u:.more$e}").split_once('e').and_then(|(_, power)| power.parse::<i32>().ok()).unwrap_or(0);
    Ok(0.5 * 10f64.powi(power - more as i32))
}

/// One independent error, and the inputs it acts on with how much each.
struct Source {
    shape: Shape,
    dof: f64,
    acts_on: Vec<(usize, f64)>,
}

impl Source {
    fn of(inputs: &[&Measurement]) -> Vec<Source> {
        let mut shared: Vec<(&str, usize)> = Vec::new();
        let mut sources: Vec<Source> = Vec::new();
        for (input, measured) in inputs.iter().enumerate() {
            for line in measured.lines() {
                let action = (input, line.contribution());
                let known =
                    line.shared.as_deref().and_then(|name| shared.iter().find(|(have, _)| *have == name));
                if let Some(&(_, at)) = known {
                    sources[at].acts_on.push(action);
                    continue;
                }
                if let Some(name) = line.shared.as_deref() {
                    shared.push((name, sources.len()));
                }
                let Line { shape, dof, .. } = *line;
                sources.push(Source { shape, dof, acts_on: vec![action] });
            }
        }
        sources
    }
}

/// An error with standard uncertainty 1 (for Student's, scale 1).
fn draw(source: &Source, uniform: Uniform) -> f64 {
    let (a, b) = (uniform.at(0), uniform.at(1));
    let to_half_width = source.shape.half_widths();
    match source.shape {
        // Bailey's polar form (1994, from memory); with infinite degrees of freedom it is Box and Muller's.
        Shape::Normal => {
            let ln_a = a.ln();
            let radius = if source.dof.is_finite() {
                (source.dof * (-2.0 / source.dof * ln_a).exp_m1()).sqrt()
            } else {
                (-2.0 * ln_a).sqrt()
            };
            radius * (TAU * b).cos()
        }
        Shape::Rectangular => to_half_width * (2.0 * a - 1.0),
        Shape::Triangular => to_half_width * (a + b - 1.0),
        Shape::Arcsine => to_half_width * (TAU * a).cos(),
    }
}

/// Numbers between 0 and 1, ends excluded, each from its own place alone: no state, so no order of drawing matters.
/// The mixing is that of SplitMix64 (Steele, Lea & Flood, 2014), from memory.
#[derive(Clone, Copy)]
struct Uniform {
    seed: u64,
    stream: u64,
    trial: u64,
}

impl Uniform {
    fn at(self, which: u64) -> f64 {
        const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;
        let key = mix(mix(self.seed).wrapping_add(GOLDEN.wrapping_mul(2 * self.stream + which + 1)));
        let bits = mix(key.wrapping_add(GOLDEN.wrapping_mul(self.trial + 1)));
        ((bits >> 12) as f64 + 0.5) / (1u64 << 52) as f64
    }
}

fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Unit, propagate};

    fn with(shape: Shape, dof: f64) -> Measurement {
        Measurement::new(0.0, Unit::ONE).unwrap().with(Line::own("x", shape, 1.0).dof(dof)).unwrap()
    }

    #[test]
    fn every_shape_has_the_standard_deviation_and_quantile_it_should() {
        // 97.5 % points: normal 1.95996; Student with 5 degrees 2.57058 (any printed table); rectangular 0.95·√3;
        // triangular (1 − √0.05)·√6; arcsine √2·sin(0.475π).
        for (shape, dof, sd, q) in [
            (Shape::Normal, f64::INFINITY, 1.0, 1.959_96),
            (Shape::Normal, 5.0, (5.0f64 / 3.0).sqrt(), 2.570_58),
            (Shape::Rectangular, f64::INFINITY, 1.0, 0.95 * 3f64.sqrt()),
            (Shape::Triangular, f64::INFINITY, 1.0, (1.0 - 0.05f64.sqrt()) * 6f64.sqrt()),
            (Shape::Arcsine, f64::INFINITY, 1.0, 2f64.sqrt() * (0.475 * std::f64::consts::PI).sin()),
        ] {
            let x = with(shape, dof);
            let drawn = monte_carlo(&[&x], |x| x[0], Trials::default()).unwrap();
            let (low, high) = drawn.interval(0.95).unwrap();
            assert!(drawn.mean().abs() < 0.015, "{shape:?} {}", drawn.mean());
            assert!((drawn.u() - sd).abs() < 0.02, "{shape:?} {}", drawn.u());
            assert!((high - q).abs() < 0.04 && (low + q).abs() < 0.04, "{shape:?} {low} {high}");
        }
    }

    #[test]
    fn the_same_trials_give_the_same_bits_and_another_seed_others() {
        let x = with(Shape::Normal, 4.0);
        let draw = |seed| monte_carlo(&[&x], |x| x[0].exp(), Trials { count: 1000, seed }).unwrap();
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7).mean().to_bits(), draw(8).mean().to_bits());
    }

    #[test]
    fn inputs_are_independent_and_shared_errors_are_one() {
        let own = with(Shape::Normal, f64::INFINITY);
        let product = monte_carlo(&[&own, &own], |x| x[0] * x[1], Trials::default()).unwrap();
        assert!(product.mean().abs() < 0.015, "{}", product.mean());
        let line = |c: f64| Line { sensitivity: c, ..Line::shared("calibration", Shape::Normal, 1.0, "mic") };
        let shared = |c: f64| Measurement::new(0.0, Unit::ONE).unwrap().with(line(c)).unwrap();
        let gone =
            monte_carlo(&[&shared(2.0), &shared(1.0)], |x| x[0] - 2.0 * x[1], Trials::default()).unwrap();
        assert!(gone.u() < 1e-12);
    }

    #[test]
    fn the_linear_answer_is_compared_as_the_supplement_asks() {
        let (a, b) = (with(Shape::Normal, f64::INFINITY), with(Shape::Normal, f64::INFINITY));
        let inputs =
            [("a", &a), ("b", &b)].map(|(name, measured)| crate::Input { name, measured, sensitivity: 1.0 });
        let sum = propagate(0.0, Unit::ONE, &inputs).unwrap();
        let drawn = monte_carlo(&[&a, &b], |x| x[0] + x[1], Trials::default()).unwrap();
        assert!(drawn.compare(&sum, 0.95, 2).unwrap().agrees());
        let bent = monte_carlo(&[&a, &b], |x| x[0] + x[1] + x[0] * x[0], Trials::default()).unwrap();
        assert!(!bent.compare(&sum, 0.95, 2).unwrap().agrees());
        // Lopsided: the shortest interval is shorter, and starts at the end that the distribution piles up against.
        let square = monte_carlo(&[&a], |x| x[0] * x[0], Trials::default()).unwrap();
        let (short, even) = (square.shortest_interval(0.95).unwrap(), square.interval(0.95).unwrap());
        assert!(short.1 - short.0 < even.1 - even.0 && short.0 < 1e-6);
        assert!(
            (square.conformity(&Bounds::new(f64::NEG_INFINITY, 3.841_46).unwrap()).above - 0.05).abs()
                < 0.003
        );
    }

    // JCGM 101:2008 7.9.2 gives u = 0.35 with two digits: 35·10⁻² and δ = 0.005 (from memory); the others are arithmetic.
    #[test]
    fn numerical_tolerance_is_half_the_last_digit() {
        for (u, digits, delta) in
            [(0.35, 2, 0.005), (0.35, 1, 0.05), (2.0, 2, 0.05), (0.0996, 1, 0.05), (0.0, 2, 0.0)]
        {
            assert!((numerical_tolerance(u, digits).unwrap() - delta).abs() < 1e-15, "{u}");
        }
        assert!(numerical_tolerance(-1.0, 2).is_err());
    }

    #[test]
    fn a_formula_that_fails_somewhere_is_refused() {
        let x = with(Shape::Normal, f64::INFINITY);
        let failed = monte_carlo(&[&x], |x| x[0].sqrt(), Trials::default());
        assert!(
            matches!(failed, Err(UncertaintyError::FormulaFails { share }) if (share - 50.0).abs() < 1.0)
        );
        assert!(monte_carlo(&[&x], |x| x[0], Trials { count: 3, seed: 0 }).is_err());
        assert!(monte_carlo(&[&x], |x| x[0], Trials::default()).unwrap().interval(1.0).is_err());
    }
}
