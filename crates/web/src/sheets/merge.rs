//! Two texts made out of one, put together where they do not touch.

use std::ops::Range;

/// What both changed in a text, in one; `None` where they changed the same or neighbouring lines.
pub fn merged(base: &str, mine: &str, theirs: &str) -> Option<String> {
    if mine == base || mine == theirs {
        return Some(theirs.to_owned());
    }
    if theirs == base {
        return Some(mine.to_owned());
    }
    let [base, mine, theirs] = [base, mine, theirs].map(lines);
    let (by_me, by_them) = (changed(&base, &mine), changed(&base, &theirs));
    let (first, second) = match () {
        () if by_me.0.end < by_them.0.start => (by_me, by_them),
        () if by_them.0.end < by_me.0.start => (by_them, by_me),
        () => return None,
    };
    let parts = [
        &base[..first.0.start],
        first.1,
        &base[first.0.end..second.0.start],
        second.1,
        &base[second.0.end..],
    ];
    Some(parts.concat().concat())
}

fn lines(text: &str) -> Vec<&str> {
    text.split_inclusive('\n').collect()
}

/// The lines of the one that are others in the other, from the first to the last of them, and what stands there instead.
fn changed<'a, 'b>(base: &[&str], text: &'b [&'a str]) -> (Range<usize>, &'b [&'a str]) {
    let alike = |(a, b): &(&&str, &&str)| a == b;
    let start = base.iter().zip(text).take_while(alike).count();
    let left = base.len().min(text.len()) - start;
    let end = base.iter().rev().zip(text.iter().rev()).take(left).take_while(alike).count();
    (start..base.len() - end, &text[start..text.len() - end])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(base: &str, mine: &str, theirs: &str, wanted: Option<&str>) {
        let text = |words: &str| words.replace(' ', "\n");
        let wanted = wanted.map(text);
        let (base, mine, theirs) = (text(base), text(mine), text(theirs));
        assert_eq!(merged(&base, &mine, &theirs), wanted);
        assert_eq!(merged(&base, &theirs, &mine), wanted, "whoever was first");
    }

    #[test]
    fn changes_that_do_not_touch_are_both_kept() {
        check("a b c d e ", "A b c d e ", "a b c d E ", Some("A b c d E "));
        check("a b c d e ", "a b c d e f ", "0 a b c d e ", Some("0 a b c d e f "));
        check("a b c d e ", "a c d e ", "a b c d d e ", Some("a c d d e "));
        check("a b c ", "a b c ", "a B c ", Some("a B c "));
        check("a b c ", "a B c ", "a B c ", Some("a B c "));
        check("", "", "a ", Some("a "));
    }

    #[test]
    fn changes_that_touch_are_for_a_person() {
        check("a b c ", "a B c ", "a X c ", None);
        check("a b c d ", "a B c d ", "a b C d ", None);
        check("a b ", "a x b ", "a y b ", None);
        check("", "a ", "b ", None);
    }
}
