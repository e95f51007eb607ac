//! A tyre's size: from the sidewall to diameter and revolutions.

use super::tyre_ratings::{load_of_index, speed_of_symbol};
use crate::prelude::*;
use std::f64::consts::PI;

/// Design dimensions of a tyre, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TyreGeometry<D> {
    pub section_height: D,
    pub diameter: D,
    pub circumference: D,
}

/// Design dimensions: `h = W a`, `D = 2 h + R`, `U = π D`.
///
/// `W` section width, `R` rim diameter (m), `a` aspect ratio (1). Scalars. Holds for a new, unloaded tyre on its
/// measuring rim; the standards round `h` to a whole millimetre first.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: ISO 4000-1 design dimensions. Checked: `reference/tyres.json`.
pub fn tyre_geometry<D: Dual>(width: D, aspect: D, rim: D) -> Result<TyreGeometry<D>, BenchError> {
    let section_height = above_zero("section width", width)? * above_zero("aspect ratio", aspect)?;
    let diameter = section_height * 2.0 + above_zero("rim diameter", rim)?;
    Ok(TyreGeometry { section_height, diameter, circumference: diameter * PI })
}

/// A size as marked on a sidewall.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// mm
    pub width: f64,
    /// %
    pub aspect: f64,
    /// in
    pub rim: f64,
    pub load_index: Option<u16>,
    pub speed_symbol: Option<String>,
}

/// Reads a size: "205/50R16", "225/45 ZR 17 91W", "P205/55R16".
///
/// # Errors
/// [`Problem::NotACode`].
///
/// Source: ISO 4000-1 size designation. Checked: `reference/worked.json`.
pub fn read_size(code: &str) -> Result<Size, BenchError> {
    let refuse = || {
        let right = "a tyre size, such as 205/50R16 or 205/50 R16 87V";
        BenchError::from(Problem::NotACode { found: code.to_owned(), right })
    };
    let plain: String = code.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_ascii_uppercase();
    let plain = plain.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let (width, rest) = plain.split_once('/').ok_or_else(refuse)?;
    let (aspect, rest) = digits(rest);
    let kind: String = rest.chars().take_while(char::is_ascii_alphabetic).collect();
    if !["R", "ZR", "D", "B"].contains(&kind.as_str()) && !rest.starts_with('-') {
        return Err(refuse());
    }
    let rest = rest.get(kind.len().max(1)..).ok_or_else(refuse)?;
    // The rim is in whole or half inches; what follows is load and speed.
    let rim_ends =
        rest.char_indices().find(|(_, c)| !c.is_ascii_digit() && *c != '.').map_or(rest.len(), |(at, _)| at);
    let figures = rest.get(..rim_ends).ok_or_else(refuse)?;
    let after_rim = if figures.contains('.') { figures.find('.').map_or(2, |dot| dot + 2) } else { 2 };
    let (rim, service) = rest.split_at_checked(after_rim).ok_or_else(refuse)?;
    let (load, symbol) = digits(service);
    let number = |text: &str| text.parse::<f64>().map_err(|_| refuse());
    let size = Size {
        width: number(width)?,
        aspect: number(aspect)?,
        rim: number(rim)?,
        load_index: if load.is_empty() { None } else { Some(load.parse().map_err(|_| refuse())?) },
        speed_symbol: (!symbol.is_empty()).then(|| symbol.trim_matches(['(', ')']).to_owned()),
    };
    let sensible = (80.0..=400.0).contains(&size.width) && (15.0..=110.0).contains(&size.aspect);
    if sensible && (8.0..=30.0).contains(&size.rim) { Ok(size) } else { Err(refuse()) }
}

/// The digits a text begins with, and the rest.
fn digits(text: &str) -> (&str, &str) {
    text.split_at(text.bytes().take_while(u8::is_ascii_digit).count())
}

const HOLDS: &str = "Holds for a new, unloaded tyre; worn ones are up to 16 mm smaller. Standards round the \
     section height to a whole millimetre. Rolling, a tyre is about 3 % shorter than its \
     free circumference (common practice).";

pub(crate) fn geometry() -> Formula {
    Formula::new(
        "tyre-geometry",
        Job::Wheels,
        "Tyre: width, aspect and rim to diameter",
        run!(compute_geometry),
    )
    .says("This decides what another size does to height, gearing and speedometer.")
    .equation("h = W a;  D = 2 h + R;  U = π D")
    .takes([
        number("width", "W", "Section width", Unit::MM, 205.0).within(80.0, 400.0),
        number("aspect", "a", "Aspect ratio", Unit::PERCENT, 50.0).within(15.0, 110.0),
        number("rim", "R", "Rim diameter", Unit::INCH, 16.0).within(8.0, 30.0),
    ])
    .gives([
        result("section-height", "h", "Section height", Unit::MM).rises(&["width", "aspect"]),
        result("diameter", "D", "Overall diameter", Unit::MM).rises(&["width", "aspect", "rim"]),
        result("circumference", "U", "Free circumference", Unit::MM).rises(&["width", "aspect", "rim"]),
    ])
    .holds(HOLDS)
    .source("ISO 4000-1 design dimensions")
    .diagram("tyre-size")
}

