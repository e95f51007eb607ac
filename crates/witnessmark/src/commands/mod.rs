//! One file a command.

pub mod assess;
pub mod bench;
pub mod book;
mod budget;
pub mod calendar;
pub mod cars;
pub mod demo;
pub mod explain;
pub mod fit;
mod instance;
pub mod judge;
pub mod letter;
pub mod plan;
pub mod record;
pub mod serve;
pub mod sheet;

use crate::arguments::{OfCar, Today};
use crate::error::Failed;
use crate::output::say;
use ::book::{Book, OpenCar};
use std::path::Path;

/// A car of a book, as of the day asked for.
fn open_car(of: &OfCar) -> Result<OpenCar, Failed> {
    open_car_of(&of.book.folder, &of.car, &of.today)
}

fn open_car_of(folder: &Path, car: &str, today: &Today) -> Result<OpenCar, Failed> {
    Ok(Book::open(folder)?.open_car(car, today.clock().today())?)
}

/// Prints an answer in JSON.
fn print_json(value: &serde_json::Value) {
    // A value made of texts, numbers and lists can always be written.
    say!("{}", serde_json::to_string_pretty(value).unwrap_or_default());
}

/// A probability or measure with digits enough to go on with, none to believe in.
fn rounded(value: f64) -> f64 {
    let text = format!("{value:.6e}");
    text.parse().unwrap_or(value)
}
