//! Sheets with one fault each, and what is said of it.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use sheet::{Problems, SourceFile, read};

/// A small sheet that is right; each case adds a file to it. The car is invented.
const RIGHT: &str = r#"
[sheet]
id         = "small"
title      = "Small"
currency   = "EUR"
yearly-use = { mean = "10000 km/a", variation = 0.5, source = "invented" }
refit      = 0.9

[variant.one]
title = "One"

[system.brakes]
title = "Brakes"

[places.sides]
"left"  = "left"
"right" = "right"

[station.corner]
title  = "Corner"
places = ["left"]

[station.other-corner]
title  = "Other corner"
places = ["right"]

[component.disc]
title       = "Disc"
system      = "brakes"
places      = "sides"
criticality = "safety"
ages-by     = { km = 1.0 }
fails-as    = "fade"

[component.belt]
title       = "Belt"
system      = "brakes"
criticality = "comfort"
ages-by     = { years = 1.0 }

[check.disc-thickness]
component = "disc"
title     = "Thickness"
reading   = { unit = "mm", instrument = "caliper" }
limit     = { min = "20.0 mm", source = "invented" }

[check.belt-note]
component = "belt"
title     = "Note of the span"
station   = "corner"
reading   = { unit = "Hz", instrument = "microphone" }

[check.belt-look]
component = "belt"
title     = "Ribs"
station   = "corner"
states    = [{ id = "fine", short = "fine", says = "Fine", means = "sound" }]

[instrument.caliper]
title      = "Caliper"
resolution = "0.01 mm"
source     = "invented"

[instrument.microphone]
title      = "Microphone"
resolution = "1 Hz"
source     = "invented"

[fluid.oil]
title         = "Oil"
specification = "any"
capacity      = { filled = "4.8 L", source = "invented" }

[part.A-1]
title  = "Disc"
price  = "10"
source = "invented"

[access.wheels-off]
title = "Wheels off"
hours = 0.3

[operation.renew-disc]
title     = "Renew the disc"
component = "disc"
renews    = true
needs     = ["wheels-off"]
hours     = 0.5

[obligation.nuts-torqued]
title  = "Nuts torqued"
source = "common practice"

[consequence.fade]
title  = "The brake fades"
says   = "The car may not stop."
costs  = "0"
source = "invented"
"#;

fn problems(added: &str) -> Problems {
    let right = SourceFile::new("a-right.toml", RIGHT);
    read(&[right, SourceFile::new("brakes.toml", added)]).expect_err("something is wrong")
}

/// One fault, told in one problem.
fn one(added: &str) -> String {
    let problems = problems(added);
    assert_eq!(problems.count(), 1, "{problems}");
    problems.into_iter().map(|problem| problem.to_string()).collect()
}

/// Each case is a test of its own, named after what is wrong.
macro_rules! broken {
    ($($name:ident: $added:expr;)*) => {$(
        #[test]
        fn $name() {
            let added = $added;
            insta::with_settings!({ description => added.trim(), omit_expression => true }, {
                insta::assert_snapshot!(one(added));
            });
        }
    )*};
}

/// A second check of the disc with these lines.
macro_rules! check {
    ($lines:literal) => {
        concat!("[check.again]\ncomponent = \"disc\"\ntitle     = \"Again\"\n", $lines, "\n")
    };
}

/// A state that comes after a sound one, of a belt whose failing nobody describes.
macro_rules! state {
    ($rest:literal) => {
        concat!(
            "[check.again]\ncomponent = \"belt\"\ntitle     = \"Again\"\nstation   = \"corner\"\nstates    = [\n",
            "  { id = \"fine\", short = \"fine\", says = \"Fine\", means = \"sound\" },\n",
            "  { id = \"worn\", short = \"worn\", says = \"Worn\", ",
            $rest,
            " },\n]\n"
        )
    };
}

/// A tension of the belt with these inputs.
macro_rules! tension {
    ($inputs:literal) => {
        concat!(
            "[check.tension]\ncomponent = \"belt\"\ntitle     = \"Tension\"\n",
            "derived   = { formula = \"belt-span-tension\", unit = \"N\", inputs = ",
            $inputs,
            " }\n"
        )
    };
}

