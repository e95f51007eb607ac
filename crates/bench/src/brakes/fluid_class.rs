//! Which class of brake fluid measured values meet.

use crate::prelude::*;

/// Least and greatest values of a class: boiling points in °C, viscosities in mm²/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FluidClass {
    pub name: &'static str,
    pub dry_boiling_min: f64,
    pub wet_boiling_min: f64,
    pub viscosity_minus_40_max: f64,
    pub viscosity_100_min: f64,
}

const fn class(name: &'static str, dry: f64, wet: f64, viscosity: f64) -> FluidClass {
    FluidClass {
        name,
        dry_boiling_min: dry,
        wet_boiling_min: wet,
        viscosity_minus_40_max: viscosity,
        viscosity_100_min: 1.5,
    }
}

/// Grades of FMVSS 116. Source: 49 CFR 571.116 S5.1.1 to S5.1.3. Checked: `reference/brake_fluid.json`.
pub const FMVSS_116: [FluidClass; 4] = [
    class("DOT 3", 205.0, 140.0, 1500.0),
    class("DOT 4", 230.0, 155.0, 1800.0),
    class("DOT 5", 260.0, 180.0, 900.0),
    class("DOT 5.1", 260.0, 180.0, 900.0),
];

/// Classes of ISO 4925. Source: ISO 4925:2005 Table 1 and ISO 4925:2020 (class 7), from memory. Checked:
/// `reference/brake_fluid.json`.
pub const ISO_4925: [FluidClass; 5] = [
    class("3", 205.0, 140.0, 1500.0),
    class("4", 230.0, 155.0, 1500.0),
    class("5-1", 260.0, 180.0, 900.0),
    class("6", 250.0, 165.0, 750.0),
    class("7", 260.0, 180.0, 750.0),
];

/// The classes whose four limits are all met; boiling points in °C, viscosities in mm²/s.
pub fn classes_met(
    of: &[FluidClass],
    dry: f64,
    wet: f64,
    viscosity_minus_40: f64,
    viscosity_100: f64,
) -> Vec<&'static str> {
    // A value on the limit meets it, whatever unit it came in.
    let near = 1e-6;
    of.iter()
        .filter(|class| {
            dry >= class.dry_boiling_min - near
                && wet >= class.wet_boiling_min - near
                && viscosity_minus_40 <= class.viscosity_minus_40_max + near
                && viscosity_100 >= class.viscosity_100_min - near
        })
        .map(|class| class.name)
        .collect()
}

/// Allowed change of a boiling point in the stability test: 3 K, above 225 °C `3 + 0.05 (T − 225)` K.
///
/// `T` equilibrium reflux boiling point (K); gives K. Scalar.
///
/// Source: FMVSS 116 S5.1.5(a). Checked: `reference/brake_fluid.json`.
pub fn stability_allowance<D: Dual>(boiling: D) -> D {
    let above = boiling - (225.0 + 273.15);
    if above.re() > 0.0 { above * 0.05 + 3.0 } else { D::from(3.0) }
}

const NOTE: &str = "DOT 5 is silicone and is mixed with nothing else, though DOT 5.1 has the same limits.";

pub(crate) fn met() -> Formula {
    Formula::new(
        "brake-fluid-classes-met",
        Job::Brakes,
        "Brake fluid: classes that measured values meet",
        run!(compute_met),
    )
    .says("This decides whether a fluid of unknown name may stand for the one asked for.")
    .equation("dry ≥, wet ≥, viscosity at −40 °C ≤, at 100 °C ≥ the class's limits")
    .takes([
        number("dry", "", "Dry boiling point", Unit::CELSIUS, 265.0).within(50.0, 400.0),
        number("wet", "", "Wet boiling point", Unit::CELSIUS, 170.0).within(50.0, 400.0),
        number("viscosity-cold", "", "Viscosity at −40 °C", Unit::MM2_PER_S, 700.0).within(1.0, 1e6),
        number("viscosity-hot", "", "Viscosity at 100 °C", Unit::MM2_PER_S, 1.8).within(0.1, 1000.0),
    ])
    .gives([wordlist("fmvss-116", "Grades of FMVSS 116"), wordlist("iso-4925", "Classes of ISO 4925")])
    .holds(
        "Only the four limits named; base, seals and corrosion are not judged. DOT 5 is \
         silicone: mixed with nothing else, though DOT 5.1 has the same limits.",
    )
    .caution(crate::clutch::line::FLUID)
    .source("FMVSS 116, 49 CFR 571.116 S5.1.1 to S5.1.3; ISO 4925:2005 and 2020, from memory")
    .diagram("brake-fluid")
    .fitted()
}

