//! Machine parts that more than one drawing shows.

use super::canvas::{Canvas, P, polar};
use super::dimension::Tone;

impl Canvas {
    /// A centre line.
    pub fn centre(&mut self, a: P, b: P) {
        self.line("centre", a, b);
    }

    /// Centre lines through a round part.
    pub fn cross(&mut self, centre: P, radius: f64) {
        let (x, y) = centre;
        self.centre((x - radius, y), (x + radius, y));
        self.centre((x, y - radius), (x, y + radius));
    }

    /// A coil spring from the side, standing between two heights: front strands whole, round sections at the sides.
    pub fn coil(&mut self, x: f64, top: f64, bottom: f64, mean_radius: f64, wire: f64, turns: f64) {
        let turns = turns.clamp(2.0, 14.0).round();
        let r = wire / 2.0;
        let pitch = (bottom - top - wire) / turns;
        let count = turns as u32;
        for i in 0..count {
            let y = top + r + pitch * f64::from(i);
            self.line_thick("wire", (x - mean_radius, y), (x + mean_radius, y + pitch / 2.0), wire);
        }
        for i in 0..=count {
            let y = top + r + pitch * f64::from(i);
            self.circle("metal", (x - mean_radius, y), r);
            if i < count {
                self.circle("metal", (x + mean_radius, y + pitch / 2.0), r);
            }
        }
    }

    /// A bar between two points, as wide as `wide`, outlined.
    pub fn line_thick(&mut self, class: &str, a: P, b: P, wide: f64) {
        let length = (b.0 - a.0).hypot(b.1 - a.1).max(1e-6);
        let (nx, ny) = (-(b.1 - a.1) / length * wide / 2.0, (b.0 - a.0) / length * wide / 2.0);
        self.closed(
            class,
            &[(a.0 + nx, a.1 + ny), (b.0 + nx, b.1 + ny), (b.0 - nx, b.1 - ny), (a.0 - nx, a.1 - ny)],
        );
    }

    /// A dial with a needle at a part of its sweep (0 to 1), and a mark if one is meant.
    pub fn gauge(&mut self, tone: Tone, centre: P, radius: f64, part: f64) {
        let part = if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 };
        self.circle("metal", centre, radius);
        for i in 0..=10 {
            let degrees = 135.0 + 27.0 * f64::from(i);
            let inner = if i % 5 == 0 { radius * 0.7 } else { radius * 0.8 };
            self.line("thin", polar(centre, inner, degrees), polar(centre, radius * 0.92, degrees));
        }
        let needle = 135.0 + 270.0 * part;
        let class = if tone == Tone::Result { "out" } else { "force" };
        self.line(class, polar(centre, radius * 0.2, needle + 180.0), polar(centre, radius * 0.72, needle));
        self.circle("dot", centre, 2.5);
    }

    /// Ground: a line with short strokes below it.
    pub fn ground(&mut self, x1: f64, x2: f64, y: f64) {
        self.line("edge", (x1, y), (x2, y));
        let mut x = x1 + 2.0;
        while x + 5.0 < x2 {
            self.line("hatch", (x + 5.0, y), (x, y + 6.0));
            x += 7.0;
        }
    }
}
