//! A text and the places in it.

use std::{ops::Range, sync::Arc};

/// A file as handed to a reader.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// As problems shall name it.
    pub name: String,
    pub text: String,
}

impl SourceFile {
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self { name: name.into(), text: text.into() }
    }
}

/// A stretch of one of the files being read, in bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// Position of the file among those being read.
    pub file: usize,
    pub bytes: Range<usize>,
}

/// A text in which places are found quickly, however long its lines are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
    /// Where each line starts, in bytes.
    lines: Vec<usize>,
    /// How many characters start before each full [`STRIDE`] of bytes.
    marks: Vec<usize>,
}

const STRIDE: usize = 1024;

impl Source {
    /// A mark of the byte order at the start is left out: no editor counts it.
    pub fn new(file: &SourceFile) -> Self {
        let text = file.text.strip_prefix('\u{feff}').unwrap_or(&file.text);
        let bytes = text.as_bytes();
        let newlines = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at + 1);
        let marks = bytes.chunks(STRIDE).scan(0, |before, chunk| {
            let mark = *before;
            *before += characters(chunk);
            Some(mark)
        });
        Self {
            name: file.name.as_str().into(),
            text: text.into(),
            lines: std::iter::once(0).chain(newlines).collect(),
            marks: marks.collect(),
        }
    }

    pub fn name(&self) -> &str {
        &self.name
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// The place of a stretch of bytes, drawn in to whole characters of the text.
    pub fn locate(&self, bytes: Range<usize>) -> Location {
        let start = self.text.floor_char_boundary(bytes.start);
        let end = self.text.ceil_char_boundary(bytes.end).max(start);
        let index = self.lines.partition_point(|line| *line <= start) - 1; // the first line starts at 0
        let line_start = self.lines[index];
        let line_end = self.lines.get(index + 1).map_or(self.text.len(), |next| next - 1);
        let line_end = if self.text[line_start..line_end].ends_with('\r') { line_end - 1 } else { line_end };
        let column = self.characters_before(start) - self.characters_before(line_start);
        let shown_end = end.clamp(start, line_end.max(start));
        Location {
            file: self.name.clone(),
            text: self.text.clone(),
            bytes: start..end,
            line: index + 1,
            line_bytes: line_start..line_end,
            column: column + 1,
            length: self.characters_before(shown_end) - self.characters_before(start),
        }
    }

    fn characters_before(&self, at: usize) -> usize {
        let chunk = at / STRIDE;
        let mark = self.marks.get(chunk).or(self.marks.last()).copied().unwrap_or(0);
        let from = chunk.min(self.marks.len().saturating_sub(1)) * STRIDE;
        mark + characters(&self.text.as_bytes()[from..at])
    }
}

/// Characters that start in these bytes of UTF-8.
fn characters(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0b1100_0000 != 0b1000_0000).count()
}

/// Where something stands in a file, for people and for programs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Location {
    file: Arc<str>,
    text: Arc<str>,
    bytes: Range<usize>,
    line: usize,
    line_bytes: Range<usize>,
    column: usize,
    length: usize,
}

impl Location {
    /// A file as a whole, when nothing in it can be pointed at.
    pub fn whole(file: &str) -> Self {
        Source::new(&SourceFile::new(file, "")).locate(0..0)
    }

    /// Whether it is the file as a whole: an empty one, or one that was not read.
    pub fn is_whole(&self) -> bool {
        self.text.is_empty()
    }

    pub fn file(&self) -> &str {
        &self.file
    }

    /// From 1.
    pub fn line(&self) -> usize {
        self.line
    }

    /// In characters, from 1.
    pub fn column(&self) -> usize {
        self.column
    }

    /// In characters, as far as this line goes; 0 for a spot between two characters.
    pub fn length(&self) -> usize {
        self.length
    }

    /// The stretch itself, in bytes from the start of the file.
    pub fn bytes(&self) -> Range<usize> {
        self.bytes.clone()
    }

    /// The whole line it starts in, without its end.
    pub fn line_text(&self) -> &str {
        &self.text[self.line_bytes.clone()]
    }

    /// The line cut into what stands before, in and after the stretch.
    pub fn parts(&self) -> (&str, &str, &str) {
        let line = self.line_text();
        let start = (self.bytes.start - self.line_bytes.start).min(line.len());
        let end = (self.bytes.end - self.line_bytes.start).clamp(start, line.len());
        (&line[..start], &line[start..end], &line[end..])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(text: &str, bytes: Range<usize>) -> (usize, usize, usize, String) {
        let location = Source::new(&SourceFile::new("a.toml", text)).locate(bytes);
        (location.line(), location.column(), location.length(), location.line_text().to_owned())
    }

    #[test]
    fn columns_count_characters_not_bytes() {
        assert_eq!(at("a = \"µm\" # é\nb = 1", 4..9), (1, 5, 4, "a = \"µm\" # é".into()));
    }

    #[test]
    fn a_stretch_over_several_lines_is_cut_at_the_first() {
        assert_eq!(at("a = [\r\n1,\r\n]\r\n", 4..13), (1, 5, 1, "a = [".into()));
    }

    #[test]
    fn the_end_of_the_file_is_a_place() {
        assert_eq!(at("a\n", 2..2), (2, 1, 0, String::new()));
        assert_eq!(at("", 0..0), (1, 1, 0, String::new()));
        assert_eq!(at("a", 40..50), (1, 2, 0, "a".into()));
    }

    proptest! {
        #[test]
        fn line_and_column_agree_with_counting_by_hand(text in "(\\PC|\n|µ|日|\r){0,3000}", start in 0usize..9000, length in 0usize..40) {
            let location = Source::new(&SourceFile::new("a.toml", text.clone())).locate(start..start + length);
            let before = &text[..location.bytes().start];
            let line_before = before.rsplit('\n').next().unwrap();
            prop_assert_eq!(location.line(), before.matches('\n').count() + 1);
            prop_assert_eq!(location.column(), line_before.chars().count() + 1);
            let (head, middle, tail) = location.parts();
            prop_assert_eq!([head, middle, tail].concat(), location.line_text());
            prop_assert_eq!(middle.chars().count(), location.length());
        }
    }
}
