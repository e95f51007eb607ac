//! Links that must not close into a ring.

use super::Reader;
use crate::{SheetFault, diagnostic::Span};
use indexmap::IndexMap;
use std::cell::RefCell;

/// Links between things of one kind, each with the place where it is written.
#[derive(Default)]
pub(super) struct Chain {
    links: RefCell<IndexMap<String, Vec<(String, Span)>>>,
}

impl Chain {
    pub fn link(&self, from: &str, to: &str, at: Span) {
        self.links.borrow_mut().entry(from.to_owned()).or_default().push((to.to_owned(), at));
    }

    /// Records each ring once, where it closes, with the way round it.
    pub fn report(&self, what: &'static str, reader: &Reader) {
        for (path, at) in self.rings() {
            reader.fault(SheetFault::Cycle { what, path }, at);
        }
    }

    /// The rings that a walk along all links runs into; each link is walked once.
    fn rings(&self) -> Vec<(Vec<String>, Span)> {
        let links = self.links.borrow();
        let mut state = vec![State::New; links.len()];
        let mut rings = Vec::new();
        for start in 0..links.len() {
            if state[start] != State::New {
                continue;
            }
            // The way from the start to here: each thing, and which of its links comes next.
            let mut way = vec![(start, 0)];
            state[start] = State::OnTheWay;
            while let Some((here, next)) = way.last_mut() {
                let here = *here;
                let Some((to, at)) = links[here].get(*next) else {
                    state[here] = State::Done;
                    way.pop();
                    continue;
                };
                *next += 1;
                let Some(there) = links.get_index_of(to) else { continue }; // the end of a chain
                match state[there] {
                    State::Done => {}
                    State::New => {
                        state[there] = State::OnTheWay;
                        way.push((there, 0));
                    }
                    State::OnTheWay => {
                        let ring = way.iter().map(|(on, _)| *on).skip_while(|on| *on != there).chain([there]);
                        let names = ring.filter_map(|on| links.get_index(on)).map(|(name, _)| name.clone());
                        rings.push((names.collect(), at.clone()));
                    }
                }
            }
        }
        rings
    }
}

#[derive(Clone, Copy, PartialEq)]
enum State {
    New,
    OnTheWay,
    Done,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rings(links: &[(&str, &str)]) -> Vec<String> {
        let chain = Chain::default();
        for (n, (from, to)) in links.iter().enumerate() {
            chain.link(from, to, Span { file: 0, bytes: n..n });
        }
        chain.rings().into_iter().map(|(path, _)| path.join(" ")).collect()
    }

    #[test]
    fn a_ring_is_told_once_with_the_way_round_it() {
        assert_eq!(rings(&[("a", "b"), ("b", "c"), ("c", "b"), ("d", "a")]), ["b c b"]);
        assert_eq!(rings(&[("a", "a")]), ["a a"]);
        assert_eq!(rings(&[("a", "b"), ("b", "a"), ("c", "d"), ("d", "c")]), ["a b a", "c d c"]);
    }

    #[test]
    fn two_ways_to_the_same_thing_are_no_ring() {
        assert!(rings(&[("a", "b"), ("a", "c"), ("b", "d"), ("c", "d")]).is_empty());
    }

    #[test]
    fn a_very_long_chain_is_followed() {
        let names: Vec<String> = (0..20_000).map(|n| n.to_string()).collect();
        let links: Vec<_> = names.windows(2).map(|w| (w[0].as_str(), w[1].as_str())).collect();
        assert!(rings(&links).is_empty());
    }
}
