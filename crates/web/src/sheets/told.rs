//! A data sheet as its pages tell it: every thing in plain words, what it names, what names it, and where it is written.

use sheet::{Described, Fact, Origin, Origins, Sheet, described, origins};
use std::{
    collections::{HashMap, HashSet},
    sync::{Arc, Mutex, PoisonError},
};
use workshop::Revision;

/// Revisions that are kept at hand as they are told. A few sheets, and what they were before.
const KEPT: usize = 8;

/// Sheets that were told already, the one asked for last at the end.
#[derive(Default)]
pub struct ToldSheets(Mutex<Vec<(String, Arc<Told>)>>);

impl ToldSheets {
    /// A revision as it is told; `None` when it no longer reads.
    pub fn of(&self, revision: &Revision) -> Option<Arc<Told>> {
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        {
            let mut kept = kept();
            if let Some(at) = kept.iter().position(|(id, _)| *id == revision.id) {
                let known = kept.remove(at);
                let told = known.1.clone();
                kept.push(known);
                return Some(told);
            }
        }
        let told = Arc::new(Told::new(revision.sheet()?, origins(&revision.sources())));
        let mut kept = kept();
        if kept.len() >= KEPT {
            kept.remove(0);
        }
        kept.push((revision.id.clone(), told.clone()));
        Some(told)
    }
}

/// A sheet in plain words, with ways between its things.
pub struct Told {
    pub sheet: Arc<Sheet>,
    pub things: Vec<Described>,
    origins: Origins,
    /// Positions of things by their ids; one id may name things of several kinds.
    by_id: HashMap<String, Vec<usize>>,
    /// By position: the things that name it.
    named_by: Vec<Vec<usize>>,
    /// By position: all that is said of it, in small letters.
    searched: Vec<String>,
}

