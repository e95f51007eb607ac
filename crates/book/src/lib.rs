//! A book: one workshop's data on disk, with the workshop and its cars folded and at hand.
//!
//! This is the edge where the pure rooms meet the store and the clock. A [`Book`] keeps what it has folded for as long as
//! the stream behind it has not grown, so several programs may write to one book.
//!
//! **Adding a way to write:** let the `workshop` room make and check the entries, then hand them to [`Book::append`].

mod ahead;
mod clock;
mod error;
mod open_car;
mod revise;

pub use clock::Clock;
pub use error::BookError;
pub use open_car::OpenCar;
pub use revise::{CarOtherwise, Signed};

use jiff::civil::Date;
use journal::{
    Append, Appended, Card, Entry, EntryId, Person, Redrawn, SqliteStore, Store, Stream, Verified,
};
use sheet::{Sheet, SourceFile};
use std::{
    collections::HashMap,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
};
use uuid::Uuid;
use workshop::{Car, Drawer, Shop};

/// The journal's file in the folder of a book.
const JOURNAL: &str = "journal.db";

/// One workshop's data.
pub struct Book {
    folder: PathBuf,
    store: SqliteStore,
    shop: Mutex<Option<(u64, Arc<Shop>)>>,
    cars: Mutex<HashMap<String, Folded>>,
}

/// A car as all of its entries tell it.
#[derive(Clone)]
struct Folded {
    /// How many entries its stream had.
    length: u64,
    /// The last day that any of them tells of.
    until: Date,
    car: Arc<Car>,
}

impl Book {
    /// Opens the book in a folder.
    ///
    /// # Errors
    /// [`BookError::NoBook`] when there is none; what the store says.
    pub fn open(folder: &Path) -> Result<Book, BookError> {
        if !folder.join(JOURNAL).is_file() {
            return Err(BookError::NoBook { folder: folder.display().to_string() });
        }
        Self::at(folder)
    }

    /// Opens the book in a folder, making one if there is none.
    ///
    /// # Errors
    /// [`BookError::Folder`] when the folder cannot be made; what the store says.
    pub fn open_or_make(folder: &Path) -> Result<Book, BookError> {
        std::fs::create_dir_all(folder)
            .map_err(|source| BookError::Folder { folder: folder.display().to_string(), source })?;
        Self::at(folder)
    }

    /// Whether a folder holds a book.
    pub fn is_at(folder: &Path) -> bool {
        folder.join(JOURNAL).is_file()
    }

    fn at(folder: &Path) -> Result<Book, BookError> {
        let store = SqliteStore::open(&folder.join(JOURNAL), Drawer::default())?;
        Ok(Book { folder: folder.into(), store, shop: Mutex::default(), cars: Mutex::default() })
    }

    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The workshop as it stands.
    ///
    /// # Errors
    /// What the store says.
    pub fn shop(&self) -> Result<Arc<Shop>, BookError> {
        let length = self.store.length(&Stream::Workshop)?;
        let mut kept = self.shop.lock().unwrap_or_else(PoisonError::into_inner);
        match &*kept {
            Some((known, shop)) if *known == length => Ok(shop.clone()),
            _ => {
                let shop = Arc::new(Shop::fold(&self.store.stream(&Stream::Workshop)?));
                *kept = Some((length, shop.clone()));
                Ok(shop)
            }
        }
    }

    /// A car as it stands; `None` when the book does not know it.
    ///
    /// # Errors
    /// What the store says.
    pub fn car(&self, id: &str) -> Result<Option<Arc<Car>>, BookError> {
        Ok(self.folded(id)?.map(|folded| folded.car))
    }

    /// A car as it was known on a day: what happened later, and what was written later, is left out. Who it is holds on every
    /// day.
    fn car_on(&self, id: &str, day: Date) -> Result<Option<Arc<Car>>, BookError> {
        match self.folded(id)? {
            Some(folded) if folded.until > day => {
                let mut entries = self.store.stream(&Stream::Car(id.into()))?;
                entries.retain(|entry| day_told(entry).is_none_or(|told| told <= day));
                // Its stream is as long as ever: who writes to it has seen it whole.
                let known = |car| Arc::new(Car { length: folded.length, ..car });
                Ok(Car::fold(id, &entries).map(known))
            }
            folded => Ok(folded.map(|folded| folded.car)),
        }
    }

    fn folded(&self, id: &str) -> Result<Option<Folded>, BookError> {
        let stream = Stream::Car(id.into());
        let length = self.store.length(&stream)?;
        let kept = self.cars.lock().unwrap_or_else(PoisonError::into_inner).get(id).cloned();
        if let Some(kept) = kept
            && kept.length == length
        {
            return Ok(Some(kept));
        }
        let entries = self.store.stream(&stream)?;
        let Some(car) = Car::fold(id, &entries).map(Arc::new) else { return Ok(None) };
        let until = entries.iter().filter_map(day_told).max().unwrap_or(Date::MIN);
        let folded = Folded { length: car.length, until, car };
        self.cars.lock().unwrap_or_else(PoisonError::into_inner).insert(id.into(), folded.clone());
        Ok(Some(folded))
    }

