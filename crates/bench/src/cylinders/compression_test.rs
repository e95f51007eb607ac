//! A compression test over all cylinders: how even, who is low, and what that points to.

use crate::prelude::*;
use crate::{larger, smaller};

/// Spread of one test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness<D> {
    pub highest: D,
    pub lowest: D,
    pub average: D,
    /// Place of the lowest, from 0.
    pub lowest_at: usize,
}

/// Highest, lowest and average of a test.
///
/// `readings` gauge pressures (Pa), one or more. Holds for one gauge, one battery, throttle open, one temperature.
///
/// # Errors
/// [`Problem::NotPositive`] when nothing reads above zero; [`Problem::Impossible`] for an empty list.
///
/// Source: definition. Checked: `reference/cylinder_condition.json`.
pub fn evenness<D: Dual>(readings: &[D]) -> Result<Evenness<D>, BenchError> {
    let none = || BenchError::from(Problem::Impossible { rule: "a compression test needs readings" });
    let highest = readings.iter().copied().reduce(larger).ok_or_else(none)?;
    let lowest = readings.iter().copied().reduce(smaller).ok_or_else(none)?;
    above_zero("highest reading", highest)?;
    let lowest_at = readings.iter().position(|reading| reading.re() == lowest.re()).unwrap_or(0);
    let sum = readings.iter().fold(D::from(0.0), |sum, reading| sum + *reading);
    Ok(Evenness { highest, lowest, average: sum / readings.len() as f64, lowest_at })
}

/// How the low cylinders lie.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pattern {
    Even,
    /// One low, by its place from 0.
    One(usize),
    /// Two low that stand beside each other.
    Neighbours(usize, usize),
    /// Several low, not just two neighbours.
    Several(Vec<usize>),
    /// All low against what a sound engine shows.
    All,
}

/// The pattern of readings below a share of the highest, or all below that share of the normal reading where it is
/// known.
///
/// `readings` in the order of the block (Pa), `share` (1), `normal` reading of a sound engine (Pa).
///
/// Source: common practice, no source. Checked: `reference/worked.json`.
pub fn pattern(readings: &[f64], share: f64, normal: Option<f64>) -> Pattern {
    let highest = readings.iter().copied().fold(0.0, f64::max);
    if normal.is_some_and(|normal| highest < share * normal) {
        return Pattern::All;
    }
    let low: Vec<usize> = (0..readings.len()).filter(|at| readings[*at] < share * highest).collect();
    match low[..] {
        [] => Pattern::Even,
        [one] => Pattern::One(one),
        [a, b] if b == a + 1 => Pattern::Neighbours(a, b),
        _ => Pattern::Several(low),
    }
}

pub(crate) fn formula() -> Formula {
    Formula::new("compression-test", Job::Cylinders, "Compression test over all cylinders", run!(compute))
        .says("This decides whether to leave it, repeat it hot, or test for leaks.")
        .equation("lowest / highest;  below average = (mean − lowest) / mean;  gain = wet / dry − 1")
        .takes([
            numbers(
                "readings",
                "p",
                "Readings, in the order of the block",
                Unit::BAR,
                &[12.9, 8.1, 8.3, 12.7],
            )
            .within(0.0, 80.0)
            .at_least(2),
            numbers(
                "wet",
                "p′",
                "Readings with a little oil, same order",
                Unit::BAR,
                &[13.2, 8.3, 8.4, 13.0],
            )
            .beside("readings")
            .within(0.0, 80.0)
            .optional(),
            number("normal", "", "Reading of a sound engine of this type", Unit::BAR, 12.5)
                .within(1.0, 80.0)
                .optional(),
            number("low-below", "", "Low is below this part of the highest", Unit::PERCENT, 75.0)
                .within(30.0, 99.0)
                .or(75.0),
            number("reading-u", "u", "Standard uncertainty of a reading", Unit::BAR, 0.2)
                .within(0.001, 5.0)
                .or(0.2),
        ])
        .gives([
            result("spread", "", "Spread", Unit::BAR),
            result("lowest-to-highest", "", "Lowest over highest", Unit::PERCENT),
            result("average", "", "Average", Unit::BAR).rises(&["readings"]),
            result("lowest-below-average", "", "Lowest below the average by", Unit::PERCENT),
            result("lowest-cylinder", "", "Lowest cylinder", Unit::COUNT),
            results("plainly", "", "Standard uncertainties below the line of lowness", Unit::ONE),
            results("gain", "", "Gain with oil", Unit::PERCENT),
            words("pattern", "Pattern"),
            wordlist("points-to", "What it points to"),
        ])
        .holds(
            "Holds for one warm engine, one gauge, a good battery, throttle open, same number of \
             strokes. Car practice asks for 75 % of the highest, careful shops for 90 % (common \
             practice). Two tests of different kind agree before a head comes off. Oil misleads \
             where bores lie flat or pistons are steep.",
        )
        .caution("Disable fuel and ignition; keep clear of belts and fans while cranking.")
        .source("definition; 75 %, 90 % and what patterns point to: common practice")
        .diagram("cylinders-row")
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["readings", "wet"])?;
    let (readings, wet) = (given.numbers("readings"), given.numbers("wet"));
    let test = evenness(readings)?;
    let share = given.number("low-below");
    out.number("spread", test.highest - test.lowest);
    out.number("lowest-to-highest", test.lowest / test.highest);
    out.number("average", test.average);
    out.number("lowest-below-average", (test.average - test.lowest) / test.average);
    out.number("lowest-cylinder", D::from(test.lowest_at as f64 + 1.0));

    // The line moves with the highest reading, which is as uncertain as the others.
    let u = given.number("reading-u") * (share.powi(2) + 1.0).sqrt();
    let plainly: Vec<D> = readings.iter().map(|p| (test.highest * share - *p) / u).collect();
    let plain: Vec<f64> = readings.iter().map(D::re).collect();
    let pattern = pattern(&plain, share.re(), given.maybe("normal").map(|normal| normal.re()));
    out.text("pattern", said(&pattern));
    let gains: Vec<Option<D>> = if wet.is_empty() {
        vec![]
    } else {
        readings.iter().zip(wet).map(|(dry, wet)| (dry.re() > 0.0).then(|| *wet / *dry - 1.0)).collect()
    };
    let gain = |at: usize| gains.get(at).copied().flatten().map(|gain| gain.re());
    let sure = |at: usize| {
        if plainly.get(at).is_some_and(|z| z.re() >= 2.0) { "plainly" } else { "by little, read again" }
    };
    out.texts("points-to", points_to(&pattern, gain, sure));
    out.numbers("plainly", plainly);
    if let Some(all) = gains.into_iter().collect::<Option<Vec<D>>>().filter(|all| !all.is_empty()) {
        out.numbers("gain", all);
    }
    Ok(())
}

