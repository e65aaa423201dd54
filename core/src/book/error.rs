//! What can go wrong with a book, told so that a person knows what to do.

use std::path::{Path, PathBuf};

use rusqlite::{ErrorCode, ffi};
use thiserror::Error;

use crate::survey::{ContentError, Kind, RecordRef};

/// Why a book could not be opened, read or written. Whatever it is, the book is as it was.
#[derive(Debug, Error)]
pub enum BookError {
    /// There is no file.
    #[error("there is no book at {path}: check the name, or open it in the app to start one")]
    Missing {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// There is a file where a new book should go.
    #[error("{path} is there already and was left as it is: name a new file")]
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// The file is something else.
    #[error(
        "{path} is not a Tautbook book and was left as it is: choose another file, or move it away \
         and start a new book"
    )]
    NotABook {
        /// The file.
        path: PathBuf,
    },
    /// A later Tautbook wrote it.
    #[error(
        "this book was written by a newer Tautbook (book version {found}, this one knows {known}): \
         update Tautbook to open it; nothing was changed"
    )]
    Newer {
        /// The version found.
        found: i64,
        /// The latest version known here.
        known: i64,
    },
    /// Bytes in it are wrong.
    #[error(
        "the book is damaged ({detail}); the file was left as it is: copy it to a safe place first, \
         then run `tautbook recover` to save every record that can still be read"
    )]
    Damaged {
        /// What was noticed.
        detail: String,
    },
    /// It may not be written.
    #[error(
        "the book cannot be written: its file or folder is read-only; move it to a folder you may \
         write to. Nothing was saved by this step"
    )]
    ReadOnly,
    /// There is no room.
    #[error(
        "the storage is full: nothing was saved by this step and what was saved before is safe; \
         free some space and try again"
    )]
    DiskFull,
    /// Another program holds it.
    #[error("another program is writing in the book: wait for it to finish, then try again")]
    Busy,
    /// The file system failed.
    #[error("the book's file could not be read or written ({detail}): check the storage")]
    Io {
        /// What the system said.
        detail: String,
    },
    /// No such record.
    #[error("there is no {} {} in this book", .0.kind.as_str(), .0.id)]
    NotFound(RecordRef),
    /// The content contradicts itself.
    #[error("{kind}, {source}", kind = .kind.as_str())]
    Content {
        /// The kind of record.
        kind: Kind,
        /// The contradiction.
        source: ContentError,
    },
    /// It belongs to or uses a record that is not here.
    #[error("{kind} {field} names {parent}, which is not in the book", kind = .kind.as_str())]
    NoParent {
        /// The kind of record.
        kind: Kind,
        /// The field.
        field: &'static str,
        /// What it names.
        parent: RecordRef,
    },
    /// Undoing would overwrite something later.
    #[error(
        "{field} of this {kind} was changed again since: undo the later change first",
        kind = .record.kind.as_str()
    )]
    ChangedSince {
        /// The record.
        record: RecordRef,
        /// The field.
        field: String,
    },
    /// It was undone before.
    #[error("this was undone before")]
    AlreadyUndone,
    /// There is no such action.
    #[error("there is nothing like that to undo")]
    NoSuchAction,
    /// A kept record cannot be read back.
    #[error("{record} cannot be read: {detail}; run `tautbook check` on the book")]
    Unreadable {
        /// The record.
        record: RecordRef,
        /// Why.
        detail: String,
    },
    /// Something the book did not expect of itself.
    #[error("the book could not do this ({0}); nothing was changed")]
    Internal(String),
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
