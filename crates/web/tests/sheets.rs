//! Data sheets on the pages: read in plain words, searched, changed as text, and saved as a new revision.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::http::StatusCode;
use sheet::SourceFile;
use support::{Pages, file};

mod support;

const SHEET: &str = "/sheets/tallow-nuthatch";

fn sheet_files() -> Vec<SourceFile> {
    ["sheet.toml", "work.toml"]
        .map(|name| SourceFile::new(name, file(&format!("tallow-nuthatch/{name}"))))
        .into()
}

/// Pip is in the house and was looked over.
fn of_pip() -> Pages {
    Pages::with(&sheet_files(), &[file("workshop.toml"), file("pip.toml"), file("pip-2026-05-04.toml")])
}

#[tokio::test]
async fn the_only_sheet_opens_at_once() {
    let page = of_pip().get("/sheets").await;
    assert_eq!((page.status, page.to.as_str()), (StatusCode::SEE_OTHER, SHEET));
}

#[tokio::test]
async fn several_sheets_are_listed_and_a_layer_is_told_where_it_speaks() {
    let pages = of_pip();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sheet/tests/sheets/tern-workshop");
    pages.adopt(&sheet::files_in(folder.as_ref()).unwrap());
    let list = pages.get("/sheets").await;
    assert!(
        list.html.contains("Tallow Nuthatch") && list.html.contains("href=\"/sheets/tern-courier\""),
        "{}",
        list.html
    );

    let check = pages.get("/sheets/tern-courier/check/front-disc-thickness").await;
    assert!(check.html.contains("Said by “") && check.html.contains("” says <code>"), "{}", check.html);
    // The files of the sheet below are there too, under the names that lead to them.
    let address = "/sheets/tern-courier/edit?file=..%2Ftern-courier%2Fbrakes.toml";
    let edit = pages.get(address).await;
    assert!(edit.html.contains("data-file=\"../tern-courier/brakes.toml\""), "{}", edit.html);
}

#[tokio::test]
async fn a_visit_tells_which_revision_judges_it() {
    let page = of_pip().get("/cars/pip").await;
    assert!(page.html.contains("revision 1 of the sheet"), "{}", page.html);
}

#[tokio::test]
async fn a_book_without_a_sheet_says_what_to_do_first() {
    let page = Pages::with(&[], &[]).get("/sheets").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.html.contains("witnessmark sheet new"), "{}", page.html);
}

#[tokio::test]
async fn every_thing_of_the_sheet_has_its_page_and_every_link_leads_somewhere() {
    let pages = of_pip();
    let sheet = sheet::read(&sheet_files()).unwrap();
    for thing in sheet::described(&sheet).iter().filter(|thing| thing.kind != "sheet") {
        let page = pages.get(&format!("{SHEET}/{}/{}", thing.kind, thing.id)).await;
        assert_eq!(page.status, StatusCode::OK, "{} {}", thing.kind, thing.id);
        for to in page.html.split("href=\"/sheets").skip(1).map(|rest| rest.split('"').next().unwrap()) {
            let to = format!("/sheets{}", to.replace("&amp;", "&"));
            assert_ne!(pages.get(&to).await.status, StatusCode::NOT_FOUND, "{} leads to {to}", thing.id);
        }
        assert_eq!(pages.get(&format!("{SHEET}/{}", thing.kind)).await.status, StatusCode::OK);
    }
}

#[tokio::test]
async fn a_thing_is_told_with_its_source_and_what_names_it() {
    let page = of_pip().get(&format!("{SHEET}/check/front-lining-thickness")).await;
    for told in ["at least 2 mm", "Source: invented for the guide", ">sheet.toml, line 9"] {
        assert!(page.html.contains(told), "{told}\n{}", page.html);
    }
    let page = of_pip().get(&format!("{SHEET}/component/front-lining")).await;
    assert!(page.html.contains("Where it counts") && page.html.contains("/operation/renew-front-linings"));
}

