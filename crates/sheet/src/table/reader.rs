//! The desk on which files are read: it holds their texts and collects what is wrong.

use super::{Document, TableFault};
use crate::diagnostic::{Fault, Hidden, Location, Problem, Problems, Source, SourceFile, Span};
use std::{
    cell::{Cell, RefCell},
    rc::Rc,
};

/// Files being read together, and what was found wrong with them so far.
#[derive(Debug)]
pub struct Reader<F> {
    sources: Vec<Source>,
    notes: RefCell<Vec<Note<F>>>,
    /// Grows whenever something turns out to be wrong.
    trouble: Cell<usize>,
    /// Comparisons of words that are still made to find out what was meant.
    patience: Cell<usize>,
    /// By file: whether a syntax error may have put what follows it out of place.
    damaged: Vec<Cell<bool>>,
}

#[derive(Debug)]
struct Note<F> {
    fault: F,
    at: Span,
    second: Option<Span>,
}

impl<F: Fault + From<TableFault>> Reader<F> {
    pub fn new<'s>(files: impl IntoIterator<Item = &'s SourceFile>) -> Self {
        let sources: Vec<Source> = files.into_iter().map(Source::new).collect();
        Self {
            notes: RefCell::default(),
            trouble: Cell::new(0),
            patience: Cell::new(2_000_000),
            damaged: vec![Cell::new(false); sources.len()],
            sources,
        }
    }

    /// All files, parsed; what cannot be parsed is recorded, the rest can be read.
    pub fn documents(&self) -> Vec<Document<'_>> {
        let starts = self.sources.iter().scan(0, |at, source| {
            let start = *at;
            *at += source.text().len() + 1; // a place behind the last character is a place too
            Some(start)
        });
        let starts: Rc<[usize]> = starts.collect();
        self.sources
            .iter()
            .enumerate()
            .map(|(file, source)| Document::parse(file, starts.clone(), source.text(), self))
            .collect()
    }

    /// The place of a span, for those who show it themselves.
    pub(crate) fn locate(&self, span: Span) -> Location {
        match self.sources.get(span.file) {
            Some(source) => source.locate(span.bytes),
            None => Location::whole("*.toml"),
        }
    }

    /// Records a problem.
    pub fn fault(&self, fault: impl Into<F>, at: Span) {
        self.note(fault.into(), at, None);
    }

    /// Records a problem between two places.
    pub fn fault_between(&self, fault: impl Into<F>, at: Span, second: Span) {
        self.note(fault.into(), at, Some(second));
    }

    fn note(&self, fault: F, at: Span, second: Option<Span>) {
        self.unsound();
        self.notes.borrow_mut().push(Note { fault, at, second });
    }

    /// Says that something that was asked for could not be read.
    pub(super) fn unsound(&self) {
        self.trouble.update(|n| n + 1);
    }

    /// Whether so many comparisons are still worth their time.
    pub(super) fn has_patience(&self, comparisons: usize) -> bool {
        let left = self.patience.get().checked_sub(comparisons);
        left.inspect(|left| self.patience.set(*left)).is_some()
    }

    /// What is read, unless something was wrong in it: what is handed on is whole, so that a mistake is told only once.
    pub fn whole<T>(&self, read: impl FnOnce() -> Option<T>) -> Option<T> {
        let before = self.trouble.get();
        let read = read();
        read.filter(|_| self.trouble.get() == before)
    }

    /// Says that part of this file is hidden behind a syntax error.
    pub(super) fn damaged(&self, file: usize) {
        if let Some(damaged) = self.damaged.get(file) {
            damaged.set(true);
        }
    }

    /// What was found wrong, in the order of the files.
    ///
    /// # Errors
    /// All problems, when there is one.
    pub fn finish(self) -> Result<(), Problems<F>> {
        Problems::new(self.into_problems(false)).map_or(Ok(()), Err)
    }

    /// What was found wrong, in the order of the files; `incomplete` says that more files belong to them which could
    /// not be handed in.
    pub fn into_problems(self, incomplete: bool) -> Vec<Problem<F>> {
        let damaged: Vec<bool> = self.damaged.iter().map(Cell::get).collect();
        let mut notes = self.notes.into_inner();
        notes.retain(|note| match note.fault.hidden() {
            Hidden::Nowhere => true,
            Hidden::InThisFile => !damaged.get(note.at.file).copied().unwrap_or(false),
            Hidden::Anywhere => !incomplete && !damaged.contains(&true),
        });
        notes.sort_by_key(|note| (note.at.file, note.at.bytes.start, note.at.bytes.end));
        let locate = |span: Span| match self.sources.get(span.file) {
            Some(source) => source.locate(span.bytes),
            None => Location::whole("*.toml"),
        };
        let problem =
            |Note { fault, at, second }| Problem { fault, at: locate(at), second: second.map(locate) };
        notes.into_iter().map(problem).collect()
    }
}
