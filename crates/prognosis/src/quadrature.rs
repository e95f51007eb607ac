//! Sums that stand for integrals.

/// Ten-point Gauss–Legendre nodes and weights on ±1, one half of them; Abramowitz & Stegun 1964, table 25.4.
const NODES: [(f64, f64); 5] = [
    (0.148_874_338_981_631_21, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_36),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];
/// Panels of a tail grow by half each, so this many reach any horizon in sight.
const MOST_PANELS: u32 = 60;

/// Integral over one panel, exact for polynomials up to the 19th degree.
pub(crate) fn panel(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    half * NODES.iter().map(|(x, w)| w * (f(middle - half * x) + f(middle + half * x))).sum::<f64>()
}

/// Integral over so many panels of equal length.
pub(crate) fn panels(from: f64, to: f64, count: u32, f: impl Fn(f64) -> f64) -> f64 {
    let width = (to - from) / f64::from(count);
    (0..count).map(|k| panel(from + width * f64::from(k), from + width * f64::from(k + 1), &f)).sum()
}

/// Integral of a function that falls from one toward zero, from `from` to `to`, over panels that start at a quarter
/// of its typical length and grow; it stops where nothing is left. Zero when `to` is not beyond `from`.
pub(crate) fn tail(from: f64, to: f64, typical: f64, f: impl Fn(f64) -> f64) -> f64 {
    let mut start = from;
    let mut length = 0.25 * typical;
    let mut sum = 0.0;
    for _ in 0..MOST_PANELS {
        if !(start < to && length > 0.0) {
            break;
        }
        let end = (start + length).min(to);
        let part = panel(start, end, &f);
        sum += part;
        if part <= 1e-12 * sum {
            break;
        }
        (start, length) = (end, 1.5 * length);
    }
    sum
}