#[tokio::test]
async fn a_search_finds_ids_titles_and_words_and_says_when_it_finds_nothing() {
    let pages = of_pip();
    for find in ["front-lining-thickness", "LINING", "wheel%20nuts"] {
        let page = pages.get(&format!("{SHEET}?find={find}")).await;
        assert!(page.html.contains("<ul class=\"things\"><li>"), "{find}\n{}", page.html);
    }
    let page = pages.get(&format!("{SHEET}?find=%3Cb%3Ezeppelin")).await;
    assert!(page.html.contains("Nothing on this sheet speaks of “&lt;b&gt;zeppelin”"), "{}", page.html);
}

#[tokio::test]
async fn what_is_not_on_the_sheet_is_said_with_what_is_near() {
    let pages = of_pip();
    let page = pages.get(&format!("{SHEET}/check/front-lining-thicknes")).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
    assert!(page.html.contains("Did you mean “front-lining-thickness”?"), "{}", page.html);
    for nothing in ["/sheets/none", "/sheets/none/check/a", &format!("{SHEET}/zeppelin")] {
        assert_eq!(pages.get(nothing).await.status, StatusCode::NOT_FOUND, "{nothing}");
    }
}

#[tokio::test]
async fn a_finding_leads_to_its_check_on_the_sheet() {
    let page = of_pip().get("/cars/pip/findings/front-lining-thickness/front.left").await;
    assert!(page.html.contains(&format!("href=\"{SHEET}/check/front-lining-thickness\"")), "{}", page.html);
}

const EDIT: &str = "/sheets/tallow-nuthatch/edit";
const REVISIONS: &str = "/sheets/tallow-nuthatch/revisions";

/// A text of the sheet with one thing written otherwise.
fn written(file: &str, was: &str, now: &str) -> String {
    let text = sheet_files().into_iter().find(|known| known.name == file).unwrap().text;
    assert!(text.contains(was), "{was}");
    text.replacen(was, now, 1)
}

const LIMIT: &str = "min = \"2.0 mm\"";

