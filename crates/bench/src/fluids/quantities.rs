//! What was drained, what was filled, and where the rest is.

use crate::prelude::*;

/// Where the fluid is or went (m³).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reconciled<D> {
    /// Did not come out when it was drained.
    pub left_in: D,
    /// Gone since the last fill.
    pub lost: D,
    /// Above the mark now; below zero: short of it.
    pub over: D,
}

/// Quantities reconciled: left in `= C + Δ − F`, lost `= (C + Δ₀) − (D + left in)`, over `= Δ`.
///
/// `C` full content at the mark, `D` drained, `F` filled now, `Δ` level above the mark now and `Δ₀` after the last
/// fill, as volumes (m³). Scalars. Holds for one temperature: oil shrinks by 0.07 % a kelvin.
///
/// # Errors
/// [`Problem::NotPositive`] for the content.
///
/// Source: balance of volumes. Checked: `reference/worked.json`.
pub fn reconciled<D: Dual>(
    content: D,
    drained: D,
    filled: D,
    over_now: D,
    over_then: D,
) -> Result<Reconciled<D>, BenchError> {
    let content = above_zero("full content", content)?;
    let left_in = content + over_now - filled;
    Ok(Reconciled { left_in, lost: content + over_then - drained - left_in, over: over_now })
}

/// Volume to drain and replace with neat to raise a share from `c₁` to `c₂`: `V (c₂ − c₁)/(1 − c₁)`.
///
/// `V` content (m³), shares (1); gives m³. Scalars. Holds for a content that mixes before it is drained.
///
/// # Errors
/// [`Problem::NotPositive`]; [`Problem::Impossible`] unless `c₁ ≤ c₂ ≤ 1` and `c₁ < 1`.
///
/// Source: balance of volumes. Checked: `reference/worked.json`.
pub fn exchange<D: Dual>(content: D, from: D, to: D) -> Result<D, BenchError> {
    require(
        from.re() <= to.re() && to.re() <= 1.0 && from.re() < 1.0,
        "neat can only raise the share, to 100 % at most",
    )?;
    Ok(above_zero("content", content)? * (to - from) / (-from + 1.0))
}

pub(crate) fn account() -> Formula {
    let volume = |key, symbol, title, example| number(key, symbol, title, Unit::L, example).within(0.0, 60.0);
    let level = |key, symbol, title| number(key, symbol, title, Unit::L, 0.0).within(-30.0, 30.0).or(0.0);
    Formula::new("fluid-account", Job::Fluids, "Drained and filled, reconciled", run!(compute_account))
        .says("This decides whether fluid was lost, stayed in, or is too much.")
        .equation("left in = C + Δ − F;  lost = (C + Δ₀) − (D + left in);  over = Δ")
        .takes([
            number("content", "C", "Full content at the mark", Unit::L, 4.8).within(0.01, 60.0),
            volume("drained", "D", "Drained", 3.7),
            volume("filled", "F", "Filled now", 4.5),
            level("over-now", "Δ", "Level above the mark now (below zero: short)"),
            level("over-then", "Δ₀", "Level above the mark after the last fill"),
            number("distance", "", "Distance since the last fill", Unit::KM, 12_000.0)
                .within(1.0, 1e6)
                .optional(),
        ])
        .gives([
            result("left-in", "", "Stayed in when drained", Unit::L)
                .rises(&["content", "over-now"])
                .falls(&["filled"]),
            result("lost", "", "Lost since the last fill", Unit::L)
                .rises(&["filled", "over-then"])
                .falls(&["drained", "over-now"]),
            result("over", "Δ", "Above the mark now", Unit::L).rises(&["over-now"]),
            result("rate", "", "Lost over distance", Unit::ML_PER_1000_KM).falls(&["drained"]),
            wordlist("account", "In words"),
        ])
        .holds(
            "Holds for one temperature: oil shrinks by 0.07 % a kelvin. Weighing what is drained is \
             the surest way. Coolers and lines hold fluid back.",
        )
        .caution("Hot fluids burn; catch and dispose of them as the local rules say.")
        .source("balance of volumes")
        .diagram("fluid-account")
}

fn compute_account<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let account = reconciled(
        given.number("content"),
        given.number("drained"),
        given.number("filled"),
        given.number("over-now"),
        given.number("over-then"),
    )?;
    out.number("left-in", account.left_in);
    out.number("lost", account.lost);
    out.number("over", account.over);
    if let Some(distance) = given.maybe("distance") {
        out.number("rate", account.lost / distance);
    }
    let litres = |volume: D| format!("{:.2} L", volume.re().abs() * 1e3);
    let mut words = vec![];
    words.push(match account.left_in.re() {
        left if left >= 0.0 => format!("{} stayed in when it was drained", litres(account.left_in)),
        _ => format!(
            "{} more went in than the whole content: check content and level",
            litres(account.left_in)
        ),
    });
    words.push(match account.lost.re() {
        lost if lost >= 0.0 => format!("{} was lost since the last fill", litres(account.lost)),
        _ => format!(
            "{} more came out than was in: overfilled last time, or another fluid has joined it",
            litres(account.lost)
        ),
    });
    words.push(match account.over.re() {
        over if over > 0.0 => format!("{} above the mark: draw it off", litres(account.over)),
        over if over < 0.0 => format!("{} short of the mark", litres(account.over)),
        _ => "at the mark".into(),
    });
    out.texts("account", words);
    Ok(())
}

pub(crate) fn strengthen() -> Formula {
    Formula::new("coolant-exchange", Job::Fluids, "Coolant: replace a part with neat", run!(compute_exchange))
        .says("This decides how much to drain and replace with neat concentrate.")
        .equation("V (c₂ − c₁)/(1 − c₁)")
        .takes([
            number("content", "V", "Content", Unit::L, 6.2).within(0.1, 60.0),
            number("from", "c₁", "Share now", Unit::PERCENT, 35.0).within(0.0, 99.0),
            number("to", "c₂", "Share wanted", Unit::PERCENT, 50.0).within(0.0, 100.0),
        ])
        .gives([result("exchange", "", "Drain and replace", Unit::L)
            .rises(&["content", "to"])
            .falls(&["from"])])
        .holds(
            "Holds for a content that is mixed before it is drained, shares by volume. Keep to one \
             kind of coolant.",
        )
        .caution("Glycol poisons people and animals. Never open a hot cooling system.")
        .source("balance of volumes")
        .diagram("coolant")
}

fn compute_exchange<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    out.number("exchange", exchange(given.number("content"), given.number("from"), given.number("to"))?);
    Ok(())
}
