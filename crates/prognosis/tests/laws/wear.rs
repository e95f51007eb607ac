use crate::agree;
use prognosis::life;
use prognosis::wear::{Crossing, Direction, Family, Kind, Limits, Line, Path, Prior, Reading, When, unwear};
use proptest::prelude::*;

/// A part that wears down from 25 to a limit of 23, or up by as much.
fn prior() -> impl Strategy<Value = (Prior, Limits)> {
    (0.0..0.1_f64, 20.0..200.0_f64, 1.2..2.5_f64, 0.0..0.1_f64, any::<bool>()).prop_map(
        |(new_sd, median, spread, wander, up)| {
            let limit = if up { 27.0 } else { 23.0 };
            let life = life::Prior::new(median, spread);
            let prior = Prior::from_life(25.0, new_sd, limit, &life)
                .unwrap()
                .with_wander(wander * 2.0 / median.sqrt());
            (prior, if up { Limits::max(limit) } else { Limits::min(limit) })
        },
    )
}

/// Readings up to about the median life, scattered about a path of the kind.
fn readings(prior: &Prior, seen: &[(f64, f64)]) -> Vec<Reading> {
    let rate = prior.ln_rate.exp();
    seen.iter()
        .map(|(share, off)| {
            let x = share * 2.0 / rate;
            Reading::new(x, 25.0 + prior.direction.sign() * (rate * x + off), 0.02)
        })
        .collect()
}

fn seen() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.02..0.9_f64, -0.3..0.3_f64), 0..6)
}

fn last(readings: &[Reading]) -> f64 {
    readings.iter().map(|r| r.x).fold(0.0, f64::max)
}

/// A crossing as a number that grows with time.
fn clock(when: When) -> f64 {
    match when {
        When::Already => 0.0,
        When::At(x) => x,
        When::NotBefore(_) => f64::INFINITY,
    }
}

fn clocks(crossing: Crossing) -> [f64; 3] {
    [crossing.early, crossing.middle, crossing.late].map(clock)
}

