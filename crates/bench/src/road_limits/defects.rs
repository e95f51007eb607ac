//! Tread depth and defect counts as road tests judge them.

use super::assessment::Assessment;
use crate::prelude::*;

/// Score of a year's tests: `(40 dangerous + 10 major + minor) / checks`.
///
/// Counts; gives a score. Scalars.
///
/// # Errors
/// [`Problem::NotPositive`] for the checks.
///
/// Source: weights COM(2012) 382 Annex I, adopted as Directive 2014/47/EU Annex I; shape of the formula from memory.
/// Checked: `reference/in_use_limits.json`.
pub fn defect_score<D: Dual>(dangerous: D, major: D, minor: D, checks: D) -> Result<D, BenchError> {
    Ok((dangerous * 40.0 + major * 10.0 + minor) / above_zero("checks", checks)?)
}

pub(crate) fn tread() -> Formula {
    Formula::new("tread-assessed", Job::RoadLimits, "Tread depth: how grave", run!(compute_tread))
        .says("This decides whether a tyre may stay on the road.")
        .equation("none at or above what is asked; major below; dangerous below four fifths of it")
        .takes([
            number("depth", "", "Tread depth, least main groove", Unit::MM, 2.0).within(0.0, 30.0),
            number("required", "", "Depth asked for", Unit::MM, 1.6).within(0.5, 10.0).or(1.6),
        ])
        .gives([
            result("above", "", "Depth above what is asked", Unit::MM).rises(&["depth"]).falls(&["required"]),
            words("assessment", "Gravity"),
        ])
        .holds(
            "1.6 mm in Europe for cars; wet grip falls well before that. The national rule in force \
             counts.",
        )
        .source(
            "Directive 2014/45/EU Annex I 5.2.3(e), from memory, not re-read; 1.6 mm: Directive \
             89/459/EEC, from memory",
        )
        .diagram("tread")
}

fn compute_tread<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (depth, required) = (given.number("depth"), given.number("required"));
    out.number("above", depth - required);
    out.text("assessment", Assessment::of_tread(depth.re(), required.re()).word());
    Ok(())
}

pub(crate) fn score() -> Formula {
    let count = |key, title, example| number(key, "", title, Unit::COUNT, example).within(0.0, 1e6);
    Formula::new("defect-score", Job::RoadLimits, "Score of a year's road tests", run!(compute_score))
        .says("This decides how a fleet's tests of a year compare.")
        .equation("(40 dangerous + 10 major + minor) / checks")
        .takes([
            count("dangerous", "Dangerous deficiencies", 1.0),
            count("major", "Major deficiencies", 2.0),
            count("minor", "Minor deficiencies", 3.0),
            number("checks", "", "Checks", Unit::COUNT, 4.0).within(1.0, 1e6),
        ])
        .gives([result("score", "", "Score", Unit::ONE)
            .rises(&["dangerous", "major", "minor"])
            .falls(&["checks"])])
        .holds(
            "Holds for one year; years are weighted 3, 2, 1 from the latest in the rule that it \
             comes from.",
        )
        .source("COM(2012) 382 Annex I, adopted as Directive 2014/47/EU Annex I; shape from memory")
        .diagram("defects")
}

fn compute_score<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (dangerous, major, minor) = (given.number("dangerous"), given.number("major"), given.number("minor"));
    out.number("score", defect_score(dangerous, major, minor, given.number("checks"))?);
    Ok(())
}
