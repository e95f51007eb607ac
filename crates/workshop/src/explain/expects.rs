//! What each explanation expects of a check, and how likely that makes what is found.
//!
//! Likelihoods are told in the measure of the flat one: 1 is as likely as when nothing that is listed explains it.

use crate::judge::Tells;
use quantity::distribution::{normal_between, normal_pdf};

/// A reading may be off for a reason that nobody has thought of: so often it lies anywhere, whatever the explanation. As rare
/// as what is "never" seen. Common practice, no source.
pub const ASTRAY: f64 = 0.02;
/// Into how many steps the span of a reading is cut to tell what it would teach.
const STEPS: usize = 64;
/// Standard deviations beyond which nothing is expected.
const FAR: f64 = 5.0;

/// What an explanation expects of a check at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Expects {
    /// How often each state is seen, in the order of the check.
    States(Vec<f64>),
    /// A value about which it spreads normally.
    Near { mean: f64, sd: f64 },
    /// Any value between two as likely as another.
    Between { from: f64, to: f64 },
}

/// What is expected when nothing listed is right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Otherwise {
    /// Any of so many states.
    States(usize),
    /// Any value between two.
    Between { from: f64, to: f64 },
}

/// What all explanations of a question expect of one check at one place; `None` for those that do not speak of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub expects: Vec<Option<Expects>>,
    pub otherwise: Otherwise,
}

impl Row {
    /// How likely what was found is under each explanation, "none of these" last with 1.
    ///
    /// An explanation that does not speak of the check is neither for nor against it: what was found is then as likely as it
    /// is to those that do, weighed by their chances beforehand (`beforehand`, "none of these" last). Those stay the same
    /// whatever else is found, so that the order of findings does not matter.
    pub fn likelihoods(&self, tells: &Tells, beforehand: &[f64]) -> Vec<f64> {
        let each = match (tells, self.otherwise) {
            (Tells::State(state), Otherwise::States(n)) => {
                self.said(|expects| expects.state(*state) * n as f64)
            }
            (Tells::Value(measured, _), Otherwise::Between { from, to }) => {
                let (y, u) = (measured.value(), measured.u());
                // What lies beyond the bounds widens them: nothing that was read is impossible.
                let span = to.max(y) - from.min(y);
                self.said(|expects| ASTRAY + (1.0 - ASTRAY) * expects.density(y, u) * span)
            }
            _ => self.said(|_| 1.0),
        };
        filled(&each, beforehand)
    }

    /// What the check would show under each explanation, "none of these" last: one row each, adding to one. A reading is cut
    /// into steps; `u` is its standard uncertainty.
    pub fn table(&self, u: f64, beforehand: &[f64]) -> Vec<Vec<f64>> {
        let shares: Vec<Vec<Option<f64>>> = match self.otherwise {
            Otherwise::States(n) => (0..n).map(|state| self.said(|expects| expects.state(state))).collect(),
            Otherwise::Between { from, to } => {
                let (low, high) = self.span(from, to, u);
                let step = (high - low) / STEPS as f64;
                let share = |n: usize| {
                    let (a, b) = (low + n as f64 * step, low + (n + 1) as f64 * step);
                    let astray = ASTRAY / STEPS as f64;
                    self.said(|expects| astray + (1.0 - ASTRAY) * expects.share(a, b, u))
                };
                (0..STEPS).map(share).collect()
            }
        };
        let flat = 1.0 / shares.len() as f64;
        let columns: Vec<Vec<f64>> = shares
            .into_iter()
            .map(|said| {
                let relative: Vec<Option<f64>> = said.iter().map(|share| share.map(|p| p / flat)).collect();
                filled(&relative, beforehand).into_iter().map(|p| p * flat).collect()
            })
            .collect();
        (0..=self.expects.len())
            .map(|cause| {
                let row: Vec<f64> = columns.iter().map(|column| column[cause]).collect();
                let sum: f64 = row.iter().sum();
                row.into_iter().map(|p| p / sum).collect()
            })
            .collect()
    }

