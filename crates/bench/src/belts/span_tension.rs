//! Tension of a belt from the note of a free span, and back.

use crate::prelude::*;

/// Tension of a belt span from the note it gives when plucked: `T = 4 m L² f²`.
///
/// `m` mass per length (kg/m), `L` free span (m), `f` lowest frequency (Hz); gives `T` (N). Scalars.
/// Holds for a slender span; a short or stiff one rings high, so `T` comes out high.
///
/// # Errors
/// [`Problem::NotPositive`] names the first argument that is not above zero.
///
/// Source: vibrating-string relation, elementary physics. Checked: `reference/belts.json`.
pub fn belt_span_tension<D: Dual>(mass_per_length: D, span: D, frequency: D) -> Result<D, BenchError> {
    let m = above_zero("mass per length", mass_per_length)?;
    let l = above_zero("free span", span)?;
    let f = above_zero("frequency", frequency)?;
    Ok(m * l.powi(2) * f.powi(2) * 4.0)
}

/// The note of a belt span at a wanted tension: `f = √(T/m) / (2 L)`.
///
/// `m` mass per length (kg/m), `L` free span (m), `T` tension (N); gives `f` (Hz). Scalars.
/// Holds for a slender span.
///
/// # Errors
/// [`Problem::NotPositive`] names the first argument that is not above zero.
///
/// Source: vibrating-string relation, elementary physics. Checked: `reference/belts.json`.
pub fn belt_span_frequency<D: Dual>(mass_per_length: D, span: D, tension: D) -> Result<D, BenchError> {
    let m = above_zero("mass per length", mass_per_length)?;
    let l = above_zero("free span", span)?;
    let t = above_zero("tension", tension)?;
    Ok((t / m).sqrt() / (l * 2.0))
}

const SOURCE: &str = "vibrating-string relation, elementary physics; printed in a belt maker's \
     frequency-gauge handbook";
const HOLDS: &str = "Holds for a slender span. A short or stiff span rings high, so the tension comes out \
     high. Use the belt's own mass per length: a worn belt is lighter.";
const CAUTION: &str = "Engine off and key out: pluck a belt only when nothing can start it. Follow the \
     maker's values.";

pub(crate) fn tension() -> Formula {
    Formula::new(
        "belt-span-tension",
        Job::Belts,
        "Tension of a belt span from its note",
        run!(compute_tension),
    )
    .says("This decides whether the belt is to be tensioned again, or the tensioner looked at.")
    .equation("T = 4 m L² f²")
    .takes([
        number("mass-per-length", "m", "Mass per length of the belt", Unit::KG_PER_M, 0.1).within(0.005, 2.0),
        number("span", "L", "Free span between the tangent points", Unit::MM, 172.0).within(40.0, 3000.0),
        number("frequency", "f", "Lowest note of the span", Unit::HZ, 150.0).within(5.0, 600.0),
    ])
    .gives([result("tension", "T", "Tension", Unit::N).rises(&["mass-per-length", "span", "frequency"])])
    .holds(HOLDS)
    .caution(CAUTION)
    .source(SOURCE)
    .diagram("belt-span")
}

fn compute_tension<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (m, l, f) = (given.number("mass-per-length"), given.number("span"), given.number("frequency"));
    let tension = belt_span_tension(m, l, f)?;
    out.step("speed of a wave along the belt: 2 L f =", l * f * 2.0, Unit::M_PER_S);
    out.number("tension", tension);
    Ok(())
}

pub(crate) fn frequency() -> Formula {
    Formula::new(
        "belt-span-frequency",
        Job::Belts,
        "Note of a belt span at a wanted tension",
        run!(compute_frequency),
    )
    .says("This decides which note to listen for when the belt is set.")
    .equation("f = √(T/m) / (2 L)")
    .takes([
        number("mass-per-length", "m", "Mass per length of the belt", Unit::KG_PER_M, 0.1).within(0.005, 2.0),
        number("span", "L", "Free span between the tangent points", Unit::MM, 172.0).within(40.0, 3000.0),
        number("tension", "T", "Wanted tension", Unit::N, 342.0).within(20.0, 5000.0),
    ])
    .gives([result("frequency", "f", "Lowest note of the span", Unit::HZ)
        .rises(&["tension"])
        .falls(&["mass-per-length", "span"])])
    .holds(HOLDS)
    .caution(CAUTION)
    .source(SOURCE)
    .diagram("belt-span")
}

fn compute_frequency<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (m, l, t) = (given.number("mass-per-length"), given.number("span"), given.number("tension"));
    out.step("speed of a wave along the belt: √(T/m) =", (t / m).sqrt(), Unit::M_PER_S);
    out.number("frequency", belt_span_frequency(m, l, t)?);
    Ok(())
}
