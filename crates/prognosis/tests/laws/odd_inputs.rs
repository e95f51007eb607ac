//! Any number at all gives an answer or an error, and neither a panic nor a search without end.

use prognosis::cascade::{Harms, Link, noisy_or};
use prognosis::clock::Mix;
use prognosis::diagnosis::{Causes, Check};
use prognosis::life::{self, Law, Life, OwnRecord, Record};
use prognosis::usage::{self, Counter, ExplanationPriors, Forecast, Stretch, Usage, explain, theil_sen};
use prognosis::wear::{
    Direction, Family, Kind, Limits, Line, LumpyWear, Path, PerhapsRenewed, Prior, Reading, courses,
    inverse_gaussian, isotonic, learn_noise, least_squares, random_slopes, unwear, wiener_fit,
};
use proptest::prelude::*;

/// Numbers that are not, numbers without end, nothing, very large and very small, and ordinary ones.
fn odd() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        prop::sample::select(vec![
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            0.0,
            -0.0,
            1.0,
            -1.0,
            1e-300,
            1e300,
            f64::MAX
        ]),
        -100.0..100.0_f64,
        1e-3..1.0_f64,
    ]
}

fn readings() -> impl Strategy<Value = Vec<Reading>> {
    let one = (odd(), odd(), odd(), odd(), 0..3_u32, odd()).prop_map(
        |(x, y, own_u, shared_u, instrument, weight)| Reading { x, y, own_u, shared_u, instrument, weight },
    );
    // Mostly usable, so that the odd ones meet what follows the first check.
    let usable = (0.0..100.0_f64, odd(), 1e-3..1.0_f64).prop_map(|(x, y, u)| Reading::new(x, y, u));
    prop::collection::vec(prop_oneof![1 => one, 4 => usable], 0..5)
}

fn points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((odd(), odd()), 0..6)
}

