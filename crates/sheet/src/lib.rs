//! Data sheets: what is known of a type of car. TOML in, a checked model out, diagnostics that point at the line.
//!
//! [`read`] takes the texts of a sheet's files and gives a [`Sheet`] in which every reference resolves and every measure
//! fits, or [`Problems`]: everything that is wrong in any of the files, each at its characters and with what would be
//! right. [`read_dir`] does so with a folder. [`check`] and [`check_dir`] look closer: they also tell what does not come
//! together, such as a check that can ask for work which no operation does; [`look_through`] gives both.
//!
//! ```
//! use sheet::{SourceFile, read};
//!
//! let sheet = r#"
//! [sheet]
//! id         = "tern-courier"
//! title      = "Tern Courier"
//! currency   = "EUR"
//! yearly-use = { mean = "12000 km/a", variation = 0.5, source = "own cars" }
//! refit      = 0.9
//!
//! [system.brakes]
//! title = "Brakes"
//!
//! [station.front]
//! title = "Front"
//!
//! [component.disc]
//! title       = "Brake disc"
//! system      = "brakes"
//! criticality = "safety"
//! ages-by     = { km = 1.0 }
//!
//! [instrument.caliper]
//! title      = "Sliding caliper"
//! resolution = "0.01 mm"
//! source     = "its maker"
//!
//! [check.disc-thickness]
//! component = "disc"
//! title     = "Thickness"
//! station   = "front"
//! reading   = { unit = "mm", instrument = "caliper" }
//! limit     = { min = "20.0 mm", source = "stamped on the disc" }
//! "#;
//! let right = read(&[SourceFile::new("sheet.toml", sheet)])?;
//! assert_eq!(right.walk(None).len(), 1);
//!
//! let slip = sheet.replace("20.0 mm", "20.0 Nm");
//! let problems = read(&[SourceFile::new("sheet.toml", slip)]).unwrap_err();
//! assert_eq!(problems.to_string(), r#"
//! limit of `disc-thickness` is in N·m, its reading is in mm
//! sheet.toml:31:21   limit     = { min = "20.0 Nm", source = "stamped on the disc" }
//!                                        ^^^^^^^^^ write a length, such as "23.0 mm"
//!
//! 1 problem"#.trim_start());
//! # Ok::<(), sheet::Problems>(())
//! ```
//!
//! The parts that are not about data sheets serve whoever reads TOML from people: [`diagnostic`] for problems with their
//! places, [`table`] for readers that look like the tables they read.
//!
//! What a sheet says can be told in other ways: [`described`] in plain words, [`changes`] between two sheets, [`write()`] as a
//! file, [`schema`] for editors. [`origins`] says where each value stands, which counts where a folder lies over another's
//! sheet as a layer.
//!
//! **Adding a key:** give the type in `model/` its field, and the reader of its table in `read/` the line that asks for
//! it: `need`, `may` or `list`; then the files of the same name in `schema/`, `describe/` and `write/` theirs. Tests fail until
//! all four agree. What can be wrong with it beyond its type gets a variant of [`SheetFault`] with its help. Write it into the
//! guide and the example under `tests/sheets/`, and its fault into `tests/broken.rs`.
//!
//! **Adding a kind of table:** besides, an id in `ids.rs`, a section in `read/sections.rs`, and a reader of its own file.

mod access;
mod changes;
mod describe;
pub mod diagnostic;
mod disk;
mod fault;
mod ids;
mod marking;
mod model;
mod origins;
mod places;
mod read;
pub mod schema;
mod starter;
mod supersession;
pub mod table;
mod walk;
mod words;
mod write;

pub use changes::{Changed, How, changes};
pub use describe::{Described, Fact, described};
pub use diagnostic::SourceFile;
pub use disk::{LARGEST, check_dir, files_in, read_dir, read_file};
pub use fault::{SheetFault, Side};
pub use ids::*;
pub use marking::{Marked, Misfit};
pub use model::*;
pub use origins::{Instead, Origin, Origins, origins};
pub use read::{LookedThrough, check, look_through, read};
pub use starter::{starter, starter_over};
pub use walk::Stop;
pub use write::write;

/// Everything that is wrong with a data sheet.
pub type Problems = diagnostic::Problems<SheetFault>;
