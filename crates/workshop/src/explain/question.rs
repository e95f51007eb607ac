//! One question: what raises it, what each of its explanations expects, and what was found.

use super::expects::{Expects, Otherwise, Row};
use super::next::{self, Open};
use super::words;
use super::{Asked, At, LONG_AGO, NONE_FITS, SetAside, Speaks, WORTH_TELLING, Weighed, Which};
use crate::assessment::{Judged, Outcome};
use crate::car::{Visit, WorkDone};
use crate::days::years_between;
use crate::judge::{self, Evidence, Judge, Tells};
use prognosis::diagnosis::Causes;
use quantity::Decision;
use sheet::{
    CheckId, CheckKind, Expected, Explanation, ExplanationId, Place, Question, QuestionId, RaisedBy, Shows,
    Verdict,
};
use std::collections::HashSet;

/// A chance beforehand is never nothing. Common practice, no source.
const LEAST_BEFOREHAND: f64 = 1e-3;

/// A question on one car, with everything that its answer rests on.
pub(super) struct Case<'a, 'j> {
    pub judge: &'j Judge<'a>,
    pub question: &'a Question,
    pub explanations: Vec<(&'a ExplanationId, &'a Explanation)>,
    /// Chances beforehand, "none of these" last.
    pub beforehand: Vec<f64>,
}

/// A finding that was weighed.
struct Piece<'a> {
    found: Evidence<'a>,
    row: Row,
    likelihoods: Vec<f64>,
}

