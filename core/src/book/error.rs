//! What can go wrong with a book, told so that a person knows what to do.

use std::path::{Path, PathBuf};

use rusqlite::{ErrorCode, ffi};
use thiserror::Error;

use crate::language::Language;
use crate::say;
use crate::survey::{ContentError, Kind, RecordRef};

/// Why a book could not be opened, read or written. Whatever it is, the book is as it was.
#[derive(Debug, Error)]
#[error("{}", self.said(Language::English))]
pub enum BookError {
    /// There is no file.
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// There is a file where a new book should go.
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// The file is something else.
    NotABook {
        /// The file.
        path: PathBuf,
    },
    /// A later Tautbook wrote it.
    Newer {
        /// The version found.
        found: i64,
        /// The latest version known here.
        known: i64,
    },
    /// Bytes in it are wrong.
    Damaged {
        /// What was noticed.
        detail: String,
    },
    /// It may not be written.
    ReadOnly,
    /// There is no room.
    DiskFull,
    /// Another program holds it.
    Busy,
    /// The file system failed.
    Io {
        /// What the system said.
        detail: String,
    },
    /// No such record.
    NotFound(RecordRef),
    /// The content contradicts itself.
    Content {
        /// The kind of record.
        kind: Kind,
        /// The contradiction.
        source: ContentError,
    },
    /// It belongs to or uses a record that is not here.
    NoParent {
        /// The kind of record.
        kind: Kind,
        /// The field.
        field: &'static str,
        /// What it names.
        parent: RecordRef,
    },
    /// Undoing would overwrite something later.
    ChangedSince {
        /// The record.
        record: RecordRef,
        /// The field.
        field: String,
    },
    /// It was undone before.
    AlreadyUndone,
    /// There is no such action.
    NoSuchAction,
    /// A kept record cannot be read back.
    Unreadable {
        /// The record.
        record: RecordRef,
        /// Why.
        detail: String,
    },
    /// Something the book did not expect of itself.
    Internal(String),
}

impl BookError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Missing { path } => say!(
                language,
                "there is no book at {path}: check the name, or open it in the app to start one",
                path = path.display()
            ),
            Self::AlreadyThere { path } => say!(
                language,
                "{path} is there already and was left as it is: name a new file",
                path = path.display()
            ),
            Self::NotABook { path } => say!(
                language,
                "{path} is not a Tautbook book and was left as it is: choose another file, or move it away and start a new book",
                path = path.display()
            ),
            Self::Newer { found, known } => say!(
                language,
                "this book was written by a newer Tautbook (book version {found}, this one knows {known}): update Tautbook to open it; nothing was changed",
                found = found,
                known = known
            ),
            Self::Damaged { detail } => say!(
                language,
                "the book is damaged ({detail}); the file was left as it is: copy it to a safe place first, then run `tautbook recover` to save every record that can still be read",
                detail = detail
            ),
            Self::ReadOnly => say!(
                language,
                "the book cannot be written: its file or folder is read-only; move it to a folder you may write to. Nothing was saved by this step"
            ),
            Self::DiskFull => say!(
                language,
                "the storage is full: nothing was saved by this step and what was saved before is safe; free some space and try again"
            ),
            Self::Busy => say!(
                language,
                "another program is writing in the book: wait for it to finish, then try again"
            ),
            Self::Io { detail } => say!(
                language,
                "the book's file could not be read or written ({detail}): check the storage",
                detail = detail
            ),
            Self::NotFound(record) => say!(
                language,
                "there is no {kind} {id} in this book",
                kind = record.kind.word().said(language),
                id = record.id
            ),
            Self::Content { kind, source } => say!(
                language,
                "{kind}, {field}: {problem}",
                kind = kind.word().said(language),
                field = source.field,
                problem = source.problem.said(language)
            ),
            Self::NoParent {
                kind,
                field,
                parent,
            } => say!(
                language,
                "{kind}: {field} names {parent}, which is not in the book",
                kind = kind.word().said(language),
                field = field,
                parent = parent
            ),
            Self::ChangedSince { record, field } => say!(
                language,
                "{field} of this {kind} was changed again since: undo the later change first",
                field = field,
                kind = record.kind.word().said(language)
            ),
            Self::AlreadyUndone => say!(language, "this was undone before"),
            Self::NoSuchAction => say!(language, "there is nothing like that to undo"),
            Self::Unreadable { record, detail } => say!(
                language,
                "{record} cannot be read: {detail}; run `tautbook check` on the book",
                record = record,
                detail = detail
            ),
            Self::Internal(detail) => say!(
                language,
                "the book could not do this ({detail}); nothing was changed",
                detail = detail
            ),
        }
    }
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> Self {
        let detail = error.to_string();
        let extended = error.sqlite_error().map(|error| error.extended_code);
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::DiskFull,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged { detail },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            // Or a file beside the book, which SQLite needs for writing, could not be made.
            Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
                Self::ReadOnly
            }
            // No room for the shared memory beside the book.
            Some(ErrorCode::SystemIoFailure) if extended == Some(ffi::SQLITE_IOERR_SHMSIZE) => {
                Self::DiskFull
            }
            Some(ErrorCode::SystemIoFailure) => Self::Io { detail },
            _ => Self::Internal(detail),
        }
    }
}

impl BookError {
    pub(crate) fn io(path: &Path, error: &std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::StorageFull => Self::DiskFull,
            std::io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly,
            _ => Self::Io {
                detail: format!("{}: {error}", path.display()),
            },
        }
    }

    pub(crate) fn json(kind: Kind, id: uuid::Uuid, error: &serde_json::Error) -> Self {
        Self::Unreadable {
            record: RecordRef { kind, id },
            detail: error.to_string(),
        }
    }
}
