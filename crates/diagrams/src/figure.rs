//! Numbers as they stand in a drawing.

use quantity::Unit;

/// A value with its unit, to four significant figures; a length from 10 mm keeps its nanometres, if it has any.
pub fn figure(value: f64, unit: Unit) -> String {
    if unit == Unit::MM && (10.0..1e5).contains(&value.abs()) {
        return with_unit((value * 1e6).round() / 1e6, unit);
    }
    rounded(value, unit)
}

/// A value with its unit, to four significant figures.
pub fn rounded(value: f64, unit: Unit) -> String {
    with_unit(four_figures(value), unit)
}

fn with_unit(value: f64, unit: Unit) -> String {
    let number = number(value);
    if unit == Unit::ONE || unit == Unit::COUNT {
        number
    } else if unit == Unit::DEG {
        format!("{number}°")
    } else {
        format!("{number} {unit}")
    }
}

/// A number with a true minus, thousands marked from 10,000, a power of ten when it is very large or very small.
pub fn number(value: f64) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    // What is next to nothing is nothing.
    let size = if value.abs() < 1e-30 { 0.0 } else { without_noise(value.abs()) };
    let digits = if size >= 1e6 || (size > 0.0 && size < 1e-4) {
        scientific(size)
    } else if size >= 1e4 {
        let whole = size.round() as u64;
        format!("{},{:03}", whole / 1000, whole % 1000)
    } else {
        format!("{size}")
    };
    if value < 0.0 && size > 0.0 { format!("−{digits}") } else { digits }
}

/// Without the last bits that arithmetic leaves.
fn without_noise(size: f64) -> f64 {
    format!("{size:.11e}").parse().unwrap_or(size)
}

fn scientific(size: f64) -> String {
    let mut power = size.log10().floor() as i32;
    let mut mantissa = (size / 10f64.powi(power) * 1e3).round() / 1e3;
    if mantissa >= 10.0 {
        (mantissa, power) = (mantissa / 10.0, power + 1);
    }
    let raised: String = power.to_string().chars().map(superscript).collect();
    if mantissa == 1.0 { format!("10{raised}") } else { format!("{mantissa} · 10{raised}") }
}

fn superscript(c: char) -> char {
    match c {
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        _ => '⁻',
    }
}

fn four_figures(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let places = 3 - value.abs().log10().floor() as i32;
    if places.abs() > 300 {
        return value;
    }
    let scale = 10f64.powi(places.abs());
    if places >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_short_and_keeps_what_a_micrometer_reads() {
        let cases = [
            (56.045, Unit::MM, "56.045 mm"),
            (50.000_623, Unit::MM, "50.000623 mm"),
            (0.0055, Unit::MM, "0.0055 mm"),
            (-12.3456, Unit::N, "−12.35 N"),
            (0.8468, Unit::DEG, "0.8468°"),
            (79_300.0, Unit::MPA, "79,300 MPa"),
            (1_563_254.9, Unit::N, "1.563 · 10⁶ N"),
            (1e-7, Unit::ONE, "10⁻⁷"),
            (0.0, Unit::MM, "0 mm"),
            (-0.0, Unit::MM, "0 mm"),
            (0.1 + 0.2, Unit::N, "0.3 N"),
            (f64::NAN, Unit::ONE, "–"),
        ];
        for (value, unit, said) in cases {
            assert_eq!(figure(value, unit), said);
        }
    }
}
