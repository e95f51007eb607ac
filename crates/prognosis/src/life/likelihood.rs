//! The likelihood of records under a law of life, with its slopes.
//!
//! Parameters are `m`, the logarithm of the median, and `c`, the logarithm of the shape; in them
//! `z = e^c (ln t − m) + centre`, and the posterior is nearly uncorrelated.

use super::{Law, Record};
use crate::climb::Slopes;

/// Records sorted by what they say, times as logarithms.
#[derive(Debug, Clone, Default)]
pub(crate) struct Evidence {
    /// Failed at a known moment: `ln t`, count.
    pub exact: Vec<(f64, f64)>,
    /// Known to have lasted: `ln t`, count; an entry counts as minus one.
    pub lasted: Vec<(f64, f64)>,
    /// Failed before the first look: `ln t`, count.
    pub failed_by: Vec<(f64, f64)>,
    /// Failed between two looks: `ln` of both, count.
    pub between: Vec<(f64, f64, f64)>,
    /// Looks that may miss: `ln` of both (the second may be infinite), the probability of seeing, count.
    pub missable: Vec<(f64, f64, f64, f64)>,
}

impl Evidence {
    /// Sorts records that have been checked.
    pub(crate) fn new(records: &[Record]) -> Self {
        let mut evidence = Self::unbundled(records);
        evidence.bundle();
        evidence
    }

    /// As [`Evidence::new`], with what is said of the same times left apart.
    pub(crate) fn unbundled(records: &[Record]) -> Self {
        // Room at once for what most records are, since moving many of them costs as much as reading them.
        let mut evidence = Self {
            lasted: Vec::with_capacity(records.len()),
            between: Vec::with_capacity(records.len()),
            ..Self::default()
        };
        for record in records.iter().filter(|record| record.count > 0.0) {
            evidence.add(record);
        }
        evidence
    }

