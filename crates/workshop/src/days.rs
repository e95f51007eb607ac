//! Spans of time between dates, in years.

use jiff::{ToSpan, civil::Date};

/// Mean length of a year in days, as time spans are counted everywhere.
pub const DAYS_A_YEAR: f64 = 365.25;

/// Years from one date to another; negative when `to` lies before.
pub fn years_between(from: Date, to: Date) -> f64 {
    f64::from(days_between(from, to)) / DAYS_A_YEAR
}

/// Days from one date to another; negative when `to` lies before.
pub fn days_between(from: Date, to: Date) -> i32 {
    // A difference in days alone always exists between two dates.
    from.until(to).map_or(0, |span| span.get_days())
}

/// The date so many years after another, kept inside the calendar.
pub fn years_after(from: Date, years: f64) -> Date {
    let days = (years * DAYS_A_YEAR).clamp(-200_000.0, 200_000.0).round() as i64;
    from.saturating_add(days.days())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_span_there_and_back_is_the_same() {
        let (from, to) = (date(2024, 4, 12), date(2026, 5, 18));
        assert_eq!(days_between(from, to), 766);
        assert_eq!(years_after(from, years_between(from, to)), to);
        assert_eq!(years_between(to, from), -years_between(from, to));
    }
}
