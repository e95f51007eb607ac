//! How far a bolt stretches, and what it has kept.

use crate::prelude::*;

/// Elastic stretch of a bolt: `δ = F / k`.
///
/// `F` preload (N), `k` stiffness (N/m); gives m. Scalars. Holds below yield.
///
/// # Errors
/// [`Problem::NotPositive`].
///
/// Source: Hooke's law. Checked: `reference/worked.json`.
pub fn elastic_stretch<D: Dual>(preload: D, stiffness: D) -> Result<D, BenchError> {
    Ok(preload / above_zero("bolt stiffness", stiffness)?)
}

pub(crate) fn formula() -> Formula {
    Formula::new(
        "head-bolt-stretch",
        Job::Threads,
        "Head bolt: stretch under load, and growth it has kept",
        run!(compute),
    )
    .says("This decides whether head bolts may be used again.")
    .equation("δ = F / k;  growth = l − l₀")
    .takes([
        number("preload", "F", "Preload", Unit::KN, 50.0).within(0.1, 1000.0),
        number("stiffness", "k", "Bolt stiffness", Unit::N_PER_MM, 250_000.0).within(1000.0, 1e8),
        number("new-length", "l₀", "Free length when new", Unit::MM, 110.0).within(10.0, 600.0),
        number("length", "l", "Free length now", Unit::MM, 110.4).within(10.0, 600.0),
        number("allowed", "", "Growth allowed", Unit::MM, 0.5).within(0.0, 20.0),
    ])
    .gives([
        result("stretch", "δ", "Elastic stretch under load", Unit::MM)
            .rises(&["preload"])
            .falls(&["stiffness"]),
        result("growth", "", "Growth kept", Unit::MM).rises(&["length"]).falls(&["new-length"]),
        result("left", "", "Growth still allowed", Unit::MM)
            .rises(&["new-length", "allowed"])
            .falls(&["length"]),
    ])
    .holds(
        "Holds below yield for the stretch; growth is measured out of the block. The maker's \
         length counts, or the bolts are renewed.",
    )
    .caution("Slacken and tighten head bolts cold, in the maker's order and stages.")
    .source("Hooke's law; definition")
    .diagram("bolt")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let growth = given.number("length") - given.number("new-length");
    let left = given.number("allowed") - growth;
    out.number("stretch", elastic_stretch(given.number("preload"), given.number("stiffness"))?);
    out.number("growth", growth);
    out.number("left", left);
    if left.re() < 0.0 {
        out.remark(|| "longer than allowed: renew it".into());
    }
    Ok(())
}
