//! Middle and spread that a few odd values do not move.

use crate::Dual;

/// The median: middle value, or the mean of the two middle ones; `None` of nothing.
pub(crate) fn median<D: Dual>(values: &[D]) -> Option<D> {
    let mut sorted = values.to_vec();
    sorted.sort_by(|a, b| a.re().total_cmp(&b.re()));
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    if sorted.len() % 2 == 1 {
        Some(upper)
    } else {
        sorted.get(half.checked_sub(1)?).map(|lower| (upper + *lower) * 0.5)
    }
}

/// Standard deviation of a normal law over its median absolute deviation: 1/Φ⁻¹(3/4).
const NORMAL: f64 = 1.482_602_218_505_602;

/// The robust deviation: 1.4826 times the median distance from the median.
///
/// Source: Hampel, J. Am. Stat. Assoc. 69 (1974) 383, from memory.
pub(crate) fn deviation<D: Dual>(values: &[D]) -> Option<D> {
    let middle = median(values)?;
    let apart: Vec<D> = values.iter().map(|x| (*x - middle).abs()).collect();
    Some(median(&apart)? * NORMAL)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wild_value_moves_neither_middle_nor_spread_far() {
        let calm = [1.0, 2.0, 3.0, 4.0, 5.0];
        let wild = [1.0, 2.0, 3.0, 4.0, 5e9];
        assert_eq!(median(&calm), median(&wild));
        assert_eq!(deviation(&calm), deviation(&wild));
        assert_eq!(median::<f64>(&[]), None);
        assert_eq!(median(&[1.0, 2.0]), Some(1.5));
    }
}
