//! A formula's inputs from a car's own readings.

use super::typed::{CAR, CHECK, DO, PLACE, Typed};
use crate::{app::App, error::PageError, routes};
use ::bench::Formula;
use book::OpenCar;
use journal::Card;
use maud::{Markup, html};
use sheet::{Check, CheckKind};
use workshop::{Filled, Taking, words};

/// More cars than this are not listed: one is named then.
const LISTED: usize = 80;

/// The cars to choose from, and what the chosen one gives.
pub struct FromCar {
    cards: Vec<Card>,
    /// Whether a data sheet of the book says which readings the formula takes.
    taken: bool,
    /// What was written in the field for the car.
    named: String,
    chosen: Option<Chosen>,
}

struct Chosen {
    id: String,
    title: String,
    takings: Vec<Taking>,
    filled: Option<Filled>,
}

impl FromCar {
    /// As the form asks for.
    pub fn of(app: &App, formula: &Formula, typed: &Typed) -> Result<Self, PageError> {
        let cards = app.book.cards()?;
        let taken =
            app.book.shop()?.sheets().any(|sheet| sheet.checks.values().any(|check| takes(check, formula)));
        let named = typed.first(CAR).trim().to_owned();
        let chosen = match card(&cards, &named) {
            Some(card) => Some(Chosen::of(&app.car(&card.car)?, formula, typed)),
            None => None,
        };
        Ok(Self { cards, taken, named, chosen })
    }

    /// All cars of the book.
    pub fn cards(&self) -> &[Card] {
        &self.cards
    }

    /// What is typed once the car has filled in what it answers; `None` when nothing can be.
    pub fn load(&self, typed: &Typed) -> Option<Typed> {
        let chosen = self.chosen.as_ref()?;
        let filled = chosen.filled.as_ref()?;
        let answered = filled.inputs.iter().filter_map(|input| Some((&input.key, input.text.as_ref()?)));
        Some(answered.fold(typed.clone().without(DO), |typed, (key, text)| typed.with(key, text)))
    }

    /// The one derived reading that can be loaded without asking which.
    pub fn only(&self) -> Option<&Taking> {
        match &self.chosen.as_ref()?.takings[..] {
            [only] => Some(only),
            _ => None,
        }
    }

    /// Where the value of a field came from, as long as it is still what the car gave.
    pub fn came(&self, key: &str, typed: &Typed) -> Option<String> {
        let chosen = self.chosen.as_ref()?;
        let filled = chosen.filled.as_ref()?;
        let input = filled.inputs.iter().find(|input| input.key == key)?;
        match &input.text {
            Some(text) if *text == typed.first(key) => Some(match filled.visit {
                Some(visit) if input.from != "the data sheet" => {
                    format!("From {}: {}, {}.", chosen.title, input.from, words::day(visit))
                }
                _ => format!("From {} of {}.", input.from, chosen.title),
            }),
            None if typed.first(key).trim().is_empty() => {
                Some(format!("{} was not read on that visit of {}.", input.from, chosen.title))
            }
            _ => None,
        }
    }

    /// That no data sheet takes the formula yet, where none does.
    pub fn not_taken(&self) -> Markup {
        html! {
            @if !self.cards.is_empty() && !self.taken {
                p.quiet { "No data sheet of this book says which readings of a car it takes; with a derived reading that names it, a car fills it in." }
            }
        }
    }

    /// The field for the car, and what can be loaded from it.
    pub fn view(&self, formula: &Formula, typed: &Typed) -> Markup {
        html! {
            @if !self.cards.is_empty() && (self.taken || self.chosen.is_some() || !self.named.is_empty()) {
                fieldset.from-car {
                    legend { "Load from a car" }
                    @if let Some(chosen) = &self.chosen {
                        @for (name, value) in [(CHECK, typed.first(CHECK)), (PLACE, typed.first(PLACE))] {
                            @if chosen.filled.is_some() { input type="hidden" name=(name) value=(value); }
                        }
                    }
                    div.line {
                        (field(&self.cards, &self.named, "from-car", CAR))
                        button name=(DO) value="load" { "Load" }
                    }
                    @if let Some(chosen) = &self.chosen { (self.says(chosen, formula, typed)) }
                    @else if !self.named.is_empty() { p.problem { "The book has no car “" (self.named) "”." } }
                }
            }
        }
    }

