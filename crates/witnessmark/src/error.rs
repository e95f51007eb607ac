//! How failures are told: on standard error, in words or in JSON. Exit code 2 is yours to put right, 1 is not.

use crate::output::complain;
use book::BookError;
use columns::ColumnsError;
use serde_json::{Value, json};
use std::process::ExitCode;
use workshop::words;

/// A command that did not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum Failed {
    #[error(transparent)]
    Book(#[from] BookError),
    #[error("{0}")]
    Sheet(sheet::Problems),
    #[error("the sheet has nothing called `{id}`")]
    NotOnSheet { id: String, nearest: Option<String> },
    #[error("{folder} already holds {file}")]
    NotEmpty { folder: String, file: String },
    #[error(transparent)]
    Plan(#[from] workshop::plan::PlanFailed),
    #[error("{}", of_one_or_many(.0))]
    Arguments(Vec<WrongArgument>),
    #[error(transparent)]
    Columns(#[from] ColumnsError),
    #[error("{}", .0.in_short())]
    Formula(WrongFormula),
    #[error("{path} cannot be planned: {}", of_one_or(.problems, "things are wrong with it"))]
    Instance { path: String, problems: Vec<String> },
    #[error("no plan keeps all the rules of {path}: {}", of_one_or(.clash, "of them cannot be kept together"))]
    Clash { path: String, clash: Vec<String> },
    #[error("no plan of {car} keeps all of that: {}", of_one_or(.clash, "of these cannot be kept together"))]
    Wishes { car: String, clash: Vec<String> },
    #[error("nothing can be worked out from {path}: {cause}")]
    Refused { path: String, cause: String },
    #[error("{path} cannot be written")]
    Write { path: String, source: std::io::Error },
    #[error("car `{0}` has no visit yet: there is nothing to write of")]
    NoVisit(String),
    #[error("the journal is not whole: {}", .0.join("; "))]
    NotWhole(Vec<String>),
    #[error("{folder} holds a book that is not the demonstration's")]
    NotTheDemo { folder: String },
    #[error("nothing can be served at {address}")]
    Listen { address: String, source: std::io::Error },
    #[error("the server stopped")]
    Server(#[source] std::io::Error),
}

/// What is wrong with a formula's inputs, and what it takes.
#[derive(Debug)]
pub struct WrongFormula {
    pub problems: Vec<String>,
    pub help: String,
}

impl WrongFormula {
    fn in_short(&self) -> String {
        match self.problems.as_slice() {
            [one] => one.clone(),
            many => format!("{} inputs are wrong", many.len()),
        }
    }
}

/// An argument that cannot be what it should be.
#[derive(Debug, thiserror::Error)]
#[error("`{text}` is no {what}: {cause}")]
pub struct WrongArgument {
    pub what: &'static str,
    pub text: String,
    pub cause: String,
}

impl WrongArgument {
    pub fn new(what: &'static str, text: &str, cause: impl ToString) -> Self {
        Self { what, text: text.trim().to_owned(), cause: cause.to_string() }
    }
}

impl From<WrongArgument> for Failed {
    fn from(wrong: WrongArgument) -> Self {
        Self::Arguments(vec![wrong])
    }
}

/// Collects what is wrong with arguments, so that all of it is told at once.
#[derive(Debug, Default)]
pub struct WrongArguments(Vec<WrongArgument>);

impl WrongArguments {
    pub fn keep<T>(&mut self, read: Result<T, WrongArgument>) -> Option<T> {
        read.map_err(|wrong| self.0.push(wrong)).ok()
    }

    /// What was read, if nothing was wrong.
    ///
    /// # Errors
    /// Everything that was wrong.
    pub fn tell<T>(self, read: Option<T>) -> Result<T, Failed> {
        read.filter(|_| self.0.is_empty()).ok_or(Failed::Arguments(self.0))
    }
}

fn of_one_or(told: &[String], of_many: &str) -> String {
    match told {
        [one] => one.clone(),
        many => format!("{} {of_many}", many.len()),
    }
}

fn of_one_or_many(wrong: &[WrongArgument]) -> String {
    match wrong {
        [one] => one.to_string(),
        many => format!("{} arguments are wrong", many.len()),
    }
}

impl Failed {
    fn is_yours(&self) -> bool {
        match self {
            Self::Book(error) => error.is_yours(),
            Self::Sheet(_)
            | Self::NotOnSheet { .. }
            | Self::NotEmpty { .. }
            | Self::Plan(_)
            | Self::Wishes { .. }
            | Self::Arguments(_)
            | Self::Columns(_)
            | Self::Formula(_)
            | Self::Instance { .. }
            | Self::Refused { .. }
            | Self::NoVisit(_)
            | Self::NotTheDemo { .. } => true,
            Self::Clash { .. }
            | Self::Write { .. }
            | Self::NotWhole(_)
            | Self::Listen { .. }
            | Self::Server(_) => false,
        }
    }

    fn help(&self) -> Option<String> {
        match self {
            Self::Book(error) => error.help(),
            Self::NotOnSheet { nearest: Some(near), .. } => Some(format!("did you mean `{near}`?")),
            Self::NotOnSheet { .. } => Some("leave the id out for a list of everything".into()),
            Self::NotEmpty { .. } => Some("name another folder".into()),
            Self::Formula(wrong) => Some(wrong.help.clone()),
            Self::NotTheDemo { .. } => Some("name another folder with `--book`".into()),
            Self::Listen { .. } => {
                Some("name another address with `--listen`; port 0 takes any free one".into())
            }
            Self::Clash { .. } | Self::Wishes { .. } => Some("loosen any one of them".into()),
            Self::NotWhole(_) => Some("keep a copy of the folder before anything else".into()),
            _ => None,
        }
    }

    /// Tells the failure and gives the exit code.
    pub fn report(&self, json: bool) -> ExitCode {
        if json {
            complain!("{}", self.json());
        } else {
            match self {
                Self::Sheet(problems) | Self::Book(BookError::Sheet(problems)) => {
                    complain!("{}", problems.to_string().trim_end())
                }
                Self::Book(BookError::Files(problems)) => complain!("{}", problems.to_string().trim_end()),
                Self::Columns(ColumnsError { path, problems }) => {
                    let (told, more) = columns::told(problems);
                    told.iter().for_each(|problem| complain!("{path}: {problem}"));
                    if more > 0 {
                        complain!("{path}: and {more} more");
                    }
                }
                Self::Arguments(wrong) if wrong.len() > 1 => wrong.iter().for_each(|one| complain!("{one}")),
                Self::Formula(wrong) if wrong.problems.len() > 1 => {
                    wrong.problems.iter().for_each(|one| complain!("{one}"));
                }
                Self::Instance { problems: told, .. }
                | Self::Clash { clash: told, .. }
                | Self::Wishes { clash: told, .. }
                    if told.len() > 1 =>
                {
                    told.iter().for_each(|one| complain!("{one}"));
                }
                _ => {}
            }
            if !matches!(self, Self::Sheet(_)) {
                complain!("{}", chain(self));
            }
            if let Some(help) = self.help() {
                complain!("{help}");
            }
        }
        ExitCode::from(if self.is_yours() { 2 } else { 1 })
    }

    fn json(&self) -> Value {
        let problems = match self {
            Self::Sheet(problems) | Self::Book(BookError::Sheet(problems)) => serde_json::to_value(problems),
            Self::Book(BookError::Files(problems)) => serde_json::to_value(problems),
            Self::Columns(ColumnsError { path, problems }) => Ok(columns::told(problems)
                .0
                .iter()
                .map(|problem| json!({ "file": path, "line": problem.line, "message": problem.says }))
                .collect()),
            Self::Arguments(wrong) if wrong.len() > 1 => {
                Ok(wrong.iter().map(|one| json!({ "message": one.to_string() })).collect())
            }
            Self::Formula(wrong) if wrong.problems.len() > 1 => {
                Ok(wrong.problems.iter().map(|one| json!({ "message": one })).collect())
            }
            Self::Instance { problems: told, .. }
            | Self::Clash { clash: told, .. }
            | Self::Wishes { clash: told, .. } => {
                Ok(told.iter().map(|one| json!({ "message": one })).collect())
            }
            _ => Ok(Value::Array(vec![])),
        };
        let message = match self {
            Self::Sheet(problems) => {
                format!("{} in the data sheet", words::count(problems.count(), "problem", "problems"))
            }
            other => chain(other),
        };
        json!({ "error": message, "help": self.help(), "problems": problems.unwrap_or_default() })
    }
}

/// An error with its causes, each said once.
fn chain(error: &Failed) -> String {
    let mut says = error.to_string();
    // What is wrong in files was told line by line already.
    if let Failed::Sheet(_) | Failed::Columns(_) | Failed::Book(BookError::Files(_) | BookError::Sheet(_)) =
        error
    {
        return says;
    }
    let error: &dyn std::error::Error = error;
    let mut cause = error.source();
    while let Some(error) = cause {
        let text = error.to_string();
        if !says.contains(&text) {
            says.push_str(": ");
            says.push_str(&text);
        }
        cause = error.source();
    }
    says
}

/// Wrong use of the command line, or a request for help.
pub fn wrong_use(error: &clap::Error) -> ExitCode {
    let wants_json = std::env::args_os().any(|argument| argument == "--json");
    if wants_json && error.use_stderr() {
        // What is wrong, with the names that follow it on lines of their own; then how it is used.
        let text = error.to_string();
        let (wrong, help) = text.split_once("\n\n").unwrap_or((&text, ""));
        let message = wrong.split_whitespace().collect::<Vec<_>>().join(" ");
        let message = message.trim_start_matches("error: ");
        complain!("{}", json!({ "error": message, "help": help.trim(), "problems": [] }));
    } else {
        _ = error.print();
    }
    ExitCode::from(if error.use_stderr() { 2 } else { 0 })
}
