//! Entries turned into a car, in the order in which they were said.

use super::{
    Answered, Calculation, Car, Closed, Dealt, Finding, FluidMoved, Marking, Moment, ObligationDealt,
    Overrule, SentLetter, Tag, Visit, What, Work, WorkDone, km,
};
use crate::long_job::LongJob;
use jiff::civil::Date;
use journal::{Entry, EntryId, Known};
use sheet::Verdict;
use std::collections::{HashMap, HashSet};

impl Car {
    /// The car that a stream tells of. The order of arrival counts, whatever order the entries are handed in; an entry handed
    /// in twice counts once, and one that was corrected is left out in favour of its correction.
    ///
    /// `None` when the stream describes no car.
    pub fn fold(id: &str, entries: &[Entry]) -> Option<Car> {
        let mut car = Car { id: id.into(), ..Car::default() };
        let mut described = false;
        for (seq, entry) in effective(entries) {
            match entry.body.known() {
                None => car.unknown += 1,
                Some(Known::Car { title, sheet, tag, variant, first_used, owner, note }) => {
                    described = true;
                    car.title.clone_from(title);
                    car.sheet = Some(sheet.as_str().into());
                    car.tag.clone_from(tag);
                    car.variant = variant.as_deref().map(Into::into);
                    car.first_used = *first_used;
                    car.owner.clone_from(owner);
                    car.note.clone_from(note);
                }
                Some(known) => car.apply(seq, entry, known),
            }
        }
        for (n, visit) in car.visits.iter_mut().enumerate() {
            visit.stands_at(n);
        }
        car.length = entries.iter().map(|entry| entry.seq).max().unwrap_or(0);
        described.then_some(car)
    }

    /// The last day that an entry tells of, given the day on which it was written: a visit may be written down before its day.
    /// `None` for what tells who a car is, which is so on every day.
    pub fn day_told(entry: &Entry, written: Date) -> Option<Date> {
        match entry.body.known() {
            Some(Known::Car { .. }) => None,
            Some(Known::Visit { date, .. }) => Some(written.max(*date)),
            _ => Some(written),
        }
    }

    fn apply(&mut self, seq: u64, entry: &Entry, known: &Known) {
        let by = entry.by.clone();
        if let Known::Visit { visit, date, odometer, revision, asked_for, ceiling } = known {
            let begun = Visit {
                id: visit.clone(),
                date: *date,
                odometer: odometer.clone(),
                revision: revision.clone(),
                asked_for: asked_for.clone(),
                ceiling: ceiling.as_deref().and_then(|ceiling| ceiling.parse().ok()),
                by,
                findings: vec![],
                overrules: vec![],
                markings: vec![],
                work: vec![],
                fluids: vec![],
                obligations: vec![],
                answers: vec![],
                letter: None,
                closed: None,
            };
            // Visits stand in the order of their dates: old ones may be written down late.
            let at = self.visits.partition_point(|other| other.date <= begun.date);
            self.visits.insert(at, begun);
            return;
        }
        if let Known::Tag { tag, visit, what, why, when, check, place } = known {
            let Some((tied, tied_km)) = self.visit(visit).map(|visit| (visit.date, km(&visit.odometer)))
            else {
                return;
            };
            self.tags.retain(|other| other.id != *tag);
            self.tags.push(Tag {
                id: tag.clone(),
                visit: visit.clone(),
                tied,
                tied_km,
                what: what.clone(),
                why: why.clone(),
                when: when.clone(),
                check: check.as_deref().map(Into::into),
                place: place.as_deref().map(Into::into),
                settled: None,
            });
            return;
        }
        if let Known::TagSettled { tag, visit, reason } = known {
            if self.visit(visit).is_none() {
                return;
            }
            for waiting in self.tags.iter_mut().filter(|waiting| waiting.id == *tag) {
                waiting.settled = Some(reason.clone());
            }
            return;
        }
        if let Known::LongJob { job, visit, operations, on, name, words } = known {
            let Some(agreed) = self.visit(visit).map(|visit| visit.date) else { return };
            self.long_jobs.retain(|other| other.id != *job);
            self.long_jobs.push(LongJob {
                id: job.clone(),
                visit: visit.clone(),
                agreed,
                seq,
                operations: operations.iter().map(|id| id.as_str().into()).collect(),
                on: *on,
                name: name.clone(),
                words: words.clone(),
                settled: None,
            });
            return;
        }
        if let Known::LongJobSettled { job, visit, reason } = known {
            if self.visit(visit).is_none() {
                return;
            }
            for waiting in self.long_jobs.iter_mut().filter(|waiting| waiting.id == *job) {
                waiting.settled = Some(reason.clone());
            }
            return;
        }
        if let Known::Calculation { visit, on, formula, inputs, results, note } = known {
            if visit.as_ref().is_none_or(|id| self.visit(id).is_some()) {
                self.calculations.push(Calculation {
                    visit: visit.clone(),
                    on: *on,
                    by,
                    formula: formula.clone(),
                    inputs: inputs.clone(),
                    results: results.clone(),
                    note: note.clone(),
                });
            }
            return;
        }
        let Some(visit) = visit_of(known).and_then(|id| self.visits.iter_mut().find(|visit| visit.id == id))
        else {
            return;
        };
        visit.apply(seq, entry, known);
    }
}

