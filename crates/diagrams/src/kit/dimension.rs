//! Dimension lines, angles and leaders.

use super::canvas::{Anchor, Canvas, P, WIDTH, arc_points, polar};
use super::label::Label;

/// Below this length the arrows stand outside and point in.
const ROOM_FOR_ARROWS: f64 = 22.0;
const TAIL: f64 = 13.0;

impl Canvas {
    /// A dimension from one point to another, drawn at a distance `off` to the right of the way from `a` to `b`
    /// (below a line that runs right, left of one that runs down; negative: the other side).
    pub fn dimension(&mut self, a: P, b: P, off: f64, label: Label) {
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let (ux, uy) = if length < 1e-6 { (1.0, 0.0) } else { ((b.0 - a.0) / length, (b.1 - a.1) / length) };
        let (nx, ny) = (-uy, ux);
        let side = if off < 0.0 { -1.0 } else { 1.0 };
        let moved = |p: P, by: f64| (p.0 + nx * by, p.1 + ny * by);
        if off.abs() > 5.0 {
            for p in [a, b] {
                self.line("thin", moved(p, side * 2.5), moved(p, off + side * 3.5));
            }
        }
        let (p, q) = (moved(a, off), moved(b, off));
        let inside = length >= ROOM_FOR_ARROWS;
        let flat = ux.abs() >= uy.abs();
        if inside {
            self.line("thin", p, q);
            self.arrowhead("tip", p, (-ux, -uy));
            self.arrowhead("tip", q, (ux, uy));
        } else {
            self.line("thin", (p.0 - ux * TAIL, p.1 - uy * TAIL), (q.0 + ux * TAIL, q.1 + uy * TAIL));
            self.arrowhead("tip", p, (ux, uy));
            self.arrowhead("tip", q, (-ux, -uy));
        }
        let middle = ((p.0 + q.0) / 2.0, (p.1 + q.1) / 2.0);
        if flat && inside && (label.width() < length - 4.0 || off.abs() > 5.0) {
            self.label((middle.0, middle.1 - 4.0), Anchor::Middle, label);
        } else if flat {
            let right = if ux > 0.0 { q } else { p };
            let left = if ux > 0.0 { p } else { q };
            if right.0 + TAIL + 3.0 + label.width() < WIDTH - 2.0 {
                self.label((right.0 + TAIL + 3.0, right.1 + 4.0), Anchor::Start, label);
            } else {
                self.label((left.0 - TAIL - 3.0, left.1 + 4.0), Anchor::End, label);
            }
        } else {
            // Lettering stands level beside an upright line, on the side away from the part; else at its right.
            let outwards = if off.abs() < 1e-9 { 1.0 } else { nx * side };
            let (x, anchor) =
                if outwards > 0.0 { (middle.0 + 5.0, Anchor::Start) } else { (middle.0 - 5.0, Anchor::End) };
            self.label((x, middle.1 + 4.5), anchor, label);
        }
    }

    /// A dimension along a level line, from one abscissa to another, at height `y`, with extension lines from `from`.
    pub fn across(&mut self, x1: f64, x2: f64, from: f64, y: f64, label: Label) {
        let (a, b) = (x1.min(x2), x1.max(x2));
        self.dimension((a, from), (b, from), y - from, label);
    }

    /// A dimension along an upright line, from one height to another, at abscissa `x`, with extension lines from
    /// `from`.
    pub fn upright(&mut self, y1: f64, y2: f64, from: f64, x: f64, label: Label) {
        let (a, b) = (y1.min(y2), y1.max(y2));
        self.dimension((from, a), (from, b), from - x, label);
    }

    /// An angle between two directions in degrees (0 to the right, 90 down), with arrows at its ends.
    pub fn angle(&mut self, centre: P, radius: f64, from: f64, to: f64, label: Label) {
        self.arc("thin", centre, radius, from, to);
        let sweep = (to - from) * radius.to_radians();
        let sense = if to >= from { 1.0 } else { -1.0 };
        let tangent = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            (-sin * sense, cos * sense)
        };
        if sweep.abs() > 16.0 {
            let (t, u) = (tangent(from), tangent(to));
            self.arrowhead("tip", polar(centre, radius, from), (-t.0, -t.1));
            self.arrowhead("tip", polar(centre, radius, to), u);
        } else {
            let lead = 18.0f64.atan2(radius).to_degrees() * sense;
            self.arc("thin", centre, radius, from - lead, from);
            self.arc("thin", centre, radius, to, to + lead);
            let (t, u) = (tangent(from), tangent(to));
            self.arrowhead("tip", polar(centre, radius, from), t);
            self.arrowhead("tip", polar(centre, radius, to), (-u.0, -u.1));
        }
        let middle = (from + to) / 2.0;
        let (x, y) = polar(centre, radius + 8.0, middle);
        let cos = middle.to_radians().cos();
        let anchor = if cos > 0.35 {
            Anchor::Start
        } else if cos < -0.35 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        let down = 4.5 + 4.0 * middle.to_radians().sin();
        self.label((x, y + down), anchor, label);
    }

    /// A line from lettering to what it names, with an arrow on it.
    pub fn leader(&mut self, target: P, lettering: P, label: Label) {
        self.line("thin", target, lettering);
        self.arrowhead("tip", target, (target.0 - lettering.0, target.1 - lettering.1));
        let rightwards = lettering.0 >= target.0;
        let (x, anchor) =
            if rightwards { (lettering.0 + 3.0, Anchor::Start) } else { (lettering.0 - 3.0, Anchor::End) };
        self.label((x, lettering.1 + 4.5), anchor, label);
    }

    /// A force or a movement: a heavy arrow from one point to another, its label beyond the end given.
    pub fn arrow(&mut self, class: Tone, from: P, to: P) {
        let (line, tip) = match class {
            Tone::Given => ("force", "force-tip"),
            Tone::Result => ("out", "out-tip"),
        };
        let length = (to.0 - from.0).hypot(to.1 - from.1).max(1e-6);
        let (ux, uy) = ((to.0 - from.0) / length, (to.1 - from.1) / length);
        self.line(line, from, (to.0 - ux * 6.0, to.1 - uy * 6.0));
        let back = (to.0 - 10.0 * ux, to.1 - 10.0 * uy);
        let wing = |side: f64| (back.0 - side * 4.0 * uy, back.1 + side * 4.0 * ux);
        self.closed(tip, &[to, wing(1.0), wing(-1.0)]);
    }

    /// A turning arrow about a centre.
    pub fn turning(&mut self, class: Tone, centre: P, radius: f64, from: f64, to: f64) {
        let (line, tip) = match class {
            Tone::Given => ("force", "force-tip"),
            Tone::Result => ("out", "out-tip"),
        };
        let points = arc_points(centre, radius, from, to);
        self.open(line, &points);
        let sense = if to >= from { 1.0 } else { -1.0 };
        let (sin, cos) = to.to_radians().sin_cos();
        let (ux, uy) = (-sin * sense, cos * sense);
        let end = polar(centre, radius, to);
        let peak = (end.0 + 6.0 * ux, end.1 + 6.0 * uy);
        let wing = |side: f64| (end.0 - 4.0 * ux - side * 4.0 * uy, end.1 - 4.0 * uy + side * 4.0 * ux);
        self.closed(tip, &[peak, wing(1.0), wing(-1.0)]);
    }
}

/// Whether something drawn is put in or comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tone {
    Given,
    Result,
}
