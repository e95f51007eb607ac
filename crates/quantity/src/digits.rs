//! The number at the front of what a person typed.

use crate::QuantityError;

/// A number as typed, with its marks put in order: digits, at most one decimal point, at most one power of ten.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number<'a> {
    /// `-1234.50e-3`: no thousands marks, a point as decimal mark, every digit that was typed.
    pub digits: String,
    pub value: f64,
    /// The figures exactly as typed.
    pub typed: &'a str,
    /// A decimal comma with three figures behind it and no leading zero: "84,210", which some write for 84210.
    pub looks_grouped: bool,
    /// What follows the number, trimmed.
    pub rest: &'a str,
}

/// Takes the number off the front of `text`.
pub(crate) fn number(text: &str) -> Result<Number<'_>, QuantityError> {
    let text = text.trim();
    let not_a_number = || match unsigned(text).to_lowercase() {
        word if ["inf", "nan", "∞"].iter().any(|start| word.starts_with(start)) => {
            QuantityError::NotFinite { found: text.to_owned() }
        }
        _ => QuantityError::NoNumber { found: text.to_owned() },
    };
    let body = unsigned(text);
    let (groups, marks, behind) = figures(body).ok_or_else(not_a_number)?;
    let sign = if text.starts_with(['-', '−']) { "-" } else { "" };
    let (power, rest) = power_of_ten(behind);
    let typed = text[..text.len() - behind.len()].trim_end();

    let gap_behind = |first: usize| marks[first..].iter().any(|mark| mark.is_whitespace());
    if marks.iter().position(|mark| is_decimal(*mark)).is_some_and(gap_behind) {
        return Err(QuantityError::SeveralNumbers { digits: typed.to_owned() });
    }
    let decimal_marks = marks.iter().filter(|mark| is_decimal(**mark)).count();
    if decimal_marks > 1 {
        return Err(many_marks(typed, sign, &groups, &marks));
    }
    let decimals = decimal_marks == 1;
    let well_placed = !decimals || marks.last().copied().is_some_and(is_decimal);
    let (whole, fraction) = match groups.split_last() {
        Some((fraction, whole)) if decimals => (whole, Some(*fraction)),
        _ => (&groups[..], None),
    };
    if !well_placed || !in_threes(whole) || !one_sort(&marks) {
        return Err(QuantityError::Grouping { digits: typed.to_owned() });
    }

    let mut digits = format!("{sign}{}", whole.concat());
    if whole.concat().is_empty() {
        digits.push('0');
    }
    if let Some(fraction) = fraction {
        digits.push('.');
        digits.push_str(fraction);
    }
    if let Some(power) = power {
        digits.push('e');
        digits.push_str(power);
    }
    let value: f64 = digits.parse().map_err(|_| not_a_number())?;
    let vanished = value == 0.0 && groups.iter().any(|group| group.contains(|c| c != '0'));
    if !value.is_finite() || vanished {
        return Err(QuantityError::NotFinite { found: text[..text.len() - rest.len()].trim().to_owned() });
    }
    let looks_grouped =
        marks[..] == [','] && fraction.is_some_and(|f| f.len() == 3) && !whole.concat().starts_with('0');
    Ok(Number { digits, value, typed, looks_grouped, rest: rest.trim() })
}

fn unsigned(text: &str) -> &str {
    text.strip_prefix(['+', '-', '−']).unwrap_or(text).trim_start()
}

/// Runs of figures, the marks between them, and what follows. A mark counts only with a figure behind it; a decimal mark
/// may also open the number (".5") or close it ("5.").
fn figures(text: &str) -> Option<(Vec<&str>, Vec<char>, &str)> {
    let (mut groups, mut marks, mut rest) = (Vec::new(), Vec::new(), text);
    loop {
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        groups.push(&rest[..end]);
        rest = &rest[end..];
        let Some(mark) = rest.chars().next().filter(|c| is_decimal(*c) || is_thousands(*c)) else { break };
        let behind = &rest[mark.len_utf8()..];
        // In "850 1/min" the one belongs to the unit.
        let of_the_unit = mark.is_whitespace() && behind.starts_with("1/");
        if of_the_unit || !behind.starts_with(|c: char| c.is_ascii_digit()) {
            let closes = is_decimal(mark) && (behind.is_empty() || behind.starts_with(char::is_whitespace));
            rest = if closes { behind } else { rest };
            break;
        }
        marks.push(mark);
        rest = behind;
    }
    let opened = !groups[0].is_empty() || marks.first().copied().is_some_and(is_decimal);
    (opened && groups.iter().any(|group| !group.is_empty())).then_some((groups, marks, rest))
}

fn is_decimal(mark: char) -> bool {
    matches!(mark, '.' | ',')
}

/// Space, no-break, thin and narrow no-break space, apostrophe.
fn is_thousands(mark: char) -> bool {
    matches!(mark, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\'' | '’')
}

