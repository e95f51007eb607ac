//! Drawing instruments: lettering, lines, dimensions, hatching, plots, and the machine parts that recur.

#![allow(dead_code, unused_imports)]

mod canvas;
mod dimension;
mod hatching;
mod label;
mod parts;
mod plot;

pub use canvas::{Anchor, Canvas, P, WIDTH, arc_points, polar, rectangle, turned};
pub use dimension::Tone;
pub use hatching::{FALLING, RISING};
pub use label::Label;
pub use plot::{Axis, Plot};
