//! Large books, made small without losing what they say.

use super::Record;
use super::likelihood::Evidence;
use std::collections::HashMap;

/// Books with more records are binned.
pub(crate) const MANY: usize = 2000;
/// Width of a bin on the logarithm of the clock: times a fiftieth apart count as one.
const WIDTH: f64 = 0.02;

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

/// Records sorted and binned. Entries are counted apart from what follows, since the likelihood is a sum of both.
pub(crate) fn binned(records: &[Record]) -> Evidence {
    let mut bins: HashMap<Key, Bin> = HashMap::new();
    let mut evidence = Evidence::default();
    for record in records.iter().filter(|record| record.count > 0.0) {
        let (kind, first, second) = if record.lower == record.upper {
            (Kind::Exact, record.lower, record.lower)
        } else if record.sees < 1.0 && record.lower > 0.0 {
            evidence.add(record);
            continue;
        } else if record.upper.is_finite() {
            if record.lower > 0.0 {
                (Kind::Between, record.lower, record.upper)
            } else {
                (Kind::FailedBy, record.upper, record.upper)
            }
        } else {
            (Kind::Lasted, record.lower, record.lower)
        };
        if record.entry > 0.0 {
            put(&mut bins, Kind::Entered, record.entry, record.entry, record.count);
        }
        if first > 0.0 {
            put(&mut bins, kind, first, second, record.count);
        }
    }
    let mut sorted: Vec<(Key, Bin)> = bins.into_iter().collect();
    sorted.sort_unstable_by_key(|(key, _)| *key);
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

fn put(bins: &mut HashMap<Key, Bin>, kind: Kind, first: f64, second: f64, count: f64) {
    let (first, second) = (first.ln(), second.ln());
    // The second time is binned by its distance from the first, or a narrow gap would be swallowed by the bin.
    let place = |ln: f64| (ln / WIDTH).floor() as i32;
    let gap = if kind == Kind::Between { ((second - first).ln() / WIDTH).floor() as i32 } else { 0 };
    let bin = bins.entry((kind, place(first), gap)).or_default();
    bin.count += count;
    bin.first += count * first;
    bin.second += count * second;
}
