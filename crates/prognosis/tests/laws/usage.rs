use crate::agree;
use prognosis::usage::{Counter, ExplanationPriors, Forecast, Prior, Stretch, Usage, explain, theil_sen};
use proptest::prelude::*;

fn stretches() -> impl Strategy<Value = Vec<Stretch>> {
    let one = (0.0..20_000.0_f64, 0.0..3.0_f64, 0.0..15.0_f64);
    prop::collection::vec(one.prop_map(|(km, years, age_years)| Stretch { km, years, age_years }), 0..8)
}

proptest! {
    #![proptest_config(crate::cases(128))]

    #[test]
    fn miles_and_kilometres_forecast_the_same(seen in stretches(), years in 0.05..10.0_f64, p in 0.02..0.98_f64) {
        let unit = 1.609_344;
        let km = Forecast::new(&Prior::new(6000.0, 0.7), &seen, 80_000.0).unwrap();
        let in_miles: Vec<Stretch> = seen.iter().map(|s| Stretch { km: s.km / unit, ..*s }).collect();
        let miles = Forecast::new(&Prior::new(6000.0 / unit, 0.7), &in_miles, 80_000.0 / unit).unwrap();
        agree(miles.quantile(years, p) * unit, km.quantile(years, p), 1e-9);
        agree(miles.mean(years) * unit, km.mean(years), 1e-9);
    }

    #[test]
    fn the_odometer_only_goes_forward(seen in stretches(), years in 0.0..10.0_f64, more in 0.01..5.0_f64, p in 0.02..0.9_f64) {
        let car = Forecast::new(&Prior::new(6000.0, 0.7), &seen, 80_000.0).unwrap();
        prop_assert!(car.quantile(years + more, p) > car.quantile(years, p));
        prop_assert!(car.quantile(years + more, p + 0.05) > car.quantile(years + more, p));
        prop_assert!(car.quantiles(years).windows(2).all(|pair| pair[0] <= pair[1]));
        prop_assert!(car.quantile(years, p) >= car.last_km());
    }

    #[test]
    fn a_date_and_a_distance_undo_each_other(seen in stretches(), way in 10.0..60_000.0_f64, p in 0.05..0.95_f64) {
        let car = Forecast::new(&Prior::new(6000.0, 0.7), &seen, 80_000.0).unwrap();
        if let Some(years) = car.years_until(80_000.0 + way, p) {
            agree(car.quantile(years, p), 80_000.0 + way, 1e-6);
        }
    }

    #[test]
    fn more_driving_raises_the_rate_and_more_seen_narrows_it(seen in stretches(), km in 0.0..20_000.0_f64, more in 1.0..9000.0_f64) {
        let prior = Prior::new(6000.0, 0.7);
        let with = |km: f64| {
            let mut all = seen.clone();
            all.push(Stretch { km, years: 1.0, age_years: 0.0 });
            Usage::learn(&prior, &all).unwrap()
        };
        prop_assert!(with(km + more).mean() > with(km).mean());
        let before = Usage::learn(&prior, &seen).unwrap();
        prop_assert!(with(km).sd() / with(km).mean() <= before.sd() / before.mean());
        let mut turned = seen.clone();
        turned.reverse();
        agree(Usage::learn(&prior, &turned).unwrap().mean(), before.mean(), 1e-12);
    }

    #[test]
    fn explanations_are_probabilities_in_order(earlier in 0.0..400_000.0_f64, reading in 0.0..400_000.0_f64, years in 0.0..5.0_f64) {
        let usage = Usage::learn(&Prior::new(6000.0, 0.7), &[]).unwrap();
        let found = explain(
            earlier.round(), reading.round(), &usage.over(years), &Counter::default(), &ExplanationPriors::default(),
        ).unwrap();
        agree(found.iter().map(|e| e.probability).sum::<f64>(), 1.0, 1e-9);
        prop_assert!(found.windows(2).all(|pair| pair[0].probability >= pair[1].probability));
    }

    #[test]
    fn one_wild_reading_in_nine_moves_the_line_little(slope in 1000.0..20_000.0_f64, wild in 0.0..1e7_f64, at in 0..9_usize) {
        let mut points: Vec<(f64, f64)> = (0..9).map(|k| (f64::from(k), slope * f64::from(k))).collect();
        points[at].1 = wild;
        agree(theil_sen(&points).unwrap().slope, slope, 1e-9);
    }
}
