//! Diagrams: a drawing for every formula of the bench, in the manner of a handbook's figure, that moves with the
//! values.
//!
//! A drawing is an inline SVG, 360 units wide. Outlines are full lines, cut faces are hatched, dimensions carry the
//! formula's symbols with the values that are given; what comes out is heavier and in the accent. Inputs that are
//! missing or out of range are drawn at a typical size and lettered with their symbol alone. [`STYLE`] is the style
//! sheet that all drawings share; its colours are the custom properties of the page (`--ink`, `--line`, `--blue-4` …).
//!
//! ```
//! let formula = bench::formula("belt-span-tension")?;
//! let inputs = formula.example();
//! let answer = formula.evaluate(&inputs)?;
//! let svg = diagrams::draw(formula, &inputs, Some(&answer)).ok_or("no drawing")?;
//! assert!(svg.starts_with("<svg") && svg.contains("172 mm") && svg.contains("266.3 N"));
//! let blank = diagrams::draw(formula, &bench::Inputs::new(), None).ok_or("no drawing")?;
//! assert!(!blank.contains("172 mm")); // drawn at a typical size, with symbols alone
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **Adding a drawing:** write a function over the kit in the file of the formula's job in `jobs/` and name it in
//! that file's `DRAWINGS` under the id that the formula gives as its `diagram`. Look at it with
//! `cargo run -p witnessmark-diagrams --example contact_sheet`. A formula without one is drawn as its curve.

mod curve;
mod figure;
mod jobs;
mod kit;
#[cfg(test)]
mod laws;
mod values;

use bench::{Answer, Formula, Inputs};
use kit::Canvas;
use values::Values;

/// The style sheet of the drawings.
pub const STYLE: &str = include_str!("style.css");

/// Draws what a formula is about, for these inputs and what came of them.
///
/// `inputs` are in SI and may lack anything, hold values that are out of range or keys that mean nothing; `answer` is
/// what [`Formula::evaluate`] gave for them, `None` before there is one. Gives an `<svg>` element with a title and a
/// description, which holds no id and no style of its own; `None` only for a formula that has neither a drawing nor
/// a number to plot.
pub fn draw(formula: &'static Formula, inputs: &Inputs, answer: Option<&Answer>) -> Option<String> {
    let values = Values::new(formula, inputs, answer);
    let mut canvas = Canvas::new(220.0);
    match jobs::drawing(formula.diagram) {
        Some(drawing) => drawing(&mut canvas, &values),
        None => {
            curve::most_telling(&mut canvas, &values)?;
            canvas.says("The result as a curve, with the present point.");
        }
    }
    Some(canvas.finish(formula.title, &values.said()))
}
