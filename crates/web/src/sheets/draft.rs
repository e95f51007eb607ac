//! What is being changed on a sheet. The form carries all of it, so that nothing is lost between two answers: the revision that
//! it began from, the open file, and the other files that are not as that revision has them.

use super::merge::merged;
use maud::{Markup, html};
use sheet::{LARGEST, SourceFile};
use std::collections::BTreeMap;
use workshop::Revision;

/// Longest form that is read, in bytes: a large file, each of its characters written as three.
pub const LONGEST: usize = 6 << 20;
/// Longest name of a file.
const LONGEST_NAME: usize = 80;

/// The names of the form's fields.
pub const BASE: &str = "base";
pub const FILE: &str = "file";
pub const TEXT: &str = "text";
pub const NEW_NAME: &str = "new_name";
pub const OPEN: &str = "open";
pub const DO: &str = "do";
const GONE: &str = "gone";
/// Before the name of another file that is changed.
const CHANGED: &str = "changed:";

type Files = BTreeMap<String, String>;

/// A sheet as somebody is writing it.
#[derive(Debug, Clone)]
pub struct Draft {
    /// The revision that it began from.
    pub base: String,
    pub before: Files,
    pub after: Files,
    /// The file whose text is shown.
    pub open: String,
    /// The line that is meant, if one is.
    pub line: Option<usize>,
    pub new_name: String,
}

impl Draft {
    /// A revision, with this file open; without, the one that holds the sheet's own table.
    pub fn of(revision: &Revision, file: Option<&str>, line: Option<usize>) -> Self {
        let files = revision.files();
        let mut draft = Self {
            base: revision.id.clone(),
            before: files.clone(),
            after: files.clone(),
            open: String::new(),
            line,
            new_name: String::new(),
        };
        draft.open_or_first(file.unwrap_or_default());
        draft
    }

    /// What a form carries. A name that is none of a sheet's files is not taken, whoever wrote it into the form.
    pub fn sent(revision: &Revision, fields: &[(String, String)]) -> Self {
        let first =
            |name: &str| fields.iter().find(|(field, _)| field == name).map(|(_, text)| text.as_str());
        let mut draft = Self::of(revision, None, None);
        let mut take = |name: &str, text: &str| {
            if draft.before.contains_key(name) || wrong_name(name).is_none() {
                let text = as_kept(text, draft.before.get(name).map(String::as_str));
                draft.after.insert(name.to_owned(), text);
            }
        };
        for (field, text) in fields {
            if let Some(name) = field.strip_prefix(CHANGED) {
                take(name, text);
            }
        }
        if let Some((file, text)) = first(FILE).zip(first(TEXT)) {
            take(file, text);
        }
        for (_, name) in fields.iter().filter(|(field, _)| field == GONE) {
            draft.after.remove(name);
        }
        draft.new_name = first(NEW_NAME).unwrap_or_default().trim().to_owned();
        draft.open_or_first(first(FILE).unwrap_or_default());
        if let Some(wanted) = first(OPEN) {
            // A name may hold a colon as well as any other mark; a line is behind the last.
            let (file, line) = match wanted.rsplit_once(':') {
                Some((file, line)) if line.parse::<usize>().is_ok() => (file, line.parse().ok()),
                _ => (wanted, None),
            };
            draft.line = line;
            draft.open_or_first(file);
        }
        draft
    }

    fn open_or_first(&mut self, file: &str) {
        let first = || {
            let head = self.after.iter().find(|(_, text)| text.contains("[sheet]"));
            head.or_else(|| self.after.iter().next()).map(|(name, _)| name.clone())
        };
        self.open = if self.after.contains_key(file) { file.to_owned() } else { first().unwrap_or_default() };
    }

    pub fn text(&self) -> &str {
        self.after.get(&self.open).map_or("", String::as_str)
    }

    pub fn sources(&self) -> Vec<SourceFile> {
        self.after.iter().map(|(name, text)| SourceFile::new(name, text)).collect()
    }

    pub fn is_changed(&self) -> bool {
        self.before != self.after
    }

    /// Whether a file is another than it was.
    pub fn is_other(&self, file: &str) -> bool {
        self.before.get(file) != self.after.get(file)
    }

    /// The files that are left out.
    pub fn gone(&self) -> impl Iterator<Item = &String> {
        self.before.keys().filter(|name| !self.after.contains_key(*name))
    }

    /// Files that are longer than a sheet's may be, each with what is wrong.
    pub fn too_long(&self) -> Vec<String> {
        let long = self.after.iter().filter(|(_, text)| text.len() as u64 > LARGEST);
        long.map(|(name, _)| format!("{name} has more than 1 MiB; make two files of it")).collect()
    }

