//! One file as a tree of tables, each key and value with its place.

use super::{Name, Reader, Table, TableFault, syntax};
use crate::diagnostic::{Fault, Span};
use std::{ops::Range, rc::Rc};
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// A file as a tree of tables.
#[derive(Debug)]
pub struct Document<'t> {
    file: usize,
    /// Where each file begins when all lie one behind the other. What was laid over this document from a later file keeps
    /// its place by counting on from here.
    starts: Rc<[usize]>,
    tree: Spanned<DeTable<'t>>,
    /// Where the syntax errors are, in order.
    broken: Vec<Range<usize>>,
    /// The later files from which something was laid over this document.
    under: Vec<usize>,
}

impl<'t> Document<'t> {
    pub(super) fn parse<F: Fault + From<TableFault>>(
        file: usize,
        starts: Rc<[usize]>,
        text: &'t str,
        reader: &Reader<F>,
    ) -> Self {
        let (tree, errors) = DeTable::parse_recoverable(text);
        let broken = syntax::record(file, text, tree.get_ref(), &errors, reader);
        Self { file, starts, tree, broken, under: Vec::new() }
    }

    /// The whole file as a table; `kind` names it in sentences, such as "the visit".
    pub fn root<'a, F: Fault + From<TableFault>>(
        &'a self,
        kind: &'a str,
        reader: &'a Reader<F>,
    ) -> Table<'a, F> {
        Table::new(self.tree.get_ref(), 0..0, Name::whole(kind), self, reader)
    }

    pub(crate) fn tree(&self) -> &DeTable<'t> {
        self.tree.get_ref()
    }

    pub(crate) fn tree_mut(&mut self) -> &mut DeTable<'t> {
        self.tree.get_mut()
    }

    /// The place that something in this document has.
    pub(crate) fn span(&self, bytes: Range<usize>) -> Span {
        let start_of = |file: usize| self.starts.get(file).copied().unwrap_or(0);
        let own = start_of(self.file);
        let file = self.starts.partition_point(|start| *start <= own + bytes.start).saturating_sub(1);
        if file <= self.file {
            return Span { file: self.file, bytes };
        }
        let shift = start_of(file) - own;
        Span { file, bytes: bytes.start - shift..bytes.end.saturating_sub(shift) }
    }

    /// Whether a syntax error lies in this value, so that what it says is not what was meant.
    pub(super) fn is_broken(&self, value: &Spanned<DeValue<'_>>) -> bool {
        let span = value.span();
        let next = self.broken.partition_point(|error| error.end < span.start);
        self.broken.get(next).is_some_and(|error| error.start <= span.end)
    }

    /// Gets ready to take values of a later document; how far their places are to be shifted.
    pub(crate) fn shift_from(&mut self, later: &Document<'t>) -> usize {
        let start_of = |file: usize| self.starts.get(file).copied().unwrap_or(0);
        let shift = start_of(later.file).saturating_sub(start_of(self.file));
        if !self.under.contains(&later.file) {
            self.under.push(later.file);
            self.broken.extend(later.broken.iter().map(|error| error.start + shift..error.end + shift));
            self.broken.sort_by_key(|error| error.end);
        }
        shift
    }
}
