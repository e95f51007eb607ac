//! Which springs sit where: what four ride heights say for each possibility.

use super::ride_height::{height_change, loaded_length};
use crate::prelude::*;

/// One end of the car: its sprung mass on a corner, its motion ratio, the spring meant for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End<D> {
    /// kg
    pub sprung_mass: D,
    pub motion_ratio: D,
    /// m
    pub free_length: D,
    /// N/m
    pub rate: D,
}

/// How each possibility spreads the change of height: standard deviations in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spreads<D> {
    /// Reading of an axle's mean height.
    pub reading: D,
    /// The prediction itself.
    pub model: D,
    /// How far sagged springs usually let a car down, and how much that varies.
    pub sag: D,
    pub sag_spread: D,
    /// Anything else: wrong part, broken coil, top mount, damper gas, load.
    pub other: D,
}

/// Chances before anything was measured; they need not add up to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Priors<D> {
    pub intended: D,
    pub exchanged: D,
    pub sagged: D,
    pub other: D,
}

/// What the heights say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdicts<D> {
    /// Change of height that exchanged springs would make, front and rear (m).
    pub predicted: [D; 2],
    /// Common logarithm of how many times better exchanged springs explain the heights than the intended ones.
    pub log_odds: D,
    pub intended: D,
    pub exchanged: D,
    pub sagged: D,
    pub other: D,
}

/// Chances that springs are as intended, exchanged between the ends, sagged, or something else.
///
/// `seen` change of height against the expected one, front and rear (m); the ends, spreads and chances beforehand
/// as described in their types. Each possibility is a normal law for the two changes: intended `N(0, u²)`,
/// exchanged `N(predicted, u²)`, sagged `N(−sag, u² + sag spread²)`, other `N(0, u² + other²)`, where
/// `u² = reading² + model²`; Bayes' rule does the rest. Holds for heights from wheel centre to arch on a level
/// floor, which no tyre size touches.
///
/// # Errors
/// Those of [`loaded_length`]; [`Problem::NotPositive`] for a spread or when no possibility has a chance.
///
/// Source: Hooke's law, virtual work, Bayes' rule; spreads and chances beforehand are estimates. Checked:
/// `reference/worked.json`.
pub fn which_springs<D: Dual>(
    seen: [D; 2],
    front: End<D>,
    rear: End<D>,
    spreads: Spreads<D>,
    priors: Priors<D>,
) -> Result<Verdicts<D>, BenchError> {
    let change = |at: End<D>, other: End<D>| -> Result<D, BenchError> {
        let (_, own) = loaded_length(at.sprung_mass, at.motion_ratio, at.free_length, at.rate)?;
        let (_, exchanged) = loaded_length(at.sprung_mass, at.motion_ratio, other.free_length, other.rate)?;
        height_change(own, exchanged, at.motion_ratio)
    };
    let predicted = [change(front, rear)?, change(rear, front)?];
    let variance =
        above_zero("spread of reading and model", spreads.reading.powi(2) + spreads.model.powi(2))?;
    let none = D::from(0.0);
    let fit = |mean: [D; 2], spread: D| {
        let variance = variance + spread.powi(2);
        let misfit = seen
            .iter()
            .zip(mean)
            .map(|(seen, mean)| (*seen - mean).powi(2) / variance)
            .fold(none, |a, b| a + b);
        // Two axles, so the logarithm of the variance counts twice a half.
        -misfit * 0.5 - variance.ln()
    };
    let (intended, exchanged) = (fit([none, none], none), fit(predicted, none));
    let sagged = fit([-spreads.sag, -spreads.sag], spreads.sag_spread);
    let other = fit([none, none], spreads.other);

    let fits = [
        (intended, priors.intended),
        (exchanged, priors.exchanged),
        (sagged, priors.sagged),
        (other, priors.other),
    ];
    let best = fits.iter().map(|(fit, _)| fit.re()).fold(f64::NEG_INFINITY, f64::max);
    let weights = fits.map(|(fit, prior)| (fit - best).exp() * prior);
    let sum =
        above_zero("chance of any possibility", weights.iter().fold(none, |sum, weight| sum + *weight))?;
    let [p_intended, p_exchanged, p_sagged, p_other] = weights.map(|weight| weight / sum);
    Ok(Verdicts {
        predicted,
        log_odds: (exchanged - intended) / std::f64::consts::LN_10,
        intended: p_intended,
        exchanged: p_exchanged,
        sagged: p_sagged,
        other: p_other,
    })
}

