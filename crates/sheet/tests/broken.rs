//! Sheets with one fault each, and what is said of it.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use sheet::{Problems, SourceFile, check, read};

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

/// One fault, told in one problem, for which the sheet cannot be used.
fn one(added: &str) -> String {
    told_once(problems(added))
}

/// One thing that does not come together: told when the sheet is checked, no hindrance to using it.
fn one_doubt(added: &str) -> String {
    let files = [SourceFile::new("a-right.toml", RIGHT), SourceFile::new("brakes.toml", added)];
    assert!(read(&files).is_ok());
    told_once(check(&files).expect_err("something does not come together"))
}

fn told_once(problems: Problems) -> String {
    assert_eq!(problems.count(), 1, "{problems}");
    problems.into_iter().map(|problem| problem.to_string()).collect()
}

/// Each case is a test of its own, named after what is wrong.
macro_rules! broken {
    ($($name:ident: $added:expr;)*) => { broken!(one: $($name: $added;)*); };
    ($told:ident: $($name:ident: $added:expr;)*) => {$(
        #[test]
        fn $name() {
            let added = $added;
            insta::with_settings!({ description => added.trim(), omit_expression => true }, {
                insta::assert_snapshot!($told(added));
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

/// A bolt with these lines.
macro_rules! bolt {
    ($lines:literal) => {
        concat!("[fastener.bolt]\ntitle = \"Bolt\"\nsource = \"invented\"\n", $lines, "\n")
    };
}

/// A question about the ribs of the belt and one explanation, with these signs.
macro_rules! explanation {
    ($signs:literal) => {
        concat!(
            "[question.noise]\ntitle = \"Why?\"\nraised-by = [{ check = \"belt-look\" }]\nsource = \"invented\"\n\n",
            "[explanation.worn]\nquestion = \"noise\"\ntitle = \"Worn\"\nprior = 0.5\nsource = \"invented\"\nshows = [",
            $signs,
            "]\n"
        )
    };
}

broken! {
    // cars
    years_the_wrong_way_round: "[variant.two]\ntitle = \"Two\"\nmodel-years = { from = 2006, to = 2001 }\n";
    a_year_that_is_none: "[variant.two]\ntitle = \"Two\"\nmodel-years = { from = 6 }\n";
    nothing_was_made_in_these_years:
        "[variant.two]\ntitle = \"Two\"\nmodel-years = { to = 2001 }\n\n[access.a]\ntitle = \"A\"\nhours = 1\nonly = [\"two\"]\nmodel-years = { from = 2002 }\n";

    // schemes
    a_scheme_that_is_not_known: "[places.more]\nscheme = { kind = \"cylinder\" }\n";
    a_scheme_without_its_count: "[places.more]\nscheme = { kind = \"cylinders\" }\n";
    a_count_that_does_not_go_with_its_scheme: "[places.more]\nscheme = { kind = \"corners\", count = 4 }\n";

    // between places and in time
    a_difference_between_sides_of_one_thing:
        "[check.again]\ncomponent = \"belt\"\ntitle = \"Again\"\nstation = \"corner\"\nreading = { unit = \"mm\", instrument = \"caliper\" }\ndiffers = [{ between = \"sides\", max = \"1 mm\", source = \"invented\" }]\n";
    a_difference_in_another_unit:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\ndiffers   = [{ between = \"sides\", max = \"1 bar\", source = \"invented\" }]");
    a_trend_over_neither_distance_nor_time:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\ntrend     = { max = \"1 mm\", per = \"10 bar\", source = \"invented\" }");
    a_trend_of_states: concat!(
        "[check.again]\ncomponent = \"belt\"\ntitle = \"Again\"\nstation = \"corner\"\n",
        "states = [{ id = \"fine\", short = \"fine\", says = \"Fine\", means = \"sound\" }]\n",
        "trend = { max = \"1 mm\", per = \"1 year\", source = \"invented\" }\n"
    );

    // photos
    a_photo_outside_the_folder:
        check!("reading   = { unit = \"mm\", instrument = \"caliper\" }\nphotos    = [{ file = \"../lip.jpg\", shows = \"The lip\" }]");
    a_photo_of_a_state_that_is_not_there: concat!(
        "[check.again]\ncomponent = \"belt\"\ntitle = \"Again\"\nstation = \"corner\"\n",
        "states = [{ id = \"fine\", short = \"fine\", says = \"Fine\", means = \"sound\" }]\n",
        "photos = [{ file = \"ribs.jpg\", shows = \"Ribs\", state = \"fien\" }]\n"
    );

    // fasteners
    a_fastener_without_torque: bolt!("reuse = \"again\"");
    a_fastener_without_a_word_on_reuse: bolt!("torque = \"20 N.m\"");
    a_fastener_with_torque_and_stages: bolt!("reuse = \"never\"\ntorque = \"20 N.m\"\nstages = [{ torque = \"20 N.m\" }]");
    a_stage_of_two_kinds: bolt!("reuse = \"never\"\nstages = [{ torque = \"20 N.m\", angle = \"90 deg\" }]");
    a_torque_in_newtons: bolt!("reuse = \"never\"\ntorque = \"20 N\"");
    a_fastener_that_is_checked_by_nothing: bolt!("reuse = \"checked\"\ntorque = \"20 N.m\"");

    // fluids and parts
    a_dry_filling_below_the_other:
        "[fluid.water]\ntitle = \"Water\"\nspecification = \"any\"\ncapacity = { filled = \"5 L\", dry = \"4 L\", source = \"invented\" }\n";
    a_grade_for_no_temperature:
        "[fluid.water]\ntitle = \"Water\"\nspecification = \"any\"\ngrades = [{ grade = \"A\", from = \"20 °C\", to = \"-10 °C\" }]\ncapacity = { filled = \"5 L\", source = \"invented\" }\n";
    places_of_no_component: "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\nplaces = [\"left\"]\nsource = \"invented\"\n";
    a_place_that_the_component_does_not_have:
        "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\ncomponent = \"disc\"\nplaces = [\"lfet\"]\nsource = \"invented\"\n";
    changed_from_nothing: "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\nchanged = \"longer\"\nsource = \"invented\"\n";
    an_alternative_to_itself:
        "[part.A-2]\ntitle = \"Disc\"\nprice = \"9\"\nalternatives = [{ part = \"A-2\", says = \"The same\" }]\nsource = \"invented\"\n";
    an_alternative_that_changes_the_limit_of_a_look:
        "[part.A-2]\ntitle = \"Belt\"\nprice = \"9\"\nalternatives = [{ part = \"A-1\", says = \"Wider\", changes = [{ check = \"belt-look\", new = \"9 mm\" }] }]\nsource = \"invented\"\n";

    // work
    a_step_with_a_fastener_that_is_not_there:
        "[operation.fit]\ntitle = \"Fit\"\ncomponent = \"disc\"\nhours = 1\nsteps = [\"Clean it.\", { do = \"Fit it.\", fasteners = [\"bolt\"] }]\n";
    an_offer_without_a_ground:
        "[while-apart.wheels]\ntitle = \"Wheels off\"\napart = [\"wheels-off\"]\noffer = [{ operation = \"renew-disc\" }]\nsource = \"invented\"\n";

    // explanations
    a_question_that_nothing_explains:
        "[question.noise]\ntitle = \"Why?\"\nraised-by = [{ check = \"belt-look\" }]\nsource = \"invented\"\n";
    a_sign_by_a_state_that_is_not_there: explanation!("{ check = \"belt-look\", states = { fein = \"rarely\" } }");
    a_sign_by_a_word_that_says_no_likelihood: explanation!("{ check = \"belt-look\", states = { fine = \"often\" } }");
    probabilities_that_do_not_make_one: explanation!("{ check = \"belt-look\", states = { fine = 0.4 } }");
    a_probability_of_one: explanation!("{ check = \"belt-look\", states = { fine = 1.0 } }");
    a_sign_that_says_nothing: explanation!("{ check = \"belt-look\" }");
    a_reading_that_lies_nowhere_otherwise:
        explanation!("{ check = \"belt-note\", reads = { value = \"150 Hz\", spread = \"5 Hz\" } }");
    an_explanation_by_the_age_of_what_has_no_life:
        "[question.noise]\ntitle = \"Why?\"\nraised-by = [{ check = \"belt-look\" }]\nsource = \"invented\"\n\n[explanation.worn]\nquestion = \"noise\"\ntitle = \"Worn\"\ncomponent = \"belt\"\nsource = \"invented\"\nshows = [{ check = \"belt-look\", states = { fine = \"rarely\" } }]\n";
    a_look_alike_of_one: "[look-alike.damp]\ntitle = \"Damp\"\ncould-be = [\"oil\"]\ntold-apart = \"By nose.\"\n";
}

broken! { one_doubt:
    a_check_that_no_operation_answers: state!("means = \"plan\"");
    a_check_that_an_operation_answers_on_another_variant_only: concat!(
        "[variant.two]\ntitle = \"Two\"\n\n",
        "[operation.renew-belt]\ntitle = \"Renew\"\ncomponent = \"belt\"\nonly = [\"one\"]\nhours = 1\n\n",
        state!("means = \"plan\"")
    );
    an_operation_on_what_is_on_no_such_car:
        "[variant.two]\ntitle = \"Two\"\n\n[component.fan]\ntitle = \"Fan\"\nsystem = \"brakes\"\ncriticality = \"comfort\"\nages-by = { km = 1.0 }\nonly = [\"two\"]\n\n[operation.renew-fan]\ntitle = \"Renew\"\ncomponent = \"fan\"\nonly = [\"one\"]\nhours = 1\n";
    an_operation_by_a_step_of_another_variant:
        "[variant.two]\ntitle = \"Two\"\n\n[access.roof-off]\ntitle = \"Roof off\"\nonly = [\"two\"]\nhours = 1\n\n[access.seats-out]\ntitle = \"Seats out\"\nneeds = [\"roof-off\"]\nhours = 1\n\n[operation.turn-disc]\ntitle = \"Turn\"\ncomponent = \"disc\"\nneeds = [\"seats-out\"]\nhours = 1\n";
    an_operation_with_the_fluid_of_another_variant:
        "[variant.two]\ntitle = \"Two\"\n\n[fluid.water]\ntitle = \"Water\"\nonly = [\"two\"]\nspecification = \"any\"\ncapacity = { filled = \"5 L\", source = \"invented\" }\n\n[operation.wash]\ntitle = \"Wash\"\ncomponent = \"disc\"\nfluids = [{ fluid = \"water\", quantity = \"1 L\" }]\nhours = 1\n";
    a_reading_made_from_one_of_another_variant: concat!(
        "[variant.two]\ntitle = \"Two\"\n\n",
        "[check.note]\ncomponent = \"belt\"\ntitle = \"Note\"\nstation = \"corner\"\nonly = [\"two\"]\nreading = { unit = \"Hz\", instrument = \"microphone\" }\n\n",
        tension!("{ mass-per-length = { value = \"0.1 kg/m\" }, span = { value = \"172 mm\" }, frequency = { check = \"note\" } }")
    );
    a_life_shorter_than_the_interval:
        "[component.hose]\ntitle = \"Hose\"\nsystem = \"brakes\"\ncriticality = \"comfort\"\nages-by = { years = 1.0 }\nlife = { median = \"4 years\", spread = 1.5, source = \"invented\" }\n\n[check.hose-age]\ncomponent = \"hose\"\ntitle = \"Age\"\ninterval = { years = \"10 years\", source = \"invented\" }\n\n[operation.renew-hose]\ntitle = \"Renew\"\ncomponent = \"hose\"\nrenews = true\nhours = 1\n";
    states_that_get_better: state!("means = \"look-again\" },\n  { id = \"odd\", short = \"odd\", says = \"Odd\", means = \"settled\", why = \"It is so.\"");
}

/// A variant that only has things that are limited to other variants.
#[test]
fn a_variant_without_any_check() {
    let only = |text: &str| {
        text.replace("title       = \"Disc\"", "title       = \"Disc\"\nonly        = [\"one\"]")
    };
    let right =
        only(RIGHT).replace("title       = \"Belt\"", "title       = \"Belt\"\nonly        = [\"one\"]");
    let two = "[variant.two]\ntitle = \"Two\"\n";
    let files = [SourceFile::new("a-right.toml", right), SourceFile::new("brakes.toml", two)];
    insta::assert_snapshot!(told_once(check(&files).unwrap_err()));
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

/// Twelve more, of the kind that no reader of tables could see; none hides another.
const TWELVE_BEYOND_WRITING: &str = r#"[variant.two]
title = "Two"

[component.pad]
title       = "Pad"
system      = "brakes"
places      = "sides"
criticality = "comfort"
ages-by     = { km = 1.0 }
life        = { median = "40000 km", spread = 1.5, source = "invented" }

[check.pad-thickness]
component = "pad"
title     = "Lining"
reading   = { unit = "mm", instrument = "caliper" }
new       = "2.0 mm"
limit     = { min = "3.0 mm", source = "invented" }
differs   = [{ between = "axles", max = "1 mm", source = "invented" }]

[check.pad-age]
component = "pad"
title     = "Age"
interval  = { km = "60000 km", source = "invented" }

[operation.renew-pad]
title     = "Renew"
component = "pad"
only      = ["one"]
needs     = ["rack-out"]
hours     = 0.4

[access.rack-out]
title = "Rack out"
only  = ["two"]
hours = 2

[access.stands]
title = "On stands"
needs = ["ramp"]
hours = 0.1

[access.ramp]
title = "On the ramp"
needs = ["stands"]
hours = 0.1

[component.cable]
title       = "Cable"
system      = "brakes"
criticality = "comfort"
ages-by     = { km = 1.0 }

[check.cable-look]
component = "cable"
title     = "Strands"
station   = "corner"
states    = [
  { id = "frayed", short = "frayed", says = "Frayed", means = "plan" },
  { id = "fine",   short = "fine",   says = "Fine",   means = "sound" },
]

[check.tension]
component = "belt"
title     = "Tension"
derived   = { formula = "belt-span-tension", unit = "N", inputs = { mass-per-length = { value = "0.1 kg/m" }, span = { check = "belt-note" }, frequency = { check = "belt-look" } } }

[component.fan]
title       = "Fan"
system      = "brakes"
only        = ["one"]
criticality = "comfort"
ages-by     = { km = 1.0 }

[check.fan-look]
component = "fan"
title     = "Blades"
station   = "corner"
only      = ["two"]
states    = [{ id = "whole", short = "whole", says = "Whole", means = "sound" }]

[part.A-2]
title    = "Disc"
price    = "9"
replaces = "A-3"
source   = "invented"

[part.A-3]
title    = "Disc"
price    = "9"
replaces = "A-2"
source   = "invented"
"#;

#[test]
fn twelve_faults_beyond_the_writing_are_twelve_problems() {
    let right = SourceFile::new("a-right.toml", RIGHT);
    let problems = check(&[right, SourceFile::new("brakes.toml", TWELVE_BEYOND_WRITING)]).unwrap_err();
    assert_eq!(problems.count(), 12, "{problems}");
    insta::with_settings!({ description => TWELVE_BEYOND_WRITING, omit_expression => true }, {
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