broken! {
    // the writing
    text_without_quotes: "[system.wheels]\ntitle = Wheels\n";
    a_value_is_missing: "[system.wheels]\ntitle =\n";
    a_header_is_not_closed: "[system.wheels\ntitle = \"Wheels\"\n";
    a_table_twice_in_one_file:
        "[system.wheels]\ntitle = \"Wheels\"\n\n[system.lamps]\ntitle = \"Lamps\"\n\n[system.wheels]\ntitle = \"Wheels\"\n";
    a_key_twice: "[system.wheels]\ntitle = \"Wheels\"\ntitle = \"Wheels again\"\n";

    // keys and types
    a_key_misspelt: "[system.wheels]\ntitle = \"Wheels\"\n\n[access.wheel-on]\ntitle = \"On\"\nhuors = 1\nhours = 1\n";
    a_key_that_is_far_from_any: "[system.wheels]\ntitle = \"Wheels\"\nwarranty = 3\n";
    a_kind_of_table_misspelt: "[chek.again]\n";
    a_key_missing: "[system.wheels]\n";
    text_where_a_number_belongs: "[access.lift]\ntitle = \"Lift\"\nhours = \"0.1\"\n";
    a_number_where_a_measure_belongs: check!("interval  = { km = 20000, source = \"invented\" }");
    blank_text: "[system.wheels]\ntitle = \"  \"\n";
    a_table_without_id: "[[part]]\nid = \"A-2\"\n";
    an_id_with_a_space: "[system.\"my wheels\"]\ntitle = \"Wheels\"\n";

    // measures and money
    a_unit_that_is_not_known: check!("reading   = { unit = \"furlong\", instrument = \"caliper\" }");
    a_measure_without_unit: check!("interval  = { km = \"20000\", source = \"invented\" }");
    a_limit_in_another_unit:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nlimit     = { min = \"23.0 Nm\", source = \"invented\" }");
    an_instrument_for_something_else: check!("reading   = { unit = \"mm\", instrument = \"microphone\" }");
    a_fluid_by_length:
        "[operation.fill]\ntitle = \"Fill\"\ncomponent = \"disc\"\nhours = 0.2\nfluids = [{ fluid = \"oil\", quantity = \"4.8 mm\" }]\n";
    money_with_a_unit: "[part.A-2]\ntitle = \"Disc\"\nprice = \"84.50 EUR\"\nsource = \"invented\"\n";

    // numbers
    hours_below_zero: "[access.lift]\ntitle = \"Lift\"\nhours = -0.1\n";
    a_probability_above_one:
        "[consequence.slide]\ntitle = \"Slides\"\nsays = \"It slides.\"\ncosts = \"0\"\nthen = [{ to = \"fade\", probability = 1.5 }]\nsource = \"invented\"\n";
    a_life_without_spread:
        "[component.pad]\ntitle = \"Pad\"\nsystem = \"brakes\"\ncriticality = \"safety\"\nages-by = { km = 1.0 }\nlife = { median = \"40000 km\", spread = 1.0, source = \"invented\" }\n";
    shares_that_do_not_make_one:
        "[component.pad]\ntitle = \"Pad\"\nsystem = \"brakes\"\ncriticality = \"safety\"\nages-by = { km = 0.7, years = 0.7 }\n";

    // sources
    a_limit_without_source:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nlimit     = { min = \"23.0 mm\" }");

    // ids
    a_part_that_is_not_there:
        "[operation.change]\ntitle = \"Change\"\ncomponent = \"dsic\"\nhours = 0.2\n";
    nothing_near:
        "[operation.change]\ntitle = \"Change\"\ncomponent = \"disc\"\nhours = 0.2\nneeds = [\"gearbox-out\"]\n";
    the_sheet_itself_twice: "[sheet]\ntitle = \"Small again\"\n";
    an_id_in_two_files: "[access.wheels-off]\ntitle = \"Wheels off\"\nhours = 0.4\n";
    steps_in_a_ring:
        "[access.a]\ntitle = \"A\"\nhours = 1\nneeds = [\"b\"]\n\n[access.b]\ntitle = \"B\"\nhours = 1\nneeds = [\"wheels-off\", \"c\"]\n\n[access.c]\ntitle = \"C\"\nhours = 1\nneeds = [\"a\"]\n";
    numbers_that_replace_each_other:
        "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\nreplaces = \"A-3\"\nsource = \"invented\"\n\n[part.A-3]\ntitle = \"Disc\"\nprice = \"9\"\nreplaces = \"A-2\"\nsource = \"invented\"\n";
    a_number_replaced_twice:
        "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\nreplaces = \"A-1\"\nsource = \"invented\"\n\n[part.A-3]\ntitle = \"Disc\"\nprice = \"9\"\nreplaces = \"A-1\"\nsource = \"invented\"\n";

    // checks
    a_check_that_says_nothing: check!("");
    a_check_of_two_kinds:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\ninterval  = { years = \"2 years\", source = \"invented\" }");
    limits_the_wrong_way_round:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nlimit     = { min = \"25.0 mm\", max = \"23.0 mm\", source = \"invented\" }");
    a_limit_without_bounds:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nlimit     = { source = \"invented\" }");
    a_new_value_past_its_limit:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nnew       = \"22.0 mm\"\nlimit     = { max = \"20.0 mm\", source = \"invented\" }");
    settled_past_the_limit:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nlimit     = { min = \"20.0 mm\", source = \"invented\" }\nsettled   = { min = \"19.0 mm\", why = \"Bedded in.\" }");
    a_limit_on_states:
        "[check.again]\ncomponent = \"belt\"\ntitle = \"Again\"\nstation = \"corner\"\nstates = [{ id = \"fine\", short = \"fine\", says = \"Fine\", means = \"sound\" }]\nlimit = { min = \"20.0 mm\", source = \"invented\" }\n";
    a_look_without_a_station:
        "[check.again]\ncomponent = \"belt\"\ntitle = \"Again\"\nstates = [{ id = \"fine\", short = \"fine\", says = \"Fine\", means = \"sound\" }]\n";

    // states
    a_verdict_that_no_state_can_mean: state!("means = \"too-close\"");
    settled_without_why: state!("means = \"settled\"");
    before_leaving_without_consequence: state!("means = \"before-leaving\"");
    an_after_that_is_not_for_this_verdict: state!("means = \"plan\", after = { km = \"500 km\" }");
    a_state_twice: state!("means = \"plan\" },\n  { id = \"worn\", short = \"worn\", says = \"Worn\", means = \"plan\"");

    // places
    a_place_at_two_stations: "[station.boot]\ntitle = \"Boot\"\nplaces = [\"left\"]\n";
    a_place_with_two_titles: "[places.lamps]\n\"left\" = \"lamp on the left\"\n";

    // derived readings
    a_formula_that_is_not_there:
        "[check.tension]\ncomponent = \"belt\"\ntitle = \"Tension\"\nderived = { formula = \"belt-span-tensoin\", unit = \"N\", inputs = {} }\n";
    an_input_missing:
        tension!("{ span = { value = \"172 mm\" }, frequency = { check = \"belt-note\" } }");
    an_input_of_the_wrong_kind:
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 N\" }, frequency = { check = \"belt-note\" } }");
    an_input_that_the_formula_does_not_take:
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, spam = { value = \"172 mm\" }, span = { value = \"172 mm\" }, frequency = { check = \"belt-note\" } }");
    a_reading_of_the_wrong_kind_as_input:
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"disc-thickness\", place = \"left\" } }");
    a_look_as_input:
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"belt-look\" } }");
    an_input_from_a_place_that_the_component_does_not_have:
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"belt-note\", place = \"left\" } }");
    a_result_in_another_unit:
        "[check.tension]\ncomponent = \"belt\"\ntitle = \"Tension\"\nderived = { formula = \"belt-span-tension\", unit = \"bar\", inputs = { mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"belt-note\" } } }\n";
    readings_made_from_each_other:
        concat!(
            tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"note\" } }"),
            "\n[check.note]\ncomponent = \"belt\"\ntitle     = \"Note\"\n",
            "derived   = { formula = \"belt-span-frequency\", unit = \"Hz\", inputs = { mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, tension = { check = \"tension\" } } }\n"
        );

    // instruments
    a_calibration_without_its_factor:
        "[instrument.rule]\ntitle = \"Rule\"\nresolution = \"0.5 mm\"\ncalibration = { expanded = \"0.8 mm\" }\nsource = \"invented\"\n";
    a_repeatability_of_another_kind:
        "[instrument.rule]\ntitle = \"Rule\"\nresolution = \"0.5 mm\"\nrepeatability = \"0.6 N\"\nsource = \"invented\"\n";
}

