//! What another data sheet would say of a car.

use crate::{Car, Judge, Judged, Reason, Shop, letter};
use jiff::civil::Date;
use sheet::{CheckId, Place, Sheet, Verdict};

/// A verdict that would be another.
#[derive(Debug, Clone)]
pub struct Otherwise {
    pub check: CheckId,
    pub place: Place,
    /// "Brake pads, front, front left", and what is looked at on it.
    pub part: String,
    pub title: String,
    /// `None` where nothing is said of it.
    pub was: Option<Verdict>,
    pub now: Option<Verdict>,
    /// The grounds of the new verdict that the old one did not have.
    pub why: Vec<Reason>,
}

/// The verdicts on a car that are others by the sheet `after` than by `before`: in the order of `after`, what it no longer
/// speaks of at the end.
pub fn otherwise(shop: &Shop, before: &Sheet, after: &Sheet, car: &Car, today: Date) -> Vec<Otherwise> {
    let judged = |sheet| Judge::new(shop, sheet, car, today).assess().findings;
    let (old_sheet, new_sheet) = (before, after);
    let (before, after) = (judged(before), judged(after));
    let same = |a: &Judged, b: &Judged| (&a.check, &a.place) == (&b.check, &b.place);
    let in_after = after.iter().map(|now| (before.iter().find(|was| same(was, now)), Some(now)));
    let gone = before.iter().filter(|was| !after.iter().any(|now| same(was, now)));
    let all = in_after.chain(gone.map(|was| (Some(was), None)));
    let told = all.filter_map(|(was, now)| {
        let known = now.or(was)?;
        let sheet = if now.is_some() { new_sheet } else { old_sheet };
        let old: &[Reason] = was.map_or(&[], |was| &was.reasons);
        let is_new = |reason: &&Reason| old.iter().all(|known| known.says != reason.says);
        Some(Otherwise {
            check: known.check.clone(),
            place: known.place.clone(),
            part: letter::part_title(sheet, known),
            title: letter::check_title(sheet, known).to_owned(),
            was: was.map(|was| was.verdict),
            now: now.map(|now| now.verdict),
            why: now.map_or(vec![], |now| now.reasons.iter().filter(is_new).cloned().collect()),
        })
    });
    told.filter(|told| told.was != told.now).collect()
}
