//! Where the odometer has been and where it will be.

use crate::car::{Car, km};
use crate::days::{years_after, years_between};
use jiff::civil::Date;
use prognosis::usage::{Forecast, Prior, QUANTILES, Stretch};
use quantity::Quantity;
use sheet::YearlyUse;

/// Visits nearer than this are one errand, not a habit. Common practice, no source.
const ONE_ERRAND_YEARS: f64 = 0.25;
/// So many gaps make a habit. Common practice, no source.
const HABIT: usize = 3;
/// Half a day: two readings of one day tell nothing of the pace.
const SHORTEST_STRETCH_YEARS: f64 = 0.5 / 365.25;

/// A car's odometer: readings by date, and the forecast that follows from them.
#[derive(Debug, Clone)]
pub struct Odometer {
    /// Dates with km, in order of the dates.
    pub readings: Vec<(Date, f64)>,
    forecast: Option<Forecast>,
}

/// The car's next visit as forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct NextVisit {
    pub date: Date,
    /// Years from today.
    pub years: f64,
    /// Nine equally probable odometer readings on that day, in km.
    pub km: [f64; QUANTILES],
}

impl Odometer {
    /// The readings of a car up to a day, and what they teach beyond what cars of its type usually do.
    pub fn of(car: &Car, usual: &YearlyUse, today: Date) -> Odometer {
        let mut readings: Vec<(Date, f64)> = Vec::new();
        let mut note = |date: Date, odometer: &Quantity| {
            if date <= today {
                readings.push((date, km(odometer)));
            }
        };
        for visit in &car.visits {
            note(visit.date, &visit.odometer);
            if let Some(closed) = &visit.closed {
                note(visit.date, &closed.odometer);
            }
        }
        readings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let stretches: Vec<Stretch> = readings
            .windows(2)
            .map(|pair| Stretch {
                km: pair[1].1 - pair[0].1,
                years: years_between(pair[0].0, pair[1].0),
                age_years: years_between(pair[1].0, today),
            })
            .filter(|stretch| stretch.km >= 0.0 && stretch.years > SHORTEST_STRETCH_YEARS)
            .collect();
        let prior = Prior::new(usual.mean_km, usual.variation);
        let forecast = readings.last().and_then(|(_, last)| Forecast::new(&prior, &stretches, *last).ok());
        Odometer { readings, forecast }
    }

    /// The last reading.
    pub fn last(&self) -> Option<(Date, f64)> {
        self.readings.last().copied()
    }

    /// Mean km a year, as known.
    pub fn yearly_km(&self) -> Option<f64> {
        self.forecast.as_ref().map(|forecast| forecast.usage().mean())
    }

    /// The km on a day: as read, in between by a straight line, beyond the last reading the middle forecast.
    pub fn km_on(&self, day: Date) -> Option<f64> {
        let (last_day, last_km) = self.last()?;
        if day >= last_day {
            let years = years_between(last_day, day);
            return Some(self.forecast.as_ref().map_or(last_km, |forecast| forecast.quantile(years, 0.5)));
        }
        let after = self.readings.partition_point(|(date, _)| *date <= day);
        let (to_day, to_km) = self.readings[after];
        let Some((from_day, from_km)) = after.checked_sub(1).map(|before| self.readings[before]) else {
            return Some(to_km);
        };
        let share = years_between(from_day, day) / years_between(from_day, to_day);
        Some(from_km + share * (to_km - from_km))
    }

    /// Nine equally probable readings on a day not before the last reading.
    pub fn quantiles_on(&self, day: Date) -> Option<[f64; QUANTILES]> {
        let (last_day, last_km) = self.last()?;
        let years = years_between(last_day, day).max(0.0);
        Some(self.forecast.as_ref().map_or([last_km; QUANTILES], |forecast| forecast.quantiles(years)))
    }

    /// The reading on a day that is not exceeded with probability `p`.
    pub fn quantile_on(&self, day: Date, p: f64) -> Option<f64> {
        let (last_day, last_km) = self.last()?;
        let years = years_between(last_day, day).max(0.0);
        Some(self.forecast.as_ref().map_or(last_km, |forecast| forecast.quantile(years, p)))
    }

    /// When the car is likely to come next: its own habit once it has one, the workshop's usual gap before.
    pub fn next_visit(&self, car: &Car, usual_gap_years: f64, today: Date) -> Option<NextVisit> {
        let mut days: Vec<Date> =
            car.visits.iter().map(|visit| visit.date).filter(|date| *date <= today).collect();
        days.dedup();
        let mut gaps: Vec<f64> = days
            .windows(2)
            .map(|pair| years_between(pair[0], pair[1]))
            .filter(|gap| *gap >= ONE_ERRAND_YEARS)
            .collect();
        gaps.sort_by(f64::total_cmp);
        let gap = if gaps.len() >= HABIT { gaps[gaps.len() / 2] } else { usual_gap_years };
        // A car that is late is expected a usual gap from today: it must last that long from here.
        let years = gap;
        let date = years_after(today, years);
        Some(NextVisit { date, years, km: self.quantiles_on(date)? })
    }
}
