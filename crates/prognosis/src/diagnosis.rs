//! Which cause is it, and what to look at next.
//!
//! Causes exclude each other and always include "none of these". A check has states, and a table says how often each
//! cause shows each state. Everything here is Bayes' rule over that table.
//!
//! ```
//! use prognosis::diagnosis::{Causes, Check};
//!
//! // A damp seal: it leaks, or somebody spilt something, or neither.
//! let causes = Causes::new(&[0.3, 0.5], 0.2)?;
//! let wiped = Check::new(
//!     // states: it comes back, it stays clean; one row for each cause, the last for "none of these"
//!     &[vec![0.9, 0.1], vec![0.25, 0.75], vec![0.5, 0.5]],
//!     15.0,
//! )?;
//! let after = causes.seen(&wiped, 0)?;
//! assert!(after.probabilities()[0] > 0.5);
//! assert!(causes.information(&wiped)? > 0.2);
//! # Ok::<(), prognosis::PrognosisError>(())
//! ```

use crate::error::{Inspection, PrognosisError};

/// "None of these" is never believed less than this beforehand. Common practice, no source.
pub const LEAST_NONE: f64 = 0.05;
/// A cause this sure ends the search. Common practice, no source.
pub const SURE_ENOUGH: f64 = 0.9;
/// A check that tells fewer bits is not worth making. Common practice, no source.
pub const LEAST_BITS: f64 = 0.05;
/// Rows of a table have to add to one within this.
const ROUNDING: f64 = 1e-6;

/// How probable each cause is; the last one is "none of these".
#[derive(Debug, Clone, PartialEq)]
pub struct Causes {
    probabilities: Vec<f64>,
    /// Probability of everything seen so far, had only the listed causes been possible beforehand.
    evidence: f64,
}

/// Something that can be looked at: how often each cause shows each of its states, and what looking takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    table: Vec<Vec<f64>>,
    minutes: f64,
}

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Next {
    /// One cause is sure enough, by this index.
    Found(usize),
    /// Make this check, by its index; it tells so many bits.
    Look { check: usize, bits: f64 },
    /// No check left tells enough to be worth making.
    NothingToLearn,
}

impl Causes {
    /// Listed causes in any measure of how likely they are, such as the probability of having failed since last seen
    /// good, and "none of these" in the same measure; scaled so that all add to one.
    ///
    /// "None of these" is raised to [`LEAST_NONE`] where it is less.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with every weight below zero or not finite; [`PrognosisError::TooFew`] when no
    /// weight is above zero.
    pub fn new(listed: &[f64], none_of_these: f64) -> Result<Self, PrognosisError> {
        let mut causes = Self::exactly(&[listed, &[none_of_these]].concat())?;
        if let Some((none, listed)) = causes.probabilities.split_last_mut()
            && *none < LEAST_NONE
        {
            let shrink = (1.0 - LEAST_NONE) / (1.0 - *none);
            listed.iter_mut().for_each(|p| *p *= shrink);
            *none = LEAST_NONE;
        }
        Ok(causes)
    }

