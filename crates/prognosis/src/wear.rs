//! Wear of one car's part, from its readings and from what other cars taught.
//!
//! The level of wear on the part's own clock is `L(x) = a + d·b·x + σ_B·W(x)`: an as-new value, a rate that is
//! positive by construction, and a wander of the path's own. Units are the caller's: any unit for the value, any
//! clock that is zero when the part is new.

mod crossing;
mod limits;
mod path;
mod prior;
mod rates;
mod reading;

pub use crossing::{Crossing, When};
pub use limits::Limits;
pub use path::{Level, Path, Rate};
pub use prior::{Direction, Prior};
pub use reading::Reading;
