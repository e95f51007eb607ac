//! Parts that were seen in a place, by what is written on them, and parts that the record says are fitted.

use super::Judge;
use crate::assessment::{Carries, Judged, Outcome, PutRight, Reason};
use crate::car::{Marking, Moment, Visit};
use crate::fittings::Fitting;
use crate::marking::{Seat, SeenPart, marking_of};
use crate::outlook::Outlook;
use crate::verdict::{of_wrong_part, stands_for};
use crate::words;
use sheet::{Component, ComponentId, Marked, Place, Verdict};

impl<'a> Judge<'a> {
    /// Every marking that was read on what is still in, and every part that the record says sits where it is not made for.
    pub(super) fn markings(&self) -> impl Iterator<Item = Judged> {
        self.sheet.components.iter().flat_map(move |(id, component)| {
            component.places.iter().filter_map(move |place| self.marking(id, component, place))
        })
    }

    /// What is known of the part in a place by its marking.
    pub(super) fn marking(
        &self,
        id: &'a ComponentId,
        component: &'a Component,
        place: &'a Place,
    ) -> Option<Judged> {
        let variant = self.car.variant.as_ref();
        if !component.only.includes(variant) {
            return None;
        }
        let seat = Seat { sheet: self.sheet, variant, id, component, place };
        let fitting = self.fittings.current(id, place);
        let read = self.last_marking(id, place);
        let renewed = read.is_none_or(|(_, marking)| fitting.from > marking.moment);
        if renewed && let Some(judged) = self.wrongly_fitted(&seat, fitting) {
            return Some(judged);
        }
        let (visit, marking) = read?;
        let of_last_visit = self.visits().next_back().is_some_and(|last| last.id == visit.id);
        let seen = seat.seen(&marking.reads, marking.part.as_ref());
        // What sat in the wrong place and was worked on does not sit there any more; what belongs there may.
        let moved = seen.misfit.is_some() && self.worked_between(id, place, marking.moment, Moment::LAST);
        if (renewed || moved) && !of_last_visit {
            return None; // it was on a part that is gone
        }
        let mut judged = self.by_marking(&seat, seen, Some(marking.reads.clone()));
        judged.seen_on = Some((visit.id.clone(), visit.date));
        judged.by = Some(marking.by.clone());
        judged.note.clone_from(&marking.note);
        if (renewed || moved)
            && let Some(by) = self.put_right(id, place, visit, marking.moment)
        {
            let title = match &by {
                PutRight::Work(operation) => {
                    self.sheet.operations.get(operation).map_or(operation.as_str(), |known| &known.title)
                }
                PutRight::Part { .. } => "another part was fitted",
            };
            let says = format!("Put right on {}: {title}.", words::day(visit.date));
            judged.reasons.insert(0, Reason::new(says));
            judged.outlook = None;
            judged.put_right = Some(by);
        }
        self.overrule_without_check(&mut judged, marking.moment);
        Some(judged)
    }

    /// The last marking that was read in a place.
    fn last_marking(&self, id: &ComponentId, place: &Place) -> Option<(&'a Visit, &'a Marking)> {
        self.visits().rev().find_map(|visit| {
            let here = visit.markings.iter().filter(|read| read.component == *id && read.place == *place);
            Some((visit, here.max_by_key(|read| read.moment)?))
        })
    }

    /// A part that was fitted where it is not made for; `None` for one that fits, or of which nothing is known.
    fn wrongly_fitted(&self, seat: &Seat<'a>, fitting: &Fitting) -> Option<Judged> {
        let seen = seat.fitted(fitting.part.as_ref()?)?;
        seen.misfit.as_ref()?;
        let mut judged = self.by_marking(seat, seen, None);
        let visit = self.visits().find(|visit| Some(&visit.id) == fitting.visit.as_ref());
        judged.seen_on = visit.map(|visit| (visit.id.clone(), visit.date));
        self.overrule_without_check(&mut judged, fitting.from);
        Some(judged)
    }