impl Visit {
    /// Puts everything on this visit where the visit stands among the others.
    fn stands_at(&mut self, n: usize) {
        let findings = self.findings.iter_mut().map(|finding| &mut finding.moment);
        let overrules = self.overrules.iter_mut().map(|overrule| &mut overrule.moment);
        let markings = self.markings.iter_mut().map(|marking| &mut marking.moment);
        let work = self.work.iter_mut().map(|work| &mut work.moment);
        let dealt = self.obligations.iter_mut().map(|dealt| &mut dealt.moment);
        let answers = self.answers.iter_mut().map(|answered| &mut answered.moment);
        findings
            .chain(overrules)
            .chain(markings)
            .chain(work)
            .chain(dealt)
            .chain(answers)
            .for_each(|moment| moment.visit = n);
    }

    fn apply(&mut self, seq: u64, entry: &Entry, known: &Known) {
        let (by, at) = (entry.by.clone(), entry.at);
        let moment = Moment { visit: 0, seq }; // which visit of how many is known once all are
        let mut found = |check: &str, place: &str, note: &Option<String>, what| {
            self.findings.push(Finding {
                entry: entry.id,
                moment,
                check: check.into(),
                place: place.into(),
                by: by.clone(),
                at,
                note: note.clone(),
                what,
            });
        };
        match known {
            Known::Reading { check, place, values, instrument, seen, note, .. } => {
                let (values, instrument) = (values.clone(), instrument.clone());
                found(check, place, note, What::Reading { values, instrument, seen: *seen });
            }
            Known::Look { check, place, state, seen, note, .. } => {
                found(check, place, note, What::Look { state: state.as_str().into(), seen: *seen });
            }
            Known::NotReached { check, place, reason, .. } => {
                found(check, place, &None, What::NotReached { reason: reason.clone() });
            }
            Known::Overrule { check, place, verdict, reason, when, .. } => {
                let Some(verdict) = Verdict::ALL.iter().copied().find(|known| known.id() == verdict) else {
                    return;
                };
                let (check, place) = (check.as_str().into(), place.as_str().into());
                let (reason, when) = (reason.clone(), when.clone());
                self.overrules.push(Overrule { moment, check, place, verdict, reason, when, by });
            }
            Known::Marking { component, place, reads, part, note, .. } => self.markings.push(Marking {
                moment,
                component: component.as_str().into(),
                place: place.as_str().into(),
                reads: reads.clone(),
                part: part.as_deref().map(Into::into),
                by,
                note: note.clone(),
            }),
            Known::Done { operation, place, .. } => {
                let operation = operation.as_str().into();
                let place = place.as_deref().map(Into::into);
                self.work.push(Work { moment, by, what: WorkDone::Operation { operation, place } });
            }
            Known::Fitted { component, place, part, batch, made, since, odometer, note, .. } => {
                let what = WorkDone::Fitted {
                    component: component.as_str().into(),
                    place: place.as_str().into(),
                    part: part.as_deref().map(Into::into),
                    batch: batch.clone(),
                    made: *made,
                    since: since.map(|since| (since, odometer.clone())),
                    note: note.clone(),
                };
                self.work.push(Work { moment, by, what });
            }
            Known::Fluid { fluid, drained, filled, lot, note, .. } => self.fluids.push(FluidMoved {
                fluid: fluid.as_str().into(),
                drained: drained.clone(),
                filled: filled.clone(),
                lot: lot.clone(),
                note: note.clone(),
            }),
            Known::Met { obligation, value, note, .. } => {
                let how = Dealt::Met { value: value.clone(), note: note.clone() };
                self.obligations.push(ObligationDealt {
                    moment,
                    obligation: obligation.as_str().into(),
                    by,
                    how,
                });
            }
            Known::Waived { obligation, reason, .. } => {
                let how = Dealt::Waived { reason: reason.clone() };
                self.obligations.push(ObligationDealt {
                    moment,
                    obligation: obligation.as_str().into(),
                    by,
                    how,
                });
            }
            Known::Letter { html, .. } => self.letter = Some(SentLetter { at, by, html: html.clone() }),
            Known::Answer { operation, says, name, words, .. } => self.answers.push(Answered {
                moment,
                operation: operation.as_str().into(),
                says: *says,
                name: name.clone(),
                words: words.clone(),
                at,
            }),
            Known::Closed { odometer, .. } => {
                self.closed = Some(Closed { odometer: odometer.clone(), at, by });
            }
            _ => {}
        }
    }
}