    /// A car with everything that judging it rests on, as it was known on a day. Its data sheet is the revision of its last
    /// visit by then; the workshop is as it stands.
    ///
    /// # Errors
    /// [`BookError::NoCar`] with the nearest id that exists, [`BookError::NoSheet`]; what the store says.
    pub fn open_car(&self, id: &str, today: Date) -> Result<OpenCar, BookError> {
        let Some(car) = self.car_on(id, today)? else {
            let cards = self.store.cards()?;
            let nearest =
                sheet::table::nearest(id, cards.iter().map(|card| card.car.as_str())).map(Into::into);
            return Err(BookError::NoCar { id: id.into(), nearest });
        };
        let shop = self.shop()?;
        let sheet = car.sheet.as_ref().and_then(|sheet| match car.last_visit() {
            Some(visit) => shop.sheet_at(sheet, &visit.revision),
            None => shop.sheet(sheet),
        });
        let sheet = sheet.ok_or_else(|| BookError::NoSheet {
            car: id.into(),
            sheet: car.sheet.as_ref().map(ToString::to_string).unwrap_or_default(),
        })?;
        Ok(OpenCar { shop, sheet, car, today })
    }

    /// The cards of all cars, each as of the day of its last visit.
    ///
    /// # Errors
    /// What the store says.
    pub fn cards(&self) -> Result<Vec<Card>, BookError> {
        Ok(self.store.cards()?)
    }

    /// The cards of all cars as they were known and are judged on a day.
    ///
    /// # Errors
    /// What the store says.
    pub fn cards_on(&self, day: Date) -> Result<Vec<Card>, BookError> {
        let shop = self.shop()?;
        let mut cards = self.cards()?;
        for card in &mut cards {
            if let Some(car) = self.car_on(&card.car, day)? {
                *card = workshop::card_on(&shop, &car, day);
            }
        }
        Ok(cards)
    }

    /// Everyone the book knows.
    ///
    /// # Errors
    /// What the store says.
    pub fn people(&self) -> Result<Vec<Person>, BookError> {
        Ok(self.store.people()?)
    }

    /// Whether there is an entry of this id.
    ///
    /// # Errors
    /// What the store says.
    pub fn has(&self, id: EntryId) -> Result<bool, BookError> {
        Ok(self.store.has(id)?)
    }

    /// Writes entries; when it answers, they are on disk.
    ///
    /// # Errors
    /// What the store says; nothing is kept then.
    pub fn append(&self, append: Append) -> Result<Appended, BookError> {
        Ok(self.store.append(append)?)
    }

    /// Reads files of a workshop, its cars and visits, and writes what they say: all or nothing.
    ///
    /// # Errors
    /// [`BookError::Files`] with everything that is wrong; what the store says.
    pub fn record(&self, files: &[SourceFile]) -> Result<Appended, BookError> {
        Ok(self.record_and_tell(files)?.0)
    }

    /// As [`Book::record`]; and what the markings tell that were read on parts.
    ///
    /// # Errors
    /// As [`Book::record`].
    pub fn record_and_tell(
        &self,
        files: &[SourceFile],
    ) -> Result<(Appended, Vec<workshop::MarkingRead>), BookError> {
        let entries = self.store.stream(&Stream::Workshop)?;
        let recording = workshop::record(files, &entries, &Shelf(self))?;
        for person in recording.people {
            self.store.put_person(person)?;
        }
        Ok((self.append(Append::of(recording.drafts))?, recording.markings))
    }

    /// Takes a data sheet into the book; the same revision twice changes nothing.
    ///
    /// # Errors
    /// [`BookError::Sheet`] with everything that is wrong with it; what the store says.
    pub fn adopt(
        &self,
        files: &[SourceFile],
        by: &str,
        clock: &Clock,
    ) -> Result<(Sheet, Appended), BookError> {
        let sheet = sheet::read(files)?;
        if self.shop()?.sheet(&sheet.id).is_some_and(|known| known.revision == sheet.revision) {
            return Ok((sheet, Appended { written: 0, known: 1 }));
        }
        let signed = Signed { id: clock.new_id(), by, device: "file" };
        let draft = revise::drafted(&sheet, files, signed, clock);
        let appended = self.append(Append::of(vec![draft]))?;
        Ok((sheet, appended))
    }

    /// Draws all rows again.
    ///
    /// # Errors
    /// What the store says.
    pub fn redraw(&self) -> Result<Redrawn, BookError> {
        Ok(self.store.redraw()?)
    }

    /// Looks over the whole journal.
    ///
    /// # Errors
    /// What the store says.
    pub fn verify(&self) -> Result<Verified, BookError> {
        Ok(self.store.verify()?)
    }
}

fn day_told(entry: &Entry) -> Option<Date> {
    Car::day_told(entry, Clock::day_of(entry.at))
}

/// What a book knows, for those who check files against it. A store that cannot be read knows nothing: the append that
/// follows then fails and says why.
struct Shelf<'a>(&'a Book);

impl workshop::Book for Shelf<'_> {
    fn car_entries(&self, car: &str) -> Vec<journal::Entry> {
        self.0.store.stream(&Stream::Car(car.into())).unwrap_or_default()
    }

    fn cars(&self) -> Vec<String> {
        let cards = self.0.store.cards().unwrap_or_default();
        cards.into_iter().map(|card| card.car).collect()
    }

    fn people(&self) -> Vec<Person> {
        self.0.store.people().unwrap_or_default()
    }
}

/// The id of an entry from random bits and the time: for what a person does now.
fn time_ordered_id(now: jiff::Timestamp) -> EntryId {
    let seconds = u64::try_from(now.as_second()).unwrap_or(0);
    let nanoseconds = now.subsec_nanosecond().unsigned_abs();
    EntryId(Uuid::new_v7(uuid::Timestamp::from_unix(uuid::NoContext, seconds, nanoseconds)))
}
