//! Oil clearance of a plain bearing.

use crate::prelude::*;

/// Clearance of a plain bearing: `c = B − d`, and relative to the journal.
///
/// `B` bore bolted to torque, `d` journal (m), both at one temperature; gives clearance (m) and clearance over
/// journal (1).
///
/// # Errors
/// [`Problem::NotPositive`] for the journal.
///
/// Source: definition. Checked: `reference/worked.json`.
pub fn bearing_clearance<D: Dual>(bore: D, journal: D) -> Result<(D, D), BenchError> {
    let clearance = bore - journal;
    Ok((clearance, clearance / above_zero("journal diameter", journal)?))
}

/// Clearance from housing, shells and journal, at a temperature: `c = (H − 2 t) (1 + α_h ΔT) − d (1 + α_j ΔT)`.
///
/// `H` housing bore without shells, `t` shell thickness at the crown, `d` journal (m), `ΔT` warming from measuring
/// (K), `α` expansions of housing and journal (1/K); gives m. Scalars. Holds for shells that follow their housing;
/// crush is in the housing's measure when it is bolted with the shells out.
///
/// # Errors
/// [`Problem::NotPositive`] for diameters and thickness.
///
/// Source: definition; linear expansion. Checked: `reference/worked.json`.
pub fn clearance_from_shells<D: Dual>(
    housing: D,
    shell: D,
    journal: D,
    warming: D,
    housing_expansion: D,
    journal_expansion: D,
) -> Result<D, BenchError> {
    let bore = above_zero("housing bore", housing)? - above_zero("shell thickness", shell)? * 2.0;
    let journal = above_zero("journal diameter", journal)?;
    Ok(bore * (housing_expansion * warming + 1.0) - journal * (journal_expansion * warming + 1.0))
}

const HOLDS: &str = "Holds for parts of one temperature, bore bolted to torque. About a thousandth of the \
     journal is usual (common practice); the maker's band rules.";

pub(crate) fn plain() -> Formula {
    Formula::new(
        "bearing-clearance",
        Job::BottomEnd,
        "Bearing clearance from bore and journal",
        run!(compute_plain),
    )
    .says("This decides the shell grade, or whether the crank is ground.")
    .equation("c = B − d")
    .takes([
        number("bore", "B", "Bearing bore, bolted to torque", Unit::MM, 56.045).within(5.0, 300.0),
        number("journal", "d", "Journal diameter", Unit::MM, 56.0).within(5.0, 300.0),
    ])
    .gives([
        result("clearance", "c", "Clearance", Unit::UM).rises(&["bore"]).falls(&["journal"]),
        result("relative", "c/d", "Clearance over journal", Unit::ONE).rises(&["bore"]).falls(&["journal"]),
    ])
    .holds(HOLDS)
    .source("definition; usual size: common practice")
    .diagram("bearing")
}

fn compute_plain<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (clearance, relative) = bearing_clearance(given.number("bore"), given.number("journal"))?;
    out.number("clearance", clearance);
    out.number("relative", relative);
    if clearance.re() <= 0.0 {
        out.remark(|| "no clearance: the shaft would seize".into());
    }
    Ok(())
}

pub(crate) fn shells() -> Formula {
    Formula::new(
        "bearing-clearance-from-shells",
        Job::BottomEnd,
        "Bearing clearance from housing, shells and journal",
        run!(compute_shells),
    )
    .says("This decides which shells to order before the crank is laid in.")
    .equation("c = (H − 2 t)(1 + α_h ΔT) − d (1 + α_j ΔT)")
    .takes([
        number("housing", "H", "Housing bore, bolted to torque, shells out", Unit::MM, 60.02)
            .within(5.0, 300.0),
        number("shell", "t", "Shell thickness at the crown", Unit::MM, 1.99).within(0.5, 20.0),
        number("journal", "d", "Journal diameter", Unit::MM, 56.0).within(5.0, 300.0),
        number("warming", "ΔT", "Warming since measuring", Unit::K, 0.0).within(-60.0, 200.0).or(0.0),
        number("housing-expansion", "α_h", "Expansion of the housing", Unit::UM_PER_M_K, 23.0)
            .within(5.0, 30.0)
            .or(23.0),
        number("journal-expansion", "α_j", "Expansion of the journal", Unit::UM_PER_M_K, 11.5)
            .within(5.0, 30.0)
            .or(11.5),
    ])
    .gives([result("clearance", "c", "Clearance", Unit::UM).rises(&["housing"]).falls(&["shell", "journal"])])
    .holds(HOLDS)
    .source("definition; linear expansion; expansions of aluminium and steel: standard tables")
    .diagram("bearing")
}

fn compute_shells<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let (housing, shell, journal) = (given.number("housing"), given.number("shell"), given.number("journal"));
    out.step("bore with the shells in, as measured", housing - shell * 2.0, Unit::MM);
    let (warming, of_housing) = (given.number("warming"), given.number("housing-expansion"));
    let clearance = clearance_from_shells(
        housing,
        shell,
        journal,
        warming,
        of_housing,
        given.number("journal-expansion"),
    )?;
    out.number("clearance", clearance);
    Ok(())
}