/// The visit that an entry belongs to.
fn visit_of(known: &Known) -> Option<&str> {
    match known {
        Known::Reading { visit, .. }
        | Known::Look { visit, .. }
        | Known::NotReached { visit, .. }
        | Known::Overrule { visit, .. }
        | Known::Marking { visit, .. }
        | Known::Fitted { visit, .. }
        | Known::Fluid { visit, .. }
        | Known::Done { visit, .. }
        | Known::Met { visit, .. }
        | Known::Waived { visit, .. }
        | Known::Letter { visit, .. }
        | Known::Answer { visit, .. }
        | Known::Closed { visit, .. } => Some(visit),
        _ => None,
    }
}

/// The entries that count, each with its place in the story: a correction stands where what it corrects stood.
fn effective(entries: &[Entry]) -> Vec<(u64, &Entry)> {
    let seqs: HashMap<EntryId, (u64, Option<EntryId>)> =
        entries.iter().map(|entry| (entry.id, (entry.seq, entry.replaces))).collect();
    let replaced: HashSet<EntryId> = entries.iter().filter_map(|entry| entry.replaces).collect();
    let mut kept: Vec<(u64, &Entry)> = entries
        .iter()
        .filter(|entry| !replaced.contains(&entry.id))
        .map(|entry| {
            let (mut seq, mut replaces) = (entry.seq, entry.replaces);
            // An entry can only replace an earlier one, so this goes down and ends.
            while let Some((before, further)) =
                replaces.and_then(|id| seqs.get(&id)).filter(|(at, _)| *at < seq)
            {
                (seq, replaces) = (*before, *further);
            }
            (seq, entry)
        })
        .collect();
    kept.sort_by_key(|(seq, entry)| (*seq, entry.seq));
    kept.dedup_by_key(|(_, entry)| entry.id);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::draft;
    use journal::{Body, Seen, Stream, When};
    use proptest::prelude::*;
    use proptest::sample::Index;

    /// Entry by number; the order of arrival is that of the numbers.
    fn entry(n: u64, body: impl Into<Body>) -> Entry {
        Entry { draft: draft(n.into(), Stream::Car("dora".into()), body), seq: n }
    }

    fn correcting(n: u64, replaces: u64, body: impl Into<Body>) -> Entry {
        let mut entry = entry(n, body);
        entry.draft.replaces = Some(EntryId(uuid::Uuid::from_u128(replaces.into())));
        entry
    }

    fn described(title: &str) -> Known {
        let (title, sheet) = (title.to_owned(), "plover-carrier".to_owned());
        Known::Car { title, sheet, tag: None, variant: None, first_used: None, owner: None, note: None }
    }

    fn begun(visit: &str, date: &str, km: &str) -> Known {
        Known::Visit {
            visit: visit.into(),
            date: date.parse().unwrap(),
            odometer: km.parse().unwrap(),
            revision: "r".into(),
            asked_for: None,
            ceiling: None,
        }
    }

    fn seen(visit: &str, state: &str) -> Known {
        Known::Look {
            visit: visit.into(),
            check: "hose-look".into(),
            place: "front.left".into(),
            state: state.into(),
            seen: Seen::Clear,
            note: None,
        }
    }

    fn tag(id: &str, what: &str) -> Known {
        let when = When { next_visit: true, ..When::default() };
        let (tag, visit, what, why) = (id.into(), "v1".into(), what.into(), "because".into());
        Known::Tag { tag, visit, what, why, when, check: None, place: None }
    }

    fn story() -> Vec<Entry> {
        vec![
            entry(1, described("Dora")),
            entry(2, begun("v1", "2024-05-01", "20000 km")),
            entry(3, seen("v1", "sound")),
            entry(4, tag("t", "hose")),
            entry(5, begun("v2", "2025-05-01", "30000 km")),
            entry(6, seen("v2", "crazed")),
            entry(7, Known::TagSettled { tag: "t".into(), visit: "v2".into(), reason: "seen".into() }),
            entry(8, Known::Closed { visit: "v2".into(), odometer: "30004 km".parse().unwrap() }),
        ]
    }

    fn states(car: &Car, visit: &str) -> Vec<String> {
        let found = &car.visit(visit).unwrap().findings;
        let state = |finding: &Finding| match &finding.what {
            What::Look { state, .. } => state.to_string(),
            other => panic!("{other:?}"),
        };
        found.iter().map(state).collect()
    }

    #[test]
    fn a_story_becomes_a_car() {
        let car = Car::fold("dora", &story()).unwrap();
        assert_eq!((car.title.as_str(), car.length, car.unknown), ("Dora", 8, 0));
        assert_eq!(car.visits.len(), 2);
        assert_eq!(car.open_visit().unwrap().id, "v1");
        assert_eq!(car.last_visit().unwrap().km(), 30_004.0);
        assert_eq!(car.open_tags().count(), 0);
        assert_eq!(car.tags[0].settled.as_deref(), Some("seen"));
        assert_eq!((car.tags[0].tied.to_string().as_str(), car.tags[0].tied_km), ("2024-05-01", 20_000.0));
    }

    #[test]
    fn a_stream_that_describes_no_car_is_none() {
        assert_eq!(Car::fold("dora", &[]), None);
        assert_eq!(Car::fold("dora", &story()[1..]), None);
    }

    #[test]
    fn the_latest_description_counts_and_nothing_of_the_story_is_lost() {
        let mut entries = story();
        entries.push(entry(9, described("Dora the second")));
        let car = Car::fold("dora", &entries).unwrap();
        assert_eq!((car.title.as_str(), car.visits.len()), ("Dora the second", 2));
    }

    #[test]
    fn a_correction_stands_where_what_it_corrects_stood() {
        for (name, more, expected) in [
            ("one", vec![correcting(9, 3, seen("v1", "scuffed"))], &["scuffed"][..]),
            (
                "a correction of a correction",
                vec![correcting(9, 3, seen("v1", "scuffed")), correcting(10, 9, seen("v1", "damp"))],
                &["damp"],
            ),
            (
                "two of one entry: both stand there, the later behind",
                vec![correcting(9, 3, seen("v1", "scuffed")), correcting(10, 3, seen("v1", "damp"))],
                &["scuffed", "damp"],
            ),
            ("into another visit", vec![correcting(9, 3, seen("v2", "scuffed"))], &[]),
            ("of what is not there", vec![correcting(9, 99, seen("v1", "scuffed"))], &["sound", "scuffed"]),
        ] {
            let mut entries = story();
            entries.extend(more);
            for turned in [entries.clone(), entries.into_iter().rev().collect()] {
                let car = Car::fold("dora", &turned).unwrap();
                assert_eq!(states(&car, "v1"), expected, "{name}");
            }
        }
    }

    #[test]
    fn a_corrected_look_still_comes_before_the_work_that_followed_it() {
        let mut entries = story();
        let (visit, operation) = ("v2".to_owned(), "renew-hose".to_owned());
        entries.push(entry(9, Known::Done { visit, operation, place: None }));
        entries.push(correcting(10, 6, seen("v2", "damp")));
        let car = Car::fold("dora", &entries).unwrap();
        let visit = car.visit("v2").unwrap();
        assert!(visit.findings[0].moment < visit.work[0].moment);
    }

    #[test]
    fn a_corrected_visit_keeps_what_was_found_on_it() {
        let mut entries = story();
        entries.push(correcting(9, 2, begun("v1", "2024-05-02", "20100 km")));
        let car = Car::fold("dora", &entries).unwrap();
        let visit = car.visit("v1").unwrap();
        assert_eq!((visit.date.to_string().as_str(), visit.findings.len()), ("2024-05-02", 1));
        assert_eq!(car.tags[0].tied_km, 20_100.0);
    }

    #[test]
    fn what_only_a_newer_version_knows_is_counted_and_harms_nothing() {
        let unknown = || Body::Unknown(serde_json::json!({ "v": 2, "kind": "smell", "of": "fuel" }));
        let mut entries = story();
        entries.extend([entry(9, unknown()), entry(10, unknown())]);
        entries.push(entry(10, unknown())); // handed in twice
        let car = Car::fold("dora", &entries).unwrap();
        let known = Car::fold("dora", &story()).unwrap();
        assert_eq!((car.unknown, car.length), (2, 10));
        assert_eq!(car.visits, known.visits);
    }

    #[test]
    fn what_speaks_of_a_visit_or_tag_that_is_not_there_is_left_out() {
        let mut entries = story();
        entries.push(entry(9, seen("v9", "damp")));
        entries
            .push(entry(10, Known::TagSettled { tag: "x".into(), visit: "v2".into(), reason: "r".into() }));
        let car = Car::fold("dora", &entries).unwrap();
        assert_eq!(Car { length: 8, ..car }, Car::fold("dora", &story()).unwrap());
    }

    #[test]
    fn a_key_tag_tied_again_counts_as_it_was_tied_last() {
        let mut entries = story();
        entries.push(entry(9, tag("t", "hose, both ends")));
        let car = Car::fold("dora", &entries).unwrap();
        assert_eq!(car.open_tags().map(|tag| tag.what.as_str()).collect::<Vec<_>>(), ["hose, both ends"]);
    }

    #[test]
    fn what_was_worked_out_is_kept_with_its_visit_or_with_the_car() {
        let worked = |visit: Option<&str>| Known::Calculation {
            visit: visit.map(Into::into),
            on: "2025-05-01".parse().unwrap(),
            formula: "belt-span-tension".into(),
            inputs: [("span".to_owned(), "172 mm".to_owned())].into(),
            results: vec![],
            note: None,
        };
        let mut entries = story();
        entries.extend([
            entry(9, worked(Some("v2"))),
            entry(10, worked(None)),
            entry(11, worked(Some("v9"))),
        ]);
        let car = Car::fold("dora", &entries).unwrap();
        let kept: Vec<_> = car.calculations.iter().map(|kept| kept.visit.as_deref()).collect();
        assert_eq!(kept, [Some("v2"), None], "a visit that is not there keeps nothing");
    }

    #[test]
    fn a_visit_written_down_late_stands_among_the_others_by_its_day() {
        let mut entries = story();
        entries.push(entry(9, begun("v0", "2023-05-01", "10000 km")));
        entries.push(entry(10, seen("v0", "stiff")));
        let car = Car::fold("dora", &entries).unwrap();
        assert_eq!(car.visits.iter().map(|visit| visit.id.as_str()).collect::<Vec<_>>(), ["v0", "v1", "v2"]);
        let moments: Vec<_> = car.visits.iter().map(|visit| visit.findings[0].moment).collect();
        assert!(moments.is_sorted(), "{moments:?}");
    }

    #[test]
    fn supposing_adds_one_finding_that_comes_last_on_its_visit() {
        let car = Car::fold("dora", &story()).unwrap();
        let what = What::NotReached { reason: "rust".into() };
        let supposed = car.supposing("v1", "hose-look".into(), "front.left".into(), what.clone());
        let findings = &supposed.visit("v1").unwrap().findings;
        assert_eq!(findings.len(), 2);
        assert_eq!(findings[1].what, what);
        assert!(findings[0].moment < findings[1].moment);
        assert!(findings[1].moment < supposed.visit("v2").unwrap().findings[0].moment);
        assert_eq!(car.supposing("v9", "hose-look".into(), "front.left".into(), what), car);
    }

    /// Stories of visits, looks, tags and corrections, in the order of arrival.
    fn stories() -> impl Strategy<Value = Vec<Entry>> {
        let line = (0u8..6, any::<Index>(), any::<Index>(), 0u8..4);
        prop::collection::vec(line, 1..24).prop_map(|lines| {
            let mut entries = vec![entry(1, described("Dora"))];
            for (kind, one, other, n) in lines {
                let seq = entries.len() as u64 + 1;
                let visit = format!("v{n}");
                let date = format!("202{}-0{}-01", one.index(6), other.index(9) + 1);
                let state = ["sound", "crazed", "damp"][one.index(3)];
                entries.push(match kind {
                    0 | 1
                        if !entries.iter().any(
                            |e| matches!(e.body.known(), Some(Known::Visit { visit: v, .. }) if *v == visit),
                        ) =>
                    {
                        entry(seq, begun(&visit, &date, "20000 km"))
                    }
                    0..=2 => entry(seq, seen(&visit, state)),
                    3 => correcting(seq, one.index(entries.len()) as u64 + 1, seen(&visit, state)),
                    4 => entry(seq, tag(&format!("t{n}"), state)),
                    _ => entry(seq, Known::TagSettled { tag: format!("t{n}"), visit, reason: state.into() }),
                });
            }
            entries
        })
    }

    proptest! {
        #[test]
        fn the_order_and_repetition_of_handing_in_change_nothing(
            (entries, handed_in) in stories().prop_flat_map(|entries| {
                let again = prop::collection::vec(prop::sample::select(entries.clone()), 0..6);
                (Just(entries.clone()), again).prop_flat_map(|(entries, again)| {
                    let all: Vec<Entry> = entries.iter().cloned().chain(again).collect();
                    (Just(entries), Just(all).prop_shuffle())
                })
            })
        ) {
            prop_assert_eq!(Car::fold("dora", &handed_in), Car::fold("dora", &entries));
        }

        #[test]
        fn moments_follow_days_then_arrival(entries in stories()) {
            if let Some(car) = Car::fold("dora", &entries) {
                prop_assert!(car.visits.is_sorted_by_key(|visit| visit.date));
                let moments: Vec<_> =
                    car.visits.iter().flat_map(|visit| &visit.findings).map(|finding| finding.moment).collect();
                prop_assert!(moments.is_sorted(), "{:?}", moments);
            }
        }
    }
}
