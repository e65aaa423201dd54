//! What can go wrong with a day file, told so that a person knows what to do.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::RecordsError;
use crate::book::{BookError, MergeError};
use crate::language::Language;
use crate::photos::PhotoError;
use crate::say;

/// Why a day file was not written, read or taken in. Whatever it is, the book is as it was, and
/// there is no half-written file.
#[derive(Debug, Error)]
#[error("{}", self.said(Language::English))]
pub enum DayFileError {
    /// No visit was chosen.
    NothingChosen,
    /// There is a file where the new one should go.
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// There is no room.
    DiskFull,
    /// The file system failed.
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        detail: String,
    },
    /// The file is something else.
    NotADayFile,
    /// The end of it is missing, or its list of members is not what it was.
    CutOff {
        /// What was noticed.
        detail: String,
    },
    /// It is locked and no passphrase was given.
    NeedsPassphrase,
    /// The passphrase does not open it.
    WrongPassphrase,
    /// A passphrase that protects nothing.
    ShortPassphrase {
        /// How many characters it must have.
        least: usize,
    },
    /// A later Tautbook wrote it.
    Newer {
        /// The version found.
        found: u64,
        /// The latest version that can be read.
        known: u32,
    },
    /// One member is not as it should be.
    Member {
        /// Its name as it can be shown.
        member: String,
        /// What is wrong with it.
        fault: MemberFault,
    },
    /// More than goes into one file.
    TooMuch {
        /// The member that became too large.
        member: String,
    },
    /// There are more members than any day has.
    TooMany {
        /// How many.
        found: usize,
        /// How many are read.
        most: usize,
    },
    /// The records and the history in it do not tell the same.
    TwoStories {
        /// The record.
        record: String,
    },
    /// A history that cannot be merged.
    Merge(#[from] MergeError),
    /// A picture that could not be kept.
    Photo(#[from] PhotoError),
    /// The book's own errors.
    Book(#[from] BookError),
    /// It was called off.
    Cancelled,
}

impl DayFileError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::NothingChosen => say!(language, "no visit is chosen: choose one or more to send"),
            Self::AlreadyThere { path } => say!(
                language,
                "{path} is there already and was left as it is: name another file",
                path = path.display()
            ),
            Self::DiskFull => say!(
                language,
                "the storage is full: nothing half-done was left behind; free some space and try again"
            ),
            Self::Io { path, detail } => say!(
                language,
                "{path} could not be read or written ({detail}): check the storage and the name",
                path = path.display(),
                detail = detail
            ),
            Self::NotADayFile => say!(
                language,
                "this is not a day file of Tautbook: choose another file"
            ),
            Self::CutOff { detail } => say!(
                language,
                "this day file was cut off or altered ({detail}): ask for it to be sent again",
                detail = detail
            ),
            Self::NeedsPassphrase => say!(
                language,
                "this day file is locked: type the passphrase it was sent with"
            ),
            Self::WrongPassphrase => say!(
                language,
                "this passphrase does not open the day file: type it again, or ask whoever sent the file"
            ),
            Self::ShortPassphrase { least } => say!(
                language,
                "this passphrase is too short: use {least} characters or more, or leave it empty",
                least = least
            ),
            Self::Newer { found, known } => say!(
                language,
                "this day file was written by a newer Tautbook (version {found}, this one reads up to {known}): update Tautbook to take it in; nothing was changed",
                found = found,
                known = known
            ),
            Self::Member { member, fault } => say!(
                language,
                "{member} in this day file {fault}; nothing was taken in",
                member = member,
                fault = fault.said(language)
            ),
            Self::TooMuch { member } => say!(
                language,
                "too much is chosen for one day file ({member} would not be read again): choose fewer visits",
                member = member
            ),
            Self::TooMany { found, most } => say!(
                language,
                "this day file has {found} members, more than the {most} that are read: choose a file that Tautbook wrote",
                found = found,
                most = most
            ),
            Self::TwoStories { record } => say!(
                language,
                "{record} in this day file is not what its history says: the file was altered; ask for it to be sent again. Nothing was taken in",
                record = record
            ),
            Self::Merge(error) => error.said(language),
            Self::Photo(error) => error.said(language),
            Self::Book(error) => error.said(language),
            Self::Cancelled => say!(
                language,
                "called off: nothing was changed and no file was left behind"
            ),
        }
    }
}

/// What is wrong with a member.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum MemberFault {
    /// A name no day file has: a path that leads elsewhere, or anything unknown.
    Name,
    /// A link, a folder, or packed or locked in another way.
    NotAFile(&'static str),
    /// It unpacks to far more than it should.
    TooLarge {
        /// How many are read.
        most: u64,
    },
    /// Its bytes are not those it was sent with.
    Altered,
    /// Another member has the same name.
    Twice,
    /// The manifest does not name it.
    NotListed,
    /// The manifest names it, and it is not there.
    Missing,
    /// No record has this picture.
    NoRecord,
    /// Its text is not of its form.
    Form(String),
    /// The records have a fault of their own.
    Records(#[source] RecordsError),
}

impl MemberFault {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Name => say!(
                language,
                "has a name that no day file has: choose a file that Tautbook wrote"
            ),
            Self::NotAFile(detail) => say!(
                language,
                "is not an ordinary file ({detail}): choose a file that Tautbook wrote",
                detail = detail
            ),
            Self::TooLarge { most } => say!(
                language,
                "unpacks to more than {most} bytes: it is not what Tautbook wrote",
                most = most
            ),
            Self::Altered => say!(
                language,
                "was altered or damaged on the way: ask for the file to be sent again"
            ),
            Self::Twice => say!(
                language,
                "is in it twice: the file was altered; ask for it to be sent again"
            ),
            Self::NotListed => say!(
                language,
                "is not in the manifest: the file was altered; ask for it to be sent again"
            ),
            Self::Missing => say!(
                language,
                "is missing: the file was altered; ask for it to be sent again"
            ),
            Self::NoRecord => say!(
                language,
                "belongs to no record: the file was altered; ask for it to be sent again"
            ),
            Self::Form(detail) => say!(
                language,
                "cannot be read ({detail}): ask for the file to be sent again",
                detail = detail
            ),
            Self::Records(error) => say!(
                language,
                "cannot be read: {detail}",
                detail = error.said(language)
            ),
        }
    }
}

impl DayFileError {
    pub(super) fn io(path: &Path, error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull => Self::DiskFull,
            _ => Self::Io {
                path: path.to_owned(),
                detail: error.to_string(),
            },
        }
    }

    pub(super) fn member(name: &str, fault: MemberFault) -> Self {
        Self::Member {
            member: shown(name),
            fault,
        }
    }
}

/// A name of any origin as a person can be shown it: on one line and not endless.
fn shown(name: &str) -> String {
    const MOST: usize = 80;
    let mut text: String = name
        .chars()
        .take(MOST)
        .flat_map(char::escape_debug)
        .collect();
    if name.chars().nth(MOST).is_some() {
        text.push('…');
    }
    format!("'{text}'")
}