    /// Begins the file that was named.
    ///
    /// # Errors
    /// What is wrong with its name.
    pub fn add(&mut self) -> Result<(), String> {
        if let Some(wrong) = wrong_name(&self.new_name) {
            return Err(wrong);
        }
        if self.after.contains_key(&self.new_name) {
            return Err(format!("there is a file {} already", self.new_name));
        }
        self.open = std::mem::take(&mut self.new_name);
        self.after.insert(self.open.clone(), self.before.get(&self.open).cloned().unwrap_or_default());
        Ok(())
    }

    /// Leaves out the open file.
    pub fn remove(&mut self) {
        self.after.remove(&self.open);
        self.open_or_first("");
    }

    /// Makes the open file what it was.
    pub fn undo(&mut self) {
        match self.before.get(&self.open) {
            Some(text) => _ = self.after.insert(self.open.clone(), text.clone()),
            None => self.remove(),
        }
    }

    /// Goes on from another revision, with what was changed here put into it. The names of the files in which both changed
    /// the same lines: they stay as they are here.
    pub fn onto(&mut self, revision: &Revision) -> Vec<String> {
        let theirs = revision.files();
        let mut after = theirs.clone();
        let mut both = Vec::new();
        let changed: Vec<&String> = self.after.keys().filter(|name| self.is_other(name)).collect();
        for name in changed.into_iter().chain(self.gone()) {
            let (base, mine, theirs) = (self.before.get(name), self.after.get(name), theirs.get(name));
            let text = match (base, mine, theirs) {
                (base, mine, theirs) if base == theirs || mine == theirs => mine.cloned(),
                (Some(base), Some(mine), Some(theirs)) if let Some(text) = merged(base, mine, theirs) => {
                    Some(text)
                }
                _ => {
                    both.push(name.clone());
                    mine.cloned()
                }
            };
            match text {
                Some(text) => _ = after.insert(name.clone(), text),
                None => _ = after.remove(name),
            }
        }
        self.base.clone_from(&revision.id);
        self.before = theirs.clone();
        self.after = after;
        self.open_or_first(&self.open.clone());
        both
    }

    /// The fields that carry all but the open file.
    pub fn hidden(&self) -> Markup {
        let others = self.after.iter().filter(|(name, _)| **name != self.open && self.is_other(name));
        html! {
            input type="hidden" name=(BASE) value=(self.base);
            input type="hidden" name=(FILE) value=(self.open);
            @for (name, text) in others { input type="hidden" name={ (CHANGED) (name) } value=(text); }
            @for name in self.gone() { input type="hidden" name=(GONE) value=(name); }
        }
    }
}

/// A text as it is kept: browsers send a carriage return at the end of every line.
fn as_kept(text: &str, before: Option<&str>) -> String {
    let text = text.replace("\r\n", "\n");
    if before.is_some_and(|before| before.contains("\r\n")) { text.replace('\n', "\r\n") } else { text }
}

/// What is wrong with the name of a file, if anything is.
pub fn wrong_name(name: &str) -> Option<String> {
    let fit = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-_".contains(c);
    let fits = name
        .strip_suffix(".toml")
        .is_some_and(|stem| !stem.is_empty() && stem.chars().all(fit) && name.len() <= LONGEST_NAME);
    (!fits).then(|| {
        "a file’s name is small letters, digits, - and _, and ends in .toml, such as 45-brakes.toml"
            .to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_a_sheets_files_are_taken() {
        for name in ["45-brakes.toml", "a.toml", "our_own.toml"] {
            assert_eq!(wrong_name(name), None, "{name}");
        }
        let long = format!("{}.toml", "a".repeat(LONGEST_NAME));
        for name in [
            "",
            ".toml",
            "../a.toml",
            "/etc/a.toml",
            "a/b.toml",
            "a\\b.toml",
            "a.txt",
            "A.toml",
            "a.toml\0",
            "..toml",
            &long,
        ] {
            assert!(wrong_name(name).is_some(), "{name}");
        }
    }

    #[test]
    fn a_text_comes_back_with_the_ends_of_lines_that_it_had() {
        assert_eq!(as_kept("a\r\nb\r\n", Some("a\n")), "a\nb\n");
        assert_eq!(as_kept("a\r\nb\r\n", Some("a\r\n")), "a\r\nb\r\n");
        assert_eq!(as_kept("a\r\n", None), "a\n");
    }
}
