//! The one-way curve through readings, for drawing.

/// Values that never turn back and lie nearest to those given, by pooling neighbours that do.
///
/// `weights` are read one for each value; a missing or unusable one counts as one. Drawn only: it takes every reading
/// for the truth and knows nothing of uncertainty. Source: pool adjacent violators; Barlow, Bartholomew, Bremner & Brunk
/// 1972. Checked: `reference/wear.json`.
pub fn isotonic(values: &[f64], weights: &[f64], increasing: bool) -> Vec<f64> {
    let sign = if increasing { 1.0 } else { -1.0 };
    // Blocks of pooled values: mean, weight, how many.
    let mut blocks: Vec<(f64, f64, usize)> = Vec::with_capacity(values.len());
    for (k, value) in values.iter().enumerate() {
        let weight = weights.get(k).copied().filter(|w| w.is_finite() && *w > 0.0).unwrap_or(1.0);
        let mut block = (sign * value, weight, 1);
        while let Some((mean, before, count)) = blocks.pop_if(|last| last.0 > block.0) {
            let total = before + block.1;
            block = ((mean * before + block.0 * block.1) / total, total, count + block.2);
        }
        blocks.push(block);
    }
    blocks.into_iter().flat_map(|(mean, _, count)| std::iter::repeat_n(sign * mean, count)).collect()
}
