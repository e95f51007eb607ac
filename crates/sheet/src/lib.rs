//! Data sheets: what is known of a type of car. TOML in, a checked model out, diagnostics that point at the line.
mod access;
pub mod diagnostic;
mod disk;
mod fault;
mod ids;
mod model;
mod places;
mod read;
mod supersession;
pub mod table;
mod walk;
mod words;

pub use diagnostic::SourceFile;
pub use disk::{LARGEST, read_dir, read_file};
pub use fault::{SheetFault, Side};
pub use ids::*;
pub use model::*;
pub use read::read;
pub use walk::Stop;

/// Everything that is wrong with a data sheet.
pub type Problems = diagnostic::Problems<SheetFault>;
