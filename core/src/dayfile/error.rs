//! What can go wrong with a day file, told so that a person knows what to do.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::RecordsError;
use crate::book::{BookError, MergeError};
use crate::photos::PhotoError;

/// Why a day file was not written, read or taken in. Whatever it is, the book is as it was, and
/// there is no half-written file.
#[derive(Debug, Error)]
pub enum DayFileError {
    /// No visit was chosen.
    #[error("no visit is chosen: choose one or more to send")]
    NothingChosen,
    /// There is a file where the new one should go.
    #[error("{path} is there already and was left as it is: name another file")]
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// There is no room.
    #[error(
        "the storage is full: nothing half-done was left behind; free some space and try again"
    )]
    DiskFull,
    /// The file system failed.
    #[error("{path} could not be read or written ({detail}): check the storage and the name")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        detail: String,
    },
    /// The file is something else.
    #[error("this is not a day file of Tautbook: choose another file")]
    NotADayFile,
    /// The end of it is missing, or its list of members is not what it was.
    #[error("this day file was cut off or altered ({detail}): ask for it to be sent again")]
    CutOff {
        /// What was noticed.
        detail: String,
    },
    /// It is locked and no passphrase was given.
    #[error("this day file is locked: type the passphrase it was sent with")]
    NeedsPassphrase,
    /// The passphrase does not open it.
    #[error(
        "this passphrase does not open the day file: type it again, or ask whoever sent the file"
    )]
    WrongPassphrase,
    /// A passphrase that protects nothing.
    #[error("this passphrase is too short: use {least} characters or more, or leave it empty")]
    ShortPassphrase {
        /// How many characters it must have.
        least: usize,
    },
    /// A later Tautbook wrote it.
    #[error(
        "this day file was written by a newer Tautbook (version {found}, this one reads up to \
         {known}): update Tautbook to take it in; nothing was changed"
    )]
    Newer {
        /// The version found.
        found: u64,
        /// The latest version that can be read.
        known: u32,
    },
    /// One member is not as it should be.
    #[error("{member} in this day file {fault}; nothing was taken in")]
    Member {
        /// Its name as it can be shown.
        member: String,
        /// What is wrong with it.
        fault: MemberFault,
    },
    /// More than goes into one file.
    #[error(
        "too much is chosen for one day file ({member} would not be read again): choose fewer visits"
    )]
    TooMuch {
        /// The member that became too large.
        member: String,
    },
    /// There are more members than any day has.
    #[error(
        "this day file has {found} members, more than the {most} that are read: choose a file that Tautbook wrote"
    )]
    TooMany {
        /// How many.
        found: usize,
        /// How many are read.
        most: usize,
    },
    /// The records and the history in it do not tell the same.
    #[error(
        "{record} in this day file is not what its history says: the file was altered; ask for it \
         to be sent again. Nothing was taken in"
    )]
    TwoStories {
        /// The record.
        record: String,
    },
    /// A history that cannot be merged.
    #[error(transparent)]
    Merge(#[from] MergeError),
    /// A picture that could not be kept.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// The book's own errors.
    #[error(transparent)]
    Book(#[from] BookError),
    /// It was called off.
    #[error("called off: nothing was changed and no file was left behind")]
    Cancelled,
}

/// What is wrong with a member.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum MemberFault {
    /// A name no day file has: a path that leads elsewhere, or anything unknown.
    #[error("has a name that no day file has: choose a file that Tautbook wrote")]
    Name,
    /// A link, a folder, or packed or locked in another way.
    #[error("is not an ordinary file ({0}): choose a file that Tautbook wrote")]
    NotAFile(&'static str),
    /// It unpacks to far more than it should.
    #[error("unpacks to more than {most} bytes: it is not what Tautbook wrote")]
    TooLarge {
        /// How many are read.
        most: u64,
    },
    /// Its bytes are not those it was sent with.
    #[error("was altered or damaged on the way: ask for the file to be sent again")]
    Altered,
    /// Another member has the same name.
    #[error("is in it twice: the file was altered; ask for it to be sent again")]
    Twice,
    /// The manifest does not name it.
    #[error("is not in the manifest: the file was altered; ask for it to be sent again")]
    NotListed,
    /// The manifest names it, and it is not there.
    #[error("is missing: the file was altered; ask for it to be sent again")]
    Missing,
    /// No record has this picture.
    #[error("belongs to no record: the file was altered; ask for it to be sent again")]
    NoRecord,
    /// Its text is not of its form.
    #[error("cannot be read ({0}): ask for the file to be sent again")]
    Form(String),
    /// The records have a fault of their own.
    #[error("cannot be read: {0}")]
    Records(#[source] RecordsError),
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
