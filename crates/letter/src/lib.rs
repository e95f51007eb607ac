//! The owner's letter as a page, and the marks that every page shares: the verdict's square and the wear bar.
//!
//! The letter's content comes finished from the `workshop` room; here it gets its form. [`page`] makes a file that stands by
//! itself (styles and typefaces inside, no script, prints cleanly); [`body`] is the same for a page of the server.
//!
//! **Adding a part to the letter:** a field of [`workshop::letter::Letter`], then a `section` here, in the order in which an
//! owner wants to know: good news first.

mod bar;
mod body;
mod page;
mod verdict;

pub use bar::{bar_defs, mark, mark_for_print};
pub use body::{Answers, body};
pub use page::page;
pub use verdict::verdict;

/// Palette, verdict marks and wear bars, as every page uses them.
pub const MARKS_CSS: &str = include_str!("../style/marks.css");
/// The letter's own styles.
pub const LETTER_CSS: &str = include_str!("../style/letter.css");
/// The typeface of screens, WOFF2 (SIL Open Font License 1.1).
pub const SCREEN_FACE: &[u8] = include_bytes!("../fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2");
/// The typeface of the letter, WOFF2 (SIL Open Font License 1.1).
pub const LETTER_FACE: &[u8] = include_bytes!("../fonts/source-serif-4-latin-wght-normal.woff2");
