//! The months a car is in use, and the days they leave.

use super::forecast::Forecast;
use crate::error::{Inspection, PrognosisError};
use jiff::civil::{Date, date};

/// Days of a year, on average: a leap day every fourth year.
pub const DAYS_PER_YEAR: f64 = 365.25;
/// A winter's share of a year's distance below which the car counts as laid up. Common practice, no source.
const LAID_UP: f64 = 0.05;
/// So many winters have to show it. Common practice, no source.
const WINTERS: usize = 3;
/// A stretch shows a winter when it lies between the first of October and the end of April and lasts this many days.
const WINTER_DAYS: i32 = 90;

/// The months of a year in which a car is in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Season {
    /// Bit `m` for month `m`, 1 to 12.
    months: u16,
}

impl Default for Season {
    fn default() -> Self {
        Self::all_year()
    }
}

impl Season {
    /// In use all year round.
    pub fn all_year() -> Self {
        Self { months: 0b1_1111_1111_1110 }
    }

    /// In use in these months, 1 for January to 12 for December.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] naming every number that is no month; [`PrognosisError::TooFew`] for no month at
    /// all.
    pub fn of(months: &[u8]) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        for (index, month) in months.iter().enumerate() {
            let month = f64::from(*month);
            inspection.at("month", index).at_least("number", month, 1.0).at_most("number", month, 12.0);
        }
        inspection.finish()?;
        if months.is_empty() {
            return Err(PrognosisError::TooFew { what: "a season", needed: 1, found: 0 });
        }
        Ok(Self { months: months.iter().fold(0, |bits, month| bits | 1 << month) })
    }

    pub fn is_all_year(&self) -> bool {
        *self == Self::all_year()
    }

    /// Whether the car is in use in a month, 1 to 12.
    pub fn has(&self, month: i8) -> bool {
        (1..=12).contains(&month) && self.months >> month & 1 == 1
    }

    /// Days of use after `from` up to and including `to`; none when `to` is not later.
    pub fn active_days(&self, from: Date, to: Date) -> i32 {
        if to <= from {
            return 0;
        }
        if self.is_all_year() {
            return days_between(from, to);
        }
        let mut days = 0;
        let mut at = from;
        while at < to {
            let end = at.tomorrow().map_or(to, |next| next.last_of_month()).min(to);
            if self.has(end.month()) {
                days += days_between(at, end);
            }
            at = end;
        }
        days
    }

    /// Years of use after `from` up to and including `to`.
    pub fn active_years(&self, from: Date, to: Date) -> f64 {
        f64::from(self.active_days(from, to)) / DAYS_PER_YEAR
    }

    /// The day on which so many days of use after `from` are complete; `None` beyond the calendar.
    pub fn after_active_days(&self, from: Date, days: i32) -> Option<Date> {
        let (mut at, mut left) = (from, days);
        while left > 0 {
            let next = at.tomorrow().ok()?;
            let end = next.last_of_month();
            let here = days_between(at, end);
            if !self.has(end.month()) {
                at = end;
            } else if here < left {
                (at, left) = (end, left - here);
            } else {
                return at.checked_add(jiff::Span::new().days(i64::from(left))).ok();
            }
        }
        Some(at)
    }

    /// The season that a car's readings suggest: the months outside those in which it is always laid up.
    ///
    /// Proposed when at least three winters show less than 5 % of an average year's distance and none shows more.
    /// Readings are a date and where the odometer stood, in order of date. To be asked, not assumed.
    pub fn suggested_by(readings: &[(Date, f64)]) -> Option<Self> {
        let (first, last) = (readings.first()?, readings.last()?);
        let years = f64::from(days_between(first.0, last.0)) / DAYS_PER_YEAR;
        let yearly = (last.1 - first.1) / years;
        if !(years > 0.0 && yearly > 0.0) {
            return None;
        }
        let winters: Vec<(Date, Date, bool)> = readings
            .windows(2)
            .filter(|pair| is_winter(pair[0].0, pair[1].0))
            .map(|pair| (pair[0].0, pair[1].0, (pair[1].1 - pair[0].1) / yearly < LAID_UP))
            .collect();
        if winters.len() < WINTERS || winters.iter().any(|(_, _, laid_up)| !laid_up) {
            return None;
        }
        let rests = |month: &u8| winters.iter().all(|(from, to, _)| whole_month_within(*month, *from, *to));
        let months: Vec<u8> = (1..=12).filter(|month| !rests(month)).collect();
        Self::of(&months).ok().filter(|season| !season.is_all_year())
    }
}

