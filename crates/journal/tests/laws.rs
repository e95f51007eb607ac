//! What every store must hold to, whatever keeps it.
#![allow(clippy::unwrap_used)]

use journal::{
    Append, Body, Card, Draft, Draw, Entry, EntryId, Known, NoRows, Person, Rows, Source, SqliteStore, Store,
    StoreError, Stream,
};
use proptest::prelude::*;
use std::{collections::BTreeMap, path::PathBuf, sync::Arc};
use tempfile::TempDir;
use uuid::Uuid;

/// Counts the entries of a car and of the workshop: enough to see whether rows follow the journal.
struct Counting;

impl Draw for Counting {
    fn rows(&mut self, car: &str, source: &dyn Source) -> Result<Rows, StoreError> {
        let entries = source.entries(&Stream::Car(car.into()))?.len() as u32;
        let workshop = source.length(&Stream::Workshop)? as u32;
        Ok(Rows {
            card: Some(Card {
                car: car.into(),
                title: car.to_uppercase(),
                tag: None,
                sheet: "sheet".into(),
                odometer_km: None,
                last_visit: None,
                open_visit: None,
                verdicts: BTreeMap::from([("entries".into(), entries), ("workshop".into(), workshop)]),
                tags: 0,
                long_jobs: 0,
                agreed_for: None,
            }),
            lives: vec![],
        })
    }
}

struct Book {
    folder: TempDir,
}

impl Book {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("journal.db")
    }

    fn open(&self) -> SqliteStore {
        SqliteStore::open(&self.path(), Counting).unwrap()
    }
}

fn draft(id: u128, car: &str) -> Draft {
    Draft {
        id: EntryId(Uuid::from_u128(id)),
        stream: Stream::Car(car.into()),
        at: "2026-05-18T07:50:00Z".parse().unwrap(),
        by: "technician".into(),
        device: "desk".into(),
        replaces: None,
        body: Known::NotReached {
            visit: format!("{car}-1"),
            check: "inner-sill".into(),
            place: "left".into(),
            reason: format!("reason {id}"),
        }
        .into(),
    }
}

fn ids(entries: &[Entry]) -> Vec<u128> {
    entries.iter().map(|entry| entry.id.0.as_u128()).collect()
}

fn sorrel() -> Stream {
    Stream::Car("sorrel".into())
}

#[test]
fn entries_come_back_in_the_order_of_arrival_after_reopening() {
    let book = Book::new();
    book.open().append(Append::of(vec![draft(3, "sorrel"), draft(1, "sorrel"), draft(2, "flint")])).unwrap();
    let store = book.open();
    let entries = store.stream(&sorrel()).unwrap();
    assert_eq!(ids(&entries), [3, 1]);
    assert_eq!(entries.iter().map(|entry| entry.seq).collect::<Vec<_>>(), [1, 2]);
    assert_eq!(entries[0].draft, draft(3, "sorrel"));
    let all = store.follow(0, 10).unwrap();
    assert_eq!(all.len(), 3);
    assert_eq!(store.follow(all[1].0, 10).unwrap().len(), 1);
    assert_eq!(store.verify().unwrap().problems, [""; 0]);
}

#[test]
fn a_journal_that_was_closed_is_one_file() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    assert_eq!(store.stream(&sorrel()).unwrap().len(), 1);
    drop(store);
    let files: Vec<_> =
        std::fs::read_dir(book.folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(files, ["journal.db"], "a copy of the file is a copy of the journal");
}

#[test]
fn a_second_send_of_an_entry_changes_nothing() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    let again = store.append(Append::of(vec![draft(1, "sorrel"), draft(2, "sorrel")])).unwrap();
    assert_eq!((again.written, again.known), (1, 1));
    let later = Draft { at: "2026-05-18T08:00:00Z".parse().unwrap(), ..draft(1, "sorrel") };
    assert_eq!(store.append(Append::of(vec![later])).unwrap().known, 1);
    assert_eq!(store.stream(&sorrel()).unwrap()[0].draft, draft(1, "sorrel"), "the first time counts");
    assert!(store.has(draft(1, "sorrel").id).unwrap());
    assert!(!store.has(draft(3, "sorrel").id).unwrap());
    assert_eq!(store.stream(&sorrel()).unwrap().len(), 2);
}

