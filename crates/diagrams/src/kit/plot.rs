//! A plot: axes with round numbers, curves, and the point that is meant.

use super::canvas::{Anchor, Canvas, P, WIDTH};
use super::label::Label;
use crate::figure::number;

/// A plot on a canvas; it knows where its numbers lie.
#[derive(Debug, Clone)]
pub struct Plot {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
    x: (f64, f64),
    y: (f64, f64),
    /// What has been drawn as curves, on the canvas.
    drawn: Vec<P>,
}

/// An axis: its ends and what it measures.
#[derive(Debug, Clone)]
pub struct Axis {
    pub low: f64,
    pub high: f64,
    pub title: Label,
    /// Whether round numbers are lettered along it.
    pub figures: bool,
}

impl Axis {
    /// Ends that are equal or not numbers are drawn apart.
    pub fn new(low: f64, high: f64, title: Label) -> Self {
        let (low, high) =
            if low.is_finite() && high.is_finite() { (low.min(high), low.max(high)) } else { (0.0, 1.0) };
        let least = (low.abs().max(high.abs()) * 1e-6).max(1e-12);
        let (low, high) =
            if high - low < least { (low - least * 10.0, high + least * 10.0) } else { (low, high) };
        Self { low, high, title, figures: true }
    }

    /// The ends of some numbers, with a tenth of their spread to spare.
    pub fn around(values: impl IntoIterator<Item = f64>, title: Label) -> Self {
        let finite = values.into_iter().filter(|v| v.is_finite());
        let (low, high) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let spare = if high > low { (high - low) * 0.1 } else { low.abs() * 0.05 + 1e-9 };
        // A range that starts near nought starts at it.
        let from = if low >= 0.0 && low < (high - low) * 0.5 { 0.0 } else { low - spare };
        Self::new(from, high + spare, title)
    }

    pub fn bare(mut self) -> Self {
        self.figures = false;
        self
    }
}

impl Plot {
    /// Draws the axes in a box of the canvas.
    pub fn new(c: &mut Canvas, (left, top): P, (wide, high): P, x: Axis, y: Axis) -> Self {
        let figures = |axis: &Axis| {
            let widest =
                ticks(axis.low, axis.high, 4.0).into_iter().map(|t| Label::words(number(t)).quiet().width());
            if axis.figures { widest.fold(0.0, f64::max) } else { 0.0 }
        };
        let plot = Self {
            left: left + figures(&y) + 8.0,
            top: top + 20.0,
            right: left + wide,
            bottom: top + high - if x.figures { 34.0 } else { 20.0 },
            x: (x.low, x.high),
            y: (y.low, y.high),
            drawn: vec![],
        };
        if x.figures {
            let mut until = f64::NEG_INFINITY;
            for tick in ticks(x.low, x.high, 5.0) {
                let px = plot.px(tick);
                c.line("grid", (px, plot.top), (px, plot.bottom));
                let label = Label::words(number(tick)).quiet();
                let half = label.width() / 2.0;
                if px - half > until + 6.0 && px + half < WIDTH - 2.0 {
                    until = px + half;
                    c.label((px, plot.bottom + 13.0), Anchor::Middle, label);
                }
            }
        }
        if y.figures {
            for tick in ticks(y.low, y.high, 4.0) {
                let py = plot.py(tick);
                c.line("grid", (plot.left, py), (plot.right, py));
                c.label((plot.left - 5.0, py + 4.0), Anchor::End, Label::words(number(tick)).quiet());
            }
        }
        c.open("axis", &[(plot.left, plot.top - 4.0), (plot.left, plot.bottom), (plot.right, plot.bottom)]);
        c.label((left, top + 10.0), Anchor::Start, y.title.within(wide));
        c.label((plot.right, top + high - 4.0), Anchor::End, x.title.within(wide));
        plot
    }

