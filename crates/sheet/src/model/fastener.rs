//! What holds parts together.

use super::Only;
use crate::ids::*;

/// A bolt, nut or plug and how it is tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct Fastener {
    pub title: String,
    pub component: Option<ComponentId>,
    pub only: Only,
    /// As the trade writes it: "M12 x 1.5".
    pub thread: Option<String>,
    pub count: Option<u32>,
    /// One after the other, at every fastener before the next.
    pub stages: Vec<Stage>,
    /// In which order: "from the middle outwards, crosswise".
    pub sequence: Option<String>,
    pub reuse: Reuse,
    /// What decides, where reuse depends.
    pub reuse_if: Option<String>,
    /// Oil, thread locker, or nothing.
    pub threads: Option<String>,
    pub caution: Option<String>,
    pub source: String,
}

/// One stage of tightening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// To so many N·m, give or take the second.
    Torque(f64, Option<f64>),
    /// By so many degrees further.
    Angle(f64),
    /// Loosened by so many degrees.
    Loosen(f64),
}

/// Whether it may be used again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reuse {
    /// As often as it is sound.
    Again,
    /// Only if a look or a measure says so.
    Checked,
    /// New every time.
    Never,
}
