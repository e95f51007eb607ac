//! Large books, made small without losing what they say.

use super::likelihood::Evidence;
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// Books with more records are binned.
pub(crate) const MANY: usize = 2000;
/// Width of a bin on the logarithm of the clock, for what is read off the bins: times a fiftieth apart count as one.
pub(crate) const FINE: f64 = 0.02;
/// The same for what only finds its way by the bins.
pub(crate) const COARSE: f64 = 0.06;

/// What a bin says: kind, and the bin of each of its times.
type Key = (Kind, i32, i32);

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Kind {
    Exact,
    Lasted,
    Entered,
    FailedBy,
    Between,
}

/// Count, and sums of the logarithms of the times, so that a bin stands at its own centre.
#[derive(Debug, Clone, Copy, Default)]
struct Bin {
    count: f64,
    first: f64,
    second: f64,
}

/// Records binned. Entries are counted apart from what follows, since the likelihood is a sum of both.
pub(crate) fn binned(records: &Evidence, width: f64) -> Evidence {
    let mut bins: HashMap<Key, Bin, FixedState> = HashMap::default();
    for (kind, list) in [(Kind::Exact, &records.exact), (Kind::FailedBy, &records.failed_by)] {
        list.iter().for_each(|(t, n)| put(&mut bins, width, kind, *t, *t, *n));
    }
    for (t, n) in &records.lasted {
        let kind = if *n < 0.0 { Kind::Entered } else { Kind::Lasted };
        put(&mut bins, width, kind, *t, *t, n.abs());
    }
    records.between.iter().for_each(|(l, h, n)| put(&mut bins, width, Kind::Between, *l, *h, *n));
    let mut sorted: Vec<(Key, Bin)> = bins.into_iter().collect();
    sorted.sort_unstable_by_key(|(key, _)| *key);
    let mut evidence = Evidence { missable: records.missable.clone(), ..Evidence::default() };
    for ((kind, _, _), Bin { count, first, second }) in sorted {
        let (first, second) = (first / count, second / count);
        match kind {
            Kind::Exact => evidence.exact.push((first, count)),
            Kind::Lasted => evidence.lasted.push((first, count)),
            Kind::Entered => evidence.lasted.push((first, -count)),
            Kind::FailedBy => evidence.failed_by.push((first, count)),
            Kind::Between => evidence.between.push((first, second, count)),
        }
    }
    evidence
}

fn put(
    bins: &mut HashMap<Key, Bin, FixedState>,
    width: f64,
    kind: Kind,
    first: f64,
    second: f64,
    count: f64,
) {
    // The second time is binned by its distance from the first, or a narrow gap would be swallowed by the bin.
    let place = |ln: f64| (ln / width).floor() as i32;
    let gap = if kind == Kind::Between { ((second - first).ln() / width).floor() as i32 } else { 0 };
    let bin = bins.entry((kind, place(first), gap)).or_default();
    bin.count += count;
    bin.first += count * first;
    bin.second += count * second;
}