/// One to three figures, then threes; a lone group may be of any length.
fn in_threes(groups: &[&str]) -> bool {
    match groups {
        [] | [_] => true,
        [first, others @ ..] => (1..=3).contains(&first.len()) && others.iter().all(|group| group.len() == 3),
    }
}

fn one_sort(marks: &[char]) -> bool {
    let mut thousands = marks.iter().filter(|mark| !is_decimal(**mark));
    let first = thousands.next();
    thousands.all(|mark| Some(mark) == first)
}

/// `e-3` with a figure behind the letter; anything else belongs to the unit.
fn power_of_ten(text: &str) -> (Option<&str>, &str) {
    let Some(power) = text.strip_prefix(['e', 'E']) else { return (None, text) };
    let figures = power.strip_prefix(['+', '-']).unwrap_or(power);
    let length = figures.find(|c: char| !c.is_ascii_digit()).unwrap_or(figures.len());
    if length == 0 {
        return (None, text);
    }
    let end = power.len() - figures.len() + length;
    (Some(power[..end].trim_start_matches('+')), &power[end..])
}

/// Two different marks: the last may be the decimal mark. The same mark twice can only part thousands.
fn many_marks(typed: &str, sign: &str, groups: &[&str], marks: &[char]) -> QuantityError {
    let digits = typed.to_owned();
    let last = marks.iter().rposition(|mark| is_decimal(*mark)).unwrap_or_default();
    let whole = groups[..=last].concat();
    let fraction = groups[last + 1..].concat();
    if marks.iter().filter(|mark| is_decimal(**mark)).all(|mark| *mark == marks[last]) {
        let meant = in_threes(groups).then(|| format!("{sign}{whole}{fraction}"));
        return QuantityError::ManyMarks { digits, meant };
    }
    let one = format!("{sign}{whole}.{fraction}");
    QuantityError::Ambiguous { digits, one, other: format!("{sign}{}.{fraction}", gapped(&whole)) }
}

/// Figures in threes from the right, parted by spaces.
pub(crate) fn gapped(whole: &str) -> String {
    let mut out = String::with_capacity(whole.len() * 4 / 3);
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        number(text).map_or_else(|error| error.to_string(), |n| format!("{}|{}", n.digits, n.rest))
    }

    #[test]
    fn figures_are_kept_and_marks_are_put_in_order() {
        for (text, expected) in [
            ("12,5 mm", "12.5|mm"),
            ("25.0mm", "25.0|mm"),
            (" -0,490in", "-0.490|in"),
            ("−4 °C", "-4|°C"),
            ("+3 K", "3|K"),
            ("84 210 km", "84210|km"),
            ("84\u{202f}210 km", "84210|km"),
            ("84\u{2009}210,5 km", "84210.5|km"),
            ("84'210 km", "84210|km"),
            ("1 234 567.8 g", "1234567.8|g"),
            ("1.5e-3 m", "1.5e-3|m"),
            ("2E+3m", "2e3|m"),
            ("3 e", "3|e"),
            (".5 mm", "0.5|mm"),
            ("5. mm", "5|mm"),
            ("12° 30′", "12|° 30′"),
            ("30' ", "30|'"),
            ("6/32 in", "6|/32 in"),
            ("850 1/min", "850|1/min"),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }

    #[test]
    fn what_is_not_one_number_is_refused_with_what_to_write() {
        for (text, expected) in [
            ("1,234.5 mm", "`1,234.5` can be read in two ways; write 1234.5 or 1 234.5"),
            ("1.234.567 g", "`1.234.567` has more than one decimal mark; write 1234567"),
            (
                "12 30 mm",
                "`12 30` is not grouped in threes; write the figures without gaps, or 84 210 for 84210",
            ),
            (
                "1'2345 km",
                "`1'2345` is not grouped in threes; write the figures without gaps, or 84 210 for 84210",
            ),
            ("0.5 123 m", "`0.5 123` is more than one number; write one at a time"),
            ("12.0 12.1 bar", "`12.0 12.1` is more than one number; write one at a time"),
            (
                "12.3.24 km",
                "`12.3.24` has more than one decimal mark; write one only, and no mark between thousands",
            ),
            ("nan mm", "`nan mm` is not a finite number; write plain figures, such as 23.0"),
            ("-inf", "`-inf` is not a finite number; write plain figures, such as 23.0"),
            ("1e999 mm", "`1e999` is not a finite number; write plain figures, such as 23.0"),
            ("1e-999 mm", "`1e-999` is not a finite number; write plain figures, such as 23.0"),
            ("mm", "`mm` does not begin with a number; write a number and its unit, such as \"23.0 mm\""),
            ("- mm", "`- mm` does not begin with a number; write a number and its unit, such as \"23.0 mm\""),
            (
                "'5 mm",
                "`'5 mm` does not begin with a number; write a number and its unit, such as \"23.0 mm\"",
            ),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }
}
