//! When something will fail: one question, whatever is known.

use crate::ageing::{Ageing, Start, interval_share};
use crate::days::years_between;
use crate::odometer::Odometer;
use jiff::civil::Date;
use prognosis::life::Alive;
use prognosis::wear::{Limits, Path};
use sheet::Interval;
use std::sync::Arc;

/// What is known of the time at which a component will be past its limit or fail.
#[derive(Debug, Clone)]
pub enum Outlook {
    /// Readings and the wear they show.
    Wear { path: Arc<Path>, limits: Limits, ageing: Ageing, start: Start },
    /// Seen good; the life of its kind, given that it is alive now.
    Life { alive: Arc<Alive>, ageing: Ageing, start: Start },
    /// Due by the record; once due it fails with the same chance in each year.
    Due { interval: Interval, start: Start, per_year: f64 },
    /// A described state that stands for a chance by the next visit: as much in each year.
    Steady { per_year: f64 },
}

impl Outlook {
    /// A described state that stands for the chance `p` over so many years.
    pub fn steady(p: f64, years: f64) -> Self {
        Self::Steady { per_year: per_year(p, years) }
    }

    /// Probability of being past the limit, or of having failed, on a day.
    pub fn fails_by(&self, day: Date, today: Date, odometer: &Odometer) -> f64 {
        let ages = |ageing: &Ageing, start: &Start| -> Vec<f64> {
            let kms = odometer.quantiles_on(day);
            kms.into_iter().flatten().map(|km| ageing.since(*start, day, km)).collect()
        };
        match self {
            Self::Wear { path, limits, ageing, start } => {
                let ages = ages(ageing, start);
                if ages.is_empty() { 0.0 } else { path.past_over(*limits, &ages) }
            }
            Self::Life { alive, ageing, start } => {
                let ages = ages(ageing, start);
                let each = ages.iter().map(|age| alive.fails_by(*age));
                if ages.is_empty() { 0.0 } else { each.sum::<f64>() / ages.len() as f64 }
            }
            Self::Due { interval, start, per_year } => {
                let years = years_between(start.date, day);
                let ahead = years_between(today, day).max(0.0);
                let Some(kms) = odometer.quantiles_on(day) else { return 0.0 };
                let each = kms.iter().map(|km| {
                    let share = interval_share(interval, km - start.km, years);
                    // Overdue for so long, but known to be alive today.
                    let overdue = (years * (1.0 - 1.0 / share.max(1.0))).min(ahead);
                    -(-per_year * overdue).exp_m1()
                });
                each.sum::<f64>() / kms.len() as f64
            }
            Self::Steady { per_year } => {
                let years = years_between(today, day).max(0.0);
                -(-per_year * years).exp_m1()
            }
        }
    }

    /// Probability of falling due by a day, for what is due by the record.
    pub fn due_by(interval: &Interval, start: Start, day: Date, odometer: &Odometer) -> f64 {
        let years = years_between(start.date, day);
        let Some(kms) = odometer.quantiles_on(day) else { return 0.0 };
        let due = kms.iter().filter(|km| interval_share(interval, **km - start.km, years) >= 1.0);
        due.count() as f64 / kms.len() as f64
    }
}

