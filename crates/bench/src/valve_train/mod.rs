//! Valve train.

pub mod float_speed;
pub mod heights_compared;
pub mod installed_height;
pub mod lash;
pub mod load_table;
pub mod nose;
pub mod piston_to_valve;
pub mod retainer_clearance;
pub mod shim_plan;
pub mod surge;
