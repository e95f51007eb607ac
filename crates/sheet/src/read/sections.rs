//! The kinds of things on a sheet, gathered from all files before any is read, so that each can name every other.

use super::{Reader, Table, chain::Chain};
use crate::{SheetFault, diagnostic::Span, ids::*, model::Variant, table};
use indexmap::IndexMap;
use quantity::Unit;

type Section<'a, I> = table::Section<'a, SheetFault, I>;

pub(super) struct Sections<'a> {
    pub variants: Section<'a, VariantId>,
    /// Read before everything else: whatever is limited to model years asks when a variant was made.
    pub known_variants: IndexMap<VariantId, Variant>,
    pub systems: Section<'a, SystemId>,
    /// Sets of places, by the id that components use.
    pub places: Section<'a, String>,
    pub stations: Section<'a, StationId>,
    pub components: Section<'a, ComponentId>,
    pub checks: Section<'a, CheckId>,
    pub instruments: Section<'a, InstrumentId>,
    pub fluids: Section<'a, FluidId>,
    pub fasteners: Section<'a, FastenerId>,
    pub parts: Section<'a, PartId>,
    pub access: Section<'a, AccessId>,
    pub operations: Section<'a, OperationId>,
    pub obligations: Section<'a, ObligationId>,
    pub consequences: Section<'a, ConsequenceId>,
    pub while_apart: Section<'a, WhileApartId>,
    pub questions: Section<'a, QuestionId>,
    pub explanations: Section<'a, ExplanationId>,
    pub look_alikes: Section<'a, LookAlikeId>,
    pub glossary: Section<'a, WordId>,
    /// Every photo that is named, and where.
    pub photos: std::cell::RefCell<Vec<(String, Span)>>,
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
        let variants: Section<'a, VariantId> = reader.section("variant", "variant", roots).check_ids(false);
        Self {
            known_variants: variants.read(variant),
            variants,
            systems: reader.section("system", "system", roots).check_ids(false),
            places: reader.section("places", "set of places", roots).check_ids(false),
            stations: reader.section("station", "station", roots).check_ids(false),
            components: reader.section("component", "component", roots).check_ids(false),
            checks: reader.section("check", "check", roots).check_ids(false),
            instruments: reader.section("instrument", "instrument", roots).check_ids(false),
            fluids: reader.section("fluid", "fluid", roots).check_ids(false),
            fasteners: reader.section("fastener", "fastener", roots).check_ids(false),
            parts: reader.section("part", "part", roots).check_ids(true),
            access: reader.section("access", "access step", roots).check_ids(false),
            operations: reader.section("operation", "operation", roots).check_ids(false),
            obligations: reader.section("obligation", "obligation", roots).check_ids(false),
            consequences: reader.section("consequence", "consequence", roots).check_ids(false),
            while_apart: reader.section("while-apart", "set of work", roots).check_ids(false),
            questions: reader.section("question", "question", roots).check_ids(false),
            explanations: reader.section("explanation", "explanation", roots).check_ids(false),
            look_alikes: reader.section("look-alike", "look-alike", roots).check_ids(false),
            glossary: reader.section("glossary", "word", roots).check_ids(false),
            photos: Default::default(),
            needs: Chain::default(),
            replaces: Chain::default(),
            leads_to: Chain::default(),
            made_from: Chain::default(),
        }
    }

    /// The unit of a check, as it is written; known before the check is read, and even if something else is wrong with it.
    pub fn unit_of(&self, check: &CheckId) -> Option<Unit> {
        let value = self.checks.value(check.as_str())?;
        ["reading", "derived"].into_iter().find_map(|key| value.peek_in(key, "unit")).and_then(Unit::find)
    }

    /// Whether a check is one that gives no number.
    pub fn says_no_number(&self, check: &CheckId) -> bool {
        let value = self.checks.value(check.as_str());
        value.is_some_and(|value| ["states", "interval"].into_iter().any(|key| value.has(key)))
    }

    /// Records every ring of things that wait for each other.
    pub fn report_cycles(&self, reader: &Reader) {
        self.needs.report("these access steps need each other", reader);
        self.replaces.report("these parts replace each other", reader);
        self.leads_to.report("these consequences lead to each other", reader);
        self.made_from.report("these readings are made from each other", reader);
    }
}

fn variant(value: super::Value<'_>) -> Option<Variant> {
    value.table(|t| {
        let title = t.need("title", super::Value::text);
        let model_years = t.may("model-years", super::only::years);
        Some(Variant { title: title?, model_years })
    })
}
