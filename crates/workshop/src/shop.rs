//! The workshop as its journal tells it: who it is, what an hour costs, which instruments it owns, which data sheets it
//! uses.

use jiff::{Timestamp, civil::Date};
use journal::{Entry, Known};
use rust_decimal::Decimal;
use sheet::{InstrumentId, Sheet, SheetId, SourceFile};
use std::{
    collections::BTreeMap,
    sync::{Arc, OnceLock},
};

/// Usual months between two visits where the workshop has not said.
const USUAL_GAP_MONTHS: f64 = 12.0;

/// The workshop, folded from its stream.
#[derive(Debug, Default)]
pub struct Shop {
    pub title: String,
    /// ISO 4217 code.
    pub currency: String,
    /// Money for an hour of work.
    pub rate: Decimal,
    /// Usual years between two visits of a car.
    pub gap_years: f64,
    /// By the workshop's own id.
    pub instruments: BTreeMap<String, Owned>,
    sheets: BTreeMap<SheetId, Vec<Revision>>,
}

/// An instrument the workshop owns.
#[derive(Debug, Clone, PartialEq)]
pub struct Owned {
    pub kind: InstrumentId,
    /// When its calibration runs out.
    pub due: Option<Date>,
}

/// A data sheet as it stood at one time. It is read when it is first asked for.
#[derive(Debug)]
pub struct Revision {
    /// As [`Sheet::revision`] has it.
    pub id: String,
    /// When it came into the book, and who brought it.
    pub at: Timestamp,
    pub by: String,
    files: BTreeMap<String, String>,
    read: OnceLock<Option<Arc<Sheet>>>,
}

impl Shop {
    /// The workshop that its stream tells of.
    pub fn fold(entries: &[Entry]) -> Shop {
        let mut shop = Shop { gap_years: USUAL_GAP_MONTHS / 12.0, ..Shop::default() };
        let mut entries: Vec<&Entry> = entries.iter().collect();
        entries.sort_by_key(|entry| entry.seq);
        for entry in entries {
            match entry.body.known() {
                Some(Known::Workshop { title, currency, rate, gap_months }) => {
                    shop.title.clone_from(title);
                    shop.currency.clone_from(currency);
                    shop.rate = rate.parse().unwrap_or_default();
                    shop.gap_years = gap_months / 12.0;
                }
                Some(Known::Instrument { id, instrument, due }) => {
                    let owned = Owned { kind: instrument.as_str().into(), due: *due };
                    shop.instruments.insert(id.clone(), owned);
                }
                Some(Known::Sheet { sheet, revision, files }) => {
                    let revisions = shop.sheets.entry(sheet.as_str().into()).or_default();
                    revisions.push(Revision {
                        id: revision.clone(),
                        at: entry.at,
                        by: entry.by.clone(),
                        files: files.clone(),
                        read: OnceLock::new(),
                    });
                }
                _ => {}
            }
        }
        shop
    }

    /// The data sheet in use; `None` when the book has none of this id, or it no longer reads.
    pub fn sheet(&self, id: &SheetId) -> Option<Arc<Sheet>> {
        self.sheets.get(id)?.last()?.sheet()
    }

    /// The data sheet as it stood at a revision; the one in use when that revision is not known.
    pub fn sheet_at(&self, id: &SheetId, revision: &str) -> Option<Arc<Sheet>> {
        let revisions = self.sheets.get(id)?;
        let known = revisions.iter().find(|known| known.id == revision);
        known.or_else(|| revisions.last())?.sheet()
    }

    /// Every revision of a data sheet, the oldest first; one that came back stands where it came back, too.
    pub fn revisions(&self, id: &SheetId) -> &[Revision] {
        self.sheets.get(id).map_or(&[], Vec::as_slice)
    }

    /// The ids of all data sheets, those that no longer read among them.
    pub fn sheet_ids(&self) -> impl Iterator<Item = &SheetId> {
        self.sheets.keys()
    }

    /// The data sheets in use, by id.
    pub fn sheets(&self) -> impl Iterator<Item = Arc<Sheet>> {
        self.sheets.values().filter_map(|revisions| revisions.last()?.sheet())
    }

    /// Which kind of instrument a name means, and whether its calibration has run out on a day. A name is one of the
    /// workshop's own, or a kind from the data sheet.
    pub fn instrument(&self, name: &str, on: Date) -> (InstrumentId, bool) {
        match self.instruments.get(name) {
            Some(owned) => (owned.kind.clone(), owned.due.is_some_and(|due| due < on)),
            None => (name.into(), false),
        }
    }

    /// The workshop's instrument of a kind, where it owns just one: it is the one that was used when nobody says.
    pub fn only(&self, kind: &InstrumentId) -> Option<&str> {
        let mut owned = self.instruments.iter().filter(|(_, owned)| owned.kind == *kind);
        let (id, _) = owned.next()?;
        owned.next().is_none().then_some(id.as_str())
    }

    /// Whether the workshop owns an instrument of this kind.
    pub fn owns(&self, kind: &InstrumentId) -> bool {
        self.instruments.values().any(|owned| owned.kind == *kind)
    }
}

impl Revision {
    /// What it says; `None` when it no longer reads.
    pub fn sheet(&self) -> Option<Arc<Sheet>> {
        self.read.get_or_init(|| sheet::read(&self.sources()).ok().map(Arc::new)).clone()
    }

    /// Its files, by their names.
    pub fn files(&self) -> &BTreeMap<String, String> {
        &self.files
    }

    /// Its files as a reader of sheets takes them.
    pub fn sources(&self) -> Vec<SourceFile> {
        self.files.iter().map(|(name, text)| SourceFile::new(name, text)).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::support::told;

    /// The van's workshop owns one caliper and three micrometers.
    #[test]
    fn the_only_instrument_of_a_kind_is_meant_when_nobody_says() {
        let told = told(&[]);
        assert_eq!(told.shop.only(&"caliper".into()), Some("caliper-1"));
        assert_eq!(told.shop.only(&"micrometer".into()), None);
        assert_eq!(told.shop.only(&"ear".into()), None);
    }
}
