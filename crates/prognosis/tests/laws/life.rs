use crate::agree;
use prognosis::life::{Law, Life, OwnRecord, Posterior, Prior, Record, fit, npmle, posterior};
use proptest::prelude::*;

fn law() -> impl Strategy<Value = Law> {
    prop_oneof![Just(Law::Weibull), Just(Law::Lognormal)]
}

fn stated() -> impl Strategy<Value = Prior> {
    (20.0..300.0_f64, 1.2..4.0_f64, 1.1..3.0_f64).prop_map(|(median, spread, sure)| Prior {
        median,
        spread,
        sure,
    })
}

/// Records about the stated median: exact, right, left and interval censored, some entered late.
fn records(median: f64) -> impl Strategy<Value = Vec<Record>> {
    let one = (0..4_u8, 0.2..2.0_f64, 0.05..0.8_f64, 0.0..0.9_f64, any::<bool>());
    prop::collection::vec(one, 0..9).prop_map(move |seen| {
        seen.into_iter()
            .map(|(kind, share, gap, entry, late)| {
                let (t, gap) = (share * median, gap * median);
                let record = match kind {
                    0 => Record::failed_at(t),
                    1 => Record::good_at(t),
                    2 => Record::bad_by(t),
                    _ => Record::between(t, t + gap),
                };
                if late { record.since(entry * record.lower) } else { record }
            })
            .collect()
    })
}

fn case() -> impl Strategy<Value = (Law, Prior, Vec<Record>)> {
    (law(), stated()).prop_flat_map(|(law, prior)| (Just(law), Just(prior), records(prior.median)))
}

/// The same posterior on a clock that is `scale` times as fast, to this share of its standard deviations.
#[track_caller]
fn same(a: &Posterior, b: &Posterior, scale: f64, share: f64) {
    let near = |got: f64, want: f64, sd: f64| {
        assert!((got - want).abs() <= share * sd, "got {got}, want {want}, sd {sd}")
    };
    near(b.ln_median().mean, a.ln_median().mean + scale.ln(), a.ln_median().sd);
    near(b.ln_median().sd, a.ln_median().sd, a.ln_median().sd);
    near(b.ln_shape().mean, a.ln_shape().mean, a.ln_shape().sd);
    let t = a.ln_median().mean.exp();
    near(b.survival(t * scale), a.survival(t), 1.0);
}

