//! Forms, as a browser sends them: what was typed is never lost, nothing is written twice, and what is hostile stays text.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use sheet::SourceFile;
use support::{HOST, Pages, encoded, file};

mod support;

/// The data sheet of the guide, with an obligation that may be waived.
fn sheet_files() -> Vec<SourceFile> {
    let work = file("tallow-nuthatch/work.toml")
        .replace("caution   = \"Hot oil burns;", "obliges   = [\"plug-dry\"]\ncaution   = \"Hot oil burns;")
        + "[obligation.plug-dry]\ntitle = \"Sump plug dry\"\nsource = \"common practice\"\n"
        + "[part.TN-1110]\ntitle = \"Fan belt, smooth\"\nprice = \"19\"\ncomponent = \"fan-belt\"\nmarks = [\"9.5 x 900\", \"S\"]\nsource = \"invented\"\n"
        + "[part.TN-1111]\ntitle = \"Fan belt, notched\"\nprice = \"21\"\ncomponent = \"fan-belt\"\nmarks = [\"9.5 x 900\", \"notched\"]\nsource = \"invented\"\n";
    vec![
        SourceFile::new("sheet.toml", file("tallow-nuthatch/sheet.toml")),
        SourceFile::new("work.toml", work),
    ]
}

/// Pip is in the house, looked over and with work done; Pop was never in.
fn of_pip() -> Pages {
    let pip = file("pip.toml");
    let pop = pip.replace("\"pip\"", "\"pop\"").replace("\"Pip\"", "\"Pop\"");
    let work =
        "\n[[done]]\noperation = \"change-engine-oil\"\n[[done]]\noperation = \"renew-front-linings\"\n";
    Pages::with(&sheet_files(), &[file("workshop.toml"), pip, pop, file("pip-2026-05-04.toml") + work])
}

