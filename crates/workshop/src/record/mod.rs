//! Writing down: files of a workshop, its cars and visits become entries. All problems are told at once, and nothing is
//! handed on unless everything is right.

mod calculation;
mod car;
mod fault;
mod ids;
mod shop;
mod told;
mod visit;

pub use fault::RecordFault;
pub(crate) use visit::closing;

use crate::car::Car;
use crate::shop::Shop;
use jiff::{
    Timestamp,
    civil::{Date, date},
    tz::TimeZone,
};
use journal::{Draft, Entry, Known, Person, Stream};
use serde::Serialize;
use sheet::PartId;
use sheet::diagnostic::{Problems, SourceFile, Span};
use sheet::table::{Document, Reader, Table};
use std::collections::{BTreeMap, BTreeSet};

/// What a book knows already.
pub trait Book {
    /// The entries of a car; empty for a car it does not know.
    fn car_entries(&self, car: &str) -> Vec<Entry>;
    /// The ids of all its cars.
    fn cars(&self) -> Vec<String>;
    /// Everyone it knows.
    fn people(&self) -> Vec<Person>;
}

/// What files have to say to a book.
#[derive(Debug, Default)]
pub struct Recording {
    pub people: Vec<Person>,
    pub drafts: Vec<Draft>,
    /// What the markings tell that were read on parts, those included that the book has already.
    pub markings: Vec<MarkingRead>,
}

/// What a marking tells that was read on a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MarkingRead {
    pub car: String,
    pub visit: String,
    /// "Road spring, front left".
    pub at: String,
    /// `None` where the marking does not tell.
    pub part: Option<PartId>,
    /// Nothing is known against its sitting there.
    pub fits: bool,
    /// The number that has replaced it.
    pub newest: Option<PartId>,
    pub says: Vec<String>,
}

/// Reads files of any kind together against a book; in which order they are handed in does not matter.
///
/// `workshop` are the entries of the workshop's stream; data sheets are taken from there.
///
/// # Errors
/// Everything that is wrong in any of the files; nothing is then to be written.
pub fn record(
    files: &[SourceFile],
    workshop: &[Entry],
    book: &dyn Book,
) -> Result<Recording, Problems<RecordFault>> {
    let mut files: Vec<&SourceFile> = files.iter().collect();
    files.sort_by(|a, b| (&a.name, &a.text).cmp(&(&b.name, &b.text)));
    let reader = Reader::<RecordFault>::new(files);
    let documents = reader.documents();
    let recording = Recorder::new(&reader, workshop, book).read(&documents);
    reader.finish()?;
    Ok(recording)
}

type Root<'a> = Table<'a, RecordFault>;
type Value<'a> = sheet::table::Value<'a, RecordFault>;

/// A body with the place of the words that it was read from.
struct Said {
    known: Known,
    by: Option<String>,
    at: Span,
}

/// A body with the place where it differs from the book, if it does; `None` where that is told elsewhere.
struct Line {
    known: Known,
    at: Option<Span>,
}

impl From<Known> for Line {
    fn from(known: Known) -> Self {
        Self { known, at: None }
    }
}

struct Recorder<'a> {
    reader: &'a Reader<RecordFault>,
    book: &'a dyn Book,
    workshop: Vec<Entry>,
    shop: Shop,
    recording: Recording,
    /// Everyone that the book and the files know.
    people: Vec<Person>,
    /// The cars that are touched, with their entries so far.
    cars: BTreeMap<String, Vec<Entry>>,
    /// What these files tell of and could not be read: cars and people by id, and the workshop. That has been told; that
    /// others rest on it is no second mistake.
    unread: BTreeSet<&'a str>,
}

impl<'a> Recorder<'a> {
    fn new(reader: &'a Reader<RecordFault>, workshop: &[Entry], book: &'a dyn Book) -> Self {
        Self {
            reader,
            book,
            workshop: workshop.to_vec(),
            shop: Shop::fold(workshop),
            recording: Recording::default(),
            people: book.people(),
            cars: BTreeMap::new(),
            unread: BTreeSet::new(),
        }
    }

