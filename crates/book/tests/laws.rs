//! What lists read is drawn from the journal alone: in whatever steps it was written, whatever stands in it.

#![allow(clippy::unwrap_used, clippy::panic)]

use book::{Book, BookError, Clock, Signed};
use jiff::civil::{Date, date};
use journal::{Answer, Append, Body, Draft, EntryId, Known, Seen, Stream, When};
use proptest::{prelude::*, sample::select};
use quantity::Quantity;
use sheet::{SheetId, SourceFile};
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use uuid::Uuid;

const CARS: [&str; 2] = ["pip", "pop"];

/// A folder or file of the guide's example.
fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example").join(name)
}

fn files(names: &[&str]) -> Vec<SourceFile> {
    names.iter().map(|name| SourceFile::new(*name, std::fs::read_to_string(example(name)).unwrap())).collect()
}

fn sheet_files() -> Vec<SourceFile> {
    sheet::files_in(&example("tallow-nuthatch")).unwrap()
}

/// A book in a folder that is thrown away.
struct Kept {
    folder: TempDir,
    book: Book,
}

impl Kept {
    fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let book = Book::open_or_make(folder.path()).unwrap();
        Self { folder, book }
    }

    /// With the data sheet and the workshop of the guide.
    fn new() -> Self {
        let kept = Self::empty();
        kept.book.adopt(&sheet_files(), "ida", &Clock::on(date(2026, 5, 4))).unwrap();
        kept.book.record(&files(&["workshop.toml"])).unwrap();
        kept
    }

    fn append(&self, drafts: &[Draft]) {
        self.book.append(Append::of(drafts.to_vec())).unwrap();
    }

    /// All rows, byte for byte as they are kept.
    fn rows(&self) -> Vec<String> {
        let connection = self.connection();
        let text = |sql: &str| -> Vec<String> {
            let mut statement = connection.prepare(sql).unwrap();
            statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
        };
        let mut rows = text("SELECT car || row FROM card ORDER BY car");
        rows.extend(text(
            "SELECT car || component || place || number || sheet || row FROM life ORDER BY car, component, place, number",
        ));
        rows
    }

    fn connection(&self) -> rusqlite::Connection {
        rusqlite::Connection::open(self.folder.path().join("journal.db")).unwrap()
    }
}

// ---------------------------------------------------------------- entries, sensible and not

fn quantity(texts: &'static [&'static str]) -> impl Strategy<Value = Quantity> {
    select(texts).prop_map(|text| text.parse().unwrap())
}

fn text(texts: &'static [&'static str]) -> impl Strategy<Value = String> {
    select(texts).prop_map(Into::into)
}

fn visit() -> impl Strategy<Value = String> {
    text(&["one", "two", "three"])
}

fn check() -> impl Strategy<Value = String> {
    text(&[
        "fan-belt-look",
        "fan-belt-note",
        "fan-belt-tension",
        "engine-oil-age",
        "front-lining-thickness",
        "front-hose-look",
        "kingpin-play",
        "kingpin-grease",
        "of-another-sheet",
    ])
}

fn place() -> impl Strategy<Value = String> {
    text(&["single", "front.left", "front.right", "rear"])
}

fn day() -> impl Strategy<Value = Date> {
    const DAYS: [Date; 5] =
        [date(2019, 6, 14), date(2024, 2, 29), date(2024, 3, 1), date(2026, 5, 4), date(2030, 1, 1)];
    select(&DAYS[..])
}

fn odometer() -> impl Strategy<Value = Quantity> {
    quantity(&["0 km", "58900 km", "71240 km", "71240 km", "45000 mi", "9999999 km"])
}

fn seen() -> impl Strategy<Value = Seen> {
    select(&[Seen::Open, Seen::Clear, Seen::Part, Seen::Dirt, Seen::Feel, Seen::Told][..])
}

fn operation() -> impl Strategy<Value = String> {
    text(&["renew-front-linings", "renew-front-hose", "change-engine-oil", "of-another-sheet"])
}

fn when() -> impl Strategy<Value = When> {
    (any::<bool>(), prop::option::of(day()), prop::option::of(select(&[-1.0, 0.0, 0.5, 1e6][..])))
        .prop_map(|(next_visit, date, years)| When { next_visit, date, years, ..When::default() })
}

