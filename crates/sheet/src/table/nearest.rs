//! What was probably meant by a word that is not known.

use strsim::{damerau_levenshtein, jaro};

/// The candidate that a slip of the pen could have turned into `word`, if there is one.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    if !(1..=LONGEST).contains(&length) {
        return None;
    }
    candidates
        .into_iter()
        .filter(|candidate| candidate.len() <= 4 * LONGEST)
        .filter_map(|candidate| {
            let longer = length.max(candidate.chars().count());
            let slips = damerau_levenshtein(&word.to_lowercase(), &candidate.to_lowercase());
            let near = slips * 3 <= longer || longer >= 4 && within(word, candidate);
            near.then(|| (candidate, slips, jaro(word, candidate)))
        })
        .min_by(|a, b| (a.1, b.2).partial_cmp(&(b.1, a.2)).unwrap_or(std::cmp::Ordering::Equal))
        .map(|(candidate, ..)| candidate)
}

/// Nobody misspells a longer word by hand; comparing takes time that grows with the square.
const LONGEST: usize = 80;

/// Whether one is a part of the other that is worth naming.
fn within(a: &str, b: &str) -> bool {
    let (short, long) = if a.len() < b.len() { (a, b) } else { (b, a) };
    short.chars().count() >= 4 && long.contains(short)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_seen_through_and_a_stranger_is_not() {
        let ids = ["front-disc", "front-pad", "rear-disc", "wheels-off", "front-calipers-off"];
        let check = |word: &str, expected: Option<&str>| assert_eq!(nearest(word, ids), expected, "{word}");
        check("front-dics", Some("front-disc"));
        check("wheel-off", Some("wheels-off"));
        check("Front-Pad", Some("front-pad"));
        check("calipers-off", Some("front-calipers-off"));
        check("gearbox", None);
        check("", None);
        check(&"x".repeat(10_000), None);
    }
}
