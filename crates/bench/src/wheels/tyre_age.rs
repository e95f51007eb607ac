//! The date code on a sidewall.

use crate::prelude::*;
use jiff::civil::Date;

/// What a date code says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateCode {
    pub week: u8,
    /// Years it can mean: one for a four-digit code; the 1980s and 1990s for a three-digit one.
    pub years: Vec<i16>,
    /// The year of the 1970s that a three-digit code can mean as well.
    pub earlier: Option<i16>,
}

/// Reads a date code: four digits `WWYY` from 2000, three digits `WWY` before.
///
/// Holds for the last digits of the identification on the sidewall; week 01 is the first full week of the year.
///
/// # Errors
/// [`Problem::NotACode`] for anything else, or a week outside 1 to 53.
///
/// Source: 49 CFR 574.5 with the amendment of July 1999. Checked: `reference/tyres.json`.
pub fn date_code(code: &str) -> Result<DateCode, BenchError> {
    let refuse = || {
        let right = "a date code: week and year in four digits such as 2218, or three digits before 2000";
        BenchError::from(Problem::NotACode { found: code.to_owned(), right })
    };
    let digits = code.trim();
    if !(3..=4).contains(&digits.len()) || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Err(refuse());
    }
    let (week, year) = digits.split_at(2);
    let week: u8 = week.parse().map_err(|_| refuse())?;
    let year: i16 = year.parse().map_err(|_| refuse())?;
    if !(1..=53).contains(&week) {
        return Err(refuse());
    }
    if digits.len() == 4 {
        return Ok(DateCode { week, years: vec![2000 + year], earlier: None });
    }
    Ok(DateCode { week, years: vec![1980 + year, 1990 + year], earlier: Some(1970 + year) })
}

/// Days from the middle of a coded week to a date; below zero when the week comes after it.
///
/// Source: week 01 is the first full week, Sunday to Saturday, 49 CFR 574.5. Checked: `reference/worked.json`.
fn days_since(week: u8, year: i16, on: Date) -> Option<f64> {
    let first = Date::new(year, 1, 1).ok()?;
    let sunday = i32::from((7 - first.weekday().to_sunday_zero_offset()) % 7);
    let start = f64::from(first.until(on).ok()?.get_days());
    Some(start - f64::from(sunday) - 7.0 * (f64::from(week) - 1.0) - 3.5)
}

pub(crate) fn formula() -> Formula {
    Formula::new("tyre-age", Job::Wheels, "Tyre: date code to age", run!(compute))
        .says("This decides whether a tyre is too old, however deep its tread.")
        .equation("WWYY from 2000, WWY before;  age = date − middle of the week")
        .takes([
            text("code", "Date code", "2218"),
            text("on", "Date of the look, year-month-day", "2026-05-18"),
        ])
        .gives([
            result("week", "", "Week", Unit::COUNT),
            results("years", "", "Year, or the years it can mean", Unit::COUNT),
            result("earlier", "", "It can also mean", Unit::COUNT),
            result("age", "", "Age (the youngest it can be)", Unit::YEAR),
        ])
        .holds(
            "Holds for the last digits of the identification on the sidewall, perhaps on the inner \
             side only. Three digits: over-age in any case.",
        )
        .caution("An old tyre can fail without warning at speed whatever its tread.")
        .source("49 CFR 574.5 with the amendment of July 1999")
        .diagram("tyre-code")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let code = date_code(given.text("code"))?;
    let on: Date = given.text("on").trim().parse().map_err(|_| {
        BenchError::from(Problem::NotACode {
            found: given.text("on").to_owned(),
            right: "a date, such as 2026-05-18",
        })
    })?;
    // Of the years it can mean, those that lie before the look.
    let youngest = code
        .years
        .iter()
        .chain(&code.earlier)
        .filter_map(|year| days_since(code.week, *year, on))
        .filter(|days| *days > -3.5)
        .fold(f64::INFINITY, f64::min);
    require(youngest.is_finite(), "the tyre cannot have been made after the look")?;
    out.number("week", D::from(f64::from(code.week)));
    out.numbers("years", code.years.iter().map(|year| D::from(f64::from(*year))).collect());
    if let Some(earlier) = code.earlier {
        out.number("earlier", D::from(f64::from(earlier)));
        out.remark(|| "a three-digit code was made before 2000: over-age".into());
    }
    out.number("age", D::from(Unit::DAY.to_si(youngest.max(0.0))));
    Ok(())
}
