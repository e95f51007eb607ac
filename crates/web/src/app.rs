//! What every page has at hand, and how it asks the book without holding up the others.

use crate::{error::PageError, sent::Message, sheets::ToldSheets};
use book::{Book, BookError, Clock, OpenCar};
use journal::{Append, Draft, Known, Stream};
use std::sync::Arc;

/// The book and the clock, and the data sheets as they are told.
#[derive(Clone)]
pub struct App {
    pub book: Arc<Book>,
    pub clock: Clock,
    pub told: Arc<ToldSheets>,
}

impl App {
    /// Asks the book on a thread that may wait for the disk.
    pub async fn ask<T: Send + 'static>(
        &self,
        ask: impl FnOnce(&App) -> Result<T, PageError> + Send + 'static,
    ) -> Result<T, PageError> {
        let app = self.clone();
        tokio::task::spawn_blocking(move || ask(&app))
            .await
            .map_err(|_| PageError::Ours("a page broke off".into()))?
    }

    /// A car as of today.
    pub fn car(&self, id: &str) -> Result<OpenCar, PageError> {
        Ok(self.book.open_car(id, self.clock.today())?)
    }

    /// Writes what was said of a car; when it answers, it is on disk.
    pub fn say(
        &self,
        message: &Message,
        car: &str,
        by: &str,
        said: impl IntoIterator<Item = Known>,
    ) -> Result<(), PageError> {
        self.append(message, car, by, said, None)
    }

    /// Writes what depends on all that was said before: refused if more has come in meanwhile.
    pub fn say_at(
        &self,
        message: &Message,
        car: &OpenCar,
        by: &str,
        said: impl IntoIterator<Item = Known>,
    ) -> Result<(), PageError> {
        self.append(message, &car.car.id, by, said, Some(car.car.length))
    }

    fn append(
        &self,
        message: &Message,
        car: &str,
        by: &str,
        said: impl IntoIterator<Item = Known>,
        length: Option<u64>,
    ) -> Result<(), PageError> {
        let stream = Stream::Car(car.into());
        let drafts = said
            .into_iter()
            .enumerate()
            .map(|(nth, known)| Draft {
                id: message.id(nth, self),
                stream: stream.clone(),
                at: self.clock.now(),
                by: by.into(),
                device: "page".into(),
                replaces: None,
                body: known.into(),
            })
            .collect();
        let append = Append { drafts, at_length: length.map(|length| (stream.clone(), length)) };
        self.book.append(append).map_err(|error: BookError| PageError::from(error))?;
        Ok(())
    }
}
