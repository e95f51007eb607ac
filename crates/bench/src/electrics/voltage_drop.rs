//! Volts lost on the way.

use crate::prelude::*;

/// Resistivity of copper and aluminium at 20 °C (Ω·m) and its rise with temperature (1/K).
///
/// Source: IEC 60028 (copper 1/58 Ω·mm²/m, 0.00393 1/K), IEC 60889 (aluminium), from memory.
const COPPER: (f64, f64) = (1e-6 / 58.0, 0.003_93);
const ALUMINIUM: (f64, f64) = (2.8264e-8, 0.004_03);

/// Resistance and drop of a lead: `R = ρ l / A (1 + α (T − 20 °C))`, `U = R I`.
///
/// `ρ` resistivity at 20 °C (Ω·m), `α` its rise (1/K), `l` length there (m), `A` section (m²), `T` (K), `I` (A);
/// gives Ω and V.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: Ohm's law. Checked: `reference/electrical.json`.
pub fn lead_drop<D: Dual>(
    (resistivity, rise): (f64, f64),
    length: D,
    section: D,
    current: D,
    temperature: D,
) -> Result<(D, D), BenchError> {
    let at_20 = not_negative("length", length)? * resistivity / above_zero("section", section)?;
    let resistance = at_20 * ((temperature - 293.15) * rise + 1.0);
    Ok((resistance, resistance * current))
}

/// Allowance of one part between battery and starter of a 12 V system while cranking (V).
///
/// Source: US Army TM 5-3820-256-24-4, starting circuit test. Checked: `reference/electrical.json`.
pub fn cranking_allowance(part: &str) -> Option<f64> {
    PARTS.iter().find(|(name, _)| *name == part).map(|(_, volts)| *volts)
}

const PARTS: [(&str, f64); 6] = [
    ("cable under 3 ft", 0.1),
    ("cable 3 to 6 ft", 0.2),
    ("mechanical switch", 0.1),
    ("solenoid switch", 0.2),
    ("magnetic switch", 0.3),
    ("connection", 0.0),
];

const CAUTION: &str = "Measure with the circuit working, never across an open one with an ammeter. Mind fan \
     and belts while cranking.";

pub(crate) fn lead() -> Formula {
    Formula::new("lead-voltage-drop", Job::Electrics, "Voltage drop of a lead", run!(compute_lead))
        .says("This decides whether a lead is too thin, or a joint is bad.")
        .equation("R = ρ l / A (1 + α (T − 20 °C));  U = R I")
        .takes([
            number("length", "l", "Length, there (and back, if both leads count)", Unit::M, 2.0)
                .within(0.01, 50.0),
            number("section", "A", "Section", Unit::MM2, 25.0).within(0.1, 200.0),
            number("current", "I", "Current", Unit::A, 180.0).within(0.001, 2000.0),
            number("temperature", "T", "Temperature of the lead", Unit::CELSIUS, 20.0)
                .within(-50.0, 150.0)
                .or(20.0),
            choice("metal", "Metal", &["copper", "aluminium"], "copper").optional(),
            number("measured", "", "Drop measured", Unit::V, 0.4).within(0.0, 30.0).optional(),
        ])
        .gives([
            result("resistance", "R", "Resistance", Unit::MOHM)
                .rises(&["length", "temperature"])
                .falls(&["section"]),
            result("drop", "U", "Drop that the lead alone makes", Unit::V)
                .rises(&["length", "current", "temperature"])
                .falls(&["section"]),
            result("joints", "", "What joints and switches add", Unit::V).rises(&["measured"]),
        ])
        .holds("Holds for a sound lead (copper unless said); strands broken under the sleeve raise it.")
        .caution(CAUTION)
        .source("Ohm's law; resistivity IEC 60028, IEC 60889, from memory")
        .diagram("voltage-drop")
        .fitted()
}

fn compute_lead<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let metal = if given.text("metal") == "aluminium" { ALUMINIUM } else { COPPER };
    let (resistance, drop) = lead_drop(
        metal,
        given.number("length"),
        given.number("section"),
        given.number("current"),
        given.number("temperature"),
    )?;
    out.number("resistance", resistance);
    out.number("drop", drop);
    if let Some(measured) = given.maybe("measured") {
        out.number("joints", measured - drop);
    }
    Ok(())
}

pub(crate) fn cranking() -> Formula {
    Formula::new(
        "cranking-drop-budget",
        Job::Electrics,
        "Voltage drop allowed while cranking",
        run!(compute_cranking),
    )
    .says("This decides whether leads and switches between battery and starter eat too much.")
    .equation("sum of the parts' allowances")
    .takes([
        texts(
            "parts",
            "Parts between battery and starter",
            &["cable 3 to 6 ft", "solenoid switch", "cable under 3 ft"],
        ),
        number("measured", "", "Drop measured while cranking", Unit::V, 0.62).within(0.0, 15.0).optional(),
    ])
    .gives([
        result("budget", "", "Allowed", Unit::V),
        result("spare", "", "To spare (below zero: too much)", Unit::V).falls(&["measured"]),
    ])
    .holds(
        "Holds for 12 V systems, one side. Parts: cable under 3 ft, cable 3 to 6 ft, mechanical \
         switch, solenoid switch, magnetic switch, connection. The ground side as a whole is \
         allowed 0.2 V.",
    )
    .caution(CAUTION)
    .source("US Army TM 5-3820-256-24-4, starting circuit test")
    .diagram("voltage-drop")
    .fitted()
}

fn compute_cranking<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let mut budget = 0.0;
    let mut problems = vec![];
    for part in given.texts("parts") {
        match cranking_allowance(part.trim()) {
            Some(volts) => budget += volts,
            None => {
                let choices = PARTS.map(|(name, _)| name).join(", ");
                problems.push(Problem::NotAChoice {
                    input: "Parts between battery and starter",
                    found: part.clone(),
                    choices,
                });
            }
        }
    }
    BenchError::unless_empty(problems)?;
    out.number("budget", D::from(budget));
    if let Some(measured) = given.maybe("measured") {
        out.number("spare", -measured + budget);
    }
    Ok(())
}
