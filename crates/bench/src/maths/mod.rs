//! Numerical helpers shared by formulas.

pub(crate) mod assignment;
pub(crate) mod robust;
pub(crate) mod spline;
pub(crate) mod table;