/// When an odometer will reach a distance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrival {
    /// One time in twenty it is there by this day.
    pub early: Option<Date>,
    pub middle: Option<Date>,
    /// Nineteen times in twenty it is there by this day.
    pub late: Option<Date>,
}

impl Forecast {
    /// The days on which the odometer will have reached `km`, given the day of its last reading and the car's season.
    pub fn arrival(&self, km: f64, last: Date, season: &Season) -> Arrival {
        let on = |p: f64| self.day_at(km, p, last, season);
        Arrival { early: on(0.95), middle: on(0.5), late: on(0.05) }
    }

    /// The first day whose reading, not exceeded with probability `p`, is at or past `km`; `None` when that is out of
    /// sight.
    pub fn day_at(&self, km: f64, p: f64, last: Date, season: &Season) -> Option<Date> {
        let years = self.years_until(km, p)?;
        let reached = |days: f64| self.quantile(days / DAYS_PER_YEAR, p) >= km;
        // The root is only as exact as its search; the neighbouring days settle it.
        let near = (years * DAYS_PER_YEAR).round();
        let days = [near - 1.0, near, near + 1.0].into_iter().find(|days| *days >= 0.0 && reached(*days))?;
        season.after_active_days(last, days as i32)
    }
}

fn days_between(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days())
}

fn is_winter(from: Date, to: Date) -> bool {
    let start = if from.month() >= 10 { from.year() } else { from.year() - 1 };
    start > -9999
        && start < 9999
        && from >= date(start, 10, 1)
        && to <= date(start + 1, 4, 30)
        && days_between(from, to) >= WINTER_DAYS
}

fn whole_month_within(month: u8, from: Date, to: Date) -> bool {
    [from.year(), to.year()].into_iter().any(|year| {
        let Ok(first) = Date::new(year, month as i8, 1) else { return false };
        first > from && first.last_of_month() <= to
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn summer() -> Season {
        Season::of(&[4, 5, 6, 7, 8, 9, 10]).unwrap()
    }

    #[test]
    fn only_days_of_the_season_count() {
        assert_eq!(summer().active_days(date(2023, 10, 20), date(2024, 4, 3)), 14);
        assert_eq!(Season::all_year().active_days(date(2024, 1, 1), date(2025, 1, 1)), 366);
        assert_eq!(summer().active_days(date(2024, 6, 1), date(2024, 5, 1)), 0);
        assert_eq!(summer().active_days(date(2024, 3, 31), date(2024, 4, 1)), 1);
    }

    #[test]
    fn counting_days_on_undoes_counting_them() {
        for season in [summer(), Season::all_year()] {
            for days in [0, 1, 11, 12, 45, 400, 1999] {
                let from = date(2023, 10, 20);
                let to = season.after_active_days(from, days).unwrap();
                assert_eq!(season.active_days(from, to), days);
                assert!(days == 0 || season.has(to.month()));
            }
        }
        assert_eq!(summer().after_active_days(date(9999, 12, 1), 200), None);
    }

    #[test]
    fn three_quiet_winters_suggest_a_season_and_two_do_not() {
        let mut readings = Vec::new();
        let mut km = 50_000.0;
        for year in 2019..2023 {
            readings.push((date(year, 4, 15), km));
            km += 6000.0;
            readings.push((date(year, 10, 25), km));
            km += 100.0;
        }
        let season = Season::suggested_by(&readings).unwrap();
        assert_eq!(season, Season::of(&[4, 5, 6, 7, 8, 9, 10]).unwrap());
        assert_eq!(Season::suggested_by(&readings[..5]), None);
        readings[3].1 -= 2000.0;
        assert_eq!(Season::suggested_by(&readings), None);
    }

    #[test]
    fn months_that_are_none_are_all_named() {
        let error = Season::of(&[0, 5, 13]).unwrap_err();
        assert_eq!(
            error.to_string(),
            "month 1: number is 0, it must be at least 1; month 3: number is 13, it must be at most 12"
        );
        assert!(Season::of(&[]).is_err());
    }
}
