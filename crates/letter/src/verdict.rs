//! A verdict as a word with a small square that fills as the matter grows.

use maud::{Markup, html};
use sheet::Verdict;

/// The verdict's mark and word.
pub fn verdict(verdict: Verdict) -> Markup {
    html! { span class={ "v v-" (verdict.id()) } { i aria-hidden="true" {} (verdict.title()) } }
}