fn compute_geometry<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let tyre = tyre_geometry(given.number("width"), given.number("aspect"), given.number("rim"))?;
    out.number("section-height", tyre.section_height);
    out.number("diameter", tyre.diameter);
    out.number("circumference", tyre.circumference);
    Ok(())
}

pub(crate) fn marked() -> Formula {
    Formula::new("tyre-size", Job::Wheels, "Tyre: what the size on the sidewall means", run!(compute_marked))
        .says("This decides whether the tyres on the car are alike and the ones it wants.")
        .equation("D = 2 W a + R;  revolutions = 1 km / (π D r)")
        .takes([
            text("size", "Size as marked", "205/50 R16 87V"),
            number("rolling", "r", "Rolling over free circumference", Unit::PERCENT, 97.0)
                .within(90.0, 100.0)
                .or(97.0),
        ])
        .gives([
            result("diameter", "D", "Overall diameter", Unit::MM),
            result("rolling-circumference", "", "Rolling circumference", Unit::MM).rises(&["rolling"]),
            result("revolutions", "", "Revolutions in a kilometre", Unit::COUNT).falls(&["rolling"]),
            result("load", "", "Greatest load of one tyre", Unit::KG),
            result("speed", "", "Greatest speed", Unit::KM_PER_H),
        ])
        .holds(HOLDS)
        .source("ISO 4000-1 size designation and design dimensions")
        .diagram("tyre-size")
        .fitted()
}

fn compute_marked<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let size = read_size(given.text("size"))?;
    let si = |value: f64, unit: Unit| D::from(unit.to_si(value));
    let (width, rim) = (si(size.width, Unit::MM), si(size.rim, Unit::INCH));
    let tyre = tyre_geometry(width, si(size.aspect, Unit::PERCENT), rim)?;
    let rolling = tyre.circumference * given.number("rolling");
    out.step("section height", tyre.section_height, Unit::MM);
    out.number("diameter", tyre.diameter);
    out.number("rolling-circumference", rolling);
    out.number("revolutions", rolling.recip() * 1000.0);
    if let Some(load) = size.load_index.and_then(load_of_index) {
        out.number("load", D::from(f64::from(load)));
    }
    if let Some(speed) = size.speed_symbol.as_deref().and_then(speed_of_symbol) {
        out.number("speed", si(f64::from(speed), Unit::KM_PER_H));
    }
    Ok(())
}

pub(crate) fn changed() -> Formula {
    Formula::new(
        "tyre-diameter-change",
        Job::Wheels,
        "Another tyre diameter: speedometer and height",
        run!(compute_changed),
    )
    .says("This decides whether tyres match across an axle, and how far the speedometer is off.")
    .equation("error = D′/D − 1;  height = (D′ − D)/2")
    .takes([
        number("reference", "D", "Diameter meant", Unit::MM, 634.5).within(300.0, 1500.0),
        number("fitted", "D′", "Diameter fitted", Unit::MM, 631.9).within(300.0, 1500.0),
    ])
    .gives([
        result("error", "", "True speed above the speedometer's by", Unit::PERCENT)
            .rises(&["fitted"])
            .falls(&["reference"]),
        result("height", "", "Car stands higher by", Unit::MM).rises(&["fitted"]).falls(&["reference"]),
    ])
    .holds(
        "Holds for like rolling. On one axle 2 to 3 % are the most, less with a locking \
         differential or all-wheel drive (common practice).",
    )
    .source("ratio of circumferences; limits: common practice")
    .diagram("tyre-size")
}

fn compute_changed<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (reference, fitted) =
        (above_zero("diameter meant", given.number("reference"))?, given.number("fitted"));
    out.number("error", fitted / reference - 1.0);
    out.number("height", (fitted - reference) * 0.5);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_as_they_are_written() {
        let plain = |code| read_size(code).map(|size| (size.width, size.aspect, size.rim)).ok();
        for code in ["205/50R16", "205/50 R16 87V", "P205/50ZR16 87W", "205/50-16", "205/50 r 16"] {
            assert_eq!(plain(code), Some((205.0, 50.0, 16.0)), "{code}");
        }
        assert_eq!(plain("225/45R17.5 91W"), Some((225.0, 45.0, 17.5)));
        assert_eq!(read_size("205/50 R16 87V").unwrap().load_index, Some(87));
        for code in [
            "",
            "/",
            "205/",
            "205/50",
            "205/50R",
            "205/50R1",
            "R16",
            "205-50-16",
            "205/50Q16",
            "2050/50R16",
            "205/50R99",
        ] {
            assert!(read_size(code).is_err(), "{code}");
        }
    }
}
