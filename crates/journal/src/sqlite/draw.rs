//! Rows into the tables: cards and service lives, drawn from the entries.

use super::table;
use crate::{Draw, Entry, Rows, Source, StoreError, Stream};
use rusqlite::{Connection, params};

/// Reads inside the transaction at hand.
pub(super) struct Inside<'a>(pub &'a Connection);

impl Source for Inside<'_> {
    fn entries(&self, stream: &Stream) -> Result<Vec<Entry>, StoreError> {
        table::stream(self.0, stream)
    }

    fn length(&self, stream: &Stream) -> Result<u64, StoreError> {
        Ok(table::last(self.0, &stream.key())?.map_or(0, |(seq, _)| seq.unsigned_abs()))
    }
}

/// The rows of a car as texts, as they are kept: the card, then the lives.
#[derive(Debug, PartialEq, Eq, Default)]
pub(super) struct Drawn {
    pub card: Option<String>,
    pub lives: Vec<(String, String, u32, String, String)>,
}

/// What the rows of a car would be now.
pub(super) fn drawn(connection: &Connection, draw: &mut dyn Draw, car: &str) -> Result<Drawn, StoreError> {
    let Rows { card, lives } = draw.rows(car, &Inside(connection))?;
    let text = |error: serde_json::Error| StoreError::Rows(error.to_string());
    let mut lives = lives
        .into_iter()
        .map(|life| {
            let row = serde_json::to_string(&life)?;
            Ok((life.component, life.place, life.number, life.sheet, row))
        })
        .collect::<Result<Vec<_>, serde_json::Error>>()
        .map_err(text)?;
    lives.sort();
    Ok(Drawn { card: card.map(|card| serde_json::to_string(&card)).transpose().map_err(text)?, lives })
}

/// The rows of a car as they stand.
pub(super) fn kept(connection: &Connection, car: &str) -> Result<Drawn, StoreError> {
    let card = connection
        .prepare_cached("SELECT row FROM card WHERE car = ?1")?
        .query_map([car], |row| row.get(0))?
        .next()
        .transpose()?;
    let mut statement = connection.prepare_cached(
        "SELECT component, place, number, sheet, row FROM life WHERE car = ?1
         ORDER BY component, place, number",
    )?;
    let lives = statement
        .query_map([car], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)))?
        .collect::<rusqlite::Result<_>>()?;
    Ok(Drawn { card, lives })
}

/// Puts the rows of a car in place of those that stand.
pub(super) fn keep(connection: &Connection, car: &str, drawn: &Drawn) -> Result<(), StoreError> {
    connection.prepare_cached("DELETE FROM card WHERE car = ?1")?.execute([car])?;
    connection.prepare_cached("DELETE FROM life WHERE car = ?1")?.execute([car])?;
    if let Some(card) = &drawn.card {
        connection.prepare_cached("INSERT INTO card (car, row) VALUES (?1, ?2)")?.execute([car, card])?;
    }
    let mut insert = connection.prepare_cached(
        "INSERT INTO life (car, component, place, number, sheet, row) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?;
    for (component, place, number, sheet, row) in &drawn.lives {
        insert.execute(params![car, component, place, number, sheet, row])?;
    }
    Ok(())
}

/// All cars that have entries, by id.
pub(super) fn cars(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let mut statement = connection.prepare_cached(
        "SELECT DISTINCT substr(stream, 5) FROM entry WHERE stream LIKE 'car:%' ORDER BY stream",
    )?;
    let cars = statement.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
    Ok(cars)
}