/// Answers a question for a car; `None` when no explanation of it is for this car, or nothing raises it and only what is raised
/// is asked for.
pub(super) fn ask(judge: &Judge<'_>, id: &QuestionId, which: Which) -> Option<Asked> {
    let question = judge.sheet.questions.get(id)?;
    let variant = judge.car.variant.as_ref();
    let explanations: Vec<_> = judge
        .sheet
        .explanations
        .iter()
        .filter(|(_, known)| known.question == *id && known.only.includes(variant))
        .filter(|(_, known)| {
            let component = known.component.as_ref().and_then(|id| judge.sheet.components.get(id));
            component.is_none_or(|component| component.only.includes(variant))
        })
        .collect();
    if explanations.is_empty() || !question.only.includes(variant) {
        return None;
    }

    let raising: Vec<(Evidence<'_>, Judged)> = question
        .raised_by
        .iter()
        .flat_map(|by| judge.places(&by.check).into_iter().map(move |at| (by, at)))
        .filter_map(|(by, at)| raising(judge, by, at, &explanations))
        .collect();
    if raising.is_empty() && which == Which::Raised {
        return None;
    }
    let first_raised = raising.iter().map(|(found, _)| found.visit).min_by_key(|visit| visit.date);
    let as_of = first_raised.or_else(|| judge.visits().next_back());

    let (weights, beforehand_from): (Vec<f64>, Vec<String>) =
        explanations.iter().map(|(_, explanation)| beforehand(judge, explanation, as_of)).unzip();
    let start = Causes::new(&weights, question.none).ok()?;
    let case = Case { judge, question, explanations, beforehand: start.probabilities().to_vec() };

    let places: HashSet<&Place> = raising.iter().map(|(found, _)| found.at.place).collect();
    let (mut pieces, mut set_aside, mut open) = (vec![], vec![], vec![]);
    for at in case.asked_of(&places) {
        let Some(row) = case.row(at) else { continue };
        let Some(found) = judge.evidence(at) else {
            open.push(Open { at, row });
            continue;
        };
        match case.counts(&found, as_of) {
            Ok(tells) => {
                let likelihoods = row.likelihoods(tells, &case.beforehand);
                pieces.push(Piece { found, row, likelihoods });
            }
            Err(why) => {
                set_aside.push(SetAside { at: case.named(at), why });
                open.push(Open { at, row });
            }
        }
    }

    let after = pieces.iter().try_fold(start, |causes, piece| causes.found(&piece.likelihoods)).ok()?;
    let p = after.probabilities();
    let none = p.last().copied().unwrap_or(0.0);
    let next = next::next(&case, &after, &open);

    let mut weighed: Vec<Weighed> = case
        .explanations
        .iter()
        .enumerate()
        .zip(beforehand_from)
        .map(|((cause, (id, explanation)), beforehand_from)| {
            let (mut speaks_for, mut speaks_against) = (vec![], vec![]);
            for piece in &pieces {
                let Some(speaks) = case.speaks(piece, cause) else { continue };
                if speaks.ratio >= WORTH_TELLING {
                    speaks_for.push(speaks);
                } else if speaks.ratio <= 1.0 / WORTH_TELLING {
                    speaks_against.push(speaks);
                }
            }
            speaks_for.sort_by(|a: &Speaks, b| b.ratio.total_cmp(&a.ratio));
            speaks_against.sort_by(|a: &Speaks, b| a.ratio.total_cmp(&b.ratio));
            Weighed {
                id: (*id).clone(),
                title: explanation.title.clone(),
                says: explanation.says.clone(),
                p: p[cause],
                beforehand: case.beforehand[cause],
                beforehand_from,
                speaks_for,
                speaks_against,
                put_right: case.put_right(explanation),
                source: explanation.source.clone(),
            }
        })
        .collect();
    weighed.sort_by(|a, b| b.p.total_cmp(&a.p));

    Some(Asked {
        id: id.clone(),
        title: question.title.clone(),
        raised_by: raising.iter().map(|(found, _)| case.named(found.at)).collect(),
        explanations: weighed,
        none,
        none_beforehand: case.beforehand.last().copied().unwrap_or(0.0),
        unexplained: !pieces.is_empty()
            && none >= NONE_FITS
            && none > case.beforehand.last().copied().unwrap_or(0.0),
        weighed: pieces.len(),
        set_aside,
        next,
        source: question.source.clone(),
    })
}

/// Whether a finding raises a question, and how it is judged.
fn raising<'a>(
    judge: &Judge<'a>,
    by: &RaisedBy,
    at: judge::At<'a>,
    explanations: &[(&'a ExplanationId, &'a Explanation)],
) -> Option<(Evidence<'a>, Judged)> {
    let found = judge.evidence(at)?;
    // What was seen dimly is not weighed, but it is a reason to ask.
    let tells = match &found.tells {
        Ok(tells) => tells,
        Err(mute) => mute.dimly.as_ref()?,
    };
    if dealt_with(judge, &found, explanations).is_some() {
        return None;
    }
    let judged = judge.judged_at(at)?;
    let worse = |verdict: Verdict| {
        matches!(verdict, Verdict::LookAgain | Verdict::Plan | Verdict::BeforeLeaving | Verdict::StaysPut)
    };
    let raises = match (tells, &judged.overruled) {
        // A person's word on it counts: settled, it raises nothing; asking for something, it does.
        (_, Some(_)) if !worse(judged.verdict) => false,
        (Tells::State(state), overruled) => {
            let state = at.check.states().get(*state)?;
            if by.states.is_empty() {
                worse(state.means) || overruled.is_some()
            } else {
                by.states.contains(&state.id)
            }
        }
        (Tells::Value(..), Some(_)) => true,
        (Tells::Value(..), None) => {
            let past = matches!(&judged.what, Outcome::Measured(of) if of.decision == Some(Decision::Fail));
            past || judged.p_beyond.is_some_and(|p| p >= 0.5)
                || matches!(judged.verdict, Verdict::BeforeLeaving | Verdict::StaysPut)
        }
    };
    raises.then_some((found, judged))
}

/// The work that has put one of the explanations right since something was found: what was found then tells of what was.
fn dealt_with<'a>(
    judge: &Judge<'a>,
    found: &Evidence<'a>,
    explanations: &[(&'a ExplanationId, &'a Explanation)],
) -> Option<&'a str> {
    let mut since = judge.visits().flat_map(|visit| &visit.work).filter(|work| work.moment > found.moment);
    since.find_map(|work| match &work.what {
        WorkDone::Operation { operation, place } => {
            let puts_right =
                explanations.iter().any(|(_, known)| known.put_right.as_ref() == Some(operation));
            let here = place.as_ref().is_none_or(|place| concerns(place, found.at.place));
            let title = &judge.sheet.operations.get(operation)?.title;
            (puts_right && here).then_some(title.as_str())
        }
        // Another part is in, whichever work that was; what papers show was so before.
        WorkDone::Fitted { component, place, since: None, .. } => {
            let of_one = explanations.iter().any(|(_, known)| known.component.as_ref() == Some(component));
            (of_one && concerns(place, found.at.place)).then_some("another part was fitted")
        }
        WorkDone::Fitted { .. } => None,
    })
}

