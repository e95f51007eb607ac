//! A reading that does not fit the ones before it: something to ask, never to put right in silence.

use prognosis::wear::{Path, Prior, Question, Reading, unwear};

/// Standard deviations beyond what was expected from which on wear is asked about: one in a thousand.
const TOO_FAST: f64 = 3.09;

/// A reading that does not fit, and what to ask about it.
pub(super) enum Doubt {
    /// It looks less worn than before. Until that is explained it is believed the less.
    Backwards(String),
    /// It looks far more worn than before. It is believed in full: what may be dangerous is never talked away.
    TooFast(String),
}

impl Doubt {
    pub(super) fn question(&self) -> &str {
        match self {
            Self::Backwards(question) | Self::TooFast(question) => question,
        }
    }
}

/// What to ask about the last of these readings; `None` when it fits.
pub(super) fn doubt(prior: &Prior, readings: &[Reading]) -> Option<Doubt> {
    let (last, earlier) = readings.split_last()?;
    let before = earlier.last()?;
    let backwards = unwear(prior.direction, before, last).ok()?;
    if backwards.is_doubtful() {
        let questions: Vec<&str> = backwards.questions.iter().map(|question| words(*question)).collect();
        return Some(Doubt::Backwards(format!("Less worn than last time. {}", questions.join(" "))));
    }
    let expected = Path::fit(prior, earlier).ok()?.level(last.x);
    let u = last.own_u.hypot(last.shared_u).hypot(expected.sd);
    let beyond = prior.direction.sign() * (last.y - expected.mean) / u;
    (beyond > TOO_FAST).then(|| {
        let same_instrument = if before.instrument == last.instrument { "" } else { "Same instrument? " };
        Doubt::TooFast(format!(
            "Far more worn since last time than was to be expected. Same place? {same_instrument}Has a unit or a figure \
             slipped? Has the use changed?"
        ))
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
