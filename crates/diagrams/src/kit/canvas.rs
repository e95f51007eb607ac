//! The sheet a drawing is made on.

use super::hatching;
use super::label::{Label, escape};
use std::fmt::Write as _;
use std::sync::LazyLock;

/// Width of every drawing.
pub const WIDTH: f64 = 360.0;

/// A point: right, down.
pub type P = (f64, f64);

/// Where a label stands against its point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing under way. Lines lie below lettering, whatever the order they are drawn in.
#[derive(Debug)]
pub struct Canvas {
    pub height: f64,
    lines: String,
    lettering: String,
    taken: Vec<Area>,
    says: String,
}

/// Steps to try for a label whose place is taken, the nearest first.
static NEARBY: LazyLock<Vec<P>> = LazyLock::new(|| {
    let steps = |step: f64, most: i32| (-most..=most).map(move |n| f64::from(n) * step);
    let mut places: Vec<P> = steps(4.0, 60).flat_map(|dy| steps(8.0, 42).map(move |dx| (dx, dy))).collect();
    // A label that moves sideways still reads as belonging to its line; one that jumps a row does not.
    let far = |(dx, dy): &P| dx.hypot(dy * 1.4);
    places.sort_by(|a, b| far(a).total_cmp(&far(b)));
    places
});

/// A box that lettering occupies.
#[derive(Debug, Clone, Copy)]
pub struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    fn overlap(&self, other: &Area) -> f64 {
        let wide = self.right.min(other.right) - self.left.max(other.left);
        let high = self.bottom.min(other.bottom) - self.top.max(other.top);
        if wide > 0.0 && high > 0.0 { wide * high } else { 0.0 }
    }
}

impl Canvas {
    pub fn new(height: f64) -> Self {
        Self { height, lines: String::new(), lettering: String::new(), taken: vec![], says: String::new() }
    }

    /// What the drawing shows, in a sentence, for those who cannot see it.
    pub fn says(&mut self, words: &str) {
        self.says = words.to_owned();
    }

    pub fn line(&mut self, class: &str, a: P, b: P) {
        self.open(class, &[a, b]);
    }

    /// An open run of straight lines.
    pub fn open(&mut self, class: &str, points: &[P]) {
        let path = path(points);
        self.path(class, &path);
    }

    /// A closed outline.
    pub fn closed(&mut self, class: &str, points: &[P]) {
        let path = path(points) + "Z";
        self.path(class, &path);
    }

    pub fn rect(&mut self, class: &str, left: f64, top: f64, wide: f64, high: f64) {
        self.closed(class, &rectangle(left, top, wide, high));
    }

    pub fn circle(&mut self, class: &str, centre: P, radius: f64) {
        let (x, y) = centre;
        _ = write!(
            self.lines,
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            at(x),
            at(y),
            at(radius.max(0.0))
        );
    }

    /// An arc, angles in degrees: 0 to the right, 90 down.
    pub fn arc(&mut self, class: &str, centre: P, radius: f64, from: f64, to: f64) {
        self.open(class, &arc_points(centre, radius, from, to));
    }

    /// A cut face: outline and hatching.
    pub fn cut(&mut self, points: &[P]) {
        self.cut_rings(&[points], hatching::RISING);
    }

    /// The neighbour of a cut face, hatched the other way.
    pub fn cut_next(&mut self, points: &[P]) {
        self.cut_rings(&[points], hatching::FALLING);
    }

    /// A cut face with holes in it.
    pub fn cut_rings(&mut self, rings: &[&[P]], slope: f64) {
        let mut hatch = String::new();
        for (a, b) in hatching::hatch(rings, slope, 6.0) {
            hatch += &path(&[a, b]);
        }
        let outline: String = rings.iter().map(|ring| path(ring) + "Z").collect();
        self.path("face", &outline);
        self.path("hatch", &hatch);
        self.path("edge", &outline);
    }

    pub fn path(&mut self, class: &str, d: &str) {
        if !d.is_empty() {
            _ = write!(self.lines, "<path class=\"{class}\" d=\"{d}\"/>");
        }
    }

    /// A filled arrowhead with its tip at a point, pointing along `(dx, dy)`.
    pub fn arrowhead(&mut self, class: &str, tip: P, direction: P) {
        let length = direction.0.hypot(direction.1);
        if length < 1e-9 {
            return;
        }
        let (ux, uy) = (direction.0 / length, direction.1 / length);
        let back = (tip.0 - 7.0 * ux, tip.1 - 7.0 * uy);
        let wing = |side: f64| (back.0 - side * 2.4 * uy, back.1 + side * 2.4 * ux);
        self.closed(class, &[tip, wing(1.0), wing(-1.0)]);
    }

