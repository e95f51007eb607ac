//! Files of a folder.

use crate::{
    Problems, Sheet, SheetFault, SourceFile,
    diagnostic::{self, Location, Problem, Source},
    read::{Care, layers::over_of, read_some},
    table::TableFault,
};
use std::{
    fs::File,
    io::{self, Read},
    path::Path,
};

/// The largest file that is read, in bytes.
pub const LARGEST: u64 = 1 << 20;

/// Reads the data sheet of a folder: every `*.toml` file in it, in the order of their names; folders below are left
/// alone.
///
/// # Errors
/// Everything that is wrong: files that cannot be read, are not UTF-8 or are larger than 1 MiB, and everything that
/// [`read`](crate::read) finds in the others.
pub fn read_dir(folder: &Path) -> Result<Sheet, Problems> {
    let (files, problems) = texts(folder)?;
    read_some(&files, problems, Care::ToUse)
}

/// Reads the data sheet of a folder and looks it through, its photos included.
///
/// # Errors
/// As [`read_dir`], and everything that [`check`](crate::check) finds.
pub fn check_dir(folder: &Path) -> Result<Sheet, Problems> {
    let (files, problems) = texts(folder)?;
    read_some(&files, problems, Care::ToWrite(Some(folder)))
}

/// The texts of a folder's data sheet, to be kept as they are; what they say is not looked at.
///
/// # Errors
/// Files that cannot be read, are not UTF-8 or are larger than 1 MiB; a folder without any.
pub fn files_in(folder: &Path) -> Result<Vec<SourceFile>, Problems> {
    let (files, problems) = texts(folder)?;
    diagnostic::Problems::new(problems).map_or(Ok(files), Err)
}

/// The files that can be read, and what is wrong with the others.
fn texts(folder: &Path) -> Result<(Vec<SourceFile>, Vec<Problem<SheetFault>>), Problems> {
    let shown = folder.display().to_string();
    let names = match toml_files(folder) {
        Ok(names) if names.is_empty() => return Err(alone(SheetFault::NoFiles, &shown)),
        Ok(names) => names,
        Err(error) => return Err(alone(TableFault::Unreadable { reason: error.to_string() }.into(), &shown)),
    };
    let mut files = Vec::new();
    let mut problems = Vec::new();
    for name in names {
        match read_file(&folder.join(&name), &name) {
            Ok(file) => files.push(file),
            Err(found) => problems.extend(found),
        }
    }
    add_below(folder, &mut files, &mut problems);
    Ok((files, problems))
}

/// Adds the files of every sheet that lies below, named by their paths from the folder. One that is not there is told
/// when the layer over it is read.
fn add_below(folder: &Path, files: &mut Vec<SourceFile>, problems: &mut Vec<Problem<SheetFault>>) {
    let mut known = vec![String::new()];
    let mut seen = 0;
    while let Some(file) = files.get(seen) {
        seen += 1;
        let Some(below) = over_of(file).filter(|below| !known.contains(below)) else { continue };
        known.push(below.clone());
        for name in toml_files(&folder.join(&below)).unwrap_or_default() {
            let path = folder.join(&below).join(&name);
            match read_file(&path, &format!("{below}/{name}")) {
                Ok(file) => files.push(file),
                Err(found) => problems.extend(found),
            }
        }
    }
}

fn toml_files(folder: &Path) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in folder.read_dir()? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.ends_with(".toml") && !entry.path().is_dir() {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}

/// One file as text; problems name it `name`.
///
/// # Errors
/// That it cannot be read, is too large, or is not UTF-8.
pub fn read_file<F: From<TableFault>>(
    path: &Path,
    name: &str,
) -> Result<SourceFile, diagnostic::Problems<F>> {
    let whole = |fault: TableFault| alone(fault.into(), name);
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|error| whole(TableFault::Unreadable { reason: error.to_string() }))?;
    if bytes.len() as u64 > LARGEST {
        return Err(whole(TableFault::TooLarge { limit: LARGEST }));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(SourceFile::new(name, text)),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let text = String::from_utf8_lossy(error.as_bytes()).into_owned();
            let at = Source::new(&SourceFile::new(name, text)).locate(at..at + '\u{fffd}'.len_utf8());
            Err(Problem { fault: TableFault::NotUtf8.into(), at, second: None }.into())
        }
    }
}

fn alone<F>(fault: F, name: &str) -> diagnostic::Problems<F> {
    Problem { fault, at: Location::whole(name), second: None }.into()
}
