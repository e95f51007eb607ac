//! The invented van of the tests, a book in memory, and stories told as the visit files that a workshop writes.

#![allow(dead_code)] // each test uses what it needs
#![allow(clippy::unwrap_used, clippy::panic)]

use jiff::{Timestamp, civil::Date};
use journal::{Draft, Entry, EntryId, Known, Person, Stream};
use sheet::{CheckId, Place, Sheet, SourceFile, Verdict};
use std::{collections::BTreeMap, sync::Arc};
use workshop::{Assessment, Book, Car, Judge, Judged, RecordFault, Shop, plan, record};

pub const SHEET: &str = include_str!("../sheets/plover-carrier/sheet.toml");
pub const WORKSHOP: &str = include_str!("../plover/workshop.toml");
/// A closed van whose first use is known.
pub const DORA: &str = include_str!("../plover/dora.toml");
/// A flat bed of which nothing is known.
pub const EMIL: &str = include_str!("../plover/emil.toml");

pub type Problems = sheet::diagnostic::Problems<RecordFault>;

/// A book in memory. It keeps entries as a store does: an id once, all of an append or nothing.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shelf {
    pub workshop: Vec<Entry>,
    pub cars: BTreeMap<String, Vec<Entry>>,
    pub people: Vec<Person>,
}

impl Book for Shelf {
    fn car_entries(&self, car: &str) -> Vec<Entry> {
        self.cars.get(car).cloned().unwrap_or_default()
    }

    fn cars(&self) -> Vec<String> {
        self.cars.keys().cloned().collect()
    }

    fn people(&self) -> Vec<Person> {
        self.people.clone()
    }
}

impl Shelf {
    /// With the data sheet, and nothing else.
    pub fn empty() -> Self {
        Self::with_sheet(SHEET)
    }

    pub fn with_sheet(text: &str) -> Self {
        let mut shelf = Self::default();
        shelf.adopt(text);
        shelf
    }

    /// With the data sheet, the workshop, and both cars.
    pub fn new() -> Self {
        let mut shelf = Self::empty();
        shelf.record(&[("workshop.toml", WORKSHOP), ("dora.toml", DORA), ("emil.toml", EMIL)]).unwrap();
        shelf
    }

    pub fn adopt(&mut self, text: &str) {
        self.adopt_files(&[SourceFile::new("sheet.toml", text)]);
    }

    pub fn adopt_files(&mut self, files: &[SourceFile]) {
        let read = sheet::read(files).unwrap_or_else(|problems| panic!("{problems}"));
        let files = files.iter().map(|file| (file.name.clone(), file.text.clone())).collect();
        let body = Known::Sheet { sheet: read.id.to_string(), revision: read.revision, files };
        self.append(vec![draft(1 + self.workshop.len() as u128, Stream::Workshop, body)]);
    }

    /// Records files by name and text; gives how many entries were new.
    pub fn record(&mut self, files: &[(&str, &str)]) -> Result<usize, Problems> {
        let files: Vec<SourceFile> = files.iter().map(|(name, text)| SourceFile::new(*name, *text)).collect();
        let recording = record(&files, &self.workshop, self)?;
        for person in recording.people {
            self.people.retain(|known| known.id != person.id);
            self.people.push(person);
        }
        self.people.sort_by(|a, b| a.id.cmp(&b.id)); // as a store hands them out
        Ok(self.append(recording.drafts))
    }

    /// Keeps what is new. Panics where a store refuses: at an id that is there with other words.
    pub fn append(&mut self, drafts: Vec<Draft>) -> usize {
        let mut written = 0;
        for draft in drafts {
            let entries = match draft.stream.car() {
                None => &mut self.workshop,
                Some(car) => self.cars.entry(car.to_owned()).or_default(),
            };
            match entries.iter().find(|entry| entry.id == draft.id) {
                Some(there) => assert_eq!(there.draft, draft, "a store refuses an id with other words"),
                None => {
                    entries.push(Entry { seq: entries.len() as u64 + 1, draft });
                    written += 1;
                }
            }
        }
        written
    }

    pub fn shop(&self) -> Shop {
        Shop::fold(&self.workshop)
    }

    pub fn car(&self, id: &str) -> Car {
        Car::fold(id, &self.cars[id]).unwrap()
    }

    /// A car with everything that judging it rests on.
    pub fn told(&self, car: &str) -> Told {
        let (shop, car) = (self.shop(), self.car(car));
        let sheet = shop.sheet(car.sheet.as_ref().unwrap()).unwrap();
        Told { shop, sheet, car }
    }
}

/// A draft by number, for stories told entry by entry.
pub fn draft(id: u128, stream: Stream, body: impl Into<journal::Body>) -> Draft {
    Draft {
        id: EntryId(uuid::Uuid::from_u128(id)),
        stream,
        at: Timestamp::UNIX_EPOCH,
        by: "tess".into(),
        device: "desk".into(),
        replaces: None,
        body: body.into(),
    }
}

/// A visit of Dora as a file.
pub fn visit(date: &str, km: u32, rest: &str) -> String {
    visit_of("dora", date, km, rest)
}

pub fn visit_of(car: &str, date: &str, km: u32, rest: &str) -> String {
    format!("[visit]\ncar = \"{car}\"\ndate = {date}\nodometer = \"{km} km\"\nby = \"tess\"\n{rest}\n")
}

/// A car, its sheet and the workshop, after a story.
#[derive(Debug)]
pub struct Told {
    pub shop: Shop,
    pub sheet: Arc<Sheet>,
    pub car: Car,
}

/// Dora after these visits.
pub fn told(visits: &[String]) -> Told {
    told_of("dora", SHEET, visits)
}

/// A car after these visits, on a data sheet of this text.
pub fn told_of(car: &str, sheet: &str, visits: &[String]) -> Told {
    let mut shelf = Shelf::with_sheet(sheet);
    shelf.record(&[("workshop.toml", WORKSHOP), ("dora.toml", DORA), ("emil.toml", EMIL)]).unwrap();
    let names: Vec<String> = (1..=visits.len()).map(|n| format!("{n}.toml")).collect();
    let files: Vec<(&str, &str)> =
        names.iter().zip(visits).map(|(name, text)| (name.as_str(), text.as_str())).collect();
    shelf.record(&files).unwrap_or_else(|problems| panic!("{problems}"));
    shelf.told(car)
}

impl Told {
    /// A judge on the day of the last visit.
    pub fn judge(&self) -> Judge<'_> {
        self.judge_on(self.car.last_visit().unwrap().date)
    }

    pub fn judge_on(&self, today: Date) -> Judge<'_> {
        Judge::new(&self.shop, &self.sheet, &self.car, today)
    }

    pub fn assess(&self) -> Assessment {
        self.judge().assess()
    }

    /// A check at a place, judged on the day of the last visit.
    pub fn judged(&self, check: &str, place: &str) -> Judged {
        self.find(check, place).unwrap_or_else(|| panic!("nothing is known of {check} at {place}"))
    }

    pub fn find(&self, check: &str, place: &str) -> Option<Judged> {
        self.judge().one(&CheckId::from(check), &Place::from(place))
    }

    pub fn verdict(&self, check: &str, place: &str) -> Verdict {
        self.judged(check, place).verdict
    }

    pub fn plan(&self, wishes: &plan::Wishes) -> Result<plan::Plan, plan::PlanFailed> {
        let judge = self.judge();
        plan::plan(&judge, &judge.assess(), wishes)
    }
}
