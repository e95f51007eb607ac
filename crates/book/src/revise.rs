//! New revisions of data sheets, and what they would mean for the cars of the book.

use crate::{Book, BookError, Clock};
use jiff::civil::Date;
use journal::{Append, Appended, Draft, EntryId, Known, Store, StoreError, Stream};
use sheet::{Sheet, SheetId, SourceFile};
use std::cmp::Reverse;
use workshop::Otherwise;

/// A car of the book and the verdicts on it that would be others.
#[derive(Debug, Clone)]
pub struct CarOtherwise {
    pub car: String,
    pub title: String,
    pub verdicts: Vec<Otherwise>,
}

/// What is to be kept of who wrote a revision, and where.
#[derive(Debug, Clone, Copy)]
pub struct Signed<'a> {
    pub id: EntryId,
    pub by: &'a str,
    pub device: &'a str,
}

impl Book {
    /// What the sheet `after` would change on the cars that are of it or of `before`: those that were here last come first,
    /// and after `most` of them it ends. Also how many there are.
    ///
    /// # Errors
    /// What the store says.
    pub fn otherwise(
        &self,
        before: &Sheet,
        after: &Sheet,
        today: Date,
        most: usize,
    ) -> Result<(Vec<CarOtherwise>, usize), BookError> {
        let shop = self.shop()?;
        let is_of = |sheet: &str| [&before.id, &after.id].iter().any(|id| id.as_str() == sheet);
        let mut cards: Vec<_> = self.cards()?.into_iter().filter(|card| is_of(&card.sheet)).collect();
        cards.sort_by_key(|card| Reverse(card.last_visit));
        let count = cards.len();
        let mut cars = Vec::new();
        for card in cards.into_iter().take(most) {
            let Some(car) = self.car(&card.car)? else { continue };
            let verdicts = workshop::otherwise(&shop, before, after, &car, today);
            cars.push(CarOtherwise { car: card.car, title: car.title.clone(), verdicts });
        }
        Ok((cars, count))
    }

    /// Takes in a new revision of a data sheet that somebody made out of the revision `base`. The sheet keeps its id, since
    /// cars name it.
    ///
    /// # Errors
    /// [`BookError::Sheet`] with everything that is wrong with it; [`BookError::SheetMoved`] when `base` is no longer the
    /// revision in use; [`BookError::OtherSheet`] when the files call themselves something else; what the store says.
    pub fn revise(
        &self,
        id: &SheetId,
        base: &str,
        files: &[SourceFile],
        signed: Signed<'_>,
        clock: &Clock,
    ) -> Result<Appended, BookError> {
        let sheet = sheet::read(files)?;
        if sheet.id != *id {
            return Err(BookError::OtherSheet { is: id.to_string(), found: sheet.id.to_string() });
        }
        loop {
            let length = self.store.length(&Stream::Workshop)?;
            let shop = self.shop()?;
            let in_use = shop.revisions(id).last().map(|revision| revision.id.as_str());
            if in_use == Some(&sheet.revision) {
                return Ok(Appended { written: 0, known: 1 });
            }
            if in_use != Some(base) {
                return Err(BookError::SheetMoved { sheet: id.to_string() });
            }
            let draft = drafted(&sheet, files, signed, clock);
            let at_length = Some((Stream::Workshop, length));
            match self.append(Append { drafts: vec![draft], at_length }) {
                // Something else was written in the workshop's stream: look again whether it was this sheet.
                Err(BookError::Store(StoreError::Moved { .. })) => {}
                answer => return answer,
            }
        }
    }
}

/// The entry that holds a data sheet.
pub(crate) fn drafted(sheet: &Sheet, files: &[SourceFile], signed: Signed<'_>, clock: &Clock) -> Draft {
    let body = Known::Sheet {
        sheet: sheet.id.to_string(),
        revision: sheet.revision.clone(),
        files: files.iter().map(|file| (file.name.clone(), file.text.clone())).collect(),
    };
    Draft {
        id: signed.id,
        stream: Stream::Workshop,
        at: clock.now(),
        by: signed.by.into(),
        device: signed.device.into(),
        replaces: None,
        body: body.into(),
    }
}