    fn said(&self, likelihood: impl Fn(&Expects) -> f64) -> Vec<Option<f64>> {
        self.expects.iter().map(|expects| expects.as_ref().map(&likelihood)).collect()
    }

    /// From the least to the greatest value that anything expects.
    fn span(&self, from: f64, to: f64, u: f64) -> (f64, f64) {
        let ends = self.expects.iter().flatten().filter_map(|expects| match expects {
            Expects::States(_) => None,
            Expects::Near { mean, sd } => Some((mean - FAR * sd.hypot(u), mean + FAR * sd.hypot(u))),
            Expects::Between { from, to } => Some((*from, *to)),
        });
        ends.fold((from, to), |(low, high), (a, b)| (low.min(a), high.max(b)))
    }
}

impl Expects {
    fn state(&self, state: usize) -> f64 {
        match self {
            Self::States(shares) => shares.get(state).copied().unwrap_or(0.0),
            _ => 0.0,
        }
    }

    /// Density of reading `y` with standard uncertainty `u`.
    fn density(&self, y: f64, u: f64) -> f64 {
        match self {
            Self::States(_) => 0.0,
            Self::Near { mean, sd } => {
                let sd = sd.hypot(u);
                normal_pdf((y - mean) / sd) / sd
            }
            Self::Between { from, to } if u > 0.0 => {
                normal_between((from - y) / u, (to - y) / u) / (to - from)
            }
            Self::Between { from, to } => f64::from((*from..=*to).contains(&y)) / (to - from),
        }
    }

    /// Probability of reading between `a` and `b` with standard uncertainty `u`.
    fn share(&self, a: f64, b: f64, u: f64) -> f64 {
        match self {
            Self::States(_) => 0.0,
            Self::Near { mean, sd } => {
                let sd = sd.hypot(u);
                normal_between((a - mean) / sd, (b - mean) / sd)
            }
            // The reading's own spread only blurs the two edges.
            Self::Between { from, to } => (b.min(*to) - a.max(*from)).max(0.0) / (to - from),
        }
    }
}

