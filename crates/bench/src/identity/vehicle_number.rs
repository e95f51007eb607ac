//! The vehicle identification number: structure, check digit, model year.

use crate::prelude::*;

/// Letters and digits in the order of the model-year code, beginning with 1980; I, O, Q, U, Z and 0 are left out.
///
/// Source: 49 CFR 565.15 Table VII. Checked: `reference/vin.json`.
const YEARS: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";

/// Weights of positions 1 to 17. Source: 49 CFR 565.15(c). Checked: `reference/vin.json`.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// Value of a character for the check digit; `None` for one that a number cannot have.
///
/// Source: 49 CFR 565.15(c), Tables III to V. Checked: `reference/vin.json`.
fn value(character: char) -> Option<u32> {
    match character {
        '0'..='9' => character.to_digit(10),
        'A'..='H' => Some(character as u32 - 'A' as u32 + 1),
        'J'..='N' => Some(character as u32 - 'J' as u32 + 1),
        'P' => Some(7),
        'R' => Some(9),
        'S'..='Z' => Some(character as u32 - 'S' as u32 + 2),
        _ => None,
    }
}

/// Positions, from 1, whose character is none of the digits and capital letters other than I, O, Q.
///
/// Source: ISO 3779; 49 CFR 565.13(g). Checked: `reference/vin.json`.
pub fn invalid_positions(number: &str) -> Vec<usize> {
    number.chars().enumerate().filter(|(_, c)| value(*c).is_none()).map(|(at, _)| at + 1).collect()
}

/// Weighted sum and the check character that belongs to it: the sum's remainder by 11, X for ten. `None` unless
/// there are 17 valid characters.
///
/// Source: 49 CFR 565.15(c). Checked: `reference/vin.json`.
pub fn check_character(number: &str) -> Option<(u32, char)> {
    if number.chars().count() != 17 {
        return None;
    }
    let values: Option<Vec<u32>> = number.chars().map(value).collect();
    let sum: u32 = values?.iter().zip(WEIGHTS).map(|(value, weight)| value * weight).sum();
    let remainder = sum % 11;
    Some((sum, char::from_digit(remainder, 10).unwrap_or('X')))
}

/// The two years that a model-year letter can mean, thirty years apart; `None` for a character that is none.
///
/// Source: 49 CFR 565.15(d)(1) Table VII. Checked: `reference/vin.json`.
pub fn model_years(position_10: char) -> Option<[u16; 2]> {
    let at = u16::try_from(YEARS.find(position_10)?).ok()?;
    Some([1980 + at, 2010 + at])
}

/// The model year by the rule for light vehicles: the later cycle when position 7 is a letter.
///
/// Source: 49 CFR 565.15(d)(1), the rule for position 7 as restated on an explanatory page. Checked:
/// `reference/vin.json`.
pub fn model_year(position_10: char, position_7: char) -> Option<u16> {
    let [earlier, later] = model_years(position_10)?;
    Some(if position_7.is_ascii_digit() { earlier } else { later })
}

/// Part of the world of the first character. Source: ISO 3780, from memory, not re-read.
fn region(first: char) -> &'static str {
    match first {
        'A'..='C' => "Africa",
        'J'..='R' => "Asia",
        'S'..='Z' => "Europe",
        '1'..='5' => "North America",
        '6' => "Oceania",
        '8' | '9' => "South America",
        _ => "see the registry: assigned anew in part",
    }
}

pub(crate) fn formula() -> Formula {
    Formula::new("vehicle-number", Job::Identity, "Vehicle identification number", run!(compute))
        .says("This decides whether a number was copied right, and what it can and cannot tell.")
        .equation("Σ value × weight, modulo 11, against position 9")
        .takes([text("number", "Vehicle identification number", "11111111111111111")])
        .gives([
            result("length", "", "Characters", Unit::COUNT),
            results("invalid", "", "Positions with a character that cannot be", Unit::COUNT),
            words("world-maker", "Positions 1 to 3, who made it"),
            words("description", "Positions 4 to 9, what it is"),
            words("indicator", "Positions 10 to 17, which one it is"),
            words("region", "Part of the world"),
            result("weighted-sum", "", "Weighted sum", Unit::COUNT),
            words("check-character", "Check character it should have"),
            words("check", "Position 9"),
            results("model-years", "", "Years position 10 can mean", Unit::COUNT),
            result("model-year", "", "Model year by the North American rule", Unit::COUNT),
            wordlist("left-to-the-maker", "What the standard leaves to the maker"),
        ])
        .holds(
            "Seventeen characters since about 1980. The check digit and the model year bind in \
             North America (and some other markets); elsewhere position 9 and 10 are the maker's, \
             so a check digit that does not fit proves nothing there.",
        )
        .source("ISO 3779; 49 CFR 565.13, 565.15; regions ISO 3780, from memory")
        .diagram("vehicle-number")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let number: String = given.text("number").trim().to_uppercase();
    let characters: Vec<char> = number.chars().collect();
    if characters.len() > 40 {
        return Err(Problem::NotACode {
            found: number,
            right: "a vehicle identification number of 17 characters",
        }
        .into());
    }
    let part = |from: usize, to: usize| characters.iter().take(to).skip(from).collect::<String>();
    let count = |n: usize| D::from(n as f64);
    out.number("length", count(characters.len()));
    out.numbers("invalid", invalid_positions(&number).into_iter().map(count).collect());
    if characters.len() != 17 {
        out.remark(|| {
            format!(
                "{} characters instead of 17: copy it again, or it is older than the standard",
                characters.len()
            )
        });
        return Ok(());
    }
    out.text("world-maker", part(0, 3));
    out.text("description", part(3, 9));
    out.text("indicator", part(9, 17));
    out.text("region", characters.first().map_or("", |first| region(*first)));
    if characters.get(2) == Some(&'9') {
        out.remark(|| "a 9 at position 3: a maker of few vehicles; positions 12 to 14 name it too".into());
    }
    if let Some((sum, wanted)) = check_character(&number) {
        out.number("weighted-sum", count(sum as usize));
        out.text("check-character", wanted.to_string());
        let fits = characters.get(8) == Some(&wanted);
        out.text(
            "check",
            if fits { "fits" } else { "does not fit: copied wrong, or the maker's own use of position 9" },
        );
    }
    if let (Some(seventh), Some(tenth)) = (characters.get(6), characters.get(9)) {
        match model_years(*tenth) {
            Some(years) => {
                out.numbers("model-years", years.iter().map(|year| D::from(f64::from(*year))).collect())
            }
            None => out.remark(|| "position 10 is no model-year letter: the maker's own use".into()),
        }
        if let Some(year) = model_year(*tenth, *seventh) {
            out.number("model-year", D::from(f64::from(year)));
        }
    }
    let left = [
        "positions 4 to 8: model, body, engine, by the maker's own key",
        "position 11: the plant, by the maker's own key",
        "positions 12 to 17: the serial number",
        "outside North America also position 9 (check digit) and position 10 (year)",
    ];
    out.texts("left-to-the-maker", left.map(str::to_owned).to_vec());
    Ok(())
}