    /// What a part asks for by what its marking tells.
    fn by_marking(&self, seat: &Seat<'a>, seen: SeenPart<'a>, reads: Option<String>) -> Judged {
        let SeenPart { marked, misfit, newest, reasons } = seen;
        let part = match marked {
            Marked::One(part) => Some(part.clone()),
            _ => None,
        };
        let first = reasons.first().map_or(String::new(), |reason| reason.says.clone());
        let criticality = seat.component.criticality;
        let mut carries = Carries::default();
        let verdict = match (&part, &misfit, newest) {
            (None, ..) => {
                carries.why = Some(first);
                Verdict::NotReached
            }
            (Some(part), Some(misfit), _) => {
                let why = format!("{part} is in. {}", seat.misfit_words(misfit));
                let verdict = of_wrong_part(criticality);
                match verdict {
                    Verdict::Plan => {
                        carries.window = self.next_visit.as_ref().map(|next| (self.today, next.date))
                    }
                    _ => carries.consequence = Some(self.with_consequence(&why, seat.component)),
                }
                carries.why = Some(why);
                verdict
            }
            (Some(part), None, Some(newest)) => {
                carries.why =
                    Some(format!("{part} is an older number of the same part; {newest} has replaced it."));
                Verdict::Settled
            }
            (Some(_), None, None) => Verdict::Sound,
        };
        let years = self.next_visit.as_ref().map_or(self.shop.gap_years, |next| next.years);
        let mut judged = Judged {
            check: marking_of(seat.id),
            place: seat.place.clone(),
            component: seat.id.clone(),
            seen_on: None,
            by: None,
            note: None,
            what: Outcome::Marked { reads, part },
            p_beyond: None,
            p_next: None,
            computed: verdict,
            verdict,
            overruled: None,
            question: None,
            carries,
            reasons,
            outlook: misfit.and_then(|_| stands_for(criticality, verdict)).map(|p| Outlook::steady(p, years)),
            put_right: None,
        };
        if let Some(says) = wrong_part_words(verdict) {
            judged.reasons.push(Reason::by_the_table(says));
        }
        judged
    }

    /// What is past, and what the sheet says comes of it.
    pub(super) fn with_consequence(&self, why: &str, component: &Component) -> String {
        match self.consequence(component) {
            Some(says) => format!("{why} {says}"),
            None => why.to_owned(),
        }
    }

    /// A person's decision on what is no check of the data sheet.
    fn overrule_without_check(&self, judged: &mut Judged, moment: Moment) {
        let component = self.sheet.components.get(&judged.component);
        self.overrule_by(judged, moment, |_, _| true, || self.consequence(component?));
    }
}