    /// Letters a label at a point, or at the nearest place that is free.
    pub fn label(&mut self, point: P, anchor: Anchor, label: Label) {
        let label = label.within(WIDTH - 6.0);
        if label.is_empty() {
            return;
        }
        let (x, y) = self.free_place(point, anchor, &label);
        self.taken.push(area((x, y), &label));
        _ = write!(
            self.lettering,
            "<text class=\"{}\" x=\"{}\" y=\"{}\">{}</text>",
            label.class(),
            at(x),
            at(y),
            label.spans()
        );
    }

    /// Left end of the line of writing: the wanted place, or the nearest one clear of other lettering and the edges.
    fn free_place(&self, point: P, anchor: Anchor, label: &Label) -> P {
        let width = label.width();
        let (up, down) = label.reach();
        let left = match anchor {
            Anchor::Start => point.0,
            Anchor::Middle => point.0 - width / 2.0,
            Anchor::End => point.0 - width,
        };
        let inside =
            |(x, y): P| (x.min(WIDTH - 2.0 - width).max(2.0), y.min(self.height - 1.0 - down).max(up + 1.0));
        let wanted = inside((left, point.1));
        let clash = |place: P| -> f64 {
            let mine = area(place, label);
            self.taken.iter().map(|other| mine.overlap(other)).sum()
        };
        if clash(wanted) == 0.0 {
            return wanted;
        }
        NEARBY
            .iter()
            .map(|(dx, dy)| inside((wanted.0 + dx, wanted.1 + dy)))
            .find(|place| clash(*place) == 0.0)
            .unwrap_or(wanted)
    }

    /// The finished drawing.
    pub fn finish(self, title: &str, values: &str) -> String {
        let says = if values.is_empty() { self.says } else { format!("{} {values}", self.says) };
        format!(
            "<svg class=\"diagram\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\">\
             <title>{}</title><desc>{}</desc>{}<g>{}</g></svg>",
            at(WIDTH),
            at(self.height),
            escape(title),
            escape(says.trim()),
            self.lines,
            self.lettering
        )
    }
}

fn area((x, y): P, label: &Label) -> Area {
    let (up, down) = label.reach();
    Area { left: x - 2.0, top: y - up - 1.0, right: x + label.width() + 2.0, bottom: y + down }
}

/// A coordinate to a tenth; what is not a number becomes nought.
pub fn at(x: f64) -> String {
    let x = if x.is_finite() { (x * 10.0).round() / 10.0 } else { 0.0 };
    format!("{}", if x == 0.0 { 0.0 } else { x })
}

fn path(points: &[P]) -> String {
    points.iter().enumerate().fold(String::new(), |mut d, (i, (x, y))| {
        _ = write!(d, "{}{} {}", if i == 0 { 'M' } else { 'L' }, at(*x), at(*y));
        d
    })
}

pub fn rectangle(left: f64, top: f64, wide: f64, high: f64) -> [P; 4] {
    [(left, top), (left + wide, top), (left + wide, top + high), (left, top + high)]
}

/// A closed outline with its corners rounded off.
pub fn smooth(corners: &[P]) -> Vec<P> {
    (0..3).fold(corners.to_vec(), |outline, _| {
        let next = outline.iter().cycle().skip(1);
        outline
            .iter()
            .zip(next)
            .flat_map(|(a, b)| [0.25, 0.75].map(|t| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)))
            .collect()
    })
}

/// Points along an arc, every four degrees or less; angles in degrees, 0 to the right, 90 down.
pub fn arc_points(centre: P, radius: f64, from: f64, to: f64) -> Vec<P> {
    let steps = ((to - from).abs() / 4.0).ceil().clamp(2.0, 180.0) as u32;
    (0..=steps).map(|i| polar(centre, radius, from + (to - from) * f64::from(i) / f64::from(steps))).collect()
}

/// The point at a distance and an angle in degrees from another: 0 to the right, 90 down.
pub fn polar(centre: P, radius: f64, degrees: f64) -> P {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (centre.0 + radius * cos, centre.1 + radius * sin)
}

/// A point turned about another, in degrees, clockwise as seen.
pub fn turned(point: P, about: P, degrees: f64) -> P {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (x, y) = (point.0 - about.0, point.1 - about.1);
    (about.0 + x * cos - y * sin, about.1 + x * sin + y * cos)
}
