use crate::agree;
use prognosis::cascade::{Harms, Link};
use proptest::prelude::*;

const HARMS: usize = 6;

fn links() -> impl Strategy<Value = Vec<Link>> {
    let link = (0..HARMS - 1, 1..HARMS, 0.0..=1.0_f64);
    prop::collection::vec(link, 0..9).prop_map(|links| {
        links
            .into_iter()
            .filter(|(from, to, _)| from < to)
            .map(|(from, to, p)| Link { from, to, p })
            .collect()
    })
}

/// Every way the links can turn out, one after the other.
fn by_enumeration(costs: &[f64], links: &[Link]) -> (Vec<f64>, f64) {
    let (mut reach, mut expected) = (vec![0.0; costs.len()], 0.0);
    for on in 0..1_u32 << links.len() {
        let happens = |k: usize| on >> k & 1 == 1;
        let p: f64 =
            links.iter().enumerate().map(|(k, l)| if happens(k) { l.p } else { 1.0 - l.p }).product();
        let mut hit = vec![false; costs.len()];
        hit[0] = true;
        for _ in 0..costs.len() {
            links.iter().enumerate().filter(|(k, _)| happens(*k)).for_each(|(_, l)| hit[l.to] |= hit[l.from]);
        }
        for (harm, _) in hit.iter().enumerate().filter(|(_, hit)| **hit) {
            reach[harm] += p;
            expected += p * costs[harm];
        }
    }
    (reach, expected)
}

proptest! {
    #![proptest_config(crate::cases(128))]

    #[test]
    fn following_harms_in_order_gives_what_enumeration_gives(links in links(), costs in prop::collection::vec(0.0..1000.0_f64, HARMS)) {
        let found = Harms::new(&costs, &links).unwrap().after(0).unwrap();
        let (reach, expected) = by_enumeration(&costs, &links);
        for (got, want) in found.reach.iter().zip(reach) {
            agree(*got, want, 1e-9);
        }
        agree(found.expected, expected, 1e-9);
        prop_assert!(found.expected <= found.worst + 1e-9 && found.high <= found.worst + 1e-9 && found.high >= costs[0]);
    }

    #[test]
    fn another_way_to_fail_never_makes_a_harm_less_likely(links in links(), from in 0..HARMS - 1, p in 0.0..=1.0_f64) {
        let costs = [100.0; HARMS];
        let before = Harms::new(&costs, &links).unwrap().after(0).unwrap();
        let mut more = links.clone();
        more.push(Link { from, to: HARMS - 1, p });
        let after = Harms::new(&costs, &more).unwrap().after(0).unwrap();
        prop_assert!(before.reach.iter().zip(&after.reach).all(|(b, a)| a >= &(b - 1e-12)));
        prop_assert!(after.expected >= before.expected - 1e-9);
    }
}