#[test]
fn an_id_used_again_for_other_words_is_refused_and_nothing_of_the_append_is_kept() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    let other = Draft { by: "apprentice".into(), ..draft(1, "sorrel") };
    let error = store.append(Append::of(vec![draft(7, "sorrel"), other])).unwrap_err();
    assert!(matches!(error, StoreError::IdReused { .. }), "{error}");
    assert_eq!(store.stream(&sorrel()).unwrap().len(), 1);
}

#[test]
fn a_correction_must_name_an_entry_of_the_same_stream() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    let correction =
        |id, car, replaces| Draft { replaces: Some(EntryId(Uuid::from_u128(replaces))), ..draft(id, car) };
    assert!(store.append(Append::of(vec![correction(2, "sorrel", 1)])).is_ok());
    for wrong in [correction(3, "sorrel", 99), correction(4, "flint", 1)] {
        let error = store.append(Append::of(vec![wrong])).unwrap_err();
        assert!(matches!(error, StoreError::ReplacesNothing { .. }), "{error}");
    }
}

#[test]
fn an_act_that_depends_on_all_before_it_is_refused_once_more_has_come_in() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    let close = |length| Append { drafts: vec![draft(2, "sorrel")], at_length: Some((sorrel(), length)) };
    assert!(matches!(store.append(close(0)).unwrap_err(), StoreError::Moved { found: 1, .. }));
    assert!(store.append(close(1)).is_ok());
    let again = store.append(close(1)).unwrap();
    assert_eq!((again.written, again.known), (0, 1), "sent again it is there, and refused for nothing");
}

#[test]
fn rows_follow_the_journal_and_come_out_the_same_when_redrawn() {
    let book = Book::new();
    let store = book.open();
    store.append(Append::of(vec![draft(1, "sorrel"), draft(2, "flint"), draft(3, "sorrel")])).unwrap();
    store.append(Append::of(vec![Draft { stream: Stream::Workshop, ..draft(4, "x") }])).unwrap();
    let cards = store.cards().unwrap();
    assert_eq!(cards.iter().map(|card| &*card.car).collect::<Vec<_>>(), ["flint", "sorrel"]);
    assert_eq!(cards[1].verdicts["entries"], 2);
    assert!(
        cards.iter().all(|card| card.verdicts["workshop"] == 1),
        "the workshop's entry touches every car"
    );
    let redrawn = store.redraw().unwrap();
    assert_eq!((redrawn.cards, redrawn.changed), (2, vec![]));
    assert_eq!(store.cards().unwrap(), cards);
}

#[test]
fn an_altered_or_missing_entry_or_a_stale_row_is_found() {
    let tamper = |sql: &str| {
        let book = Book::new();
        book.open().append(Append::of((1..=5).map(|id| draft(id, "sorrel")).collect())).unwrap();
        let connection = rusqlite::Connection::open(book.path()).unwrap();
        connection
            .execute_batch(&format!("DROP TRIGGER entry_stays; DROP TRIGGER entry_stays_as_it_is; {sql}"))
            .unwrap();
        book.open().verify().unwrap().problems.join("\n")
    };
    assert!(
        tamper("UPDATE entry SET body = replace(body, 'reason 2', 'reason 9') WHERE seq = 2")
            .contains("altered")
    );
    assert!(tamper("DELETE FROM entry WHERE seq = 3").contains("missing"));
    assert!(tamper("UPDATE card SET row = replace(row, 'SORREL', 'OTHER')").contains("redraw the book"));
}

