//! Load index and speed symbol.

use crate::prelude::*;

/// Load of a single tyre by its load index, 60 to 120, in kg.
///
/// Source: ISO 4000-1 (71 to 110 read on a tyre-size page, the others from memory). Checked: `reference/tyres.json`.
const LOADS: [u16; 61] = [
    250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345, 355, 365, 375, 387, 400, 412, 425, 437, 450,
    462, 475, 487, 500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690, 710, 730, 750, 775, 800, 825,
    850, 875, 900, 925, 950, 975, 1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360,
    1400,
];

/// Speed of a speed symbol in km/h; H stands between U and V.
///
/// Source: ISO 4000-1 (Q, S, T, U, H, V, W, Y read on a page, the others from memory). Checked:
/// `reference/tyres.json`.
const SPEEDS: [(&str, u16); 15] = [
    ("J", 100),
    ("K", 110),
    ("L", 120),
    ("M", 130),
    ("N", 140),
    ("P", 150),
    ("Q", 160),
    ("R", 170),
    ("S", 180),
    ("T", 190),
    ("U", 200),
    ("H", 210),
    ("V", 240),
    ("W", 270),
    ("Y", 300),
];
const SYMBOLS: [&str; 15] = ["J", "K", "L", "M", "N", "P", "Q", "R", "S", "T", "U", "H", "V", "W", "Y"];

/// Greatest load of one tyre in kg; `None` outside the table.
pub fn load_of_index(index: u16) -> Option<u16> {
    LOADS.get(usize::from(index.checked_sub(60)?)).copied()
}

/// Greatest speed in km/h; `None` for an unknown symbol.
pub fn speed_of_symbol(symbol: &str) -> Option<u16> {
    SPEEDS.iter().find(|(known, _)| *known == symbol).map(|(_, speed)| *speed)
}

pub(crate) fn load() -> Formula {
    Formula::new("tyre-load-index", Job::Wheels, "Tyre: load index to load", run!(compute_load))
        .says("This decides whether a tyre carries its share of the car.")
        .equation("table")
        .takes([
            number("index", "", "Load index", Unit::COUNT, 87.0).within(60.0, 120.0),
            number("axle-load", "", "Greatest load on the axle", Unit::KG, 780.0)
                .within(100.0, 5000.0)
                .optional(),
        ])
        .gives([
            result("load", "", "Greatest load of one tyre", Unit::KG),
            result("spare", "", "To spare on the axle", Unit::KG).falls(&["axle-load"]),
        ])
        .holds(
            "Holds for single tyres of cars at their stated pressure, indices 60 to 120. The car's \
             papers say what is asked.",
        )
        .caution("Fit no lower index or speed symbol than the car's papers name.")
        .source("ISO 4000-1 (71 to 110 read on a tyre-size page, the others from memory)")
        .diagram("tyre-code")
        .fitted()
}

fn compute_load<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let index = given.number("index").re();
    let load = load_of_index(index.round() as u16).filter(|_| (index - index.round()).abs() < 1e-9);
    let Some(load) = load else {
        return Err(Problem::Impossible { rule: "a load index is a whole number from 60 to 120" }.into());
    };
    out.number("load", D::from(f64::from(load)));
    if let Some(axle) = given.maybe("axle-load") {
        out.number("spare", -axle + 2.0 * f64::from(load));
    }
    Ok(())
}

pub(crate) fn speed() -> Formula {
    Formula::new("tyre-speed-symbol", Job::Wheels, "Tyre: speed symbol to speed", run!(compute_speed))
        .says("This decides whether a tyre stands the car's top speed.")
        .equation("table")
        .takes([choice("symbol", "Speed symbol", &SYMBOLS, "V")])
        .gives([result("speed", "", "Greatest speed", Unit::KM_PER_H)])
        .holds("Holds for a sound tyre at its stated pressure and load.")
        .caution("Fit no lower index or speed symbol than the car's papers name.")
        .source("ISO 4000-1 (Q, S, T, U, H, V, W, Y read on a page, the others from memory)")
        .diagram("tyre-code")
        .fitted()
}

fn compute_speed<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let symbol = given.text("symbol");
    let refuse = || BenchError::from(Problem::NotACode { found: symbol.to_owned(), right: "a speed symbol" });
    let speed = speed_of_symbol(symbol).ok_or_else(refuse)?;
    out.number("speed", D::from(Unit::KM_PER_H.to_si(f64::from(speed))));
    Ok(())
}
