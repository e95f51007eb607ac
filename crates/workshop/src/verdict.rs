//! From two probabilities to a verdict, by one table in one place.

use quantity::Decision;
use sheet::{Criticality, Verdict};

/// A safety item past its limit with this probability stays put.
pub const STAYS_PUT: f64 = 0.95;

/// What a difference between places asks for at most. That something there is not as it should be is found before the car
/// leaves; by itself it does not say that a part is past its own limit.
pub const DIFFERENCE_AT_MOST: Verdict = Verdict::BeforeLeaving;

/// What a trend asks for at most, once it is decided: where it leads is forecast from the value and its own limit.
pub const TREND_AT_MOST: Verdict = Verdict::Plan;

/// What a trend asks for that is more likely than not too fast, but not decided yet: the next reading tells more.
pub const UNDECIDED_TREND: Verdict = Verdict::LookAgain;

/// What a part asks for that sits where it is not made for. Nobody has measured how it does there, so no chance is told: what
/// is at stake decides.
pub const fn of_wrong_part(criticality: Criticality) -> Verdict {
    match criticality {
        Criticality::Safety | Criticality::EngineLoss => Verdict::BeforeLeaving,
        Criticality::Stranded | Criticality::Comfort => Verdict::Plan,
    }
}

/// The probabilities from which on a verdict holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// *Before it leaves*, for being past the limit now.
    pub now: f64,
    /// *Before it leaves*, for being past it by the next visit.
    pub next: f64,
    /// *Plan it*, for being past it by the next visit.
    pub plan: f64,
    /// *Look again*, for being past it by the next visit.
    pub look_again: f64,
}

/// The table. What is at stake decides how small a chance already asks for something.
pub const fn thresholds(criticality: Criticality) -> Thresholds {
    match criticality {
        Criticality::Safety => Thresholds { now: 0.05, next: 0.20, plan: 0.05, look_again: 0.01 },
        Criticality::EngineLoss => Thresholds { now: 0.10, next: 0.30, plan: 0.10, look_again: 0.02 },
        Criticality::Stranded => Thresholds { now: 0.25, next: 0.50, plan: 0.20, look_again: 0.05 },
        Criticality::Comfort => Thresholds { now: 0.50, next: 0.80, plan: 0.50, look_again: 0.20 },
    }
}

/// The verdict for being past a limit with probability `now`, and by the next visit with probability `next`.
pub fn by_the_table(criticality: Criticality, now: f64, next: f64) -> Verdict {
    let table = thresholds(criticality);
    if criticality == Criticality::Safety && now >= STAYS_PUT {
        Verdict::StaysPut
    } else if now >= table.now || next >= table.next {
        Verdict::BeforeLeaving
    } else if next >= table.plan {
        Verdict::Plan
    } else if next >= table.look_again {
        Verdict::LookAgain
    } else {
        Verdict::Sound
    }
}

/// Whether a measurement that cannot decide leaves open what is to be done: measuring again helps only where the answer would
/// change that, not where the car stays put or wear alone asks for work now.
pub fn is_open(criticality: Criticality, decision: Decision, now: f64, next: Option<f64>) -> bool {
    let by_table = by_the_table(criticality, now, next.unwrap_or(now));
    let by_wear = by_the_table(criticality, 0.0, next.unwrap_or(0.0));
    decision == Decision::CannotTell && by_table != Verdict::StaysPut && by_wear < Verdict::BeforeLeaving
}

/// The probability of failing before the next visit that a verdict stands for where nothing was measured: the one from which
/// on the table gives it, since a word claims no more. `None` where the verdict says nothing about time.
pub fn stands_for(criticality: Criticality, verdict: Verdict) -> Option<f64> {
    let table = thresholds(criticality);
    match verdict {
        Verdict::LookAgain => Some(table.look_again),
        Verdict::Plan => Some(table.plan),
        Verdict::BeforeLeaving => Some(table.next),
        Verdict::StaysPut => Some(STAYS_PUT),
        Verdict::Sound | Verdict::Settled | Verdict::TooClose | Verdict::NotReached => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use sheet::{Criticality::*, Verdict::*};

    #[test]
    fn each_threshold_is_where_its_verdict_begins() {
        for (criticality, now, next, verdict) in [
            (Safety, 0.95, 0.95, StaysPut),
            (Safety, 0.05, 0.05, BeforeLeaving),
            (Safety, 0.0, 0.20, BeforeLeaving),
            (Safety, 0.049, 0.199, Plan),
            (Safety, 0.0, 0.05, Plan),
            (Safety, 0.0, 0.01, LookAgain),
            (Safety, 0.0, 0.009, Sound),
            (EngineLoss, 0.10, 0.10, BeforeLeaving),
            (EngineLoss, 0.0, 0.30, BeforeLeaving),
            (EngineLoss, 0.99, 0.99, BeforeLeaving),
            (EngineLoss, 0.0, 0.10, Plan),
            (EngineLoss, 0.0, 0.02, LookAgain),
            (Stranded, 0.25, 0.25, BeforeLeaving),
            (Stranded, 0.0, 0.50, BeforeLeaving),
            (Stranded, 0.0, 0.20, Plan),
            (Stranded, 0.0, 0.05, LookAgain),
            (Comfort, 0.50, 0.50, BeforeLeaving),
            (Comfort, 0.0, 0.80, BeforeLeaving),
            (Comfort, 0.0, 0.50, Plan),
            (Comfort, 0.0, 0.20, LookAgain),
            (Comfort, 0.0, 0.19, Sound),
        ] {
            assert_eq!(by_the_table(criticality, now, next), verdict, "{criticality:?} {now} {next}");
        }
    }

    #[test]
    fn what_a_verdict_stands_for_gives_that_verdict_again() {
        for criticality in [Safety, EngineLoss, Stranded, Comfort] {
            for verdict in [LookAgain, Plan, BeforeLeaving] {
                let next = stands_for(criticality, verdict).unwrap();
                assert_eq!(by_the_table(criticality, 0.0, next), verdict, "{criticality:?}");
            }
        }
    }

    proptest! {
        #[test]
        fn a_greater_chance_is_never_a_better_verdict(
            now in 0.0..1.0_f64, next in 0.0..1.0_f64, more in 0.0..1.0_f64, index in 0usize..4,
        ) {
            let criticality = [Safety, EngineLoss, Stranded, Comfort][index];
            let before = by_the_table(criticality, now, next);
            prop_assert!(by_the_table(criticality, (now + more).min(1.0), next) >= before);
            prop_assert!(by_the_table(criticality, now, (next + more).min(1.0)) >= before);
        }

        #[test]
        fn what_matters_more_is_never_judged_more_mildly(now in 0.0..1.0_f64, next in 0.0..1.0_f64) {
            let verdicts = [Comfort, Stranded, EngineLoss, Safety].map(|c| by_the_table(c, now, next));
            prop_assert!(verdicts.is_sorted());
        }
    }
}
