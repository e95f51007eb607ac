//! The documents say what the program does: every command in them is run and must print what stands below it, every link
//! leads somewhere, the command reference names every command and option, and the table of rooms is the workspace's.
//!
//! A command is a line that begins with `$ ` in a `console` block; what follows up to the next is what it prints. Documents
//! are read from the root of the project, README first, in one folder that is thrown away. With `WITNESSMARK_DOCUMENTS=write`
//! in the environment what is printed now is written into them instead.

#![expect(clippy::unwrap_used, reason = "a test that cannot read its own files has nothing to say")]

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
    process::Command,
};

const PROGRAM: &str = env!("CARGO_BIN_EXE_witnessmark");

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The documents for people, README first.
fn documents() -> Vec<String> {
    let mut found = vec!["README.md".to_owned(), "ARCHITECTURE.md".into(), "CHANGELOG.md".into()];
    let mut folders = vec!["docs".to_owned()];
    let mut more = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(root().join(&folder)).unwrap() {
            let entry = entry.unwrap();
            let name = format!("{folder}/{}", entry.file_name().to_str().unwrap());
            if entry.file_type().unwrap().is_dir() {
                folders.push(name);
            } else if name.ends_with(".md") {
                more.push(name);
            }
        }
    }
    more.sort();
    found.extend(more);
    found
}

/// One command of a document and the lines that it is said to print.
struct Shown {
    /// Line of the command, counted from 0.
    line: usize,
    command: String,
    prints: Vec<String>,
}

fn shown(text: &str) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    let mut inside = false;
    for (line, content) in text.lines().enumerate() {
        if content.starts_with("```") {
            inside = content == "```console";
        } else if inside && let Some(command) = content.strip_prefix("$ ") {
            all.push(Shown { line, command: command.into(), prints: vec![] });
        } else if inside && let Some(last) = all.last_mut() {
            last.prints.push(content.into());
        }
    }
    all
}

/// What a command prints, on either stream, in a folder.
fn printed(command: &str, folder: &Path) -> Vec<String> {
    let programs = Path::new(PROGRAM).parent().unwrap().display().to_string();
    let path = format!("{programs}:{}", std::env::var("PATH").unwrap_or_default());
    let output = Command::new("sh")
        .args(["-c", &format!("{{ {command}\n}} 2>&1")])
        .current_dir(folder)
        .env("PATH", path)
        .env_remove("WITNESSMARK_BOOK")
        .env("COLUMNS", "100")
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    text.trim_end().lines().map(|line| line.trim_end().to_owned()).collect()
}

