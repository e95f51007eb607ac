//! Hatching of cut faces, line by line, so that no drawing on a page needs another's pattern.

use super::canvas::P;

/// Slopes of neighbouring parts.
pub const RISING: f64 = -1.0;
pub const FALLING: f64 = 1.0;

/// Lines of a slope at a distance, within outlines; a second outline within the first is a hole.
pub fn hatch(rings: &[&[P]], slope: f64, spacing: f64) -> Vec<(P, P)> {
    let level = |(x, y): P| y - slope * x;
    let step = spacing * 2f64.sqrt();
    let levels = rings.iter().flat_map(|ring| ring.iter().map(|point| level(*point)));
    let (least, most) = levels.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), l| (a.min(l), b.max(l)));
    if !(least.is_finite() && most.is_finite()) || most - least > 4000.0 {
        return vec![];
    }
    let mut lines = vec![];
    // Levels are multiples of the step, so that two parts of one piece are hatched in line; never exactly a corner's.
    let mut at = (least / step).floor() * step + 0.0137;
    while at < most {
        let mut crossings: Vec<f64> = rings.iter().flat_map(|ring| crossings(ring, level, at)).collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if let [a, b] = pair
                && b - a > 0.8
            {
                lines.push(((*a, at + slope * a), (*b, at + slope * b)));
            }
        }
        at += step;
    }
    lines
}

/// Where an outline crosses a level: the abscissae.
fn crossings(ring: &[P], level: impl Fn(P) -> f64 + Copy, at: f64) -> impl Iterator<Item = f64> {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).filter_map(move |(a, b)| {
        let (la, lb) = (level(*a), level(*b));
        ((la < at) != (lb < at)).then(|| a.0 + (b.0 - a.0) * (at - la) / (lb - la))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_and_leaves_holes_free() {
        let outer = [(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)];
        let hole = [(20.0, 10.0), (40.0, 10.0), (40.0, 30.0), (20.0, 30.0)];
        let lines = hatch(&[&outer, &hole], RISING, 6.0);
        assert!(lines.len() > 10);
        for (a, b) in lines {
            let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
            assert!((0.0..=60.0).contains(&middle.0) && (0.0..=40.0).contains(&middle.1));
            assert!(!((20.5..39.5).contains(&middle.0) && (10.5..29.5).contains(&middle.1)), "{middle:?}");
        }
    }
}
