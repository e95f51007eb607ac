//! What the cars of a book ask for in the weeks ahead.

use crate::{Book, BookError};
use jiff::civil::Date;
use journal::Card;
use workshop::{
    calendar::{Coming, STAYS_AWAY, coming},
    days_between,
    plan::{Wishes, plan},
    years_after, years_between,
};

impl Book {
    /// What comes, seen from a day, from at most so many of these cars ([`Book::cards`], or of an earlier day
    /// [`Book::cards_on`]): those that are in first, then those with an agreement, then those
    /// nearest to the usual gap; and how many more might have come.
    ///
    /// # Errors
    /// What the store says; [`BookError::NoSheet`] for a car whose sheet is not in the book.
    pub fn coming(
        &self,
        mut cards: Vec<Card>,
        today: Date,
        most: usize,
    ) -> Result<(Vec<Coming>, usize), BookError> {
        let gap = self.shop()?.gap_years;
        cards.retain(|card| is_expected(card, gap, today));
        let off = |card: &Card| card.last_visit.map(|last| days_between(today, years_after(last, gap)).abs());
        cards.sort_by_key(|card| (card.open_visit.is_none(), card.long_jobs == 0, off(card)));
        let left_out = cards.len().saturating_sub(most);
        let mut all = Vec::new();
        for card in cards.iter().take(most) {
            let car = self.open_car(&card.car, today)?;
            let judge = car.judge();
            // A car that cannot be planned asks for nothing yet.
            if let Ok(plan) = plan(&judge, &judge.assess(), &Wishes::default()) {
                all.extend(coming(&judge, &plan));
            }
        }
        Ok((all, left_out))
    }
}

fn is_expected(card: &Card, gap: f64, today: Date) -> bool {
    let stays_away = card.last_visit.is_none_or(|last| years_between(last, today) > STAYS_AWAY * gap);
    card.open_visit.is_some() || card.long_jobs > 0 || !stays_away
}
