//! A small repeatable source of numbers (splitmix64: Steele, Lea and Flood, OOPSLA 2014; constants from memory).

pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        // Stirred once, or the numbers of one seed would be those of the next, one place on.
        let mut random = Self(seed);
        Self(random.next())
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly in `[0, 1)`.
    pub fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly in `[low, high)`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    /// One of `0 .. count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub fn chance(&mut self, probability: f64) -> bool {
        self.part() < probability
    }

    /// So many different ones of `0 .. count`, in order.
    pub fn some(&mut self, how_many: usize, count: usize) -> Vec<usize> {
        let mut all: Vec<usize> = (0..count).collect();
        for at in 0..how_many.min(count) {
            let other = at + self.below(count - at);
            all.swap(at, other);
        }
        all.truncate(how_many);
        all.sort_unstable();
        all
    }
}
