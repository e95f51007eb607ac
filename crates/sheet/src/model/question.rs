//! What may be behind what was found.

use super::{Input, Only, State};
use crate::ids::*;
use indexmap::IndexMap;

/// Something to be explained: the explanations that name it exclude each other, and none of them may be right.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    pub title: String,
    pub only: Only,
    /// What raises it.
    pub raised_by: Vec<RaisedBy>,
    /// How likely it is beforehand that none of the explanations is right, in the measure of their own likelihoods.
    pub none: f64,
    /// Within which bounds a reading lies, any value as likely as another, when nothing that is said explains it; in the
    /// unit of the check.
    pub otherwise: IndexMap<CheckId, (f64, f64)>,
    pub source: String,
}

impl Question {
    /// The likelihood of "none of these" where the sheet says nothing. Common practice, no source.
    pub const USUAL_NONE: f64 = 0.1;
}

/// A finding that raises a question: one of these states, or without any, a reading past a limit or a state worse than
/// settled.
#[derive(Debug, Clone, PartialEq)]
pub struct RaisedBy {
    pub check: CheckId,
    pub states: Vec<StateId>,
}

/// What may be behind it, and what would then be found.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    pub question: QuestionId,
    pub title: String,
    /// For the owner, in plain words.
    pub says: Option<String>,
    pub only: Only,
    /// How likely it is beforehand, in any measure that the explanations of a question share; without it, the chance
    /// that its component has failed since it was last seen good.
    pub prior: Option<f64>,
    pub component: Option<ComponentId>,
    pub shows: Vec<Sign>,
    /// What would put it right.
    pub put_right: Option<OperationId>,
    pub source: String,
}

/// What an explanation lets one find.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    pub check: CheckId,
    /// Without it, wherever the check is made.
    pub place: Option<Place>,
    pub shows: Shows,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Shows {
    /// How often each state is seen; states left out share the rest alike.
    States(IndexMap<StateId, Likelihood>),
    /// Where the reading lies, in the unit of the check.
    Reads(Expected),
}

/// How often something is seen if an explanation is right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Likelihood {
    Often(Often),
    /// A probability, above 0 and below 1.
    Share(f64),
}

/// The words for how often; never "0" and never "1".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Often {
    Always,
    NearlyAlways,
    Usually,
    Half,
    Sometimes,
    Rarely,
    Never,
}

impl Often {
    /// The probability that the word stands for. Common practice, no source.
    pub fn probability(self) -> f64 {
        match self {
            Self::Always => 0.97,
            Self::NearlyAlways => 0.90,
            Self::Usually => 0.75,
            Self::Half => 0.5,
            Self::Sometimes => 0.25,
            Self::Rarely => 0.08,
            Self::Never => 0.02,
        }
    }
}

/// Where a reading lies if an explanation is right.
#[derive(Debug, Clone, PartialEq)]
pub enum Expected {
    /// Near a value of the type of car.
    Value { value: f64, spread: f64 },
    /// Near what a formula of the bench makes of other readings and of constants, added to `onto`.
    Formula { formula: String, gives: String, inputs: IndexMap<String, Input>, onto: f64, spread: f64 },
    /// Between two values, any of them as likely as another.
    Between { from: f64, to: f64 },
}

impl Shows {
    /// How likely each of these states is, in their order, if the explanation is right: what is said of them, the states
    /// left out sharing the rest alike, and all of it scaled to make 1. A state left out is never less likely than one of
    /// which it is said that it is never seen. `None` where it is a reading that is shown.
    pub fn likelihoods(&self, states: &[State]) -> Option<Vec<f64>> {
        let Self::States(said) = self else { return None };
        let said = |state: &State| match said.get(&state.id)? {
            Likelihood::Often(often) => Some(often.probability()),
            Likelihood::Share(share) => Some(*share),
        };
        let sum: f64 = states.iter().filter_map(said).sum();
        let left_out = states.iter().filter(|state| said(state).is_none()).count();
        let rest = ((1.0 - sum) / left_out.max(1) as f64).max(Often::Never.probability());
        let weights: Vec<f64> = states.iter().map(|state| said(state).unwrap_or(rest)).collect();
        let total: f64 = weights.iter().sum();
        Some(weights.into_iter().map(|weight| weight / total).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Verdict;

    fn row(said: &[(&str, Likelihood)]) -> Vec<f64> {
        let state = |id: &str| State {
            id: id.into(),
            short: id.into(),
            says: id.into(),
            tell: None,
            means: Verdict::Sound,
            why: None,
            when: None,
        };
        let states = ["a", "b", "c"].map(state);
        let said = said.iter().map(|(id, likelihood)| (StateId::from(*id), *likelihood)).collect();
        Shows::States(said).likelihoods(&states).unwrap()
    }

    fn close(found: &[f64], expected: &[f64]) {
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 1e-12, "{found} is not {expected}");
        }
    }

    #[test]
    fn states_left_out_share_the_rest() {
        close(&row(&[("a", Likelihood::Share(0.6))]), &[0.6, 0.2, 0.2]);
        close(&row(&[("b", Likelihood::Often(Often::NearlyAlways))]), &[0.05, 0.9, 0.05]);
        close(
            &row(&[
                ("a", Likelihood::Share(0.5)),
                ("b", Likelihood::Share(0.25)),
                ("c", Likelihood::Share(0.25)),
            ]),
            &[0.5, 0.25, 0.25],
        );
    }

    #[test]
    fn words_that_make_more_than_one_are_weighed_against_each_other() {
        let both = row(&[("a", Likelihood::Often(Often::Usually)), ("b", Likelihood::Often(Often::Usually))]);
        // 0.75, 0.75 and, for what is left out, no less than never: 0.02.
        close(&both, &[0.75 / 1.52, 0.75 / 1.52, 0.02 / 1.52]);
    }
}
