//! Wear of one car's part, from its readings and from what other cars taught.
//!
//! The level of wear on the part's own clock is `L(x) = a + d·b·x + σ_B·W(x)`: an as-new value, a rate that is
//! positive by construction, and a wander of the path's own. Units are the caller's: any unit for the value, any
//! clock that is zero when the part is new.

mod course;
mod crossing;
mod family;
mod isotonic;
mod kind;
mod limits;
mod linear;
mod passage;
mod path;
mod prior;
mod random_slopes;
mod rates;
mod reading;
mod regression;
mod renewal;
mod student;
mod transform;
mod unwear;

pub use course::{Bend, Courses, courses};
pub use crossing::{Crossing, When};
pub use family::{Family, Noise, SHEET_CARS, Taught, learn_noise, pooled};
pub use isotonic::isotonic;
pub use kind::{Kind, LN_SPREAD_SD};
pub use limits::Limits;
pub use linear::Line;
pub use passage::{LumpyWear, inverse_gaussian, wiener_fit};
pub use path::{Level, Path, Rate};
pub use prior::{Direction, Prior};
pub use random_slopes::{RandomSlopes, path_ln_likelihood, random_slopes};
pub use reading::Reading;
pub use regression::{Regression, least_squares, least_squares_through_origin};
pub use renewal::{PerhapsRenewed, SAID, UNSAID};
pub use transform::{Transform, after_bedding};
pub use unwear::{Question, Unwear, expected_range, unwear};
