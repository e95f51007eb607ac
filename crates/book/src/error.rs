//! What can go wrong with a book.

use journal::StoreError;
use sheet::diagnostic::Problems;
use workshop::RecordFault;

/// A refusal or failure of a book.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    #[error("there is no book in {folder}")]
    NoBook { folder: String },
    #[error("the folder {folder} cannot be used")]
    Folder { folder: String, source: std::io::Error },
    #[error("the book has no car `{id}`")]
    NoCar { id: String, nearest: Option<String> },
    #[error("the book has no data sheet `{sheet}`, of which car `{car}` is")]
    NoSheet { car: String, sheet: String },
    #[error("nothing was written: {} in the files", count(.0.count()))]
    Files(#[from] Problems<RecordFault>),
    #[error("the data sheet was not taken in: {} in it", count(.0.count()))]
    Sheet(#[from] sheet::Problems),
    #[error("somebody else has written a new revision of the data sheet `{sheet}`")]
    SheetMoved { sheet: String },
    #[error("the data sheet is `{is}`, and its files call it `{found}`")]
    OtherSheet { is: String, found: String },
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl BookError {
    /// Whether the person can put it right; otherwise it is ours or the machine's.
    pub fn is_yours(&self) -> bool {
        match self {
            Self::NoBook { .. }
            | Self::NoCar { .. }
            | Self::NoSheet { .. }
            | Self::Files(_)
            | Self::SheetMoved { .. }
            | Self::OtherSheet { .. }
            | Self::Sheet(_) => true,
            Self::Folder { .. } => false,
            Self::Store(error) => {
                matches!(
                    error,
                    StoreError::IdReused { .. } | StoreError::Moved { .. } | StoreError::NotAJournal { .. }
                )
            }
        }
    }

    /// What to do about it, where that can be said.
    pub fn help(&self) -> Option<String> {
        match self {
            Self::NoBook { .. } => {
                Some("make one with `witnessmark sheet add DIR --book DIR`, or try `witnessmark demo`".into())
            }
            Self::NoCar { nearest, .. } => nearest.as_ref().map(|near| format!("did you mean `{near}`?")),
            Self::NoSheet { .. } => Some("add it with `witnessmark sheet add DIR --book DIR`".into()),
            Self::SheetMoved { .. } => Some("look at what is new in it, and begin from there".into()),
            Self::OtherSheet { is, .. } => Some(format!("leave `id = \"{is}\"`: cars name it so")),
            _ => None,
        }
    }
}

fn count(n: usize) -> String {
    format!("{n} {}", if n == 1 { "problem" } else { "problems" })
}