    fn says(&self, chosen: &Chosen, formula: &Formula, typed: &Typed) -> Markup {
        let link = |taking: &Taking| {
            let of = Typed::default()
                .with(CAR, &chosen.id)
                .with(CHECK, taking.check.as_str())
                .with(PLACE, taking.place.as_str());
            format!("{}{}&{DO}=load", routes::formula(formula.id), of.query(formula))
        };
        let here = |taking: &Taking| {
            taking.check.as_str() == typed.first(CHECK) && taking.place.as_str() == typed.first(PLACE)
        };
        html! {
            @if chosen.takings.is_empty() {
                p.help { "The data sheet of " (chosen.title) " does not say which of its readings this formula takes. Write them in, or name them in the sheet as a derived reading." }
            } @else if chosen.takings.len() > 1 {
                p.help { "Which of them?" }
                ul.takings {
                    @for taking in &chosen.takings {
                        li { a href=(link(taking)) aria-current=[here(taking).then_some("true")] { (taking.title) } }
                    }
                }
            }
            @if let Some(filled) = &chosen.filled {
                p.help {
                    @match filled.visit {
                        Some(visit) => { "Filled in from the visit of " (words::day(visit)) "." },
                        None => { "None of these readings was ever taken on " (chosen.title) "." },
                    }
                    @if filled.inputs.iter().filter(|input| input.from != "the data sheet").count() > 1 {
                        " An error that two readings share, because one instrument read both, counts in each of them here; on the car’s page it is counted once."
                    }
                }
            }
        }
    }
}

fn takes(check: &Check, formula: &Formula) -> bool {
    matches!(&check.kind, CheckKind::Derived(derived) if derived.formula == formula.id)
}

impl Chosen {
    fn of(car: &OpenCar, formula: &Formula, typed: &Typed) -> Self {
        let judge = car.judge();
        let takings = judge.takings(formula.id);
        let wanted = takings.iter().find(|taking| {
            taking.check.as_str() == typed.first(CHECK) && taking.place.as_str() == typed.first(PLACE)
        });
        let filled = wanted.and_then(|taking| judge.filled(&taking.check, &taking.place));
        Self { id: car.car.id.clone(), title: car.car.title.clone(), takings, filled }
    }
}

/// The car of this id, name or key tag.
pub fn card<'a>(cards: &'a [Card], named: &str) -> Option<&'a Card> {
    let is = |text: &str| text.eq_ignore_ascii_case(named);
    let by_id = cards.iter().find(|card| card.car == named);
    by_id.or_else(|| cards.iter().find(|card| is(&card.title) || card.tag.as_deref().is_some_and(is)))
}

/// A field for a car: a list of all, or in a big book its name or key tag.
pub fn field(cards: &[Card], named: &str, id: &str, name: &str) -> Markup {
    let titled = |card: &Card| match &card.tag {
        Some(tag) => format!("{}, {tag}", card.title),
        None => card.title.clone(),
    };
    let is = |card: &Card| self::card(cards, named).is_some_and(|named| named.car == card.car);
    html! {
        label for=(id) { "Car" }
        @if cards.len() <= LISTED {
            select id=(id) name=(name) {
                option value="" { "Choose a car" }
                @for card in cards { option value=(card.car) selected[is(card)] { (titled(card)) } }
            }
        } @else {
            input id=(id) name=(name) value=(named) list={ (id) "-in-house" } autocomplete="off" placeholder="name or key tag";
            datalist id={ (id) "-in-house" } {
                @for card in cards.iter().filter(|card| card.open_visit.is_some()) { option value=(card.car) { (titled(card)) } }
            }
        }
    }
}
