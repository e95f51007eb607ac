//! A formula as a curve: a result against one of its inputs, with the present point on it.

use crate::figure::figure;
use crate::kit::{Axis, Canvas, Label, P, Plot};
use crate::values::Values;
use bench::{Entry, Input, Inputs, Shape};

/// Points of a curve.
const STEPS: u32 = 60;

/// The curve of one result against one input.
pub fn curve(c: &mut Canvas, v: &Values, key: &str, id: &str) -> Option<Plot> {
    let input = v.formula.input(key)?;
    let scale = input.scale()?;
    let output = v.formula.output(id)?;
    let unit = output.unit?;
    let now = v.unit(key);
    let (low, high) = reach(input, now);
    let drawn = v.drawn();
    let points: Vec<P> = (0..=STEPS)
        .map(|i| low + (high - low) * f64::from(i) / f64::from(STEPS))
        .map(|x| (x, result(v, &drawn, key, scale.unit.to_si(x), id).map_or(f64::NAN, |si| unit.from_si(si))))
        .collect();
    let point = v.out_unit(id).unwrap_or(f64::NAN);
    if !points.iter().any(|p| p.1.is_finite()) {
        return None;
    }
    c.height = 220.0;
    let heights = points.iter().map(|p| p.1).chain([point]);
    let y = Axis::around(heights, Label::words(v.formula.output(id)?.title).and(unit_words(unit)));
    let x = Axis::new(low, high, axis_title(input));
    let mut plot = Plot::new(c, (10.0, 6.0), (340.0, 210.0), x, y);
    plot.curve(c, "curve", &points);
    if point.is_finite() {
        let label =
            if v.answered(id) { Label::words(figure(point, unit)).result() } else { Label::default() };
        plot.point(c, now, point, label);
    }
    Some(plot)
}

/// The curve of the first result against the input that moves it most.
pub fn most_telling(c: &mut Canvas, v: &Values) -> Option<Plot> {
    let drawn = v.drawn();
    let outputs = v.formula.outputs.iter().filter(|output| output.unit.is_some() && !output.list);
    for output in outputs {
        let mut best: Option<(&str, f64)> = None;
        for input in v
            .formula
            .inputs
            .iter()
            .filter(|i| matches!(i.shape, Shape::Number(_)) && drawn.get(i.key).is_some())
        {
            let Some(scale) = input.scale() else { continue };
            let (low, high) = reach(input, v.unit(input.key));
            let (Some(a), Some(b)) = (
                result(v, &drawn, input.key, scale.unit.to_si(low), output.id),
                result(v, &drawn, input.key, scale.unit.to_si(high), output.id),
            ) else {
                continue;
            };
            if best.is_none_or(|(_, most)| (b - a).abs() > most) {
                best = Some((input.key, (b - a).abs()));
            }
        }
        if let Some((key, _)) = best
            && let Some(plot) = curve(c, v, key, output.id)
        {
            return Some(plot);
        }
    }
    None
}

/// The title of an axis: what it is, and its unit.
pub fn axis_title(input: &Input) -> Label {
    let unit = input.scale().map(|scale| unit_words(scale.unit)).unwrap_or_default();
    Label::words(input.title).and(unit)
}

/// A unit behind the name of what it measures.
pub fn unit_words(unit: quantity::Unit) -> String {
    use quantity::Unit;
    if unit == Unit::ONE || unit == Unit::COUNT { String::new() } else { format!("/ {unit}") }
}

/// The part of an input's range that is drawn around its present value.
fn reach(input: &Input, now: f64) -> (f64, f64) {
    let Some(scale) = input.scale() else { return (0.0, 1.0) };
    let about =
        if now == 0.0 { scale.example.abs().max((scale.high - scale.low).abs() * 0.1) } else { now.abs() };
    (scale.low.max(now - 0.75 * about), scale.high.min(now + about))
}

/// One result with one input set to another value.
pub fn result(v: &Values, drawn: &Inputs, key: &str, si: f64, id: &str) -> Option<f64> {
    let inputs = drawn.clone().with(key, Entry::Number(si));
    let values = v.formula.values(&inputs).ok()?;
    let (_, found) = values.into_iter().find(|(had, _)| *had == id)?;
    found.first().copied().filter(|x| x.is_finite())
}
