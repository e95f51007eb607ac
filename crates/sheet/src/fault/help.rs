//! What would be right, for each thing that can be wrong with a data sheet.

use super::{SheetFault, Side};
use crate::{diagnostic::Fault, model::Between, table::TableFault};
use quantity::Kind;

pub(super) fn help(fault: &SheetFault) -> Option<String> {
    Some(match fault {
        SheetFault::Table(TableFault::MissingKey { key, .. }) => match example(key) {
            Some(example) => format!("add it, for example {key} = {example}"),
            None => format!("add `{key}`"),
        },
        SheetFault::Table(fault) => return fault.help(),
        SheetFault::NoFiles => "write the sheet as files that end in .toml".into(),
        SheetFault::NoSheet => "add [sheet] with id, title, currency, yearly-use and refit".into(),
        SheetFault::NoChecks => "add a table such as [check.front-disc-thickness]".into(),
        SheetFault::NoSource { .. } => "say where it comes from, such as source = \"maker's manual\"".into(),
        SheetFault::Currency { .. } => "write three capitals, such as \"EUR\"".into(),
        SheetFault::OverFromRoot { .. } => "write its path from here, such as \"../quarrow-lanner\"".into(),
        SheetFault::NothingBelow { .. } => "write the path of its folder from here".into(),
        SheetFault::LayersInARing { .. } => "let one of them lie over nothing".into(),
        SheetFault::StrayFile => "take it out, or lay something over its folder".into(),
        SheetFault::NothingToDrop { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
        SheetFault::NothingToDrop { .. } => {
            "write a thing such as \"check.belt-age\", or one key of it".into()
        }
        SheetFault::SingleIsTaken => "a component without `places` has it by itself".into(),
        SheetFault::TwoTitles { .. } => "call a place the same wherever it is listed".into(),
        SheetFault::TwoStations { .. } => {
            "leave it at one station; a check may name another with `station`".into()
        }
        SheetFault::NoStation { place, .. } => {
            format!("add `station`, or list `{place}` at a station")
        }
        SheetFault::NotAPlace { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
        SheetFault::NotAPlace { places, .. } => format!("write {}", one_of(places)),
        SheetFault::Shares { .. } => "let the shares make 1, such as { km = 0.7, years = 0.3 }".into(),
        SheetFault::NoKind { .. } => "add one of `reading`, `derived`, `states`, `interval`".into(),
        SheetFault::TwoKinds { .. } => "make two checks of it".into(),
        SheetFault::NotWith { .. } => "leave it out".into(),
        SheetFault::Neither { keys, .. } => format!("add {}", one_of(keys)),
        SheetFault::Both { .. } => "leave one of them out".into(),
        SheetFault::ReadingUnit { wanted, .. } => write_a(wanted.kind()),
        SheetFault::Crossed { .. } => "turn them round, or leave one out".into(),
        SheetFault::NewPastLimit { side: Side::Min, .. } => "is the limit a `max`?".into(),
        SheetFault::NewPastLimit { side: Side::Max, .. } => "is the limit a `min`?".into(),
        SheetFault::SettledPastLimit { .. } => "what is past the limit cannot be settled".into(),
        SheetFault::InstrumentUnit { wanted, .. } => {
            format!("name an instrument that measures {}", wanted.kind().phrase())
        }
        SheetFault::StateTwice { .. } => "give it another id".into(),
        SheetFault::NoWhy { .. } => "add a `why` that the owner can read".into(),
        SheetFault::NoConsequence { component, .. } => {
            format!("add a `why`, or say how `{component}` fails with `fails-as`")
        }
        SheetFault::NoFormula { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
        SheetFault::NoFormula { .. } => "see the bench for the formulas there are".into(),
        SheetFault::NoInput { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
        SheetFault::NoInput { known, .. } => format!("write {}", one_of(known)),
        SheetFault::InputMissing { input, example, .. } => {
            format!("add {input} = {{ value = \"{example}\" }}, or {{ check = \"…\" }}")
        }
        SheetFault::InputKind { wanted, .. } => write_a(wanted.kind()),
        SheetFault::InputRange { .. } => "see whether number and unit are right".into(),
        SheetFault::InputList { .. } => "use this formula on the bench instead".into(),
        SheetFault::InputWords { example, .. } => format!("write {{ value = \"{example}\" }}"),
        SheetFault::InputNotNumber { .. } => "name a check that has a `reading` or is `derived`".into(),
        SheetFault::InputPlace { places, .. } => format!("add place = …: {}", one_of(places)),
        SheetFault::NoOutput { gives, .. } => format!("it gives {}", gives.join(", ")),
        SheetFault::ManyOutputs { gives, .. } => format!("add gives = …: {}", one_of(gives)),
        SheetFault::Cycle { .. } => "take one of these links out".into(),
        SheetFault::ReplacedTwice { .. } => "only one part can be its successor".into(),
        SheetFault::NoCarThen { .. } => "see `model-years` of the variants".into(),
        SheetFault::YearsCrossed { .. } | SheetFault::FromTo { .. } => {
            "turn them round, or leave one out".into()
        }
        SheetFault::NothingBetween { between: Between::All, .. } => {
            "give the component several `places`".into()
        }
        SheetFault::NothingBetween { between, .. } => {
            format!("give the component places such as {}", between.example())
        }
        SheetFault::PhotoElsewhere { .. } => "write its path from there, such as \"photos/lip.jpg\"".into(),
        SheetFault::NotAState { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
        SheetFault::NotAState { known, .. } if known.is_empty() => "the check has no `states`".into(),
        SheetFault::NotAState { known, .. } => format!("write {}", one_of(known)),
        SheetFault::PlacesOfWhat { .. } => "add `component`, whose places they are".into(),
        SheetFault::OnlyWith { with, .. } => format!("add `{with}`, or leave it out"),
        SheetFault::InsteadOfItself { .. } => "name another part".into(),
        SheetFault::DryBelowFilled { .. } => "are the two exchanged?".into(),
        SheetFault::NothingExplains { question } => {
            format!("add a table such as [explanation.worn] with question = \"{question}\"")
        }
        SheetFault::NoPrior { .. } => "add `prior`, or give the component a `life`".into(),
        SheetFault::NoOtherwise { check, .. } => {
            format!("add otherwise = [{{ check = \"{check}\", from = …, to = … }}] to the question")
        }
        SheetFault::Likelihoods { all: true, .. } => "let them make 1".into(),
        SheetFault::Likelihoods { all: false, .. } => "leave something for the states left out".into(),
        SheetFault::Apart { .. } => "see `only` and `model-years` of both".into(),
        SheetFault::NothingToCheck { .. } => "add a check, or leave the variant out".into(),
        SheetFault::Elsewhere { .. } => "make one for each variant, and limit each with `only`".into(),
        SheetFault::NoOperation { component, .. } => {
            format!("add an operation with component = \"{component}\"")
        }
        SheetFault::LifeBelowInterval { .. } => "is one of the two mistyped?".into(),
        SheetFault::StatesOutOfOrder { .. } => "write the states best first".into(),
        SheetFault::NoPhoto { .. } => "put the file into the folder of the sheet, or leave it out".into(),
    })
}

fn write_a(kind: Kind) -> String {
    format!("write {}, such as \"{}\"", kind.phrase(), kind.example())
}

fn one_of(names: &[impl std::fmt::Display]) -> String {
    let mut shown: Vec<_> = names.iter().take(20).map(|name| format!("`{name}`")).collect();
    match shown.pop() {
        Some(last) if !shown.is_empty() => format!("{} or {last}", shown.join(", ")),
        Some(only) => only,
        None => String::new(),
    }
}

/// How a key may be written.
fn example(key: &str) -> Option<&'static str> {
    Some(match key {
        "id" => "\"tern-courier\"",
        "title" => "\"Brakes\"",
        "currency" => "\"EUR\"",
        "yearly-use" => "{ mean = \"12000 km/a\", variation = 0.5, source = \"own cars\" }",
        "mean" => "\"12000 km/a\"",
        "variation" => "0.5",
        "refit" => "0.9",
        "system" => "\"brakes\"",
        "places" => "[\"front.left\"]",
        "criticality" => "\"safety\"",
        "ages-by" => "{ km = 1.0 }",
        "median" => "\"90000 km\"",
        "spread" => "1.5",
        "component" => "\"front-disc\"",
        "unit" => "\"mm\"",
        "instrument" => "\"caliper\"",
        "value" => "\"22.0 mm\"",
        "why" => "\"Dust sticks where a seal breathes.\"",
        "short" => "\"dry\"",
        "says" => "\"Dry\"",
        "means" => "\"sound\"",
        "formula" => "\"belt-span-tension\"",
        "inputs" => "{ span = { value = \"172 mm\" } }",
        "resolution" => "\"0.01 mm\"",
        "k" => "2",
        "specification" => "\"maker's approval, see the handbook\"",
        "capacity" => "{ filled = \"4.8 L\", source = \"handbook\" }",
        "filled" => "\"4.8 L\"",
        "price" => "\"14.50\"",
        "hours" => "0.3",
        "quantity" => "2",
        "costs" => "\"0\"",
        "to" => "\"disc-breaks\"",
        "probability" => "0.1",
        "reuse" => "\"never\"",
        "reuse-if" => "\"the shank is below 98.5 mm\"",
        "torque" => "\"65 N.m\"",
        "do" => "\"Clean the hub face.\"",
        "at" => "\"plug at the rear of the pan\"",
        "file" => "\"photos/lip.jpg\"",
        "shows" => "[{ check = \"spring-mark\", states = { wrong = \"always\" } }]",
        "between" => "\"sides\"",
        "per" => "\"10000 km\"",
        "grade" => "\"5W-40\"",
        "count" => "4",
        "apart" => "[\"gearbox-out\"]",
        "offer" => "[{ operation = \"renew-clutch\", why = \"The labour is spent.\" }]",
        "operation" => "\"renew-front-discs\"",
        "question" => "\"sits-crooked\"",
        "raised-by" => "[{ check = \"ride-height\" }]",
        "could-be" => "[\"grease\", \"fluid\"]",
        "told-apart" => "\"Fluid spreads in paper, grease does not.\"",
        "check" => "\"ride-height\"",
        _ => return None,
    })
}
