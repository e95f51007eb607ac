//! The one thread that writes. Whatever has queued up goes into one durable transaction.

use super::{draw, table};
use crate::{Append, Appended, Draw, Person, Redrawn, StoreError, Stream};
use rusqlite::{Connection, Savepoint, TransactionBehavior, params};
use std::{
    collections::BTreeSet,
    sync::mpsc::{Receiver, SyncSender},
};

/// How many requests share a transaction at most.
const BATCH: usize = 256;

pub(super) enum Request {
    Append(Append, SyncSender<Result<Appended, StoreError>>),
    Person(Person, SyncSender<Result<(), StoreError>>),
    Redraw(SyncSender<Result<Redrawn, StoreError>>),
    Verify(SyncSender<Result<Vec<String>, StoreError>>),
}

pub(super) fn run(mut connection: Connection, mut draw: impl Draw, requests: &Receiver<Request>) {
    while let Ok(first) = requests.recv() {
        let mut batch = vec![first];
        batch.extend(requests.try_iter().take(BATCH - 1));
        let (appends, others): (Vec<_>, Vec<_>) =
            batch.into_iter().partition(|request| matches!(request, Request::Append(..)));
        append_all(&mut connection, &mut draw, appends);
        for request in others {
            // A receiver that has gone away no longer wants the answer.
            match request {
                Request::Append(..) => {}
                Request::Person(person, answer) => _ = answer.send(put_person(&connection, &person)),
                Request::Redraw(answer) => _ = answer.send(redraw(&mut connection, &mut draw)),
                Request::Verify(answer) => _ = answer.send(stale_rows(&connection, &mut draw)),
            }
        }
    }
}

/// Writes each append in a savepoint of its own, so that one refused does not take the others with it; draws the
/// rows of every car touched; commits once; then answers.
fn append_all(connection: &mut Connection, draw: &mut dyn Draw, requests: Vec<Request>) {
    if requests.is_empty() {
        return;
    }
    let mut answers = Vec::new();
    let outcome = (|| -> Result<(), StoreError> {
        let mut transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut touched = BTreeSet::new();
        for request in &requests {
            let Request::Append(append, _) = request else { continue };
            let savepoint = transaction.savepoint()?;
            answers.push(match write(&savepoint, append) {
                Ok(appended) => {
                    savepoint.commit()?;
                    touched.extend(append.drafts.iter().map(|draft| draft.stream.clone()));
                    Ok(appended)
                }
                Err(error) => Err(error), // dropping the savepoint takes back what it wrote
            });
        }
        for car in cars_to_draw(&transaction, &touched)? {
            let drawn = draw::drawn(&transaction, draw, &car)?;
            draw::keep(&transaction, &car, &drawn)?;
        }
        transaction.commit()?;
        Ok(())
    })();
    let failed = outcome.err();
    let mut answers = answers.into_iter();
    for request in requests {
        let Request::Append(_, answer) = request else { continue };
        let result = match (&failed, answers.next()) {
            (None, Some(result)) => result,
            (Some(error), _) => Err(StoreError::NotKept { cause: error.to_string() }),
            (None, None) => Err(StoreError::Closed),
        };
        _ = answer.send(result);
    }
}

/// An entry of the workshop may change how every car is judged.
fn cars_to_draw(connection: &Connection, touched: &BTreeSet<Stream>) -> Result<Vec<String>, StoreError> {
    if touched.contains(&Stream::Workshop) {
        return draw::cars(connection);
    }
    Ok(touched.iter().filter_map(|stream| stream.car().map(Into::into)).collect())
}

fn write(savepoint: &Savepoint<'_>, append: &Append) -> Result<Appended, StoreError> {
    if let Some((stream, expected)) = &append.at_length {
        let found = table::last(savepoint, &stream.key())?.map_or(0, |(seq, _)| seq.unsigned_abs());
        if found != *expected && !is_sent_again(savepoint, append)? {
            return Err(StoreError::Moved { stream: stream.clone(), expected: *expected, found });
        }
    }
    let mut appended = Appended::default();
    for draft in &append.drafts {
        let row = table::Stored::from_draft(draft, table::last(savepoint, &draft.stream.key())?)?;
        match table::by_id(savepoint, draft.id)? {
            Some(there) if there.says(&row) => appended.known += 1,
            Some(_) => {
                return Err(StoreError::IdReused { id: draft.id, stream: draft.stream.clone() });
            }
            None => {
                if let Some(replaces) = draft.replaces
                    && table::by_id(savepoint, replaces)?.is_none_or(|there| there.stream != row.stream)
                {
                    let stream = draft.stream.clone();
                    return Err(StoreError::ReplacesNothing { id: draft.id, replaces, stream });
                }
                table::insert(savepoint, &row)?;
                appended.written += 1;
            }
        }
    }
    Ok(appended)
}

/// Whether all of it is there already: then nothing depends on what has come in since.
fn is_sent_again(savepoint: &Savepoint<'_>, append: &Append) -> Result<bool, StoreError> {
    for draft in &append.drafts {
        if table::by_id(savepoint, draft.id)?.is_none() {
            return Ok(false);
        }
    }
    Ok(true)
}

fn put_person(connection: &Connection, person: &Person) -> Result<(), StoreError> {
    connection.execute(
        "INSERT INTO person (id, name, role) VALUES (?1, ?2, ?3)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, role = excluded.role",
        params![person.id, person.name, person.role],
    )?;
    Ok(())
}

fn redraw(connection: &mut Connection, draw: &mut dyn Draw) -> Result<Redrawn, StoreError> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut redrawn = Redrawn::default();
    for car in draw::cars(&transaction)? {
        let drawn = draw::drawn(&transaction, draw, &car)?;
        redrawn.cards += usize::from(drawn.card.is_some());
        redrawn.lives += drawn.lives.len();
        if draw::kept(&transaction, &car)? != drawn {
            draw::keep(&transaction, &car, &drawn)?;
            redrawn.changed.push(car);
        }
    }
    transaction.commit()?;
    Ok(redrawn)
}

/// Cars whose rows are not as they would be drawn now, in words.
fn stale_rows(connection: &Connection, draw: &mut dyn Draw) -> Result<Vec<String>, StoreError> {
    let mut problems = Vec::new();
    for car in draw::cars(connection)? {
        if draw::kept(connection, &car)? != draw::drawn(connection, draw, &car)? {
            problems
                .push(format!("the rows of car {car} are not as they would be drawn now: redraw the book"));
        }
    }
    Ok(problems)
}
