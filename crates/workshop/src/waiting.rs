//! What a car in the house waits for: the one thing that holds it back.

use crate::assessment::Assessment;
use crate::car::{Car, Visit, WorkDone};
use crate::judge::Judge;
use crate::keys;
use crate::long_job::Due;
use crate::plan::{Plan, When};
use crate::words::count;
use jiff::civil::Date;
use journal::Answer;
use sheet::{CheckKind, OperationId, Sheet, VariantId, Verdict};

/// The one thing that holds a car back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Waiting {
    /// The walk has not begun.
    Walk { stops: usize },
    /// Work that the owner has agreed to.
    Work { titles: Vec<String> },
    /// Checks that the work made necessary.
    Checks { open: usize },
    /// The owner must be told that it stays put.
    Telling,
    /// The letter.
    Letter,
    /// The owner's word on so many lines.
    OwnersWord { lines: usize },
    /// Nothing: the keys can go back.
    Nothing,
}

impl Waiting {
    pub fn of(judge: &Judge<'_>, visit: &Visit, assessment: &Assessment, plan: Option<&Plan>) -> Self {
        if visit.findings.is_empty() && visit.work.is_empty() {
            return Self::Walk { stops: stops(judge.sheet, judge.car.variant.as_ref()) };
        }
        let unasked: Vec<_> = plan
            .into_iter()
            .flat_map(|plan| &plan.items)
            .filter(|item| item.when == When::Now && visit.answer(&item.operation).is_none())
            .collect();
        let stays = assessment.findings.iter().any(|j| j.is_open() && j.verdict == Verdict::StaysPut);
        if stays && !unasked.is_empty() {
            return Self::Telling;
        }
        let agreed = agreed(judge.sheet, judge.car, visit, judge.today);
        if !agreed.is_empty() {
            return Self::Work { titles: agreed.into_iter().map(|(_, title)| title).collect() };
        }
        let open =
            keys::obligations(judge.sheet, visit).iter().filter(|obliged| obliged.dealt.is_none()).count();
        if open > 0 {
            return Self::Checks { open };
        }
        if visit.letter.is_none() {
            return Self::Letter;
        }
        if !unasked.is_empty() {
            return Self::OwnersWord { lines: unasked.len() };
        }
        Self::Nothing
    }

    /// In words that stand alone.
    pub fn says(&self) -> String {
        match self {
            Self::Walk { stops } => format!("To be walked: {}", count(*stops, "stop", "stops")),
            Self::Work { titles } => match &titles[..] {
                [one] => format!("Work agreed: {one}"),
                [first, rest @ ..] => format!("Work agreed: {first}, and {} more", rest.len()),
                [] => "Work agreed".into(),
            },
            Self::Checks { open } => format!("{} before the keys go back", count(*open, "check", "checks")),
            Self::Telling => "Stays put: the owner has to be told".into(),
            Self::Letter => "The letter is to be written".into(),
            Self::OwnersWord { lines } => format!("The owner’s word on {}", count(*lines, "line", "lines")),
            Self::Nothing => "Nothing: the keys can go back".into(),
        }
    }
}

/// Operations that the owner has said yes to and that are not done yet, with their titles: on this visit, and before for now.
pub fn agreed(sheet: &Sheet, car: &Car, visit: &Visit, today: Date) -> Vec<(OperationId, String)> {
    let title = |id: &OperationId| {
        sheet.operations.get(id).map_or_else(|| id.to_string(), |operation| operation.title.clone())
    };
    let mut agreed: Vec<(OperationId, String)> = Vec::new();
    for (job, _) in car.promised(today).filter(|(_, due)| *due == Due::Now) {
        let open = car
            .remaining(job)
            .into_iter()
            .filter(|id| visit.answer(id).is_none_or(|answered| answered.says == Answer::Yes));
        agreed.extend(open.map(|id| (id.clone(), title(id))));
    }
    for answered in &visit.answers {
        let last = visit.answer(&answered.operation);
        let yes = last.is_some_and(|last| last.says == Answer::Yes);
        let done = visit.work.iter().any(|work| {
            matches!(&work.what, WorkDone::Operation { operation, .. } if *operation == answered.operation)
        });
        let listed = agreed.iter().any(|(id, _)| *id == answered.operation);
        if yes && !done && !listed {
            agreed.push((answered.operation.clone(), title(&answered.operation)));
        }
    }
    agreed
}

/// How many looks and readings a walk round a car of this variant has.
pub fn stops(sheet: &Sheet, variant: Option<&VariantId>) -> usize {
    sheet
        .walk(variant)
        .into_iter()
        .filter(|stop| {
            sheet
                .checks
                .get(stop.check)
                .is_some_and(|check| matches!(check.kind, CheckKind::Reading(_) | CheckKind::Observation(_)))
        })
        .count()
}
