//! One program run: what it is for, what it says, how long it took, and its last words when it fails.

use crate::error::Failed;
use std::{
    collections::VecDeque,
    io::{self, BufRead, BufReader, IsTerminal, Read, Write},
    process::{Command, Stdio},
    sync::mpsc::{self, RecvTimeoutError, Sender},
    thread,
    time::{Duration, Instant},
};

/// How many of the last lines are told again when a program fails.
const LAST_WORDS: usize = 30;
/// How many lines that name a failure are told again, wherever they stood.
const NAMED: usize = 200;

/// Runs a program and passes on what it says.
///
/// # Errors
/// [`Failed::Step`] with the program's own exit code, or [`Failed::Start`].
pub fn run(name: &str, purpose: &str, command: &mut Command) -> Result<Duration, Failed> {
    keep(name, purpose, command).map(|(took, _)| took)
}

/// The same, and keeps what it says on its standard output.
pub fn keep(name: &str, purpose: &str, command: &mut Command) -> Result<(Duration, String), Failed> {
    println!("── {name}: {purpose}");
    if io::stdout().is_terminal() {
        command.env("CARGO_TERM_COLOR", "always").env("FORCE_COLOR", "1");
    }
    let begun = Instant::now();
    let mut child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|source| Failed::Start { command: shown(command), source })?;
    let (send, lines) = mpsc::channel();
    hear(child.stdout.take(), false, send.clone());
    hear(child.stderr.take(), true, send);

    let (mut last, mut told) = (LastWords::default(), vec![]);
    let status = loop {
        match lines.recv_timeout(Duration::from_millis(200)) {
            Ok((is_error, line)) => {
                pass_on(is_error, &line);
                last.hear(&line);
                if !is_error {
                    told.extend(line);
                }
            }
            Err(RecvTimeoutError::Disconnected) => break child.wait(),
            // Something that the program left running may hold its output open for ever.
            Err(RecvTimeoutError::Timeout) => {
                if let ended @ (Ok(Some(_)) | Err(_)) = child.try_wait() {
                    break ended.map(Option::unwrap_or_default);
                }
            }
        }
    }
    .map_err(|source| Failed::Start { command: shown(command), source })?;
    let took = begun.elapsed();
    if status.success() {
        println!("── {name}: done in {:.1} s", took.as_secs_f64());
        return Ok((took, String::from_utf8_lossy(&told).into_owned()));
    }
    let code = status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1);
    Err(Failed::Step { name: name.into(), command: shown(command), code, last_words: last.all() })
}

/// Runs a program for its answer; its own words are only told when it fails.
pub fn ask(name: &str, command: &mut Command) -> Result<String, Failed> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .map_err(|source| Failed::Start { command: shown(command), source })?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    let mut last = LastWords::default();
    for text in [&output.stdout, &output.stderr] {
        String::from_utf8_lossy(text).lines().for_each(|line| last.hear(line.as_bytes()));
    }
    let code = output.status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1);
    Err(Failed::Step { name: name.into(), command: shown(command), code, last_words: last.all() })
}

/// A command as a person would type it.
pub fn shown(command: &Command) -> String {
    let program = std::path::Path::new(command.get_program());
    let program = program.file_name().unwrap_or(program.as_os_str());
    std::iter::once(program)
        .chain(command.get_args())
        .map(|word| word.to_string_lossy())
        .map(|word| if word.contains(' ') { format!("'{word}'") } else { word.into_owned() })
        .collect::<Vec<_>>()
        .join(" ")
}

/// What a person wants to read again after much output: the failures by name, and the end.
#[derive(Default)]
struct LastWords {
    named: Vec<String>,
    last: VecDeque<(usize, String)>,
    heard: usize,
    named_at: Vec<usize>,
}

impl LastWords {
    fn hear(&mut self, line: &[u8]) {
        let line = String::from_utf8_lossy(line).trim_end().to_owned();
        if names_a_failure(&line) && self.named.len() < NAMED {
            self.named.push(line.clone());
            self.named_at.push(self.heard);
        }
        self.last.push_back((self.heard, line));
        if self.last.len() > LAST_WORDS {
            self.last.pop_front();
        }
        self.heard += 1;
    }

    fn all(self) -> Vec<String> {
        let first = self.last.front().map_or(0, |(at, _)| *at);
        let before = self.named.into_iter().zip(self.named_at).filter(|(_, at)| *at < first);
        before.map(|(line, _)| line).chain(self.last.into_iter().map(|(_, line)| line)).collect()
    }
}

/// Lines by which the Rust test runner, the compiler and Node's test runner name what is wrong.
fn names_a_failure(line: &str) -> bool {
    let failed_test = line.starts_with("test ") && line.ends_with("FAILED");
    failed_test
        || line.contains("' panicked at ")
        || line.starts_with("error")
        || line.trim_start().starts_with('✖')
}

type Line = (bool, Vec<u8>);

fn hear(from: Option<impl Read + Send + 'static>, is_error: bool, to: Sender<Line>) {
    let Some(from) = from else { return };
    thread::spawn(move || {
        let mut from = BufReader::new(from);
        let mut line = vec![];
        while from.read_until(b'\n', &mut line).is_ok_and(|read| read > 0) {
            if to.send((is_error, std::mem::take(&mut line))).is_err() {
                return;
            }
        }
    });
}

fn pass_on(is_error: bool, line: &[u8]) {
    // A reader that has gone away is no reason to stop the work.
    _ = if is_error { io::stderr().write_all(line) } else { io::stdout().write_all(line) };
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sh(script: &str) -> Command {
        let mut command = Command::new("sh");
        command.args(["-c", script]);
        command
    }

    #[test]
    fn a_program_that_fails_gives_its_exit_code_and_last_words() {
        let failed = run("try", "a program that fails", &mut sh("echo so far; echo no further >&2; exit 7"));
        let Err(Failed::Step { code: 7, last_words, .. }) = failed else { panic!("{failed:?}") };
        assert!(last_words.contains(&"so far".into()) && last_words.contains(&"no further".into()));
    }

    #[test]
    fn a_failure_far_back_is_told_again() {
        let failed = run("try", "much output", &mut sh("echo 'test a::b ... FAILED'; seq 50; exit 101"));
        let Err(Failed::Step { code: 101, last_words, .. }) = failed else { panic!("{failed:?}") };
        assert_eq!(last_words[0], "test a::b ... FAILED");
        assert_eq!(last_words.len(), 1 + LAST_WORDS);
    }

    #[test]
    fn what_a_program_leaves_running_does_not_hold_us() {
        let begun = Instant::now();
        run("try", "a program that leaves one behind", &mut sh("sleep 5 & echo done")).unwrap();
        assert!(begun.elapsed() < Duration::from_secs(4));
    }

    #[test]
    fn a_program_that_is_not_there_is_named() {
        let failed = run("try", "no program", &mut Command::new("no-such-program")).unwrap_err();
        assert!(failed.to_string().contains("no-such-program"));
        assert!(ask("try", &mut sh("exit 3")).is_err());
    }
}
