//! What a new sheet begins with: small, right, and commented.

use crate::{
    diagnostic::SourceFile,
    schema::{Part, schema},
};

/// The name of the file that holds the JSON Schema beside the files that point to it.
const SCHEMA: &str = "sheet.schema.json";

/// The files of a new sheet; `id` is its id, `title` what people call it.
pub fn starter(id: &str, title: &str) -> Vec<SourceFile> {
    let text = |text: &str| text.replace("@id@", id).replace("@title@", &escaped(title));
    vec![
        SourceFile::new("00-sheet.toml", text(include_str!("starter/00-sheet.toml"))),
        SourceFile::new("10-brakes.toml", text(include_str!("starter/10-brakes.toml"))),
        SourceFile::new("90-work.toml", text(include_str!("starter/90-work.toml"))),
        schema_file(Part::Sheet),
    ]
}

/// The files of a new layer over the sheet in a folder, which is written as the layer shall name it.
pub fn starter_over(over: &str, title: &str) -> Vec<SourceFile> {
    let text = include_str!("starter/ours.toml");
    let text = text.replace("@over@", &escaped(over)).replace("@title@", &escaped(title));
    vec![SourceFile::new("ours.toml", text), schema_file(Part::Layer)]
}

fn schema_file(part: Part) -> SourceFile {
    let text = serde_json::to_string_pretty(&schema(part)).unwrap_or_default();
    SourceFile::new(SCHEMA, format!("{text}\n"))
}

/// Text inside quotes.
fn escaped(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.replace('\\', "\\\\").replace('"', "\\\"")
}
