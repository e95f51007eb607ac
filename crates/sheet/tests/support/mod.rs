//! The example of the guide as files.

use sheet::SourceFile;
use std::{fs, path::PathBuf};

pub fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/sheets/tern-courier")
}

/// In the order of their names.
pub fn files() -> Vec<SourceFile> {
    let mut files: Vec<SourceFile> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            SourceFile::new(name, fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}
