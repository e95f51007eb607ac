//! Machine parts that more than one drawing shows.

use super::canvas::{Anchor, Canvas, P, WIDTH, polar, rectangle, turned};
use super::dimension::Tone;
use super::hatching::RISING;
use super::label::Label;

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

    /// A coil spring from the side, standing between two heights: its end coils lie flat, the others climb; round
    /// sections where the wire turns away.
    pub fn coil(&mut self, x: f64, top: f64, bottom: f64, mean_radius: f64, wire: f64, turns: f64) {
        self.leaning_coil((x, bottom), bottom - top, 0.0, mean_radius, wire, turns);
    }

    /// The same standing on a point and leaning, in degrees, to the right above zero.
    pub fn leaning_coil(&mut self, foot: P, long: f64, lean: f64, mean_radius: f64, wire: f64, turns: f64) {
        let count = turns.clamp(2.0, 14.0).round() as u32;
        let wire = wire.min(long / (f64::from(count) + 2.0)).max(1.0);
        let r = wire / 2.0;
        let put = |side: f64, up: f64| turned((foot.0 + side * mean_radius, foot.1 - up), foot, lean);
        let (first, last) = (long - r, r);
        let pitch = (first - last - wire) / (f64::from(count) + 0.5);
        let climb = first - wire / 2.0 - pitch / 2.0;
        for up in [first, last] {
            self.line_thick("wire", put(-1.0, up), put(1.0, up), wire);
        }
        for i in 0..count {
            let up = climb - pitch * f64::from(i);
            self.line_thick("wire", put(-1.0, up), put(1.0, up - pitch / 2.0), wire);
        }
        for i in 0..count {
            let up = climb - pitch * f64::from(i);
            self.circle("metal", put(-1.0, up), r);
            self.circle("metal", put(1.0, up - pitch / 2.0), r);
        }
        for (side, up) in [(-1.0, first), (1.0, first), (-1.0, last), (1.0, last)] {
            self.circle("metal", put(side, up), r);
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

    /// A double arrow for an upright travel, so far to both sides.
    pub fn travel(&mut self, (x, y): P, reach: f64) {
        self.line("thin", (x, y - reach), (x, y + reach));
        self.arrowhead("tip", (x, y - reach), (0.0, -1.0));
        self.arrowhead("tip", (x, y + reach), (0.0, 1.0));
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

    /// Labels one after another from the left, on as many lines as they need, for which the sheet grows; gives the
    /// height of the last line.
    pub fn flow(&mut self, first_line: f64, labels: impl IntoIterator<Item = Label>) -> f64 {
        let (mut x, mut y) = (10.0, first_line);
        for label in labels.into_iter().filter(|label| !label.is_empty()) {
            let wide = label.width();
            if x > 10.0 && x + wide > WIDTH - 8.0 {
                (x, y) = (10.0, y + 18.0);
            }
            self.height = self.height.max(y + 7.0);
            self.label((x, y), Anchor::Start, label);
            x += wide + 18.0;
        }
        y
    }

    /// A bore in section between `left` and `right`, walls `wall` thick, from `top` to `bottom`.
    pub fn bore(&mut self, left: f64, right: f64, top: f64, bottom: f64, wall: f64) {
        self.cut_rings(&[&rectangle(left - wall, top, wall, bottom - top)], RISING);
        self.cut_rings(&[&rectangle(right, top, wall, bottom - top)], RISING);
    }

    /// A piston with its rings and pin; gives the place of the pin.
    pub fn piston(&mut self, x: f64, top: f64, radius: f64, high: f64) -> P {
        self.rect("metal", x - radius, top, 2.0 * radius, high);
        for i in 0..3 {
            let y = top + high * (0.12 + 0.1 * f64::from(i));
            self.line("edge", (x - radius, y), (x - radius + 4.0, y));
            self.line("edge", (x + radius - 4.0, y), (x + radius, y));
        }
        let pin = (x, top + high * 0.66);
        self.circle("blank", pin, (high * 0.12).clamp(3.0, 6.0));
        pin
    }

    /// A connecting rod between two pins.
    pub fn rod(&mut self, small: P, big: P) {
        self.line_thick("metal", small, big, 7.0);
        self.circle("metal", small, 6.0);
        self.circle("metal", big, 8.0);
        self.circle("blank", small, 3.0);
        self.circle("blank", big, 4.0);
    }

    /// A level hydraulic cylinder in section, closed at `closed`, open at `open`; the piston's face at `face`, fluid
    /// between the closed end and the face, the push rod out of the open end.
    pub fn hydraulic(&mut self, axis: f64, bore: f64, closed: f64, open: f64, face: f64) {
        let (half, wall) = (bore / 2.0, 6.0);
        let sense = if open >= closed { 1.0 } else { -1.0 };
        let (left, right) = (closed.min(open), closed.max(open));
        self.rect("fluid", closed.min(face), axis - half, (face - closed).abs(), bore);
        let end = if sense > 0.0 { closed - wall } else { closed };
        self.cut(&rectangle(left, axis - half - wall, right - left, wall));
        self.cut(&rectangle(left, axis + half, right - left, wall));
        self.cut(&rectangle(end, axis - half - wall, wall, bore + 2.0 * wall));
        let back = face + sense * 14.0;
        self.rect("metal", face.min(back), axis - half, 14.0, bore);
        self.line("edge", (face + sense * 4.0, axis - half), (face + sense * 4.0, axis + half));
        self.centre((left - 12.0, axis), (right + 12.0, axis));
    }

    /// A bar of a chart, standing on `foot`, in one of the fills.
    pub fn bar(&mut self, class: &str, x: f64, wide: f64, foot: f64, top: f64) {
        self.rect(class, x - wide / 2.0, top.min(foot), wide, (foot - top).abs());
    }
}