#[test]
fn a_sheet_without_its_table_and_without_checks() {
    let files = [SourceFile::new("brakes.toml", "[system.brakes]\ntitle = \"Brakes\"\n")];
    insta::assert_snapshot!(read(&files).unwrap_err().to_string());
}

#[test]
fn a_currency_in_words() {
    let files = [SourceFile::new("a-right.toml", RIGHT.replace("\"EUR\"", "\"Euro\""))];
    insta::assert_snapshot!(read(&files).unwrap_err().to_string());
}

#[test]
fn no_files_at_all() {
    insta::assert_snapshot!(read(&[]).unwrap_err().to_string());
}

/// Twelve different faults over two files; none hides another.
const TWELVE: &str = r#"[component.pad]
title       = "Pad"
system      = "brake"
criticality = "safty"
ages-by     = { km = 0.7, years = 0.7 }
life        = { median = "40000 km", spread = 0.9 }

[check.pad-thickness]
component = "pad"
titel     = "Lining"
title     = "Lining"
station   = "corner"
reading   = { unit = "mm", instrument = "caliper", repeats = "8" }
new       = "2.0 mm"
limit     = { min = "3.0 Nm", source = "invented" }

[access.wheels-off]
title = "Wheels off"
hours = -1

[part.A-2]
title    = Disc
price    = "84,50"
source   = "invented"
"#;

