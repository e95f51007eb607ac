//! Numbers that carry their derivatives.

use num_dual::{DualNum, DualSVec64};

/// A real number that may carry derivatives: `f64`, or any dual number over `f64`.
///
/// A formula written over `Dual` gives its value with `f64` and its value and exact sensitivities with [`Eight`].
pub trait Dual: DualNum<Primitive = f64> + Copy {}

impl<T: DualNum<Primitive = f64> + Copy> Dual for T {}

/// A number with its derivatives by eight inputs at a time. Most formulas of the trade have fewer inputs; the
/// others are run through in eights, which keeps every number on the stack.
pub type Eight = DualSVec64<8>;

/// The smaller of two, derivatives included.
pub fn smaller<D: Dual>(a: D, b: D) -> D {
    if b.re() < a.re() { b } else { a }
}

/// The larger of two, derivatives included.
pub fn larger<D: Dual>(a: D, b: D) -> D {
    if b.re() > a.re() { b } else { a }
}
