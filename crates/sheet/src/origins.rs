//! Where each value of a sheet comes from.

use crate::{
    SheetFault,
    diagnostic::{Location, SourceFile, Span},
    read::{
        lay::{entry, lay, things},
        layers::in_layers,
    },
    table::Reader,
};
use indexmap::IndexMap;
use toml::de::DeTable;

/// Where the values of a sheet come from, by kind, id and key. A thing that no layer touches is here too.
#[derive(Debug, Clone, PartialEq)]
pub struct Origins {
    /// What the layers call themselves; the sheet below all of them comes first.
    pub layers: Vec<String>,
    of: IndexMap<(String, String), IndexMap<String, Origin>>,
}

/// Where one value stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Origin {
    /// Position among the layers.
    pub layer: usize,
    pub at: Location,
    /// What a layer below says instead, as it is written there.
    pub instead_of: Option<Instead>,
}

/// A value that a layer above took the place of.
#[derive(Debug, Clone, PartialEq)]
pub struct Instead {
    pub layer: usize,
    pub at: Location,
    pub written: String,
}

impl Origins {
    /// Where a key of a thing comes from: `("check", "front-disc-thickness", "limit")`; the sheet itself has no id.
    pub fn of(&self, kind: &str, id: &str, key: &str) -> Option<&Origin> {
        self.keys(kind, id)?.get(key)
    }

    /// All keys of a thing.
    pub fn keys(&self, kind: &str, id: &str) -> Option<&IndexMap<String, Origin>> {
        self.of.get(&(kind.to_owned(), id.to_owned()))
    }

    /// Every thing, by kind and id.
    pub fn things(&self) -> impl Iterator<Item = (&str, &str)> {
        self.of.keys().map(|(kind, id)| (kind.as_str(), id.as_str()))
    }
}

/// Where the values of these files come from, whether or not the sheet is in order.
pub fn origins(files: &[SourceFile]) -> Origins {
    let files: Vec<&SourceFile> = files.iter().collect();
    let files = in_layers(&files);
    let reader = Reader::<SheetFault>::new(files.iter().map(|(_, file)| *file));
    let mut documents = reader.documents();
    let titles = |kind: &str| -> Vec<Option<String>> {
        documents.iter().map(|document| title(document.tree(), kind)).collect()
    };
    let (own, sheets) = (titles("layer"), titles("sheet"));
    let layers: Vec<usize> = files.iter().map(|(layer, _)| *layer).collect();
    let replaced = lay(&mut documents, &layers, &reader);

    let layer_of = |span: &Span| layers.get(span.file).copied().unwrap_or(0);
    let place = |span: &Span| reader.locate(span.clone());
    let below = |by: &Span| {
        // Of three layers that say the same key, the nearest below is meant.
        let was = replaced.iter().filter(|pair| pair.by == *by).max_by_key(|pair| layer_of(&pair.was))?;
        let written = files.get(was.value.file).and_then(|(_, file)| written(file, &was.value));
        Some(Instead { layer: layer_of(&was.was), at: place(&was.was), written: written.unwrap_or_default() })
    };
    let mut of = IndexMap::<(String, String), IndexMap<String, Origin>>::new();
    for document in &documents {
        for (thing, _) in things(document.tree()) {
            let Some(keys) = entry(document.tree(), &thing) else { continue };
            let origins = keys.keys().map(|key| {
                let span = document.span(key.span());
                let origin = Origin { layer: layer_of(&span), at: place(&span), instead_of: below(&span) };
                (key.get_ref().to_string(), origin)
            });
            let (kind, id) = thing;
            of.entry((kind, id.unwrap_or_default())).or_default().extend(origins);
        }
    }
    let count = layers.last().map_or(0, |top| top + 1);
    let name_of = |layer: usize| {
        let said = |titles: &[Option<String>]| {
            let mut its = layers.iter().zip(titles).filter(|(other, _)| **other == layer);
            its.find_map(|(_, title)| title.clone())
        };
        said(&own).or_else(|| said(&sheets)).unwrap_or_default()
    };
    Origins { layers: (0..count).map(name_of).collect(), of }
}

/// What a file says its layer or sheet is called.
fn title(tree: &DeTable<'_>, kind: &str) -> Option<String> {
    let table = tree.get(kind)?.get_ref().as_table()?;
    table.get("title")?.get_ref().as_str().map(str::to_owned)
}

fn written(file: &SourceFile, span: &Span) -> Option<String> {
    let text = file.text.strip_prefix('\u{feff}').unwrap_or(&file.text);
    text.get(span.bytes.clone()).map(|written| written.split_whitespace().collect::<Vec<_>>().join(" "))
}
