//! What is written on a part tells which part it is, and where it is made for.

use crate::{ids::*, model::*, table::nearest};

/// Which part of a sheet a marking tells of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Marked<'a> {
    One(&'a PartId),
    /// It is on each of these.
    Several(Vec<&'a PartId>),
    /// On none; this one is nearest, with the marking or number that is on it. To be asked, never to be taken.
    Perhaps(&'a PartId, &'a str),
    Unknown,
}

/// Why a part is not made for where it sits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Misfit<'a> {
    Component(&'a ComponentId),
    /// It is made for these places.
    Places(&'a [Place]),
    /// It is made for these variants.
    Variants(&'a [VariantId]),
}

/// Words that are on many parts and tell none of them.
const TELL_NOTHING: [&str; 11] = ["on", "the", "of", "or", "in", "into", "and", "with", "to", "at", "below"];

impl Sheet {
    /// The part on which a marking is found: its number, or what is written, cast or painted on it. Capitals, commas and
    /// blanks do not matter; of several markings written one after the other all must be on it.
    ///
    /// Looked for among the parts of the component on which it was seen, and only if it is on none of those, among all.
    pub fn marked<'a>(&'a self, reads: &str, on: Option<&ComponentId>) -> Marked<'a> {
        let pieces: Vec<Vec<String>> =
            reads.split([',', ';', '\n']).map(words).filter(|piece| !piece.is_empty()).collect();
        if pieces.is_empty() {
            return Marked::Unknown;
        }
        let of_component = |part: &Part| on.is_none() || part.component.as_ref() == on;
        let near = self.found(&pieces, of_component);
        let found = if near.is_empty() { self.found(&pieces, |_| true) } else { near };
        match found[..] {
            [] => self.perhaps(reads, of_component),
            [one] => Marked::One(one),
            _ => Marked::Several(found),
        }
    }

    /// The parts on which all of the pieces are, those where each is a whole marking before others.
    fn found<'a>(&'a self, pieces: &[Vec<String>], of: impl Fn(&Part) -> bool) -> Vec<&'a PartId> {
        let (mut whole, mut in_part) = (vec![], vec![]);
        for (id, part) in self.parts.iter().filter(|(_, part)| of(part)) {
            let marks: Vec<Vec<String>> = std::iter::once(id.as_str())
                .chain(part.marks.iter().map(String::as_str))
                .map(words)
                .collect();
            if pieces.iter().all(|piece| made_of(piece, &marks)) {
                whole.push(id);
            } else if pieces.iter().all(|piece| made_of(piece, &marks) || lies_in(piece, &marks)) {
                in_part.push(id);
            }
        }
        if whole.is_empty() { in_part } else { whole }
    }

    /// The part whose number or marking is nearest, compared with as many words of it as were read.
    fn perhaps<'a>(&'a self, reads: &str, of: impl Fn(&Part) -> bool) -> Marked<'a> {
        let n = words(reads).len();
        let mut known = Vec::new();
        for (id, part) in self.parts.iter().filter(|(_, part)| of(part)) {
            for mark in std::iter::once(id.as_str()).chain(part.marks.iter().map(String::as_str)) {
                let mark_words = words(mark);
                known.push((mark_words.join(" "), id, mark));
                known.extend(mark_words.windows(n.max(1)).map(|part| (part.join(" "), id, mark)));
            }
        }
        let near = nearest(&words(reads).join(" "), known.iter().map(|(text, ..)| text.as_str()));
        let found = near.and_then(|near| known.iter().find(|(text, ..)| text == near));
        found.map_or(Marked::Unknown, |(_, part, mark)| Marked::Perhaps(part, mark))
    }

    /// Whether a part may sit at a place of a component, on a variant. A part that says nothing of where it belongs fits
    /// everywhere: nothing is known against it.
    ///
    /// # Errors
    /// The first ground against it.
    pub fn fits<'a>(
        &'a self,
        part: &'a Part,
        component: &ComponentId,
        place: &Place,
        variant: Option<&VariantId>,
    ) -> Result<(), Misfit<'a>> {
        match &part.component {
            Some(own) if own != component => return Err(Misfit::Component(own)),
            Some(_) if !part.places.is_empty() && !part.places.contains(place) => {
                return Err(Misfit::Places(&part.places));
            }
            _ => {}
        }
        if part.only.includes(variant) { Ok(()) } else { Err(Misfit::Variants(&part.only.variants)) }
    }
}

/// Small letters and figures, in words.
fn words(text: &str) -> Vec<String> {
    let sign = |c: char| !(c.is_alphanumeric() || matches!(c, '.' | '-' | '_' | '+' | '/' | '°' | '×'));
    let words = text.split(sign).map(|word| word.trim_end_matches('.').to_lowercase().replace('×', "x"));
    words.filter(|word| !word.is_empty()).collect()
}

/// Whether whole markings make up a piece, one after the other.
fn made_of(piece: &[String], marks: &[Vec<String>]) -> bool {
    piece.is_empty()
        || marks.iter().any(|mark| {
            !mark.is_empty() && piece.strip_prefix(&mark[..]).is_some_and(|rest| made_of(rest, marks))
        })
}

