//! Play in steering and its linkage, and toe.

use crate::maths::table;
use crate::prelude::*;

const INCH: f64 = 0.0254;

/// Play allowed at the rim of the steering wheel: 2 in up to 16 in diameter, 2¼ at 18, 2½ at 20, 2¾ at 22; straight
/// lines between.
///
/// `diameter` of the steering wheel (m), up to 22 in; gives m. Scalar.
///
/// # Errors
/// [`Problem::Impossible`] above 22 in.
///
/// Source: 49 CFR 570.7(a) Table 1. Checked: `reference/in_use_limits.json`.
pub fn steering_play_limit<D: Dual>(diameter: D) -> Result<D, BenchError> {
    let inches = above_zero("steering wheel diameter", diameter)? / INCH;
    let points = [(0.0, 2.0), (16.0, 2.0), (18.0, 2.25), (20.0, 2.5), (22.0, 2.75)];
    let limit = table::fixed(&points, inches);
    Ok(limit.ok_or(Problem::Impossible { rule: "the table ends at a steering wheel of 22 in" })? * INCH)
}

/// Play allowed in the linkage at the tread of a heavy vehicle: ¼ in up to 16 in rims, ⅜ to 18, ½ above; of a light
/// one ¼ in always.
///
/// `rim` diameter (m); gives m.
///
/// Source: 49 CFR 570.60(b) Table 3; light vehicles 570.7(b). Checked: `reference/in_use_limits.json`.
pub fn linkage_play_limit(rim: f64, heavy: bool) -> f64 {
    let near = 1e-9;
    let inches = match rim / INCH {
        _ if !heavy => 0.25,
        rim if rim <= 16.0 + near => 0.25,
        rim if rim <= 18.0 + near => 0.375,
        _ => 0.5,
    };
    inches * INCH
}

const CAUTION: &str = "Two people: one turns, one watches; wheels on the ground or the axle on stands. The \
     national rule counts.";

pub(crate) fn wheel_play() -> Formula {
    Formula::new("steering-play-limit", Job::RoadLimits, "Steering wheel play allowed", run!(compute_wheel))
        .says("This decides whether play at the steering wheel is too much for the road.")
        .equation("2 in to 16 in; 2¼ at 18; 2½ at 20; 2¾ at 22; straight lines between")
        .takes([number("diameter", "", "Steering wheel diameter", Unit::INCH, 15.0).within(8.0, 22.0)])
        .gives([result("limit", "", "Play allowed at the rim", Unit::INCH).rises(&["diameter"])])
        .holds(
            "Holds with the engine running where steering is assisted. A maker's smaller limit \
             counts before it.",
        )
        .caution(CAUTION)
        .source("49 CFR 570.7(a) Table 1")
        .diagram("steering-play")
        .fitted()
}

fn compute_wheel<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("limit", steering_play_limit(given.number("diameter"))?);
    Ok(())
}

pub(crate) fn linkage() -> Formula {
    Formula::new(
        "linkage-play-limit",
        Job::RoadLimits,
        "Steering linkage play allowed",
        run!(compute_linkage),
    )
    .says("This decides whether a joint's play at the tread is too much for the road.")
    .equation("light: ¼ in;  heavy: ¼ in to 16 in rims, ⅜ to 18, ½ above")
    .takes([
        number("rim", "", "Rim diameter", Unit::INCH, 16.0).within(8.0, 30.0),
        choice("vehicle", "Vehicle", &["light", "heavy"], "light"),
    ])
    .gives([result("limit", "", "Play allowed at the tread", Unit::INCH)])
    .holds("Heavy is above 10 000 lb gross. A maker's smaller limit counts before it.")
    .caution(CAUTION)
    .source("49 CFR 570.7(b), 570.60(b) Table 3")
    .diagram("steering-play")
    .fitted()
}

fn compute_linkage<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number(
        "limit",
        D::from(linkage_play_limit(given.number("rim").re(), given.text("vehicle") == "heavy")),
    );
    Ok(())
}

pub(crate) fn toe() -> Formula {
    Formula::new("toe-service-limit", Job::RoadLimits, "Toe allowed in use", run!(compute_toe))
        .says("This decides whether toe has left what a road test lets pass.")
        .equation("1.5 times the maker's value")
        .takes([number("maker", "", "Maker's toe", Unit::MM, 2.0).within(-20.0, 20.0)])
        .gives([result("limit", "", "Toe allowed in use", Unit::MM).rises(&["maker"])])
        .holds("Holds for the value without its tolerance; the maker's band is set after any work.")
        .source("49 CFR 570.7(d), 570.60(d)")
        .diagram("toe")
}

fn compute_toe<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("limit", given.number("maker") * 1.5);
    Ok(())
}
