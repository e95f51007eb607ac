//! Questions, explanations and words for people.

use super::{checks::call, only, shapes::*, source, title};
use crate::model::Often;
use serde_json::Value;

pub(super) fn question() -> Value {
    let [only, years] = only();
    table(
        "Something to be explained.",
        [
            title(),
            only,
            years,
            need(
                "raised-by",
                list_of_some(
                    "What raises it.",
                    1,
                    table(
                        "A check.",
                        [
                            need("check", id("The check.")),
                            may(
                                "states",
                                ids(
                                    "The states that do; without any, a limit passed or a state worse than settled.",
                                ),
                            ),
                        ],
                    ),
                ),
            ),
            may("none", above(0.0, "How likely it is that none of the explanations is right.")),
            may(
                "otherwise",
                list(
                    "Where readings lie when nothing explains them.",
                    table(
                        "A range.",
                        [
                            need("check", id("The check.")),
                            need("from", measure("From here.", "290 mm")),
                            need("to", measure("To here.", "400 mm")),
                        ],
                    ),
                ),
            ),
            source(),
        ],
    )
}

pub(super) fn explanation() -> Value {
    let [only, years] = only();
    let [formula, gives, inputs] = call();
    let spread = || may("spread", measure("Standard deviation about it.", "4 mm"));
    let often = Often::WORDS.iter().map(|(word, _)| *word);
    let likelihood = either(
        "How often it is seen if this is right.",
        [
            word("In words.", often),
            serde_json::json!({ "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1 }),
        ],
    );
    let reads = table(
        "Where the reading lies if this is right.",
        [
            may("value", measure("Near this value.", "352 mm")),
            optional(formula),
            gives,
            optional(inputs),
            may("onto", measure("The result of the formula is added to this.", "352 mm")),
            spread(),
            may("from", measure("From here.", "325 mm")),
            may("to", measure("To here.", "340 mm")),
        ],
    );
    let sign = with_one_of(
        &["states", "reads"],
        table(
            "What it lets one find.",
            [
                need("check", id("At this check.")),
                may("place", text("At this place; wherever the check is made unless said.")),
                may("states", any_keys("How often each state is seen.", likelihood)),
                may("reads", with_one_of(&["value", "formula", "from"], reads)),
            ],
        ),
    );
    with_some_of(
        &["prior", "component"],
        table(
            "What may be behind what was found.",
            [
                need("question", id("The question that it answers.")),
                title(),
                may("says", text("For the owner.")),
                only,
                years,
                may(
                    "prior",
                    above(
                        0.0,
                        "How likely it is beforehand, in a measure that the explanations of a question share.",
                    ),
                ),
                may("component", id("What has failed if it is right; its life gives the prior.")),
                need("shows", list_of_some("What it lets one find.", 1, sign)),
                may("put-right", id("The operation that puts it right.")),
                source(),
            ],
        ),
    )
}

pub(super) fn look_alike() -> Value {
    table(
        "What looks alike and is not the same.",
        [
            title(),
            may("checks", ids("The checks at which it is shown.")),
            need("could-be", list_of_some("What it could be.", 2, text("A thing."))),
            need("told-apart", text("How the trade tells them apart.")),
        ],
    )
}

pub(super) fn owners_word() -> Value {
    table(
        "A word of the trade.",
        [
            title(),
            may("also", list("Other ways in which the trade says it.", text("A word."))),
            need("says", text("In words of an owner.")),
        ],
    )
}
