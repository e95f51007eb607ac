//! A valve spring as installed: its loads, and how near its coils come to each other.

use crate::prelude::*;

/// A spring at its installed height and at full lift; lengths in m, forces in N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InstalledSpring<D> {
    pub seat_load: D,
    pub open_load: D,
    pub open_length: D,
    /// What is left between the coils at full lift; below zero the coils would bind.
    pub coil_bind_margin: D,
}

/// Loads and coil-bind margin of a spring with one straight rate: `F = k (L₀ − h)`, at full lift `F = k (L₀ − h +
/// s)`, margin `= h − s − L_c`.
///
/// `k` rate (N/m), `L₀` free length, `h` installed height, `s` lift at the valve, `L_c` solid length (m). Scalars.
/// Holds for a spring of constant rate; add the springs of a nest; for a progressive one use
/// [`loads_from_table`](crate::valve_train::load_table::loads_from_table).
///
/// # Errors
/// [`Problem::NotPositive`] for a rate or height not above zero, [`Problem::Negative`] for a lift below zero,
/// [`Problem::Impossible`] when the spring would be loose at its installed height.
///
/// Source: Hooke's law, definition of installed height. Checked: `reference/engine.json`.
pub fn installed_spring<D: Dual>(
    rate: D,
    free_length: D,
    installed_height: D,
    lift: D,
    solid_length: D,
) -> Result<InstalledSpring<D>, BenchError> {
    let k = above_zero("spring rate", rate)?;
    let h = above_zero("installed height", installed_height)?;
    let s = not_negative("lift", lift)?;
    let pressed = free_length - h;
    require(
        pressed.re() >= 0.0,
        "the free length must not be less than the installed height: the spring would be loose",
    )?;
    Ok(InstalledSpring {
        seat_load: k * pressed,
        open_load: k * (pressed + s),
        open_length: h - s,
        coil_bind_margin: h - s - solid_length,
    })
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "valve-spring-installed",
        Job::ValveTrain,
        "Valve spring: loads and coil-bind margin as installed",
        run!(compute),
    )
    .says("This decides whether the springs want shims, or would bind at full lift.")
    .equation("seat load = k (L₀ − h);  open load = k (L₀ − h + s);  margin = h − s − L_c")
    .takes([
        number("rate", "k", "Spring rate", Unit::N_PER_MM, 32.0).within(1.0, 300.0),
        number("free-length", "L₀", "Free length", Unit::MM, 47.5).within(10.0, 150.0),
        number("installed-height", "h", "Installed height", Unit::MM, 40.0).within(8.0, 120.0),
        number("lift", "s", "Lift at the valve", Unit::MM, 10.0).within(0.0, 25.0),
        number("solid-length", "L_c", "Length with the coils touching", Unit::MM, 26.5).within(4.0, 110.0),
    ])
    .gives([
        result("seat-load", "", "Load on the seat", Unit::N)
            .rises(&["rate", "free-length"])
            .falls(&["installed-height"]),
        result("open-load", "", "Load at full lift", Unit::N)
            .rises(&["rate", "free-length", "lift"])
            .falls(&["installed-height"]),
        result("open-length", "", "Length at full lift", Unit::MM)
            .rises(&["installed-height"])
            .falls(&["lift"]),
        result("coil-bind-margin", "", "Coil-bind margin at full lift", Unit::MM)
            .rises(&["installed-height"])
            .falls(&["lift", "solid-length"]),
    ])
    .holds(
        "Holds for one spring of constant rate; add the springs of a nest, and take a \
         progressive one from its load table. The trade keeps 0.8 to 1.5 mm of margin (common \
         practice); the spring's maker rules.",
    )
    .caution(
        "A compressed valve spring can throw its locks: wear glasses and use the proper \
         compressor.",
    )
    .source("Hooke's law and the definition of installed height; margin: common practice")
    .diagram("valve-spring")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (free_length, height) = (given.number("free-length"), given.number("installed-height"));
    let (lift, solid) = (given.number("lift"), given.number("solid-length"));
    let spring = installed_spring(given.number("rate"), free_length, height, lift, solid)?;
    out.step("pressed on the seat by", free_length - height, Unit::MM);
    out.step("pressed at full lift by", free_length - height + lift, Unit::MM);
    out.number("seat-load", spring.seat_load);
    out.number("open-load", spring.open_load);
    out.number("open-length", spring.open_length);
    out.number("coil-bind-margin", spring.coil_bind_margin);
    if spring.coil_bind_margin.re() <= 0.0 {
        out.remark(|| "the coils would touch before full lift".into());
    }
    Ok(())
}

/// Shim under a spring and what it does to the load: `t = h − h*`, `ΔF = k t`.
///
/// `h` measured and `h*` wanted installed height (m), `k` rate (N/m); gives shim (m, below zero: too short already)
/// and change of load (N). Scalars. Holds for a spring of constant rate.
///
/// # Errors
/// [`Problem::NotPositive`] for a rate not above zero.
///
/// Source: definition of installed height. Checked: `reference/worked.json`.
pub fn spring_shim<D: Dual>(measured: D, wanted: D, rate: D) -> Result<(D, D), BenchError> {
    let shim = measured - wanted;
    Ok((shim, above_zero("spring rate", rate)? * shim))
}

pub(crate) fn shim() -> Formula {
    Formula::new("valve-spring-shim", Job::ValveTrain, "Shim under a valve spring", run!(compute_shim))
        .says("This decides which shim goes under a spring that stands too tall.")
        .equation("t = h − h*;  ΔF = k t")
        .takes([
            number("measured", "h", "Measured installed height", Unit::MM, 36.5).within(8.0, 120.0),
            number("wanted", "h*", "Wanted installed height", Unit::MM, 36.0).within(8.0, 120.0),
            number("rate", "k", "Spring rate", Unit::N_PER_MM, 32.0).within(1.0, 300.0),
        ])
        .gives([
            result("shim", "t", "Shim to add", Unit::MM).rises(&["measured"]).falls(&["wanted"]),
            result("load", "ΔF", "Load the shim adds", Unit::N).rises(&["measured"]).falls(&["wanted"]),
        ])
        .holds(
            "Below zero the spring stands too short already. Check coil bind and the retainer's \
             clearance with the shim in.",
        )
        .caution(
            "A compressed valve spring can throw its locks: wear glasses and use the proper \
             compressor.",
        )
        .source("definition of installed height")
        .diagram("valve-spring")
}

fn compute_shim<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (shim, load) = spring_shim(given.number("measured"), given.number("wanted"), given.number("rate"))?;
    out.number("shim", shim);
    out.number("load", load);
    if shim.re() < 0.0 {
        out.remark(|| "the spring stands shorter than wanted already: no shim".into());
    }
    Ok(())
}
