//! Styles, script and typefaces, carried by the program.

use axum::{
    extract::Path,
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};
use rust_embed::RustEmbed;
use std::borrow::Cow;

#[derive(RustEmbed)]
#[folder = "static/"]
struct Static;

pub async fn get(Path(name): Path<String>) -> Response {
    let (kind, body): (&str, Cow<'static, [u8]>) = match name.as_str() {
        "marks.css" => ("text/css", letter::MARKS_CSS.as_bytes().into()),
        "diagrams.css" => ("text/css", diagrams::STYLE.as_bytes().into()),
        "letter.css" => ("text/css", letter::LETTER_CSS.as_bytes().into()),
        "screen.woff2" => ("font/woff2", letter::SCREEN_FACE.into()),
        "letter.woff2" => ("font/woff2", letter::LETTER_FACE.into()),
        other => match Static::get(other) {
            Some(file) if other.ends_with(".css") => ("text/css", file.data),
            Some(file) if other.ends_with(".js") => ("text/javascript", file.data),
            Some(file) if other.ends_with(".svg") => ("image/svg+xml", file.data),
            _ => return StatusCode::NOT_FOUND.into_response(),
        },
    };
    // The program may be replaced under the same address: keep briefly, ask again.
    let keep = if kind == "font/woff2" { "max-age=604800" } else { "max-age=60" };
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, keep)], body).into_response()
}