pub(crate) fn formula() -> Formula {
    let mass = |key, title, example| number(key, "m", title, Unit::KG, example).within(20.0, 2000.0);
    let ratio = |key, title, example| number(key, "r", title, Unit::ONE, example).within(0.1, 2.0);
    let free = |key, title, example| number(key, "L₀", title, Unit::MM, example).within(50.0, 800.0);
    let rate = |key, title, example| number(key, "k", title, Unit::N_PER_MM, example).within(1.0, 500.0);
    let height = |key, title, example| number(key, "h", title, Unit::MM, example).within(50.0, 900.0);
    let spread = |key, title, usual| number(key, "", title, Unit::MM, usual).within(0.1, 100.0).or(usual);
    let chance =
        |key, title, usual| number(key, "", title, Unit::PERCENT, usual).within(0.0, 100.0).or(usual);
    Formula::new(
        "springs-where",
        Job::Springs,
        "Which springs sit where: odds from ride heights",
        run!(compute),
    )
    .says(
        "This decides whether to take the springs out and look at their marks; it accuses \
         nobody by itself.",
    )
    .equation("odds = exp(½ Σ (d/u)² − ½ Σ ((d − Δh)/u)²);  Bayes' rule over four possibilities")
    .takes([
        mass("front-mass", "Sprung mass on a front corner", 242.0),
        mass("rear-mass", "Sprung mass on a rear corner", 225.0),
        ratio("front-ratio", "Motion ratio, front", 0.7),
        ratio("rear-ratio", "Motion ratio, rear", 0.75),
        free("front-free-length", "Free length of the spring meant for the front", 275.0),
        rate("front-rate", "Rate of the spring meant for the front", 54.0),
        free("rear-free-length", "Free length of the spring meant for the rear", 310.0),
        rate("rear-rate", "Rate of the spring meant for the rear", 38.0),
        height("front-expected", "Expected height, front", 330.0),
        height("rear-expected", "Expected height, rear", 336.0),
        height("front-left", "Height measured, front left", 341.0),
        height("front-right", "Height measured, front right", 341.0),
        height("rear-left", "Height measured, rear left", 321.0),
        height("rear-right", "Height measured, rear right", 321.0),
        spread("reading-spread", "Standard uncertainty of an axle's mean height", 2.0),
        spread("model-spread", "Standard uncertainty of the prediction", 3.0),
        spread("sag", "How far sagged springs let a car down", 12.0),
        spread("sag-spread", "How much that varies", 8.0),
        spread("other-spread", "How far anything else moves a car", 25.0),
        chance("chance-intended", "Chance beforehand: as intended", 70.0),
        chance("chance-exchanged", "Chance beforehand: exchanged ends", 5.0),
        chance("chance-sagged", "Chance beforehand: sagged", 15.0),
        chance("chance-other", "Chance beforehand: something else", 10.0),
    ])
    .gives([
        result("front-change", "Δh", "Change an exchange would make, front", Unit::MM),
        result("rear-change", "Δh", "Change an exchange would make, rear", Unit::MM),
        result("front-seen", "d", "Change seen, front", Unit::MM)
            .rises(&["front-left", "front-right"])
            .falls(&["front-expected"]),
        result("rear-seen", "d", "Change seen, rear", Unit::MM)
            .rises(&["rear-left", "rear-right"])
            .falls(&["rear-expected"]),
        result("log-odds", "", "Powers of ten for an exchange against as intended", Unit::ONE),
        result("as-intended", "", "As intended", Unit::PERCENT).rises(&["chance-intended"]),
        result("exchanged", "", "Exchanged ends", Unit::PERCENT).rises(&["chance-exchanged"]),
        result("sagged", "", "Sagged", Unit::PERCENT).rises(&["chance-sagged"]),
        result("something-else", "", "Something else", Unit::PERCENT).rises(&["chance-other"]),
        words("decides", "What would decide it"),
    ])
    .holds(
        "Holds for heights from wheel centre to arch on a level floor, settled, tyres at \
         pressure: ground to sill moves with the tyre and misleads. Chances beforehand and \
         spreads are estimates; change them to what the shop has seen.",
    )
    .caution("Road springs hold deadly force: use the proper compressor and stay out of line.")
    .source(
        "Hooke's law, virtual work, Bayes' rule; spreads and chances beforehand: estimates, no \
         source",
    )
    .diagram("ride")
    .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    let end = |mass, ratio, free_length, rate| End {
        sprung_mass: given.number(mass),
        motion_ratio: given.number(ratio),
        free_length: given.number(free_length),
        rate: given.number(rate),
    };
    let front = end("front-mass", "front-ratio", "front-free-length", "front-rate");
    let rear = end("rear-mass", "rear-ratio", "rear-free-length", "rear-rate");
    let mean = |left, right| (given.number(left) + given.number(right)) * 0.5;
    let seen = [
        mean("front-left", "front-right") - given.number("front-expected"),
        mean("rear-left", "rear-right") - given.number("rear-expected"),
    ];
    let spreads = Spreads {
        reading: given.number("reading-spread"),
        model: given.number("model-spread"),
        sag: given.number("sag"),
        sag_spread: given.number("sag-spread"),
        other: given.number("other-spread"),
    };
    let priors = Priors {
        intended: given.number("chance-intended"),
        exchanged: given.number("chance-exchanged"),
        sagged: given.number("chance-sagged"),
        other: given.number("chance-other"),
    };
    let verdicts = which_springs(seen, front, rear, spreads, priors)?;
    let [front_change, rear_change] = verdicts.predicted;
    out.number("front-change", front_change);
    out.number("rear-change", rear_change);
    out.number("front-seen", seen[0]);
    out.number("rear-seen", seen[1]);
    out.number("log-odds", verdicts.log_odds);
    out.number("as-intended", verdicts.intended);
    out.number("exchanged", verdicts.exchanged);
    out.number("sagged", verdicts.sagged);
    out.number("something-else", verdicts.other);
    out.text("decides", "mark, count of coils, wire diameter and free length, with the springs on the bench");
    out.remark(|| {
        let odds = verdicts.log_odds.re();
        let side = if odds >= 0.0 { "an exchange" } else { "the springs as intended" };
        match 10f64.powf(odds.abs()) {
            times if times >= 1e6 => format!("the heights speak more than a million to 1 for {side}"),
            times => {
                // Two digits are more than such odds are worth.
                let step = 10f64.powf((times.log10().floor() - 1.0).max(0.0));
                format!("the heights speak about {:.0} to 1 for {side}", (times / step).round() * step)
            }
        }
    });
    Ok(())
}
