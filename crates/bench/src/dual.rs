//! Numbers that carry their derivatives.

use crate::BenchError;
use num_dual::{DualNum, DualSVec64};

/// A real number that may carry derivatives: `f64`, or any dual number over `f64`.
///
/// A formula written over `Dual` gives its value with `f64` and its value and exact sensitivities with [`Eight`].
pub trait Dual: DualNum<Primitive = f64> + Copy {}

impl<T: DualNum<Primitive = f64> + Copy> Dual for T {}

/// A number with its derivatives by eight inputs at a time. Most formulas of the trade have fewer inputs; the
/// others are run through in eights, which keeps every number on the stack.
pub type Eight = DualSVec64<8>;

/// Value and standard uncertainty of a function of the bench by itself, for inputs that share no error: each a value in
/// SI with its standard uncertainty. No budget, no ranges, no words; [`Formula::assess`](crate::Formula::assess) has those.
///
/// # Errors
/// Those of the function.
///
/// Source: JCGM 100:2008 5.1.2. Checked: against `assess`, and another library in the benches.
///
/// ```
/// use bench::belts::span_tension::belt_span_tension;
/// let (tension, u) = bench::with_u([(0.1, 0.0), (0.172, 0.001), (150.0, 2.0)], |[mass, span, note]| {
///     belt_span_tension(mass, span, note)
/// })?;
/// assert!((tension - 266.256).abs() < 1e-3 && (u - 7.74).abs() < 0.01);
/// # Ok::<(), bench::BenchError>(())
/// ```
pub fn with_u<const N: usize>(
    inputs: [(f64, f64); N],
    function: impl FnOnce([DualSVec64<N>; N]) -> Result<DualSVec64<N>, BenchError>,
) -> Result<(f64, f64), BenchError> {
    let seeds = std::array::from_fn(|at| DualSVec64::from_re(inputs[at].0).derivative(at));
    let result = function(seeds)?;
    let part = |(at, (_, u)): (usize, &(f64, f64))| result.eps.0.map_or(0.0, |slopes| slopes[at]) * u;
    let variance: f64 = inputs.iter().enumerate().map(|input| part(input).powi(2)).sum();
    Ok((result.re, variance.sqrt()))
}

/// The smaller of two, derivatives included.
pub fn smaller<D: Dual>(a: D, b: D) -> D {
    if b.re() < a.re() { b } else { a }
}

/// The larger of two, derivatives included.
pub fn larger<D: Dual>(a: D, b: D) -> D {
    if b.re() > a.re() { b } else { a }
}