fn body() -> impl Strategy<Value = Body> {
    let revision = sheet::read(&sheet_files()).unwrap().revision;
    let values = quantity(&["84 Hz", "2.4 mm", "1.9 mm", "0.61 mm", "7 Nm", "-3 mm", "1e9 mm"]);
    let state = text(&["clean", "crazed", "threads", "rusty", "none", "cracked", "bulge", "smooth", "odd"]);
    let known =
        prop_oneof![
            (text(&["Pip", "Renamed"]), text(&["tallow-nuthatch", "of-nobody"]), prop::option::of(day()))
                .prop_map(|(title, sheet, first_used)| Known::Car {
                    title,
                    sheet,
                    tag: None,
                    variant: None,
                    first_used,
                    owner: None,
                    note: None,
                }),
            (visit(), day(), odometer(), prop_oneof![3 => Just(revision), 1 => Just("lost".to_owned())])
                .prop_map(|(visit, date, odometer, revision)| Known::Visit {
                    visit,
                    date,
                    odometer,
                    revision,
                    asked_for: None,
                    ceiling: None,
                }),
            (visit(), check(), place(), prop::collection::vec(values, 0..4), seen()).prop_map(
                |(visit, check, place, values, seen)| Known::Reading {
                    visit,
                    check,
                    place,
                    values,
                    instrument: None,
                    seen,
                    note: None,
                }
            ),
            (visit(), check(), place(), state, seen()).prop_map(|(visit, check, place, state, seen)| {
                Known::Look { visit, check, place, state, seen, note: None }
            }),
            (visit(), check(), place()).prop_map(|(visit, check, place)| Known::NotReached {
                visit,
                check,
                place,
                reason: "Rusted in.".into(),
            }),
            (
                visit(),
                check(),
                place(),
                text(&["sound", "plan", "stays-put", "nonsense"]),
                prop::option::of(when())
            )
                .prop_map(|(visit, check, place, verdict, when)| Known::Overrule {
                    visit,
                    check,
                    place,
                    verdict,
                    reason: "Seen by hand.".into(),
                    when,
                }),
            (
                visit(),
                text(&["front-lining", "front-hose", "fan-belt", "odd"]),
                place(),
                prop::option::of(day()),
                prop::option::of(odometer())
            )
                .prop_map(|(visit, component, place, since, odometer)| Known::Fitted {
                    visit,
                    component,
                    place,
                    part: None,
                    batch: None,
                    made: None,
                    since,
                    odometer,
                    note: None,
                }),
            (visit(), operation(), prop::option::of(place()))
                .prop_map(|(visit, operation, place)| Known::Done { visit, operation, place }),
            (
                visit(),
                text(&["wheel-nuts-torqued", "pedal-firm", "odd"]),
                prop::option::of(quantity(&["80 Nm", "9 mm"]))
            )
                .prop_map(|(visit, obligation, value)| Known::Met {
                    visit,
                    obligation,
                    value,
                    note: None
                }),
            (visit(), text(&["wheel-nuts-torqued", "odd"])).prop_map(|(visit, obligation)| Known::Waived {
                visit,
                obligation,
                reason: "Late.".into(),
            }),
            (visit(), text(&["a", "b"]), when()).prop_map(|(visit, tag, when)| Known::Tag {
                tag,
                visit,
                what: "Look".into(),
                why: "Because".into(),
                when,
                check: None,
                place: None,
            }),
            (visit(), text(&["x", "y"]), operation()).prop_map(|(visit, job, operation)| Known::LongJob {
                job,
                visit,
                operations: vec![operation],
                on: None,
                name: "Owner".into(),
                words: None,
            }),
            (visit(), text(&["x", "y"])).prop_map(|(visit, job)| Known::LongJobSettled {
                job,
                visit,
                reason: "Sold.".into()
            }),
            (visit(), text(&["a", "b"])).prop_map(|(visit, tag)| Known::TagSettled {
                tag,
                visit,
                reason: "Done.".into()
            }),
            (visit(), operation()).prop_map(|(visit, operation)| Known::Answer {
                visit,
                operation,
                says: Answer::Yes,
                name: "Owner".into(),
                words: None,
            }),
            (visit(), odometer()).prop_map(|(visit, odometer)| Known::Closed { visit, odometer }),
        ];
    prop_oneof![
        40 => known.prop_map(Body::from),
        1 => Just(Body::Unknown(serde_json::json!({ "v": 2, "kind": "smell", "of": "fuel" }))),
    ]
}