#[test]
fn an_entry_cannot_be_changed_or_deleted_through_the_database() {
    let book = Book::new();
    book.open().append(Append::of(vec![draft(1, "sorrel")])).unwrap();
    let connection = rusqlite::Connection::open(book.path()).unwrap();
    for sql in ["UPDATE entry SET signer = 'x'", "DELETE FROM entry"] {
        assert!(connection.execute(sql, []).is_err(), "{sql}");
    }
}

#[test]
fn a_file_that_is_no_journal_or_of_a_newer_version_is_refused() {
    let book = Book::new();
    std::fs::write(book.path(), "this is a shopping list, long enough to be taken for a database").unwrap();
    assert!(matches!(SqliteStore::open(&book.path(), NoRows).err(), Some(StoreError::NotAJournal { .. })));

    let book = Book::new();
    drop(book.open());
    rusqlite::Connection::open(book.path()).unwrap().pragma_update(None, "user_version", 9).unwrap();
    assert!(matches!(
        SqliteStore::open(&book.path(), NoRows).err(),
        Some(StoreError::Newer { found: 9, .. })
    ));
}

#[test]
fn many_writers_at_once_lose_nothing() {
    let book = Book::new();
    let store = Arc::new(book.open());
    let threads: Vec<_> = (0..8u128)
        .map(|thread| {
            let store = store.clone();
            std::thread::spawn(move || {
                for entry in 0..20 {
                    store.append(Append::of(vec![draft(1 + thread * 100 + entry, "sorrel")])).unwrap();
                }
            })
        })
        .collect();
    threads.into_iter().for_each(|thread| thread.join().unwrap());
    assert_eq!(store.stream(&sorrel()).unwrap().len(), 160);
    assert_eq!(store.verify().unwrap().problems, [""; 0]);
}

#[test]
fn a_person_is_kept_apart_and_can_be_changed() {
    let book = Book::new();
    let store = book.open();
    let person =
        |name: &str| Person { id: "technician".into(), name: name.into(), role: "technician".into() };
    store.put_person(person("One")).unwrap();
    store.put_person(person("Other")).unwrap();
    assert_eq!(store.people().unwrap(), [person("Other")]);
}

#[test]
fn an_entry_of_a_newer_version_is_kept_whole() {
    let book = Book::new();
    let store = book.open();
    let body = Body::Unknown(serde_json::json!({ "v": 2, "kind": "smell", "of": "fuel" }));
    store.append(Append::of(vec![Draft { body: body.clone(), ..draft(1, "sorrel") }])).unwrap();
    assert_eq!(store.stream(&sorrel()).unwrap()[0].body, body);
    assert_eq!(store.verify().unwrap().problems, [""; 0]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// However entries are cut into appends and however often they are sent, the journal and its rows are the same.
    #[test]
    fn cutting_and_resending_change_nothing(
        order in proptest::collection::vec((1u128..12, prop::bool::ANY), 1..24),
        cut in 1usize..6,
    ) {
        let drafts: Vec<_> = order
            .iter()
            .map(|(id, first)| draft(*id * 2 + u128::from(*first), if *first { "sorrel" } else { "flint" }))
            .collect();
        let mut once = Vec::new();
        for draft in &drafts {
            if !once.contains(draft) {
                once.push(draft.clone());
            }
        }
        let (whole, pieces) = (Book::new(), Book::new());
        let (whole, pieces) = (whole.open(), pieces.open());
        whole.append(Append::of(once)).unwrap();
        for piece in drafts.chunks(cut) {
            pieces.append(Append::of(piece.to_vec())).unwrap();
        }
        for stream in whole.streams().unwrap() {
            prop_assert_eq!(whole.stream(&stream).unwrap(), pieces.stream(&stream).unwrap());
        }
        prop_assert_eq!(whole.cards().unwrap(), pieces.cards().unwrap());
        prop_assert_eq!(pieces.redraw().unwrap().changed, Vec::<String>::new());
    }
}
