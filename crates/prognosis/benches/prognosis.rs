//! What a visit and a family's page cost, on one thread.
//!
//! Budgets: a 120-check visit with its forecasts in 5 ms, so about 40 µs a check; a life fit of 100,000 interval-censored
//! records with its posterior in 50 ms, of 1,000,000 in half a second.

#![expect(clippy::unwrap_used, reason = "a bench whose inputs are wrong has nothing to measure")]

use divan::{Bencher, black_box};
use prognosis::cascade::{Harms, Link};
use prognosis::life::{self, Law, Life, OwnRecord, Record};
use prognosis::usage::{self, Forecast, Stretch};
use prognosis::wear::{Family, Kind, Limits, Path, Prior, Reading, learn_noise};

fn main() {
    divan::main();
}

const LIMIT: f64 = 23.0;

fn stated() -> life::Prior {
    life::Prior::new(90.0, 1.5)
}

fn disc() -> Prior {
    Prior::from_life(25.0, 0.05, LIMIT, &stated()).unwrap()
}

/// A number between zero and one that looks like chance and is always the same (Weyl's sequence).
fn spread(k: usize, step: f64) -> f64 {
    (k as f64 * step).fract()
}

fn readings(count: usize, rate: f64) -> Vec<Reading> {
    let at = |k: usize| 12.0 + 9.0 * k as f64;
    let off = |k: usize| 0.04 * (spread(k + 1, 0.618_033_988_7) - 0.5);
    (0..count).map(|k| Reading::new(at(k), 25.0 - rate * at(k) + off(k), 0.02)).collect()
}

/// Lives of the law, looked at in the rhythm of each car.
fn records(count: usize) -> Vec<Record> {
    let life = Life::weibull(100.0, 3.0).unwrap();
    (0..count)
        .map(|k| {
            let (t, gap) =
                (life.quantile(spread(k + 1, 0.618_033_988_7)), 5.0 + 20.0 * spread(k + 1, 0.414_213_562_4));
            let last = 30.0 + 170.0 * spread(k + 1, 0.732_050_807_6);
            let good = (t / gap).floor() * gap;
            let record = if good + gap > last {
                Record::good_at((last / gap).floor() * gap)
            } else {
                Record::between(good, good + gap)
            };
            if k % 4 == 0 { record.since(0.3 * record.lower) } else { record }
        })
        .collect()
}

/// One check of a visit: the posterior, the probability over nine odometer quantiles, and the three crossings.
#[divan::bench(args = [0, 1, 2, 5, 10])]
fn wear_check(bencher: Bencher, count: usize) {
    let (prior, readings) = (disc(), readings(count, 0.021));
    let now = readings.last().map_or(0.0, |r| r.x);
    let ahead: Vec<f64> = (0..9).map(|q| now + 8.0 + f64::from(q)).collect();
    bencher.bench_local(|| {
        let path = Path::fit(black_box(&prior), black_box(&readings)).unwrap();
        (path.past_over(Limits::min(LIMIT), &ahead), path.crossing(Limits::min(LIMIT), now, 400.0))
    });
}

#[divan::bench(args = [3, 10])]
fn wear_posterior(bencher: Bencher, count: usize) {
    let (prior, readings) = (disc(), readings(count, 0.021));
    bencher.bench_local(|| Path::fit(black_box(&prior), black_box(&readings)).unwrap());
}

#[divan::bench]
fn wear_posterior_robust(bencher: Bencher) {
    let (prior, readings) = (disc(), readings(6, 0.021));
    bencher.bench_local(|| Path::fit_robust(black_box(&prior), black_box(&readings)).unwrap());
}

/// One check of a part that is only seen: probability over nine odometer quantiles, and what renewing now throws away.
#[divan::bench]
fn seen_check(bencher: Bencher) {
    let lives = life::posterior(Law::Weibull, &stated(), &records(40)).unwrap();
    let ahead: Vec<f64> = (0..9).map(|q| 8.0 + f64::from(q)).collect();
    bencher.bench_local(|| {
        let alive = black_box(&lives).alive_at(62.0, OwnRecord::LeftOut);
        (alive.fails_within(&ahead), alive.unused_after(62.0, 900.0))
    });
}

#[divan::bench(args = [0, 40, 1000, 100_000, 1_000_000], sample_count = 10)]
fn life_posterior(bencher: Bencher, count: usize) {
    let records = records(count);
    bencher.bench_local(|| life::posterior(Law::Weibull, &stated(), black_box(&records)).unwrap());
}

#[divan::bench(sample_count = 10)]
fn life_posterior_lognormal_100_000(bencher: Bencher) {
    let records = records(100_000);
    bencher.bench_local(|| life::posterior(Law::Lognormal, &stated(), black_box(&records)).unwrap());
}

#[divan::bench(args = [40, 1000, 100_000, 1_000_000], sample_count = 20)]
fn life_fit(bencher: Bencher, count: usize) {
    let records = records(count);
    bencher.bench_local(|| life::fit(Law::Weibull, black_box(&records)).unwrap());
}

#[divan::bench(args = [40, 1000, 100_000], sample_count = 3)]
fn life_fit_check(bencher: Bencher, count: usize) {
    let records = records(count);
    bencher.bench_local(|| life::fit_check(Law::Weibull, black_box(&records)).unwrap());
}

#[divan::bench(args = [5, 50, 200], sample_count = 10)]
fn family(bencher: Bencher, cars: usize) {
    let kind = Kind::from_life(25.0, 0.05, LIMIT, &stated()).unwrap();
    let cars: Vec<Vec<Reading>> =
        (0..cars).map(|k| readings(4, 0.015 + 0.02 * spread(k + 1, 0.618_033_988_7))).collect();
    bencher.bench_local(|| Family::learn(&kind, black_box(&cars)).unwrap());
}

#[divan::bench(sample_count = 5)]
fn family_noise_200_cars(bencher: Bencher) {
    let kind = Kind::from_life(25.0, 0.05, LIMIT, &stated()).unwrap();
    let cars: Vec<Vec<Reading>> =
        (0..200).map(|k| readings(5, 0.015 + 0.02 * spread(k + 1, 0.618_033_988_7))).collect();
    bencher.bench_local(|| learn_noise(&kind, black_box(&cars)).unwrap());
}

#[divan::bench]
fn odometer(bencher: Bencher) {
    let stretches: Vec<Stretch> =
        (0..12).map(|k| Stretch { km: 5000.0, years: 1.0, age_years: 11.0 - f64::from(k) }).collect();
    bencher.bench_local(|| {
        let forecast =
            Forecast::new(&usage::Prior::new(6000.0, 0.7), black_box(&stretches), 162_400.0).unwrap();
        (forecast.quantiles(1.0), forecast.years_until(175_000.0, 0.5))
    });
}

/// Sixteen uncertain links between ten harms that share causes.
#[divan::bench]
fn cascade(bencher: Bencher) {
    let links: Vec<Link> = (0..9)
        .flat_map(|k| [(k, k + 1, 0.4), (k, (k + 3).min(9), 0.2)])
        .filter(|(from, to, _)| from < to)
        .map(|(from, to, p)| Link { from, to, p })
        .collect();
    let costs: Vec<f64> = (0..10).map(|k| 137.0 + 211.0 * f64::from(k)).collect();
    bencher.bench_local(|| Harms::new(black_box(&costs), black_box(&links)).unwrap().after(0).unwrap());
}
