//! The workshop as its journal tells it: who it is, what an hour costs, which instruments it owns, which data sheets it
//! uses.

use jiff::civil::Date;
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
struct Revision {
    id: String,
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
                    revisions.retain(|known| known.id != *revision);
                    revisions.push(Revision {
                        id: revision.clone(),
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

    /// Whether the workshop owns an instrument of this kind.
    pub fn owns(&self, kind: &InstrumentId) -> bool {
        self.instruments.values().any(|owned| owned.kind == *kind)
    }
}

impl Revision {
    fn sheet(&self) -> Option<Arc<Sheet>> {
        let read = || {
            let files: Vec<SourceFile> = self
                .files
                .iter()
                .map(|(name, text)| SourceFile { name: name.clone(), text: text.clone() })
                .collect();
            sheet::read(&files).ok().map(Arc::new)
        };
        self.read.get_or_init(read).clone()
    }
}
