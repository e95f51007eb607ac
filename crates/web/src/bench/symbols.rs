//! Symbols and equations as a handbook prints them: `d_m²` with its index below, `e^(−t/τ)` with its exponent above.

use maud::{Markup, html};

/// A symbol or an equation with its indices and exponents in their places.
pub fn symbols(text: &str) -> Markup {
    html! {
        @for part in parts(text) {
            @match part {
                Part::Line(text) => (text),
                Part::Index(text) => sub { (text) },
                Part::Exponent(text) => sup { (text) },
            }
        }
    }
}

#[derive(Debug, PartialEq)]
enum Part<'a> {
    Line(&'a str),
    Index(&'a str),
    Exponent(&'a str),
}

fn parts(mut rest: &str) -> Vec<Part<'_>> {
    let mut parts = vec![];
    while let Some(at) = rest.find(['_', '^']) {
        let (before, marked) = rest.split_at(at);
        let (mark, after) = marked.split_at(1); // both marks are one byte
        let (inside, behind) = raised(after);
        if inside.is_empty() {
            parts.push(Part::Line(&rest[..=at]));
            rest = after;
            continue;
        }
        if !before.is_empty() {
            parts.push(Part::Line(before));
        }
        parts.push(if mark == "_" { Part::Index(inside) } else { Part::Exponent(inside) });
        rest = behind;
    }
    if !rest.is_empty() {
        parts.push(Part::Line(rest));
    }
    parts
}

/// What belongs to a mark, and what follows it: what stands in brackets, or letters and figures.
fn raised(after: &str) -> (&str, &str) {
    if let Some((inside, behind)) = after.strip_prefix('(').and_then(|inside| inside.split_once(')')) {
        return (inside, behind);
    }
    let end = after.find(|c: char| !c.is_alphanumeric() || "²³⁴".contains(c)).unwrap_or(after.len());
    after.split_at(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indices_stand_below_and_exponents_above() {
        let printed = |text: &str| symbols(text).into_string();
        assert_eq!(printed("x_s = x_m d_m² / n"), "x<sub>s</sub> = x<sub>m</sub> d<sub>m</sub>² / n");
        assert_eq!(printed("1 − e^(−t/τ)"), "1 − e<sup>−t/τ</sup>");
        assert_eq!(printed("p₂ = p₁ ε^n;"), "p₂ = p₁ ε<sup>n</sup>;");
        assert_eq!(printed("a_ b^"), "a_ b^");
    }

    #[test]
    fn nothing_of_an_equation_is_lost() {
        for formula in ::bench::formulas() {
            let told: String = parts(formula.equation)
                .iter()
                .map(|part| match part {
                    Part::Line(text) | Part::Index(text) | Part::Exponent(text) => *text,
                })
                .collect();
            let marks = |c: char| !"_^()".contains(c);
            let plain = |text: &str| text.chars().filter(|c| marks(*c)).collect::<String>();
            assert_eq!(plain(&told), plain(formula.equation), "{}", formula.id);
        }
    }
}
