//! `witnessmark sheet new DIR`: a small sheet that is in order, or a layer over another.

use crate::{arguments::SheetNew, commands::print_json, error::Failed, output::say};
use ::sheet::{starter, starter_over};
use serde_json::json;
use std::{fs, path::Path};

pub fn run(of: &SheetNew) -> Result<(), Failed> {
    let name = of.dir.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let title =
        of.title.clone().unwrap_or_else(|| if name.is_empty() { "My car".into() } else { name.clone() });
    let files = match &of.over {
        Some(over) => starter_over(over, &title),
        None => starter(&id(&name), &title),
    };
    let folder = of.dir.display().to_string();
    if let Some(file) = files.iter().find(|file| of.dir.join(&file.name).exists()) {
        return Err(Failed::NotEmpty { folder, file: file.name.clone() });
    }
    fs::create_dir_all(&of.dir).map_err(|source| Failed::Write { path: folder.clone(), source })?;
    for file in &files {
        write(&of.dir.join(&file.name), &file.text)?;
    }
    if of.output.json {
        let names: Vec<_> = files.iter().map(|file| &file.name).collect();
        print_json(&json!({ "folder": folder, "files": names }));
    } else {
        say!("{folder} holds {} now. Change it, and look with `witnessmark sheet check {folder}`.", title);
    }
    Ok(())
}

fn write(path: &Path, text: &str) -> Result<(), Failed> {
    fs::write(path, text).map_err(|source| Failed::Write { path: path.display().to_string(), source })
}

/// An id made of the name of a folder.
fn id(name: &str) -> String {
    let fit = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let id: String = name.chars().map(fit).collect();
    let id = id.trim_matches('-');
    if id.is_empty() { "my-car".to_owned() } else { id.to_owned() }
}