/// Whether what is so at one place concerns another: the same, a part of it (`cyl2`, `cyl2.in1`), or the one there is.
fn concerns(one: &Place, other: &Place) -> bool {
    let within = |whole: &str, part: &str| part.strip_prefix(whole).is_some_and(|rest| rest.starts_with('.'));
    let (single, a, b) = (Place::single(), one.as_str(), other.as_str());
    *one == single || *other == single || a == b || within(a, b) || within(b, a)
}

/// How likely an explanation is beforehand, and where that comes from.
fn beforehand(judge: &Judge<'_>, of: &Explanation, as_of: Option<&Visit>) -> (f64, String) {
    if let Some(prior) = of.prior {
        return (prior, of.source.clone());
    }
    let component = of.component.as_ref();
    let failed = component.and_then(|id| judge.failed_since_good(id, as_of));
    match failed {
        Some(failed) => {
            let title = component.and_then(|id| judge.sheet.components.get(id)).map_or("", |c| &c.title);
            (failed.p.max(LEAST_BEFOREHAND), format!("the life of its kind; {title}: {}", failed.since))
        }
        None => (LEAST_BEFOREHAND, of.source.clone()),
    }
}

impl<'a> Case<'a, '_> {
    /// The checks that the explanations speak of, each at the places where they speak of it.
    ///
    /// Where a sign names a place, it is that one. A sign without a place is looked for where the question is raised, and
    /// where nothing raises it wherever the check is made; of several such places the worst counts, so that one fault seen in
    /// two places is not counted twice, nor what is whole elsewhere held against it.
    fn asked_of(&self, raised_at: &HashSet<&Place>) -> Vec<judge::At<'a>> {
        let mut checks: Vec<&CheckId> = vec![];
        for sign in self.explanations.iter().flat_map(|(_, explanation)| &explanation.shows) {
            if !checks.contains(&&sign.check) {
                checks.push(&sign.check);
            }
        }
        checks.into_iter().flat_map(|check| self.places_of(check, raised_at)).collect()
    }

    fn places_of(&self, check: &CheckId, raised_at: &HashSet<&Place>) -> Vec<judge::At<'a>> {
        let all = self.judge.places(check);
        let signs = self.explanations.iter().flat_map(|(_, explanation)| &explanation.shows);
        let named: HashSet<&Place> =
            signs.filter(|sign| sign.check == *check).filter_map(|sign| sign.place.as_ref()).collect();
        if !named.is_empty() {
            return all.into_iter().filter(|at| named.contains(at.place)).collect();
        }
        let here = |at: &judge::At<'a>| {
            raised_at.is_empty() || raised_at.iter().any(|raised| concerns(raised, at.place))
        };
        let here: Vec<_> = all.into_iter().filter(here).collect();
        let made = here.iter().copied().filter_map(|at| self.badness(at).map(|bad| (at, bad)));
        // Of places that are as bad as each other the first counts.
        let worst = made.reduce(|worst, next| if next.1 > worst.1 { next } else { worst });
        worst.map(|(at, _)| at).or_else(|| here.first().copied()).into_iter().collect()
    }

    /// How bad what was last found looks, for comparison between places; `None` where nothing was.
    fn badness(&self, at: judge::At<'a>) -> Option<(bool, Verdict, u32)> {
        let found = self.judge.evidence(at)?;
        let tells = found.tells.is_ok();
        let judged = self.judge.judged_at(at);
        let verdict = judged.as_ref().map_or(Verdict::Sound, |judged| judged.verdict);
        let beyond = judged.and_then(|judged| judged.p_beyond).unwrap_or(0.0);
        Some((tells, verdict, (beyond.clamp(0.0, 1.0) * 1e6) as u32))
    }

    /// What the explanations expect of a check at a place; `None` when none of them speaks of it there.
    fn row(&self, at: judge::At<'a>) -> Option<Row> {
        let otherwise = match &at.check.kind {
            CheckKind::Observation(states) => Otherwise::States(states.len()),
            CheckKind::Reading(_) | CheckKind::Derived(_) => {
                let (from, to) = *self.question.otherwise.get(at.id)?;
                Otherwise::Between { from, to }
            }
            CheckKind::Interval(_) => return None,
        };
        let expects: Vec<_> =
            self.explanations.iter().map(|(_, explanation)| self.expects(explanation, at)).collect();
        expects.iter().any(Option::is_some).then_some(Row { expects, otherwise })
    }

    /// What one explanation expects; a sign that names the place counts before one that does not.
    fn expects(&self, explanation: &Explanation, at: judge::At<'a>) -> Option<Expects> {
        let signs = || explanation.shows.iter().filter(|sign| sign.check == *at.id);
        let sign = signs()
            .find(|sign| sign.place.as_ref() == Some(at.place))
            .or_else(|| signs().find(|sign| sign.place.is_none()))?;
        match &sign.shows {
            Shows::States(_) => sign.shows.likelihoods(at.check.states()).map(Expects::States),
            Shows::Reads(Expected::Value { value, spread }) => {
                Some(Expects::Near { mean: *value, sd: *spread })
            }
            Shows::Reads(Expected::Between { from, to }) => Some(Expects::Between { from: *from, to: *to }),
            Shows::Reads(Expected::Formula { formula, gives, inputs, onto, spread }) => {
                let by = judge::call(formula, gives, inputs, at.check.unit()?);
                let made = self.judge.worked_out(at, &by)?;
                Some(Expects::Near { mean: onto + made.value(), sd: spread.hypot(made.u()) })
            }
        }
    }

    /// What a finding tells of this question, or why it tells nothing.
    fn counts<'e>(&self, found: &'e Evidence<'a>, as_of: Option<&Visit>) -> Result<&'e Tells, String> {
        let tells = found.tells.as_ref().map_err(|mute| mute.why.clone())?;
        if let Some(done) = dealt_with(self.judge, found, &self.explanations) {
            return Err(format!("found before this was done: {done}"));
        }
        let before = as_of.map_or(0.0, |visit| years_between(found.visit.date, visit.date));
        if before > LONG_AGO * self.judge.shop.gap_years {
            return Err("found too long before".into());
        }
        Ok(tells)
    }

    /// What a finding says of an explanation; `None` when the explanation does not speak of it.
    fn speaks(&self, piece: &Piece<'a>, cause: usize) -> Option<Speaks> {
        let expects = piece.row.expects.get(cause)?.as_ref()?;
        let others = self.beforehand.iter().zip(&piece.likelihoods).enumerate().filter(|(n, _)| *n != cause);
        let (sum, weight) =
            others.fold((0.0, 0.0), |(sum, weight), (_, (p, likely))| (sum + p * likely, weight + p));
        let (mine, others) = (*piece.likelihoods.get(cause)?, sum / weight);
        let ratio = mine / others;
        let tells = piece.found.tells.as_ref().ok()?;
        let says = words::finding(self.judge, piece.found.at, tells, expects, ratio);
        Some(Speaks { at: self.named(piece.found.at), seen_on: piece.found.visit.date, ratio, says })
    }

    pub(super) fn named(&self, at: judge::At<'a>) -> At {
        At {
            check: at.id.clone(),
            place: at.place.clone(),
            title: words::named(self.judge, at),
            without_place: words::without_place(at),
            place_title: self.judge.sheet.place_title(at.place).to_owned(),
        }
    }

    pub(super) fn put_right(&self, of: &Explanation) -> Option<(sheet::OperationId, String)> {
        let id = of.put_right.as_ref()?;
        let title = self.judge.sheet.operations.get(id).map_or(id.to_string(), |known| known.title.clone());
        Some((id.clone(), title))
    }
}
