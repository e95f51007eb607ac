use crate::agree;
use prognosis::diagnosis::{Causes, Check, entropy};
use proptest::prelude::*;

const CAUSES: usize = 4;

fn causes() -> impl Strategy<Value = Causes> {
    prop::collection::vec(0.01..1.0_f64, CAUSES).prop_map(|weights| Causes::exactly(&weights).unwrap())
}

fn check() -> impl Strategy<Value = Check> {
    (2..5_usize).prop_flat_map(|states| {
        prop::collection::vec(prop::collection::vec(0.001..1.0_f64, states), CAUSES).prop_map(|rows| {
            let scaled = |row: &Vec<f64>| row.iter().map(|p| p / row.iter().sum::<f64>()).collect();
            Check::new(&rows.iter().map(scaled).collect::<Vec<_>>(), 5.0).unwrap()
        })
    })
}

proptest! {
    #![proptest_config(crate::cases(128))]

    #[test]
    fn a_look_never_tells_less_than_nothing_nor_more_than_is_open(causes in causes(), check in check()) {
        let bits = causes.information(&check).unwrap();
        prop_assert!(bits >= 0.0 && bits <= causes.entropy() + 1e-12);
        // The same as the entropy that is expected to go, state by state.
        let outlook = causes.outlook(&check).unwrap();
        let left = (0..check.states()).map(|s| outlook[s] * causes.seen(&check, s).unwrap().entropy());
        agree(bits, causes.entropy() - left.sum::<f64>(), 1e-9);
    }

    #[test]
    fn the_order_of_evidence_does_not_matter(causes in causes(), one in check(), other in check(), a in 0..2_usize, b in 0..2_usize) {
        let forth = causes.seen(&one, a).unwrap().seen(&other, b).unwrap();
        let back = causes.seen(&other, b).unwrap().seen(&one, a).unwrap();
        for (p, q) in forth.probabilities().iter().zip(back.probabilities()) {
            agree(*p, *q, 1e-9);
        }
        agree(forth.evidence(), back.evidence(), 1e-9);
        agree(forth.probabilities().iter().sum::<f64>(), 1.0, 1e-12);
    }

    #[test]
    fn what_a_check_may_show_averages_to_what_is_believed(causes in causes(), check in check()) {
        let outlook = causes.outlook(&check).unwrap();
        agree(outlook.iter().sum::<f64>(), 1.0, 1e-9);
        for (k, before) in causes.probabilities().iter().enumerate() {
            let after = (0..check.states()).map(|s| outlook[s] * causes.seen(&check, s).unwrap().probabilities()[k]);
            agree(after.sum::<f64>(), *before, 1e-9);
        }
        prop_assert!(entropy(causes.probabilities()) <= (CAUSES as f64).log2() + 1e-12);
    }
}
