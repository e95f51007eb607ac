//! The letter as a file that stands by itself.

use crate::{Answers, LETTER_CSS, LETTER_FACE, MARKS_CSS, SCREEN_FACE, bar_defs, body};
use base64::{Engine, engine::general_purpose::STANDARD};
use maud::{DOCTYPE, PreEscaped, html};
use workshop::letter::Letter;

/// The whole page: styles and typefaces inside, no script, nothing fetched.
pub fn page(letter: &Letter) -> String {
    let face = |family: &str, bytes: &[u8]| {
        format!(
            "@font-face{{font-family:\"{family}\";font-weight:200 900;src:url(data:font/woff2;base64,{}) format(\"woff2\")}}",
            STANDARD.encode(bytes)
        )
    };
    let style = format!(
        "{}{}{MARKS_CSS}{LETTER_CSS}",
        face("Atkinson Hyperlegible Next", SCREEN_FACE),
        face("Source Serif 4", LETTER_FACE)
    );
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (letter.workshop) ": " (letter.car) }
                style { (PreEscaped(style)) }
            }
            body.standalone {
                (bar_defs())
                main { (body(letter, Answers::ToWrite)) }
            }
        }
    }
    .into_string()
}
