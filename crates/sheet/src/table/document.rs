//! One file as a tree of tables, each key and value with its place.

use super::{Name, Reader, Table, TableFault, syntax};
use crate::diagnostic::Fault;
use std::ops::Range;
use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// A file as a tree of tables.
#[derive(Debug)]
pub struct Document<'t> {
    pub(super) file: usize,
    tree: Spanned<DeTable<'t>>,
    /// Where the syntax errors are, in order.
    broken: Vec<Range<usize>>,
}

impl<'t> Document<'t> {
    pub(super) fn parse<F: Fault + From<TableFault>>(file: usize, text: &'t str, reader: &Reader<F>) -> Self {
        let (tree, errors) = DeTable::parse_recoverable(text);
        let broken = syntax::record(file, text, tree.get_ref(), &errors, reader);
        Self { file, tree, broken }
    }

    /// The whole file as a table; `kind` names it in sentences, such as "the visit".
    pub fn root<'a, F: Fault + From<TableFault>>(
        &'a self,
        kind: &'a str,
        reader: &'a Reader<F>,
    ) -> Table<'a, F> {
        Table::new(self.tree.get_ref(), 0..0, Name::whole(kind), self, reader)
    }

    /// Whether a syntax error lies in this value, so that what it says is not what was meant.
    pub(super) fn is_broken(&self, value: &Spanned<DeValue<'_>>) -> bool {
        let span = value.span();
        let next = self.broken.partition_point(|error| error.end < span.start);
        self.broken.get(next).is_some_and(|error| error.start <= span.end)
    }
}