#[test]
fn twelve_faults_are_twelve_problems() {
    let problems = problems(TWELVE);
    assert_eq!(problems.count(), 12, "{problems}");
    insta::with_settings!({ description => TWELVE, omit_expression => true }, {
        insta::assert_snapshot!(problems.to_string());
    });
}

/// The header that is not closed hides a step, and puts its keys where they do not belong; neither is held against the
/// writer. What is wrong beside it is told.
#[test]
fn a_syntax_error_holds_back_what_it_may_have_caused() {
    let added = "[access.out\ntitle = \"Out\"\nhours = 0.2\n\n[system.lamps]\n\n[system.wheels]\ntitle = 3\n";
    let uses = "[access.in]\ntitle = \"In\"\nhours = 0.2\nneeds = [\"out\"]\n\n[system.seats]\n";
    let files = [("a-right.toml", RIGHT), ("brakes.toml", added), ("uses.toml", uses)];
    let problems = read(&files.map(|(name, text)| SourceFile::new(name, text))).unwrap_err();
    let found: Vec<_> =
        problems.iter().map(|problem| format!("{}:{}", problem.at.file(), problem.at.line())).collect();
    assert_eq!(found, ["brakes.toml:1", "brakes.toml:8", "uses.toml:6"], "{problems}");
}

/// A component with a fault of its own is still there for its checks, operations and readings.
#[test]
fn a_mistake_is_told_once() {
    let right = RIGHT.replace("criticality = \"safety\"", "criticality = \"saftey\"");
    let problems = read(&[SourceFile::new("a-right.toml", right)]).unwrap_err();
    assert_eq!(problems.count(), 1, "{problems}");
}

#[test]
fn problems_serialise_for_programs() {
    let problems = problems("[access.wheels-off]\ntitle = \"Räder ab\"\nhours = -1\n");
    insta::assert_snapshot!(serde_json::to_string_pretty(&problems).unwrap());
}
