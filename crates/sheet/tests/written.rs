//! A sheet that is written and read again is the same sheet.

#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;
use sheet::*;
use std::path::PathBuf;

mod support;

fn again(sheet: &Sheet) -> Result<Sheet, String> {
    let text = write(sheet);
    let read = read(&[SourceFile::new("written.toml", text.clone())]);
    let read = read.map_err(|problems| format!("{problems}\n\n{text}"))?;
    Ok(Sheet { revision: sheet.revision.clone(), ..read })
}

#[test]
fn the_sheets_of_the_project_come_back() {
    let at = |folder: &str| PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(folder);
    for folder in ["sheets/quarrow-lanner", "docs/example/tallow-nuthatch"] {
        let sheet = read_dir(&at(folder)).unwrap();
        let again = again(&sheet).unwrap();
        assert_eq!(again, sheet, "{folder}");
        assert!(changes(&sheet, &again).is_empty(), "{folder}: another order");
    }
}

#[test]
fn what_is_written_can_be_read_by_people() {
    let text = write(&read(&support::files()).unwrap());
    insta::with_settings!({ omit_expression => true }, { insta::assert_snapshot!(text) });
}

/// Texts and numbers, one after the other, for ever.
struct Supply {
    texts: Vec<String>,
    numbers: Vec<f64>,
    turn: usize,
}

impl Supply {
    fn text(&mut self) -> String {
        self.turn += 1;
        self.texts[self.turn % self.texts.len()].clone()
    }

    fn may(&mut self) -> Option<String> {
        Some(self.text()).filter(|_| !self.turn.is_multiple_of(3))
    }

    fn number(&mut self) -> f64 {
        self.turn += 1;
        self.numbers[self.turn % self.numbers.len()]
    }

    /// Two different numbers, the smaller first.
    fn range(&mut self) -> (f64, f64) {
        let low = self.number();
        (low, low + self.number().max(low.abs() * 1e-6))
    }
}

/// The example with every text and number another, as far as a sheet may have it so.
fn filled(sheet: &Sheet, supply: &mut Supply) -> Sheet {
    let mut sheet = sheet.clone();
    sheet.title = supply.text();
    sheet.says = supply.may();
    sheet.refit = supply.number();
    sheet.work_hours = Some(WorkHours { spread: 1.0 + supply.number(), source: supply.text() });
    sheet.yearly_use.mean_km = supply.number();
    sheet.yearly_use.source = supply.text();
    for title in sheet.places.values_mut() {
        *title = supply.text();
    }
    for station in sheet.stations.values_mut() {
        station.title = supply.text();
    }
    for component in sheet.components.values_mut() {
        component.title = supply.text();
        component.ages_by.share_km = supply.number().fract();
        if let Some(life) = &mut component.life {
            life.median = supply.number();
            life.spread = 1.0 + supply.number();
            life.source = supply.text();
        }
    }
    for check in sheet.checks.values_mut() {
        check.title = supply.text();
        check.how = supply.may();
        check.normal = supply.may();
        check.caution = supply.may();
        check.when = supply.may();
        check.tools = supply.may().into_iter().collect();
        check.minutes = Some(supply.number());
        match &mut check.kind {
            CheckKind::Reading(Reading { scale, .. }) | CheckKind::Derived(Derived { scale, .. }) => {
                let (low, high) = supply.range();
                if let Some(limit) = &mut scale.limit {
                    let two = supply.turn.is_multiple_of(2);
                    *limit = Limit { min: Some(low), max: two.then_some(high), source: supply.text() };
                    scale.new =
                        Some(New { value: high, tolerance: scale.new.as_ref().and_then(|n| n.tolerance) });
                    scale.settled = None;
                }
                for differs in &mut scale.differs {
                    differs.max = supply.number();
                    differs.source = supply.text();
                }
                if let Some(trend) = &mut scale.trend {
                    (trend.max, trend.per) = (supply.number(), supply.number());
                }
            }
            CheckKind::Observation(states) => {
                for state in states {
                    state.says = supply.text();
                    state.tell = supply.may();
                    state.short = supply.text();
                    state.why = Some(supply.text());
                    if let Some(when) = &mut state.when {
                        when.years = Some(supply.number());
                    }
                }
            }
            CheckKind::Interval(interval) => {
                interval.km = Some(supply.number());
                interval.years = Some(supply.number());
            }
        }
    }
    for fastener in sheet.fasteners.values_mut() {
        fastener.title = supply.text();
        fastener.thread = supply.may();
        fastener.sequence = supply.may();
        fastener.stages.push(Stage::Torque(supply.number(), Some(supply.number())));
        fastener.stages.push(Stage::Angle(supply.number()));
    }
    for part in sheet.parts.values_mut() {
        part.title = supply.text();
        part.marks = vec![supply.text()];
        part.shelf_age = Some(supply.number());
    }
    for access in sheet.access.values_mut() {
        access.title = supply.text();
        access.hours = supply.number();
    }
    for operation in sheet.operations.values_mut() {
        operation.title = supply.text();
        operation.hours = supply.number();
        operation.caution = supply.may();
        for step in &mut operation.steps {
            step.does = supply.text();
            step.hold = supply.may();
            step.second_look = supply.turn.is_multiple_of(2);
        }
    }
    for consequence in sheet.consequences.values_mut() {
        consequence.says = supply.text();
        consequence.warns = vec![supply.text(), supply.text()];
    }
    for question in sheet.questions.values_mut() {
        question.none = supply.number();
        for range in question.otherwise.values_mut() {
            *range = supply.range();
        }
    }
    for explanation in sheet.explanations.values_mut() {
        explanation.says = supply.may();
        explanation.prior = explanation.prior.map(|_| supply.number());
        for sign in &mut explanation.shows {
            match &mut sign.shows {
                Shows::Reads(Expected::Between { from, to }) => (*from, *to) = supply.range(),
                Shows::Reads(Expected::Value { value, spread }) => {
                    (*value, *spread) = (supply.number(), supply.number());
                }
                Shows::Reads(Expected::Formula { onto, spread, .. }) => {
                    (*onto, *spread) = (supply.number(), supply.number());
                }
                Shows::States(_) => {}
            }
        }
    }
    for word in sheet.glossary.values_mut() {
        word.says = supply.text();
        word.also = vec![supply.text()];
    }
    sheet
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_sheet_survives_writing_and_reading(
        texts in prop::collection::vec("(\\PC|[\"\\\\'\n\t\r#=\\[\\]{}]){0,12}[a-zµ日\"\\\\](\\PC|\n){0,12}", 1..8),
        numbers in prop::collection::vec(prop_oneof![1e-6..1e6, 0.0005..9.9995, (1u32..400_000).prop_map(f64::from)], 1..12),
    ) {
        let example = read(&support::files()).unwrap();
        let sheet = filled(&example, &mut Supply { texts, numbers, turn: 0 });
        prop_assert_eq!(again(&sheet).map_err(TestCaseError::fail)?, sheet);
    }
}
