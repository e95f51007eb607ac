//! Reading TOML so that each reader looks like the table it reads, and every problem is found in one go.
//!
//! A [`Reader`] takes files and collects what is wrong. A [`Value`] is one value with its place; its methods give it the
//! type it must have, or record what is wrong and give `None`. A [`Table`] hands out each key once and knows at its end
//! which keys nobody asked for. A [`Section`] is what all files say of one kind of thing, by id.
//!
//! ```
//! use sheet::diagnostic::SourceFile;
//! use sheet::table::{Reader, TableFault, Value};
//!
//! struct Tool { title: String, hours: f64 }
//!
//! fn tool(value: Value<'_, TableFault>) -> Option<Tool> {
//!     value.table(|t| {
//!         let title = t.need("title", Value::text);
//!         let hours = t.may("hours", Value::not_negative).unwrap_or(0.0);
//!         Some(Tool { title: title?, hours })
//!     })
//! }
//!
//! let files = [SourceFile::new("tools.toml", "[tool.lamp]\ntitel = \"Lamp\"\nhours = -2\n")];
//! let reader = Reader::<TableFault>::new(&files);
//! let documents = reader.documents();
//! let roots: Vec<_> = documents.iter().map(|d| d.root("tools", &reader)).collect();
//! let tools = reader.section::<String>("tool", "tool", &roots).read(tool);
//! roots.into_iter().for_each(|root| root.end());
//!
//! let problems = reader.finish().unwrap_err();
//! let found: Vec<_> = problems.iter().map(|p| (p.at.line(), p.message())).collect();
//! assert!(tools.is_empty());
//! assert_eq!(found, [
//!     (1, "tool `lamp` has no `title`".to_owned()),
//!     (2, "tool `lamp` has no key `titel`".to_owned()),
//!     (3, "`hours` of tool `lamp` is -2".to_owned()),
//! ]);
//! ```

mod document;
mod fault;
mod measure;
mod nearest;
mod reader;
mod section;
mod syntax;
mod tables;
mod value;

pub use document::Document;
pub use fault::{Shape, TableFault};
pub use nearest::nearest;
pub use reader::Reader;
pub use section::{Id, Section, dangling};
pub use tables::Table;
pub(crate) use value::is_id;
pub use value::{Name, Value, shortened};