proptest! {
    #![proptest_config(crate::cases(256))]

    #[test]
    fn wear(readings in readings(), a in odd(), b in odd(), c in odd(), d in odd(), e in odd(), f in odd()) {
        let direction = if a > 0.0 { Direction::Up } else { Direction::Down };
        let limits = Limits { min: Some(c), max: (d > 0.0).then_some(d) };
        let priors = [
            Some(Prior { new: a, new_sd: b, direction, ln_rate: c, ln_rate_sd: d, wander: e }),
            Some(Prior { new: a, new_sd: 0.0, direction, ln_rate: -3.0, ln_rate_sd: 0.4, wander: 0.0 }),
            Prior::from_life(a, b, c, &life::Prior { median: d, spread: e, sure: f }).ok(),
            Prior::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5)).ok(),
        ];
        for prior in priors.into_iter().flatten() {
            if let Ok(path) = Path::fit(&prior, &readings) {
                let _ = (path.past(limits, e), path.past_over(limits, &[d, e]), path.crossing(limits, d, e));
                let _ = (path.level(e), path.level_quantile(e, f), path.rate(), path.first_passed(limits, d, e));
            }
            let _ = Path::fit_robust(&prior, &readings);
            let _ = PerhapsRenewed::fit(&prior, &readings, (d, e), f).map(|p| (p.past(limits, a), p.crossing(limits, a, b)));
        }
        let line = Line { mean: [a, b], covariance: [c, d, e] };
        let _ = (line.after(&readings), line.robust(&readings));
        let _ = (line.reached(a, direction, f), line.reached_at(a, direction, f));
        let _ = (inverse_gaussian(a, b, c), LumpyWear { rate: a, lump: b }.passed(c, d));
        let _ = isotonic(&[a, b, c, d], &[e, f], a > b);
        if let [earlier, later, ..] = readings.as_slice() {
            let _ = unwear(direction, earlier, later);
        }
    }

    #[test]
    fn families(cars in prop::collection::vec(readings(), 0..4), a in odd(), b in odd(), c in odd(), d in odd(), e in odd()) {
        let kinds = [
            Kind::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5)).ok(),
            Some(Kind {
                new: a, new_sd: b, direction: Direction::Up, wander: c, ln_rate: d, ln_rate_sd: e, ln_spread: a, ln_spread_sd: b,
            }),
        ];
        for kind in kinds.into_iter().flatten() {
            let _ = Family::learn(&kind, &cars).map(|family| (family.taught(), family.taught_without(0)));
            let _ = learn_noise(&kind, &cars);
        }
        let _ = courses(Direction::Down, &cars);
    }

    #[test]
    fn lines(one in points(), two in points(), three in points()) {
        let _ = (least_squares(&one), theil_sen(&one), wiener_fit(&one), LumpyWear::fit(&one));
        let _ = random_slopes(&[one, two, three]);
    }

    #[test]
    fn lives(seen in prop::collection::vec((odd(), odd(), odd(), odd(), odd()), 0..5), a in odd(), b in odd(), c in odd(), d in odd()) {
        let records: Vec<Record> = seen
            .into_iter()
            .map(|(lower, upper, entry, count, sees)| Record { lower, upper, entry, count, sees })
            .collect();
        let usable: Vec<Record> = records
            .iter()
            .map(|r| Record::between(r.lower.abs().min(1e6), r.upper.abs().max(r.lower.abs().min(1e6)).max(1e-9)))
            .filter(|r| !r.lower.is_nan() && !r.upper.is_nan())
            .collect();
        for law in [Law::Weibull, Law::Lognormal] {
            for records in [&records, &usable] {
                for prior in [life::Prior { median: a, spread: b, sure: c }, life::Prior::new(50.0, 2.0)] {
                    let Ok(lives) = life::posterior(law, &prior, records) else { continue };
                    let alive = lives.alive_at(d, OwnRecord::LeftOut);
                    let _ = (lives.survival(d), lives.survival_quantile(d, a), lives.median_quantile(b));
                    let _ = (alive.fails_within(&[a, b, c]), alive.unused_after(a, b), alive.mean_residual(c));
                }
                let fitted = life::fit(law, records).map(|fit| (fit.quantile_interval(a, b), fit.shape_interval(c)));
                let _ = (fitted, life::npmle(records));
            }
        }
        for life in [Life::weibull(a, b), Life::lognormal(a, b)].into_iter().flatten() {
            let _ = (life.survival(c), life.quantile(d), life.mean(), life.mean_residual(c), life.fails_within(c, d));
            let _ = life::best_renewal_age(&life, c, d);
        }
    }

    #[test]
    fn odometers(seen in prop::collection::vec((odd(), odd(), odd()), 0..5), a in odd(), b in odd(), c in odd(), d in odd()) {
        let stretches: Vec<Stretch> =
            seen.into_iter().map(|(km, years, age_years)| Stretch { km, years, age_years }).collect();
        for prior in [usage::Prior { km_per_year: a, cv: b, lump: c }, usage::Prior::new(6000.0, 0.7)] {
            let Ok(forecast) = Forecast::new(&prior, &stretches, d) else { continue };
            let _ = (forecast.mean(a), forecast.quantile(b, c), forecast.quantiles(d), forecast.years_until(a, b));
        }
        let usage = Usage { a, b, lump: c };
        let counter = Counter { other_unit: c, rolls_over_at: &[d] };
        for counter in [counter, Counter::default()] {
            let _ = explain(a, b, &usage.over(d), &counter, &ExplanationPriors::default());
        }
        let _ = (Mix::new(a, b), Mix::of_weights(a, b, c));
    }

    #[test]
    fn causes_and_harms(weights in prop::collection::vec(odd(), 0..5), table in prop::collection::vec(prop::collection::vec(odd(), 0..3), 0..4), minutes in odd()) {
        if let (Ok(causes), Ok(check)) = (Causes::new(&weights, minutes), Check::new(&table, minutes)) {
            let _ = (causes.seen(&check, 7), causes.information(&check), causes.next(&[(&check, minutes)]));
        }
        let links: Vec<Link> = weights.windows(2).map(|w| Link { from: w[0] as usize % 4, to: w[1] as usize % 4, p: w[0] }).collect();
        let _ = Harms::new(&weights, &links).and_then(|harms| harms.after(0));
        let _ = noisy_or(&weights);
    }
}
