//! The clock that a component ages by, in reference years: years, and km at the pace that is usual for the type.

use crate::days::years_between;
use crate::odometer::Odometer;
use jiff::civil::Date;
use sheet::{Along, Clock, Interval, Life, YearlyUse};

/// A component's clock. A reference year is a year at the usual pace, whatever the mix of distance and time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ageing {
    /// From 0 (time only) to 1 (distance only).
    pub share_km: f64,
    /// km that count as one year.
    pub km_a_year: f64,
}

/// Where and when a clock began: the day and the odometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    pub date: Date,
    pub km: f64,
}

impl Ageing {
    pub fn new(clock: Clock, usual: &YearlyUse) -> Self {
        Self { share_km: clock.share_km, km_a_year: usual.mean_km }
    }

    /// Reference years for a distance and a time.
    pub fn age(&self, km: f64, years: f64) -> f64 {
        ((1.0 - self.share_km) * years + self.share_km * km / self.km_a_year).max(0.0)
    }

    /// Age at a day and an odometer reading of what began at `start`.
    pub fn since(&self, start: Start, date: Date, km: f64) -> f64 {
        self.age(km - start.km, years_between(start.date, date))
    }

    /// A life's median in reference years.
    pub fn median(&self, life: &Life) -> f64 {
        match life.median_in {
            Along::Km => life.median / self.km_a_year,
            Along::Years => life.median,
        }
    }

    /// The years from `today` until the age is reached at the middle pace of this car; `None` when it is not reached within
    /// `horizon` years.
    pub fn years_until(
        &self,
        age: f64,
        start: Start,
        odometer: &Odometer,
        today: Date,
        horizon: f64,
    ) -> Option<f64> {
        let age_after = |years: f64| {
            let day = crate::days::years_after(today, years);
            odometer.km_on(day).map(|km| self.since(start, day, km))
        };
        if age_after(0.0)? >= age {
            return Some(0.0);
        }
        if age_after(horizon)? < age {
            return None;
        }
        let (mut early, mut late) = (0.0, horizon);
        // A day is as fine as a date can be told.
        while late - early > 1.0 / 365.25 {
            let middle = f64::midpoint(early, late);
            if age_after(middle)? >= age { late = middle } else { early = middle }
        }
        Some(late)
    }
}

/// How far along an interval something is: 1 when the first of its limits is reached.
pub fn interval_share(interval: &Interval, km: f64, years: f64) -> f64 {
    let by_km = interval.km.map_or(0.0, |limit| km / limit);
    let by_years = interval.years.map_or(0.0, |limit| years / limit);
    by_km.max(by_years)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{told, visit};
    use jiff::civil::date;
    use proptest::prelude::*;
    use sheet::Along;

    const USUAL: YearlyUse = YearlyUse { mean_km: 12_000.0, variation: 0.5, source: String::new() };

    fn clock(share_km: f64) -> Ageing {
        Ageing::new(Clock { share_km }, &USUAL)
    }

    #[test]
    fn a_reference_year_is_a_year_at_the_usual_pace() {
        for (share_km, km, years, age) in [
            (0.0, 50_000.0, 2.0, 2.0),
            (1.0, 24_000.0, 9.0, 2.0),
            (0.5, 24_000.0, 4.0, 3.0),
            (0.25, 12_000.0, 1.0, 1.0), // at the usual pace whatever the mix
            (1.0, -500.0, 1.0, 0.0),    // never younger than new
        ] {
            assert_eq!(clock(share_km).age(km, years), age, "{share_km} {km} {years}");
        }
    }

    #[test]
    fn a_life_in_km_and_the_same_in_years_are_one() {
        let life =
            |median, median_in| Life { median, median_in, spread: 1.5, sure: 1.6, source: String::new() };
        assert_eq!(clock(0.5).median(&life(96_000.0, Along::Km)), 8.0);
        assert_eq!(clock(0.5).median(&life(8.0, Along::Years)), 8.0);
    }

    #[test]
    fn the_first_limit_reached_counts() {
        let interval = |km, years| Interval { km, years, strict: false, source: String::new() };
        for (interval, share) in [
            (interval(Some(100_000.0), Some(6.0)), 0.75),
            (interval(Some(100_000.0), None), 0.75),
            (interval(None, Some(6.0)), 0.5),
            (interval(Some(300_000.0), Some(6.0)), 0.5),
            (interval(None, None), 0.0),
        ] {
            assert_eq!(interval_share(&interval, 75_000.0, 3.0), share);
        }
    }

    #[test]
    fn years_until_an_age_are_those_of_the_cars_own_pace() {
        // 10 000 km a year for eight years.
        let visits: Vec<_> =
            (0..9).map(|n| visit(&format!("{}-05-01", 2017 + n), 10_000 * (n + 1), "")).collect();
        let told = told(&visits);
        let (judge, today) = (told.judge(), date(2025, 5, 1));
        let start = Start { date: today, km: 90_000.0 };
        let until =
            |share_km: f64, age: f64| clock(share_km).years_until(age, start, &judge.odometer, today, 20.0);
        assert!((until(0.0, 3.0).unwrap() - 3.0).abs() < 0.01);
        let by_km = until(1.0, 3.0).unwrap(); // 36 000 km
        assert!((3.2..4.2).contains(&by_km), "{by_km}");
        assert_eq!(until(0.0, 0.0), Some(0.0));
        assert_eq!(until(0.0, 25.0), None, "beyond the horizon");
    }

    proptest! {
        #[test]
        fn more_use_is_never_younger(
            share_km in 0.0..1.0_f64, km in 0.0..3e5_f64, years in 0.0..30.0_f64,
            more_km in 0.0..1e5_f64, more_years in 0.0..9.0_f64,
        ) {
            let clock = clock(share_km);
            prop_assert!(clock.age(km + more_km, years + more_years) >= clock.age(km, years));
        }
    }
}
