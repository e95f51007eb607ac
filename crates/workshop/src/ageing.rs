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