    /// The weights as they are, scaled to add to one and nothing more.
    ///
    /// # Errors
    /// As [`Causes::new`].
    pub fn exactly(weights: &[f64]) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        for (index, weight) in weights.iter().enumerate() {
            inspection.at("cause", index).not_negative("weight", *weight);
        }
        inspection.finish()?;
        let total: f64 = weights.iter().sum();
        if total.is_nan() || total <= 0.0 || total.is_infinite() {
            return Err(PrognosisError::TooFew { what: "a diagnosis", needed: 1, found: 0 });
        }
        Ok(Self { probabilities: weights.iter().map(|w| w / total).collect(), evidence: 1.0 })
    }

    /// Probability of each cause, "none of these" last.
    pub fn probabilities(&self) -> &[f64] {
        &self.probabilities
    }

    /// Probability of all that was seen so far, before it was seen.
    pub fn evidence(&self) -> f64 {
        self.evidence
    }

    /// The likeliest cause.
    pub fn best(&self) -> usize {
        let better =
            |best: usize, k: usize| if self.probabilities[k] > self.probabilities[best] { k } else { best };
        (1..self.probabilities.len()).fold(0, better)
    }

    /// Uncertainty left, in bits. Source: Shannon 1948.
    pub fn entropy(&self) -> f64 {
        entropy(&self.probabilities)
    }

    /// The causes after a state of a check was seen. Order does not matter.
    ///
    /// Evidence that nothing listed could show leaves the probabilities as they were and is marked as unexplained; it
    /// is never divided by.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the check has no such state or not one row for each cause.
    pub fn seen(&self, check: &Check, state: usize) -> Result<Self, PrognosisError> {
        self.fits(check)?;
        Inspection::default().index("state", state, check.states()).finish()?;
        let shows: Vec<f64> = check.table.iter().map(|row| row[state]).collect();
        Ok(self.updated(&shows))
    }

    /// The causes after something was found that is so likely under each of them, "none of these" last. The likelihoods
    /// may be in any measure that they share, such as densities of a reading; the evidence is then in that measure.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when there is not one likelihood for each cause, or one is below zero or not finite.
    pub fn found(&self, likelihoods: &[f64]) -> Result<Self, PrognosisError> {
        let (found, wanted) = (likelihoods.len() as f64, self.probabilities.len() as f64);
        let mut inspection = Inspection::default();
        inspection.at_least("number of likelihoods, one for each cause,", found, wanted);
        inspection.at_most("number of likelihoods, one for each cause,", found, wanted);
        for (index, likelihood) in likelihoods.iter().enumerate() {
            inspection.at("cause", index).not_negative("likelihood", *likelihood);
        }
        inspection.finish()?;
        Ok(self.updated(likelihoods))
    }

    fn updated(&self, likelihoods: &[f64]) -> Self {
        let mut probabilities: Vec<f64> =
            self.probabilities.iter().zip(likelihoods).map(|(p, likelihood)| p * likelihood).collect();
        let evidence: f64 = probabilities.iter().sum();
        if evidence <= 0.0 {
            return Self { probabilities: self.probabilities.clone(), evidence: 0.0 };
        }
        probabilities.iter_mut().for_each(|p| *p /= evidence);
        Self { probabilities, evidence: self.evidence * evidence }
    }

    /// Bits that a check is expected to tell: `H − Σ_s P(s) H(h|s)`, never below zero. Source: Lindley 1956.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the check has not one row for each cause.
    pub fn information(&self, check: &Check) -> Result<f64, PrognosisError> {
        self.fits(check)?;
        // Written as a mean divergence, a sum of terms that are not negative instead of a small difference.
        let bits = (0..check.states()).map(|state| {
            let p_state: f64 =
                self.probabilities.iter().zip(&check.table).map(|(p, row)| p * row[state]).sum();
            let told = self.probabilities.iter().zip(&check.table).map(|(p, row)| {
                let joint = p * row[state];
                if joint > 0.0 { joint * (row[state] / p_state).log2() } else { 0.0 }
            });
            told.sum::<f64>()
        });
        Ok(bits.sum::<f64>().max(0.0))
    }

    /// The check worth making next: most bits for each minute it takes, `set_up` minutes still to be spent for each
    /// included.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when a check has not one row for each cause, or a time is below zero.
    pub fn next(&self, checks: &[(&Check, f64)]) -> Result<Next, PrognosisError> {
        let best = self.best();
        // To be sure that it is none of these is no answer yet.
        if best + 1 < self.probabilities.len() && self.probabilities[best] >= SURE_ENOUGH {
            return Ok(Next::Found(best));
        }
        let mut next: Option<(usize, f64, f64)> = None;
        for (index, (check, set_up)) in checks.iter().enumerate() {
            Inspection::default().at("check", index).not_negative("minutes of set-up", *set_up).finish()?;
            let bits = self.information(check)?;
            let worth = bits / (check.minutes + set_up);
            if bits >= LEAST_BITS && next.is_none_or(|(_, _, best)| worth > best) {
                next = Some((index, bits, worth));
            }
        }
        Ok(next.map_or(Next::NothingToLearn, |(check, bits, _)| Next::Look { check, bits }))
    }

    /// Probability of each state of a check, before it is made: to compare what would be done after each of them.
    /// Where the same would be done whatever is seen, the check is not worth making.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the check has not one row for each cause.
    pub fn outlook(&self, check: &Check) -> Result<Vec<f64>, PrognosisError> {
        self.fits(check)?;
        let state = |s: usize| self.probabilities.iter().zip(&check.table).map(|(p, row)| p * row[s]).sum();
        Ok((0..check.states()).map(state).collect())
    }

    fn fits(&self, check: &Check) -> Result<(), PrognosisError> {
        let (rows, causes) = (check.table.len() as f64, self.probabilities.len() as f64);
        let mut inspection = Inspection::default();
        inspection.at_least("number of rows, one for each cause,", rows, causes);
        inspection.at_most("number of rows, one for each cause,", rows, causes).finish()
    }
}

impl Check {
    /// A check from its table, one row for each cause ("none of these" last) with the probability of each state, and
    /// the minutes it takes.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong: rows of different length, probabilities out of range,
    /// rows that do not add to one, minutes not above zero.
    pub fn new(table: &[Vec<f64>], minutes: f64) -> Result<Self, PrognosisError> {
        let states = table.first().map_or(0, Vec::len);
        let mut inspection = Inspection::default();
        inspection.above_zero("minutes", minutes).at_least("number of states", states as f64, 1.0);
        for (index, row) in table.iter().enumerate() {
            inspection.at("row", index);
            let (length, total) = (row.len() as f64, row.iter().sum::<f64>());
            inspection.at_least("number of states", length, states as f64);
            inspection.at_most("number of states", length, states as f64);
            row.iter().for_each(|p| {
                inspection.probability("probability", *p);
            });
            inspection.at_least("sum of the row", total, 1.0 - ROUNDING);
            inspection.at_most("sum of the row", total, 1.0 + ROUNDING);
        }
        inspection.finish()?;
        Ok(Self { table: table.to_vec(), minutes })
    }