    pub fn px(&self, x: f64) -> f64 {
        let part = (x - self.x.0) / (self.x.1 - self.x.0);
        self.left + (self.right - self.left) * if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 }
    }

    pub fn py(&self, y: f64) -> f64 {
        let part = (y - self.y.0) / (self.y.1 - self.y.0);
        self.bottom - (self.bottom - self.top) * if part.is_finite() { part.clamp(0.0, 1.0) } else { 0.0 }
    }

    pub fn at(&self, x: f64, y: f64) -> P {
        (self.px(x), self.py(y))
    }

    /// Left, top, right and bottom of the field.
    pub fn field(&self) -> (f64, f64, f64, f64) {
        (self.left, self.top, self.right, self.bottom)
    }

    /// A curve through points; it breaks where it leaves the field.
    pub fn curve(&mut self, c: &mut Canvas, class: &str, points: &[P]) {
        let slack = (self.y.1 - self.y.0) * 1e-9;
        let inside = |p: &P| p.1.is_finite() && p.1 >= self.y.0 - slack && p.1 <= self.y.1 + slack;
        for run in points.split(|p| !inside(p)) {
            if run.len() > 1 {
                let run: Vec<P> = run.iter().map(|(x, y)| self.at(*x, *y)).collect();
                c.open(class, &run);
                for (a, b) in run.iter().zip(run.iter().skip(1)) {
                    let between = |t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
                    let steps = ((b.0 - a.0).hypot(b.1 - a.1) / 4.0).ceil().clamp(1.0, 100.0) as u32;
                    self.drawn.extend((0..=steps).map(|i| between(f64::from(i) / f64::from(steps))));
                }
            }
        }
    }

    /// A point with guides to both axes, and its label; nothing when it lies outside the field.
    pub fn point(&self, c: &mut Canvas, x: f64, y: f64, label: Label) {
        let within = |v: f64, (low, high): (f64, f64)| {
            let slack = (high - low) * 1e-6;
            v >= low - slack && v <= high + slack
        };
        if !(within(x, self.x) && within(y, self.y)) {
            return;
        }
        let (px, py) = self.at(x, y);
        c.open("guide", &[(self.left, py), (px, py), (px, self.bottom)]);
        c.circle("out-dot", (px, py), 4.5);
        // The corner about the point that the curves leave free, as far as the field goes.
        let wide = label.width();
        let corners = [(9.0, -7.0), (-9.0 - wide, -7.0), (9.0, 17.0), (-9.0 - wide, 17.0)];
        let crowded = |(dx, dy): &P| {
            let (left, base) = (px + dx, py + dy);
            let crossed = self.drawn.iter().filter(|p| {
                (left - 2.0..left + wide + 2.0).contains(&p.0) && (base - 12.0..base + 5.0).contains(&p.1)
            });
            let outside =
                left < self.left || left + wide > self.right || base > self.bottom - 2.0 || base < self.top;
            crossed.count() + if outside { 1000 } else { 0 }
        };
        if let Some((dx, dy)) = corners.into_iter().min_by_key(crowded) {
            c.label((px + dx, py + dy), Anchor::Start, label);
        }
    }

    /// A level line with its label at the right.
    pub fn level(&self, c: &mut Canvas, class: &str, y: f64, label: Label) {
        let py = self.py(y);
        c.line(class, (self.left, py), (self.right, py));
        c.label((self.right - 3.0, py - 4.0), Anchor::End, label);
    }

    /// An upright line with its label at the top.
    pub fn stand(&self, c: &mut Canvas, class: &str, x: f64, label: Label) {
        let px = self.px(x);
        c.line(class, (px, self.top), (px, self.bottom));
        let rightwards = px + 6.0 + label.width() < self.right;
        let (x, anchor) = if rightwards { (px + 4.0, Anchor::Start) } else { (px - 4.0, Anchor::End) };
        c.label((x, self.top + 10.0), anchor, label);
    }

    /// A shaded band between two levels.
    pub fn band(&self, c: &mut Canvas, low: f64, high: f64) {
        let (top, bottom) = (self.py(high), self.py(low));
        c.rect("band", self.left, top, self.right - self.left, bottom - top);
    }
}

/// Round numbers in a range, about so many.
pub fn ticks(low: f64, high: f64, wanted: f64) -> Vec<f64> {
    let raw = (high - low) / wanted;
    if !(raw.is_finite() && raw > 0.0) {
        return vec![];
    }
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].iter().map(|m| m * power).find(|s| *s >= raw * 0.999).unwrap_or(raw);
    let first = (low / step - 1e-9).ceil();
    (0..12)
        .map(|i| first + f64::from(i))
        .take_while(|n| n * step <= high + step * 1e-9)
        // The product carries the error of the step; the figure lettered should not.
        .map(|n| format!("{:.10e}", n * step).parse().unwrap_or(n * step))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        assert_eq!(ticks(0.0, 1.0, 4.0), [0.0, 0.5, 1.0]);
        assert_eq!(ticks(-37.0, 120.0, 4.0), [0.0, 50.0, 100.0]);
        assert_eq!(ticks(0.0, 0.31, 4.0), [0.0, 0.1, 0.2, 0.3]);
        assert!(ticks(1.0, 1.0, 4.0).is_empty() && ticks(f64::NAN, 1.0, 4.0).is_empty());
    }
}
