//! Numbers and days as people say them.

use jiff::civil::Date;
use quantity::{Quantity, Unit, rounding::to_decimals};
use rust_decimal::Decimal;

/// A probability in whole chances: "12 in 100", "3 in 1000", "less than 1 in 1000".
pub fn chance(p: f64) -> String {
    if p < 0.0005 {
        "less than 1 in 1000".into()
    } else if p < 0.0095 {
        format!("{} in 1000", (p * 1000.0).round())
    } else if p <= 0.995 {
        format!("{} in 100", (p * 100.0).round())
    } else {
        "more than 99 in 100".into()
    }
}

/// A day as read in a letter: "18 May 2026".
pub fn day(date: Date) -> String {
    format!("{} {} {}", date.day(), MONTHS[usize::from(date.month().unsigned_abs()) - 1], date.year())
}

/// A month as read in a letter: "May 2026".
pub fn month(date: Date) -> String {
    format!("{} {}", MONTHS[usize::from(date.month().unsigned_abs()) - 1], date.year())
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Whole km with thin gaps between thousands: "84 210 km".
pub fn km(km: f64) -> String {
    format!("{} km", grouped(km.round()))
}

/// km of a forecast, no finer than it can be known: "about 91 000 km".
pub fn about_km(km: f64) -> String {
    format!("about {} km", grouped((km / 500.0).round() * 500.0))
}

/// Whole money in the currency of the workshop, with its code: "1 284 EUR".
pub fn money(amount: Decimal, currency: &str) -> String {
    let whole = amount.round();
    format!("{} {currency}", grouped(whole.to_string().parse().unwrap_or(0.0)))
}

/// Hours to a tenth: "3.4 h".
pub fn hours(hours: f64) -> String {
    format!("{hours:.1} h")
}

/// A measured value with so many decimals and its unit: "23.62 mm", "−36 °C".
pub fn value(value: f64, decimals: i32, unit: Unit) -> String {
    let shown = Quantity::with_decimals(value, decimals, unit)
        .map_or_else(|_| to_decimals(value, decimals), |quantity| quantity.to_string());
    shown.strip_prefix('-').map(|size| format!("−{size}")).unwrap_or(shown)
}

/// Decimals with which a number of a data sheet is shown beside a value that has so many: never fewer than it needs, or the
/// limit would be another.
pub fn decimals_of(stated: f64, beside: i32) -> i32 {
    let whole = |decimals: i32| {
        let shifted = stated * 10_f64.powi(decimals);
        (shifted - shifted.round()).abs() <= 1e-6 * shifted.abs().max(1.0)
    };
    (beside.max(0)..MOST_DECIMALS).find(|decimals| whole(*decimals)).unwrap_or(MOST_DECIMALS)
}

/// Figures after the mark that a person writes on a data sheet.
const MOST_DECIMALS: i32 = 6;

/// A number of a data sheet beside a value with so many decimals: "1.6 mm" beside "2 mm".
pub fn stated(stated: f64, beside: i32, unit: Unit) -> String {
    value(stated, decimals_of(stated, beside), unit)
}

fn grouped(whole: f64) -> String {
    let figures = format!("{:.0}", whole.abs());
    let mut out = String::new();
    for (index, figure) in figures.chars().enumerate() {
        if index > 0 && (figures.len() - index) % 3 == 0 && figures.len() > 4 {
            out.push('\u{202f}');
        }
        out.push(figure);
    }
    if whole < 0.0 { format!("−{out}") } else { out }
}

/// The word for one and the word for many.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// With its first letter large.
pub fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// With its first letter small, to go on in a sentence.
pub fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// As a sentence of its own.
pub fn sentence(text: &str) -> String {
    let end = if text.is_empty() || text.ends_with(['.', '?']) { "" } else { "." };
    upper_first(text) + end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_of_the_sheet_keeps_its_figures() {
        for (stated, beside, decimals) in
            [(1.6, 0, 1), (2.0, 0, 0), (2.0, 1, 1), (7.8, 2, 2), (0.0127, 0, 4), (-28.5, -9, 1)]
        {
            assert_eq!(decimals_of(stated, beside), decimals, "{stated} beside {beside}");
        }
        assert_eq!(super::stated(1.6, 0, Unit::MM), "1.6 mm");
    }

    #[test]
    fn chances_are_told_in_whole_numbers() {
        for (p, says) in [
            (0.0, "less than 1 in 1000"),
            (0.003, "3 in 1000"),
            (0.0099, "1 in 100"),
            (0.12, "12 in 100"),
            (0.994, "99 in 100"),
            (0.9999, "more than 99 in 100"),
        ] {
            assert_eq!(chance(p), says);
        }
    }

    #[test]
    fn distances_have_gaps_from_five_figures_on() {
        assert_eq!(km(8421.4), "8421 km");
        assert_eq!(km(84_210.0), "84\u{202f}210 km");
        assert_eq!(about_km(91_130.0), "about 91\u{202f}000 km");
    }

    #[test]
    fn a_day_is_written_out() {
        assert_eq!(day(jiff::civil::date(2026, 5, 18)), "18 May 2026");
    }
}