/// A stretch of what is said: words, or a thing that is named.
#[derive(Debug, PartialEq)]
pub enum Piece<'a> {
    Words(&'a str),
    Thing(&'a Described),
}

impl Told {
    fn new(sheet: Arc<Sheet>, origins: Origins) -> Self {
        let things = described(&sheet);
        let mut by_id = HashMap::<String, Vec<usize>>::new();
        for (at, thing) in things.iter().enumerate() {
            by_id.entry(thing.id.clone()).or_default().push(at);
        }
        let searched = things.iter().map(searched).collect();
        let mut told = Self { sheet, things, origins, by_id, named_by: vec![], searched };
        let mut named_by = vec![Vec::new(); told.things.len()];
        for (at, thing) in told.things.iter().enumerate() {
            let named = thing.facts.iter().flat_map(|fact| told.pieces(&fact.says));
            let named: HashSet<usize> = named.filter_map(|piece| told.position(&piece)).collect();
            named.into_iter().for_each(|named| named_by[named].push(at));
        }
        told.named_by = named_by;
        told
    }

    fn position(&self, piece: &Piece<'_>) -> Option<usize> {
        match piece {
            Piece::Words(_) => None,
            Piece::Thing(thing) => self.at(thing.kind, &thing.id),
        }
    }

    fn at(&self, kind: &str, id: &str) -> Option<usize> {
        self.by_id.get(id)?.iter().copied().find(|at| self.things[*at].kind == kind)
    }

    /// A thing of the sheet.
    pub fn thing(&self, kind: &str, id: &str) -> Option<&Described> {
        Some(&self.things[self.at(kind, id)?])
    }

    /// All things of a kind, in the order of the sheet.
    pub fn of_kind<'a>(&'a self, kind: &'a str) -> impl Iterator<Item = &'a Described> {
        self.things.iter().filter(move |thing| thing.kind == kind)
    }

    /// The things that name this one.
    pub fn naming(&self, thing: &Described) -> impl Iterator<Item = &Described> {
        let at = self.at(thing.kind, &thing.id);
        at.into_iter().flat_map(|at| &self.named_by[at]).map(|at| &self.things[*at])
    }

    /// Where a thing begins in its files.
    pub fn written(&self, thing: &Described) -> Option<&Origin> {
        let keys = self.origins.keys(thing.kind, &thing.id)?;
        keys.values().min_by_key(|origin| (origin.layer, origin.at.line()))
    }

    /// Where a fact is written, if a layer says it that lies over the sheet.
    pub fn said_above(&self, thing: &Described, fact: &Fact) -> Option<&Origin> {
        self.origins.of(thing.kind, &thing.id, fact.key).filter(|origin| origin.layer > 0)
    }

    /// What a layer calls itself.
    pub fn layer(&self, layer: usize) -> &str {
        self.origins.layers.get(layer).map_or("", String::as_str)
    }

    /// What the layers over the sheet call themselves, the lowest first.
    pub fn layers(&self) -> &[String] {
        self.origins.layers.get(1..).unwrap_or_default()
    }

    /// What is said, with the things in it that it names: the words write them by title and id, "Brake disc, front
    /// (`front-disc`)".
    pub fn pieces<'a>(&'a self, says: &'a str) -> Vec<Piece<'a>> {
        let mut pieces = Vec::new();
        let (mut from, mut looked) = (0, 0);
        while let Some(open) = says[looked..].find(" (`").map(|at| looked + at) {
            let id = open + " (`".len();
            let Some(close) = says[id..].find("`)").map(|at| id + at) else { break };
            looked = close + "`)".len();
            let before = &says[from..open];
            let named = self.by_id.get(&says[id..close]).into_iter().flatten().map(|at| &self.things[*at]);
            if let Some(thing) = named.into_iter().find(|thing| before.ends_with(&thing.title)) {
                let words = &before[..before.len() - thing.title.len()];
                if !words.is_empty() {
                    pieces.push(Piece::Words(words));
                }
                pieces.push(Piece::Thing(thing));
                from = looked;
            }
        }
        if from < says.len() {
            pieces.push(Piece::Words(&says[from..]));
        }
        pieces
    }

    /// The things that have all of these words, those whose name has them first; each with the fact that has the first
    /// word which the name has not.
    pub fn find(&self, words: &str) -> Vec<(&Described, Option<&Fact>)> {
        // A torque is written with its dot, and typed without.
        let typed = |word: &str| if word == "nm" { "n·m".to_owned() } else { word.to_owned() };
        let wanted: Vec<String> = words.to_lowercase().split_whitespace().map(typed).collect();
        if wanted.is_empty() {
            return vec![];
        }
        let has = |text: &str, word: &String| text.to_lowercase().contains(word);
        let mut found: Vec<_> = self
            .things
            .iter()
            .zip(&self.searched)
            .filter(|(thing, all)| thing.kind != "sheet" && wanted.iter().all(|word| all.contains(word)))
            .map(|(thing, _)| {
                let beyond = wanted.iter().find(|word| !has(&thing.title, word) && !has(&thing.id, word));
                let fact =
                    beyond.and_then(|word| thing.facts.iter().find(|fact| has(&searched_fact(fact), word)));
                let exactly = [&thing.id, &thing.title]
                    .iter()
                    .any(|name| name.to_lowercase() == words.trim().to_lowercase());
                ((!exactly, beyond.is_some()), (thing, fact))
            })
            .collect();
        found.sort_by_key(|(rank, _)| *rank); // stable: the order of the sheet stays
        found.into_iter().map(|(_, found)| found).collect()
    }
}

fn searched(thing: &Described) -> String {
    let facts = thing.facts.iter().map(searched_fact);
    [thing.id.clone(), thing.title.clone()]
        .into_iter()
        .chain(facts)
        .collect::<Vec<_>>()
        .join("\n")
        .to_lowercase()
}

fn searched_fact(fact: &Fact) -> String {
    format!("{} {}", fact.item.as_deref().unwrap_or_default(), fact.says)
}

/// What is said, and the source that stands at its end.
pub fn with_source(says: &str) -> (&str, Option<&str>) {
    let source = says.strip_suffix(')').and_then(|says| says.rsplit_once(" (source: "));
    source.map_or((says, None), |(says, source)| (says, Some(source)))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use sheet::SourceFile;

    fn told() -> Told {
        let text = include_str!("../../../../docs/example/tallow-nuthatch/sheet.toml");
        let work = include_str!("../../../../docs/example/tallow-nuthatch/work.toml");
        let files = [SourceFile::new("sheet.toml", text), SourceFile::new("work.toml", work)];
        Told::new(Arc::new(sheet::read(&files).unwrap()), origins(&files))
    }

    #[test]
    fn what_is_named_is_found_in_the_words() {
        let told = told();
        let thing = told.of_kind("component").next().unwrap();
        let says = format!("span 172 mm, from {} (`{}`), left (`nothing`)", thing.title, thing.id);
        assert_eq!(
            told.pieces(&says),
            [Piece::Words("span 172 mm, from "), Piece::Thing(thing), Piece::Words(", left (`nothing`)")]
        );
        for says in ["", " (`", "`) (`", "é (`a`)", "only words"] {
            let all: String = told
                .pieces(says)
                .iter()
                .map(|piece| match piece {
                    Piece::Words(words) => *words,
                    Piece::Thing(_) => "",
                })
                .collect();
            assert_eq!(all, says);
        }
    }

    #[test]
    fn whatever_names_a_thing_is_found_from_it() {
        let told = told();
        let lining = told.thing("component", "front-lining").unwrap();
        let naming: Vec<_> = told.naming(lining).map(|thing| (thing.kind, thing.id.as_str())).collect();
        assert!(naming.contains(&("check", "front-lining-thickness")), "{naming:?}");
        assert!(naming.contains(&("operation", "renew-front-linings")), "{naming:?}");
    }

    #[test]
    fn a_search_finds_names_first_and_tells_what_else_it_found() {
        let told = told();
        let found = told.find("LINING front");
        assert!(found.len() > 2);
        assert!(found[0].1.is_none(), "a name needs no telling");
        assert_eq!(told.find("front-lining-thickness")[0].0.id, "front-lining-thickness");
        assert!(told.find("zeppelin").is_empty());
        assert!(told.find("  ").is_empty());
    }

    #[test]
    fn a_source_is_set_apart() {
        assert_eq!(
            with_source("at least 2 mm (source: own cars (nine))"),
            ("at least 2 mm", Some("own cars (nine)"))
        );
        assert_eq!(with_source("a view (odd)"), ("a view (odd)", None));
    }
}
