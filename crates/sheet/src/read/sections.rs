//! The kinds of things on a sheet, gathered from all files before any is read, so that each can name every other.

use super::{Reader, Table, chain::Chain};
use crate::{SheetFault, ids::*, table};

type Section<'a, I> = table::Section<'a, SheetFault, I>;

pub(super) struct Sections<'a> {
    pub variants: Section<'a, VariantId>,
    pub systems: Section<'a, SystemId>,
    /// Sets of places, by the id that components use.
    pub places: Section<'a, String>,
    pub stations: Section<'a, StationId>,
    pub components: Section<'a, ComponentId>,
    pub checks: Section<'a, CheckId>,
    pub instruments: Section<'a, InstrumentId>,
    pub fluids: Section<'a, FluidId>,
    pub parts: Section<'a, PartId>,
    pub access: Section<'a, AccessId>,
    pub operations: Section<'a, OperationId>,
    pub obligations: Section<'a, ObligationId>,
    pub consequences: Section<'a, ConsequenceId>,
    /// Which access step needs which.
    pub needs: Chain,
    /// Which part replaces which.
    pub replaces: Chain,
    /// Which consequence leads to which.
    pub leads_to: Chain,
    /// Which derived reading is made from which check.
    pub made_from: Chain,
}

impl<'a> Sections<'a> {
    pub fn gather(reader: &'a Reader, roots: &[Table<'a>]) -> Self {
        Self {
            variants: reader.section("variant", "variant", roots).check_ids(false),
            systems: reader.section("system", "system", roots).check_ids(false),
            places: reader.section("places", "set of places", roots).check_ids(false),
            stations: reader.section("station", "station", roots).check_ids(false),
            components: reader.section("component", "component", roots).check_ids(false),
            checks: reader.section("check", "check", roots).check_ids(false),
            instruments: reader.section("instrument", "instrument", roots).check_ids(false),
            fluids: reader.section("fluid", "fluid", roots).check_ids(false),
            parts: reader.section("part", "part", roots).check_ids(true),
            access: reader.section("access", "access step", roots).check_ids(false),
            operations: reader.section("operation", "operation", roots).check_ids(false),
            obligations: reader.section("obligation", "obligation", roots).check_ids(false),
            consequences: reader.section("consequence", "consequence", roots).check_ids(false),
            needs: Chain::default(),
            replaces: Chain::default(),
            leads_to: Chain::default(),
            made_from: Chain::default(),
        }
    }

    /// Records every ring of things that wait for each other.
    pub fn report_cycles(&self, reader: &Reader) {
        self.needs.report("these access steps need each other", reader);
        self.replaces.report("these parts replace each other", reader);
        self.leads_to.report("these consequences lead to each other", reader);
        self.made_from.report("these readings are made from each other", reader);
    }
}