/// Drafts in the streams of two cars, some of them in place of an earlier one of the same stream.
fn drafts() -> impl Strategy<Value = Vec<Draft>> {
    prop::collection::vec(
        (0..CARS.len(), body(), prop::option::weighted(0.15, any::<prop::sample::Index>())),
        1..40,
    )
    .prop_map(|said| {
        let mut drafts: Vec<Draft> = Vec::new();
        for (n, (car, body, replaces)) in said.into_iter().enumerate() {
            let stream = Stream::Car(CARS[car].into());
            let earlier: Vec<EntryId> =
                drafts.iter().filter(|draft| draft.stream == stream).map(|draft| draft.id).collect();
            drafts.push(Draft {
                id: EntryId(Uuid::from_u128(1 + n as u128)),
                stream,
                at: "2026-05-04T12:00:00Z".parse().unwrap(),
                by: "ida".into(),
                device: "desk".into(),
                replaces: replaces.filter(|_| !earlier.is_empty()).map(|index| *index.get(&earlier)),
                body,
            });
        }
        drafts
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever was written: rows that are thrown away are drawn again byte for byte, and nothing is found to be wrong.
    #[test]
    fn rows_drawn_again_are_the_same_to_the_byte(drafts in drafts()) {
        let kept = Kept::new();
        kept.append(&drafts);
        let rows = kept.rows();
        prop_assert_eq!(kept.book.redraw().unwrap().changed, Vec::<String>::new());
        kept.connection().execute_batch("DELETE FROM card; DELETE FROM life;").unwrap();
        kept.book.redraw().unwrap();
        prop_assert_eq!(&kept.rows(), &rows);
        prop_assert_eq!(kept.book.verify().unwrap().problems, Vec::<String>::new());
    }

    /// In steps, sent again, each car by itself, the data sheet before or after: the same rows and the same cars.
    #[test]
    fn how_it_was_written_leaves_no_trace(drafts in drafts(), cut in 1usize..5) {
        let (whole, steps, apart) = (Kept::new(), Kept::new(), Kept::empty());
        whole.append(&drafts);
        for some in drafts.chunks(cut) {
            steps.append(some);
            steps.append(some);
        }
        for car in CARS {
            let own: Vec<Draft> =
                drafts.iter().filter(|draft| draft.stream.car() == Some(car)).cloned().collect();
            apart.append(&own);
        }
        apart.book.adopt(&sheet_files(), "ida", &Clock::on(date(2026, 5, 4))).unwrap();
        apart.book.record(&files(&["workshop.toml"])).unwrap();
        prop_assert_eq!(&steps.rows(), &whole.rows());
        prop_assert_eq!(&apart.rows(), &whole.rows());
        for car in CARS {
            let told = whole.book.car(car).unwrap();
            prop_assert_eq!(&steps.book.car(car).unwrap(), &told);
            prop_assert_eq!(&apart.book.car(car).unwrap(), &told);
        }
    }

    /// A car kept at hand while more is written is the car that is folded afresh.
    #[test]
    fn a_car_at_hand_is_as_fresh_as_the_journal(drafts in drafts(), cut in 1usize..8) {
        let kept = Kept::new();
        let beside = Book::open(kept.folder.path()).unwrap();
        for some in drafts.chunks(cut) {
            kept.append(some);
            for car in CARS {
                let at_hand = beside.car(car).unwrap();
                prop_assert_eq!(at_hand, Book::open(kept.folder.path()).unwrap().car(car).unwrap());
            }
        }
    }
}

// ---------------------------------------------------------------- what a person asks of it

#[test]
fn files_and_a_data_sheet_that_are_there_already_change_nothing() {
    let kept = Kept::new();
    let all = files(&["workshop.toml", "pip.toml", "pip-2026-05-04.toml"]);
    let first = kept.book.record(&all).unwrap();
    let rows = kept.rows();
    let again = kept.book.record(&all).unwrap();
    assert_eq!((again.written, again.known), (0, first.written + first.known));
    let (_, sheet) = kept.book.adopt(&sheet_files(), "somebody-else", &Clock::of_the_machine()).unwrap();
    assert_eq!((sheet.written, sheet.known), (0, 1));
    assert_eq!(kept.rows(), rows);
}

#[test]
fn of_all_who_revise_one_revision_at_once_one_is_written_and_the_others_are_told() {
    let kept = Kept::new();
    let (id, clock) = (SheetId::from("tallow-nuthatch"), Clock::on(date(2026, 5, 4)));
    let base = kept.book.shop().unwrap().revisions(&id)[0].id.clone();
    let revise = |n: usize| {
        let mut files = sheet_files();
        files[0].text += &format!("# by {n}\n");
        let by = n.to_string();
        let signed = Signed { id: clock.new_id(), by: &by, device: "page" };
        kept.book.revise(&id, &base, &files, signed, &clock)
    };
    let answers: Vec<_> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..8).map(|n| scope.spawn(move || revise(n))).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert_eq!(answers.iter().filter(|answer| answer.is_ok()).count(), 1);
    assert!(
        answers
            .iter()
            .filter_map(|answer| answer.as_ref().err())
            .all(|error| matches!(error, BookError::SheetMoved { .. }))
    );
    assert_eq!(kept.book.shop().unwrap().revisions(&id).len(), 2);
    assert_eq!(kept.book.verify().unwrap().problems, [""; 0]);
}

#[test]
fn every_revision_stays_with_who_wrote_it_and_one_that_comes_back_is_in_use_again() {
    let kept = Kept::new();
    let (id, clock) = (SheetId::from("tallow-nuthatch"), Clock::on(date(2026, 5, 4)));
    let mut files = sheet_files();
    files[0].text += "# more\n";
    kept.book.adopt(&files, "bo", &clock).unwrap();
    kept.book.adopt(&sheet_files(), "ida", &clock).unwrap();
    let shop = kept.book.shop().unwrap();
    let by: Vec<&str> = shop.revisions(&id).iter().map(|revision| revision.by.as_str()).collect();
    assert_eq!(by, ["ida", "bo", "ida"]);
    assert_eq!(shop.sheet(&id).unwrap().revision, shop.revisions(&id)[0].id);
}

#[test]
fn files_that_are_wrong_leave_the_book_as_it_was() {
    let kept = Kept::new();
    kept.book.record(&files(&["pip.toml"])).unwrap();
    let before = (kept.rows(), kept.book.verify().unwrap().entries, kept.book.people().unwrap());
    let mut all = files(&["pip-2026-05-04.toml"]);
    all.push(SourceFile::new(
        "new.toml",
        "[[person]]\nid = \"eve\"\nname = \"Eve\"\nrole = \"technician\"\n",
    ));
    all.push(SourceFile::new("bad.toml", "[car]\nid = \"PIP\"\n"));
    assert!(matches!(kept.book.record(&all), Err(BookError::Files(_))));
    assert_eq!((kept.rows(), kept.book.verify().unwrap().entries, kept.book.people().unwrap()), before);
}

#[test]
fn a_car_that_is_not_there_is_told_with_the_nearest_that_is() {
    let kept = Kept::new();
    kept.book.record(&files(&["pip.toml"])).unwrap();
    let error = kept.book.open_car("pup", date(2026, 5, 4)).unwrap_err();
    assert!(matches!(&error, BookError::NoCar { nearest: Some(near), .. } if near == "pip"), "{error}");
    assert!(error.is_yours());
}

/// The linings of the guide's car are renewed in May 2026, and it comes again a year later.
#[test]
fn a_day_in_the_past_knows_nothing_of_what_came_later() {
    let day = date(2026, 5, 3);
    let told = |kept: &Kept, day: Date| {
        let open = kept.book.open_car("pip", day).unwrap();
        let car = workshop::Car { length: 0, ..(*open.car).clone() };
        (car, format!("{:?}", open.judge().assess()), kept.book.cards_on(day).unwrap())
    };
    let kept = Kept::new();
    kept.book.record(&files(&["pip.toml"])).unwrap();
    let mut before = vec![(day, told(&kept, day))];
    for (day, all) in [
        (date(2026, 5, 4), &["pip-2026-05-04.toml", "pip-2026-05-04-work.toml"][..]),
        (date(2027, 5, 10), &["pip-2027-05-10.toml"][..]),
    ] {
        all.iter().for_each(|file| _ = kept.book.record(&files(&[file])).unwrap());
        for (day, then) in &before {
            assert_eq!(told(&kept, *day), *then, "{day}");
        }
        before.push((day, told(&kept, day)));
    }
    let (first, last) = (&before[1].1, &before[2].1);
    assert_ne!(first.2[0].verdicts, last.2[0].verdicts);
    assert_eq!(last.2, kept.book.cards().unwrap(), "on the day of the last visit");
    // Who writes on such a day has seen the stream whole.
    let all = kept.book.car("pip").unwrap().unwrap().length;
    assert_eq!(kept.book.open_car("pip", day).unwrap().car.length, all);
}

/// What lists say on a day is what is judged on that day: a year on, more is due.
#[test]
fn a_list_on_a_later_day_is_judged_on_that_day() {
    let kept = Kept::new();
    for file in ["pip.toml", "pip-2026-05-04.toml", "pip-2026-05-04-work.toml"] {
        kept.book.record(&files(&[file])).unwrap();
    }
    let on = |day| kept.book.cards_on(day).unwrap().remove(0).verdicts;
    assert_ne!(on(date(2026, 5, 4)), on(date(2029, 5, 4)));
}

#[test]
fn a_folder_without_a_book_is_no_book_and_becomes_none() {
    let folder = tempfile::tempdir().unwrap();
    assert!(matches!(Book::open(folder.path()), Err(BookError::NoBook { .. })));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