    /// Puts what is said of the same times together, in an order that does not depend on that of the records.
    fn bundle(&mut self) {
        for list in [&mut self.exact, &mut self.lasted, &mut self.failed_by] {
            list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
            list.dedup_by(|next, kept| {
                let same = next.0 == kept.0;
                kept.1 += if same { next.1 } else { 0.0 };
                same
            });
        }
        let list = &mut self.between;
        list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2)));
        list.dedup_by(|next, kept| {
            let same = next.0 == kept.0 && next.1 == kept.1;
            kept.2 += if same { next.2 } else { 0.0 };
            same
        });
    }

    fn add(&mut self, record: &Record) {
        let (lower, upper, count) = (record.lower.ln(), record.upper.ln(), record.count);
        if record.entry > 0.0 {
            self.lasted.push((record.entry.ln(), -count));
        }
        if record.lower == record.upper {
            self.exact.push((lower, count));
        } else if record.lower > 0.0 && record.sees < 1.0 {
            self.missable.push((lower, upper, record.sees, count));
        } else if record.upper.is_infinite() {
            if record.lower > 0.0 {
                self.lasted.push((lower, count));
            }
        } else if record.lower > 0.0 {
            self.between.push((lower, upper, count));
        } else {
            self.failed_by.push((upper, count));
        }
    }

    /// How many different records there are.
    pub(crate) fn len(&self) -> usize {
        self.exact.len() + self.lasted.len() + self.failed_by.len() + self.between.len() + self.missable.len()
    }

    /// So many of the records, spread over all of them.
    pub(crate) fn some(&self, wanted: usize) -> Self {
        let step = (self.len() / wanted.max(1)).max(1);
        Self {
            exact: self.exact.iter().step_by(step).copied().collect(),
            lasted: self.lasted.iter().step_by(step).copied().collect(),
            failed_by: self.failed_by.iter().step_by(step).copied().collect(),
            between: self.between.iter().step_by(step).copied().collect(),
            missable: self.missable.iter().step_by(step).copied().collect(),
        }
    }

    /// How many failures there are, however well their moment is known.
    pub(crate) fn failures(&self) -> f64 {
        self.exact.iter().chain(&self.failed_by).map(|(_, n)| n).sum::<f64>()
            + self.between.iter().map(|(_, _, n)| n).sum::<f64>()
            + self
                .missable
                .iter()
                .filter(|(_, upper, _, _)| upper.is_finite())
                .map(|(_, _, _, n)| n)
                .sum::<f64>()
    }

    /// Mean of the logarithms of where failures and last looks lie; `None` when there is no failure.
    pub(crate) fn middle(&self) -> Option<f64> {
        if self.failures() <= 0.0 {
            return None;
        }
        let looks = self.lasted.iter().filter(|(_, n)| *n > 0.0).copied();
        let points = self.exact.iter().chain(&self.failed_by).copied().chain(looks);
        let between = self.between.iter().map(|(l, h, n)| (0.5 * (l + h), *n));
        let missable =
            self.missable.iter().map(|(l, h, _, n)| (if h.is_finite() { 0.5 * (l + h) } else { *l }, *n));
        let (sum, count) = points
            .chain(between)
            .chain(missable)
            .fold((0.0, 0.0), |(sum, count), (t, n)| (sum + n * t, count + n));
        Some(sum / count)
    }

    /// `Σ n { ln f | ln[S(l) − S(h)] } − Σ n ln S(entry)`; exact failures count as densities of `t`.
    ///
    /// Source: Nelson 1982; Meeker & Escobar 1998, chapters 7, 8, 11; Turnbull 1976.
    pub(crate) fn ln_likelihood(&self, law: Law, m: f64, c: f64) -> f64 {
        let shape = c.exp();
        let z = |ln_t: f64| shape * (ln_t - m) + law.centre();
        let exact: f64 = self.exact.iter().map(|(t, n)| n * (law.ln_density(z(*t)) + c - t)).sum();
        let lasted: f64 = self.lasted.iter().map(|(t, n)| n * law.ln_survival(z(*t))).sum();
        let failed_by: f64 = self.failed_by.iter().map(|(t, n)| n * ln_gone(law.ln_survival(z(*t)))).sum();
        let between: f64 = self
            .between
            .iter()
            .map(|(l, h, n)| {
                let (at_l, at_h) = (law.ln_survival(z(*l)), law.ln_survival(z(*h)));
                n * (at_l + ln_gone(at_h - at_l))
            })
            .sum();
        let missable: f64 = self
            .missable
            .iter()
            .map(|(l, h, sees, n)| {
                let later = if h.is_finite() { law.ln_survival(z(*h)).exp() } else { 0.0 };
                n * (sees * law.ln_survival(z(*l)).exp() + (1.0 - sees) - later).ln()
            })
            .sum();
        exact + lasted + failed_by + between + missable
    }

    /// The same with its gradient by `m` and `c`. One exponential a time is all that many records can afford.
    pub(crate) fn gradient(&self, law: Law, m: f64, c: f64) -> (f64, [f64; 2]) {
        let shape = c.exp();
        // Sums of `n ln P`, and of its slope by `z` times 1 and times `z − centre`, which are `z`'s own slopes but for a factor.
        let (mut value, mut by_m, mut by_c) = (0.0, 0.0, 0.0);
        let mut gone_of_each = Product::default();
        let away = |ln_t: f64| shape * (ln_t - m);
        let tail = |away: f64| law.tail(away + law.centre());
        let mut add = |n: f64, ln: f64, slopes: [(f64, f64); 2]| {
            value += n * ln;
            by_m += n * (slopes[0].0 + slopes[1].0);
            by_c += n * (slopes[0].0 * slopes[0].1 + slopes[1].0 * slopes[1].1);
        };
        const NONE: (f64, f64) = (0.0, 0.0);
        for (t, n) in &self.exact {
            let at = away(*t);
            let z = at + law.centre();
            add(*n, law.ln_density(z) + c - t, [(law.ln_density_slopes(z).0, at), NONE]);
        }
        for (t, n) in &self.lasted {
            let at = away(*t);
            let (ln_survival, hazard) = tail(at);
            add(*n, ln_survival, [(-hazard, at), NONE]);
        }
        for (t, n) in &self.failed_by {
            let at = away(*t);
            let (ln_survival, hazard) = tail(at);
            let gone = -ln_survival.exp_m1();
            add(*n, gone.ln(), [(hazard * (1.0 - gone) / gone, at), NONE]);
        }
        for (l, h, n) in &self.between {
            let (at_l, at_h) = (away(*l), away(*h));
            let ((ln_l, hazard_l), (ln_h, hazard_h)) = (tail(at_l), tail(at_h));
            let gone = -(ln_h - ln_l).exp_m1();
            let slopes = [(-hazard_l / gone, at_l), (hazard_h * (1.0 - gone) / gone, at_h)];
            if *n == 1.0 {
                gone_of_each.times(gone);
                add(1.0, ln_l, slopes);
            } else {
                add(*n, ln_l + gone.ln(), slopes);
            }
        }
        let exact: f64 = self.exact.iter().map(|(_, n)| n).sum();
        let missable = Self { missable: self.missable.clone(), ..Self::default() }.slopes(law, m, c);
        value += gone_of_each.ln() + missable.value;
        (value, [-shape * by_m + missable.gradient[0], by_c + exact + missable.gradient[1]])
    }

    /// The same with gradient and Hessian.
    pub(crate) fn slopes(&self, law: Law, m: f64, c: f64) -> Slopes {
        let shape = c.exp();
        let at = |ln_t: f64| Standardised::new(law, shape, ln_t, m);
        let mut sum = Slopes::default();
        for (t, n) in &self.exact {
            let z = at(*t);
            let (first, second) = law.ln_density_slopes(z.value);
            sum.add(*n, law.ln_density(z.value) + c - t, z.chained(first, second));
            sum.gradient[1] += n;
        }
        for (t, n) in &self.lasted {
            let z = at(*t);
            let (hazard, steepening) = law.hazard(z.value);
            sum.add(*n, law.ln_survival(z.value), z.chained(-hazard, -steepening));
        }
        for (t, n) in &self.failed_by {
            let z = at(*t);
            let ln_gone = ln_gone(law.ln_survival(z.value));
            let share = (law.ln_density(z.value) - ln_gone).exp();
            sum.add_log(*n, ln_gone, &[(share, law.ln_density_slopes(z.value).0, z)]);
        }
        for (l, h, n) in &self.between {
            let (l, h) = (at(*l), at(*h));
            let (at_l, at_h) = (law.ln_survival(l.value), law.ln_survival(h.value));
            let ln_mass = at_l + ln_gone(at_h - at_l);
            let share = |z: &Standardised| (law.ln_density(z.value) - ln_mass).exp();
            let slope = |z: &Standardised| law.ln_density_slopes(z.value).0;
            sum.add_log(*n, ln_mass, &[(-share(&l), slope(&l), l), (share(&h), slope(&h), h)]);
        }
        for (l, h, sees, n) in &self.missable {
            let l = at(*l);
            let later = h.is_finite().then(|| at(*h));
            let survival_later = later.map_or(0.0, |h| law.ln_survival(h.value).exp());
            let ln_mass = (sees * law.ln_survival(l.value).exp() + (1.0 - sees) - survival_later).ln();
            let term = |factor: f64, z: Standardised| {
                (factor * (law.ln_density(z.value) - ln_mass).exp(), law.ln_density_slopes(z.value).0, z)
            };
            match later {
                Some(h) => sum.add_log(*n, ln_mass, &[term(-sees, l), term(1.0, h)]),
                None => sum.add_log(*n, ln_mass, &[term(-sees, l)]),
            }
        }
        sum
    }
}

