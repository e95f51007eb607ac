//! A reading that does not fit the ones before it: something to ask, never to put right in silence.

use prognosis::wear::{Path, Prior, Question, Reading, unwear};

/// Standard deviations beyond what was expected from which on wear is asked about: one in a thousand.
const TOO_FAST: f64 = 3.09;

/// What to ask about the last of these readings; `None` when it fits.
pub(super) fn doubt(prior: &Prior, readings: &[Reading]) -> Option<String> {
    let (last, earlier) = readings.split_last()?;
    let before = earlier.last()?;
    let backwards = unwear(prior.direction, before, last).ok()?;
    if backwards.is_doubtful() {
        let questions: Vec<&str> = backwards.questions.iter().map(|question| words(*question)).collect();
        return Some(format!(
            "It reads less worn than last time, and such parts only wear. {}",
            questions.join(" ")
        ));
    }
    let expected = Path::fit(prior, earlier).ok()?.level(last.x);
    let u = last.own_u.hypot(last.shared_u).hypot(expected.sd);
    let beyond = prior.direction.sign() * (last.y - expected.mean) / u;
    (beyond > TOO_FAST).then(|| {
        let same_instrument = if before.instrument == last.instrument { "" } else { "Same instrument? " };
        format!(
            "It has worn far more since last time than was to be expected. Same place? {same_instrument}Has a unit or a \
             figure slipped? If it is so: what has changed?"
        )
    })
}

fn words(question: Question) -> &'static str {
    match question {
        Question::SamePlace => "Same place?",
        Question::SameInstrument => "Same instrument?",
        Question::UnitOrDigits => "Has a unit or a figure slipped?",
        Question::AdjustedOrRenewed => "Was it adjusted or renewed in between?",
    }
}
