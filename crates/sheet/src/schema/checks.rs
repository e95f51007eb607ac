//! Components, checks and instruments.

use super::{caution, only, shapes::*, source, title, trigger};
use crate::model::*;
use serde_json::Value;

fn words<T>(words: &[(&'static str, T)]) -> impl Iterator<Item = &'static str> {
    words.iter().map(|(word, _)| *word).collect::<Vec<_>>().into_iter()
}

pub(super) fn component() -> Value {
    let [only, years] = only();
    table(
        "A thing that can wear.",
        [
            title(),
            need("system", id("The system it belongs to.")),
            may("places", id("The set of places where it sits; one place unless said.")),
            only,
            years,
            need("criticality", word("What is at stake when it fails.", words(Criticality::WORDS))),
            need(
                "ages-by",
                with_some_of(
                    &["km", "years"],
                    table(
                        "The clock it ages by; the shares make 1.",
                        [
                            may("km", share("The share of distance.")),
                            may("years", share("The share of time.")),
                        ],
                    ),
                ),
            ),
            may(
                "life",
                table(
                    "How long such a part lasts.",
                    [
                        need("median", measure("Half are gone by then.", "90000 km")),
                        need(
                            "spread",
                            above(1.0, "Nine in ten go between median ÷ spread and median × spread."),
                        ),
                        may("sure", above(1.0, "The median is known within this factor, nine times in ten.")),
                        source(),
                    ],
                ),
            ),
            may("fails-as", id("The consequence of its failing.")),
        ],
    )
}

pub(super) fn check() -> Value {
    let [only, years] = only();
    with_one_of(
        &["reading", "derived", "states", "interval"],
        table(
            "One way to look at or measure a component.",
            [
                need("component", id("What is looked at.")),
                title(),
                may("how", text("How it is done.")),
                may("normal", text("What is normal although it looks odd.")),
                caution(),
                may("station", id("Where on the walk, when the place does not say it.")),
                only,
                years,
                may("needs", ids("Access steps to look at all.")),
                may("minutes", not_negative("How long it takes.")),
                may("when", such_as("In which state the car is to be.", "cold, before the first start")),
                may("tools", list("What to bring.", such_as("A tool.", "lamp"))),
                may("order", count("Its turn at the station; 100 unless said.")),
                may("reading", reading()),
                may("derived", derived()),
                may("states", list_of_some("An observation: described states, best first.", 1, state())),
                may(
                    "interval",
                    with_some_of(
                        &["km", "years"],
                        table(
                            "Looked up in the record.",
                            [
                                may("km", measure("After this distance.", "100000 km")),
                                may("years", measure("After this time.", "7 years")),
                                may("strict", flag("A limit, not advice.")),
                                source(),
                            ],
                        ),
                    ),
                ),
                may(
                    "photos",
                    list(
                        "Pictures of what to look for.",
                        table(
                            "A picture.",
                            [
                                need("file", such_as("From the folder of the sheet.", "photos/lip.jpg")),
                                need("shows", text("What is to be seen.")),
                                may("state", id("The state that it shows.")),
                            ],
                        ),
                    ),
                ),
                may("new", new()),
                may("limit", limit()),
                may(
                    "settled",
                    with_some_of(
                        &["min", "max"],
                        table(
                            "Readings that are harmless while they do not move.",
                            [
                                may("min", measure("From here.", "20.8 mm")),
                                may("max", measure("To here.", "21.6 mm")),
                                need("why", text("For the owner.")),
                            ],
                        ),
                    ),
                ),
                may(
                    "differs",
                    list(
                        "How far places may lie apart.",
                        table(
                            "A limit between places.",
                            [
                                need(
                                    "between",
                                    word("Which are held against each other.", words(Between::WORDS)),
                                ),
                                need("max", measure("The largest difference.", "0.3 mm")),
                                source(),
                            ],
                        ),
                    ),
                ),
                may(
                    "trend",
                    table(
                        "How fast it may change, either way.",
                        [
                            need("max", measure("The largest change.", "0.4 mm")),
                            need("per", measure("Over this distance or time.", "10000 km")),
                            source(),
                        ],
                    ),
                ),
            ],
        ),
    )
}

fn reading() -> Value {
    table(
        "A number with a unit and an instrument.",
        [
            need("unit", such_as("Everything about it is shown in this unit.", "mm")),
            need("instrument", id("What it is measured with.")),
            may("also", ids("Other instruments that may be used.")),
            may("repeats", count("How often it is measured.")),
            may("keep", word("Which of the values counts.", words(Keep::WORDS))),
        ],
    )
}

fn derived() -> Value {
    let [formula, gives, inputs] = call();
    table(
        "A number that a formula of the bench makes from others.",
        [formula, need("unit", such_as("The unit of the result.", "N")), gives, inputs],
    )
}

/// `formula`, `gives` and `inputs`.
pub(super) fn call() -> [Key; 3] {
    let input = with_one_of(
        &["value", "check"],
        table(
            "Where an input comes from.",
            [
                may("value", such_as("A constant of the type of car, or a word.", "172 mm")),
                may("check", id("Another check.")),
                may("place", text("The place where it is made, when it is another.")),
            ],
        ),
    );
    [
        need("formula", word("A formula of the bench.", bench::formulas().iter().map(|formula| formula.id))),
        may("gives", such_as("Which of its results, when several are in the unit.", "tension")),
        need("inputs", any_keys("What it takes.", input)),
    ]
}

fn state() -> Value {
    let verdicts = Verdict::WORDS.iter().filter(|(_, verdict)| verdict.of_states());
    table(
        "What an observation may find.",
        [
            need("id", id("Its id.")),
            need("short", text("One or two words.")),
            need("says", text("What is seen.")),
            may("tell", text("What tells it from its neighbours.")),
            need("means", word("What it means.", verdicts.map(|(word, _)| *word))),
            may("why", text("For the owner.")),
            may("after", trigger("When to look again.")),
            may(
                "within",
                with_some_of(
                    &["km", "years"],
                    table(
                        "The window to plan in.",
                        [
                            may("km", plain("This distance.", "1000 km")),
                            may("years", plain("This time.", "1 year")),
                        ],
                    ),
                ),
            ),
        ],
    )
}

pub(super) fn new() -> Value {
    either(
        "What a new part reads.",
        [
            measure("The value.", "22.0 mm"),
            table(
                "The value and its tolerance.",
                [
                    need("value", measure("The value.", "22.0 mm")),
                    may(
                        "tolerance",
                        measure("Half width of the range in which a new part may be.", "0.1 mm"),
                    ),
                ],
            ),
        ],
    )
}

pub(super) fn limit() -> Value {
    with_some_of(
        &["min", "max"],
        table(
            "A limit on one side or on both.",
            [
                may("min", measure("No less than this.", "20.0 mm")),
                may("max", measure("No more than this.", "0.10 mm")),
                source(),
            ],
        ),
    )
}

pub(super) fn instrument() -> Value {
    let size = |says| measure(says, "0.006 mm");
    table(
        "A kind of instrument.",
        [
            title(),
            need("resolution", measure("A step of its scale.", "0.01 mm")),
            may(
                "repeatability",
                size("Standard deviation of one careful reading; a percentage is of the reading."),
            ),
            may(
                "calibration",
                with_one_of(
                    &["expanded", "mpe"],
                    table(
                        "How its own error is known.",
                        [
                            may("expanded", size("Expanded uncertainty of its certificate.")),
                            may("k", above(0.0, "The coverage factor of the certificate.")),
                            may("mpe", size("The largest error that is allowed.")),
                        ],
                    ),
                ),
            ),
            may("zero-set", flag("Set to zero before each use.")),
            source(),
        ],
    )
}