/// A product of many numbers between zero and one, by its logarithm; a logarithm is taken only before it would underflow.
#[derive(Debug, Clone, Copy)]
struct Product {
    ln: f64,
    rest: f64,
}

impl Default for Product {
    fn default() -> Self {
        Self { ln: 0.0, rest: 1.0 }
    }
}

impl Product {
    /// Below this the rest is put away as a logarithm: far above the smallest number that has all its digits.
    const SMALL: f64 = 1e-150;

    fn times(&mut self, factor: f64) {
        if factor < Self::SMALL {
            self.ln += factor.ln();
            return;
        }
        self.rest *= factor;
        if self.rest < Self::SMALL {
            *self = Self { ln: self.ln(), rest: 1.0 };
        }
    }

    fn ln(&self) -> f64 {
        self.ln + self.rest.ln()
    }
}

/// `ln(1 − S)` from `ln S`.
fn ln_gone(ln_survival: f64) -> f64 {
    (-ln_survival.exp_m1()).ln()
}

/// `z` of one time, with its derivatives by `m` and `c`: `z_m = −shape`, `z_c = z − centre`, `z_mm = 0`,
/// `z_mc = −shape`, `z_cc = z − centre`.
#[derive(Debug, Clone, Copy)]
struct Standardised {
    value: f64,
    by_m: f64,
    by_c: f64,
}