/// Whether a piece stands in a marking that says more.
fn lies_in(piece: &[String], marks: &[Vec<String>]) -> bool {
    let tells = piece.iter().any(|word| !TELL_NOTHING.contains(&word.as_str()));
    tells && marks.iter().any(|mark| mark.windows(piece.len()).any(|part| part == piece))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{SourceFile, read};

    fn sheet() -> Sheet {
        let head = r#"
[sheet]
id         = "tern-courier"
title      = "Tern Courier"
currency   = "EUR"
yearly-use = { mean = "12000 km/a", variation = 0.5, source = "invented" }
refit      = 0.9

[variant.short]
title = "Short"

[variant.long]
title = "Long"

[system.all]
title = "All"

[places.ends]
front = "front"
rear  = "rear"

[component.spring]
title       = "Spring"
system      = "all"
places      = "ends"
criticality = "comfort"
ages-by     = { years = 1.0 }

[component.slave]
title       = "Slave cylinder"
system      = "all"
criticality = "stranded"
ages-by     = { years = 1.0 }

[station.below]
title = "Below"

[check.slave-look]
component = "slave"
title     = "Look"
station   = "below"
states    = [{ id = "dry", short = "dry", says = "Dry", means = "sound" }]
"#;
        let part = |id: &str, component: &str, rest: &str, marks: &str| {
            format!(
                "[part.{id}]\ntitle = \"{id}\"\nprice = \"1\"\nsource = \"invented\"\ncomponent = \"{component}\"\n{rest}\nmarks = [{marks}]\n"
            )
        };
        let text = [
            head.to_owned(),
            part("S-1", "spring", "places = [\"front\"]", "\"K1\", \"one white dot\""),
            part("S-2", "spring", "places = [\"rear\"]", "\"K2\", \"two white dots\""),
            part("S-3", "spring", "places = [\"rear\"]", "\"H: rear, not a rate\""),
            part("C-1", "slave", "only = [\"short\"]", "\"19.05\", \"one groove\""),
            part("C-2", "slave", "only = [\"short\"]\nreplaces = \"C-1\"", "\"19.05\", \"two grooves\""),
            part("C-3", "slave", "only = [\"long\"]", "\"20.64 cast into the body\""),
            "[part.B-1]\ntitle = \"Bulb\"\nprice = \"1\"\nsource = \"invented\"\n".to_owned(),
        ]
        .concat();
        read(&[SourceFile::new("sheet.toml", text)]).unwrap_or_else(|problems| panic!("{problems}"))
    }

    fn told(reads: &str, on: &str) -> String {
        let sheet = sheet();
        let on = (!on.is_empty()).then(|| ComponentId::from(on));
        match sheet.marked(reads, on.as_ref()) {
            Marked::One(part) => part.to_string(),
            Marked::Several(parts) => parts.iter().map(|part| part.as_str()).collect::<Vec<_>>().join(" or "),
            Marked::Perhaps(part, mark) => format!("{part} by {mark}?"),
            Marked::Unknown => "unknown".into(),
        }
    }

    #[test]
    fn a_marking_tells_its_part_however_it_is_written() {
        for (reads, on, part) in [
            ("K1", "spring", "S-1"),
            ("k1", "", "S-1"),
            ("Two white dots", "spring", "S-2"),
            ("K2, two white dots", "spring", "S-2"),
            ("K2 two white dots", "spring", "S-2"),
            ("H", "spring", "S-3"),
            ("20.64", "slave", "C-3"),
            ("20.64 cast", "slave", "C-3"),
            ("19.05; one groove", "slave", "C-1"),
            ("C-2", "slave", "C-2"),
            ("b-1", "", "B-1"),
            ("two white dots", "slave", "S-2"),
            ("19.05", "slave", "C-1 or C-2"),
            ("K11", "spring", "S-1 by K1?"),
            ("two wite dots", "spring", "S-2 by two white dots?"),
            ("20.46", "slave", "C-3 by 20.64 cast into the body?"),
            ("ZZ-9000-X", "spring", "unknown"),
            ("the", "spring", "unknown"),
            (" , ", "spring", "unknown"),
            // What is on two different parts is on neither.
            ("K1, two white dots", "spring", "S-2 by two white dots?"),
        ] {
            assert_eq!(told(reads, on), part, "{reads} on {on}");
        }
    }

    #[test]
    fn a_part_fits_where_the_sheet_says_it_is_made_for() {
        let sheet = sheet();
        let fits = |part: &str, component: &str, place: &str, variant: Option<&str>| {
            let variant = variant.map(VariantId::from);
            sheet.fits(&sheet.parts[part], &component.into(), &place.into(), variant.as_ref())
        };
        assert_eq!(fits("S-1", "spring", "front", None), Ok(()));
        assert_eq!(fits("S-1", "spring", "rear", None), Err(Misfit::Places(&["front".into()])));
        assert_eq!(fits("S-1", "slave", "single", None), Err(Misfit::Component(&"spring".into())));
        assert_eq!(fits("C-1", "slave", "single", Some("short")), Ok(()));
        assert_eq!(fits("C-1", "slave", "single", Some("long")), Err(Misfit::Variants(&["short".into()])));
        assert_eq!(fits("B-1", "spring", "rear", Some("long")), Ok(()), "nothing is known against it");
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

        #[test]
        fn no_text_is_too_odd(reads in ".{0,60}") {
            let sheet = sheet();
            for on in [None, Some(ComponentId::from("spring"))] {
                sheet.marked(&reads, on.as_ref());
            }
        }
    }
}
