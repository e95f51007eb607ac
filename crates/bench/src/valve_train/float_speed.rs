//! The engine speed at which the spring no longer holds the valve on the cam.

use crate::maths::spline::Spline;
use crate::prelude::*;

/// A static float estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloatSpeed<D> {
    /// Spring load at the lift concerned (N).
    pub load: D,
    /// Crank speed (rad/s) at which load and inertia are equal.
    pub speed: D,
}

/// Speed at which spring load and inertia are equal: `F = m c (ω/2)²`, so `ω = 2 √(F / (m c))`.
///
/// `F` spring load (N), `m` mass at the valve (kg), `c` lift curvature downwards (m/rad² of cam angle); gives crank
/// speed `ω` (rad/s). Scalars. Holds for rigid parts of a four-stroke, whose cam turns at half speed; real float
/// comes earlier.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: Newton's second law. Checked: `reference/worked.json`.
pub fn float_speed<D: Dual>(load: D, mass: D, curvature: D) -> Result<D, BenchError> {
    let needed = above_zero("mass", mass)? * above_zero("lift curvature", curvature)?;
    Ok((above_zero("spring load", load)? / needed).sqrt() * 2.0)
}

/// Float by a measured lift table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableFloat<D> {
    pub speed: D,
    /// Cam angle at which the spring gives way first (rad).
    pub angle: D,
    /// Spring load there (N).
    pub load: D,
    /// Curvature of the valve lift there, downwards (m/rad²).
    pub curvature: D,
}

/// Float speed from a lift table: at each point of a natural cubic spline through it, the speed at which the spring
/// load equals the inertia; the lowest counts.
///
/// `angles` cam angles (rad, rising) and `lifts` at the cam (m), five points or more; `ratio` rocker ratio (valve
/// lift over cam lift); `k` rate (N/m), `F₀` seat load (N), `m` mass at the valve (kg). Holds for rigid parts and a
/// constant rocker ratio. Curvature magnifies reading errors: readings every degree or two, to 0.01 mm, are needed.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] when the angles do not rise or the curve nowhere turns down.
///
/// Source: Newton's second law; natural spline, standard numerical analysis. Checked: `reference/worked.json`.
pub fn float_speed_from_table<D: Dual>(
    angles: &[D],
    lifts: &[D],
    ratio: D,
    rate: D,
    seat_load: D,
    mass: D,
) -> Result<TableFloat<D>, BenchError> {
    let ratio = above_zero("rocker ratio", ratio)?;
    let at_valve: Vec<D> = lifts.iter().map(|lift| *lift * ratio).collect();
    let curve = Spline::through(angles, &at_valve).ok_or(Problem::Impossible {
        rule: "cam angles must rise from point to point, three points or more",
    })?;
    let mut first: Option<TableFloat<D>> = None;
    for (angle, lift) in angles.iter().zip(&at_valve) {
        let Some((_, bend)) = curve.at(*angle) else { continue };
        if bend.re() >= 0.0 || lift.re() <= 0.0 {
            continue;
        }
        let load = seat_load + rate * *lift;
        let speed = float_speed(load, mass, -bend)?;
        if first.is_none_or(|first| speed.re() < first.speed.re()) {
            first = Some(TableFloat { speed, angle: *angle, load, curvature: -bend });
        }
    }
    first.ok_or_else(|| {
        Problem::Impossible { rule: "the lift nowhere turns down, so nothing asks for the spring" }.into()
    })
}

const HOLDS: &str = "Holds for rigid parts of a four-stroke. Real float comes earlier: surge, flexing, \
     friction. The trade asks 15 to 25 % of force to spare at the limiter (common \
     practice).";

/// Degrees in a radian, squared: a curvature per degree squared times this is per radian squared.
const PER_DEGREE_SQUARED: f64 = (180.0 / std::f64::consts::PI) * (180.0 / std::f64::consts::PI);

pub(crate) fn from_curvature() -> Formula {
    Formula::new(
        "float-speed",
        Job::ValveTrain,
        "Float speed from the curvature at the nose",
        run!(compute_curvature),
    )
    .says("This decides whether the springs suit the limiter, or the limiter must come down.")
    .equation("F = F₀ + k s = m c (ω/2)²")
    .takes([
        number("rate", "k", "Spring rate", Unit::N_PER_MM, 32.0).within(1.0, 300.0),
        number("seat-load", "F₀", "Load on the seat", Unit::N, 230.0).within(1.0, 5000.0),
        number("lift", "s", "Lift at the valve", Unit::MM, 10.5).within(0.0, 25.0),
        number("mass", "m", "Mass moved, at the valve", Unit::G, 110.0).within(5.0, 2000.0),
        number("curvature", "c", "Lift curvature at the nose, per cam degree squared", Unit::MM, 0.0055)
            .within(1e-4, 0.1),
        number("speed", "ω", "Limiter speed", Unit::RPM, 8600.0).within(500.0, 20_000.0),
    ])
    .gives([
        result("open-load", "F", "Load at full lift", Unit::N).rises(&["rate", "seat-load", "lift"]),
        result("float-speed", "", "Speed at which load and inertia are equal", Unit::RPM)
            .rises(&["rate", "seat-load", "lift"])
            .falls(&["mass", "curvature"]),
        result("margin", "", "Force to spare at the limiter", Unit::PERCENT)
            .rises(&["rate", "seat-load", "lift"])
            .falls(&["mass", "curvature", "speed"]),
    ])
    .holds(HOLDS)
    .source("Newton's second law; margin: common practice")
    .diagram("cam-nose")
}