    /// The same check with "none of these" added as a last row that tells nothing.
    pub fn with_none_of_these(mut self) -> Self {
        let states = self.states();
        self.table.push(vec![1.0 / states as f64; states]);
        self
    }

    pub fn states(&self) -> usize {
        self.table.first().map_or(0, Vec::len)
    }

    pub fn minutes(&self) -> f64 {
        self.minutes
    }
}

/// Uncertainty of a distribution in bits: `−Σ p log₂ p`.
pub fn entropy(probabilities: &[f64]) -> f64 {
    probabilities.iter().filter(|p| **p > 0.0).map(|p| -p * p.log2()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_nothing_listed_can_show_is_said_and_not_divided_by() {
        let causes = Causes::new(&[0.5, 0.4], 0.1).unwrap();
        let check = Check::new(&[vec![1.0, 0.0], vec![1.0, 0.0], vec![1.0, 0.0]], 1.0).unwrap();
        let after = causes.seen(&check, 1).unwrap();
        assert!(after.evidence() == 0.0 && after.probabilities() == causes.probabilities());
    }

    #[test]
    fn to_be_sure_of_none_of_these_does_not_end_the_search() {
        let causes = Causes::new(&[0.02, 0.02], 0.96).unwrap();
        let tells = Check::new(&[vec![0.99, 0.01], vec![0.99, 0.01], vec![0.05, 0.95]], 5.0).unwrap();
        assert!(matches!(causes.next(&[(&tells, 0.0)]).unwrap(), Next::Look { check: 0, .. }));
        assert_eq!(causes.next(&[]).unwrap(), Next::NothingToLearn);
    }

    #[test]
    fn none_of_these_is_never_left_out() {
        let causes = Causes::new(&[3.0, 1.0], 0.0).unwrap();
        for (got, want) in causes.probabilities().iter().zip([0.7125, 0.2375, 0.05]) {
            assert!((got - want).abs() < 1e-15, "{got}, want {want}");
        }
    }

    #[test]
    fn the_search_ends_when_a_cause_is_sure_or_nothing_tells_more() {
        let useless = Check::new(&[vec![0.4, 0.6], vec![0.4, 0.6]], 2.0).unwrap();
        let telling = Check::new(&[vec![0.9, 0.1], vec![0.2, 0.8]], 2.0).unwrap();
        let open = Causes::exactly(&[0.6, 0.4]).unwrap();
        assert_eq!(open.next(&[(&useless, 0.0)]).unwrap(), Next::NothingToLearn);
        assert!(matches!(
            open.next(&[(&useless, 0.0), (&telling, 0.0)]).unwrap(),
            Next::Look { check: 1, .. }
        ));
        assert_eq!(Causes::exactly(&[0.95, 0.05]).unwrap().next(&[(&telling, 0.0)]).unwrap(), Next::Found(0));
    }

    #[test]
    fn what_is_found_needs_a_likelihood_for_each_cause_and_no_measure() {
        let causes = Causes::exactly(&[0.3, 0.5, 0.2]).unwrap();
        let check = Check::new(&[vec![0.9, 0.1], vec![0.25, 0.75], vec![0.5, 0.5]], 1.0).unwrap();
        let seen = causes.seen(&check, 0).unwrap();
        for measure in [1.0, 1e-9, 1e6] {
            let found = causes.found(&[0.9 * measure, 0.25 * measure, 0.5 * measure]).unwrap();
            for (found, seen) in found.probabilities().iter().zip(seen.probabilities()) {
                assert!((found - seen).abs() < 1e-15, "{found}, seen {seen}");
            }
        }
        assert!(causes.found(&[0.1, 0.2]).is_err());
        let PrognosisError::Inputs(problems) = causes.found(&[-0.1, f64::NAN, 1.0]).unwrap_err() else {
            panic!("inputs")
        };
        assert_eq!(problems.len(), 2);
        assert_eq!(causes.found(&[0.0, 0.0, 0.0]).unwrap().evidence(), 0.0);
    }

    #[test]
    fn a_table_tells_all_that_is_wrong_with_it() {
        let error = Check::new(&[vec![0.5, 0.6], vec![1.0]], 0.0).unwrap_err();
        let PrognosisError::Inputs(problems) = error else { panic!("{error}") };
        assert_eq!(problems.len(), 3);
        let one = Check::new(&[vec![1.0]], 1.0).unwrap();
        assert!(Causes::exactly(&[0.5, 0.5]).unwrap().seen(&one, 0).is_err());
    }
}
