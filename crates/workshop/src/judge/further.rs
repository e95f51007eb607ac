//! Limits beside the one on the value itself: on how far places lie apart, and on how fast a value changes. What is past
//! such a limit goes by the same table; it can only ask for more than the value does, never for less.

use super::{At, Judge};
use crate::assessment::{Judged, Reason};
use crate::outlook::Outlook;
use crate::verdict::{by_the_table, stands_for};
use quantity::Decision;
use sheet::Verdict;

/// A reading held against a further limit.
pub(super) struct Further {
    /// Probability of being past it.
    pub p: f64,
    pub decision: Decision,
    /// The gravest that it may ask for by itself.
    pub at_most: Verdict,
    /// What is past it, for an owner to read.
    pub why: String,
    /// What would decide it, where the readings cannot.
    pub settled_by: Option<String>,
}

impl<'a> Judge<'a> {
    /// Lets the further limits count; gives what the verdict then rests on, if it rests on one of them.
    pub(super) fn weigh(&self, at: At<'a>, further: Vec<Further>, judged: &mut Judged) -> Option<String> {
        let criticality = at.component.criticality;
        let no_other_limit = judged.p_beyond.is_none();
        let mut rests_on = None;
        for one in further {
            let asks = by_the_table(criticality, one.p, one.p).min(one.at_most);
            let graver = asks > judged.computed;
            if graver || no_other_limit {
                judged.p_beyond = Some(judged.p_beyond.unwrap_or(0.0).max(one.p));
                judged.p_next = Some(judged.p_next.unwrap_or(0.0).max(one.p));
            }
            if !graver {
                continue;
            }
            // Only one line of the table holds in the end.
            judged.reasons.retain(|reason| !reason.by_the_table);
            let open = one.decision == Decision::CannotTell && judged.computed < Verdict::TooClose;
            let verdict = match one.settled_by.filter(|_| open) {
                Some(how) => {
                    judged.reason(Reason::new(format!("The readings cannot decide. {how}")));
                    judged.carries.decided_by = Some(how);
                    Verdict::TooClose
                }
                None => {
                    judged.carries.decided_by = None;
                    asks
                }
            };
            judged.computed = verdict;
            judged.verdict = verdict;
            judged.reason(self.table_reason(criticality, verdict));
            rests_on = Some(one.why);
        }
        rests_on
    }

    /// What a verdict carries that rests on a further limit.
    pub(super) fn carry_further(&self, why: String, judged: &mut Judged, criticality: sheet::Criticality) {
        let carries = &mut judged.carries;
        match judged.verdict {
            Verdict::LookAgain => carries.why = Some(why),
            Verdict::Plan => {
                // No day is forecast on which it is passed: it is already.
                carries.window = self.next_visit.as_ref().map(|next| (self.today, next.date));
                carries.why = Some(why);
            }
            Verdict::BeforeLeaving | Verdict::StaysPut => {
                let then = carries.consequence.take().unwrap_or_default();
                carries.consequence = Some(format!("{why} {then}").trim_end().to_owned());
            }
            Verdict::TooClose => {}
            Verdict::Sound | Verdict::Settled | Verdict::NotReached => return,
        }
        // To be past such a limit is not to have failed: it stands for as much as the same word of a described state; what is
        // not decided, for as much as what is looked at again.
        if judged.outlook.is_none() {
            let years = self.next_visit.as_ref().map_or(self.shop.gap_years, |next| next.years);
            let word = if judged.verdict == Verdict::TooClose { Verdict::LookAgain } else { judged.verdict };
            judged.outlook = stands_for(criticality, word).map(|p| Outlook::steady(p, years));
        }
    }
}
