//! Money and hours as people type them.

use rust_decimal::Decimal;

/// More than any workshop asks for.
const MOST_MONEY: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);
/// More than a working life.
const MOST_HOURS: f64 = 100_000.0;

/// An amount of money that is not below zero: "1 250", "84.50", "84,50".
///
/// # Errors
/// What is wrong and what would be right, as a sentence. A mark before three figures may part thousands or cents, and is asked
/// back.
pub fn money(text: &str) -> Result<Decimal, String> {
    match plain(text).parse::<Decimal>() {
        Ok(money) if money.is_sign_negative() && !money.is_zero() => {
            Err("Money is a number from 0 up.".into())
        }
        Ok(money) if money.scale() > 2 => {
            Err("Write no mark between thousands, and cents with two figures: 1200 or 84.50.".into())
        }
        Ok(money) if money > MOST_MONEY => {
            Err("That is more than a workshop asks for: write it again.".into())
        }
        Ok(money) => Ok(money),
        Err(_) => Err("Write money as a number, such as 250 or 84.50.".into()),
    }
}

/// A number of hours that is not below zero: "6", "7,5".
///
/// # Errors
/// What is wrong and what would be right, as a sentence.
pub fn hours(text: &str) -> Result<f64, String> {
    match plain(text).parse::<f64>() {
        Ok(hours) if (0.0..=MOST_HOURS).contains(&hours) => Ok(hours),
        Ok(hours) if hours < 0.0 => Err("Hours are a number from 0 up.".into()),
        _ => Err("Write hours as a number, such as 6 or 7.5.".into()),
    }
}

/// With a decimal point, and nothing between thousands.
fn plain(text: &str) -> String {
    text.replace(',', ".").replace([' ', '\u{a0}', '\u{202f}'], "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_read_as_people_write_it_and_asked_back_where_it_may_be_two_amounts() {
        for (text, read) in [("250", "250"), ("84,50", "84.50"), ("1 250.5", "1250.5"), ("0", "0")] {
            assert_eq!(money(text), Ok(read.parse().unwrap()), "{text}");
        }
        for (text, says) in [
            ("1.200", "between thousands"),
            ("1,200", "between thousands"),
            ("-5", "from 0 up"),
            ("99999999999", "more than a workshop"),
            ("much", "such as 250"),
            ("", "such as 250"),
        ] {
            assert!(money(text).is_err_and(|said| said.contains(says)), "{text}");
        }
    }

    #[test]
    fn hours_are_a_finite_number_from_zero_up() {
        assert_eq!((hours("7,5"), hours("6")), (Ok(7.5), Ok(6.0)));
        for text in ["-1", "NaN", "inf", "1e9", "2:30", ""] {
            assert!(hours(text).is_err(), "{text}");
        }
    }
}