/// The revision that the form of the page is about.
async fn base(pages: &Pages) -> String {
    let html = pages.get(EDIT).await.html;
    html.split("name=\"base\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
}

#[tokio::test]
async fn another_limit_is_looked_at_first_and_then_saved() {
    let pages = of_pip();
    let (base, text) = (base(&pages).await, written("sheet.toml", LIMIT, "min = \"3.5 mm\""));
    let form = |act| [("base", base.as_str()), ("file", "sheet.toml"), ("text", text.as_str()), ("do", act)];

    let before = pages.entries();
    let page = pages.post(EDIT, &form("preview")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.html);
    for told in [
        "at least 2 mm",
        "at least 3.5 mm",
        "1 car of 1 would be judged otherwise",
        "would be",
        "The limit is at least 3.5 mm",
    ] {
        assert!(page.html.contains(told), "{told}\n{}", page.html);
    }
    assert_eq!(pages.entries(), before, "looking writes nothing");

    let page = pages.post(EDIT, &form("save")).await;
    assert_eq!((page.status, page.to.as_str()), (StatusCode::SEE_OTHER, REVISIONS), "{}", page.html);
    assert_eq!(pages.entries(), before + 1);
    let page = pages.get(REVISIONS).await;
    for told in ["Revision 2", "Revision 1", "by Ida", "in use", "at least 3.5 mm"] {
        assert!(page.html.contains(told), "{told}\n{}", page.html);
    }
    let check = pages.get(&format!("{SHEET}/check/front-lining-thickness")).await;
    assert!(check.html.contains("at least 3.5 mm"));
    // The visit that was judged keeps the revision that judged it.
    let finding = pages.get("/cars/pip/findings/front-lining-thickness/front.left").await;
    assert!(finding.html.contains("The limit is at least 2.0 mm"), "{}", finding.html);
}

#[tokio::test]
async fn a_form_sent_twice_is_one_revision() {
    let pages = of_pip();
    let (base, text) = (base(&pages).await, written("sheet.toml", LIMIT, "min = \"2.5 mm\""));
    let form = [
        ("draft", "d1"),
        ("base", base.as_str()),
        ("file", "sheet.toml"),
        ("text", text.as_str()),
        ("do", "save"),
    ];
    let before = pages.entries();
    for _ in 0..2 {
        assert_eq!(pages.post(EDIT, &form).await.status, StatusCode::SEE_OTHER);
    }
    assert_eq!(pages.entries(), before + 1);
}

#[tokio::test]
async fn what_is_wrong_is_told_beside_the_text_and_is_not_saved() {
    let pages = of_pip();
    let (base, text) = (base(&pages).await, written("sheet.toml", LIMIT, "min = \"2.0 Nm\""));
    let before = pages.entries();
    for act in ["look", "preview", "save"] {
        let form = [("base", base.as_str()), ("file", "sheet.toml"), ("text", text.as_str()), ("do", act)];
        let page = pages.post(EDIT, &form).await;
        let refused = if act == "look" { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
        assert_eq!(page.status, refused, "{act}");
        for told in
            ["1 thing has to be put right", "its reading is in mm", "such as", "min = &quot;2.0 Nm&quot;"]
        {
            assert!(page.html.contains(told), "{act}: {told}\n{}", page.html);
        }
    }
    assert_eq!(pages.entries(), before);
    let fragment = pages
        .post(&format!("{EDIT}/look"), &[("base", &base), ("file", "sheet.toml"), ("text", &text)])
        .await;
    assert!(
        fragment.html.contains("its reading is in mm") && !fragment.html.contains("<html"),
        "{}",
        fragment.html
    );
}

#[tokio::test]
async fn what_does_not_come_together_can_be_saved() {
    let pages = of_pip();
    let horn = r#"
[component.horn]
title       = "Horn"
system      = "engine"
criticality = "comfort"
ages-by     = { years = 1.0 }

[check.horn]
component = "horn"
title     = "Sound"
station   = "engine-bay"
states    = [
  { id = "loud",   short = "loud",   says = "Loud",   means = "sound" },
  { id = "silent", short = "silent", says = "Silent", means = "plan", within = { km = "1000 km" }, why = "It may not be heard." },
]
"#;
    let text = sheet_files().remove(0).text + horn;
    let base = base(&pages).await;
    let form = |act| [("base", base.as_str()), ("file", "sheet.toml"), ("text", text.as_str()), ("do", act)];
    let looked = pages.post(EDIT, &form("look")).await;
    assert!(looked.html.contains("It can be used. 1 thing does not come together."), "{}", looked.html);
    assert!(pages.post(EDIT, &form("preview")).await.html.contains("The checker still has 1 doubt"));
    assert_eq!(pages.post(EDIT, &form("save")).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn several_files_are_changed_together_and_each_text_goes_on_with_the_form() {
    let pages = of_pip();
    let base = base(&pages).await;
    // A part is renamed in one file and used in the other; in between the sheet does not read.
    let text = written("sheet.toml", LIMIT, "min = \"2.2 mm\"") + "# \"<&>\n";
    let page = pages
        .post(EDIT, &[("base", &base), ("file", "sheet.toml"), ("text", &text), ("open", "work.toml")])
        .await;
    let carried =
        page.html.split("name=\"changed:sheet.toml\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let carried =
        carried.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    assert_eq!(carried, text);
    assert!(page.html.contains("data-file=\"work.toml\""));

    let work = sheet_files().remove(1).text.replace('\n', "\r\n"); // as browsers send it
    let new = "[glossary.lip]\ntitle = \"Lip\"\nsays = \"An edge.\"\n";
    let form = [
        ("base", base.as_str()),
        ("changed:sheet.toml", &text),
        ("changed:words.toml", new),
        ("changed:../evil.toml", new),
        ("file", "work.toml"),
        ("text", &work),
        ("do", "save"),
    ];
    let page = pages.post(EDIT, &form).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.html);
    let edit = pages.get(EDIT).await.html;
    assert!(edit.contains("words.toml") && !edit.contains("evil"), "{edit}");
    assert!(pages.get(&format!("{SHEET}/glossary/lip")).await.html.contains("An edge."));
    let page = pages.get(REVISIONS).await;
    assert!(!page.html.contains("Operation <code>"), "a text with other ends of lines is the same text");
}

#[tokio::test]
async fn files_are_added_and_left_out_by_names_of_a_sheets_files_only() {
    let pages = of_pip();
    let base = base(&pages).await;
    let text = sheet_files().remove(0).text;
    let act = |act, name| {
        vec![
            ("base", base.as_str()),
            ("file", "sheet.toml"),
            ("text", text.as_str()),
            ("do", act),
            ("new_name", name),
        ]
    };
    for name in ["../a.toml", "/etc/passwd", "a.txt", "work.toml", ""] {
        let page = pages.post(EDIT, &act("add", name)).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        assert!(page.html.contains(&format!("value=\"{name}\"")), "what was typed is still there: {name}");
    }
    let page = pages.post(EDIT, &act("add", "words.toml")).await;
    assert!(page.html.contains("data-file=\"words.toml\""), "{}", page.html);
    let page = pages.post(EDIT, &act("remove", "")).await;
    assert!(
        page.html.contains("name=\"gone\" value=\"sheet.toml\"") && page.html.contains("to be put right"),
        "{}",
        page.html
    );
}

#[tokio::test]
async fn the_second_of_two_is_told_keeps_the_text_and_puts_it_on_top() {
    let pages = of_pip();
    let base = base(&pages).await;
    let theirs = written("sheet.toml", LIMIT, "min = \"2.4 mm\"");
    let mine = written("sheet.toml", "title      = \"Tallow Nuthatch\"", "title      = \"My Nuthatch\"");
    let form = |text, act| vec![("base", base.as_str()), ("file", "sheet.toml"), ("text", text), ("do", act)];
    assert_eq!(pages.post(EDIT, &form(&theirs, "save")).await.status, StatusCode::SEE_OTHER);

    let before = pages.entries();
    for act in ["preview", "save"] {
        let page = pages.post(EDIT, &form(&mine, act)).await;
        assert_eq!(page.status, StatusCode::CONFLICT);
        for told in ["saved a new revision while you were here", "at least 2.4 mm", "My Nuthatch"] {
            assert!(page.html.contains(told), "{told}\n{}", page.html);
        }
    }
    assert_eq!(pages.entries(), before);

    let page = pages.post(EDIT, &form(&mine, "onto")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.html.contains("My Nuthatch") && page.html.contains("min = \"2.4 mm\"")
            || page.html.contains("2.4 mm"),
        "{}",
        page.html
    );
    assert!(!page.html.contains("while you were here"));

    let same_line = written("sheet.toml", LIMIT, "min = \"2.6 mm\"");
    let page = pages.post(EDIT, &form(&same_line, "onto")).await;
    assert!(
        page.html.contains("both of you changed the same lines of sheet.toml")
            && page.html.contains("2.6 mm"),
        "{}",
        page.html
    );
}

#[tokio::test]
async fn the_id_of_a_sheet_stays_and_nothing_changed_is_nothing_saved() {
    let pages = of_pip();
    let base = base(&pages).await;
    let same = sheet_files().remove(0).text;
    let other = same.replace("\"tallow-nuthatch\"", "\"tallow-wren\"");
    for (text, told) in [(&same, "nothing is changed yet"), (&other, "cars name it so")] {
        let page = pages
            .post(EDIT, &[("base", &base), ("file", "sheet.toml"), ("text", text), ("do", "save")])
            .await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.html.contains(told), "{told}\n{}", page.html);
    }
}

#[tokio::test]
async fn nobody_writes_unsigned_and_what_was_typed_comes_back() {
    let pages = of_pip();
    let base = base(&pages).await;
    let text = written("sheet.toml", LIMIT, "min = \"2.1 mm\"");
    let before = pages.entries();
    for signer in ["", "nobody"] {
        let form = [("base", base.as_str()), ("file", "sheet.toml"), ("text", text.as_str()), ("do", "save")];
        let page = pages.post_as(signer, EDIT, &form).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.html.contains("2.1 mm") && page.html.contains("nobody signs"), "{}", page.html);
    }
    assert_eq!(pages.entries(), before);
}

#[tokio::test]
async fn more_than_is_read_at_once_is_said_with_what_to_do() {
    let pages = of_pip();
    let base = base(&pages).await;
    let long = "#".repeat((1 << 20) + 1);
    let page =
        pages.post(EDIT, &[("base", &base), ("file", "sheet.toml"), ("text", &long), ("do", "save")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.html.contains("more than 1 MiB"));
    let page =
        pages.post(EDIT, &[("base", &base), ("file", "sheet.toml"), ("text", &"#".repeat(7 << 20))]).await;
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(page.html.contains("your browser still has what you typed"), "{}", page.html);
}