fn compute_met<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let celsius = |key| Unit::CELSIUS.from_si(given.number(key).re());
    let viscosity = |key| Unit::MM2_PER_S.from_si(given.number(key).re());
    let (dry, wet) = (celsius("dry"), celsius("wet"));
    let (cold, hot) = (viscosity("viscosity-cold"), viscosity("viscosity-hot"));
    let names =
        |of: &[FluidClass]| classes_met(of, dry, wet, cold, hot).into_iter().map(str::to_owned).collect();
    out.texts("fmvss-116", names(&FMVSS_116));
    out.texts("iso-4925", names(&ISO_4925));
    out.remark(|| NOTE.into());
    Ok(())
}

const NAMES: [&str; 9] =
    ["DOT 3", "DOT 4", "DOT 5", "DOT 5.1", "ISO 3", "ISO 4", "ISO 5-1", "ISO 6", "ISO 7"];

pub(crate) fn limits() -> Formula {
    Formula::new(
        "brake-fluid-limits",
        Job::Brakes,
        "Brake fluid: what a class asks for",
        run!(compute_limits),
    )
    .says("This decides what to hold a fluid of a named class against.")
    .equation("table of the class")
    .takes([choice("class", "Class", &NAMES, "DOT 4")])
    .gives([
        result("dry", "", "Dry boiling point, at least", Unit::CELSIUS),
        result("wet", "", "Wet boiling point, at least", Unit::CELSIUS),
        result("viscosity-cold", "", "Viscosity at −40 °C, at most", Unit::MM2_PER_S),
        result("viscosity-hot", "", "Viscosity at 100 °C, at least", Unit::MM2_PER_S),
    ])
    .holds("The wet point is that of a humidified sample, usually quoted as 3.7 % water.")
    .caution(crate::clutch::line::FLUID)
    .source("FMVSS 116, 49 CFR 571.116 S5.1.1 to S5.1.3; ISO 4925:2005 and 2020, from memory")
    .diagram("brake-fluid")
    .fitted()
}

fn compute_limits<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let name = given.text("class");
    let iso = name.strip_prefix("ISO ");
    let table = FMVSS_116.iter().find(|class| class.name == name);
    let table = table.or_else(|| ISO_4925.iter().find(|class| Some(class.name) == iso));
    let Some(class) = table else {
        return Err(Problem::NotACode { found: name.to_owned(), right: "a class of brake fluid" }.into());
    };
    out.number("dry", D::from(Unit::CELSIUS.to_si(class.dry_boiling_min)));
    out.number("wet", D::from(Unit::CELSIUS.to_si(class.wet_boiling_min)));
    out.number("viscosity-cold", D::from(Unit::MM2_PER_S.to_si(class.viscosity_minus_40_max)));
    out.number("viscosity-hot", D::from(Unit::MM2_PER_S.to_si(class.viscosity_100_min)));
    Ok(())
}

pub(crate) fn stability() -> Formula {
    Formula::new(
        "brake-fluid-stability",
        Job::Brakes,
        "Brake fluid: allowed change of boiling point",
        run!(compute_stability),
    )
    .says("This decides whether a second boiling test agrees with the first.")
    .equation("3 K;  above 225 °C: 3 + 0.05 (T − 225) K")
    .takes([number("boiling", "T", "Boiling point", Unit::CELSIUS, 290.0).within(100.0, 400.0)])
    .gives([result("allowance", "", "Allowed change", Unit::K).rises(&["boiling"])])
    .holds("Holds for the stability test of the regulation; workshop testers scatter more.")
    .caution(crate::clutch::line::FLUID)
    .source("FMVSS 116, 49 CFR 571.116 S5.1.5(a)")
    .diagram("brake-fluid")
    .fitted()
}

fn compute_stability<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("allowance", stability_allowance(given.number("boiling")));
    Ok(())
}
