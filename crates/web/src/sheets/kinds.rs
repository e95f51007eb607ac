//! What the kinds of things on a sheet are called, and the keys under which something is said of them.

/// A kind of thing.
pub struct Kind {
    /// As the sheet's files write it.
    pub id: &'static str,
    pub one: &'static str,
    pub many: &'static str,
    /// The keys that tell most of such a thing in a line of a list.
    pub gist: &'static [&'static str],
}

/// All kinds of things, in the order in which one looks for them.
pub const KINDS: [Kind; 18] = [
    kind("system", "System", "Systems", &[]),
    kind("component", "Component", "Components", &["only", "places", "criticality", "life"]),
    kind("check", "Check", "Checks", &["component", "only", "limit", "interval"]),
    kind("operation", "Operation", "Operations", &["only", "hours", "needs"]),
    kind("access", "Access step", "Access steps", &["hours", "needs"]),
    kind("obligation", "Obligation", "Obligations", &["value", "after", "guards"]),
    kind("fastener", "Fastener", "Fasteners", &["only", "thread", "stages", "sequence", "reuse"]),
    kind("fluid", "Fluid", "Fluids", &["only", "specification", "grade", "capacity"]),
    kind("part", "Part", "Parts", &["only", "marks", "price", "replaces"]),
    kind("instrument", "Instrument", "Instruments", &["resolution", "calibration"]),
    kind("while-apart", "While it is apart", "While it is apart", &["apart"]),
    kind("question", "Question", "Questions", &["raised-by"]),
    kind("explanation", "Explanation", "Explanations", &["question", "says"]),
    kind("consequence", "Consequence", "Consequences", &["says"]),
    kind("look-alike", "Look-alike", "Look-alikes", &["could-be"]),
    kind("glossary", "Word for owners", "Words for owners", &["says"]),
    kind("station", "Station of the walk", "Stations of the walk", &["places"]),
    kind("variant", "Variant", "Variants", &["model-years"]),
];

const fn kind(
    id: &'static str,
    one: &'static str,
    many: &'static str,
    gist: &'static [&'static str],
) -> Kind {
    Kind { id, one, many, gist }
}

/// A kind by its id.
pub fn of(id: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.id == id)
}

/// What stands before what is said under a key of such a thing.
pub fn label(kind: &str, key: &'static str) -> &'static str {
    match (kind, key) {
        ("explanation", "component") => "As likely as the failing of",
        ("consequence", "says") => "In the owner’s words",
        ("consequence", "then") => "Takes along",
        ("look-alike", "checks") => "At the checks",
        ("obligation", "after") => "Due",
        ("part", "places") => "Made for",
        (_, "after") => "After",
        (_, "ages-by") => "Ages by",
        (_, "also") => "Also called",
        (_, "alternatives") => "May be fitted instead",
        (_, "apart") => "While this is off",
        (_, "calibration") => "Calibrated to",
        (_, "capacity") => "Capacity",
        (_, "caution") => "Take care",
        (_, "component") => "On",
        (_, "costs") => "Costs, beyond the repair",
        (_, "could-be") => "Could be",
        (_, "count") => "How many",
        (_, "criticality") => "At stake",
        (_, "currency") => "Prices in",
        (_, "derived") => "Worked out",
        (_, "differs") => "May differ",
        (_, "drain") => "Drained at",
        (_, "each") => "Done",
        (_, "fails-as") => "When it fails",
        (_, "fill") => "Filled at",
        (_, "fluids") => "Fluids",
        (_, "grade") => "Grade",
        (_, "grades") => "Grades by climate",
        (_, "guards") => "Guards",
        (_, "hours") => "Hours",
        (_, "how") => "How",
        (_, "id") => "Named",
        (_, "interval") => "Due",
        (_, "life") => "Lasts",
        (_, "limit") => "Limit",
        (_, "marks") => "Written on it",
        (_, "minutes") => "Minutes",
        (_, "model-years") => "Model years",
        (_, "needs") => "First off",
        (_, "new") => "New",
        (_, "none") => "Likelihood of something else",
        (_, "normal") => "Normal although it looks odd",
        (_, "obliges") => "Obliges to",
        (_, "offer") => "Worth doing then",
        (_, "only") => "Only on",
        (_, "order") => "Turn at its station",
        (_, "otherwise") => "When nothing explains it",
        (_, "parts") => "Parts",
        (_, "photos") => "Photos",
        (_, "places") => "Sits at",
        (_, "price") => "Price",
        (_, "prior") => "How likely beforehand",
        (_, "put-right") => "Put right by",
        (_, "question") => "Answers",
        (_, "raised-by") => "Raised by",
        (_, "reading") => "Read",
        (_, "refit") => "To put a step back",
        (_, "renews") => "Afterwards",
        (_, "repeatability") => "Repeats within",
        (_, "replaces") => "Replaces",
        (_, "resolution") => "Shows steps of",
        (_, "reuse") => "Reuse",
        (_, "says") => "Says",
        (_, "sequence") => "In which order",
        (_, "settled") => "May be settled",
        (_, "shelf-age") => "Keeps on the shelf",
        (_, "shows") => "One would find",
        (_, "source") => "Source",
        (_, "specification") => "Specification",
        (_, "stages") => "Tightened",
        (_, "states") => "What may be seen",
        (_, "station") => "On the walk at",
        (_, "steps") => "Steps",
        (_, "system") => "System",
        (_, "then") => "Then",
        (_, "thread") => "Thread",
        (_, "threads") => "On the thread",
        (_, "title") => "Called",
        (_, "together") => "Renewed together with",
        (_, "told-apart") => "How to tell",
        (_, "tools") => "Bring",
        (_, "trend") => "Wears at most",
        (_, "value") => "To be found",
        (_, "warns") => "Announces itself by",
        (_, "when") => "When",
        (_, "with") => "Best done together with",
        (_, "work-hours") => "Hours hold",
        (_, "yearly-use") => "Usually covers",
        (_, "zero-set") => "Before use",
        (_, key) => key,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use sheet::SourceFile;

    #[test]
    fn whatever_the_demonstration_says_has_plain_words_before_it() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sheets/quarrow-lanner");
        let files: Vec<SourceFile> = sheet::files_in(folder.as_ref()).unwrap();
        for thing in sheet::described(&sheet::read(&files).unwrap()) {
            assert!(thing.kind == "sheet" || super::of(thing.kind).is_some(), "{}", thing.kind);
            for fact in thing.facts {
                assert_ne!(super::label(thing.kind, fact.key), fact.key, "{} {}", thing.kind, thing.id);
            }
        }
    }
}
