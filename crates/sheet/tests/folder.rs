//! Reading from a folder: what is not a sheet's file is told, not guessed.

#![allow(clippy::unwrap_used)]

use sheet::{LARGEST, read_dir};
use std::fs;

fn problems(files: &[(&str, &[u8])]) -> String {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    let shown = folder.path().display().to_string();
    read_dir(folder.path()).unwrap_err().to_string().replace(&shown, "FOLDER")
}

#[test]
fn a_folder_without_files_is_no_sheet() {
    insta::assert_snapshot!(problems(&[("notes.txt", b"[sheet]")]));
}

#[test]
fn a_folder_that_is_not_there_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let problems = read_dir(&folder.path().join("nowhere")).unwrap_err();
    assert_eq!(problems.count(), 1);
    assert!(problems.to_string().starts_with("the file cannot be read: "), "{problems}");
}

#[test]
fn bytes_that_are_no_text_and_a_file_too_large_are_told_with_what_is_wrong_in_the_others() {
    let large = vec![b'#'; usize::try_from(LARGEST).unwrap() + 1];
    let latin =
        "[system.brakes]\ntitle = \"Fr".as_bytes().iter().copied().chain([0xe4, b'"']).collect::<Vec<u8>>();
    let wrong = b"[system.engine]\ntitle = 7\n";
    insta::assert_snapshot!(problems(&[
        ("large.toml", &large),
        ("latin.toml", &latin),
        ("wrong.toml", wrong)
    ]));
}

#[test]
fn folders_below_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("old.toml")).unwrap();
    fs::write(folder.path().join("old.toml/brakes.toml"), "nonsense").unwrap();
    let problems = read_dir(folder.path()).unwrap_err();
    assert!(problems.to_string().starts_with("the folder holds no data sheet"), "{problems}");
}
