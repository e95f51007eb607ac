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
