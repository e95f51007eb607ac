//! Layers: folders whose files lie over another sheet. Which files belong to which, and what is wrong with that.

use super::{Reader, Table, Value};
use crate::{
    SheetFault,
    diagnostic::{SourceFile, Span},
    table::TableFault,
};
use std::collections::HashSet;
use toml::de::DeTable;

/// More layers than this nobody needs; a ring has been told by then.
const MOST: usize = 16;

/// The files, those of the lowest layer first, each with its layer: 0 is the sheet below all others.
pub(crate) fn in_layers<'f>(files: &[&'f SourceFile]) -> Vec<(usize, &'f SourceFile)> {
    let chain = chain(files);
    let layer = |file: &SourceFile| {
        let folder = folder_of(&file.name);
        let above = chain.iter().position(|known| known == folder);
        above.map_or(chain.len(), |above| chain.len() - 1 - above)
    };
    let mut layered: Vec<(usize, &SourceFile)> = files.iter().map(|file| (layer(file), *file)).collect();
    if chain.is_empty() {
        layered.iter_mut().for_each(|(layer, _)| *layer = 0);
    }
    layered.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.name.cmp(&b.1.name)));
    layered
}

/// The folders from the topmost layer down; empty where nothing lies over anything.
fn chain(files: &[&SourceFile]) -> Vec<String> {
    let over: Vec<(String, String)> =
        files.iter().filter_map(|file| Some((folder_of(&file.name).to_owned(), over_of(file)?))).collect();
    let below = |folder: &str| over.iter().find(|(of, _)| of == folder).map(|(_, below)| below.clone());
    let top = over.iter().map(|(of, _)| of).find(|of| !over.iter().any(|(_, below)| below == *of));
    let Some(top) = top.or(over.first().map(|(of, _)| of)) else { return vec![] };
    let mut chain = vec![top.clone()];
    while let Some(next) = chain.last().and_then(|folder| below(folder)) {
        if chain.contains(&next) || chain.len() > MOST {
            break;
        }
        chain.push(next);
    }
    chain
}

/// The folder that the files of this one's folder lie over, as names of files have it.
pub(crate) fn over_of(file: &SourceFile) -> Option<String> {
    if !file.text.contains("layer") {
        return None;
    }
    let (tree, _) = DeTable::parse_recoverable(&file.text);
    let over = tree.get_ref().get("layer")?.get_ref().as_table()?.get("over")?.get_ref().as_str()?;
    joined(folder_of(&file.name), over)
}

fn folder_of(name: &str) -> &str {
    name.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// A path seen from a folder; `None` for one that is not to be followed from there.
fn joined(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') || path.contains(['\\', ':']) {
        return None;
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => _ = parts.pop(),
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

/// What a layer says of itself. Whether what it lies over is there; where it is not, what is missing is no wonder.
pub(super) fn report(reader: &Reader, roots: &[Table<'_>], files: &[(usize, &SourceFile)]) -> bool {
    let mut first: Vec<(String, Span)> = Vec::new();
    let folders: HashSet<&str> = files.iter().map(|(_, file)| folder_of(&file.name)).collect();
    let mut is_there = true;
    for (root, (_, file)) in roots.iter().zip(files) {
        let Some(value) = root.get("layer") else { continue };
        let folder = folder_of(&file.name);
        match first.iter().find(|(known, _)| known == folder) {
            Some((_, there)) => {
                value.fault_between(TableFault::Duplicate { what: "`[layer]`".into() }, there.clone())
            }
            None => first.push((folder.to_owned(), value.span())),
        }
        value.named("the layer").table(|t| {
            t.need("title", Value::text);
            is_there &= t.need("over", |v| over(v, folder, &folders, files)).is_some();
            t.list("drops", Value::text);
            Some(())
        });
    }
    let files: Vec<&SourceFile> = files.iter().map(|(_, file)| *file).collect();
    let chain = chain(&files);
    for (root, file) in roots.iter().zip(&files) {
        if is_there && !chain.is_empty() && !chain.iter().any(|known| known == folder_of(&file.name)) {
            reader.fault(SheetFault::StrayFile, root.span());
        }
    }
    is_there
}

fn over(
    value: Value<'_>,
    folder: &str,
    folders: &HashSet<&str>,
    files: &[(usize, &SourceFile)],
) -> Option<()> {
    let path = value.str()?;
    let Some(below) = joined(folder, path) else {
        value.fault(SheetFault::OverFromRoot { over: path.to_owned() });
        return None;
    };
    if !folders.contains(below.as_str()) {
        value.fault(SheetFault::NothingBelow { over: path.to_owned() });
        return None;
    }
    // Going down from here never comes back here.
    let over_of = |of: &str| {
        let mut own = files.iter().filter(|(_, file)| folder_of(&file.name) == of);
        own.find_map(|(_, file)| over_of(file))
    };
    let mut at = Some(below);
    for _ in 0..MOST {
        match at {
            Some(here) if here == folder => {
                value.fault(SheetFault::LayersInARing { over: path.to_owned() });
                return None;
            }
            Some(here) => at = over_of(&here),
            None => break,
        }
    }
    Some(())
}
