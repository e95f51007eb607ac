//! Toe, camber and caster between millimetres and degrees.

use crate::prelude::*;

/// Toe (or camber) angle from a difference across the wheel: `φ = asin(Δ/D)`.
///
/// `Δ` difference between rear and front (m, toe-in above zero), `D` diameter at which it was read (m); gives rad.
/// Scalars. Holds for one wheel with its own difference, or for both wheels with the total of both.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for a difference not below the diameter.
///
/// Source: geometry. Checked: `reference/alignment.json`.
pub fn toe_angle<D: Dual>(difference: D, diameter: D) -> Result<D, BenchError> {
    let share = difference / above_zero("diameter", diameter)?;
    require(share.re().abs() < 1.0, "the difference must be less than the diameter")?;
    Ok(share.asin())
}

/// Toe as a difference across the wheel: `Δ = D sin φ`.
///
/// `φ` toe (rad), `D` diameter to read it at (m); gives m. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: geometry. Checked: `reference/alignment.json`.
pub fn toe_difference<D: Dual>(toe: D, diameter: D) -> Result<D, BenchError> {
    Ok(above_zero("diameter", diameter)? * toe.sin())
}

/// Thrust angle and total toe of the rear axle: `(φ_l − φ_r)/2`, `φ_l + φ_r`.
///
/// Toe of each rear wheel (rad, toe-in above zero); gives rad; above zero the axle points to the right.
/// Scalars.
///
/// Source: definition. Checked: `reference/alignment.json`.
pub fn thrust_angle<D: Dual>(left: D, right: D) -> (D, D) {
    ((left - right) * 0.5, left + right)
}

/// Camber change of a shim: `γ = atan(t/h)`.
///
/// `t` shim, `h` lever between shim and pivot (m); gives rad. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: geometry. Checked: `reference/alignment.json`.
pub fn camber_of_shim<D: Dual>(shim: D, lever: D) -> Result<D, BenchError> {
    Ok((shim / above_zero("lever", lever)?).atan())
}

/// Caster from the change of camber while the wheel is turned in and out: `τ = (γ_in − γ_out) / (2 sin δ)`.
///
/// Cambers (rad) at the same angle `δ` (rad) inwards and outwards; gives rad. Scalars. Holds for small angles.
///
/// # Errors
/// [`Problem::NotPositive`] for a turn not above nought.
///
/// Source: small-angle geometry; trade formula, from memory. Checked: `reference/alignment.json`.
pub fn caster_from_swing<D: Dual>(camber_in: D, camber_out: D, turn: D) -> Result<D, BenchError> {
    Ok((camber_in - camber_out) / (above_zero("turn", turn.sin())? * 2.0))
}

/// Side slip of a rolling wheel: `sin φ`, metres sideways per metre.
///
/// Source: geometry; 49 CFR 570.7(d) converts toe to feet per mile in its own table. Checked:
/// `reference/alignment.json`.
pub fn side_slip<D: Dual>(toe: D) -> D {
    toe.sin()
}

const CAUTION: &str = "Support the car on stands or a lift made for it; steering fasteners to the maker's \
     data, checked by a second person.";
const HOLDS: &str = "Holds at stated ride height, load and tyre pressure, steering in the middle. Order of \
     setting: heights, tyres, caster, camber, toe; rear before front (common practice).";

pub(crate) fn to_degrees() -> Formula {
    Formula::new("toe-to-degrees", Job::Wheels, "Toe: from millimetres to degrees", run!(compute_degrees))
        .says("This decides whether a reading in millimetres fits a limit in degrees.")
        .equation("φ = asin(Δ/D)")
        .takes([
            number("difference", "Δ", "Difference across, toe-in above zero", Unit::MM, 2.0)
                .within(-80.0, 80.0),
            number("diameter", "D", "Diameter at which it was read", Unit::MM, 600.0).within(200.0, 1200.0),
        ])
        .gives([result("toe", "φ", "Toe", Unit::DEG).rises(&["difference"])])
        .holds(HOLDS)
        .caution(CAUTION)
        .source("geometry")
        .diagram("toe")
}

fn compute_degrees<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let toe = toe_angle(given.number("difference"), given.number("diameter"))?;
    out.number("toe", toe);
    Ok(())
}

pub(crate) fn to_length() -> Formula {
    Formula::new("toe-to-millimetres", Job::Wheels, "Toe: from degrees to millimetres", run!(compute_length))
        .says("This decides what to read at the rim for a toe stated in degrees.")
        .equation("Δ = D sin φ")
        .takes([
            number("toe", "φ", "Toe, in above zero", Unit::DEG, 0.2).within(-8.0, 8.0),
            number("diameter", "D", "Diameter to read at", Unit::MM, 381.0).within(200.0, 1200.0),
        ])
        .gives([result("difference", "Δ", "Difference across", Unit::MM).rises(&["toe"])])
        .holds(HOLDS)
        .caution(CAUTION)
        .source("geometry")
        .diagram("toe")
}

fn compute_length<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("difference", toe_difference(given.number("toe"), given.number("diameter"))?);
    Ok(())
}