fn compute_curvature<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let load = given.number("seat-load") + given.number("rate") * given.number("lift");
    let (mass, curvature) = (given.number("mass"), given.number("curvature") * PER_DEGREE_SQUARED);
    let speed = float_speed(load, mass, curvature)?;
    let limiter = above_zero("limiter speed", given.number("speed"))?;
    out.step("deceleration at the limiter", curvature * (limiter * 0.5).powi(2), Unit::M_PER_S2);
    out.step("force needed at the limiter", mass * curvature * (limiter * 0.5).powi(2), Unit::N);
    out.number("open-load", load);
    out.number("float-speed", speed);
    out.number("margin", (speed / limiter).powi(2) - 1.0);
    Ok(())
}

pub(crate) fn from_table() -> Formula {
    Formula::new(
        "float-speed-from-lift-table",
        Job::ValveTrain,
        "Float speed from a measured lift table",
        run!(compute_table),
    )
    .says("This decides where on the cam the spring gives way first, and at what speed.")
    .equation("at each point: F₀ + k r y = m (−r y″) (ω/2)²; the lowest ω counts")
    .takes([
        numbers(
            "angles",
            "φ",
            "Cam angles",
            Unit::DEG,
            &[-60.0, -45.0, -30.0, -15.0, 0.0, 15.0, 30.0, 45.0, 60.0],
        )
        .within(-360.0, 720.0)
        .at_least(5),
        numbers("lifts", "y", "Lift at the cam", Unit::MM, &[0.0, 1.4, 4.4, 7.0, 8.0, 7.0, 4.4, 1.4, 0.0])
            .beside("angles")
            .within(0.0, 25.0)
            .at_least(5),
        number("ratio", "r", "Rocker ratio", Unit::ONE, 1.3).within(0.5, 2.5).or(1.0),
        number("rate", "k", "Spring rate", Unit::N_PER_MM, 32.0).within(1.0, 300.0),
        number("seat-load", "F₀", "Load on the seat", Unit::N, 230.0).within(1.0, 5000.0),
        number("mass", "m", "Mass moved, at the valve", Unit::G, 110.0).within(5.0, 2000.0),
        number("speed", "", "Limiter speed", Unit::RPM, 6000.0).within(500.0, 20_000.0).optional(),
    ])
    .gives([
        result("float-speed", "ω", "Speed at which load and inertia are equal", Unit::RPM)
            .rises(&["seat-load"])
            .falls(&["mass"]),
        result("angle", "φ", "Cam angle at which the spring gives way first", Unit::DEG),
        result("lift", "", "Lift at the valve there", Unit::MM),
        result("load", "", "Spring load there", Unit::N).rises(&["seat-load"]),
        result("deceleration", "", "Deceleration there, at the limiter", Unit::M_PER_S2).rises(&["speed"]),
        result("margin", "", "Force to spare there, at the limiter", Unit::PERCENT)
            .rises(&["seat-load"])
            .falls(&["mass", "speed"]),
    ])
    .holds(
        "Holds for rigid parts and a constant rocker ratio. Curvature magnifies reading errors: \
         read every degree or two to 0.01 mm, and look at the uncertainty before believing the \
         speed.",
    )
    .caution("Turn the engine by hand only, with the plugs out; fingers stay clear of the cam.")
    .source("Newton's second law; natural cubic spline")
    .diagram("cam-lift")
}

fn compute_table<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["angles", "lifts"])?;
    let (rate, seat_load) = (given.number("rate"), given.number("seat-load"));
    let float = float_speed_from_table(
        given.numbers("angles"),
        given.numbers("lifts"),
        given.number("ratio"),
        rate,
        seat_load,
        given.number("mass"),
    )?;
    out.step("lift curvature there, per cam degree squared", float.curvature / PER_DEGREE_SQUARED, Unit::UM);
    out.number("float-speed", float.speed);
    out.number("angle", float.angle);
    out.number("lift", (float.load - seat_load) / rate);
    out.number("load", float.load);
    if let Some(limiter) = given.maybe("speed") {
        out.number("deceleration", float.curvature * (limiter * 0.5).powi(2));
        out.number("margin", (float.speed / above_zero("limiter speed", limiter)?).powi(2) - 1.0);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A harmonic lift has the curvature `s/2 (π/half)²` at its nose, whatever the table's fineness.
    #[test]
    fn a_harmonic_table_floats_where_the_harmonic_formula_says() {
        let half: f64 = 1.1;
        let angles: Vec<f64> = (-50..=50).map(|i| half * f64::from(i) / 50.0).collect();
        let lifts: Vec<f64> =
            angles.iter().map(|a| 0.004 * (1.0 + (std::f64::consts::PI * a / half).cos())).collect();
        let (rate, seat, mass) = (0.001, 230.0, 0.11);
        let table = float_speed_from_table(&angles, &lifts, 1.0, rate, seat, mass).unwrap();
        let plain = float_speed(seat, mass, 0.004 * (std::f64::consts::PI / half).powi(2)).unwrap();
        assert!((table.speed / plain - 1.0).abs() < 2e-3, "{} {plain}", table.speed);
        assert!(table.angle.abs() < 1e-9);
    }
}
