//! Fluids.

pub mod glycol;
pub mod grades;
pub mod quantities;
pub mod viscosity;
pub mod viscosity_index;
mod viscosity_index_table;