pub(crate) fn thrust() -> Formula {
    Formula::new("thrust-angle", Job::Wheels, "Thrust angle of the rear axle", run!(compute_thrust))
        .says("This decides whether the rear axle steers the car, and which side to set.")
        .equation("thrust = (φ_l − φ_r)/2;  total = φ_l + φ_r")
        .takes([
            number("left", "φ_l", "Toe rear left, in above zero", Unit::DEG, 0.2).within(-8.0, 8.0),
            number("right", "φ_r", "Toe rear right, in above zero", Unit::DEG, 0.1).within(-8.0, 8.0),
        ])
        .gives([
            result("thrust", "", "Thrust angle", Unit::DEG).rises(&["left"]).falls(&["right"]),
            result("total", "", "Total toe", Unit::DEG).rises(&["left", "right"]),
        ])
        .holds(HOLDS)
        .caution(CAUTION)
        .source("definition")
        .diagram("thrust-angle")
}

fn compute_thrust<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (thrust, total) = thrust_angle(given.number("left"), given.number("right"));
    out.number("thrust", thrust);
    out.number("total", total);
    Ok(())
}

pub(crate) fn camber() -> Formula {
    Formula::new(
        "camber-to-degrees",
        Job::Wheels,
        "Camber: from millimetres at the rim to degrees",
        run!(compute_camber),
    )
    .says("This decides whether a reading with a square and a rule fits a limit in degrees.")
    .equation("γ = asin(Δ/D)")
    .takes([
        number("difference", "Δ", "Rim's lower edge further out than the upper", Unit::MM, -6.0)
            .within(-80.0, 80.0),
        number("diameter", "D", "Diameter at which it was read", Unit::MM, 406.0).within(200.0, 1200.0),
        number("floor", "", "Floor's fall to that side, outwards above zero", Unit::DEG, 0.0)
            .within(-5.0, 5.0)
            .or(0.0),
    ])
    .gives([result("camber", "γ", "Camber, top leaning out above zero", Unit::DEG)
        .falls(&["difference", "floor"])])
    .holds(
        "Holds for a true rim; turn the wheel half round, read again and take the mean. Level \
         floor, or its fall taken off.",
    )
    .caution(CAUTION)
    .source("geometry")
    .diagram("camber")
}

fn compute_camber<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let lean = toe_angle(given.number("difference"), given.number("diameter"))?;
    out.number("camber", -lean - given.number("floor"));
    Ok(())
}

pub(crate) fn shim() -> Formula {
    Formula::new("camber-shim", Job::Wheels, "Camber change of a shim", run!(compute_shim))
        .says("This decides which shim brings the camber back.")
        .equation("γ = atan(t/h)")
        .takes([
            number("shim", "t", "Shim", Unit::MM, 3.0).within(-30.0, 30.0),
            number("lever", "h", "Lever from shim to pivot", Unit::MM, 180.0).within(20.0, 1000.0),
        ])
        .gives([result("change", "γ", "Camber change", Unit::DEG).rises(&["shim"])])
        .holds(HOLDS)
        .caution(CAUTION)
        .source("geometry")
        .diagram("camber")
}

fn compute_shim<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("change", camber_of_shim(given.number("shim"), given.number("lever"))?);
    Ok(())
}

pub(crate) fn caster() -> Formula {
    Formula::new("caster-from-swing", Job::Wheels, "Caster from the swing of camber", run!(compute_caster))
        .says("This decides whether caster is even from side to side.")
        .equation("τ = (γ_in − γ_out) / (2 sin δ)")
        .takes([
            number("camber-in", "γ_in", "Camber, wheel turned in", Unit::DEG, 1.5).within(-20.0, 20.0),
            number("camber-out", "γ_out", "Camber, wheel turned out", Unit::DEG, -2.6).within(-20.0, 20.0),
            number("turn", "δ", "Turned each way by", Unit::DEG, 20.0).within(5.0, 45.0),
        ])
        .gives([result("caster", "τ", "Caster", Unit::DEG).rises(&["camber-in"]).falls(&["camber-out"])])
        .holds(
            "Holds for small angles, on turning plates, brakes held. Compare sides rather than \
             believe the last tenth.",
        )
        .caution(CAUTION)
        .source("small-angle geometry; trade formula, from memory")
        .diagram("caster")
}

fn compute_caster<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "caster",
        caster_from_swing(given.number("camber-in"), given.number("camber-out"), given.number("turn"))?,
    );
    Ok(())
}

pub(crate) fn slip() -> Formula {
    Formula::new("side-slip", Job::Wheels, "Side slip of a toed wheel", run!(compute_slip))
        .says("This decides how far a toed wheel is scrubbed sideways.")
        .equation("slip = sin φ")
        .takes([number("toe", "φ", "Toe of the wheel", Unit::DEG, 0.2).within(-8.0, 8.0)])
        .gives([
            result("slip", "", "Sideways for each length rolled", Unit::ONE).rises(&["toe"]),
            result("per-kilometre", "", "Sideways in a kilometre", Unit::M).rises(&["toe"]),
        ])
        .holds("Holds for a wheel that rolls straight on; on an axle both wheels share the scrub.")
        .caution(CAUTION)
        .source("geometry")
        .diagram("toe")
        .fitted()
}

fn compute_slip<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let slip = side_slip(given.number("toe"));
    out.number("slip", slip);
    out.number("per-kilometre", slip * 1000.0);
    Ok(())
}