fn wrong_part_words(verdict: Verdict) -> Option<&'static str> {
    match verdict {
        Verdict::BeforeLeaving => Some(
            "A part that is not made for its place, where safety or the engine hangs on it, is put right before the car leaves.",
        ),
        Verdict::Plan => Some("A part that is not made for its place is planned to be put right."),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys;
    use crate::support::{SHEET, Shelf, Told, WORKSHOP, told_of, visit};
    use Verdict::{BeforeLeaving, NotReached, Plan, Settled, Sound};

    /// The hoses of the two sides are not alike, and the one on the left has had a number before.
    fn sheet() -> String {
        let part = |id: &str, title: &str, marks: &str, rest: &str| {
            format!(
                "[part.{id}]\ntitle = \"{title}\"\nprice = \"25.00\"\nsource = \"invented list\"\nmarks = [{marks}]\n{rest}\n"
            )
        };
        [
            SHEET.to_owned(),
            part("PV-21", "Hose, left, first form", "\"LH 1\"", "component = \"hose\"\nplaces = [\"front.left\"]"),
            part("PV-22", "Hose, left", "\"LH 2\", \"white band\"", "component = \"hose\"\nplaces = [\"front.left\"]\nreplaces = \"PV-21\"\nchanged = \"Its union has a finer thread.\"\ntogether = [\"PV-24\"]"),
            part("PV-23", "Hose, right", "\"RH 2\", \"white band\"", "component = \"hose\"\nplaces = [\"front.right\"]"),
            part("PV-24", "Union", "\"U\"", ""),
            part("PV-31", "Fan belt, flat bed", "\"FB\"", "component = \"fan-belt\"\nonly = [\"flat\"]"),
        ]
        .concat()
    }

    fn read(component: &str, place: &str, reads: &str, rest: &str) -> String {
        format!(
            "[[marking]]\ncomponent = \"{component}\"\nplace = \"{place}\"\nreads = \"{reads}\"\n{rest}\n"
        )
    }

    fn left(reads: &str, rest: &str) -> Told {
        told(&format!("{}{rest}", read("hose", "front.left", reads, "")))
    }

    fn told(body: &str) -> Told {
        told_of("dora", &sheet(), &[visit("2025-05-01", 80_000, body)])
    }

    fn hose(told: &Told) -> Judged {
        told.judged("marking:hose", "front.left")
    }

    fn says(judged: &Judged) -> String {
        judged.reasons.iter().map(|reason| reason.says.as_str()).collect::<Vec<_>>().join(" ")
    }

    fn marked(judged: &Judged) -> (Option<&str>, Option<&str>) {
        match &judged.what {
            Outcome::Marked { reads, part } => (reads.as_deref(), part.as_ref().map(|part| part.as_str())),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_part_that_belongs_there_is_sound() {
        let judged = hose(&left("LH 2", ""));
        assert_eq!((judged.computed, judged.is_open()), (Sound, false));
        assert_eq!(judged.reasons[0].says, "It reads “LH 2”: PV-22, Hose, left.");
        assert_eq!(judged.reasons[0].source.as_deref(), Some("invented list"));
    }

    #[test]
    fn a_part_in_a_place_it_is_not_made_for_is_a_finding_by_what_is_at_stake() {
        let judged = hose(&left("RH 2", ""));
        assert_eq!(judged.verdict, BeforeLeaving, "brakes");
        assert!(
            says(&judged).contains("It is made for front right, not for front left."),
            "{}",
            says(&judged)
        );
        assert!(
            says(&judged).contains("Made for this place: PV-22 (LH 2, white band)."),
            "{}",
            says(&judged)
        );
        let consequence = "PV-23 is in. It is made for front right, not for front left. The van may not stop when it has to.";
        assert_eq!(judged.carries.consequence.as_deref(), Some(consequence));
        assert!(judged.outlook.is_some(), "the plan knows how likely it fails");

        let belt = told(&read("fan-belt", "single", "FB", "")).judged("marking:fan-belt", "single");
        assert_eq!(belt.verdict, Plan, "being stranded");
        assert!(
            says(&belt).contains("It is made for Flat bed, not for this one, Closed van."),
            "{}",
            says(&belt)
        );
        assert!(belt.carries.window.is_some_and(|(from, to)| from < to));
        let other = told(&read("fan-belt", "single", "RH 2", "")).judged("marking:fan-belt", "single");
        assert_eq!(other.verdict, Plan);
        assert!(says(&other).contains("a part of another thing, Brake hose"), "{}", says(&other));
    }

    #[test]
    fn a_number_that_was_replaced_is_no_fault_and_what_replaces_it_is_said() {
        let judged = hose(&left("LH 1", ""));
        assert_eq!(judged.verdict, Settled);
        assert_eq!(
            judged.carries.why.as_deref(),
            Some("PV-21 is an older number of the same part; PV-22 has replaced it.")
        );
        assert!(
            says(&judged).contains(
                "PV-22 has replaced PV-21. Its union has a finer thread. With it goes PV-24, Union."
            )
        );
    }

    #[test]
    fn what_nobody_knows_is_kept_as_it_was_seen() {
        let judged = hose(&left("ZZ 99", ""));
        assert_eq!(judged.verdict, NotReached);
        let why = "It reads “ZZ 99”, which is on no part of the data sheet.";
        assert_eq!(judged.carries.why.as_deref(), Some(why));
        assert_eq!(marked(&judged), (Some("ZZ 99"), None));
        // Of several that fit it could be any, until somebody says which.
        let body = |rest: &str| read("hose", "front.left", "white band", rest);
        assert_eq!(hose(&told(&body("as-read = true"))).verdict, NotReached);
        assert_eq!(hose(&told(&body("part = \"PV-22\""))).verdict, Sound);
    }

    #[test]
    fn what_may_be_several_or_is_nearly_another_is_asked() {
        let refused = |reads: &str, rest: &str| {
            let mut shelf = Shelf::with_sheet(&sheet());
            shelf.record(&[("workshop.toml", WORKSHOP), ("dora.toml", crate::support::DORA)]).unwrap();
            let body = visit("2025-05-01", 80_000, &read("hose", "front.left", reads, rest));
            shelf.record(&[("visit.toml", &body)]).unwrap_err().to_string()
        };
        let several = refused("white band", "");
        assert!(several.contains("“white band” is on several parts: `PV-22`, `PV-23`"), "{several}");
        assert!(several.contains("say which with `part = …`"), "{several}");
        let near = refused("LH 22", "");
        assert!(near.contains("did you mean “LH 2”, on `PV-22`?"), "{near}");
        assert!(refused("LH 2", "part = \"PV-99\"").contains("PV-99"));
        assert!(refused("", "").contains("blank"));
    }

    #[test]
    fn a_marking_speaks_of_the_part_that_is_in() {
        let fitted = |part: &str| {
            format!("[[fitted]]\ncomponent = \"hose\"\nplace = \"front.left\"\npart = \"{part}\"\n")
        };
        // Wrong, and exchanged on the same visit for the right one.
        let exchanged = hose(&left("RH 2", &fitted("PV-22")));
        assert_eq!((exchanged.verdict, exchanged.is_open()), (BeforeLeaving, false));
        assert_eq!(exchanged.put_right, Some(PutRight::Part { part: Some("PV-22".into()) }));
        // For another wrong one: said of that, though nobody has read it.
        let again = hose(&left("RH 2", &fitted("PV-23")));
        assert_eq!(marked(&again), (None, Some("PV-23")));
        assert!(again.is_open() && says(&again).starts_with("Fitted: PV-23"));
        // On the next visit nothing is said of what is gone.
        let story = [
            visit(
                "2024-05-01",
                70_000,
                &format!("{}{}", read("hose", "front.left", "RH 2", ""), fitted("PV-22")),
            ),
            visit("2025-05-01", 80_000, ""),
        ];
        assert!(told_of("dora", &sheet(), &story).find("marking:hose", "front.left").is_none());
        // What was read after the work is said of the new part.
        let body = format!("{}{}", fitted("PV-22"), read("hose", "front.left", "LH 2", "after-work = true"));
        assert_eq!(hose(&told(&body)).verdict, Sound);
    }

    #[test]
    fn a_person_may_decide_otherwise_of_a_part() {
        let decided = "[[overrule]]\nmarking-of = \"hose\"\nplace = \"front.left\"\nverdict = \"sound\"\nreason = \"Made up by hand to the length of the left.\"\n";
        let judged = hose(&left("RH 2", decided));
        assert_eq!((judged.computed, judged.verdict), (BeforeLeaving, Sound));
    }

    #[test]
    fn markings_stand_with_their_system_and_hold_the_keys_like_any_finding() {
        let told = left("RH 2", "");
        let assessment = told.assess();
        let at =
            assessment.findings.iter().position(|judged| judged.check.as_str() == "marking:hose").unwrap();
        assert!(assessment.findings[at + 1..].iter().all(|judged| judged.component.as_str() != "hose"));
        let held = keys::held(&told.sheet, &told.car, told.car.last_visit().unwrap(), &assessment);
        assert!(held.iter().any(|held| held.to_string().contains("Brake hose, front left")), "{held:?}");
    }

    #[test]
    fn who_records_is_told_what_the_marking_tells() {
        let shelf = Shelf::with_sheet(&sheet());
        let files = [
            ("workshop.toml", WORKSHOP.to_owned()),
            ("dora.toml", crate::support::DORA.to_owned()),
            ("visit.toml", visit("2025-05-01", 80_000, &read("hose", "front.left", "RH 2", ""))),
        ];
        let files: Vec<sheet::SourceFile> =
            files.into_iter().map(|(name, text)| sheet::SourceFile::new(name, text)).collect();
        let told = crate::record(&files, &shelf.workshop, &shelf).unwrap().markings;
        assert_eq!((told.len(), told[0].at.as_str(), told[0].fits), (1, "Brake hose, front left", false));
        assert_eq!(told[0].part.as_ref().map(|part| part.as_str()), Some("PV-23"));
        assert_eq!(told[0].says[0], "It reads “RH 2”: PV-23, Hose, right.");
    }
}