/// The draft that the forms of a page carry.
async fn draft_of(pages: &Pages, address: &str) -> String {
    let html = pages.get(address).await.html;
    let forms = html.matches("method=\"post\" action=\"/cars").count();
    let drafts: Vec<&str> =
        html.split("name=\"draft\" value=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert!(forms > 0 && drafts.len() == forms, "{address}: every form carries the draft of its page");
    drafts[0].to_owned()
}

fn form(address: &str, fields: &[(&str, &str)]) -> Request<Body> {
    support::form(address, "ida", fields)
}

const VISIT: &str = "/cars/pop/visit";
const BELT: &str = "/cars/pip/walk/fan-belt-note/single";
const LINING: &str = "/cars/pip/walk/front-lining-thickness/front.left";
const HOSE: &str = "/cars/pip/walk/front-hose-look/front.left";
const FINDING: &str = "/cars/pip/findings/fan-belt-look/single";
const MARKING: &str = "/cars/pip/marking";
const KEYS: &str = "/cars/pip/keys";
const LETTER: &str = "/cars/pip/letter";
const ANSWERS: &str = "/cars/pip/letter/answers";

/// A form, the page that it stands on, and what is typed into it.
type Filled<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

/// Every form with something right in it.
const RIGHT: [Filled<'_>; 15] = [
    (VISIT, VISIT, &[("odometer", "30 000"), ("asked_for", "Squeals"), ("ceiling", "250")]),
    (BELT, BELT, &[("act", "write"), ("value", "86"), ("note", "Short pluck")]),
    (HOSE, HOSE, &[("act", "write"), ("state", "smooth"), ("seen", "part"), ("note", "Left side")]),
    (LINING, LINING, &[("act", "skip"), ("reason", "Drum will not come off")]),
    (FINDING, FINDING, &[("verdict", "plan"), ("reason", "Long trip ahead"), ("months", "6")]),
    (KEYS, KEYS, &[("act", "done"), ("of", "renew-front-hose"), ("place", "front.right")]),
    (KEYS, KEYS, &[("act", "met"), ("of", "wheel-nuts-torqued"), ("value", "80")]),
    (KEYS, KEYS, &[("act", "met"), ("of", "pedal-firm")]),
    (KEYS, KEYS, &[("act", "met"), ("of", "brakes-tried")]),
    (KEYS, KEYS, &[("act", "waive"), ("of", "plug-dry"), ("reason", "Owner collects at six")]),
    (KEYS, KEYS, &[("act", "tag"), ("what", "Look at the belt"), ("why", "Crazed"), ("months", "12")]),
    (KEYS, KEYS, &[("act", "settle"), ("of", "pip-kingpins"), ("reason", "Found the bill")]),
    ("/cars/pip/letter/send", LETTER, &[]),
    (ANSWERS, LETTER, &[("name", "Owner of Pip"), ("answer.renew-front-hose", "yes")]),
    (MARKING, MARKING, &[("seat", "fan-belt single"), ("reads", "9.5 x 900, notched"), ("note", "New")]),
];

#[tokio::test]
async fn what_is_right_is_written_and_one_goes_on() {
    let pages = of_pip();
    for (address, _, fields) in RIGHT {
        let before = pages.entries();
        let page = pages.post(address, fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{address} {fields:?}\n{}", page.html);
        assert_eq!(pages.get(&page.to).await.status, StatusCode::OK, "{address} leads to {}", page.to);
        assert!(pages.entries() > before, "{address} {fields:?}");
    }
    let page = pages.post(KEYS, &[("act", "close"), ("odometer", "71250")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.html);
    assert!(pages.get(KEYS).await.html.contains("The keys are back"));
}

/// A stop opened again has what stands on this visit, so that putting one thing right loses none of the others.
#[tokio::test]
async fn a_stop_opened_again_has_what_was_written() {
    let pages = of_pip();
    pages.post(VISIT, &[("odometer", "30 000")]).await;
    pages.post(BELT, &[("act", "write"), ("value", "86"), ("seen", "part"), ("note", "Short pluck")]).await;
    let again = pages.get(BELT).await.html;
    for kept in ["value=\"86\"", ">Short pluck</textarea>", "<option value=\"part\" selected>"] {
        assert!(again.contains(kept), "{kept} in {again}");
    }
    pages.post(HOSE, &[("act", "write"), ("state", "smooth")]).await;
    assert!(pages.get(HOSE).await.html.contains("value=\"smooth\" checked"));
}

#[tokio::test]
async fn what_is_wrong_comes_back_as_it_was_typed_with_every_problem_named() {
    let pages = of_pip();
    /// A form, what is typed into it, and what is said of that.
    type Refused<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a [&'a str]);
    let cases: [Refused<'_>; 16] = [
        (
            MARKING,
            &[("seat", ""), ("reads", " "), ("note", "By <lamp>")],
            &["Say on which part", "Write what it reads"],
        ),
        (
            MARKING,
            &[("seat", "fan-belt single"), ("reads", "9.5 x 900")],
            &["It is on several parts", "TN-1110", "TN-1111"],
        ),
        (
            MARKING,
            &[("seat", "fan-belt single"), ("reads", "9.5 x 990")],
            &["No part reads so", "keep it as it reads"],
        ),
        (
            VISIT,
            &[("odometer", "many"), ("asked_for", "Squeals <when> cold & wet"), ("ceiling", "as needed")],
            &["does not begin with a number", "Write money as a number"],
        ),
        (
            LINING,
            &[
                ("act", "write"),
                ("value", "3,1 Nm"),
                ("value", "thin"),
                ("note", "By <feel>"),
                ("seen", "glanced"),
            ],
            &["a torque", "does not begin with a number", "Choose how well it could be seen"],
        ),
        (LINING, &[("act", "write"), ("value", "31"), ("note", "Odd")], &["Is 31 mm right?"]),
        (
            HOSE,
            &[("act", "write"), ("state", "odd"), ("seen", "glanced"), ("note", "Damp & dark")],
            &["Choose what you see", "Choose how well it could be seen"],
        ),
        (HOSE, &[("act", "write"), ("seen", "part"), ("note", "Left")], &["Choose what you see"]),
        (HOSE, &[("act", "skip"), ("reason", " ")], &["Say why it could not be reached"]),
        (
            FINDING,
            &[("verdict", "maybe"), ("reason", ""), ("months", "<soon>")],
            &["Choose the verdict that counts", "Say why", "Write months as a number"],
        ),
        (FINDING, &[("verdict", "plan"), ("reason", "Long \"trip\"")], &["Say in how many months"]),
        (
            KEYS,
            &[("act", "tag"), ("what", "Look at <it>"), ("why", ""), ("months", "a few")],
            &["Say why: in a year nobody remembers", "Write months as a number"],
        ),
        (
            KEYS,
            &[("act", "met"), ("of", "wheel-nuts-torqued"), ("value", "65")],
            &["put it right and measure again"],
        ),
        (KEYS, &[("act", "waive"), ("of", "plug-dry"), ("reason", "")], &["Say why it is not met"]),
        (
            KEYS,
            &[("act", "close"), ("odometer", "71 000")],
            &["cannot leave with less", "Wheel nuts torqued crosswise", "Brake pedal firm", "Sump plug dry"],
        ),
        (
            ANSWERS,
            &[("name", ""), ("answer.renew-front-hose", "not-now"), ("answer.renew-fan-belt", "perhaps")],
            &["write your name", "Answer yes, not now, or ask me"],
        ),
    ];
    let before = pages.entries();
    for (address, fields, problems) in cases {
        let page = pages.post(address, fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{address} {fields:?}");
        for problem in problems {
            assert!(
                page.html.contains(problem),
                "{address} {fields:?} does not say {problem}:\n{}",
                page.html
            );
        }
        // A choice that is not offered cannot be shown.
        let not_offered = ["odd", "glanced", "maybe", "perhaps"];
        let kept = |(name, typed): &&(&str, &str)| {
            !["act", "of"].contains(name) && !typed.trim().is_empty() && !not_offered.contains(typed)
        };
        for (name, typed) in fields.iter().filter(kept) {
            assert!(is_kept(&page.html, name, typed), "{address}: {name} = {typed} is lost:\n{}", page.html);
        }
    }
    assert_eq!(pages.entries(), before, "nothing was written");
}

/// Whether a field still says what was typed.
fn is_kept(html: &str, name: &str, typed: &str) -> bool {
    let (named, value) = (format!("name=\"{name}\""), format!("value=\"{}\"", html_of(typed)));
    let field = html.split('<').any(|element| {
        let (tag, text) = element.split_once('>').unwrap_or((element, ""));
        let is = tag.contains(&value);
        tag.contains(&named)
            && match tag.contains("type=\"radio\"") {
                true => is && tag.ends_with(" checked"),
                false => is || tag.starts_with("textarea") && text == html_of(typed),
            }
    });
    field || html.contains(&format!("<option {value} selected>"))
}

fn html_of(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// What is chosen, or kept as it reads, is written; and the page that follows says what it is.
#[tokio::test]
async fn what_is_written_on_a_part_tells_which_one_it_is() {
    let pages = of_pip();
    for (reads, part, says) in [
        ("S", "", "TN-1110, Fan belt, smooth"),
        ("9.5 x 900", "TN-1111", "TN-1111, Fan belt, notched"),
        ("9.5 x 990", "as read", "on no part of the data sheet"),
        ("ZZ 17", "", "on no part of the data sheet"),
    ] {
        let page =
            pages.post(MARKING, &[("seat", "fan-belt single"), ("reads", reads), ("part", part)]).await;
        assert_eq!(page.to, "/cars/pip/findings/marking%3Afan-belt/single", "{reads}: {}", page.html);
        let finding = pages.get(&page.to).await;
        assert!(finding.html.contains(says), "{reads}: {}", finding.html);
    }
    // A person may decide otherwise of it as well.
    let finding = "/cars/pip/findings/marking%3Afan-belt/single";
    let decided = pages.post(finding, &[("verdict", "sound"), ("reason", "I know its maker.")]).await;
    assert_eq!(decided.status, StatusCode::SEE_OTHER, "{}", decided.html);
    assert!(pages.get(finding).await.html.contains("I know its maker."));
    assert!(pages.get("/cars/pop/marking").await.html.contains("The car is not in"));
}

/// A double tap, or a phone that did not hear the answer: two sendings of one form.
#[tokio::test]
async fn a_form_that_is_sent_twice_is_written_once() {
    let pages = of_pip();
    for (address, on, fields) in RIGHT {
        let draft = draft_of(&pages, on).await;
        let fields = [fields, &[("draft", &*draft)]].concat();
        let before = pages.entries();
        let first = pages.post(address, &fields).await;
        let written = pages.entries();
        assert!(written > before, "{address} {fields:?}\n{}", first.html);
        let second = pages.post(address, &fields).await;
        assert_eq!(pages.entries(), written, "{address} {fields:?}");
        assert_eq!((second.status, second.to), (StatusCode::SEE_OTHER, first.to), "{address} {fields:?}");
    }
    let draft = draft_of(&pages, KEYS).await;
    let close = [("act", "close"), ("odometer", "71250"), ("draft", &*draft)];
    assert_eq!(pages.post(KEYS, &close).await.status, StatusCode::SEE_OTHER);
    let written = pages.entries();
    assert_eq!(pages.post(KEYS, &close).await.status, StatusCode::SEE_OTHER);
    assert_eq!(pages.entries(), written);
}

#[tokio::test]
async fn two_sendings_at_once_are_written_once() {
    let pages = of_pip();
    for (address, on, fields) in RIGHT {
        let draft = draft_of(&pages, on).await;
        let fields = [fields, &[("draft", &*draft)]].concat();
        let alone = of_pip(); // how many entries it is when nothing is in the way
        let before = alone.entries();
        alone.post(address, &fields).await;
        let (expected, before) = (alone.entries() - before, pages.entries());
        let (one, other) = tokio::join!(pages.post(address, &fields), pages.post(address, &fields));
        assert_eq!(
            (one.status, other.status),
            (StatusCode::SEE_OTHER, StatusCode::SEE_OTHER),
            "{address} {fields:?}"
        );
        assert_eq!(pages.entries() - before, expected, "{address} {fields:?}");
    }
}

/// Going back to a page and changing what it says is saying something else.
#[tokio::test]
async fn a_form_that_was_changed_and_sent_again_is_written_again() {
    let pages = of_pip();
    let draft = draft_of(&pages, BELT).await;
    let before = pages.entries();
    for value in ["86", "87", "86"] {
        pages.post(BELT, &[("act", "write"), ("value", value), ("draft", &draft)]).await;
    }
    assert_eq!(pages.entries(), before + 2);
    let again = draft_of(&pages, BELT).await;
    assert_ne!(again, draft);
    pages.post(BELT, &[("act", "write"), ("value", "86"), ("draft", &again)]).await;
    assert_eq!(pages.entries(), before + 3, "read again, it is another reading");
}

#[tokio::test]
async fn nobody_who_has_not_signed_writes() {
    let pages = of_pip();
    let before = pages.entries();
    for (address, _, fields) in RIGHT.into_iter().filter(|(address, ..)| *address != ANSWERS) {
        for cookie in ["", "signer=nobody", "signer=pip-owner"] {
            let mut request = form(address, fields);
            request.headers_mut().insert(header::COOKIE, cookie.parse().unwrap());
            let page = pages.page(request).await;
            assert_eq!(page.status, StatusCode::SEE_OTHER, "{address}");
            assert!(page.to.starts_with("/sign?then="), "{address} leads to {}", page.to);
        }
    }
    assert_eq!(pages.entries(), before);
}

#[tokio::test]
async fn a_page_of_another_site_cannot_send_a_form() {
    let pages = of_pip();
    let before = pages.entries();
    let sign: Filled<'_> = ("/sign", "/sign", &[("person", "ida")]);
    for (address, _, fields) in RIGHT.into_iter().chain([sign]) {
        for (name, value) in [
            ("origin", "https://elsewhere.example"),
            ("origin", "null"),
            ("sec-fetch-site", "cross-site"),
            ("sec-fetch-site", "same-site"),
        ] {
            let mut request = form(address, fields);
            request.headers_mut().insert(name, value.parse().unwrap());
            let page = pages.page(request).await;
            assert_eq!(page.status, StatusCode::FORBIDDEN, "{address} with {name}: {value}");
            assert!(page.html.contains("nothing was written") && page.html.contains("href=\"/cars\""));
        }
    }
    assert_eq!(pages.entries(), before);
    let (address, _, fields) = RIGHT[1];
    for (name, value) in [("origin", &*format!("http://{HOST}")), ("sec-fetch-site", "same-origin")] {
        let mut request = form(address, fields);
        request.headers_mut().insert(name, value.parse().unwrap());
        assert_eq!(pages.page(request).await.status, StatusCode::SEE_OTHER, "{name}: {value}");
    }
}

#[tokio::test]
async fn every_answer_carries_the_headers_that_keep_a_browser_safe() {
    let pages = of_pip();
    let mut elsewhere = form(BELT, &[("value", "86")]);
    elsewhere.headers_mut().insert("origin", "https://elsewhere.example".parse().unwrap());
    let ask = |address| support::request(Method::GET, address, "ida").body(Body::empty()).unwrap();
    let requests = [
        (ask("/"), 200),
        (ask("/cars/pip"), 200),
        (ask("/assets/app.css"), 200),
        (ask("/cars/nobody"), 404),
        (ask("/nowhere"), 404),
        (form(VISIT, &[("odometer", "")]), 422),
        (form(BELT, &[("act", "write"), ("value", "86")]), 303),
        (elsewhere, 403),
    ];
    for (request, status) in requests {
        let address = request.uri().clone();
        let response = pages.ask(request).await;
        assert_eq!(response.status().as_u16(), status, "{address}");
        let says = |name: &str| response.headers().get(name).map_or("", |value| value.to_str().unwrap());
        let policy = says("content-security-policy");
        for part in ["default-src 'none'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"]
        {
            assert!(policy.contains(part), "{address}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{address}: {policy}");
        assert_eq!(says("x-content-type-options"), "nosniff", "{address}");
        assert_eq!(says("referrer-policy"), "same-origin", "{address}");
    }
    let signed = pages.ask(form("/sign", &[("person", "ida")])).await;
    let cookie = signed.headers()[header::SET_COOKIE].to_str().unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
}

// ---------------------------------------------------------------- hostile text

const HOSTILE: &str = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>&lt;";

fn assert_harmless(address: &str, html: &str) {
    assert!(!html.contains("<script>") && !html.contains("<img"), "{address}:\n{html}");
}

/// In every field of every form, and in every file that a person writes; then on every page.
#[tokio::test]
async fn hostile_text_stays_text_on_every_page() {
    let toml = HOSTILE.replace('"', "\\\"");
    let spoil = |text: String, says: &[&str]| {
        says.iter().fold(text, |text, says| {
            assert!(text.contains(says), "{says}");
            text.replace(says, &toml)
        })
    };
    let pip = spoil(
        file("pip.toml"),
        &["Pip\"", "QL-01", "Bought in March; the papers tell of new linings in 2019, not of the kingpins."]
            .map(|says| says.trim_end_matches('"')),
    );
    let pages = Pages::with(
        &sheet_files(),
        &[
            spoil(
                file("workshop.toml"),
                &["Quay Lane Garage", "Ida, who owns the garage", "The owner of Pip"],
            ),
            pip.clone(),
            pip.replace("\"pip\"", "\"pop\""),
            spoil(
                file("pip-2026-05-04.toml"),
                &[
                    "I have just bought it. What should I know before the summer?",
                    "Dated 2018 on the sleeve.",
                    "Bill of 14 June 2019.",
                    "Ask for the kingpins on the old bills",
                    "Nothing says when they were last renewed.",
                ],
            ) + &format!(
                "\n[[fitted]]\ncomponent = \"fan-belt\"\nbatch = \"{toml}\"\n[[done]]\noperation = \"change-engine-oil\"\n"
            ),
        ],
    );
    let forms: [Filled<'_>; 9] = [
        (VISIT, VISIT, &[("odometer", "30000"), ("asked_for", HOSTILE)]),
        (BELT, BELT, &[("act", "write"), ("value", "86"), ("note", HOSTILE), ("instrument", HOSTILE)]),
        (HOSE, HOSE, &[("act", "write"), ("state", "cracked"), ("note", HOSTILE)]),
        (LINING, LINING, &[("act", "skip"), ("reason", HOSTILE)]),
        (FINDING, FINDING, &[("verdict", "plan"), ("reason", HOSTILE), ("months", "6")]),
        (KEYS, KEYS, &[("act", "waive"), ("of", "plug-dry"), ("reason", HOSTILE)]),
        (KEYS, KEYS, &[("act", "tag"), ("what", HOSTILE), ("why", HOSTILE), ("months", "12")]),
        (KEYS, KEYS, &[("act", "settle"), ("of", "pip-kingpins"), ("reason", HOSTILE)]),
        (ANSWERS, LETTER, &[("name", HOSTILE), ("answer.renew-front-hose", "yes")]),
    ];
    for (address, _, fields) in forms {
        let page = pages.post(address, fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{address} {fields:?}\n{}", page.html);
    }
    let asked = encoded(&[
        ("find", HOSTILE),
        ("budget", HOSTILE),
        ("hours", HOSTILE),
        ("must", HOSTILE),
        ("then", HOSTILE),
        ("check", HOSTILE),
        ("place", HOSTILE),
        ("value", HOSTILE),
        ("note", HOSTILE),
    ]);
    let mut shown = 0;
    for address in [
        "/",
        "/cars",
        "/sign",
        "/cars/pip",
        "/cars/pip/plan",
        LETTER,
        KEYS,
        "/cars/pip/walk",
        BELT,
        LINING,
        HOSE,
        FINDING,
        "/cars/pip/findings/front-hose-look/front.left",
        "/cars/pip/findings/front-lining-thickness/front.left",
        "/cars/pip/walk/fan-belt-note/single/voice",
        "/cars/pop",
        "/cars/pop/visit",
        "/cars/pop/walk",
    ] {
        for address in [address.to_owned(), format!("{address}?{asked}")] {
            let page = pages.get(&address).await;
            assert_eq!(page.status, StatusCode::OK, "{address}");
            assert_harmless(&address, &page.html);
            shown += page.html.matches("&lt;script&gt;").count();
        }
    }
    assert!(shown > 60, "the pages show it {shown} times: they do not show what they should");
    // And where it is refused, or names what is not there.
    let asked = encoded(&[("x", HOSTILE)]).replace("x=", "");
    for address in [format!("/cars/{asked}"), format!("/cars/pip/walk/{asked}/{asked}"), format!("/{asked}")]
    {
        let page = pages.get(&address).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND);
        assert_harmless(&address, &page.html);
    }
    let every = [
        "act",
        "of",
        "place",
        "value",
        "note",
        "reason",
        "what",
        "why",
        "months",
        "odometer",
        "asked_for",
        "ceiling",
        "state",
        "seen",
        "verdict",
        "name",
        "answer.renew-front-hose",
        "person",
    ];
    for address in ["/cars/pop/visit", BELT, HOSE, FINDING, KEYS, ANSWERS, "/sign"] {
        for act in ["write", "skip", "done", "met", "waive", "tag", "settle", "close", HOSTILE] {
            let mut fields: Vec<(&str, &str)> = every.iter().map(|name| (*name, HOSTILE)).collect();
            fields[0].1 = act;
            assert_harmless(address, &pages.post(address, &fields).await.html);
        }
    }
    // The letter that was kept, too.
    assert_harmless(LETTER, &pages.get(LETTER).await.html);
}
