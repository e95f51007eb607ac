//! Numerical helpers shared by formulas.
