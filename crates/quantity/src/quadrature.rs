//! Integrals of smooth functions over an interval.

/// Nodes of the 15-point Kronrod rule on 0…1 (mirrored), from the outermost in; every second is a node of the 7-point
/// Gauss rule. Source: QUADPACK, Piessens et al. 1983, from memory; the tests integrate polynomials that only right
/// nodes and weights get exactly.
const NODES: [f64; 8] = [
    0.991_455_371_120_812_6,
    0.949_107_912_342_758_5,
    0.864_864_423_359_769_1,
    0.741_531_185_599_394_4,
    0.586_087_235_467_691_1,
    0.405_845_151_377_397_2,
    0.207_784_955_007_898_47,
    0.0,
];
const KRONROD: [f64; 8] = [
    0.022_935_322_010_529_224,
    0.063_092_092_629_978_55,
    0.104_790_010_322_250_18,
    0.140_653_259_715_525_92,
    0.169_004_726_639_267_9,
    0.190_350_578_064_785_4,
    0.204_432_940_075_298_9,
    0.209_482_141_084_727_83,
];
const GAUSS: [f64; 4] =
    [0.129_484_966_168_869_7, 0.279_705_391_489_276_7, 0.381_830_050_505_118_9, 0.417_959_183_673_469_4];

/// `∫ f` from `a` to `b`, both finite, halving where the two rules differ by more than `abs` (shared out by length).
/// Deterministic; gives up refining at intervals 2⁻⁴⁰ of the whole.
pub(crate) fn integral(f: &impl Fn(f64) -> f64, a: f64, b: f64, abs: f64) -> f64 {
    if a >= b {
        return 0.0;
    }
    // A few panels to start with, so that a narrow peak between the nodes of one panel is not missed.
    const PANELS: u32 = 8;
    let width = (b - a) / f64::from(PANELS);
    (0..PANELS)
        .map(|i| {
            let from = a + width * f64::from(i);
            refined(f, from, from + width, abs / f64::from(PANELS), 40)
        })
        .sum()
}

/// `∫ f` from the smallest to the largest of `points`, parted at each, for integrands whose narrow places are known.
pub(crate) fn piecewise(f: &impl Fn(f64) -> f64, points: &mut [f64], abs: f64) -> f64 {
    points.sort_by(f64::total_cmp);
    let pieces = points.windows(2).filter(|piece| piece[0] < piece[1]).count().max(1);
    points.windows(2).map(|piece| integral(f, piece[0], piece[1], abs / pieces as f64)).sum()
}

fn refined(f: &impl Fn(f64) -> f64, a: f64, b: f64, abs: f64, depth: u32) -> f64 {
    let Rules { fine, coarse, size } = both_rules(f, a, b);
    let apart = (fine - coarse).abs();
    // Below some 1e-14 of what is added up, the rules differ by rounding alone, and halving would never end.
    if depth == 0 || apart <= abs.max(1e-14 * size) || !apart.is_finite() {
        return fine;
    }
    let middle = 0.5 * (a + b);
    refined(f, a, middle, 0.5 * abs, depth - 1) + refined(f, middle, b, 0.5 * abs, depth - 1)
}

/// The integral by both rules, and that of the absolute value.
struct Rules {
    fine: f64,
    coarse: f64,
    size: f64,
}

fn both_rules(f: &impl Fn(f64) -> f64, a: f64, b: f64) -> Rules {
    let (centre, half) = (0.5 * (a + b), 0.5 * (b - a));
    let (mut fine, mut coarse, mut size) = (0.0, 0.0, 0.0);
    for (i, (node, weight)) in NODES.iter().zip(KRONROD).enumerate() {
        let (below, above) =
            if *node == 0.0 { (f(centre), 0.0) } else { (f(centre - half * node), f(centre + half * node)) };
        fine += weight * (below + above);
        size += weight * (below.abs() + above.abs());
        if i % 2 == 1 {
            coarse += GAUSS[i / 2] * (below + above);
        }
    }
    Rules { fine: fine * half, coarse: coarse * half, size: size * half }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rules_are_exact_for_the_polynomials_they_should_be() {
        // 15-point Kronrod: degree 22; 7-point Gauss: degree 13. ∫₋₁¹ xⁿ = 2/(n+1), n even.
        for n in (0..=22).step_by(2) {
            let Rules { fine, coarse, .. } = both_rules(&|x: f64| x.powi(n), -1.0, 1.0);
            let exact = 2.0 / f64::from(n + 1);
            assert!((fine - exact).abs() < 1e-15, "degree {n}: {fine} {exact}");
            if n <= 13 {
                assert!((coarse - exact).abs() < 1e-15, "degree {n}: {coarse} {exact}");
            }
        }
    }

    #[test]
    fn a_narrow_peak_and_a_kink_are_found() {
        let peak = integral(&|x: f64| (-0.5 * (x / 1e-3).powi(2)).exp(), -1.0, 1.0, 1e-14);
        assert!((peak - 1e-3 * std::f64::consts::TAU.sqrt()).abs() < 1e-12, "{peak}");
        assert!((integral(&|x: f64| (x - 0.3).abs(), 0.0, 1.0, 1e-13) - 0.29).abs() < 1e-12);
        assert_eq!(integral(&|_| 1.0, 1.0, 1.0, 1e-9), 0.0);
    }
}
