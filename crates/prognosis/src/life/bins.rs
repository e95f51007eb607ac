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

/// Count, and sums of the logarithms of the times, so that a bin stands at its own centre.
#[derive(Debug, Clone, Copy, Default)]
struct Bin {
    count: f64,
    first: f64,
    second: f64,
}

/// The bins of one kind of record, by their place.
struct Bins {
    width: f64,
    /// Leading bits of a mantissa that make steps no wider than the width.
    bits: u32,
    bins: HashMap<u64, Bin, FixedState>,
}

impl Bins {
    fn new(width: f64) -> Self {
        let bits = (-width.log2()).ceil().clamp(0.0, 20.0) as u32;
        Self { width, bits, bins: HashMap::default() }
    }

    fn put(&mut self, ln: f64, count: f64) {
        self.add(self.place(ln), ln, ln, count);
    }

    /// The second time is binned by its distance from the first, or a narrow gap would be swallowed by the bin.
    fn put_between(&mut self, first: f64, second: f64, count: f64) {
        self.add(self.place(first) << 32 | self.leading(second - first), first, second, count);
    }

    fn add(&mut self, place: u64, first: f64, second: f64, count: f64) {
        let bin = self.bins.entry(place).or_default();
        bin.count += count;
        bin.first += count * first;
        bin.second += count * second;
    }

    /// The bin of a logarithm, counted from below that of any number.
    fn place(&self, ln: f64) -> u64 {
        const BELOW_ALL: f64 = 1e6;
        (ln / self.width + BELOW_ALL) as u64
    }

    /// The bin of a number above zero: its exponent and the leading bits of its mantissa. A logarithm would do the same
    /// and take longer than all the rest of a record.
    fn leading(&self, number: f64) -> u64 {
        number.to_bits() >> (52 - self.bits)
    }

    fn in_order(self) -> impl Iterator<Item = Bin> {
        let mut sorted: Vec<(u64, Bin)> = self.bins.into_iter().collect();
        sorted.sort_unstable_by_key(|(place, _)| *place);
        sorted.into_iter().map(|(_, bin)| bin)
    }
}

/// Records binned.
pub(crate) fn binned(records: &Evidence, width: f64) -> Evidence {
    let alone = |list: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut bins = Bins::new(width);
        list.for_each(|(t, n)| bins.put(t, n));
        bins.in_order().map(|bin| (bin.first / bin.count, bin.count)).collect::<Vec<_>>()
    };
    let mut between = Bins::new(width);
    records.between.iter().for_each(|(l, h, n)| between.put_between(*l, *h, *n));
    // Entries are counted apart from what follows, since the likelihood is a sum of both.
    let lasted = alone(&mut records.lasted.iter().copied().filter(|(_, n)| *n > 0.0));
    let entered = alone(&mut records.lasted.iter().copied().filter(|(_, n)| *n < 0.0));
    Evidence {
        exact: alone(&mut records.exact.iter().copied()),
        lasted: lasted.into_iter().chain(entered).collect(),
        failed_by: alone(&mut records.failed_by.iter().copied()),
        between: between
            .in_order()
            .map(|bin| (bin.first / bin.count, bin.second / bin.count, bin.count))
            .collect(),
        missable: records.missable.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bin_of_gaps_is_no_wider_than_its_share() {
        for width in [FINE, COARSE] {
            let bins = Bins::new(width);
            let mut first = 1e-9;
            let mut last = first;
            while last < 10.0 {
                let next = last * 1.000_1;
                if bins.leading(next) != bins.leading(first) {
                    assert!(bins.leading(next) > bins.leading(first));
                    first = next;
                }
                assert!(next / first <= (1.0 + width) * 1.000_1, "{first} {next}");
                last = next;
            }
        }
    }
}
