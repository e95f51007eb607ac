//! Sums that stand for integrals.

/// Ten-point Gauss–Legendre nodes and weights on ±1, one half of them; Abramowitz & Stegun 1964, table 25.4.
const NODES: [(f64, f64); 5] = [
    (0.148_874_338_981_631_21, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_36),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];
/// Panels of a tail double, so this many reach any horizon in sight.
const MOST_PANELS: u32 = 60;
/// The first panel is shortened until more than this share is left at its end.
const FALLEN: f64 = 0.02;
/// Panels double once less than this share is left, or after so many.
const LITTLE: f64 = 0.2;
const EVEN_PANELS: u32 = 8;
/// A panel that adds less than this share of the sum is the last.
const NOTHING: f64 = 1e-7;

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

/// Integral of a function that falls toward zero, from `from` to `to`, over panels of half the typical length, or as
/// much shorter as the function falls faster; once it has fallen they double, and they stop where nothing is left that
/// matters. Zero when `to` is not beyond `from`.
pub(crate) fn tail(from: f64, to: f64, typical: f64, f: impl Fn(f64) -> f64) -> f64 {
    let at_start = f(from);
    let mut length = 0.5 * typical;
    for _ in 0..MOST_PANELS {
        if f((from + length).min(to)) > FALLEN * at_start {
            break;
        }
        length *= 0.25;
    }
    let mut start = from;
    let mut sum = 0.0;
    for count in 1..=MOST_PANELS {
        if !(start < to && length > 0.0) {
            break;
        }
        let end = (start + length).min(to);
        let part = panel(start, end, &f);
        sum += part;
        if part <= NOTHING * sum {
            break;
        }
        start = end;
        if count >= EVEN_PANELS || f(end) < LITTLE * at_start {
            length *= 2.0;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tail_is_summed_whether_it_falls_slowly_or_at_once() {
        for scale in [1e-4, 0.03, 1.0, 50.0] {
            let sum = tail(2.0, 1e9, 1.0, |t| (-(t - 2.0) / scale).exp());
            assert!((sum / scale - 1.0).abs() < 1e-6, "{scale}: {sum}");
        }
        assert_eq!(tail(2.0, 1.0, 1.0, |_| 1.0), 0.0);
        assert!((tail(0.0, 3.0, 1.0, |_| 1.0) - 3.0).abs() < 1e-12);
    }
}
