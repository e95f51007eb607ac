//! Heat of braking in the discs.

use crate::prelude::*;

/// Heat of one stop and the rise it makes: `E = ½ m (v₁² − v₂²) s`, `ΔT = E / (M c)`.
///
/// `m` car (kg), `v₁`, `v₂` speeds (m/s), `s` share to these discs, `M` their mass (kg), `c` specific heat
/// (J/(kg·K)); gives J and K. Scalars. Holds for a stop too short to cool in: the discs take all of it.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] for a speed that rises.
///
/// Source: conservation of energy. Checked: `reference/brake_disc.json`.
pub fn disc_heat_rise<D: Dual>(
    car: D,
    from: D,
    to: D,
    share: D,
    discs: D,
    specific_heat: D,
) -> Result<(D, D), BenchError> {
    require(from.re() >= to.re(), "the speed after braking cannot be the higher one")?;
    let energy = above_zero("mass of the car", car)? * (from.powi(2) - to.powi(2)) * share * 0.5;
    Ok((
        energy,
        energy / (above_zero("mass of the discs", discs)? * above_zero("specific heat", specific_heat)?),
    ))
}

/// Rise above the air just after each of very many equal stops: `ΔT / (1 − e^(−t/τ))`.
///
/// `ΔT` rise per stop (K), `t` time between stops, `τ` time constant of cooling (s); gives K. Scalars.
/// Holds for cooling in proportion to the rise.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: geometric series of equal decays. Checked: `reference/brake_disc.json`.
pub fn repeated_stops<D: Dual>(rise: D, interval: D, time_constant: D) -> Result<D, BenchError> {
    let turns = above_zero("time between stops", interval)? / above_zero("time constant", time_constant)?;
    Ok(-rise / (-turns).exp_m1())
}

const CAUTION: &str = "Discs and drums burn for an hour after hard use. Test only where it is safe and \
     lawful.";

pub(crate) fn rise() -> Formula {
    Formula::new(
        "disc-heat-rise",
        Job::Brakes,
        "Brake disc: rise of temperature in one stop",
        run!(compute_rise),
    )
    .says("This decides whether discs of that mass suit the speed and the load.")
    .equation("E = ½ m (v₁² − v₂²) s;  ΔT = E / (M c)")
    .takes([
        number("car", "m", "Mass of the car", Unit::KG, 1300.0).within(50.0, 20_000.0),
        number("from", "v₁", "Speed before", Unit::KM_PER_H, 130.0).within(0.0, 400.0),
        number("to", "v₂", "Speed after", Unit::KM_PER_H, 0.0).within(0.0, 400.0).or(0.0),
        number("share", "s", "Share to these discs", Unit::PERCENT, 70.0).within(1.0, 100.0).or(100.0),
        number("discs", "M", "Mass of these discs", Unit::KG, 14.0).within(0.5, 500.0),
        number("specific-heat", "c", "Specific heat", Unit::J_PER_KG_K, 460.0)
            .within(100.0, 2000.0)
            .or(460.0),
    ])
    .gives([
        result("energy", "E", "Heat into these discs", Unit::KJ)
            .rises(&["car", "from", "share"])
            .falls(&["to"]),
        result("rise", "ΔT", "Rise of temperature", Unit::K).rises(&["car", "from", "share"]).falls(&[
            "to",
            "discs",
            "specific-heat",
        ]),
    ])
    .holds(
        "Holds for one stop too short to cool in, heat spread through the disc; the face is \
         hotter. Grey iron 450 to 500 J/(kg·K).",
    )
    .caution(CAUTION)
    .source("conservation of energy; specific heat of grey iron: standard tables")
    .diagram("disc")
}

fn compute_rise<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (energy, rise) = disc_heat_rise(
        given.number("car"),
        given.number("from"),
        given.number("to"),
        given.number("share"),
        given.number("discs"),
        given.number("specific-heat"),
    )?;
    out.number("energy", energy);
    out.number("rise", rise);
    Ok(())
}

pub(crate) fn repeated() -> Formula {
    Formula::new(
        "repeated-stops",
        Job::Brakes,
        "Brake disc: rise after many equal stops",
        run!(compute_repeated),
    )
    .says("This decides whether the discs settle at a temperature that pads and fluid stand.")
    .equation("plateau = ΔT / (1 − e^(−t/τ))")
    .takes([
        number("rise", "ΔT", "Rise in one stop", Unit::K, 85.0).within(0.1, 1000.0),
        number("interval", "t", "Time from stop to stop", Unit::S, 40.0).within(1.0, 3600.0),
        number("time-constant", "τ", "Time constant of cooling", Unit::S, 300.0).within(10.0, 5000.0),
    ])
    .gives([result("plateau", "", "Rise above the air, just after a stop", Unit::K)
        .rises(&["rise", "time-constant"])
        .falls(&["interval"])])
    .holds(
        "Holds for cooling in proportion to the rise; red-hot discs radiate and cool faster \
         than that.",
    )
    .caution(CAUTION)
    .source("geometric series of equal decays")
    .diagram("disc")
}

fn compute_repeated<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (rise, interval, constant) =
        (given.number("rise"), given.number("interval"), given.number("time-constant"));
    out.step("left of a rise after one interval", (-interval / constant).exp(), Unit::PERCENT);
    out.number("plateau", repeated_stops(rise, interval, constant)?);
    Ok(())
}