#[test]
fn what_the_documents_print_is_what_the_program_prints() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["docs", "demo", "sheets"] {
        std::os::unix::fs::symlink(root().canonicalize().unwrap().join(name), folder.path().join(name))
            .unwrap();
    }
    let write = std::env::var("WITNESSMARK_DOCUMENTS").is_ok_and(|how| how == "write");
    let (mut commands, mut wrong) = (0, String::new());
    for document in documents() {
        let path = root().join(&document);
        let text = fs::read_to_string(&path).unwrap();
        let shown = shown(&text);
        commands += shown.len();
        if shown.is_empty() {
            continue;
        }
        let printed: Vec<_> = shown.iter().map(|one| printed(&one.command, folder.path())).collect();
        if write {
            let mut lines: Vec<String> = text.lines().map(Into::into).collect();
            for (one, now) in shown.iter().zip(printed).rev() {
                lines.splice(one.line + 1..one.line + 1 + one.prints.len(), now);
            }
            fs::write(&path, lines.join("\n") + "\n").unwrap();
            continue;
        }
        for (one, now) in shown.iter().zip(&printed).filter(|(one, now)| one.prints != **now) {
            let (line, command) = (one.line + 1, &one.command);
            let (said, now) = (one.prints.join("\n"), now.join("\n"));
            wrong
                .push_str(&format!("{document}:{line}: {command}\n--- said\n{said}\n--- printed\n{now}\n\n"));
        }
    }
    assert!(commands > 8, "{commands} commands are not what the documents had");
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn every_link_leads_somewhere() {
    let mut lost = Vec::new();
    for document in documents() {
        let path = root().join(&document);
        let text = fs::read_to_string(&path).unwrap();
        let markdown = text.split("](").skip(1).filter_map(|rest| rest.split_once(')').map(|(link, _)| link));
        let pictures =
            text.split("src=\"").skip(1).filter_map(|rest| rest.split_once('"').map(|(link, _)| link));
        for link in
            markdown.chain(pictures).filter(|link| !link.starts_with("http") && !link.starts_with('#'))
        {
            let file = link.split('#').next().unwrap_or(link);
            if !path.parent().unwrap().join(file).exists() {
                lost.push(format!("{document}: {link}"));
            }
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// The names under a heading of a help text: commands, or options.
fn listed(help: &str, heading: &str) -> Vec<String> {
    let section = help.split(&format!("\n{heading}:\n")).nth(1).unwrap_or_default();
    let section = section.split("\n\n").next().unwrap_or_default();
    match heading {
        "Commands" => {
            section.lines().filter_map(|line| line.split_whitespace().next()).map(Into::into).collect()
        }
        _ => help
            .split_whitespace()
            .filter(|word| word.starts_with("--"))
            .map(|word| word.trim_end_matches([',', ']', '>', '.', ':']).to_owned())
            .collect(),
    }
}

#[test]
fn the_command_reference_names_every_command_and_option() {
    let reference = fs::read_to_string(root().join("docs/commands.md")).unwrap();
    let mut missing = Vec::new();
    let mut waiting: Vec<Vec<String>> = vec![vec![]];
    let mut commands = 0;
    while let Some(words) = waiting.pop() {
        let output = Command::new(PROGRAM).args(&words).arg("--help").env("COLUMNS", "100").output().unwrap();
        let help = String::from_utf8(output.stdout).unwrap();
        let below: Vec<_> = listed(&help, "Commands").into_iter().filter(|name| name != "help").collect();
        if below.is_empty() {
            commands += 1;
            let title = format!("## `witnessmark {}`", words.join(" "));
            let section =
                reference.split(&title).nth(1).map(|rest| rest.split("\n## ").next().unwrap_or(rest));
            match section {
                None => missing.push(title),
                Some(section) => missing.extend(
                    listed(&help, "Options")
                        .into_iter()
                        .filter(|option| option != "--help" && !section.contains(&format!("`{option}")))
                        .map(|option| format!("{title}: {option}")),
                ),
            }
        }
        waiting.extend(below.into_iter().map(|name| [words.clone(), vec![name]].concat()));
    }
    assert!(commands > 10, "{commands} commands are not what the program had");
    assert!(missing.is_empty(), "docs/commands.md lacks {missing:#?}");
}

#[test]
fn the_table_of_rooms_is_the_workspaces() {
    let mut crates = BTreeMap::new();
    let names: BTreeSet<String> = fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_str().unwrap().to_owned())
        .collect();
    for name in &names {
        let manifest = fs::read_to_string(root().join("crates").join(name).join("Cargo.toml")).unwrap();
        let section = manifest.split("[dependencies]\n").nth(1).unwrap_or_default();
        let uses: BTreeSet<String> = section
            .lines()
            .take_while(|line| !line.starts_with('['))
            .filter_map(|line| line.split_once(".workspace").map(|(name, _)| name.to_owned()))
            .filter(|used| names.contains(used))
            .collect();
        crates.insert(name.clone(), uses);
    }
    let document = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    let table = document.split("## Rooms").nth(1).unwrap().split("\n\n|").nth(1).unwrap();
    let quoted =
        |cell: &str| cell.split('`').skip(1).step_by(2).map(Into::into).collect::<BTreeSet<String>>();
    let rooms: BTreeMap<String, BTreeSet<String>> = table
        .lines()
        .take_while(|line| line.contains('|'))
        .filter_map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').collect();
            let room = quoted(cells.first()?).pop_first()?;
            Some((room, quoted(cells.get(2)?)))
        })
        .collect();
    assert_eq!(rooms, crates);
}

#[test]
fn every_dependency_has_its_reason() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let section = manifest.split("[workspace.dependencies]\n").nth(1).unwrap();
    let decision =
        fs::read_to_string(root().join("docs/decisions/0001-workspace-rooms-dependencies.md")).unwrap();
    let names =
        section.lines().take_while(|line| !line.starts_with('[')).filter(|line| !line.contains("path ="));
    let without: Vec<&str> = names
        .filter_map(|line| line.split_once(" = ").map(|(name, _)| name))
        .filter(|name| !decision.contains(&format!("`{name}`")))
        .collect();
    assert!(without.is_empty(), "0001 gives no reason for {without:?}");
}