impl Standardised {
    fn new(law: Law, shape: f64, ln_t: f64, m: f64) -> Self {
        let by_c = shape * (ln_t - m);
        Self { value: by_c + law.centre(), by_m: -shape, by_c }
    }

    /// Gradient and Hessian of a function of `z` with these two derivatives.
    fn chained(&self, first: f64, second: f64) -> ([f64; 2], [f64; 3]) {
        let (m, c) = (self.by_m, self.by_c);
        ([first * m, first * c], [second * m * m, second * m * c + first * m, second * c * c + first * c])
    }
}

impl Slopes {
    fn add(&mut self, n: f64, value: f64, (gradient, hessian): ([f64; 2], [f64; 3])) {
        self.value += n * value;
        (0..2).for_each(|i| self.gradient[i] += n * gradient[i]);
        (0..3).for_each(|i| self.hessian[i] += n * hessian[i]);
    }

    /// Adds `n ln P`, where `dP/P` is the sum of `share·dz` over the ends and `slope` is `f'/f` there.
    fn add_log(&mut self, n: f64, ln_mass: f64, ends: &[(f64, f64, Standardised)]) {
        let (mut gradient, mut hessian) = ([0.0; 2], [0.0; 3]);
        for (share, slope, z) in ends.iter().filter(|(share, _, _)| *share != 0.0) {
            let (g, h) = z.chained(*share, share * slope);
            (0..2).for_each(|i| gradient[i] += g[i]);
            (0..3).for_each(|i| hessian[i] += h[i]);
        }
        let [m, c] = gradient;
        let outer = [m * m, m * c, c * c];
        (0..3).for_each(|i| hessian[i] -= outer[i]);
        self.add(n, ln_mass, (gradient, hessian));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_product_of_many_is_the_sum_of_their_logarithms() {
        let factors =
            || (1..2000).map(|k| (f64::from(k) * 0.618_034).fract().powi(k % 60)).chain([1e-300, 1e-310]);
        let mut product = Product::default();
        factors().for_each(|factor| product.times(factor));
        let sum: f64 = factors().map(f64::ln).sum();
        assert!((product.ln() - sum).abs() < 1e-12 * sum.abs(), "{} {sum}", product.ln());
    }

    #[test]
    fn the_slopes_are_the_differences_of_the_likelihood() {
        let records = [
            Record::failed_at(70.0).since(20.0),
            Record::good_at(110.0).times(3.0),
            Record::bad_by(60.0),
            Record::between(50.0, 95.0).since(48.0),
            Record::good_at(80.0).seen_with(0.7),
            Record::between(80.0, 120.0).seen_with(0.6),
        ];
        let evidence = Evidence::new(&records);
        for law in [Law::Weibull, Law::Lognormal] {
            let (m, c, h) = (4.4, 0.7, 1e-5);
            let value = |m: f64, c: f64| evidence.ln_likelihood(law, m, c);
            let slopes = evidence.slopes(law, m, c);
            let near = |got: f64, want: f64| {
                assert!((got - want).abs() < 1e-5 * want.abs().max(1.0), "{got} {want}")
            };
            near(slopes.value, value(m, c));
            let (alone, [by_m, by_c]) = evidence.gradient(law, m, c);
            near(alone, value(m, c));
            near(by_m, slopes.gradient[0]);
            near(by_c, slopes.gradient[1]);
            near(slopes.gradient[0], (value(m + h, c) - value(m - h, c)) / (2.0 * h));
            near(slopes.gradient[1], (value(m, c + h) - value(m, c - h)) / (2.0 * h));
            let gradient = |m: f64, c: f64| evidence.slopes(law, m, c).gradient;
            near(slopes.hessian[0], (gradient(m + h, c)[0] - gradient(m - h, c)[0]) / (2.0 * h));
            near(slopes.hessian[1], (gradient(m, c + h)[0] - gradient(m, c - h)[0]) / (2.0 * h));
            near(slopes.hessian[2], (gradient(m, c + h)[1] - gradient(m, c - h)[1]) / (2.0 * h));
        }
    }
}