fn said(pattern: &Pattern) -> String {
    let names = |low: &[usize]| low.iter().map(|at| (at + 1).to_string()).collect::<Vec<_>>().join(", ");
    match pattern {
        Pattern::Even => "even".into(),
        Pattern::One(at) => format!("one low: cylinder {}", at + 1),
        Pattern::Neighbours(a, b) => format!("two neighbours low: cylinders {} and {}", a + 1, b + 1),
        Pattern::Several(low) => format!("several low: cylinders {}", names(low)),
        Pattern::All => "all low".into(),
    }
}

/// What a pattern points to. A wet gain of a tenth or more counts as a rise (common practice).
fn points_to(
    pattern: &Pattern,
    gain: impl Fn(usize) -> Option<f64>,
    sure: impl Fn(usize) -> &'static str,
) -> Vec<String> {
    let one = |at: usize| {
        let low = format!("cylinder {} low, {}", at + 1, sure(at));
        match gain(at) {
            Some(gain) if gain >= 0.1 => format!("{low}; rises with oil: rings or bore"),
            Some(_) => format!("{low}; oil changes little: valve, seat or gasket"),
            None => format!("{low}: valve, rings or gasket; a wet test tells them apart"),
        }
    };
    match pattern {
        Pattern::Even => vec![],
        Pattern::One(at) => vec![one(*at)],
        Pattern::Neighbours(a, b) => {
            let risen = [a, b].iter().all(|at| gain(**at).is_some_and(|gain| gain >= 0.1));
            let says = if risen {
                "both rise with oil: rings or bore rather than the gasket between them"
            } else {
                "the gasket between them; a leak test that hisses at each other's plug hole confirms it"
            };
            let (low_a, low_b) = (sure(*a), sure(*b));
            let low = if low_a == low_b { format!("both {low_a}") } else { format!("{low_a} and {low_b}") };
            vec![format!("cylinders {} and {} low, {low}: {says}", a + 1, b + 1)]
        }
        Pattern::Several(low) => low.iter().map(|at| one(*at)).collect(),
        Pattern::All => vec![
            "cam timing, a throttle not open, slow cranking, the height of the place or the gauge, \
             before wear everywhere"
                .into(),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_told_apart() {
        assert_eq!(pattern(&[12.9, 8.1, 8.3, 12.7], 0.75, None), Pattern::Neighbours(1, 2));
        assert_eq!(pattern(&[12.0, 11.8, 11.9, 11.7], 0.75, None), Pattern::Even);
        assert_eq!(pattern(&[11.9, 11.7, 11.8, 11.9, 8.2], 0.75, None), Pattern::One(4));
        assert_eq!(pattern(&[8.0, 12.0, 8.1, 12.0], 0.75, None), Pattern::Several(vec![0, 2]));
        assert_eq!(pattern(&[8.0, 8.1, 8.2, 8.0], 0.75, Some(12.5)), Pattern::All);
    }
}
