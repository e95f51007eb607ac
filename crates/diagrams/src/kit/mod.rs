//! Drawing instruments: lettering, lines, dimensions, hatching, plots, and the machine parts that recur.

mod canvas;
mod dimension;
mod hatching;
pub(crate) mod label;
mod parts;
mod plot;

#[cfg(test)]
pub use canvas::WIDTH;
pub use canvas::{Anchor, Canvas, P, arc_points, polar, rectangle, smooth, turned};
pub use dimension::Tone;
pub use hatching::{FALLING, RISING};
pub use label::Label;
pub use plot::{Axis, Plot};