    /// The workshop first, then cars, then visits by their dates: so files may come in any order.
    fn read(mut self, documents: &'a [Document<'a>]) -> Recording {
        let roots: Vec<Root<'a>> =
            documents.iter().map(|document| document.root("the file", self.reader)).collect();
        for root in &roots {
            self.read_shop(root);
        }
        self.shop = Shop::fold(&self.workshop);
        for root in &roots {
            self.read_car(root);
        }
        let mut visits: Vec<visit::Heading<'a, '_>> =
            roots.iter().filter_map(|root| self.read_heading(root)).collect();
        visits.sort_by(|a, b| a.order(b));
        for heading in visits {
            self.read_visit(heading);
        }
        for root in roots {
            root.end();
        }
        self.recording
    }

    /// Adds what was said to a stream, as entries and as drafts. What the book has is handed on as it is there.
    fn say(&mut self, stream: &Stream, on: Date, by: &str, said: impl IntoIterator<Item = Line>) {
        let entries = match stream.car() {
            None => &mut self.workshop,
            Some(car) => self.cars.entry(car.to_owned()).or_default(),
        };
        for Line { known, at } in said {
            let before = told::before(entries, &known);
            // How a visit differs from what the book has is told at its heading.
            let same =
                |there: &&Entry| matches!(known, Known::Visit { .. }) || there.body.known() == Some(&known);
            if let Some(there) = before.filter(same) {
                self.recording.drafts.push(there.draft.clone());
                continue;
            }
            if let Some(there) = before.and_then(|there| told::once(there.body.known()?)) {
                at.into_iter().for_each(|at| self.reader.fault(there.clone(), at));
                continue;
            }
            let mut nth = 0;
            let mut id = ids::entry_id(&stream.key(), &known, nth);
            // The same line twice in one recording is two lines; and what is said anew after something else counts anew.
            while self.recording.drafts.iter().any(|draft| draft.id == id)
                || before.is_some() && entries.iter().any(|entry| entry.id == id)
            {
                nth += 1;
                id = ids::entry_id(&stream.key(), &known, nth);
            }
            if let Some(there) = entries.iter().find(|entry| entry.id == id) {
                if there.by != by
                    && let Some(at) = at
                {
                    self.reader.fault(RecordFault::OtherSigner { there: there.by.clone() }, at);
                }
                self.recording.drafts.push(there.draft.clone());
                continue;
            }
            let draft = Draft {
                id,
                stream: stream.clone(),
                at: midday(on),
                by: by.to_owned(),
                device: "file".into(),
                replaces: None,
                body: known.into(),
            };
            let seq = entries.iter().map(|entry| entry.seq).max().unwrap_or(0) + 1;
            entries.push(Entry { draft: draft.clone(), seq });
            self.recording.drafts.push(draft);
        }
    }

    /// A car with what the book and the files so far say of it.
    fn car(&mut self, id: &str) -> Option<Car> {
        let entries = self.cars.entry(id.to_owned()).or_insert_with(|| self.book.car_entries(id));
        Car::fold(id, entries)
    }

    /// A person that the book or the files know.
    fn person(&self, value: Value<'a>) -> Option<String> {
        let id = value.str()?;
        if self.people.iter().any(|person| person.id == id) {
            return Some(id.to_owned());
        }
        if self.unread.contains(id) {
            return None;
        }
        let nearest = nearest(id, self.people.iter().map(|person| person.id.as_str()));
        value.fault(RecordFault::NoPerson { id: id.to_owned(), nearest });
        None
    }
}

/// Midday of a day, in universal time: files tell days, not hours.
fn midday(on: Date) -> Timestamp {
    let start = on.at(12, 0, 0, 0);
    TimeZone::UTC.to_timestamp(start).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// An id of ours: small letters, digits, `-`, `_` and `.`.
fn id(value: Value<'_>) -> Option<String> {
    let found = value.str()?;
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-_.".contains(c);
    if found.chars().all(fits) {
        return Some(found.to_owned());
    }
    value.fault(RecordFault::BadId { found: found.to_owned() });
    None
}

/// A day of the calendar.
fn day(value: Value<'_>) -> Option<Date> {
    let written = value.date()?;
    let read = written.date.and_then(|d| {
        Date::new(i16::try_from(d.year).ok()?, i8::try_from(d.month).ok()?, i8::try_from(d.day).ok()?).ok()
    });
    // A car visits workshops in our time.
    let possible = date(1900, 1, 1)..=date(2200, 1, 1);
    read.filter(|day| possible.contains(day)).or_else(|| {
        value.fault(RecordFault::NoDate { date: written.to_string() });
        None
    })
}

/// The nearest of the words that are known, as a text of its own.
fn nearest<'w>(found: &str, known: impl IntoIterator<Item = &'w str>) -> Option<String> {
    sheet::table::nearest(found, known).map(str::to_owned)
}