proptest! {
    #![proptest_config(crate::cases(48))]

    #[test]
    fn the_unit_of_the_clock_does_not_matter((law, prior, records) in case(), scale in 0.01..2000.0_f64) {
        let here = posterior(law, &prior, &records).unwrap();
        let scaled: Vec<Record> = records
            .iter()
            .map(|r| Record { lower: r.lower * scale, upper: r.upper * scale, entry: r.entry * scale, ..*r })
            .collect();
        let there = posterior(law, &Prior { median: prior.median * scale, ..prior }, &scaled).unwrap();
        same(&here, &there, scale, 2e-3);
    }

    #[test]
    fn neither_order_nor_bundling_of_records_matters((law, prior, records) in case()) {
        let once = posterior(law, &prior, &records).unwrap();
        let mut doubled = records.clone();
        doubled.extend(records.iter().rev());
        let bundled: Vec<Record> = records.iter().rev().map(|r| r.times(2.0)).collect();
        let mut turned = records.clone();
        turned.reverse();
        same(&once, &posterior(law, &prior, &turned).unwrap(), 1.0, 1e-9);
        same(&posterior(law, &prior, &doubled).unwrap(), &posterior(law, &prior, &bundled).unwrap(), 1.0, 1e-9);
    }

    #[test]
    fn two_looks_close_together_are_as_good_as_the_moment((law, prior, records) in case(), share in 0.3..1.5_f64) {
        let t = share * prior.median;
        let with = |record: Record| {
            let mut all = records.clone();
            all.push(record);
            posterior(law, &prior, &all).unwrap()
        };
        let (moment, looks) = (with(Record::failed_at(t)), with(Record::between(t * (1.0 - 1e-6), t * (1.0 + 1e-6))));
        same(&moment, &looks, 1.0, 2e-3);
        // A density over time, as against a probability of the stretch between the looks.
        agree(looks.ln_evidence(), moment.ln_evidence() + (2e-6 * t).ln(), 1e-3);
    }

    #[test]
    fn a_part_that_lasted_speaks_for_lasting((law, prior, records) in case(), share in 0.2..1.5_f64) {
        let t = share * prior.median;
        let before = posterior(law, &prior, &records).unwrap();
        let mut with = records.clone();
        with.push(Record::good_at(t));
        prop_assert!(posterior(law, &prior, &with).unwrap().survival(t) >= before.survival(t) - 1e-4);
        with.pop();
        with.push(Record::bad_by(t));
        prop_assert!(posterior(law, &prior, &with).unwrap().survival(t) <= before.survival(t) + 1e-4);
    }

    #[test]
    fn a_part_left_out_of_the_data_fares_as_one_that_is_in((law, prior, records) in case(), share in 0.1..1.2_f64, ahead in 0.01..0.5_f64) {
        let (age, ahead) = (share * prior.median, [ahead * prior.median]);
        let out = posterior(law, &prior, &records).unwrap().alive_at(age, OwnRecord::LeftOut).fails_within(&ahead);
        let mut with = records.clone();
        with.push(Record::good_at(age));
        let inside = posterior(law, &prior, &with).unwrap().alive_at(age, OwnRecord::InData).fails_within(&ahead);
        prop_assert!((out - inside).abs() < 2e-4, "{out} {inside}");
    }

    #[test]
    fn survival_falls_from_one((law, prior, records) in case(), age in 0.0..2.0_f64) {
        let lives = posterior(law, &prior, &records).unwrap();
        agree(lives.survival(0.0), 1.0, 1e-9);
        let alive = lives.alive_at(age * prior.median, OwnRecord::LeftOut);
        let mut before = 1.0;
        for share in [0.01, 0.1, 0.3, 1.0, 3.0] {
            let t = (age + share) * prior.median;
            let survival = alive.survival(t);
            prop_assert!(survival <= before + 1e-12 && (0.0..=1.0).contains(&survival));
            agree(alive.fails_by(t), 1.0 - survival, 1e-9);
            before = survival;
        }
        let (low, high) = (lives.survival_quantile(prior.median, 0.05), lives.survival_quantile(prior.median, 0.95));
        prop_assert!(low <= high);
        let horizon = 50.0 * prior.median;
        let (whole, part) = (alive.mean_residual(horizon), alive.unused_after((age + 0.1) * prior.median, horizon));
        prop_assert!(part <= whole && part >= whole - 0.1 * prior.median * 1.0001);
    }

    /// The mean of what is left, from the formula and by adding up survival.
    #[test]
    fn the_mean_left_is_the_sum_of_survival(law in law(), median in 1.0..300.0_f64, shape in 0.7..8.0_f64, share in 0.0..2.5_f64) {
        let life = match law {
            Law::Weibull => Life::weibull(median, shape).unwrap(),
            Law::Lognormal => Life::lognormal(median.ln(), 1.0 / shape).unwrap(),
        };
        let t = share * median;
        // Steps that grow reach the end of a long tail.
        let (mut at, mut step, mut sum) = (t, life.mean_residual(t) / 4000.0, 0.0);
        loop {
            let left = (life.ln_survival(at + 0.5 * step) - life.ln_survival(t)).exp();
            sum += left * step;
            if left < 1e-12 {
                break;
            }
            (at, step) = (at + step, step * 1.0005);
        }
        agree(life.mean_residual(t), sum, 1e-3);
    }

    #[test]
    fn quantile_and_survival_undo_each_other(law in law(), scale in 1.0..300.0_f64, shape in 0.3..9.0_f64, p in 0.001..0.999_f64) {
        let life = match law {
            Law::Weibull => Life::weibull(scale, shape).unwrap(),
            Law::Lognormal => Life::lognormal(scale.ln(), 1.0 / shape).unwrap(),
        };
        agree(life.survival(life.quantile(p)), 1.0 - p, 1e-9);
        agree(life.survival(life.median()), 0.5, 1e-12);
    }

    #[test]
    fn the_best_fit_is_better_than_its_neighbours(shape in 1.0..6.0_f64, gap in 3.0..30.0_f64) {
        let life = Life::weibull(100.0, shape).unwrap();
        let records: Vec<Record> = (0..25)
            .map(|k| life.quantile((f64::from(k) + 0.5) / 25.0))
            .map(|t| Record::between((t / gap).floor() * gap, (t / gap).floor() * gap + gap))
            .collect();
        let fitted = fit(Law::Weibull, &records).unwrap();
        let height = |life: &Life| -> f64 {
            records.iter().map(|r| (life.survival(r.lower) - life.survival(r.upper)).ln()).sum()
        };
        agree(fitted.ln_likelihood(), height(&fitted.life()), 1e-9);
        for (eta, beta) in [(1.02, 1.0), (0.98, 1.0), (1.0, 1.03), (1.0, 0.97)] {
            let near = Life::weibull(fitted.life().location().exp() * eta, fitted.life().shape() * beta).unwrap();
            prop_assert!(height(&near) <= fitted.ln_likelihood() + 1e-9);
        }
        let interval = fitted.quantile_interval(0.1, 0.9);
        prop_assert!(interval.low < fitted.life().quantile(0.1) && fitted.life().quantile(0.1) < interval.high);
    }

    #[test]
    fn a_curve_without_a_law_is_a_distribution((_, _, records) in case()) {
        prop_assume!(!records.is_empty());
        let cells = npmle(&records).unwrap();
        agree(cells.iter().map(|c| c.mass).sum::<f64>(), 1.0, 1e-9);
        prop_assert!(cells.windows(2).all(|pair| pair[0].to <= pair[1].from));
    }
}

/// A book of 3000 records is binned; the same book as 1500 pairs is not.
#[test]
fn binning_a_large_book_changes_nothing_that_matters() {
    let life = Life::weibull(100.0, 3.0).unwrap();
    let pairs: Vec<Record> = (0..1500)
        .map(|k| {
            let t = life.quantile((f64::from(k) + 0.5) / 1500.0);
            let gap = 4.0 + f64::from(k % 17);
            let good = (t / gap).floor() * gap;
            let record = if k % 3 == 0 { Record::good_at(good) } else { Record::between(good, good + gap) };
            if k % 5 == 0 { record.since(0.4 * good) } else { record }
        })
        .collect();
    let single: Vec<Record> = pairs.iter().chain(&pairs).copied().collect();
    let prior = Prior::new(80.0, 2.0);
    for law in [Law::Weibull, Law::Lognormal] {
        let whole = posterior(law, &prior, &pairs.iter().map(|r| r.times(2.0)).collect::<Vec<_>>()).unwrap();
        let binned = posterior(law, &prior, &single).unwrap();
        assert!((whole.ln_median().mean - binned.ln_median().mean).abs() < 0.1 * whole.ln_median().sd);
        assert!((whole.ln_shape().mean - binned.ln_shape().mean).abs() < 0.1 * whole.ln_shape().sd);
        agree(binned.ln_median().sd, whole.ln_median().sd, 0.01);
        let fitted = fit(law, &single).unwrap();
        agree(fitted.life().median(), whole.ln_median().mean.exp(), 0.01);
    }
}