/// Those that say nothing filled in with what the others say, and 1 for "none of these" at the end.
fn filled(said: &[Option<f64>], beforehand: &[f64]) -> Vec<f64> {
    let spoken = said.iter().chain([&Some(1.0)]).zip(beforehand);
    let (sum, weight) = spoken.fold((0.0, 0.0), |(sum, weight), (likelihood, p)| match likelihood {
        Some(likelihood) => (sum + p * likelihood, weight + p),
        None => (sum, weight),
    });
    let neutral = if weight > 0.0 { sum / weight } else { 1.0 };
    said.iter().map(|likelihood| likelihood.unwrap_or(neutral)).chain([1.0]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use prognosis::diagnosis::{Causes, Check};
    use proptest::prelude::*;
    use quantity::{Measurement, Unit};

    fn read(value: f64, u: f64) -> Tells {
        Tells::Value(Measurement::with_u(value, u, f64::INFINITY, Unit::MM).unwrap(), 1)
    }

    fn near(mean: f64, sd: f64) -> Option<Expects> {
        Some(Expects::Near { mean, sd })
    }

    const SPAN: Otherwise = Otherwise::Between { from: 300.0, to: 400.0 };

    /// A normal density over a flat one, worked by hand: `100 · φ((341 − 342)/5)/5` with `5² = 4² + 3²`.
    #[test]
    fn a_reading_spreads_by_itself_and_by_what_is_expected() {
        let row = Row { expects: vec![near(342.0, 4.0)], otherwise: SPAN };
        let [found, none] = row.likelihoods(&read(341.0, 3.0), &[0.5, 0.5])[..] else { panic!("two") };
        let density = (-0.5 * 0.04_f64).exp() / (5.0 * std::f64::consts::TAU.sqrt());
        assert!((found - (0.02 + 0.98 * 100.0 * density)).abs() < 1e-12, "{found}");
        assert_eq!(none, 1.0);
    }

    #[test]
    fn anything_between_two_values_is_as_likely_and_little_beyond() {
        let row = Row { expects: vec![Some(Expects::Between { from: 320.0, to: 340.0 })], otherwise: SPAN };
        let at = |value: f64, u: f64| row.likelihoods(&read(value, u), &[0.5, 0.5])[0];
        assert!((at(330.0, 1.0) - (0.02 + 0.98 * 5.0)).abs() < 1e-9);
        assert!((at(340.0, 1.0) - (0.02 + 0.98 * 2.5)).abs() < 1e-9, "at the edge half of it");
        assert!((at(350.0, 1.0) - 0.02).abs() < 1e-9);
        assert!((at(330.0, 0.0) - at(325.0, 0.0)).abs() < 1e-12);
    }

    #[test]
    fn no_reading_is_impossible_and_none_alone_decides() {
        let row = Row { expects: vec![near(342.0, 0.001), near(310.0, 0.001)], otherwise: SPAN };
        for value in [-1e6, 310.0, 342.0, 1e6] {
            let found = row.likelihoods(&read(value, 0.0), &[0.4, 0.4, 0.2]);
            assert!(found.iter().all(|likelihood| likelihood.is_finite() && *likelihood > 0.0), "{found:?}");
        }
    }

    /// Where only one explanation speaks, the chances of those that do not stay where they are.
    #[test]
    fn what_does_not_speak_is_neither_for_nor_against() {
        let row = Row {
            expects: vec![Some(Expects::States(vec![0.9, 0.1])), None],
            otherwise: Otherwise::States(2),
        };
        let beforehand = [0.3, 0.5, 0.2];
        let causes = Causes::exactly(&beforehand).unwrap();
        for state in [0, 1] {
            let after = causes.found(&row.likelihoods(&Tells::State(state), &beforehand)).unwrap();
            assert!((after.probabilities()[1] - 0.5).abs() < 1e-12, "{after:?}");
            assert!((after.probabilities()[0] > 0.3) == (state == 0));
        }
    }

    fn row() -> impl Strategy<Value = Row> {
        let expects = prop_oneof![
            Just(None),
            (280.0..420.0_f64, 0.5..20.0_f64).prop_map(|(mean, sd)| near(mean, sd)),
            (280.0..340.0_f64, 1.0..60.0_f64)
                .prop_map(|(from, wide)| Some(Expects::Between { from, to: from + wide })),
        ];
        prop::collection::vec(expects, 3).prop_map(|expects| Row { expects, otherwise: SPAN })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_order_of_findings_does_not_matter(
            rows in prop::collection::vec((row(), 250.0..450.0_f64, 0.0..5.0_f64), 2..6),
            weights in prop::collection::vec(0.01..1.0_f64, 4),
        ) {
            let causes = Causes::exactly(&weights).unwrap();
            let beforehand = causes.probabilities().to_vec();
            let shown: Vec<Vec<f64>> =
                rows.iter().map(|(row, y, u)| row.likelihoods(&read(*y, *u), &beforehand)).collect();
            let forth = shown.iter().try_fold(causes.clone(), |so_far, found| so_far.found(found)).unwrap();
            let back = shown.iter().rev().try_fold(causes, |so_far, found| so_far.found(found)).unwrap();
            for (p, q) in forth.probabilities().iter().zip(back.probabilities()) {
                prop_assert!((p - q).abs() < 1e-9);
            }
            prop_assert!((forth.probabilities().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }

        #[test]
        fn a_look_never_tells_less_than_nothing(
            row in row(), u in 0.0..5.0_f64, weights in prop::collection::vec(0.01..1.0_f64, 4),
        ) {
            let causes = Causes::exactly(&weights).unwrap();
            let table = row.table(u, causes.probabilities());
            let check = Check::new(&table, 5.0).unwrap();
            let bits = causes.information(&check).unwrap();
            prop_assert!(bits >= 0.0 && bits <= causes.entropy() + 1e-9);
            if row.expects.iter().all(Option::is_none) {
                prop_assert!(bits < 1e-9, "nobody speaks of it: {bits}");
            }
        }
    }
}