proptest! {
    #![proptest_config(crate::cases(128))]

    #[test]
    fn units_of_value_and_clock_do_not_matter((prior, limits) in prior(), seen in seen(), y in 0.01..50.0_f64, x in 0.01..2000.0_f64) {
        let here = readings(&prior, &seen);
        let there: Vec<Reading> =
            here.iter().map(|r| Reading { x: r.x * x, y: r.y * y, own_u: r.own_u * y, ..*r }).collect();
        let other = Prior {
            new: prior.new * y,
            new_sd: prior.new_sd * y,
            ln_rate: prior.ln_rate + (y / x).ln(),
            wander: prior.wander * y / x.sqrt(),
            ..prior
        };
        let other_limits = Limits { min: limits.min.map(|l| l * y), max: limits.max.map(|l| l * y) };
        let (here_path, there_path) = (Path::fit(&prior, &here).unwrap(), Path::fit(&other, &there).unwrap());
        let now = last(&here);
        for ahead in [1.0, 1.3, 2.0] {
            let at = now.max(10.0) * ahead;
            agree(there_path.past(other_limits, at * x), here_path.past(limits, at), 1e-7);
            agree(there_path.level(at * x).mean, here_path.level(at).mean * y, 1e-9);
        }
        let crossings = clocks(here_path.crossing(limits, now, 1e4)).map(|at| at * x);
        for (there, here) in clocks(there_path.crossing(other_limits, now * x, 1e4 * x)).into_iter().zip(crossings) {
            if here.is_finite() { agree(there, here, 1e-5) } else { prop_assert_eq!(there, here) }
        }
    }

    #[test]
    fn the_order_of_readings_does_not_matter((prior, limits) in prior(), seen in seen()) {
        let mut readings = readings(&prior, &seen);
        let one = Path::fit(&prior, &readings).unwrap();
        readings.reverse();
        let other = Path::fit(&prior, &readings).unwrap();
        agree(other.past(limits, 120.0), one.past(limits, 120.0), 1e-8);
        agree(other.rate().mean, one.rate().mean, 1e-9);
    }

    #[test]
    fn more_wear_at_the_last_reading_never_makes_it_less_likely_to_be_past(
        (prior, limits) in prior(), seen in seen(), more in 0.0..0.5_f64, ahead in 0.0..100.0_f64,
    ) {
        let mut readings = readings(&prior, &seen);
        readings.sort_by(|a, b| a.x.total_cmp(&b.x));
        prop_assume!(!readings.is_empty());
        let at = last(&readings) + ahead;
        let before = Path::fit(&prior, &readings).unwrap().past(limits, at);
        let worn = readings.len() - 1;
        readings[worn].y += prior.direction.sign() * more;
        prop_assert!(Path::fit(&prior, &readings).unwrap().past(limits, at) >= before - 1e-6);
    }

    #[test]
    fn readings_of_a_path_tighten_what_is_known_of_it((prior, _) in prior(), seen in seen()) {
        let on_the_path: Vec<(f64, f64)> = seen.iter().map(|(share, _)| (*share, 0.0)).collect();
        let readings = readings(&prior, &on_the_path);
        let mut before = Path::fit(&prior, &[]).unwrap().rate().sd;
        for count in 1..=readings.len() {
            let sd = Path::fit(&prior, &readings[..count]).unwrap().rate().sd;
            prop_assert!(sd <= before * 1.001, "{count}: {sd}, before {before}");
            before = sd;
        }
    }

    #[test]
    fn probabilities_stay_probabilities_and_crossings_in_order((prior, limits) in prior(), seen in seen(), horizon in 1.0..2000.0_f64) {
        let readings = readings(&prior, &seen);
        let path = Path::fit(&prior, &readings).unwrap();
        let now = last(&readings);
        for x in [0.0, 0.5 * now, now, now + 10.0, now + 1e4] {
            prop_assert!((0.0..=1.0).contains(&path.past(limits, x)));
        }
        let [early, middle, late] = clocks(path.crossing(limits, now, now + horizon));
        prop_assert!(early <= middle && middle <= late, "{early} {middle} {late}");
        let tighter = Limits { min: limits.min.map(|l| l + 0.2), max: limits.max.map(|l| l - 0.2) };
        prop_assert!(path.past(tighter, now + 20.0) >= path.past(limits, now + 20.0) - 1e-9);
    }

    #[test]
    fn first_passage_only_grows_and_is_at_least_being_past((prior, limits) in prior(), seen in seen()) {
        let readings = readings(&prior, &seen);
        let path = Path::fit(&prior, &readings).unwrap();
        let now = last(&readings);
        let mut before = 0.0;
        for ahead in [0.5, 5.0, 20.0, 60.0, 200.0] {
            let (first, past) = (path.first_passed(limits, now, now + ahead), path.past(limits, now + ahead));
            prop_assert!(first >= before - 1e-4 && first >= past - 1e-3, "{ahead}: {first}, before {before}, past {past}");
            before = first;
        }
    }

    #[test]
    fn quantiles_of_a_level_have_their_probability_below_them((prior, _) in prior(), seen in seen(), x in 0.0..150.0_f64, p in 0.01..0.99_f64) {
        let path = Path::fit(&prior, &readings(&prior, &seen)).unwrap();
        prop_assume!(path.level(x).sd > 1e-9);
        let level = path.level_quantile(x, p);
        agree(path.past(Limits::min(level), x), p, 1e-4);
        agree(path.past(Limits::max(level), x), 1.0 - p, 1e-4);
    }

    /// A valve's clearance: past either side counts, and each side alone counts less.
    #[test]
    fn either_side_of_a_range_counts(y in 0.15..0.35_f64, x in 5.0..60.0_f64) {
        let prior = Prior::from_life(0.25, 0.01, 0.20, &life::Prior::new(60.0, 1.6)).unwrap();
        let path = Path::fit(&prior, &[Reading::new(30.0, y, 0.01)]).unwrap();
        let both = path.past(Limits::between(0.20, 0.30), x);
        let (low, high) = (path.past(Limits::min(0.20), x), path.past(Limits::max(0.30), x));
        agree(both, low + high, 1e-12);
    }

    /// The exact linear case: every reading lowers every variance.
    #[test]
    fn a_reading_never_widens_a_line(x in 0.0..100.0_f64, y in 20.0..30.0_f64, u in 0.001..1.0_f64) {
        let line = Line { mean: [25.0, -0.02], covariance: [0.0025, -1e-5, 6.4e-5] };
        let after = line.after(&[Reading::new(x, y, u)]).unwrap();
        for at in [0.0, 30.0, 100.0] {
            let variance = |l: &Line| l.covariance[0] + 2.0 * at * l.covariance[1] + at * at * l.covariance[2];
            prop_assert!(variance(&after) <= variance(&line) * (1.0 + 1e-12));
        }
        let mut before = 0.0;
        for at in [0.0, 20.0, 60.0, 100.0, 200.0, 1000.0] {
            let reached = after.reached(23.0, Direction::Down, at);
            prop_assert!(reached >= before - 1e-9, "{at}: {reached}, before {before}");
            before = reached;
        }
    }

    #[test]
    fn swapping_two_readings_turns_unwear_round(y in 22.0..25.0_f64, other in 22.0..25.0_f64) {
        let (a, b) = (Reading::new(10.0, y, 0.02).by(1, 0.01), Reading::new(20.0, other, 0.02).by(2, 0.01));
        let forth = unwear(Direction::Down, &a, &b).unwrap();
        let back = unwear(Direction::Down, &b, &a).unwrap();
        agree(forth.z, -back.z, 1e-12);
        prop_assert!(!(forth.is_doubtful() && back.is_doubtful()));
    }
}

proptest! {
    // Learning a family is dear in an unoptimised build.
    #![proptest_config(crate::cases(12))]

    /// A part that wears fast in other cars is expected to wear faster in this one.
    #[test]
    fn faster_cars_teach_a_faster_rate(rate in 0.01..0.04_f64, faster in 1.05..2.0_f64, cars in 1..12_usize) {
        let kind = Kind::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5)).unwrap();
        let cars_at = |rate: f64| -> Vec<Vec<Reading>> {
            vec![(1..4).map(|k| f64::from(k) * 15.0).map(|x| Reading::new(x, 25.0 - rate * x, 0.02)).collect(); cars]
        };
        let slow = Family::learn(&kind, &cars_at(rate)).unwrap();
        let fast = Family::learn(&kind, &cars_at(rate * faster)).unwrap();
        prop_assert!(fast.ln_rate().mean > slow.ln_rate().mean);
        prop_assert!(slow.taught().prior().ln_rate_sd > 0.0);
    }
}
