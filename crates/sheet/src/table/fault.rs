//! What can be wrong with any table, whatever it is about.

use crate::diagnostic::{Fault, Hidden};
use quantity::{Kind, QuantityError, Unit};
use std::fmt;

/// What can be wrong with any table, whatever it is about. Names of tables and keys come ready for a sentence:
/// "`limit` of check `front-disc-thickness`".
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableFault {
    #[error("the file cannot be read: {reason}")]
    Unreadable { reason: String },
    #[error("the file is not UTF-8 text")]
    NotUtf8,
    #[error("the file has more than {limit} bytes")]
    TooLarge { limit: u64 },
    #[error("{message}")]
    Syntax { message: String, help: Option<String> },
    #[error("{count} more mistakes in the writing of this file")]
    MoreSyntax { count: usize },
    #[error("{what} is written twice")]
    Duplicate { what: String },
    #[error("{of} has no key `{key}`")]
    UnknownKey { key: String, of: String, nearest: Option<&'static str>, known: Vec<&'static str> },
    #[error("{of} has no `{key}`")]
    MissingKey { key: &'static str, of: String },
    #[error("{what} is {found}, not {wanted}")]
    WrongType { what: String, found: Shape, wanted: Shape },
    #[error("{what} is blank")]
    Blank { what: String },
    #[error("{what} is {found}")]
    OutOfRange { what: String, found: String, wanted: &'static str },
    #[error("{what} cannot be `{found}`")]
    UnknownWord { what: String, found: String, nearest: Option<&'static str>, words: Vec<&'static str> },
    #[error("`{id}` cannot be an id")]
    BadId { id: String, capitals: bool },
    #[error("there is no {kind} `{id}`")]
    Dangling { kind: &'static str, id: String, nearest: Option<String>, some: Vec<String> },
    #[error("{}", split(.cause).0)]
    Measure { cause: QuantityError },
    #[error("{what} is in {found}, {}, not {}", .found.kind().phrase(), alternatives(.wanted, Kind::phrase))]
    WrongKind { what: String, found: Unit, wanted: Vec<Kind> },
    #[error("{what} is no amount of money: {found}")]
    Money { what: String, found: String },
}

impl Fault for TableFault {
    fn help(&self) -> Option<String> {
        Some(match self {
            Self::Unreadable { .. } => "see that the file is there and may be read".into(),
            Self::NotUtf8 => "save the file as UTF-8".into(),
            Self::TooLarge { .. } => "split it into several files".into(),
            Self::Syntax { help, .. } => return help.clone(),
            Self::MoreSyntax { .. } => "see whether this is a TOML file at all".into(),
            Self::Duplicate { .. } => "give one of the two another name, or make them one".into(),
            Self::UnknownKey { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::UnknownKey { known, .. } if known.is_empty() => "leave it out".into(),
            Self::UnknownKey { known, .. } => format!("it may have {}", list(known)),
            Self::MissingKey { key, .. } => format!("add `{key} = …`"),
            Self::WrongType { wanted, .. } => wanted.advice().into(),
            Self::Blank { .. } => "write something, or leave the key out".into(),
            Self::OutOfRange { wanted, .. } => format!("write {wanted}"),
            Self::UnknownWord { nearest: Some(near), .. } => format!("did you mean \"{near}\"?"),
            Self::UnknownWord { words, .. } => format!("write one of \"{}\"", words.join("\", \"")),
            Self::BadId { capitals: false, .. } => "use small letters, digits, `-`, `_` and `.`".into(),
            Self::BadId { capitals: true, .. } => "use letters, digits, `-`, `_` and `.`".into(),
            Self::Dangling { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::Dangling { kind, some, .. } if some.is_empty() => {
                format!("no {kind} is written anywhere yet")
            }
            Self::Dangling { some, .. } => format!("there is {}", list(some)),
            Self::Measure { cause } => split(cause).1.unwrap_or_else(|| {
                "write a unit of the trade, such as mm, km, bar, N·m, °C or years".to_owned()
            }),
            Self::WrongKind { wanted, .. } => {
                format!("write {}", alternatives(wanted, |k| k.phrase()) + &such_as(wanted))
            }
            Self::Money { .. } => "write digits without a unit, such as \"84.50\"".into(),
        })
    }

    fn hidden(&self) -> Hidden {
        match self {
            Self::UnknownKey { .. } | Self::MissingKey { .. } => Hidden::InThisFile,
            Self::Dangling { .. } => Hidden::Anywhere,
            _ => Hidden::Nowhere,
        }
    }
}

/// The message of a quantity and its advice, which follows a semicolon.
fn split(cause: &QuantityError) -> (String, Option<String>) {
    let text = cause.to_string();
    match text.split_once("; ") {
        Some((message, advice)) => (message.to_owned(), Some(advice.to_owned())),
        None => (text, None),
    }
}

fn alternatives(kinds: &[Kind], say: impl Fn(Kind) -> &'static str) -> String {
    kinds.iter().map(|kind| say(*kind)).collect::<Vec<_>>().join(" or ")
}

fn such_as(kinds: &[Kind]) -> String {
    kinds.first().map(|kind| format!(", such as \"{}\"", kind.example())).unwrap_or_default()
}

/// Names as a list for a sentence, at most twenty of them.
fn list(names: &[impl fmt::Display]) -> String {
    let mut shown: Vec<_> = names.iter().take(20).map(|name| format!("`{name}`")).collect();
    if names.len() > shown.len() {
        shown.push("…".into());
    }
    shown.join(", ")
}

/// What a value is, as far as TOML goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    Text,
    Number,
    WholeNumber,
    Flag,
    Date,
    List,
    Table,
    /// Text that says a number and its unit.
    Measure,
    /// Text that says an amount of money.
    Money,
    /// Tables, each under its id.
    ById,
}

impl Shape {
    fn advice(self) -> &'static str {
        match self {
            Self::Text => "write it in quotes",
            Self::Number => "write a number without quotes, such as 0.5",
            Self::WholeNumber => "write a whole number without quotes, such as 8",
            Self::Flag => "write true or false, without quotes",
            Self::Date => "write a date without quotes, such as 2024-04-12",
            Self::List => "write a list in square brackets, such as [\"a\", \"b\"]",
            Self::Table => "write it as a table: { … }",
            Self::Measure => "write number and unit in quotes, such as \"22.0 mm\" or \"7 years\"",
            Self::Money => "write digits in quotes, such as \"84.50\"",
            Self::ById => "give each a header with its id, such as [check.front-disc-thickness]",
        }
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Text => "text",
            Self::Number => "a number",
            Self::WholeNumber => "a whole number",
            Self::Flag => "true or false",
            Self::Date => "a date",
            Self::List => "a list",
            Self::Table => "a table",
            Self::Measure => "a measure",
            Self::Money => "an amount of money",
            Self::ById => "tables by their ids",
        })
    }
}