/// The chance in each year that makes `p` over so many years.
pub fn per_year(p: f64, years: f64) -> f64 {
    /// A month is as near as a next visit can be.
    const SHORTEST: f64 = 1.0 / 12.0;
    -(-p.min(1.0 - 1e-9)).ln_1p() / years.max(SHORTEST)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{Told, told, visit};
    use jiff::ToSpan;
    use jiff::civil::date;
    use proptest::prelude::*;

    /// A van that has come every year, so that what it covers is known well.
    fn van() -> Told {
        told(&(0..6).map(|n| visit(&format!("{}-05-01", 2020 + n), 12_000 * (n + 1), "")).collect::<Vec<_>>())
    }

    fn due(km: Option<f64>, years: Option<f64>) -> (Interval, Start) {
        let interval = Interval { km, years, strict: true, source: String::new() };
        (interval, Start { date: date(2022, 5, 1), km: 36_000.0 })
    }

    /// `1 − exp(−h t)` with the rate that makes the stated chance: half the time gives `1 − √(1 − p)`.
    #[test]
    fn a_steady_chance_is_as_much_in_each_year() {
        let told = van();
        let (odometer, today) = (&told.judge().odometer, date(2025, 5, 1));
        let outlook = Outlook::steady(0.2, 1.0);
        let on = |days: i64| outlook.fails_by(today.saturating_add(days.days()), today, odometer);
        assert_eq!(on(-10), 0.0);
        assert_eq!(on(0), 0.0);
        assert!((on(365) - 0.2).abs() < 1e-3);
        assert!((on(183) - (1.0 - 0.8_f64.sqrt())).abs() < 1e-3);
        assert!((on(731) - 0.36).abs() < 1e-3);
    }

    #[test]
    fn certainty_and_a_visit_tomorrow_stay_numbers() {
        assert!(per_year(1.0, 1.0).is_finite());
        assert!(
            (per_year(0.5, 0.0) - per_year(0.5, 1.0 / 12.0)).abs() < 1e-12,
            "a month is as near as it gets"
        );
        assert_eq!(per_year(0.0, 1.0), 0.0);
    }

    #[test]
    fn what_is_due_fails_only_once_it_is() {
        let told = van();
        let (odometer, today) = (&told.judge().odometer, date(2025, 5, 1));
        let (interval, start) = due(None, Some(4.0)); // due on 1 May 2026
        let outlook = Outlook::Due { interval: interval.clone(), start, per_year: per_year(0.1, 1.0) };
        assert_eq!(outlook.fails_by(date(2026, 4, 1), today, odometer), 0.0);
        assert!((outlook.fails_by(date(2027, 5, 1), today, odometer) - 0.1).abs() < 1e-2);
        assert_eq!(Outlook::due_by(&interval, start, date(2026, 4, 1), odometer), 0.0);
        assert_eq!(Outlook::due_by(&interval, start, date(2026, 5, 2), odometer), 1.0);
        // Overdue for years, but alive today: only what lies ahead counts.
        let (interval, start) = due(None, Some(1.0));
        let overdue = Outlook::Due { interval, start, per_year: per_year(0.1, 1.0) };
        assert_eq!(overdue.fails_by(today, today, odometer), 0.0);
        assert!((overdue.fails_by(date(2026, 5, 1), today, odometer) - 0.1).abs() < 1e-3);
    }

    #[test]
    fn a_distance_falls_due_in_ninths_of_what_it_may_cover() {
        let told = van();
        let odometer = &told.judge().odometer; // at 72 000 km, 36 000 km since the start
        let (interval, start) = due(Some(46_000.0), None);
        let chance = Outlook::due_by(&interval, start, date(2026, 5, 1), odometer);
        assert!(
            chance > 0.3 && chance < 1.0 && ((chance * 9.0) - (chance * 9.0).round()).abs() < 1e-9,
            "{chance}"
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn waiting_longer_is_never_safer(days in 0i64..4000, more in 1i64..1000, index in 0usize..3, p in 0.0..1.0_f64) {
            let told = van();
            let (odometer, today) = (&told.judge().odometer, date(2025, 5, 1));
            let (interval, start) = due([Some(46_000.0), None, Some(60_000.0)][index], [None, Some(3.5), Some(5.0)][index]);
            let outlooks = [Outlook::steady(p, 1.0), Outlook::Due { interval, start, per_year: per_year(p, 1.0) }];
            for outlook in outlooks {
                let on = |days: i64| outlook.fails_by(today.saturating_add(days.days()), today, odometer);
                prop_assert!(on(days + more) >= on(days) - 1e-12);
                prop_assert!((0.0..=1.0).contains(&on(days)));
            }
        }
    }
}
