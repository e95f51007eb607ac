//! Air pressure at height.

use crate::Dual;

/// Sea-level pressure of the standard atmosphere (Pa). Source: ISO 2533.
pub const SEA_LEVEL: f64 = 101_325.0;

/// Pressure of the standard atmosphere: `p = 101325 (1 − 0.0065 h / 288.15)^5.25588` Pa.
///
/// `h` height above sea level (m), up to 11 km; gives `p` (Pa). Scalar. The weather moves it by ±3 %.
///
/// Source: ISO 2533 (troposphere). Checked: `reference/worked.json`.
pub fn standard_pressure<D: Dual>(height: D) -> D {
    (-height * (0.0065 / 288.15) + 1.0).powf(5.255_88) * SEA_LEVEL
}
